package takeoff

import (
	"testing"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// A notched edge panel is as wide as a sheet where it keeps its upstand, and one
// ripped on both sides keeps none: neither can share a sheet, however narrow
// they are at the verge.
func TestOnlyPlainRipsShareASheet(t *testing.T) {
	sys := catalogue.System{Panel: catalogue.Panel{Cover: 600 * length.Millimetre}}
	rip, stay := setout.Side{Kind: setout.Rip}, setout.Side{Kind: setout.Upstand}
	panel := func(id string, l, r setout.Side, notched bool) setout.Panel {
		return setout.Panel{ID: id, Left: l, Right: r, Notched: notched, Rip: true, EaveWidth: 200 * length.Millimetre, HeadWidth: 210 * length.Millimetre, Length: 3 * length.Metre}
	}
	l := setout.Layout{Panels: []setout.Panel{panel("P1", rip, stay, false), panel("P2", stay, rip, true), panel("P3", rip, rip, false)}}
	for i := range l.Panels {
		l.Panels[i].Outline = rectangle()
	}
	l.Cover = rectangle()
	c := Of([]setout.Layout{l}, sys, catalogue.Shop{}, length.WholeMM)
	for i, want := range []length.Length{200 * length.Millimetre, sys.Panel.Cover, sys.Panel.Cover} {
		if got := c.Pieces[i].Rip.EaveWidth; got != want {
			t.Errorf("%s takes %v of a sheet, want %v", c.Pieces[i].ID, got, want)
		}
	}
	if c.Rips != 3 {
		t.Errorf("%d rips, want 3", c.Rips)
	}
}

// Cut lengths are rounded to the side that still fits: a plain piece down, a
// blank that is shaped later up. 97.7451 in on a tape of sixteenths by hand:
// 97 11/16 and 97 3/4.
func TestCutLengthsRoundToTheSideThatFits(t *testing.T) {
	exact := length.FromMM(97.7451 * 25.4)
	l := setout.Layout{Cover: rectangle(), Panels: []setout.Panel{
		{ID: "P1", Length: exact, Outline: rectangle()}, {ID: "P2", Length: exact, HeadRun: length.Inch, Outline: rectangle()}}}
	c := Of([]setout.Layout{l}, catalogue.System{}, catalogue.Shop{}, length.Sixteenths)
	if got, want := c.Pieces[0].Length, 97*length.Inch+11*length.Inch/16; got != want {
		t.Errorf("plain: %v, want %v", got, want)
	}
	if got, want := c.Pieces[1].Length, 97*length.Inch+3*length.Inch/4; got != want {
		t.Errorf("blank: %v, want %v", got, want)
	}
}
