package heat

import (
	"errors"
	"math"
	"testing"

	"seamwright/engine/loads/cite"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v ± %v", what, got, want, tol)
	}
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// A wrong sign or a wrong share here is a panel that buckles in July or leaves
// its channel in January. Rows computed by hand from a·L·ΔT.
func TestMovement(t *testing.T) {
	for _, c := range []struct {
		id                           string
		a, length, fixing, cold, hot float64
		closing, opening, total      float64
	}{
		{"T-1", 65e-6, 3600, 20, -20, 60, 9.36, 9.36, 18.72},
		{"T-1b", 70e-6, 3600, 20, -20, 60, 10.08, 10.08, 20.16},
		{"T-2 cold day", 65e-6, 3600, 5, -20, 60, 12.87, 5.85, 18.72},
		{"T-3 warm panel", 65e-6, 3600, 35, -20, 60, 5.85, 12.87, 18.72},
		{"T-4 tinted", 65e-6, 3600, 20, -20, 80, 14.04, 9.36, 23.40},
		{"T-5 module", 65e-6, 600, 20, -20, 60, 1.56, 1.56, 3.12},
		{"T-6", 65e-6, 6000, 15, -20, 70, 21.45, 13.65, 35.10},
	} {
		m := must[Movement](t)(Move(c.a, c.length, c.fixing, c.cold, c.hot))
		near(t, c.id+" closing", m.Closing, c.closing, 1e-9)
		near(t, c.id+" opening", m.Opening, c.opening, 1e-9)
		near(t, c.id+" total", m.Total(), c.total, 1e-9)
	}
}

func TestPublishedExpansion(t *testing.T) {
	exp := must[float64](t)
	// T-7: EPSE FAQ, 1 m, 55 K: 3.575 mm.
	near(t, "EPSE 55 K", exp(Expand(AlphaPC, 1000, 55)), 3.575, 1e-9)
	// EPSE installation sheet: about 3 mm per m for 50 K.
	near(t, "EPSE 50 K", exp(Expand(AlphaPC, 1000, 50)), 3, 0.5)
	// T-8: aluminium channel 4000 mm, 80 K.
	near(t, "aluminium", exp(Expand(24e-6, 4000, 80)), 7.68, 1e-9)
	// CWCT Technical Note 57 example: aluminium cap 3000 mm, 5 to 65 °C; 4.3 mm computed with 0.024.
	near(t, "cap", exp(Expand(24e-6, 3000, 60)), 4.3, 0.05)
	// T-10: 144 in, 3.6111e-5 per °F, 100 °F, in inches: 0.520 (the coefficient per K is 9/5 of that).
	near(t, "US", exp(Expand(AlphaPC, 144, 100/1.8)), 0.520, 0.0005)
	near(t, "a per °F", AlphaPC/1.8, 3.6111e-5, 0.5e-9)
}

// T-1 in use: gap 14.4, engagement 34.4, channel depth 44 (43.7 unrounded).
func TestGapAndEngagementOfAPanelInUse(t *testing.T) {
	f := must[float64](t)
	m := must[Movement](t)(Move(AlphaPC, 3600, 20, -20, 60))
	near(t, "gap", f(EndGap(m, 5)), 14.4, 0.05)
	b := f(Engagement(MinEngagement, m, 5))
	near(t, "engagement", b, 34.4, 0.05)
	near(t, "channel depth", f(ChannelDepth(b, m)), 44, 0.5)
	near(t, "left at the coldest", f(EngagementLeft(b, m.Opening, 5, 0)), MinEngagement, 1e-9)
	if left := f(EngagementLeft(10, 9.36, 5, 10.24)); left >= 0 {
		t.Errorf("an edge out of its channel reads %v", left)
	}
}

// Sag 48 mm in 600 shortens by 10 mm, 102 mm by 46 mm (computed, 8w²/3s).
func TestSagShortening(t *testing.T) {
	f := must[float64](t)
	near(t, "48 mm", f(SagShortening(48, 600)), 10, 0.5)
	near(t, "102 mm", f(SagShortening(102, 600)), 46, 0.5)
	near(t, "up", f(SagShortening(-48, 600)), 10.24, 1e-9)
	// Second method: exact arc length of the parabola with chord c; the sheet is s long.
	arc := func(c, w float64) float64 {
		r := math.Sqrt(c*c/4 + 4*w*w)
		return r + c*c/(8*w)*math.Log((2*w+r)/(c/2))
	}
	for _, w := range []float64{5, 30, 60, 120} {
		low, high := 300.0, 600.0
		for range 100 {
			if mid := (low + high) / 2; arc(mid, w) > 600 {
				high = mid
			} else {
				low = mid
			}
		}
		exact := 600 - low
		near(t, "against the arc length", f(SagShortening(w, 600))/exact, 1, 0.1)
	}
	if _, err := SagShortening(121, 600); err == nil {
		t.Error("a sag of more than a fifth of the width is outside the shallow-parabola formula")
	}
}

func TestScrewHoles(t *testing.T) {
	h := must[Hole](t)
	// T-9: 5 mm screw, ±40 K: 900 mm → 2.34, hole 9.7; 1800 mm → 4.68, 14.4 and a slot.
	a := h(ScrewHole(5, AlphaPC, 900, 20, -20, 60))
	near(t, "one way", a.OneWay, 2.34, 0.005)
	near(t, "hole", a.Size, 9.68, 0.005)
	b := h(ScrewHole(5, AlphaPC, 1800, 20, -20, 60))
	near(t, "one way", b.OneWay, 4.68, 0.005)
	near(t, "slot", b.Size, 14.4, 0.05)
	if a.Slot || !b.Slot {
		t.Errorf("slots %v %v, want only the second", a.Slot, b.Slot)
	}
	// The larger of both ways rules.
	near(t, "asymmetric", h(ScrewHole(5, AlphaPC, 1000, 0, -20, 60)).OneWay, 3.9, 1e-9)
}

