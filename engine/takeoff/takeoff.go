// Package takeoff counts what a set-out needs: pieces with identities that stay
// the same on drawing, saw plan, label and list, and hardware by rule.
package takeoff

import (
	"fmt"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// The kinds of piece that are cut from stock lengths.
const (
	Panel   = "panel"
	Cap     = "cap"
	Channel = "channel"
	Closure = "closure"
)

// Piece is one piece to be cut.
type Piece struct {
	ID     string        `json:"id"` // P3; with several planes, "plane P3"
	Plane  string        `json:"plane"`
	Kind   string        `json:"kind"`
	Length length.Length `json:"length"` // to cut, on the tape
	Exact  length.Length `json:"exact"`
	Rip    *Rip          `json:"rip,omitempty"`
	Remark string        `json:"remark,omitempty"`
}

// Rip is an edge panel that is ripped to width after reading.
type Rip struct {
	Left      bool          `json:"left"` // lies at a left verge and keeps its right upstand
	EaveWidth length.Length `json:"eave_width"`
	HeadWidth length.Length `json:"head_width"`
}

// Part is counted hardware.
type Part struct {
	Item    string `json:"item"` // stable: "clip", "clip screw", …
	Name    string `json:"name"`
	Counted int    `json:"counted"`
	Spare   int    `json:"spare"`
	PackOf  int    `json:"pack_of"`
	Packs   int    `json:"packs"`
	Rule    string `json:"rule"` // where the count comes from
}

// Tape is counted tape.
type Tape struct {
	Item  string        `json:"item"` // "breather tape", "seal tape"
	Name  string        `json:"name"`
	Need  length.Length `json:"need"`
	Roll  length.Length `json:"roll"`
	Rolls int           `json:"rolls"`
}

// Count is the whole take-off.
type Count struct {
	Pieces  []Piece `json:"pieces"`
	Parts   []Part  `json:"parts"`
	Tapes   []Tape  `json:"tapes"`
	Area    float64 `json:"area_m2"` // covered, in the slope
	Mass    float64 `json:"mass_kg"` // of the panels
	Purlins int     `json:"purlins_added"`
	Marks   int     `json:"marks"`
	Ends    int     `json:"ends"`
	Panels  int     `json:"panels"`
	Rips    int     `json:"rips"`
}

// Of counts the layouts of all planes of a job. Cut lengths are rounded to the
// tape on the side that still fits; blanks of angled pieces are rounded up.
func Of(ls []setout.Layout, sys catalogue.System, shop catalogue.Shop, tape length.Tape) Count {
	c := counter{sys: sys, shop: shop, tape: tape, several: len(ls) > 1}
	for _, l := range ls {
		c.pieces(l)
		c.counts(l)
	}
	c.hardware(ls)
	return c.out
}

type counter struct {
	sys     catalogue.System
	shop    catalogue.Shop
	tape    length.Tape
	several bool
	out     Count
}

func (c *counter) id(plane, id string) string {
	if c.several {
		return plane + " " + id
	}
	return id
}

func (c *counter) add(plane, id, kind string, exact length.Length, dir length.Direction, remark string) *Piece {
	c.out.Pieces = append(c.out.Pieces, Piece{ID: c.id(plane, id), Plane: plane, Kind: kind, Exact: exact, Length: exact.Round(c.tape.Tick, dir), Remark: remark})
	return &c.out.Pieces[len(c.out.Pieces)-1]
}

func (c *counter) pieces(l setout.Layout) {
	for _, p := range l.Panels {
		dir, remark := length.Down, ""
		if p.EaveRun != 0 || p.HeadRun != 0 || p.Notched {
			dir, remark = length.Up, "blank; angled or shaped ends by the drawing"
		}
		piece := c.add(l.Plane, p.ID, Panel, p.Length, dir, remark)
		if p.Rip {
			piece.Rip = c.rip(p)
			piece.Remark = join("rip after reading", piece.Remark)
			c.out.Rips++
		}
		c.out.Mass += p.Outline.SquareMetres() * float64(c.sys.Panel.Mass)
	}
	for _, s := range l.Seams {
		c.add(l.Plane, s.Cap, Cap, s.V.Len(), length.Down, "")
	}
	for _, e := range l.Channels {
		c.add(l.Plane, e.ID, Channel, e.Length, length.Down, "")
	}
	for _, e := range l.Ends {
		if e.Closure == "" || c.sys.Closure.Width > 0 {
			continue
		}
		remark := ""
		if e.Trim != "" {
			remark = "trim after the rip is read, on the side without upstand"
		}
		// Closures fit the panel as delivered; those of rips are cut to length later,
		// and an end that runs across the slope is longer than the panel is wide.
		c.add(l.Plane, e.Closure, Closure, max(c.sys.Panel.Cover, e.Width.Round(c.tape.Tick, length.Down)), length.Down, remark)
	}
}

// rip is what the saw plan needs of an edge panel. A piece that keeps no upstand
// or is wider elsewhere than at its verge takes a whole sheet.
func (c *counter) rip(p setout.Panel) *Rip {
	r := &Rip{Left: p.Left.Kind != setout.Upstand, EaveWidth: p.EaveWidth, HeadWidth: p.HeadWidth}
	if p.Notched || p.Left.Kind != setout.Upstand && p.Right.Kind != setout.Upstand {
		r.EaveWidth, r.HeadWidth = c.sys.Panel.Cover, c.sys.Panel.Cover
	}
	return r
}

func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + "; " + b
}

