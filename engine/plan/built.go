package plan

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// Begin pins the set-out of a plan in its job, plane by plane: work begins, and
// from now on no reading, wish or price moves a row. Planes that have begun
// already stay as they are; one without a set-out cannot begin and is left out.
func Begin(j job.Job, p Plan) job.Job {
	j.Planes = slices.Clone(j.Planes)
	for i := range j.Planes {
		if i < len(p.Planes) && p.Planes[i].Layout != nil && j.Planes[i].Built == nil {
			j.Planes[i].Built = pin(j.Planes[i], &p.Planes[i])
		}
	}
	return j
}

func pin(of job.Plane, p *Plane) *job.Built {
	l := p.Layout
	b := &job.Built{Start: l.Work.From, Seams: l.Direction, Skew: l.Skew, SetInL: l.SetInL, SetInR: l.SetInR, Starter: l.Work.Starter, Purlins: of.Purlins}
	b.Purlins.Choose = ""
	if p.spacing != nil {
		b.Purlins.Spacing = p.spacing
	}
	for _, o := range p.Options {
		if o.Chosen {
			b.Offset, b.OverRidge = o.Offset, o.OverRidge
		}
	}
	for _, c := range p.Frame.Corners {
		b.Corners = append(b.Corners, job.BuiltCorner{Name: c.Name, At: job.Point{c.At.U, c.At.V}})
	}
	b.Rows, b.Lines = rowsOf(l), linesOf(l)
	return b
}

func rowsOf(l *setout.Layout) []length.Length {
	var out []length.Length
	for _, s := range l.Seams {
		out = append(out, s.Row)
	}
	return out
}

func linesOf(l *setout.Layout) []length.Length {
	var out []length.Length
	for _, p := range l.Purlins {
		out = append(out, p.EaveLeft)
	}
	return out
}

// keep lays a plane out as it was built: nothing is searched, and the frame,
// purlins and hand are those of the day work began. If that set-out would put a
// row anywhere else now, nothing is laid out at all.
func (r *runner) keep(p job.Plane, out *Plane) {
	b := p.Built
	out.Begun = true
	r.sinceBuilt(p, out.Frame)
	p.Purlins = b.Purlins
	plane, found := roof.Build(p, builtFrame(b, out.Frame))
	r.found(found)
	if finding.HasStop(found) {
		return
	}
	in := setout.Input{Plane: plane, System: r.sys, Wishes: job.Wishes{Start: b.Start}, Tape: r.tape, Rip: r.in.Shop.RipKerf, Heat: setout.Heat(r.out.Heat)}
	c := setout.Candidate{Direction: b.Seams, Skew: b.Skew, Offset: b.Offset, SetInL: b.SetInL, SetInR: b.SetInR, OverRidge: b.OverRidge}
	l := setout.Build(in, c)
	if r.moved(p.Name, b, &l) {
		return
	}
	c.Panels = len(l.Panels)
	o := Option{Candidate: c, Chosen: true, Cost: r.costOf(l)}
	o.Reason = "kept, work has begun: " + r.merits(o)
	out.Options, out.Layout = []Option{o}, &l
	r.found(l.Findings)
	r.out.Findings = append(r.out.Findings, finding.Finding{Level: finding.Note, Code: "built.kept", Plane: p.Name, Where: "built",
		What: "the set-out is the one that was built", Why: "work has begun, so nothing is searched again and no row moves"})
}

// builtFrame is the frame as it was set out; heights and slope move no row and
// are those of today.
func builtFrame(b *job.Built, now measure.Frame) measure.Frame {
	f := measure.Frame{Plane: now.Plane, SlopeRad: now.SlopeRad}
	for _, k := range b.Corners {
		c := measure.Corner{Name: k.Name, At: geom.Point{U: k.At[0], V: k.At[1]}}
		for _, n := range now.Corners {
			if strings.EqualFold(n.Name, k.Name) {
				c.Height = n.Height
			}
		}
		f.Corners = append(f.Corners, c)
	}
	return f
}

