package plate

import (
	"fmt"
	"math"
	"strings"
)

// Sign is the direction of a demand.
type Sign int

const (
	Uplift Sign = iota
	Download
)

// String names the sign.
func (s Sign) String() string {
	if s == Uplift {
		return "uplift"
	}
	return "download"
}

// Basis says what a declared pressure is to be compared with.
type Basis int

const (
	Unstated       Basis = iota
	Allowable            // already divided by Factor = Omega; against ASD demands
	Characteristic       // still to be divided by Factor = gamma_M; against factored demands
)

// Setup is what a rating was tested with, or what is to be built.
type Setup struct {
	Width   float64 // module, mm
	Spacing float64 // largest purlin spacing, mm
	Bays    int
	Clip    string // the parts by their catalogue names
	Screw   string
	Purlin  string
	Edge    string
	Cap     string
	TempC   float64 // of the sheet, °C
}

// Rating is a supplier's declared pressure for one sign.
type Rating struct {
	Sign        Sign
	Pressure    float64 // magnitude, MPa
	Basis       Basis
	Factor      float64 // Omega or gamma_M, at least 1
	Method      string  // test method
	HoldSeconds float64 // how long the load was held
	LineClamped bool    // tested with line clamps over the purlins
	Tested      Setup
	Source      string
}

// Zone is the demand on the panel in one pressure zone, magnitudes in MPa.
type Zone struct {
	Name     string
	ASD      float64 // allowable-stress level
	Factored float64 // strength level
}

// Limit is a limit value and whether the product's papers declare it. Zero
// means that no limit is known.
type Limit struct {
	Value    float64
	Declared bool
}

// Limits are the panel's limits.
type Limits struct {
	Closing, Opening Limit // edge rotation, degrees
	Skin, Rib        Limit // stress, MPa
	Lateral          Limit // seam pull, N/mm averaged over the edge
	Deflection       Limit // mm
}

// Status is the outcome of a panel check.
type Status int

const (
	NotVerifiable Status = iota // blocks an overall pass, never marks or cutting
	Meets                       // meets a declared, tested rating
	Exceeds                     // over the rating, or over a declared limit in the favourable bound
	ForEngineer                 // gravity only: computed, for an engineer to confirm
)

// String gives the report's wording.
func (s Status) String() string {
	if s < NotVerifiable || s > ForEngineer {
		return "unknown status"
	}
	return [...]string{
		"not verifiable: ask for a test rating at this demand",
		"meets the declared rating",
		"exceeds the declared rating or limit",
		"computed, for an engineer to confirm",
	}[s]
}

// Question is all that a panel verdict rests on.
type Question struct {
	Sign     Sign
	Zones    []Zone // local demands of this sign, at least one
	Duration Duration
	Built    Setup
	Rating   *Rating  // nil when none is declared
	Bracket  *Bracket // under the severest zone's load; nil when not computed
	Limits   Limits
	// DeclaredStiffness is true when Bx, By, Sy are the supplier's.
	DeclaredStiffness bool
	Depth             float64 // sheet depth, mm
	Levers            []Lever
}

// Verdict is the answer, with its reasons in plain words.
type Verdict struct {
	Status Status
	// Stop blocks the plan's release; NotVerifiable only blocks the permit form.
	Stop    bool
	Ratio   float64 // severest demand over rating; 0 without a usable rating
	Zone    string  // the severest zone
	Basis   string  // what the verdict rests on
	Reasons []string
	// Findings warn without changing the status.
	Findings []string
	Card     *Card // what to ask the supplier, when no rating could be used
}

// Card is the request to the supplier: the demand that a test has to cover.
type Card struct {
	Sign           Sign
	Zones          []Zone
	Closing        [2]float64 // degrees, seam held and seam free
	Opening        [2]float64
	Lateral        float64 // N/mm averaged over the edge with seams held
	LateralPerHold float64 // N, largest share of one clip or screw
	HoldTension    float64 // N per panel, the larger bound
	HoldSeconds    float64 // at least
	TempC          float64
	Layout         Setup
	Levers         []Lever // best first
	Missing        []string
}

// Shortest hold times that a rating needs: 10 s under gusts, a day under snow.
// Source: IBC 1709.5.2 and 1709.3.1, read.
const (
	gustHold = 10
	dayHold  = 24 * 3600
)

