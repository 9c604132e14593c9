package fastener

import (
	"math"
	"testing"
)

type enExample struct {
	Inputs   map[string]any
	Expected map[string]float64
}

// EN 1995-1-1 8.7.2, 6 x 100 screw in C24: hand-calculated anchors of a public
// re-computation (set 2 and set 14).
func TestPublishedScrew6x100(t *testing.T) {
	var e enExample
	example(t, "EC5-screw-6x100", &e)
	w := e.Expected
	fax := must(WithdrawalParameter(6, 4, w["lef_mm"], 350))
	near(t, "fax", fax, w["f_ax_k"], 0.0051)
	near(t, "withdrawal", must(WithdrawalFormula(fax, 6, w["lef_mm"], 90)), w["F_ax_withdrawal_N"], 0.5)
	near(t, "head", must(HeadDeclared(10.5, 350, 12, 350)), w["F_pullthrough_N"], 0.5)
	near(t, "nef", EffectiveNumber(10), w["n_ef"], 0.0006)
	near(t, "def", 1.1*4, w["d_ef"], 1e-9)
	var short enExample
	example(t, "EC5-screw-short-thread", &short)
	near(t, "20 mm of thread", must(WithdrawalFormula(fax, 6, 20, 90)), short.Expected["F_ax_Rk_N"], 0)
	if must(WithdrawalFormula(fax, 6, 36, 90)) == 0 || must(WithdrawalFormula(fax, 6, 35.99, 90)) != 0 {
		t.Error("6 d limit")
	}
}

// Public notebook, 5 mm screw in C24: outside the range of Eq. 8.39, so the
// arithmetic is checked on the declared form, and the formula must refuse.
func TestPublishedScrew5(t *testing.T) {
	var e enExample
	example(t, "EC5-screw-5x", &e)
	w := e.Expected
	near(t, "fax", 0.52*math.Pow(5, -0.5)*math.Pow(50, -0.1)*math.Pow(350, 0.8), w["f_ax_k"], 0.0006)
	near(t, "withdrawal with kd 5/8", must(WithdrawalDeclared(w["f_ax_k"], 350, 5, 50, 350, 90))*5/8, w["F_w_Rk_N"], 0.1)
	head := must(HeadDeclared(w["f_head_k"], 350, 10, 350))
	near(t, "head", head, w["F_head_Rk_N"], 0.05)
	near(t, "design", 0.6*head/1.3, w["F_ax_Rd_N"], 0.006)
	if _, err := WithdrawalParameter(5, 3.4, 50, 350); err == nil {
		t.Error("5 mm screw got a formula value")
	}
}

// Ten smooth nails 3.4 x 90, C24 38 + 71 mm: hand-calculated anchors (set 1).
func TestPublishedNailJoint(t *testing.T) {
	var e enExample
	example(t, "EC5-nail-set1", &e)
	w := e.Expected
	fh := must(Embedment(3.4, 350, false))
	near(t, "fh", fh, w["f_h"], 0.0051)
	my := YieldMoment(600, 3.4)
	near(t, "My", my, w["My_Rk"], 0.5)
	near(t, "Fv,Rk", TimberToTimber(fh, fh, 38, 52, 3.4, my, w["F_ax_Rk"], 0.15), w["F_v_Rk"], 0.06)
	near(t, "Fv,Rd", 0.8*TimberToTimber(fh, fh, 38, 52, 3.4, my, w["F_ax_Rk"], 0.15)/1.3, w["F_v_Rd"], 0.06)
	near(t, "kef", NailRow(40/3.4, false), w["k_ef"], 0.0006)
}

func TestENLimits(t *testing.T) {
	for _, c := range []struct {
		d, d1 float64
		ok    bool
	}{{6, 3.6, true}, {5.99, 3.6, false}, {12, 9, true}, {12.01, 9, false}, {6, 3.59, false}, {6, 4.5, true}, {6, 4.51, false}} {
		if _, err := WithdrawalParameter(c.d, c.d1, 60, 350); (err == nil) != c.ok {
			t.Errorf("d %v d1 %v: %v", c.d, c.d1, err)
		}
	}
	if _, err := WithdrawalFormula(15, 6, 60, 29.9); err == nil {
		t.Error("screw at 29.9° to the grain accepted")
	}
	if must(WithdrawalFormula(15, 6, 60, 30)) >= must(WithdrawalFormula(15, 6, 60, 90)) {
		t.Error("Hankinson")
	}
	for _, c := range []struct {
		ratio float64
		pre   bool
		want  float64
	}{{14, false, 1}, {20, false, 1}, {10, false, 0.85}, {7, false, 0.7}, {6.99, false, 0}, {4, true, 0.5}, {3.99, true, 0}, {5.5, true, 0.6}} {
		near(t, "kef", NailRow(c.ratio, c.pre), c.want, 1e-9)
	}
	// Thin and thick plates meet linearly (8.2.3(1)).
	thin, thick := SteelToTimber(2.2, 20, 4.4, 60, 5000, 1000, 1), SteelToTimber(4.4, 20, 4.4, 60, 5000, 1000, 1)
	near(t, "mid", SteelToTimber(3.3, 20, 4.4, 60, 5000, 1000, 1), (thin+thick)/2, 1e-9)
	near(t, "below", SteelToTimber(1, 20, 4.4, 60, 5000, 1000, 1), thin, 0)
	near(t, "above", SteelToTimber(9, 20, 4.4, 60, 5000, 1000, 1), thick, 0)
	// The rope effect is capped.
	bare := SteelToTimber(1, 20, 4.4, 60, 5000, 0, 1)
	near(t, "rope cap", SteelToTimber(1, 20, 4.4, 60, 5000, 1e9, 0.15), math.Min(0.4*20*60*4.4, 1.15*bare), 1e-6)
	near(t, "(8.28)", CombinedEN(60, 100, 80, 100), 1, 1e-12)
}
