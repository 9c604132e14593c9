package combine

import (
	"fmt"
	"strings"

	"seamwright/engine/loads/cite"
)

// Edition names the standard of a load case and of a rule. They are never mixed.
type Edition string

// The editions. A load case that belongs to no edition (self weight) has none.
const (
	ASCE716 Edition = "ASCE 7-16"
	ASCE722 Edition = "ASCE 7-22"
	EN1990  Edition = "EN"
)

// Action is the sort of load a case belongs to.
type Action string

// The actions. Wind and seismic are at strength level in ASCE, wind characteristic
// in EN. Snow is at the level of its edition's map.
const (
	Dead       Action = "D"
	RoofLive   Action = "Lr" // uniform or concentrated; category H in EN
	Snow       Action = "S"
	Rain       Action = "R"
	Wind       Action = "W"
	Seismic    Action = "E"
	Accidental Action = "A" // exceptional snow of EN 1991-1-3
)

// Method is the design format of a rule.
type Method string

// The methods.
const (
	ASD  Method = "ASD"
	LRFD Method = "LRFD"
	EN   Method = "EN 1990"
)

// State is what the result of a rule is held against.
type State string

// The limit states. ASCE strength rules are Strength.
const (
	Strength       State = "strength" // STR in EN
	Equilibrium    State = "equilibrium"
	Exceptional    State = "accidental"
	Deflection     State = "deflection" // never for rotation or unlatching of a panel
	QuasiPermanent State = "quasi-permanent"
)

// Term is one action in a rule with its factor. Made shows how the factor came
// about when it is a product, "0.75 × 0.6". An Optional term may be absent: every
// rule is evaluated without it as well.
type Term struct {
	Action   Action
	Factor   float64
	Made     string
	Optional bool
}

// Rule is one line of a standard's list. All permanent cases act together under the
// Dead term; of every other action one case acts at a time.
type Rule struct {
	ID       string // stable, "ASD 7"
	Method   Method
	Edition  Edition
	State    State
	Terms    []Term
	Source   string
	Standing cite.Standing
	Note     string
}

// Expression writes the rule as the standard does, "0.6 D + 0.6 W".
func (r Rule) Expression() string {
	var b strings.Builder
	for i, t := range r.Terms {
		factor := t.Factor
		switch {
		case i > 0 && factor < 0:
			b.WriteString(" − ")
			factor = -factor
		case i > 0:
			b.WriteString(" + ")
		}
		text := strings.Trim(cite.Number(factor), "()")
		if t.Made != "" {
			text = t.Made
		}
		if text != "1" {
			b.WriteString(text + " ")
		}
		b.WriteString(string(t.Action))
	}
	return b.String()
}

// Options of the ASCE rules.
type Options struct {
	// SDS is the design spectral acceleration; above 0 the seismic rules are added,
	// vertical shaking ±0.2 SDS D included.
	SDS float64
}

type builder struct {
	method  Method
	edition Edition
	rules   []Rule
}

func (b *builder) add(id string, state State, source string, standing cite.Standing, note string, terms ...Term) {
	b.rules = append(b.rules, Rule{ID: string(b.method) + " " + id, Method: b.method, Edition: b.edition, State: state, Terms: terms,
		Source: string(b.edition) + " " + source, Standing: standing, Note: note})
}

func d(f float64) Term              { return Term{Action: Dead, Factor: f} }
func need(a Action, f float64) Term { return Term{Action: a, Factor: f} }
func may(a Action, f float64) Term  { return Term{Action: a, Factor: f, Optional: true} }
func (t Term) made(how string) Term { t.Made = how; return t }
func asce(e Edition) (bool, error) {
	if e != ASCE716 && e != ASCE722 {
		return false, fmt.Errorf("edition %q has no ASCE 7 combinations: use %s or %s", e, ASCE716, ASCE722)
	}
	return e == ASCE722, nil
}

// signs: the ground moves both ways.
var signs = []struct {
	name string
	f    float64
}{{"+", 1}, {"−", -1}}

// snowASD is the factor of snow in allowable stress design.
func snowASD(latest bool) Term {
	if latest {
		return need(Snow, 0.7)
	}
	return need(Snow, 1)
}

// AllowableStress returns the ASD rules of ASCE/SEI 7-16 or 7-22, section 2.4. Floor
// live load is left out: there is none on a roof, and lines 2 and 4 then ask for less
// than line 3.
//
// Standing: 7-16 read in public texts; 7-22 wind lines and 0.7S read, seismic
// lines from memory.
func AllowableStress(e Edition, o Options) ([]Rule, error) {
	latest, err := asce(e)
	if err != nil {
		return nil, err
	}
	b := builder{method: ASD, edition: e}
	b.add("1", Strength, "2.4.1", cite.Read, "", d(1))
	snow75 := need(Snow, 0.75)
	if latest {
		snow75 = need(Snow, 0.525).made("0.75 × 0.7")
	}
	b.add("3 Lr", Strength, "2.4.1", cite.Read, "", d(1), need(RoofLive, 1))
	b.add("3 S", Strength, "2.4.1", cite.Read, "", d(1), snowASD(latest))
	b.add("3 R", Strength, "2.4.1", cite.Read, "", d(1), need(Rain, 1))
	b.add("5", Strength, "2.4.1", cite.Read, "", d(1), need(Wind, 0.6))
	wind := need(Wind, 0.45).made("0.75 × 0.6")
	b.add("6 Lr", Strength, "2.4.1", cite.Read, "", d(1), wind, need(RoofLive, 0.75))
	b.add("6 S", Strength, "2.4.1", cite.Read, "", d(1), wind, snow75)
	b.add("6 R", Strength, "2.4.1", cite.Read, "", d(1), wind, need(Rain, 0.75))
	b.add("7", Strength, "2.4.1", cite.Read, "", d(0.6), need(Wind, 0.6))
	if err := b.seismicASD(o.SDS, snow75); err != nil {
		return nil, err
	}
	return b.rules, nil
}