func holdNeeded(d Duration) float64 {
	if d == Gust {
		return gustHold
	}
	return dayHold
}

// Usable lists what keeps a rating from being used for the panel as built;
// an empty list means it can be used.
func (r *Rating) Usable(sign Sign, built Setup, d Duration) []string {
	var why []string
	say := func(ok bool, format string, a ...any) {
		if !ok {
			why = append(why, fmt.Sprintf(format, a...))
		}
	}
	t := r.Tested
	say(r.Sign == sign, "it is for %v, the demand is %v", r.Sign, sign)
	say(r.Pressure > 0 && finite(r.Pressure), "it states no pressure")
	say(r.Basis == Allowable || r.Basis == Characteristic, "it does not say whether the pressure is allowable or characteristic")
	say(r.Factor >= 1 && finite(r.Factor), "it states no safety or partial factor of at least 1")
	say(r.Method != "", "it names no test method")
	say(r.HoldSeconds >= holdNeeded(d), "its load was held %.0f s, a load of this duration (%v) needs %.0f s", r.HoldSeconds, d, holdNeeded(d))
	say(!r.LineClamped, "it was tested with line clamps over the purlins, this roof holds the panel at clips only")
	say(t.TempC >= -40 && t.TempC <= 70, "it states no test temperature")
	say(t.Width > 0 && built.Width <= t.Width, "module: tested %.0f mm, built %.0f mm", t.Width, built.Width)
	say(t.Spacing > 0 && built.Spacing <= t.Spacing, "purlin spacing: tested %.0f mm, built %.0f mm", t.Spacing, built.Spacing)
	say(baysCovered(t.Bays, built.Bays), "bays: tested %d, built %d", t.Bays, built.Bays)
	for _, p := range []struct{ name, tested, built string }{
		{"clip", t.Clip, built.Clip}, {"screw", t.Screw, built.Screw}, {"purlin", t.Purlin, built.Purlin},
		{"edge", t.Edge, built.Edge}, {"cap", t.Cap, built.Cap},
	} {
		same := p.tested != "" && strings.EqualFold(strings.TrimSpace(p.tested), strings.TrimSpace(p.built))
		say(same, "%s: tested %q, built %q", p.name, p.tested, p.built)
	}
	return why
}

// baysCovered: a two-bay test has the largest clip force and covers more bays;
// from three bays on clip forces differ by 2 % (computed).
func baysCovered(tested, built int) bool {
	return tested > 0 && (tested == built || tested == 2 && built > 2 || tested >= 3 && built >= 3)
}

// Judge reaches the panel's verdict: a usable declared rating first; without
// one, a favourable bound beyond a declared limit exceeds; otherwise uplift is
// not verifiable, and gravity is at best computed for an engineer to confirm.
// Uplift never passes by computation alone, and a rating is never scaled
// upwards; it is reduced when the sheet is hotter than in the test. Faulty
// demands return [InputErrors].
func Judge(q Question) (Verdict, error) {
	if err := q.check(); err != nil {
		return Verdict{}, err
	}
	var v Verdict
	if q.Rating == nil {
		v.Reasons = append(v.Reasons, "no rating is declared for "+q.Sign.String())
	} else if why := q.Rating.Usable(q.Sign, q.Built, q.Duration); len(why) > 0 {
		for _, w := range why {
			v.Reasons = append(v.Reasons, "the declared rating cannot be used: "+w)
		}
	} else {
		q.byRating(&v)
		return v, nil
	}
	v.Basis = "computation"
	over := q.overDeclared()
	switch {
	case len(over) > 0:
		v.Status, v.Stop = Exceeds, true
		v.Reasons = append(v.Reasons, over...)
	case q.Sign == Download:
		if short := q.gravityShort(); len(short) > 0 {
			v.Reasons = append(v.Reasons, short...)
		} else {
			v.Status = ForEngineer
			v.Reasons = append(v.Reasons, "declared stiffness; deflection, rotation, stress and buckling within limits in both bounds")
		}
	default:
		v.Reasons = append(v.Reasons, "uplift does not pass by computation alone")
	}
	if q.Bracket == nil {
		v.Findings = append(v.Findings, "no computed bracket is at hand")
	} else if q.Bracket.Linear.Range == Beyond {
		v.Findings = append(v.Findings, Beyond.String())
	}
	worst := q.severest(func(z Zone) float64 { return z.ASD })
	v.Zone = worst.Name
	if v.Status != ForEngineer {
		v.Card = q.card()
	}
	return v, nil
}

