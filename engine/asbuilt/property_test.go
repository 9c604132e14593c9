package asbuilt_test

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"seamwright/engine/asbuilt"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// drawn is a plain roof with some rows fixed and read.
func drawn(t *rapid.T, tb testing.TB) asbuilt.Input {
	from := rapid.SampledFrom([]string{"left", "right", "middle"}).Draw(t, "from")
	n, m := rapid.IntRange(2, 12).Draw(t, "rows"), rapid.IntRange(2, 6).Draw(t, "purlins")
	in := asbuilt.Input{Layout: made(n, m, from), Tape: rapid.SampledFrom([]length.Tape{length.WholeMM, length.HalfMM}).Draw(t, "tape"), Rules: plainRules()}
	in.Rules.Close = length.Length(rapid.Int64Range(0, int64(2*mm)).Draw(t, "close"))
	in.Rules.Open = length.Length(rapid.Int64Range(0, int64(2*mm)).Draw(t, "open"))
	in.Pairs = []asbuilt.Pair{{First: in.Layout.Panels[0].ID, Second: in.Layout.Panels[n].ID, Turned: rapid.Bool().Draw(t, "turned")}}
	in.Rules.Sheet = 605 * mm
	for i := range n {
		if !rapid.Bool().Draw(t, "touched") {
			continue
		}
		l := asbuilt.Landing{Seam: name("S", i), Fixed: rapid.IntRange(0, 4).Draw(t, "fixed") > 0}
		shift, turn := rapid.Int64Range(-40000, 40000).Draw(t, "shift"), rapid.Int64Range(-8000, 8000).Draw(t, "turn")
		for j, p := range in.Layout.Purlins {
			if rapid.Bool().Draw(t, "read") {
				off := length.Length(shift + turn*int64(2*j-m+1)/int64(m) + rapid.Int64Range(-4000, 4000).Draw(t, "noise"))
				l.Reads = append(l.Reads, asbuilt.Read{Purlin: p.ID, At: exact(tb, in.Layout, l.Seam, p.ID) + off})
			}
		}
		in.Landings = append(in.Landings, l)
	}
	return in
}

// mirrored is the same roof seen in a mirror: names stay with the things, left
// and right change places.
func mirrored(in asbuilt.Input) asbuilt.Input {
	l := in.Layout
	width := l.Purlins[0].Right.U
	flip := func(q geom.Point) geom.Point { return geom.Point{U: width - q.U, V: q.V} }
	side := map[string]string{"left": "right", "right": "left", "middle": "middle"}
	hand := map[setout.Hand]setout.Hand{setout.FlangeLeft: setout.FlangeRight, setout.FlangeRight: setout.FlangeLeft}
	out := l
	out.Work.From = side[l.Work.From]
	out.Seams, out.Panels, out.Clips, out.Purlins, out.Marks, out.Readings = nil, nil, nil, nil, nil, nil
	for _, s := range l.Seams {
		s.U, s.Row, s.Hand = width-s.U, width-s.Row, hand[s.Hand]
		out.Seams = append(out.Seams, s)
	}
	for _, p := range l.Panels {
		var o geom.Polygon
		for i := range p.Outline {
			o = append(o, flip(p.Outline[len(p.Outline)-1-i]))
		}
		p.Outline, p.Left, p.Right = o, p.Right, p.Left
		out.Panels = append(out.Panels, p)
	}
	for _, c := range l.Clips {
		c.At, c.Hand = flip(c.At), hand[c.Hand]
		out.Clips = append(out.Clips, c)
	}
	for _, p := range l.Purlins {
		p.Left, p.Right = flip(p.Right), flip(p.Left)
		out.Purlins = append(out.Purlins, p)
	}
	for _, r := range l.Marks {
		var marks []setout.Mark
		for _, k := range r.Marks {
			k.Exact, k.At, k.Hand = -k.Exact, -k.At, hand[k.Hand]
			marks = append(marks, k)
		}
		r.Marks = marks
		out.Marks = append(out.Marks, r)
	}
	for _, r := range l.Readings {
		r.Side = side[r.Side]
		out.Readings = append(out.Readings, r)
	}
	m := in
	m.Layout, m.Landings = out, nil
	for _, x := range in.Landings {
		reads := []asbuilt.Read{}
		for _, r := range x.Reads {
			reads = append(reads, asbuilt.Read{Purlin: r.Purlin, At: -r.At})
		}
		x.Reads = reads
		m.Landings = append(m.Landings, x)
	}
	return m
}

