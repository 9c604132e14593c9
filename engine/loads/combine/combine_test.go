package combine

import (
	"errors"
	"math"
	"strings"
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

func rule(t *testing.T, rules []Rule, id string) Rule {
	t.Helper()
	for _, r := range rules {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no rule %q", id)
	return Rule{}
}

// The printed lists, line by line. ASCE 7-16 2.3.1 and 2.4.1: read in two public
// implementations; 7-22: 1.0S, 0.7S and the wind lines read, 0.3S from memory.
func TestRulesAgainstTheStandards(t *testing.T) {
	list := must[[]Rule](t)
	for _, c := range []struct {
		rules []Rule
		id    string
		want  string
	}{
		{list(AllowableStress(ASCE716, Options{})), "ASD 3 S", "D + S"},
		{list(AllowableStress(ASCE716, Options{})), "ASD 3 Lr", "D + Lr"},
		{list(AllowableStress(ASCE716, Options{})), "ASD 5", "D + 0.6 W"},
		{list(AllowableStress(ASCE716, Options{})), "ASD 6 S", "D + 0.75 × 0.6 W + 0.75 S"},
		{list(AllowableStress(ASCE716, Options{})), "ASD 6 Lr", "D + 0.75 × 0.6 W + 0.75 Lr"},
		{list(AllowableStress(ASCE716, Options{})), "ASD 7", "0.6 D + 0.6 W"},
		{list(AllowableStress(ASCE722, Options{})), "ASD 3 S", "D + 0.7 S"},
		{list(AllowableStress(ASCE722, Options{})), "ASD 6 S", "D + 0.75 × 0.6 W + 0.75 × 0.7 S"},
		{list(AllowableStress(ASCE722, Options{})), "ASD 7", "0.6 D + 0.6 W"},
		{list(StrengthDesign(ASCE716, Options{})), "LRFD 1", "1.4 D"},
		{list(StrengthDesign(ASCE716, Options{})), "LRFD 3 S", "1.2 D + 1.6 S + 0.5 W"},
		{list(StrengthDesign(ASCE716, Options{})), "LRFD 3 Lr", "1.2 D + 1.6 Lr + 0.5 W"},
		{list(StrengthDesign(ASCE716, Options{})), "LRFD 4 S", "1.2 D + W + 0.5 S"},
		{list(StrengthDesign(ASCE716, Options{})), "LRFD 5", "0.9 D + W"},
		{list(StrengthDesign(ASCE722, Options{})), "LRFD 3 S", "1.2 D + S + 0.5 W"},
		{list(StrengthDesign(ASCE722, Options{})), "LRFD 3 R", "1.2 D + 1.6 R + 0.5 W"},
		{list(StrengthDesign(ASCE722, Options{})), "LRFD 4 S", "1.2 D + W + 0.3 S"},
		{list(StrengthDesign(ASCE722, Options{})), "LRFD 4 Lr", "1.2 D + W + 0.5 Lr"},
		{list(StrengthDesign(ASCE722, Options{})), "LRFD 5", "0.9 D + W"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 STR heavy S", "1.35 D + 1.5 S + 1.5 × 0.6 W"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 STR heavy W", "1.35 D + 1.5 W + 1.5 × 0.5 S"},
		{Eurocode(SnowPsi(1200, false)), "EN 1990 STR heavy W", "1.35 D + 1.5 W + 1.5 × 0.7 S"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 STR light W", "D + 1.5 W + 1.5 × 0.5 S"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 EQU light W", "0.9 D + 1.5 W + 1.5 × 0.5 S"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 ACC", "D + A"},
		{Eurocode(SnowPsi(300, false)), "EN 1990 CHAR S", "D + S + 0.6 W"},
		{Eurocode(SnowPsi(1200, false)), "EN 1990 QP", "D + 0.2 S"},
		{list(DeflectionASCE(ASCE716)), "service W", "0.42 W"},
	} {
		if got := rule(t, c.rules, c.id).Expression(); got != c.want {
			t.Errorf("%s = %q, want %q", c.id, got, c.want)
		}
	}
}

func TestEveryRuleHasSourceAndStanding(t *testing.T) {
	list := must[[]Rule](t)
	all := [][]Rule{Eurocode(SnowPsi(0, true))}
	for _, e := range []Edition{ASCE716, ASCE722} {
		all = append(all, list(AllowableStress(e, Options{SDS: 1})), list(StrengthDesign(e, Options{SDS: 1})), list(DeflectionASCE(e)))
	}
	for _, rules := range all {
		ids := map[string]bool{}
		for _, r := range rules {
			if ids[r.ID] {
				t.Errorf("%s twice", r.ID)
			}
			ids[r.ID] = true
			if r.Source == "" || r.Standing == "" || r.State == "" || len(r.Terms) == 0 || !strings.HasPrefix(r.Source, string(r.Edition)) {
				t.Errorf("%+v", r)
			}
			if r.Edition == ASCE722 && r.ID == "LRFD 4 S" && r.Standing != cite.Memory {
				t.Error("0.3 S is from memory")
			}
		}
	}
	if _, err := AllowableStress(EN1990, Options{}); err == nil {
		t.Error("EN has no ASD rules")
	}
	if _, err := StrengthDesign(ASCE716, Options{SDS: math.NaN()}); err == nil {
		t.Error("NaN SDS accepted")
	}
}

// cover is a purlin of a small cover: both wind signs, three snow cases.
func cover() []Case {
	return []Case{
		{ID: "self", Action: Dead}, {ID: "lamps", Action: Dead, MayBeAbsent: true},
		{ID: "live", Action: RoofLive}, {ID: "person", Action: RoofLive},
		{ID: "snow-balanced", Action: Snow, Edition: ASCE716}, {ID: "snow-drift", Action: Snow, Edition: ASCE716},
		{ID: "wind-down", Action: Wind, Edition: ASCE716}, {ID: "wind-up", Action: Wind, Edition: ASCE716},
	}
}

var response = map[string]float64{"self": 100, "lamps": 20, "live": 480, "person": 300, "snow-balanced": 1200, "snow-drift": 2500, "wind-down": 1500, "wind-up": -2200}

// By hand: ASD gravity D + S = 2620, D + 0.45 W + 0.75 S = 120 + 675 + 1875 = 2670 governs;
// uplift 0.6·100 − 0.6·2200 = −1260 without the lamps that may be absent.
func TestGoverningOfASD(t *testing.T) {
	table := must[Table](t)(Combine(must[[]Rule](t)(AllowableStress(ASCE716, Options{})), cover()))
	g := must[Governing](t)(table.Govern(response))
	near(t, "max", g.Max.Value, 2670, 1e-9)
	near(t, "min", g.Min.Value, -1260, 1e-9)
	if g.Max.Row.ID != "ASD 6 S: wind-down + snow-drift" || g.Min.Row.ID != "ASD 7: wind-up" {
		t.Errorf("governing %q and %q", g.Max.Row.ID, g.Min.Row.ID)
	}
	if len(g.Min.Parts) != 2 || len(g.Max.Parts) != 4 {
		t.Error("the lamps help against uplift and must not count there")
	}
	s := table.Step("M", "moment", "N·m", g.Max, response)
	if s.Substitution() != "1 100 + 1 20 + 0.45 1500 + 0.75 2500" || s.Source == "" {
		t.Errorf("step %q from %q", s.Substitution(), s.Equation)
	}
	if a := table.Actions(g.Min); len(a) != 2 || a[1] != Wind {
		t.Errorf("actions %v", a)
	}
}

// LRFD 7-16 by hand: 1.2·120 + 1.6·2500 + 0.5·1500 = 4894; 0.9·100 − 2200 = −2110.
// 7-22 with the same numbers: 1.2·120 + 2500 + 750 = 3394; EN: 1.35·120 + 1.5·2500 +
// 0.9·1500 = 5262 and 0.9·100 − 3300 = −3210 in EQU, 1.0·100 − 3300 = −3200 in STR.
func TestGoverningOfLRFDAndEN(t *testing.T) {
	gov := func(rules []Rule, e Edition, s State) Governing {
		t.Helper()
		cases := cover()
		for i := range cases {
			if cases[i].Edition != "" {
				cases[i].Edition = e
			}
		}
		return must[Governing](t)(must[Table](t)(Combine(rules, cases)).Of(s).Govern(response))
	}
	list := must[[]Rule](t)
	g := gov(list(StrengthDesign(ASCE716, Options{})), ASCE716, Strength)
	near(t, "7-16 max", g.Max.Value, 4894, 1e-9)
	near(t, "7-16 min", g.Min.Value, -2110, 1e-9)
	near(t, "7-22 max", gov(list(StrengthDesign(ASCE722, Options{})), ASCE722, Strength).Max.Value, 3394, 1e-9)
	g = gov(Eurocode(SnowPsi(300, false)), EN1990, Strength)
	near(t, "STR max", g.Max.Value, 5262, 1e-9)
	near(t, "STR min", g.Min.Value, -3200, 1e-9)
	near(t, "EQU min", gov(Eurocode(SnowPsi(300, false)), EN1990, Equilibrium).Min.Value, -3210, 1e-9)
}

// A second method: brute force over factors of one edition, every subset by hand.
func TestAgainstBruteForce(t *testing.T) {
	table := must[Table](t)(Combine(must[[]Rule](t)(AllowableStress(ASCE716, Options{})), cover()))
	g := must[Governing](t)(table.Govern(response))
	high, low := math.Inf(-1), math.Inf(1)
	r := response
	for _, lamp := range []float64{0, 1} {
		d := r["self"] + lamp*r["lamps"]
		for _, grav := range []float64{0, r["live"], r["person"], r["snow-balanced"], r["snow-drift"]} {
			for _, w := range []float64{0, r["wind-down"], r["wind-up"]} {
				for _, v := range []float64{d, d + grav, d + .6*w, d + .45*w + .75*grav, .6*d + .6*w} {
					// 0.6 D alone, without wind, is not a combination.
					if w == 0 && v == .6*d+.6*w {
						continue
					}
					high, low = math.Max(high, v), math.Min(low, v)
				}
			}
		}
	}
	near(t, "max", g.Max.Value, high, 1e-9)
	near(t, "min", g.Min.Value, low, 1e-9)
}

// Two snow cases, or live and snow, never stand in one combination.
func TestAlternativesAreNotAdded(t *testing.T) {
	cases := cover()
	for _, rules := range [][]Rule{must[[]Rule](t)(StrengthDesign(ASCE716, Options{})), must[[]Rule](t)(AllowableStress(ASCE716, Options{}))} {
		for _, row := range must[Table](t)(Combine(rules, cases)).Rows {
			count := map[Action]int{}
			for _, p := range row.Parts {
				count[cases[p.Case].Action]++
			}
			if count[Snow]+count[RoofLive] > 1 || count[Wind] > 1 || count[Dead] != 2 && len(row.Parts) > 0 {
				t.Errorf("%s: %v", row.ID, count)
			}
		}
	}
	en := cover()
	for i := range en {
		en[i].Edition = ""
	}
	for _, row := range must[Table](t)(Combine(Eurocode(SnowPsi(0, false)), en)).Rows {
		live, other := false, false
		for _, p := range row.Parts {
			live = live || en[p.Case].Action == RoofLive
			other = other || en[p.Case].Action == Snow || en[p.Case].Action == Wind
		}
		if live && other {
			t.Errorf("%s combines category H with snow or wind", row.ID)
		}
	}
}

func TestEditionsAreNeverMixed(t *testing.T) {
	var mixed *EditionError
	if _, err := Combine(must[[]Rule](t)(AllowableStress(ASCE722, Options{})), cover()); !errors.As(err, &mixed) {
		t.Errorf("7-16 snow under 7-22 factors: %v", err)
	}
	if !strings.Contains(mixed.Error(), "snow-balanced") || !strings.Contains(mixed.Error(), "ASCE 7-22") {
		t.Error(mixed)
	}
}

func TestMissingDataIsAnError(t *testing.T) {
	rules := must[[]Rule](t)(AllowableStress(ASCE716, Options{}))
	for what, cases := range map[string][]Case{
		"no dead":        {{ID: "s", Action: Snow}},
		"same ID":        {{ID: "d", Action: Dead}, {ID: "d", Action: Snow}},
		"empty ID":       {{Action: Dead}},
		"unknown action": {{ID: "d", Action: Dead}, {ID: "x", Action: "Q"}},
	} {
		if _, err := Combine(rules, cases); err == nil {
			t.Errorf("%s accepted", what)
		}
	}
	if _, err := Combine(nil, cover()); err == nil {
		t.Error("no rules accepted")
	}
	table := must[Table](t)(Combine(rules, cover()))
	for what, spoil := range map[string]func(map[string]float64){
		"missing": func(m map[string]float64) { delete(m, "wind-up") },
		"NaN":     func(m map[string]float64) { m["wind-up"] = math.NaN() },
		"Inf":     func(m map[string]float64) { m["wind-up"] = math.Inf(1) },
	} {
		r := map[string]float64{}
		for k, v := range response {
			r[k] = v
		}
		spoil(r)
		if _, err := table.Govern(r); err == nil {
			t.Errorf("%s response accepted", what)
		}
		if _, err := table.Evaluate(r); err == nil {
			t.Errorf("%s response accepted", what)
		}
	}
	if _, err := table.Of(Exceptional).Govern(response); err == nil {
		t.Error("an empty table governs nothing")
	}
}

// The unit of the response does not matter, and both ends mirror.
func TestUnitInvarianceAndMirror(t *testing.T) {
	table := must[Table](t)(Combine(must[[]Rule](t)(StrengthDesign(ASCE716, Options{})), cover()))
	g := must[Governing](t)(table.Govern(response))
	scaled, mirrored := map[string]float64{}, map[string]float64{}
	for k, v := range response {
		scaled[k], mirrored[k] = v*4.4482216, -v
	}
	near(t, "scaled", must[Governing](t)(table.Govern(scaled)).Max.Value, g.Max.Value*4.4482216, 1e-6)
	near(t, "mirrored", must[Governing](t)(table.Govern(mirrored)).Min.Value, -g.Max.Value, 1e-9)
	each := must[[][2]float64](t)(table.Evaluate(response))
	best := math.Inf(-1)
	for _, v := range each {
		best = math.Max(best, v[0])
		if v[1] > v[0] {
			t.Error("low above high")
		}
	}
	near(t, "evaluate", best, g.Max.Value, 0)
}

// Seismic lines, computed by hand with SDS 1.0: 1.14 D ± 0.7 E, 0.46 D ± 0.7 E.
func TestSeismicCombinations(t *testing.T) {
	rules := must[[]Rule](t)(AllowableStress(ASCE716, Options{SDS: 1}))
	cases := []Case{{ID: "d", Action: Dead}, {ID: "e", Action: Seismic}}
	g := must[Governing](t)(must[Table](t)(Combine(rules, cases)).Govern(map[string]float64{"d": 100, "e": 800}))
	near(t, "max", g.Max.Value, 114+560, 1e-9)
	near(t, "min", g.Min.Value, 46-560, 1e-9)
	lrfd := must[[]Rule](t)(StrengthDesign(ASCE716, Options{SDS: 1}))
	g = must[Governing](t)(must[Table](t)(Combine(lrfd, cases)).Govern(map[string]float64{"d": 100, "e": 800}))
	near(t, "max", g.Max.Value, 140+800, 1e-9)
	near(t, "min", g.Min.Value, 70-800, 1e-9)
}

// FuzzGovern: finite in, finite out, max not below min, and the rows agree.
func FuzzGovern(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, -4.0)
	f.Add(math.NaN(), math.Inf(1), 1e300, -1e-300)
	rules, err := AllowableStress(ASCE716, Options{SDS: 0.5})
	if err != nil {
		f.Fatal(err)
	}
	table, err := Combine(rules, []Case{{ID: "d", Action: Dead}, {ID: "x", Action: Dead, MayBeAbsent: true}, {ID: "s", Action: Snow}, {ID: "w", Action: Wind}})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, d, x, s, w float64) {
		g, err := table.Govern(map[string]float64{"d": d, "x": x, "s": s, "w": w})
		if err != nil {
			return
		}
		if math.IsNaN(g.Max.Value) || math.IsInf(g.Max.Value, 0) || g.Max.Value < g.Min.Value {
			t.Fatalf("%+v", g)
		}
		sum := 0.0
		values := []float64{d, x, s, w}
		for _, p := range g.Max.Parts {
			sum += p.Factor * values[p.Case]
		}
		if math.Abs(sum-g.Max.Value) > 1e-9*(math.Abs(d)+math.Abs(x)+math.Abs(s)+math.Abs(w)) {
			t.Fatalf("parts give %v, value %v", sum, g.Max.Value)
		}
	})
}
