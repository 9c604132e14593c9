package catalogue

import (
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/quantity"
)

// Shop is the firm's own side: its saw, its offcut rack and its rates.
type Shop struct {
	Name        string         `key:"name" doc:"who issues the papers"`
	Currency    string         `key:"currency,required" doc:"three letters, written beside amounts"`
	CrossKerf   length.Length  `key:"crosscut_kerf,required" doc:"saw loss of a cut across the flutes"`
	RipKerf     length.Length  `key:"rip_kerf,required" doc:"saw loss of a cut along the flutes"`
	TrimStart   length.Length  `key:"trim_start,required" doc:"cut off the first end of every length, its saw loss included"`
	TrimEnd     length.Length  `key:"trim_end,required" doc:"cut off the last end of every length, its saw loss included"`
	KeepOffcut  length.Length  `key:"keep_offcut,required" doc:"shortest offcut worth keeping"`
	OffcutValue quantity.Ratio `key:"offcut_value,required" doc:"what a kept offcut is worth, as a share of its price by length"`
	Rack        []Offcut       `key:"rack" doc:"offcuts that lie ready"`
	Spare       Spares         `key:"spares,required" doc:"added to counted parts before they are rounded up to packs"`
	Crew        int            `key:"crew,required" doc:"people on site"`
	Rate        money.Amount   `key:"hourly_rate,required" doc:"per person and hour"`
	Tasks       Tasks          `key:"tasks,required" doc:"time for one of each"`
	Delivery    money.Amount   `key:"delivery,required" doc:"one delivery"`
	Overhead    quantity.Ratio `key:"overhead,required" doc:"on material and labour"`
	Margin      quantity.Ratio `key:"margin,required" doc:"on cost with overhead"`
	Tax         quantity.Ratio `key:"tax,required" doc:"on the net price"`
	Terms       *Terms         `key:"terms" doc:"what a quote says beside prices"`
}

// Terms are what a quote says beside prices. A list that is left out is filled
// with the usual words in the language of the papers.
type Terms struct {
	Deposit     quantity.Ratio `key:"deposit" doc:"paid with the order, as a share of the total; no deposit is printed if left out"`
	ValidDays   int            `key:"valid_days" doc:"days from the date of issue that the quote holds; not printed if left out"`
	Included    []string       `key:"included" doc:"what the price includes, one point each"`
	NotIncluded []string       `key:"not_included" doc:"what it does not include, one point each"`
	Variation   []string       `key:"variation" doc:"what happens on changes, one point each"`
}

// Offcut is one piece on the rack.
type Offcut struct {
	Label  string        `key:"label,required" doc:"what is written on it"`
	Kind   string        `key:"kind,required" enum:"panel|cap|channel|closure" doc:"what it is a piece of"`
	System string        `key:"system,required" doc:"name of the panel system"`
	Tint   string        `key:"tint" doc:"tint, for panels"`
	Length length.Length `key:"length,required" doc:"usable length"`
	Price  money.Amount  `key:"price" doc:"what using it costs the job"`
}

// Spares are shares and least counts of spare parts.
type Spares struct {
	Clips  quantity.Ratio `key:"clips,required" doc:"share of spare clips"`
	Screws quantity.Ratio `key:"screws,required" doc:"share of spare screws"`
	Tape   quantity.Ratio `key:"tape,required" doc:"share of spare tape"`
}

// Tasks are hours of one person for one of each task.
type Tasks struct {
	Measure  quantity.Hours `key:"measure_frame,required" doc:"taping one roof plane"`
	Mark     quantity.Hours `key:"mark,required" doc:"one mark on a purlin"`
	Crosscut quantity.Hours `key:"crosscut,required" doc:"one cut across a panel or profile"`
	Rip      quantity.Hours `key:"rip,required" doc:"reading and ripping one edge panel"`
	Lift     quantity.Hours `key:"lift_panel,required" doc:"carrying and laying one panel"`
	Clip     quantity.Hours `key:"clip,required" doc:"one clip with its screws"`
	Cap      quantity.Hours `key:"cap,required" doc:"one seam cap"`
	Channel  quantity.Hours `key:"channel,required" doc:"one edge channel with its screws"`
	End      quantity.Hours `key:"close_end,required" doc:"tape and closure of one panel end"`
	Purlin   quantity.Hours `key:"add_purlin,required" doc:"one purlin added"`
	SetUp    quantity.Hours `key:"set_up,required" doc:"setting up, clearing away and handing over, per job"`
}
