// Package sheets draws a plan: roof, purlin marks, details, saw plans, labels
// and the survey. Each drawing comes as a figure, which fills an area of a paper,
// and as a sheet of its own. Nothing is computed here that is not in the plan;
// what is drawn out of scale says so.
package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// figure collects what is drawn into an area and finds places for labels that
// touch nothing.
type figure struct {
	area   scene.Rect
	items  []scene.Item
	placer *scene.Placer
}

func newFigure(area scene.Rect) *figure {
	paper := scene.NewSheet(scene.Custom(area.Right(), area.Bottom()), "")
	paper.Margins = scene.Margins{Left: area.X, Top: area.Y}
	return &figure{area: area, placer: scene.NewPlacer(paper)}
}

// add draws items and keeps their place.
func (f *figure) add(items ...scene.Item) {
	f.items = append(f.items, items...)
	f.placer.Block(items...)
}

// drawn adds items that a helper has already shown to the placer.
func (f *figure) drawn(items ...scene.Item) { f.items = append(f.items, items...) }

// place draws the first text that stands free. It reports whether one did; if
// none does nothing is drawn.
func (f *figure) place(candidates ...scene.Text) bool {
	t, ok := f.placer.Place(candidates...)
	if ok {
		f.items = append(f.items, t)
	}
	return ok
}

// rule writes lengths the way the tape of the job shows them.
type rule struct {
	tape length.Tape
	say  *words.Table // texts in the language of the job
}

// tx is the texts in the language of the job.
func tx(p plan.Plan) *words.Table { return words.In(p.Job.Language) }

func ruleOf(p plan.Plan) rule { return rule{p.Job.Tape, tx(p)} }

// at rounds to the tape, once.
func (r rule) at(l length.Length) length.Length { return l.Round(r.tape.Tick, length.Nearest) }

// s writes a length without its unit.
func (r rule) s(l length.Length) string { return r.tape.Plain(l, length.Nearest) }

// both adds the millimetres in brackets on an inch tape.
func (r rule) both(l length.Length) string {
	if !r.tape.Inches {
		return r.s(l)
	}
	return fmt.Sprintf("%s [%.0f]", r.s(l), r.at(l).MM())
}

// steps are the differences of rounded running values: they add up to the last
// less the first, whatever was rounded.
func (r rule) steps(running []length.Length) []string {
	var out []string
	for i := 1; i < len(running); i++ {
		out = append(out, r.s(r.at(running[i])-r.at(running[i-1])))
	}
	return out
}

// Size is the paper of a job.
func Size(p plan.Plan) scene.Size {
	if p.Job.Paper == "Letter" {
		return scene.Letter
	}
	return scene.A4
}

// JobTag names the job at the head of a paper.
func JobTag(p plan.Plan) string {
	if p.Job.Number == "" {
		return p.Job.Name
	}
	return p.Job.Number
}

// page is a sheet of its own for a drawing, with a head line.
func page(p plan.Plan, size scene.Size, title, subject, desc string) (*scene.Sheet, scene.Rect) {
	s := scene.NewSheet(size, title)
	s.Desc = desc
	s.Lang = words.Lang(p.Job.Language)
	y := draft.HeadLine(s, title, subject, JobTag(p), p.Job.Name)
	f := s.Field()
	return s, scene.Rect{X: f.X, Y: y + 3, W: f.W, H: f.Bottom() - y - 3}
}

// PlaneName names a plane where there are several.
func PlaneName(p plan.Plan, i int) string {
	if len(p.Planes) < 2 {
		return ""
	}
	return p.Planes[i].Frame.Plane
}

// Slug makes a name fit for a file: letters, figures and hyphens.
func Slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if out := strings.TrimSuffix(b.String(), "-"); out != "" {
		return out
	}
	return "roof"
}

// bounds is the least rectangle round points, in real mm.
type bounds struct{ x0, y0, x1, y1 float64 }

func boundsOf(polys ...geom.Polygon) bounds {
	b := bounds{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range polys {
		for _, q := range p {
			b.x0, b.y0 = math.Min(b.x0, q.U.MM()), math.Min(b.y0, q.V.MM())
			b.x1, b.y1 = math.Max(b.x1, q.U.MM()), math.Max(b.y1, q.V.MM())
		}
	}
	return b
}

func purlinOf(l *setout.Layout, id string) (setout.Purlin, bool) {
	for _, p := range l.Purlins {
		if p.ID == id {
			return p, true
		}
	}
	return setout.Purlin{}, false
}

func seamOf(l *setout.Layout, id string) (setout.Seam, bool) {
	for _, s := range l.Seams {
		if s.ID == id {
			return s, true
		}
	}
	return setout.Seam{}, false
}

// markPoint is where a running mark lies on the plane.
func markPoint(l *setout.Layout, row setout.Row, m setout.Mark) (geom.Point, bool) {
	q, ok := purlinOf(l, row.Purlin)
	z, okZ := seamOf(l, row.Zero)
	if !ok || !okZ || q.Left.U == q.Right.U {
		return geom.Point{}, false
	}
	du, dv := (q.Right.U - q.Left.U).MM(), (q.Right.V - q.Left.V).MM()
	k := m.Exact.MM() / math.Hypot(du, dv)
	zero := geom.Point{U: z.Row, V: geom.AtU(q.Left, q.Right, z.Row)}
	return geom.Point{U: zero.U + length.FromMM(k*du), V: zero.V + length.FromMM(k*dv)}, true
}

// wrapped sets a paragraph from a point down and returns its height.
func wrapped(st scene.Style, x, y, w float64, text string) ([]scene.Item, float64) {
	pace := math.Round(st.Size*14) / 10
	var out []scene.Item
	lines := scene.Wrap(st, w, text)
	for i, l := range lines {
		out = append(out, scene.Text{At: scene.P(x, y+pace*(float64(i)+0.5)+0.35*st.Size), Runs: l, Style: st})
	}
	return out, pace * float64(len(lines))
}

// handAngle is the direction a clip's flag points on the paper.
func handAngle(h setout.Hand) float64 {
	if h == setout.FlangeLeft {
		return 180
	}
	return 0
}