// A left-handed crew must get the same advice as a right-handed one: everything
// that is measured along the work is equal, everything to the right changes its
// sign.
func TestMirroredRunMirrorsTheAdvice(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := drawn(rt, t)
		a, b := asbuilt.Assess(in), asbuilt.Assess(mirrored(in))
		if a.Verdict != b.Verdict || a.Just != b.Just || len(a.Runs) != len(b.Runs) || len(a.Seams) != len(b.Seams) {
			rt.Fatalf("%s at %s, mirrored %s at %s", a.Verdict, a.Just, b.Verdict, b.Just)
		}
		for _, x := range a.Runs {
			y := towards(t, b, map[string]string{"left": "right", "right": "left"}[x.Towards])
			if x.Front != y.Front || x.Left != y.Left || x.Turns != y.Turns || x.Trend != y.Trend || x.PerPanel != y.PerPanel || x.Ends != y.Ends ||
				!reflect.DeepEqual(x.Last, y.Last) || !reflect.DeepEqual(x.Pairs, y.Pairs) || x.Advice.Words != y.Advice.Words || x.Advice.Limits != y.Advice.Limits || x.Advice.Even != y.Advice.Even {
				rt.Fatalf("%+v\nmirrored %+v", x, y)
			}
			for i, m := range x.Advice.Moves {
				for j, k := range m.Marks {
					q := y.Advice.Moves[i].Marks[j]
					if k.Exact != -q.Exact || k.At != -q.At || k.Step != q.Step || k.Joint != q.Joint {
						rt.Fatalf("%s %s: %+v, mirrored %+v", m.Seam, k.Purlin, k, q)
					}
				}
			}
			for i, r := range x.Rips {
				if !reflect.DeepEqual(r.Rows, y.Rips[i].Rows) || r.Fits != y.Rips[i].Fits || r.Sure != y.Rips[i].Sure {
					rt.Fatalf("%+v, mirrored %+v", r, y.Rips[i])
				}
			}
		}
		for i, f := range a.Seams {
			g := b.Seams[len(b.Seams)-1-i]
			if f.Seam != g.Seam || math.Abs(f.Shift.Value+g.Shift.Value) > 1e-9 {
				rt.Fatalf("%+v, mirrored %+v", f, g)
			}
		}
	})
}

// Nothing that is screwed down is ever moved, every joint stays within its
// play, marks are rounded once, and where the error can be taken back the steps
// sum up to it exactly: a crew that follows the marks ends on them.
func TestMovesKeepTheirPromises(t *testing.T) {
	corrected := 0
	rapid.Check(t, func(rt *rapid.T) {
		in := drawn(rt, t)
		fixed := map[string]bool{}
		for _, l := range in.Landings {
			fixed[l.Seam] = fixed[l.Seam] || l.Fixed
		}
		r := asbuilt.Assess(in)
		for _, run := range r.Runs {
			a := run.Advice
			if (a.Verdict == asbuilt.Lift || a.Verdict == asbuilt.ReadAgain || a.Verdict == asbuilt.GoOn) && len(a.Moves) > 0 {
				rt.Fatalf("%s with new marks: %+v", a.Verdict, a)
			}
			if a.Words == "" {
				rt.Fatalf("%s without a word", a.Verdict)
			}
			sums := map[string]length.Length{}
			for _, m := range a.Moves {
				if fixed[m.Seam] {
					rt.Fatalf("%s is fixed, and moved: %+v", m.Seam, m)
				}
				for _, k := range m.Marks {
					if k.Planned != exact(t, in.Layout, m.Seam, k.Purlin) || k.At != k.Exact.Round(in.Tape.Tick, length.Nearest) {
						rt.Fatalf("%s: %+v", m.Seam, k)
					}
					if k.Joint < -in.Rules.Close-1 || k.Joint > in.Rules.Open+1 {
						rt.Fatalf("%s at %s changes its joint by %v, past %v and %v", m.Seam, k.Purlin, k.Joint, in.Rules.Close, in.Rules.Open)
					}
					sums[k.Purlin] += k.Step
				}
			}
			if len(a.Moves) == 0 {
				continue
			}
			corrected++
			sign := length.Length(1)
			if run.Towards == "left" {
				sign = -1
			}
			for _, k := range a.Moves[len(a.Moves)-1].Marks {
				left := sign * (k.Exact - k.Planned)
				var off length.Length // of the front, as fitted
				for _, f := range r.Seams {
					if f.Seam == run.Front {
						for _, row := range f.Rows {
							if row.Purlin == k.Purlin {
								off = sign * row.Offset
							}
						}
					}
				}
				if seen := frontRead(r, run.Front); seen && (off+sums[k.Purlin]-left).Abs() > 1 {
					rt.Fatalf("%s: off by %v, steps of %v, left %v", k.Purlin, off, sums[k.Purlin], left)
				}
				if len(a.Moves) < run.Left && left != 0 {
					rt.Fatalf("stopped at %s with %v left and %d rows to go", a.Moves[len(a.Moves)-1].Seam, left, run.Left)
				}
			}
		}
	})
	if corrected == 0 {
		t.Error("no run was corrected: the test says nothing")
	}
}