// moved raises a stop if the pinned set-out comes out with another row, purlin
// or starter than was built, because the catalogue or the roof's edges changed.
func (r *runner) moved(plane string, b *job.Built, l *setout.Layout) bool {
	what, why := "", ""
	rows, lines := rowsOf(l), linesOf(l)
	switch {
	case len(rows) != len(b.Rows):
		what, why = fmt.Sprintf("the plan would now have %s, but %d were set out", countedSeams(len(rows)), len(b.Rows)), "panel, joint or channel are no longer those of the day work began"
	case l.Work.Starter != b.Starter:
		what, why = fmt.Sprintf("laying would now begin at %s, but it began at %s", l.Work.Starter, b.Starter), "the seams are no longer those of the day work began"
	case len(lines) != len(b.Lines):
		what, why = fmt.Sprintf("the plan would now have %d purlins, but %d were set out", len(lines), len(b.Lines)), "fascia, drip or the rules of the system changed, and readings go by the names of the purlins"
	default:
		for i, at := range rows {
			if at != b.Rows[i] {
				what, why = fmt.Sprintf("%s would move by %s", l.Seams[i].ID, r.tape.Format((at-b.Rows[i]).Abs(), length.Up)), "panel, joint or clip are no longer those of the day work began"
				break
			}
		}
		for i, at := range lines {
			if what == "" && at != b.Lines[i] {
				what, why = fmt.Sprintf("%s would move by %s", l.Purlins[i].ID, r.tape.Format((at-b.Lines[i]).Abs(), length.Up)), "purlins are fixed, and readings go by their names"
			}
		}
	}
	if what == "" {
		return false
	}
	r.out.Findings = append(r.out.Findings, finding.Finding{Level: finding.Stop, Code: "built.moved", Plane: plane, Where: "built", What: what, Why: why,
		Do: "plan with the system, fascia and drip of that day; only where nothing is fixed yet, take the built block out and begin again"})
	return true
}

func countedSeams(n int) string {
	if n == 1 {
		return "1 seam"
	}
	return fmt.Sprintf("%d seams", n)
}

// sinceBuilt says what was changed after work began and is not followed.
func (r *runner) sinceBuilt(p job.Plane, now measure.Frame) {
	b := p.Built
	var worst length.Length
	corner := ""
	for _, n := range now.Corners {
		for _, k := range b.Corners {
			at := geom.Point{U: k.At[0], V: k.At[1]}
			if d := roof.Dist(n.At, at); strings.EqualFold(n.Name, k.Name) && d > worst {
				worst, corner = d, n.Name
			}
		}
	}
	say := func(code, where, what, why, do string) {
		r.out.Findings = append(r.out.Findings, finding.Finding{Level: finding.Warn, Code: code, Plane: p.Name, Where: where, What: what, Why: why, Do: do})
	}
	switch {
	case len(now.Corners) == 0:
		say("built.frame", "tapes", "the readings no longer make a frame", "the plan stands on the frame as it was when work began", "mend the readings; rows and marks stay where they are")
	case worst > sameFrame:
		say("built.frame", "tapes", fmt.Sprintf("by the readings corner %s lies %s from where it was when work began", corner, r.tape.Format(worst, length.Up)),
			"rows already fixed do not move, so the plan stands on the frame as it was set out, edges and lengths too",
			"find out which is true: read both verges at every purlin before ripping, and the length of the next panel before cutting; marks run from the string and stay")
	}
	if !slices.Equal(p.Purlins.Found, b.Purlins.Found) || !slices.Equal(p.Purlins.Right, b.Purlins.Right) {
		say("built.purlins", "purlins.found", "the purlins were changed after work began", "readings go by the names of the purlins, so the plan keeps those of the day work began", "write them as they were; clips on a purlin added since are marked by hand from the rows beside it")
	}
}

// sameFrame is how far a corner may differ without a change of the readings:
// floating point of two machines, 1 µm.
const sameFrame = length.Micrometre