func (q *Question) check() error {
	var f faults
	if q.Sign != Uplift && q.Sign != Download {
		f.add("Sign", fmt.Sprint(int(q.Sign)), "Uplift or Download", "")
	}
	if q.Duration < Gust || q.Duration > Permanent {
		f.add("Duration", fmt.Sprint(int(q.Duration)), "Gust, Day, Season or Permanent", "")
	}
	if len(q.Zones) == 0 {
		f.add("Zones", "none", "at least one zone demand", "give the local pressures of this sign")
	}
	for i, z := range q.Zones {
		f.within(fmt.Sprintf("Zones[%d].ASD", i), z.ASD/KPa, 0, maxPressure, "kPa")
		f.within(fmt.Sprintf("Zones[%d].Factored", i), z.Factored/KPa, 0, maxPressure, "kPa")
	}
	f.within("Depth", q.Depth, 3, 60, "mm")
	f.within("Built.TempC", q.Built.TempC, -40, 70, "°C")
	return f.err()
}

func (q *Question) severest(level func(Zone) float64) Zone {
	w := q.Zones[0]
	for _, z := range q.Zones[1:] {
		if level(z) > level(w) {
			w = z
		}
	}
	return w
}

// byRating compares the severest zone with a usable rating.
func (q *Question) byRating(v *Verdict) {
	r := q.Rating
	level := func(z Zone) float64 { return z.ASD }
	resist := r.Pressure
	v.Basis = fmt.Sprintf("declared rating by %s, allowable", r.Method)
	if r.Basis == Characteristic {
		level = func(z Zone) float64 { return z.Factored }
		resist /= r.Factor
		v.Basis = fmt.Sprintf("declared rating by %s, characteristic / %.3g", r.Method, r.Factor)
	}
	hot := Condition{TempC: q.Built.TempC}.factor() / Condition{TempC: r.Tested.TempC}.factor()
	if hot < 1 {
		resist *= hot
		v.Findings = append(v.Findings, fmt.Sprintf("rating reduced by %.3f: sheet at %.0f °C, tested at %.0f °C", hot, q.Built.TempC, r.Tested.TempC))
	}
	z := q.severest(level)
	v.Zone, v.Ratio = z.Name, level(z)/resist
	v.Status = Meets
	if v.Ratio > 1 {
		v.Status, v.Stop = Exceeds, true
	}
	v.Reasons = append(v.Reasons, fmt.Sprintf("zone %s: %.3f kPa against %.3f kPa", z.Name, level(z)/KPa, resist/KPa))
	for _, o := range q.overDeclared() {
		v.Findings = append(v.Findings, "the computation disagrees with the rating, ask the supplier: "+o)
	}
}

func closing(r *Result) float64 {
	return math.Max(r.Rotation[Left].Closing.Value, r.Rotation[Right].Closing.Value)
}

func opening(r *Result) float64 {
	return math.Max(r.Rotation[Left].Opening.Value, r.Rotation[Right].Opening.Value)
}

// measure is one figure of the bracket against its limit.
type measure struct {
	name  string
	unit  string // " MPa", with its space
	limit Limit
	of    func(*Result) float64
}

func (q *Question) measures() []measure {
	l := q.Limits
	return []measure{
		{"closing rotation of the seam", "°", l.Closing, closing},
		{"opening rotation of the seam", "°", l.Opening, opening},
		{"skin stress", " MPa", l.Skin, func(r *Result) float64 {
			return math.Max(r.Stresses.SkinAlong.Value, r.Stresses.SkinAcross.Value)
		}},
		{"rib stress", " MPa", l.Rib, func(r *Result) float64 { return r.Stresses.RibBending.Value }},
		{"deflection", " mm", l.Deflection, func(r *Result) float64 { return r.Deflection().Value }},
	}
}

