package papers

import (
	"fmt"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// AsBuilt makes the record of what was built: every planned value beside a box
// for what was read. Readings that the job holds (Options.Built) stand in their
// boxes; a box without a reading stays empty.
func AsBuilt(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	p, o = inLanguage(p, o)
	if len(p.Count.Pieces) == 0 {
		return nil, nil
	}
	say := tx(p)
	paper := newPaper(p, o, say.BuiltTitle, say.BuiltDesc)
	c := &paper.Column
	c.Para(say.BuiltSaw)
	for i := range p.Planes {
		if l := p.Planes[i].Layout; l != nil {
			builtMarks(c, p, o, i, l)
			builtRips(c, p, o, i, l)
		}
	}
	builtCounts(c, p)
	c.Head(say.BuiltHolds, "")
	var holds []func(*flow.Column)
	for _, s := range p.Sequence.Steps {
		if s.Hold {
			holds = append(holds, func(c *flow.Column) {
				c.Drawing(6.4, func(a scene.Rect) []scene.Item {
					st, text := scene.Shorten(scene.Body, a.W-34, planeTitle(p, s.Plane, speak(p, s.Title)))
					out := append(draft.Hold(scene.P(a.X+3.1, a.Y+3.2), s.ID), scene.T(a.X+8, a.Y+3.2, st, text).Amid())
					return append(out, scene.HLine(scene.Pen(scene.Fine), a.Right()-24, a.Right(), a.Bottom()-0.8))
				})
			})
		}
	}
	half := (len(holds) + 1) / 2
	run := func(fs []func(*flow.Column)) func(*flow.Column) {
		return func(c *flow.Column) {
			for _, f := range fs {
				f(c)
			}
		}
	}
	if len(holds) > 0 && len(holds) < 24 {
		c.Columns(6, []float64{1, 1}, run(holds[:half]), run(holds[half:]))
	} else {
		run(holds)(c)
	}
	c.Head(say.BuiltChange, "")
	for range 3 {
		c.Drawing(7, func(a scene.Rect) []scene.Item {
			return scene.Items(scene.HLine(scene.Pen(scene.Fine), a.X, a.Right(), a.Bottom()))
		})
	}
	paper.Last = func(c *flow.Column) {
		c.Para(fmt.Sprintf(say.FmtNotCheckedLine, len(p.NotChecked)))
		c.Space(1)
		c.Caution(say.Caution, say.Fragile, cautionLast(p))
		c.Blanks(say.BlankForeman, say.BlankDate)
	}
	return paper.Sheets()
}

func planeTitle(p plan.Plan, plane, title string) string {
	if len(p.Planes) > 1 && plane != "" {
		return plane + ": " + title
	}
	return title
}

// builtMarks sets the planned marks of every row over boxes, eight seams a band.
func builtMarks(c *flow.Column, p plan.Plan, o Options, i int, l *setout.Layout) {
	const most = 8
	title := tx(p).BuiltMarks
	if n := sheets.PlaneName(p, i); n != "" {
		title += ", " + n
	}
	c.Head(title, tx(p).BuiltMarksHow)
	job := o.Built[p.Planes[i].Frame.Plane]
	if len(job.Fixed) > 0 {
		c.Para(fmt.Sprintf(tx(p).FmtBuiltFixed, strings.Join(job.Fixed, ", ")))
	}
	read := map[string]length.Length{}
	for _, x := range job.Landings {
		for purlin, reads := range x.Reads {
			if len(reads) > 0 {
				read[x.Seam+" "+purlin] = reads[len(reads)-1]
			}
		}
	}
	for lo := 0; lo < len(l.Seams); lo += most {
		seams := l.Seams[lo:min(lo+most, len(l.Seams))]
		c.Drawing(5, func(a scene.Rect) []scene.Item {
			var out []scene.Item
			for k, s := range seams {
				out = append(out, scene.T(builtX(a, k), a.Y+3.6, scene.Name, s.ID).Mid())
			}
			return append(out, scene.HLine(scene.Pen(scene.Mid), a.X, a.Right(), a.Bottom()))
		})
		for _, row := range l.Marks {
			c.Drawing(11.6, func(a scene.Rect) []scene.Item { return builtRow(p, row, seams, read, a) })
		}
		c.Space(2)
	}
}

// builtX is the middle of box k of a band.
func builtX(a scene.Rect, k int) float64 { return a.X + 14 + (a.W-14)/8*(float64(k)+0.5) }

func builtRow(p plan.Plan, row setout.Row, seams []setout.Seam, read map[string]length.Length, a scene.Rect) []scene.Item {
	tape := p.Job.Tape
	out := scene.Items(scene.T(a.X, a.Y+8.4, scene.Name, row.Purlin).Amid())
	for k, s := range seams {
		for _, m := range row.Marks {
			if m.ID != s.ID {
				continue
			}
			x := builtX(a, k)
			out = append(out, scene.M(x, a.Y+2.7, scene.Body, tape.Plain(m.At, length.Nearest)).Mid().Amid(),
				scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, scene.Rect{X: x - 9, Y: a.Y + 5.2, W: 18, H: 5.8}))
			if v, ok := read[s.ID+" "+row.Purlin]; ok {
				out = append(out, scene.M(x, a.Y+8.1, scene.Remark.Bold(), tape.Plain(v, length.Nearest)).Mid().Amid())
			}
		}
	}
	return out
}

func builtRips(c *flow.Column, p plan.Plan, o Options, i int, l *setout.Layout) {
	say, tape := tx(p), p.Job.Tape
	t := flow.Table{Size: 3.4, Cols: []flow.Col{{Head: say.BuiltPanel, Bold: true, Width: 18}, {Head: say.BuiltPlanned, Width: 48}, {Head: say.BuiltEave, Rule: true}, {Head: say.BuiltHead, Rule: true}}}
	for _, q := range l.Panels {
		if q.Rip {
			t.Rows = append(t.Rows, []string{q.ID, prose(tape.Plain(q.EaveWidth, length.Nearest) + " → " + tape.Plain(q.HeadWidth, length.Nearest)), "", ""})
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	c.Head(say.BuiltRips, "")
	if done := o.Built[p.Planes[i].Frame.Plane].Ripped; len(done) > 0 {
		c.Para(fmt.Sprintf(say.FmtBuiltRipped, strings.Join(done, ", ")))
	}
	c.Table(t)
}

func builtCounts(c *flow.Column, p plan.Plan) {
	say := tx(p)
	c.Head(say.BuiltCounts, "")
	t := flow.Table{Size: 3.2, Cols: []flow.Col{{Head: say.BuiltWhat, Width: 62}, {Head: say.BuiltPlan, Align: scene.Right, Bold: true, Width: 24}, {Head: say.BuiltIs, Rule: true}}}
	for _, x := range []struct {
		what string
		n    int
	}{{say.BuiltClips, partCount(p, "clip")}, {say.BuiltScrews, partCount(p, "clip screw")}, {say.BuiltChannelScrews, partCount(p, "channel screw")}, {say.BuiltCaps, kindCount(p, takeoff.Cap)}, {say.BuiltClosures, p.Count.Ends}} {
		t.Rows = append(t.Rows, []string{x.what, fmt.Sprint(x.n), ""})
	}
	for _, what := range []string{say.BuiltBatch, say.BuiltTemp, say.BuiltSpecies} {
		t.Rows = append(t.Rows, []string{what, "", ""})
	}
	c.Table(t)
}
