package asbuilt

import (
	"fmt"
	"math/big"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// RipCut is the one straight cut of an edge panel after its verge was read.
type RipCut struct {
	Panel    string            `json:"panel"`
	Side     string            `json:"side"` // the ripped side; "both" between two channels
	Eave     Width             `json:"eave"` // at the eave end of the blank
	Head     Width             `json:"head"`
	Bow      length.Length     `json:"bow"` // the narrowest straight strip that holds all readings
	Rows     []CutRow          `json:"rows"`
	Cuts     bool              `json:"cuts"` // true if the saw may be set to it
	Findings []finding.Finding `json:"findings,omitempty"`
}

// Width is the width of a rip at one end: exact, and on the tape, rounded down
// so that it still enters its channel.
type Width struct {
	Exact length.Length `json:"exact"`
	At    length.Length `json:"at"`
}

// CutRow is the cut at one purlin, square to the flutes.
type CutRow struct {
	Purlin string        `json:"purlin"`
	Want   length.Length `json:"want"`  // the reading less what is taken off
	Cut    length.Length `json:"cut"`   // what the straight cut leaves, on the tape's widths
	Short  length.Length `json:"short"` // of the two
	v      length.Length
}

// CutRip turns the readings of a verge, neighbour's butting face to frame face
// at every purlin, into a rip. The cut is never wider than any reading allows
// and, among straight cuts that are not, the one whose largest shortfall is
// least: the lower side of the narrowest strip between two parallel lines that
// holds all readings. Past the outermost purlins it runs on straight.
//
// Cuts is false, and a stop says why, if fewer than two purlins were read, a
// reading cannot be one, the shortfall leaves too little grip, or the width is
// outside the system's limits.
func CutRip(l setout.Layout, r Rules, tape length.Tape, panel string, reads []Read) RipCut {
	c := ripper{l: l, r: r.sound(), tape: tape, out: RipCut{Panel: panel}}
	if tape.Tick <= 0 {
		c.tape = length.WholeMM
	}
	if c.find() && c.widths(reads) {
		c.cut()
		c.review()
	}
	c.out.Cuts = len(c.out.Rows) > 0 && !finding.HasStop(c.out.Findings)
	finding.Sort(c.out.Findings)
	return c.out
}

type ripper struct {
	l     setout.Layout
	r     Rules
	tape  length.Tape
	plan  setout.RipReading
	panel setout.Panel
	out   RipCut
}

func (c *ripper) say(level finding.Level, code, where, what, why, do string) {
	c.out.Findings = append(c.out.Findings, finding.Finding{Level: level, Code: code, Plane: c.l.Plane, Where: where, What: what, Why: why, Do: do})
}

func (c *ripper) t(l length.Length) string { return c.tape.Format(l, length.Nearest) }

func (c *ripper) find() bool {
	var names string
	for _, p := range c.l.Readings {
		names += " " + p.Panel
		if p.Panel == c.out.Panel {
			c.plan = p
		}
	}
	panel, ok := panelOf(c.l, c.out.Panel)
	switch {
	case !ok || c.plan.Panel == "":
		c.say(finding.Stop, "asbuilt.no-rip", c.out.Panel, fmt.Sprintf("%q is no panel that is ripped after reading", c.out.Panel), "those are:"+names, "enter the readings at one of these")
		return false
	case panel.Notched:
		c.say(finding.Stop, "asbuilt.rip-notched", panel.ID, panel.ID+" is not four-sided", "one straight cut does not shape it", "hold it in place and scribe it from the drawing")
		return false
	}
	c.panel, c.out.Side = panel, c.plan.Side
	return true
}

// widths turns each reading into the width wanted at its purlin.
func (c *ripper) widths(reads []Read) bool {
	byPurlin := map[string][]length.Length{}
	for _, x := range reads {
		byPurlin[x.Purlin] = append(byPurlin[x.Purlin], x.At)
	}
	var missing string
	for _, row := range c.plan.Rows {
		at := byPurlin[row.Purlin]
		delete(byPurlin, row.Purlin)
		if len(at) == 0 {
			missing += " " + row.Purlin
			continue
		}
		if w, ok := c.want(row, at); ok {
			c.out.Rows = append(c.out.Rows, w)
		}
	}
	for _, x := range reads {
		if _, left := byPurlin[x.Purlin]; left {
			delete(byPurlin, x.Purlin)
			c.say(finding.Stop, "asbuilt.no-purlin", c.out.Panel+" "+x.Purlin, fmt.Sprintf("%s does not lie on a purlin %q", c.out.Panel, x.Purlin), "", "enter the reading at a purlin under it")
		}
	}
	switch {
	case len(c.out.Rows) < 2:
		c.say(finding.Stop, "asbuilt.rip-few", c.out.Panel, "the verge is read on fewer than two purlins", "one reading says nothing of a taper", "read at every purlin before ripping:"+missing)
		return false
	case missing != "":
		c.say(finding.Warn, "asbuilt.rip-missing", c.out.Panel, "the verge is not read at"+missing, "a verge can be bowed in by more than a channel covers", "read there too before ripping")
	}
	return true
}

func (c *ripper) want(row setout.RipRow, at []length.Length) (CutRow, bool) {
	lo, hi := at[0], at[0]
	for _, x := range at {
		lo, hi = min(lo, x), max(hi, x)
	}
	where := c.out.Panel + " " + row.Purlin
	if lo.Abs() > length.Max || hi.Abs() > length.Max || (lo-row.Reading).Abs() > c.l.Pitch/4 || (hi-row.Reading).Abs() > c.l.Pitch/4 {
		c.say(finding.Stop, "asbuilt.far-off", where, fmt.Sprintf("%s was read %s; about %s was planned", row.Purlin, c.t(min(max(lo, -length.Max), length.Max)), c.t(row.Reading)),
			"the tape hooks on the "+c.plan.From+" and reads to the frame face", "read it again")
		return CutRow{}, false
	}
	if hi-lo > 2*c.tape.Tick {
		c.say(finding.Stop, "asbuilt.read-twice", where, fmt.Sprintf("%s was read twice, %s apart", row.Purlin, c.t(hi-lo)), "", "read it again")
		return CutRow{}, false
	}
	p := c.purlin(row.Purlin)
	w := lo - (row.Reading - row.Rip) // the lesser of two readings is the one that still fits
	return CutRow{Purlin: row.Purlin, Want: square(p, w), v: geom.AtU(p.Left, p.Right, c.edge(row.Rip))}, true
}

func (c *ripper) purlin(id string) setout.Purlin {
	for _, p := range c.l.Purlins {
		if p.ID == id {
			return p
		}
	}
	return setout.Purlin{}
}

// edge is about where a rip ends across the plane.
func (c *ripper) edge(rip length.Length) length.Length {
	lo, hi := c.panel.Outline.Bounds()
	switch c.plan.Side {
	case "right":
		return lo.U + rip
	case "left":
		return hi.U - rip
	}
	return (lo.U + hi.U) / 2
}

// square turns a distance along a purlin into the width square to the flutes.
func square(p setout.Purlin, along length.Length) length.Length {
	run, full := (p.Right.U - p.Left.U).Abs(), roof.Dist(p.Left, p.Right)
	if run == full || full == 0 {
		return along
	}
	return floorMulDiv(along, run, full)
}

// floorMulDiv is l·num/den rounded down, den positive.
func floorMulDiv(l, num, den length.Length) length.Length {
	x := new(big.Int).Mul(big.NewInt(int64(l)), big.NewInt(int64(num)))
	return length.Length(new(big.Int).Div(x, big.NewInt(int64(den))).Int64())
}

// cut lays the straight cut and writes it down on the tape.
func (c *ripper) cut() {
	rows := c.out.Rows
	slope, touch := narrowestStrip(rows)
	at := func(v length.Length) length.Length {
		return rows[touch].Want + floorMulDiv(v-rows[touch].v, slope.dw, slope.dv)
	}
	lo, _ := c.panel.Outline.Bounds()
	eave, head := lo.V, lo.V+c.panel.Length
	c.out.Eave, c.out.Head = c.width(at(eave)), c.width(at(head))
	for i := range rows {
		r := &rows[i]
		c.out.Bow = max(c.out.Bow, r.Want-at(r.v))
		r.Cut = c.out.Eave.At
		if head > eave {
			r.Cut += floorMulDiv(r.v-eave, c.out.Head.At-c.out.Eave.At, head-eave)
		}
		r.Short = r.Want - r.Cut
	}
}

func (c *ripper) width(l length.Length) Width {
	return Width{Exact: l, At: l.Round(c.tape.Tick, length.Down)}
}

// rise is a slope of widths: dw over dv, dv positive.
type rise struct{ dw, dv length.Length }

// narrowestStrip finds the slope of the narrowest strip of vertical width that
// holds all points, and the point that its lower line touches. The width over
// the slope is convex and bends only at slopes of pairs, so the best pair is
// the best slope; square wins a tie.
func narrowestStrip(rows []CutRow) (best rise, touch int) {
	best = rise{0, 1}
	width, touch := stripWidth(rows, best)
	for i := range rows {
		for j := range rows {
			s := rise{rows[j].Want - rows[i].Want, rows[j].v - rows[i].v}
			if s.dv <= 0 {
				continue
			}
			w, low := stripWidth(rows, s)
			// w/s.dv < width/best.dv
			if new(big.Int).Mul(w, big.NewInt(int64(best.dv))).Cmp(new(big.Int).Mul(width, big.NewInt(int64(s.dv)))) < 0 {
				best, width, touch = s, w, low
			}
		}
	}
	return best, touch
}

// stripWidth is dv times the width of the strip at a slope, and its lowest
// point.
func stripWidth(rows []CutRow, s rise) (*big.Int, int) {
	lo, hi, low := new(big.Int), new(big.Int), 0
	for i, r := range rows {
		h := new(big.Int).Mul(big.NewInt(int64(r.Want)), big.NewInt(int64(s.dv)))
		h.Sub(h, new(big.Int).Mul(big.NewInt(int64(s.dw)), big.NewInt(int64(r.v))))
		if i == 0 || h.Cmp(lo) < 0 {
			lo, low = h, i
		}
		if i == 0 || h.Cmp(hi) > 0 {
			hi = h
		}
	}
	return new(big.Int).Sub(hi, lo), low
}

// review finds where the cut leaves what the system allows.
func (c *ripper) review() {
	worst := c.out.Rows[0]
	for _, r := range c.out.Rows {
		if r.Short > worst.Short {
			worst = r
		}
	}
	id := c.out.Panel
	if worst.Short > c.r.ShortRip {
		c.say(finding.Stop, "asbuilt.rip-bowed", id+" "+worst.Purlin, fmt.Sprintf("the verge is not straight enough for one cut of %s", id),
			fmt.Sprintf("at %s the edge would stop %s short of its place; %s still leaves the least grip when coldest", worst.Purlin, c.t(worst.Short), c.tape.Format(c.r.ShortRip, length.Down)),
			"read "+worst.Purlin+" again; if it is so, straighten the verge, or set the channel to a string instead of the frame face and read to that")
	}
	least, most := min(c.out.Eave.At, c.out.Head.At), max(c.out.Eave.At, c.out.Head.At)
	switch {
	case most > c.r.WidestRip:
		c.say(finding.Stop, "rip.too-wide", id, id+" would have to be "+c.t(most)+" wide", "a panel trimmed at a verge covers at most "+c.t(c.r.WidestRip), "set that channel further in, or bring the row before it nearer the verge")
	case most < c.r.LeastRip:
		c.say(finding.Stop, "rip.narrow", id, id+" is only "+c.t(most)+" wide", "the edge channel needs strips of at least "+c.t(c.r.LeastRip), "set that channel further out if the frame allows")
	case least < c.r.LeastRip:
		c.say(finding.Warn, "rip.tapers-out", id, id+" tapers from "+c.t(most)+" to "+c.t(least), "the edge channel needs strips of at least "+c.t(c.r.LeastRip), "carry the narrow end on extra support")
	}
}

// SpareOf is what is left of the sheet that two rips share after both and the
// kerf between them; negative if they no longer share one.
func SpareOf(first, second RipCut, turned bool, r Rules) length.Length {
	e, h := second.Eave.At, second.Head.At
	if turned {
		e, h = h, e
	}
	r = r.sound()
	return r.Sheet - r.Kerf - max(first.Eave.At+e, first.Head.At+h)
}