// overDeclared lists declared limits that even the favourable bound exceeds.
// The seam's lateral pull only arises where the seam is held: it is favourable
// when free, so it never stops here; it goes on the card.
func (q *Question) overDeclared() (out []string) {
	b := q.Bracket
	if b == nil {
		return nil
	}
	for _, m := range q.measures() {
		best := math.Min(m.of(&b.Free), m.of(&b.Held))
		if m.limit.Declared && m.limit.Value > 0 && best > m.limit.Value {
			out = append(out, fmt.Sprintf("%s %.3g%s even in the favourable bound, declared limit %.3g%s", m.name, best, m.unit, m.limit.Value, m.unit))
		}
	}
	return out
}

// gravityShort lists what keeps a download from being put before an engineer.
func (q *Question) gravityShort() (out []string) {
	if !q.DeclaredStiffness {
		out = append(out, "the stiffness is derived from assumed walls, not declared")
	}
	if q.Bracket == nil {
		return append(out, "no computed result is at hand")
	}
	for _, m := range q.measures() {
		stress := strings.Contains(m.name, "stress")
		worst := math.Max(m.of(&q.Bracket.Free), m.of(&q.Bracket.Held))
		switch {
		case m.limit.Value <= 0 && stress:
			out = append(out, m.name+": no limit is given")
		case m.limit.Value > 0 && worst > m.limit.Value:
			out = append(out, fmt.Sprintf("%s %.3g%s, limit %.3g%s", m.name, worst, m.unit, m.limit.Value, m.unit))
		}
	}
	for b, r := range []*Result{SeamFree: &q.Bracket.Free, SeamHeld: &q.Bracket.Held} {
		name := Bound(b).String()
		if d := r.Deflection().Value; d > q.Depth {
			out = append(out, fmt.Sprintf("%s: deflection %.3g mm, more than the sheet's depth %.3g mm", name, d, q.Depth))
		}
		if a := r.MaxRotation(); a > 1 {
			out = append(out, fmt.Sprintf("%s: seam rotation %.3g°, more than 1°", name, a))
		}
		if k := math.Max(r.Stresses.BucklingAlong.Value, r.Stresses.BucklingAcross.Value); k > 1 {
			out = append(out, fmt.Sprintf("%s: the compressed skin buckles, %.3g of its buckling stress", name, k))
		}
	}
	if l := q.Limits.Lateral; l.Value > 0 {
		if p := q.lateral(); p > l.Value {
			out = append(out, fmt.Sprintf("lateral seam pull %.3g N/mm, limit %.3g N/mm", p, l.Value))
		}
	}
	return out
}

// lateral is the mean seam pull of the worse edge with seams held, N/mm.
func (q *Question) lateral() float64 {
	h := &q.Bracket.Held
	if len(h.Field.X) < 2 {
		return 0
	}
	return math.Max(h.Pull[Left].Sum, h.Pull[Right].Sum) / (h.Field.X[len(h.Field.X)-1] - h.Field.X[0])
}

// card writes the request to the supplier.
func (q *Question) card() *Card {
	c := &Card{
		Sign: q.Sign, Zones: append([]Zone(nil), q.Zones...),
		HoldSeconds: holdNeeded(q.Duration), TempC: q.Built.TempC,
		Layout: q.Built, Levers: append([]Lever(nil), q.Levers...),
	}
	for _, p := range []struct{ name, v string }{
		{"clip", q.Built.Clip}, {"screw", q.Built.Screw}, {"purlin", q.Built.Purlin}, {"edge", q.Built.Edge}, {"cap", q.Built.Cap},
	} {
		if p.v == "" {
			c.Missing = append(c.Missing, p.name)
		}
	}
	if b := q.Bracket; b != nil {
		c.Closing = [2]float64{closing(&b.Held), closing(&b.Free)}
		c.Opening = [2]float64{opening(&b.Held), opening(&b.Free)}
		c.Lateral = q.lateral()
		for _, r := range []*Result{&b.Free, &b.Held} {
			for _, h := range r.Holds {
				c.HoldTension = math.Max(c.HoldTension, h.Force)
				c.LateralPerHold = math.Max(c.LateralPerHold, h.Lateral)
			}
		}
	}
	return c
}