func (b *builder) seismicASD(sds float64, snow75 Term) error {
	if sds == 0 {
		return nil
	}
	if err := inRange("SDS", sds, 0, 5, "g"); err != nil {
		return err
	}
	const note = "the snow factor of the second line is from memory, the larger of the values remembered for 7-22"
	for _, sign := range signs {
		b.add("8 "+sign.name+"E", Strength, "2.4.5, 12.4.2", cite.Memory, "", d(1+0.14*sds).made("(1 + 0.7 × 0.2 SDS)"), need(Seismic, 0.7*sign.f))
		b.add("9 "+sign.name+"E", Strength, "2.4.5, 12.4.2", cite.Memory, note, d(1+0.105*sds).made("(1 + 0.525 × 0.2 SDS)"), need(Seismic, 0.525*sign.f), snow75)
		b.add("10 "+sign.name+"E", Strength, "2.4.5, 12.4.2", cite.Memory, "", d(0.6-0.14*sds).made("(0.6 − 0.7 × 0.2 SDS)"), need(Seismic, 0.7*sign.f))
	}
	return nil
}

// StrengthDesign returns the LRFD rules of ASCE/SEI 7-16 or 7-22, section 2.3.
//
// Standing: 7-16 read in public texts; 7-22 wind lines and 1.0S read, 0.3S with
// wind leading and the seismic lines from memory.
func StrengthDesign(e Edition, o Options) ([]Rule, error) {
	latest, err := asce(e)
	if err != nil {
		return nil, err
	}
	b := builder{method: LRFD, edition: e}
	lead, companion, standing := 1.6, 0.5, cite.Read
	note := ""
	if latest {
		lead, companion, standing, note = 1.0, 0.3, cite.Memory, "0.3 S with wind leading is from memory"
	}
	b.add("1", Strength, "2.3.1", cite.Read, "", d(1.4))
	b.add("3 Lr", Strength, "2.3.1", cite.Read, "", d(1.2), need(RoofLive, 1.6), may(Wind, 0.5))
	b.add("3 S", Strength, "2.3.1", cite.Read, "", d(1.2), need(Snow, lead), may(Wind, 0.5))
	b.add("3 R", Strength, "2.3.1", cite.Read, "", d(1.2), need(Rain, 1.6), may(Wind, 0.5))
	b.add("4", Strength, "2.3.1", cite.Read, "", d(1.2), need(Wind, 1))
	b.add("4 Lr", Strength, "2.3.1", cite.Read, "", d(1.2), need(Wind, 1), need(RoofLive, 0.5))
	b.add("4 S", Strength, "2.3.1", standing, note, d(1.2), need(Wind, 1), need(Snow, companion))
	b.add("4 R", Strength, "2.3.1", cite.Read, "", d(1.2), need(Wind, 1), need(Rain, 0.5))
	b.add("5", Strength, "2.3.1", cite.Read, "", d(0.9), need(Wind, 1))
	if err := b.seismicLRFD(o.SDS, latest); err != nil {
		return nil, err
	}
	return b.rules, nil
}

func (b *builder) seismicLRFD(sds float64, latest bool) error {
	if sds == 0 {
		return nil
	}
	if err := inRange("SDS", sds, 0, 5, "g"); err != nil {
		return err
	}
	snow := may(Snow, 0.2)
	if latest {
		snow = may(Snow, 0.15)
	}
	for _, sign := range signs {
		b.add("6 "+sign.name+"E", Strength, "2.3.6, 12.4.2", cite.Memory, "", d(1.2+0.2*sds).made("(1.2 + 0.2 SDS)"), need(Seismic, sign.f), snow)
		b.add("7 "+sign.name+"E", Strength, "2.3.6, 12.4.2", cite.Memory, "", d(0.9-0.2*sds).made("(0.9 − 0.2 SDS)"), need(Seismic, sign.f))
	}
	return nil
}

// DeflectionASCE returns the rules for deflection limits of IBC Table 1604.3: live,
// snow or wind alone, and with the dead load. The reduced wind, 0.42 W, serves
// deflection limits only, never rotation or unlatching of a panel.
//
// Standing: 0.42 W read in one public text; the rest from memory, 0.7 S for the
// strength-level snow of 7-22 included.
func DeflectionASCE(e Edition) ([]Rule, error) {
	latest, err := asce(e)
	if err != nil {
		return nil, err
	}
	b := builder{method: "service", edition: e}
	const source = "with IBC Table 1604.3"
	b.add("Lr", Deflection, source, cite.Memory, "", need(RoofLive, 1))
	b.add("S", Deflection, source, cite.Memory, "", snowASD(latest))
	b.add("W", Deflection, source+" note f", cite.Read, "deflection only", need(Wind, 0.42))
	b.add("D + Lr", Deflection, source, cite.Memory, "", d(1), need(RoofLive, 1))
	b.add("D + S", Deflection, source, cite.Memory, "", d(1), snowASD(latest))
	return b.rules, nil
}
