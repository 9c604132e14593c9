package sheets

import (
	"fmt"
	"math"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// PlanText says where the datum lies and which way the work goes.
func PlanText(p plan.Plan, i int) string {
	l := p.Planes[i].Layout
	if l == nil {
		return tx(p).NoLayout
	}
	r := ruleOf(p)
	text := tx(p).NoSeam
	if m := l.Datum; m.Seam != "" && m.Between > 0 {
		text = fmt.Sprintf(tx(p).FmtDatum, m.Seam, r.s(m.Bottom.FromLeft), m.Bottom.Purlin, r.s(m.Top.FromLeft), m.Top.Purlin)
		text += " " + fmt.Sprintf(tx(p).FmtStarts, sideWord(tx(p), l.Work.From))
	}
	if math.Abs(l.Skew) > 1e-4 {
		way := tx(p).RightWord
		if l.Skew < 0 {
			way = tx(p).LeftWord
		}
		if p.Job.Tape.Inches {
			text += " " + fmt.Sprintf(tx(p).FmtSkew, r.s(length.FromMM(math.Abs(math.Tan(l.Skew))*3048)), way)
		} else {
			text += " " + fmt.Sprintf(tx(p).FmtSkewMM, r.s(length.FromMM(math.Abs(math.Tan(l.Skew))*3000)), way)
		}
	}
	return text + " " + fmt.Sprintf(tx(p).FmtFalls, SlopeText(p, l.Slope)) + " " + tx(p).KeyChains
}

// PlanNote sets PlanText as a paragraph and returns its height.
func PlanNote(p plan.Plan, i int, x, y, w float64) ([]scene.Item, float64) {
	return wrapped(scene.Body, x, y, w, PlanText(p, i))
}

// PlanKey explains the lines that plane i uses.
func PlanKey(p plan.Plan, i int) []draft.Entry {
	l := p.Planes[i].Layout
	frame := draft.Entry{Sample: draft.KeyLine(scene.Pen(scene.Thick)), Text: tx(p).KeyFrame}
	if l == nil {
		return []draft.Entry{frame}
	}
	out := []draft.Entry{frame,
		{Sample: draft.KeyLine(scene.Pen(scene.Mid)), Text: tx(p).KeyPanel},
		{Sample: seamSample, Text: tx(p).KeySeam}}
	found, added := false, false
	for _, q := range l.Purlins {
		found, added = found || q.Found, added || !q.Found
	}
	line := func(show bool, pen scene.Line, text string) {
		if show {
			out = append(out, draft.Entry{Sample: draft.KeyLine(pen), Text: text})
		}
	}
	mark := func(show bool, draw func(scene.Pt) []scene.Item, text string) {
		if show {
			out = append(out, draft.Entry{Sample: draft.KeyMark(draw), Text: text})
		}
	}
	line(found, scene.Pen(scene.Thin).Of(scene.Dashed), tx(p).KeyFound)
	line(added, scene.Pen(scene.Thick).Of(scene.Dashed), tx(p).KeyAdded)
	line(len(l.Rafters) > 0, scene.Pen(scene.Fine).Of(scene.LongDashDot), tx(p).KeyRafter)
	line(l.Datum.Seam != "", scene.Pen(scene.Strong).Of(scene.LongDashTwice), tx(p).KeyDatum)
	mark(len(l.Clips) > 0, func(c scene.Pt) []scene.Item { return draft.ClipMark(c, 1.9, clipKeyAngle(l)) }, tx(p).KeyClip)
	mark(l.Movement.FixedPurlin != "", func(c scene.Pt) []scene.Item { return draft.FixedPoint(c, 2.4, 90) }, tx(p).KeyFixed)
	line(len(l.Channels) > 0, scene.Pen(scene.Strong), tx(p).KeyChannel)
	for _, q := range l.Panels {
		if q.Rip {
			out = append(out, draft.Entry{Sample: draft.KeyFill(scene.Dots(1.7)), Text: tx(p).KeyRip})
			break
		}
	}
	for _, e := range l.Edges {
		if e.Wall {
			out = append(out, draft.Entry{Sample: draft.KeyFill(scene.Hatch(45, 1.1)), Text: tx(p).KeyWall})
			break
		}
	}
	mark(len(l.KeepOff) > 0, crossed, tx(p).KeyKeepOff)
	return out
}

func clipKeyAngle(l *setout.Layout) float64 { return handAngle(l.Clips[0].Hand) }

func seamSample(x, y, w float64) []scene.Item {
	return scene.Items(scene.Rectangle(scene.Pen(scene.Thin), scene.Solid(scene.White), scene.Rect{X: x, Y: y - seamWidth/2, W: w, H: seamWidth}))
}

func crossed(c scene.Pt) []scene.Item {
	const h = 1.3
	pen := scene.Pen(scene.Fine)
	return scene.Items(scene.Rectangle(pen, scene.Fill{}, scene.Rect{X: c.X - h, Y: c.Y - h, W: 2 * h, H: 2 * h}),
		scene.Segment(pen, c.Add(scene.P(-h, -h)), c.Add(scene.P(h, h))), scene.Segment(pen, c.Add(scene.P(-h, h)), c.Add(scene.P(h, -h))))
}
