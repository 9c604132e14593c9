package asbuilt_test

import (
	"os"
	"path/filepath"
	"testing"

	"seamwright/engine/asbuilt"
	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/length"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

const in16 = length.Inch16th

// planned sets out the first plane of an example job and returns it with the
// rules of its system.
func planned(t testing.TB, name string) (asbuilt.Input, catalogue.System) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, data)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	sys, ok := set.System(j.System)
	if !ok {
		t.Fatalf("no system %q", j.System)
	}
	tape := length.WholeMM
	if j.Units == "inch" {
		tape = length.Sixteenths
	}
	plane, found := roof.Build(j.Planes[0], measure.Fit(j.Planes[0], j.Tape, tape))
	if finding.HasStop(found) {
		t.Fatal(found)
	}
	si := setout.Input{Plane: plane, System: sys, Wishes: j.Wishes, Tape: tape, Rip: set.Shop(j.Units).RipKerf, Heat: setout.Heat{Fixing: 16, Cold: -20, Hot: 60}}
	cs, found := setout.Search(si)
	if len(cs) == 0 {
		t.Fatal(found)
	}
	l := setout.Build(si, cs[0])
	return asbuilt.Input{Layout: l, Tape: tape, Rules: asbuilt.RulesFor(sys, l, tape, si.Rip)}, sys
}

// made is a plain roof: n rows a pitch apart, purlins across it, an edge panel
// on either side. from is where laying begins.
func made(n, purlins int, from string) setout.Layout {
	const cover, joint, bay, offset = 600 * mm, 4 * mm, 900 * mm, 10 * mm
	l := setout.Layout{Plane: "roof", Slope: 0.1, Pitch: cover + joint, Joint: joint, Work: setout.Work{From: from}}
	top := bay * length.Length(purlins)
	right := l.Pitch*length.Length(n-1) + 600*mm
	for j := range purlins {
		v := 50*mm + bay*length.Length(j)
		l.Purlins = append(l.Purlins, setout.Purlin{ID: name("PL", j), Left: geom.Point{V: v}, Right: geom.Point{U: right, V: v}})
	}
	start := map[string]int{"left": 0, "right": n - 1, "middle": n / 2}[from]
	l.Work.Starter = name("S", start)
	for i := range n {
		s := setout.Seam{ID: name("S", i), Cap: name("C", i), U: 300*mm + l.Pitch*length.Length(i), V: geom.Span{Hi: top}, Hand: setout.FlangeRight}
		s.Row = s.U - joint/2 + offset
		if from == "right" || from == "middle" && i < start {
			s.Hand, s.Row = setout.FlangeLeft, s.U+joint/2-offset
		}
		l.Seams = append(l.Seams, s)
		for _, p := range l.Purlins {
			l.Clips = append(l.Clips, setout.Clip{Seam: s.ID, Purlin: p.ID, At: geom.Point{U: s.Row, V: p.Left.V}, Hand: s.Hand})
		}
	}
	for i := range n + 1 {
		lo, hi := length.Length(0), right
		p := setout.Panel{ID: name("P", i), Length: top, LeftLen: top, RightLen: top, Left: setout.Side{Kind: setout.Rip}, Right: setout.Side{Kind: setout.Rip}}
		if i > 0 {
			lo, p.Left = l.Seams[i-1].U+joint/2, setout.Side{Kind: setout.Upstand, Seam: name("S", i-1)}
		}
		if i < n {
			hi, p.Right = l.Seams[i].U-joint/2, setout.Side{Kind: setout.Upstand, Seam: name("S", i)}
		}
		p.Outline = geom.Polygon{{U: lo}, {U: hi}, {U: hi, V: top}, {U: lo, V: top}}
		p.EaveWidth, p.HeadWidth, p.Rip = hi-lo, hi-lo, i == 0 || i == n
		l.Panels = append(l.Panels, p)
	}
	for _, p := range l.Purlins {
		row := setout.Row{Purlin: p.ID, Zero: l.Work.Starter, Total: right}
		zero := l.Seams[start].Row
		row.Marks = append(row.Marks, setout.Mark{ID: "frame", Kind: "frame", Exact: -zero, At: -zero})
		for i, s := range l.Seams {
			kind := "check"
			if i == start {
				kind = "starter"
			}
			row.Marks = append(row.Marks, setout.Mark{ID: s.ID, Kind: kind, Exact: s.Row - zero, At: s.Row - zero, Hand: s.Hand})
		}
		row.Marks = append(row.Marks, setout.Mark{ID: "frame", Kind: "frame", Exact: right - zero, At: right - zero})
		l.Marks = append(l.Marks, row)
	}
	first, last := l.Panels[0], l.Panels[n]
	for _, x := range []struct {
		p    setout.Panel
		side string
	}{{first, "left"}, {last, "right"}} {
		r := setout.RipReading{Panel: x.p.ID, Side: x.side, From: "face of the panel beyond", TakeOff: joint}
		for _, q := range l.Purlins {
			r.Rows = append(r.Rows, setout.RipRow{Purlin: q.ID, Reading: x.p.EaveWidth + joint, Face: x.p.EaveWidth, Rip: x.p.EaveWidth})
		}
		l.Readings = append(l.Readings, r)
	}
	return l
}

// name is S1 for row 0.
func name(kind string, i int) string {
	return kind + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10))
}

// plainRules are round numbers for the plain roof.
func plainRules() asbuilt.Rules {
	return asbuilt.Rules{Close: mm, Open: mm, GoOn: mm, Width: 2 * mm, Batch: 0.5, ReadSD: 0.5,
		LeastRip: 100 * mm, WidestRip: 600 * mm, Sheet: 600 * mm, Kerf: 3 * mm, ShortRip: 5 * mm}
}

// exact is the exact running mark of a seam on a purlin.
func exact(t testing.TB, l setout.Layout, seam, purlin string) length.Length {
	t.Helper()
	for _, r := range l.Marks {
		for _, m := range r.Marks {
			if r.Purlin == purlin && m.ID == seam {
				return m.Exact
			}
		}
	}
	t.Fatalf("no mark of %s on %s", seam, purlin)
	return 0
}

// landed is a fixed row read on the first, the first and last, or the first,
// middle and last purlin, each off its mark by so much to the right.
func landed(t testing.TB, l setout.Layout, seam string, offs ...length.Length) asbuilt.Landing {
	t.Helper()
	n := len(l.Purlins)
	at := map[int][]int{1: {0}, 2: {0, n - 1}, 3: {0, n / 2, n - 1}}[len(offs)]
	out := asbuilt.Landing{Seam: seam, Fixed: true}
	for i, k := range at {
		p := l.Purlins[k].ID
		out.Reads = append(out.Reads, asbuilt.Read{Purlin: p, At: exact(t, l, seam, p) + offs[i]})
	}
	return out
}

// towards returns the run of a result in that direction.
func towards(t testing.TB, r asbuilt.Result, dir string) asbuilt.Run {
	t.Helper()
	for _, x := range r.Runs {
		if x.Towards == dir {
			return x
		}
	}
	t.Fatalf("no run towards the %s: %+v", dir, r.Runs)
	return asbuilt.Run{}
}

// found reports whether a finding with that code was raised.
func found(fs []finding.Finding, code string) bool {
	for _, f := range fs {
		if f.Code == code {
			return true
		}
	}
	return false
}

// place is a bolt beside a clip.
func place(what string, at geom.Point, off, width length.Length) setout.Place {
	return setout.Place{What: what, At: geom.Point{U: at.U + off + width/2, V: at.V}, Width: width}
}