func frontRead(r asbuilt.Result, front string) bool {
	for _, f := range r.Seams {
		if f.Seam == front {
			return true
		}
	}
	return false
}

// Rows read exactly on their marks change nothing, however many there are.
func TestExactReadingsChangeNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := drawn(rt, t)
		for i := range in.Landings {
			in.Landings[i].Fixed = true
			for j, read := range in.Landings[i].Reads {
				in.Landings[i].Reads[j].At = exact(t, in.Layout, in.Landings[i].Seam, read.Purlin)
			}
		}
		for _, run := range asbuilt.Assess(in).Runs {
			if v := run.Advice.Verdict; v != asbuilt.GoOn && v != asbuilt.NotRead || len(run.Advice.Moves) > 0 || run.Trend || run.Turns {
				rt.Fatalf("%s: %+v", v, run.Advice)
			}
			for _, f := range run.Last {
				if f.Offset.Mean != 0 {
					rt.Fatalf("%+v", f)
				}
			}
		}
	})
}

// scaled is the same roof with every length k times as long.
func scaled(in asbuilt.Input, k length.Length) asbuilt.Input {
	var mul func(v reflect.Value)
	mul = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Int64:
			if v.Type() == reflect.TypeFor[length.Length]() {
				v.SetInt(v.Int() * int64(k))
			}
		case reflect.Slice:
			for i := range v.Len() {
				mul(v.Index(i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				mul(v.Field(i))
			}
		}
	}
	mul(reflect.ValueOf(&in).Elem())
	in.Rules.ReadSD *= float64(k)
	return in
}

// A roof three times as large with a tape three times as coarse gets the same
// verdict and three times the moves: no constant with a unit hides in the
// engine, so that inches and millimetres are judged alike.
func TestScaledRoofIsJudgedAlike(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := drawn(rt, t)
		one, _ := json.Marshal(in) // deep copy
		var big asbuilt.Input
		if err := json.Unmarshal(one, &big); err != nil {
			rt.Fatal(err)
		}
		a, b := asbuilt.Assess(in), asbuilt.Assess(scaled(big, 3))
		if a.Verdict != b.Verdict {
			rt.Fatalf("%s, three times as large %s", a.Verdict, b.Verdict)
		}
		for i, x := range a.Runs {
			y := b.Runs[i]
			if x.Advice.Verdict != y.Advice.Verdict || x.Turns != y.Turns || x.Trend != y.Trend || len(x.Advice.Moves) != len(y.Advice.Moves) || math.Abs(3*x.PerPanel.Value-y.PerPanel.Value) > 1e-6 {
				rt.Fatalf("%+v\n%+v", x, y)
			}
			for j, m := range x.Advice.Moves {
				for k, q := range m.Marks {
					if (3*q.Exact - y.Advice.Moves[j].Marks[k].Exact).Abs() > 6 {
						rt.Fatalf("%s %s: %v, three times as large %v", m.Seam, q.Purlin, q.Exact, y.Advice.Moves[j].Marks[k].Exact)
					}
				}
			}
		}
	})
}