func TestStressAndMoisture(t *testing.T) {
	f := must[float64](t)
	near(t, "restrained", f(RestrainedStress(2300, AlphaPC, 40)), 6, 0.05)               // 2300 MPa × 65e-6 × 40
	near(t, "140 mm purlin, 8 points", f(TimberShrink(140, 8, ShrinkAcross)), 2.8, 1e-9) // computed
}

// EN 1991-1-5 Table 5.2, recommended values, from memory; every cell.
func TestSurfaceAdditions(t *testing.T) {
	want := map[Face]map[float64]float64{
		NorthEast:             {0.5: 0, 0.7: 2, 0.9: 4},
		SouthWestOrHorizontal: {0.5: 18, 0.7: 30, 0.9: 42},
	}
	for face, row := range want {
		for class, k := range row {
			near(t, string(face), must[float64](t)(SurfaceAddition(class, face)), k, 0)
		}
	}
	for _, bad := range []float64{0.6, 0.4, 1, math.NaN()} {
		if _, err := SurfaceAddition(bad, NorthEast); err == nil {
			t.Errorf("absorptivity %v has no row", bad)
		}
	}
	if _, err := SurfaceAddition(0.5, "up"); err == nil {
		t.Error("unknown face accepted")
	}
}

// Typical ranges −20…+60 clear and −20…+80 tinted come out of 37 or 38 °C air
// in the shade of both rules; the floors 55 and 75 hold in a cool climate.
func TestPanelRange(t *testing.T) {
	r := must[Range](t)
	if got := r(PanelRange(-17, 42, ClearOrOpal)); got != (Range{-20, 60}) {
		t.Errorf("clear: %v", got)
	}
	if got := r(PanelRange(-17, 38, Tinted)); got != (Range{-20, 80}) {
		t.Errorf("tinted: %v", got)
	}
	if got := r(PanelRange(-10, 30, ClearOrOpal)); got != (Range{-13, 55}) {
		t.Errorf("cool and clear: %v", got)
	}
	if got := r(PanelRange(-10, 30, Tinted)); got != (Range{-13, 75}) {
		t.Errorf("cool and tinted: %v", got)
	}
	if _, err := PanelRange(0, 30, "blue"); err == nil {
		t.Error("unknown tint accepted")
	}
	near(t, "sun", must[float64](t)(FixingTemperature(20, true)), 40, 0)
	near(t, "shade", must[float64](t)(FixingTemperature(20, false)), 20, 0)
}

func TestSideways(t *testing.T) {
	m := must[Movement](t)
	one := m(SidewaysMove(AlphaPC, 600, 6, false, 20, -20, 60))
	all := m(SidewaysMove(AlphaPC, 600, 6, true, 20, -20, 60))
	near(t, "free seams", one.Total(), 3.12, 1e-9)
	near(t, "rigid seams", all.Total(), 6*3.12, 1e-9)
	near(t, "floating", m(EdgeMove(one, false)).Total(), 1.56, 1e-9)
	near(t, "fixed", m(EdgeMove(one, true)).Total(), 3.12, 1e-9)
}

// Both sides of each limit: a fixing temperature beyond the design range must be
// refused, not clamped into it.
func TestFixingTemperatureOutsideTheRange(t *testing.T) {
	for _, ok := range []float64{-20, 60} {
		if _, err := Move(AlphaPC, 3600, ok, -20, 60); err != nil {
			t.Errorf("%v °C: %v", ok, err)
		}
	}
	for _, bad := range []float64{-20.1, 60.1, math.NaN(), math.Inf(1)} {
		var out *cite.Outside
		if _, err := Move(AlphaPC, 3600, bad, -20, 60); !errors.As(err, &out) {
			t.Errorf("%v °C: got %v, want outside the method", bad, err)
		}
	}
}

func TestMaterialsHaveSources(t *testing.T) {
	for _, m := range Materials() {
		if m.Source == "" || m.Standing == "" || !(m.Alpha > 0 && m.Alpha < 1e-4) {
			t.Errorf("%+v", m)
		}
	}
}

// Whatever is typed, the answer is a finite number or an error, the total does
// not depend on the day, and longer panels move more.
func FuzzMove(f *testing.F) {
	f.Add(65e-6, 3600.0, 20.0, -20.0, 60.0)
	f.Add(math.NaN(), math.Inf(1), -1e300, 5e-324, 0.0)
	f.Fuzz(func(t *testing.T, a, length, fixing, cold, hot float64) {
		m, err := Move(a, length, fixing, cold, hot)
		if err != nil {
			if m != (Movement{}) {
				t.Fatal("a number beside an error")
			}
			return
		}
		if !(m.Closing >= 0 && m.Opening >= 0) || math.IsInf(m.Total(), 0) {
			t.Fatalf("%+v", m)
		}
		if total := a * length * (hot - cold); math.Abs(m.Total()-total) > 1e-9*(1+total) {
			t.Fatalf("total %v, want %v", m.Total(), total)
		}
		if twice, err := Move(a, 2*length, fixing, cold, hot); err == nil && twice.Total() < m.Total() {
			t.Fatal("a longer panel moves less")
		}
	})
}
