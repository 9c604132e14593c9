package scene

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// recorder keeps what a back end would be given.
type recorder struct {
	shapes   []Shape
	writings []Writing
	depth    int
	log      []string
}

func (r *recorder) Open(m Meta)       { r.depth++; r.log = append(r.log, "open "+m.Layer) }
func (r *recorder) Close()            { r.depth--; r.log = append(r.log, "close") }
func (r *recorder) Clip([]Seg)        { r.log = append(r.log, "clip") }
func (r *recorder) Unclip()           { r.log = append(r.log, "unclip") }
func (r *recorder) Shape(s Shape)     { r.shapes = append(r.shapes, s); r.log = append(r.log, "shape") }
func (r *recorder) Writing(w Writing) { r.writings = append(r.writings, w) }

func play(items ...Item) *recorder {
	r := &recorder{}
	Draw(&Sheet{Size: A4, Items: items}, r)
	return r
}

// A drawing at 1:40 whose pens shrank with it could not be read; a text that
// grew with it would cover it.
func TestScaleLeavesPensAndLettersAlone(t *testing.T) {
	r := play(Group{Matrix: Scale(0.025), Items: Items(
		Segment(Pen(Thick).Of(Dashed), P(0, 0), P(4000, 0)), T(400, 0, Value, "146"))})
	s := r.shapes[0]
	near(t, "end of line", s.Segs[1].P[0].X, 100, 1e-9)
	near(t, "pen", s.Line.Width, 0.5, 0)
	near(t, "dash", s.Dash[0], 12*0.35, 0.4)
	near(t, "text x", r.writings[0].Origin.X, 10, 1e-9)
	near(t, "letters", r.writings[0].Pieces[0].Size, Large, 0)
}

func TestGroupsNestAndClip(t *testing.T) {
	r := play(Group{Layer: "a", Clip: Circle(Line{}, Fill{}, P(5, 5), 3), Items: Items(On("b", HLine(Pen(Thin), 0, 9, 5)))})
	want := "open a,clip,open b,shape,close,unclip,close"
	if got := strings.Join(r.log, ","); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// Dashes: every line shows whole dashes at both ends, so that corners of hidden
// edges close.
func TestDashesBeginAndEndFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Pen(rapid.SampledFrom([]float64{Fine, Thin, Mid, Thick, Strong}).Draw(t, "pen")).
			Of(rapid.SampledFrom([]LineType{Dashed, LongDashDot, LongDashTwice}).Draw(t, "type"))
		length := rapid.Float64Range(0.1, 400).Draw(t, "length")
		d := l.dashFor(length)
		if d == nil {
			if length > 2*25*0.35 {
				t.Fatalf("a line of %.1f mm lost its dashes", length)
			}
			return
		}
		period := 0.0
		for _, v := range d {
			period += v
		}
		n := (length - d[0]) / period
		if math.Abs(n-math.Round(n)) > 1e-6 || n < 0.5 {
			t.Fatalf("%.2f periods in %.1f mm", n, length)
		}
		if k := d[0] / l.pattern()[0]; k < 0.44 || k > 1.6 {
			t.Fatalf("dashes stretched by %.2f", k)
		}
	})
}

// Hatch lines outside their shape would mark good panel as scrap.
func TestPatternsStayInside(t *testing.T) {
	shape := Polygon(Line{}, Fill{}, P(10, 10), P(60, 12), P(40, 30), P(58, 55), P(12, 50))
	ring := [][]Pt{{P(10, 10), P(60, 12), P(40, 30), P(58, 55), P(12, 50)}}
	for _, f := range []Fill{Hatch(45, 1.2), Hatch(135, 0.8), Grain(20), Rings(P(30, 70)), Rings(P(30, 30)), Dots(1.4)} {
		p, ok := f.patternPath(shape.Segs)
		if !ok {
			t.Fatalf("kind %d: no pattern", f.Kind)
		}
		pts, _ := Flatten(p.Segs)
		n := 0
		for _, l := range pts {
			for i := 1; i < len(l); i++ {
				m := l[i-1].Mid(l[i])
				if !inside(m, ring) && edgeDistance(m, ring) > 1e-6 {
					t.Fatalf("kind %d: %v lies outside", f.Kind, m)
				}
				n++
			}
		}
		if n < 20 {
			t.Errorf("kind %d: only %d pieces", f.Kind, n)
		}
	}
}

// A hatch of the whole shape must be as long as area over gap says.
func TestHatchIsEven(t *testing.T) {
	p, _ := Hatch(45, 1).patternPath(Rectangle(Line{}, Fill{}, Rect{20, 20, 60, 40}).Segs)
	sum := 0.0
	for _, r := range runs(p.Segs) {
		sum += r.length()
	}
	near(t, "length of hatch lines", sum, 60*40/1.0, 60)
}

func TestHoleIsNotHatched(t *testing.T) {
	outer := Rectangle(Line{}, Hatch(45, 1), Rect{0, 0, 30, 30})
	hole := Polygon(Line{}, Fill{}, P(10, 10), P(10, 20), P(20, 20), P(20, 10))
	p, _ := outer.Fill.patternPath(outer.With(hole).Segs)
	for _, r := range runs(p.Segs) {
		for i := 1; i < len(r.pts); i++ {
			if m := r.pts[i-1].Mid(r.pts[i]); m.X > 10.01 && m.X < 19.99 && m.Y > 10.01 && m.Y < 19.99 {
				t.Fatalf("hatch in the hole at %v", m)
			}
		}
	}
}

func TestValidateNamesWhatCannotBeDrawn(t *testing.T) {
	cases := []struct {
		name, want string
		sheet      *Sheet
	}{
		{"glyph", "⌀", &Sheet{Size: A4, Items: Items(T(30, 30, Body, "hole ⌀ 5"))}},
		{"newline", "glyph", &Sheet{Size: A4, Items: Items(T(30, 30, Body, "two\nlines"))}},
		{"NaN", "NaN", &Sheet{Size: A4, Items: Items(HLine(Pen(1), 0, math.NaN(), 3))}},
		{"text NaN", "stands at", &Sheet{Size: A4, Items: Items(T(math.Inf(1), 3, Body, "a"))}},
		{"page", "page of", &Sheet{}},
		{"pen", "wide", &Sheet{Size: A4, Items: Items(HLine(Pen(-1), 0, 1, 3), HLine(Pen(99), 0, 1, 3))}},
		{"size", "size", &Sheet{Size: A4, Items: Items(T(30, 30, Style{}, "a"))}},
		{"path", "begin", &Sheet{Size: A4, Items: Items(Path{Segs: []Seg{{Op: To}}, Line: Pen(1)})}},
	}
	for _, c := range cases {
		if err := Validate(c.sheet); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if Validate(nil) == nil {
		t.Error("nil sheet accepted")
	}
}