func (c *counter) counts(l setout.Layout) {
	c.out.Area += l.Cover.SquareMetres()
	c.out.Panels += len(l.Panels)
	for _, p := range l.Purlins {
		if !p.Found {
			c.out.Purlins++
		}
	}
	for _, r := range l.Marks {
		c.out.Marks += len(r.Marks)
	}
	for _, e := range l.Ends {
		if e.Closure != "" {
			c.out.Ends++
		}
	}
}

// hardware counts by rule from the set-out, never by area.
func (c *counter) hardware(ls []setout.Layout) {
	var clips, channelScrews, channels, closures int
	breather, seal := length.Length(0), length.Length(0)
	for _, l := range ls {
		clips += len(l.Clips)
		channels += len(l.Channels)
		for _, e := range l.Channels {
			channelScrews += len(e.Screws)
		}
		for _, e := range l.Ends {
			if e.Closure != "" {
				closures++
			}
			if e.Tape == "breather" {
				breather += e.Width
			} else {
				seal += e.Width
			}
		}
	}
	s := c.sys
	c.part("clip", s.Clip.Name, clips, float64(c.shop.Spare.Clips), s.Clip.Pack.Count, "one where every seam crosses every purlin")
	c.part("clip screw", s.ClipScrew.Name, clips*s.Clip.ScrewsUsed, float64(c.shop.Spare.Screws), s.ClipScrew.Pack.Count,
		fmt.Sprintf("%d of %d holes of every clip", s.Clip.ScrewsUsed, s.Clip.Holes))
	c.part("channel screw", s.ChannelScrew.Name, channelScrews, float64(c.shop.Spare.Screws), s.ChannelScrew.Pack.Count, "along every edge channel")
	c.part("channel plug", "end plug of "+s.Channel.Name, 2*channels, 0, s.Plug.Count, "both ends of every edge channel")
	if s.Closure.Width > 0 && s.Closure.Pack != nil {
		c.part("closure", s.Closure.Name, closures, 0, s.Closure.Pack.Count, "one at every cut panel end")
	}
	c.tapeOf("breather tape", s.BreatherTape, breather)
	c.tapeOf("seal tape", s.SealTape, seal)
}

func (c *counter) part(item, name string, n int, spare float64, pack int, rule string) {
	if n == 0 {
		return
	}
	extra := int(float64(n)*spare + 0.999999) // any share of a part is a part
	pack = max(pack, 1)
	c.out.Parts = append(c.out.Parts, Part{Item: item, Name: name, Counted: n, Spare: extra, PackOf: pack, Packs: (n + extra + pack - 1) / pack, Rule: rule})
}

func (c *counter) tapeOf(item string, r catalogue.Roll, need length.Length) {
	if need <= 0 {
		return
	}
	need += length.FromMM(need.MM() * float64(c.shop.Spare.Tape))
	c.out.Tapes = append(c.out.Tapes, Tape{Item: item, Name: r.Name, Need: need, Roll: r.Length, Rolls: int((need + r.Length - 1) / r.Length)})
}