// The order in which readings were taken does not change what they say, and a
// result can be stored and read back.
func TestOrderAndStorage(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := drawn(rt, t)
		a := asbuilt.Assess(in)
		for i := range in.Landings {
			l := &in.Landings[i]
			reads := []asbuilt.Read{}
			for j := range l.Reads {
				reads = append(reads, l.Reads[len(l.Reads)-1-j])
			}
			l.Reads = reads
		}
		if b := asbuilt.Assess(in); !reflect.DeepEqual(a, b) {
			rt.Fatalf("%+v\n%+v", a, b)
		}
		data, err := json.Marshal(a)
		if err != nil {
			rt.Fatal(err)
		}
		var c asbuilt.Result
		if err := json.Unmarshal(data, &c); err != nil {
			rt.Fatal(err)
		}
		again, _ := json.Marshal(c)
		if string(again) != string(data) {
			rt.Fatal("stored and read back, the result differs")
		}
	})
}

// Thumbs in wet gloves type anything: nothing of it may panic, and the verdict
// is always one of ours.
func FuzzAssess(f *testing.F) {
	f.Add("S01", "PL01", int64(0), "S02", "PL02", int64(1_600_000), int64(8000), int64(8000), 0.5, 0.5, uint8(0))
	f.Add("S03", "PL04", int64(math.MaxInt64), "S03", "PL04", int64(math.MinInt64), int64(-1), int64(math.MaxInt64), math.NaN(), math.Inf(1), uint8(7))
	f.Fuzz(func(t *testing.T, s1, p1 string, a1 int64, s2, p2 string, a2, play, tol int64, batch, sd float64, bits uint8) {
		from := []string{"left", "right", "middle"}[bits%3]
		in := asbuilt.Input{Layout: made(4, 3, from), Tape: length.Tape{Tick: length.Length(int64(bits) * 1000)},
			Rules: asbuilt.Rules{Close: length.Length(play), Open: length.Length(tol), GoOn: length.Length(tol), Width: length.Length(play), Batch: batch, ReadSD: sd, LeastRip: length.Length(tol), Sheet: length.Length(play)},
			Landings: []asbuilt.Landing{
				{Seam: s1, Fixed: bits&8 != 0, Joint: length.Length(a2), Reads: []asbuilt.Read{{Purlin: p1, At: length.Length(a1)}, {Purlin: p2, At: length.Length(a2)}}},
				{Seam: s2, Fixed: bits&16 != 0, Joint: length.Length(a1), Reads: []asbuilt.Read{{Purlin: p2, At: length.Length(a2)}}},
			},
			Pairs: []asbuilt.Pair{{First: s1, Second: p1}, {First: "P01", Second: "P05"}}}
		r := asbuilt.Assess(in)
		switch r.Verdict {
		case asbuilt.NotRead, asbuilt.GoOn, asbuilt.Correct, asbuilt.Lift, asbuilt.ReadAgain:
		default:
			t.Fatalf("verdict %q", r.Verdict)
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		in.Layout = setout.Layout{}
		if r := asbuilt.Assess(in); len(r.Runs) != 0 {
			t.Fatalf("a roof of nothing has runs: %+v", r.Runs)
		}
	})
}

func FuzzCutRip(f *testing.F) {
	f.Add("P01", "PL01", int64(2_416_000), "PL03", int64(2_420_000), int64(8000), uint8(1))
	f.Add("P05", "PL01", int64(math.MinInt64), "PL03", int64(math.MaxInt64), int64(-8000), uint8(0))
	f.Fuzz(func(t *testing.T, panel, p1 string, a1 int64, p2 string, a2, tol int64, tick uint8) {
		r := plainRules()
		r.ShortRip = length.Length(tol)
		reads := []asbuilt.Read{{Purlin: p1, At: length.Length(a1)}, {Purlin: p2, At: length.Length(a2)}, {Purlin: "PL02", At: 302 * mm}}
		c := asbuilt.CutRip(made(4, 3, "left"), r, length.Tape{Tick: length.Length(tick) * 500}, panel, reads)
		for _, row := range c.Rows {
			if c.Cuts && row.Short < 0 {
				t.Fatalf("the cut passes the reading at %s: %+v", row.Purlin, row)
			}
		}
	})
}

func BenchmarkAssess(b *testing.B) {
	in := asbuilt.Input{Layout: made(20, 6, "left"), Tape: length.Sixteenths, Rules: plainRules()}
	for i := range 12 {
		in.Landings = append(in.Landings, landed(b, in.Layout, name("S", i), length.Length(i)*mm/4, 0, 0))
	}
	for b.Loop() {
		asbuilt.Assess(in)
	}
}
