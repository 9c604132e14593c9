// Package depot plans what a depot cuts in one day: the pieces of many jobs,
// pooled by profile, sawn from the lengths that are sold and from the offcut rack.
//
// Read Plan in day.go first. Gather deals pieces out so that a job's pieces come
// off together where that costs nothing, share.go divides the cost among the jobs,
// alone.go finds what each would have cost by itself.
package depot

import (
	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/takeoff"
)

// Job is one job's pieces.
type Job struct {
	Name   string // unlike that of every other job of the day
	Due    int    // order of need, smaller is sooner
	System catalogue.System
	Tint   catalogue.Tint
	Pieces []takeoff.Piece
}

// Input is what Plan needs.
type Input struct {
	Jobs []Job
	Shop catalogue.Shop
	Tape length.Tape // for the texts of findings and for the lengths of offcuts
	// RipHere says that the depot rips edge panels itself, once all readings are
	// in: then rips of different jobs may share a sheet. If not, a sheet shared by
	// two rips goes to one roof, and rips pair off within their job, as that job
	// alone pairs them best.
	RipHere bool
	// Options bound the search for the pooled plan of each profile.
	Options cutting.Options
	// Check, if set, is called with every problem and its result, that of each job
	// alone included; an error becomes a stop.
	Check func(*cutting.Problem, *cutting.Result) error
}

// Day is the plan of a day.
type Day struct {
	Profiles []Profile `json:"profiles"`
	Jobs     []Share   `json:"jobs"`
	Total    Sum       `json:"total"`

	RackIn  []catalogue.Offcut `json:"rack_in"`  // offcuts of the rack that are used up
	RackOut []Offcut           `json:"rack_out"` // leftovers that go to the rack
	Rack    []catalogue.Offcut `json:"rack"`     // the rack in the evening

	Checked  int               `json:"results_verified,omitempty"` // results passed through Input.Check
	Findings []finding.Finding `json:"findings,omitempty"`
}

// Sum is money over everything cut.
type Sum struct {
	Cost   money.Amount `json:"cost"`  // lengths bought and offcuts used, less the worth of leftovers kept
	Bound  money.Amount `json:"bound"` // no plan of the pooled pieces can cost less
	Proven bool         `json:"proven"`
	Words  string       `json:"words"`
	Saving
	Gathered
}

// Saving is what pooling saves over cutting each job alone.
type Saving struct {
	Alone money.Amount `json:"alone"` // each job cut alone, the jobs in order of need, each with what the others left of the rack
	Saved money.Amount `json:"saved"` // Alone less Cost
	// Least is what is saved even against the proven bounds of the jobs alone; it
	// equals Saved where each of them is proven best.
	Least money.Amount `json:"saved_at_least"`
	// Compared is false where some pieces cannot be cut, alone or pooled, so that
	// the two sums are not for the same pieces.
	Compared bool `json:"compared"`
}

// Share is one job's part of the day.
type Share struct {
	Job    string       `json:"job"`
	Due    int          `json:"due"`
	Pieces int          `json:"pieces"`
	Cost   money.Amount `json:"cost"`       // the shares of all jobs add up to the cost of the day exactly
	Bars   int          `json:"bars"`       // bars that carry a piece of it
	Last   []string     `json:"done_after"` // the bar of each profile after which its pieces are all cut
	Saving
}

// Profile is the saw plan of all pieces of one kind, system and, for panels, tint.
type Profile struct {
	Kind   string `json:"kind"`
	System string `json:"system,omitempty"`
	Tint   string `json:"tint,omitempty"`
	Name   string `json:"name"`
	Bars   []Bar  `json:"bars"`
	Sum
	Patterns []Pattern     `json:"patterns"`
	Bought   []Bought      `json:"bought"`
	Opened   length.Length `json:"opened"`
	Used     length.Length `json:"used"` // in pieces
	KerfLoss length.Length `json:"kerf_loss"`
	Trim     length.Length `json:"trim"`
	Left     length.Length `json:"left"` // offcuts and scrap

	Problem *cutting.Problem `json:"-"`
	Result  *cutting.Result  `json:"-"`
	blanks  map[int]blank
}

// Pattern is one way of cutting a stock length, used Count times.
type Pattern struct {
	Stock   length.Length   `json:"stock_length"`
	Price   money.Amount    `json:"stock_cost"`
	Count   int64           `json:"count"`
	Lengths []length.Length `json:"lengths"` // every piece, longest first
}

// Bought is a count of one stock length.
type Bought struct {
	Length length.Length `json:"length"`
	Count  int           `json:"count"`
	Each   money.Amount  `json:"each"`
}

// Bar is one stock length with its cuts in order. Trim, pieces, kerf and what is
// left add up to its length exactly.
type Bar struct {
	Mark      string        `json:"mark"`
	Due       int           `json:"due"` // soonest need on it
	Length    length.Length `json:"length"`
	Rack      string        `json:"rack,omitempty"` // label, if it comes off the rack
	Price     money.Amount  `json:"price"`
	TrimStart length.Length `json:"trim_start"`
	TrimEnd   length.Length `json:"trim_end"`
	KerfLoss  length.Length `json:"kerf_loss"`
	Cuts      []Cut         `json:"cuts"`
	Left      length.Length `json:"left"`
	Label     string        `json:"rack_label,omitempty"` // to write on what is left, if it is kept
	Worth     money.Amount  `json:"worth,omitzero"`
}

// Cut is one blank on a bar: a piece, or one or two rips side by side.
type Cut struct {
	Mark   string        `json:"mark"`
	Pieces []Piece       `json:"pieces"`
	At     length.Length `json:"at"`
	End    length.Length `json:"end"` // running mark where the saw goes through
	Length length.Length `json:"length"`
	Rip    bool          `json:"rip,omitempty"`
	Turned bool          `json:"turned,omitempty"` // the second rip is turned end for end
}

// Piece names a piece and its job.
type Piece struct {
	Job string `json:"job,omitempty"`
	ID  string `json:"id,omitempty"`
}

// Offcut is a leftover that goes to the rack.
type Offcut struct {
	catalogue.Offcut
	From string `json:"from"` // the bar it is left of
}
