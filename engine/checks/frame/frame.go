// Package frame follows the load of a roof down to the ground and checks every
// link on the way: purlin, purlin-to-rafter fixing, rafter, beam, post,
// bracing or embedment, ledger, post base and footing, to NDS 2018 (ASD and
// LRFD) or EN 1995-1-1.
//
// Every part is optional. What was not given comes back as "not checked" with a
// plain sentence; nothing that is missing is taken as good. The house that a
// cover leans on is always "not checked".
//
// All lengths are mm, forces N, line loads N/mm, angles degrees.
package frame

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/engine/checks"
	"seamwright/engine/checks/fastener"
	"seamwright/engine/checks/timber"
	"seamwright/engine/loads/cite"
	"seamwright/engine/loads/combine"
)

// Kind is a kind of part in the load path.
type Kind string

// The kinds. AtFixing is not a part: it names loads meant for the fixings
// alone, whose effective wind area is smaller than that of the member.
const (
	Purlin   Kind = "purlin"
	Rafter   Kind = "rafter"
	Beam     Kind = "beam"
	OnPost   Kind = "post"
	AtFixing Kind = "fixing"
)

// OnLedger is the name to use as Support.On for a member that rests on the ledger.
const OnLedger = "ledger"

// Input is everything the load path needs. Table holds the combinations of
// every limit state, from package combine; its case IDs are those of the loads.
type Input struct {
	Table       combine.Table
	Members     []Member
	Fixings     []Fixing
	Posts       []Post
	Lateral     []Lateral
	Ledger      *Ledger
	Bases       []Base
	Footings    []Footing
	Point       float64  // concentrated load on purlin, rafter or beam, N (300 lb, or Qk 1 kN); 0 = not given
	PartialSnow []string // IDs of the balanced snow cases, for partial loading of continuous members
	Roof        timber.RoofLimits
	// Durations replaces the load-duration class of an action under EN 1995-1-1
	// (National Annex). Without it snow is medium-term and wind short-term, the
	// longer of the classes in use.
	Durations map[combine.Action]timber.Duration
}

// Support is a place where a member rests. On names the member or post below,
// or OnLedger; empty means it rests on something outside this calculation.
type Support struct {
	At      float64 // along this member
	On      string  // ID of what carries it
	OnAt    float64 // along the member that carries it
	Bearing float64 // bearing length along the grain of this member; 0 = not given
}

// Load is a load on a member. Vertical loads act downwards per length of the
// member; normal loads press on the slope. For limits a load to the checks of
// those kinds, so that wind can come with the effective area of each: a purlin
// load For {Rafter} is what the purlins pass on when a rafter is checked. Empty
// means every kind.
type Load struct {
	Case   string
	Normal bool
	For    []Kind
	timber.Load
}

// Member is a purlin, rafter or beam.
type Member struct {
	ID       string
	Kind     Kind
	Timber   timber.Member
	Length   float64
	Slope    float64 // of the plane its depth is square to; 0 for a level beam
	Supports []Support
	Loads    []Load
	// Distances between real lateral holds of the upper and the lower edge. Zero:
	// held at the supports only. Glazing on clips holds neither.
	TopHeld, BottomHeld float64
	Grip                *Grip // clip screws in the upper edge, for tension across the grain
	Unseasoned          bool  // built in unseasoned: long-term deflection doubles (NDS 3.5.2)
}

// Grip is how the clips pull on a purlin in uplift.
type Grip struct {
	Depth float64            // how deep the screws reach from the edge that is pulled
	Pull  map[string]float64 // pull of the most loaded clip by load case, N upwards
}

// Fixing is how members of one kind are held down on what carries them.
type Fixing struct {
	Of       Kind
	Declared *fastener.Declared // hold-down capacity of one fixing, N
	Joint    *fastener.Joint    // or screws through the member into the one below
}

// Reaction is what one sink (post, ledger, outside support) takes of one load
// case, unfactored. Vertical is positive downwards, Horizontal positive towards
// the head.
type Reaction struct {
	Sink       string  `json:"sink"`
	Case       string  `json:"case"`
	Vertical   float64 `json:"vertical_n"`
	Horizontal float64 `json:"horizontal_n"`
}

// Balance is the vertical load of one case that went in, and what is missing
// when all reactions are taken off: zero but for rounding.
type Balance struct {
	Case     string  `json:"case"`
	Applied  float64 `json:"applied_n"`
	Residual float64 `json:"residual_n"`
}

// Result is the checked load path.
type Result struct {
	Checks     []checks.Check `json:"checks"`
	Reactions  []Reaction     `json:"reactions"`
	Balance    []Balance      `json:"balance"`
	NotChecked []string       `json:"not_checked"` // plain sentences, for page one
	// Uplift is the weakest link of those checked in the chain that holds the roof
	// down below the panels; UpliftOpen names the links of it that were not checked.
	// While there are any, no wind may be said to be one that the frame is good for.
	Uplift     *checks.Check `json:"uplift,omitempty"`
	UpliftOpen []string      `json:"uplift_open,omitempty"`
}

// Run checks the load path. It fails only when the parts do not fit together:
// an unknown name, a ring of members, a load off its member.
func Run(in Input) (Result, error) {
	if err := in.valid(); err != nil {
		return Result{}, err
	}
	r := &runner{in: &in, flows: map[Kind]*flow{}, rows: map[string][]variant{}, felt: map[string][]situation{}, index: map[string]int{}, cases: map[string]int{}, lines: layLines(in.Members)}
	var err error
	if r.order, err = in.topDown(); err != nil {
		return Result{}, err
	}
	for i := range in.Members {
		r.index[in.Members[i].ID] = i
	}
	for i, c := range in.Table.Cases {
		r.cases[c.ID] = i
	}
	for _, k := range []Kind{Purlin, AtFixing, Rafter, Beam, OnPost} {
		f, err := r.follow(k)
		if err != nil {
			return Result{}, err
		}
		r.flows[k] = f
	}
	for i := range in.Members {
		if err := r.member(i); err != nil {
			return Result{}, err
		}
	}
	for _, k := range []Kind{Purlin, Rafter, Beam} {
		if !in.has(k) {
			r.skip("frame."+string(k), "the "+string(k)+"s", string(k)+"s", "no "+string(k)+" was described", "", "describe the "+string(k)+"s: size, species and supports")
		}
	}
	if err := r.fixings(); err != nil {
		return Result{}, err
	}
	r.lateral()
	r.posts()
	r.ledger()
	r.bases()
	r.footings()
	r.skip("frame.house", "the house", "existing house", "its walls, roof edge and foundation are not part of this calculation", "", "let a licensed professional look at what the cover leans on")
	out := Result{Checks: r.out, Reactions: r.flows[OnPost].list(r.in), Balance: r.flows[OnPost].balance(r.in)}
	out.NotChecked = sentences(r.out)
	if w, ok := checks.Governing(r.chain); ok {
		out.Uplift = &w
	}
	for _, c := range r.chain {
		if c.Verdict == checks.NotChecked {
			out.UpliftOpen = append(out.UpliftOpen, c.Where+": "+c.What)
		}
	}
	return out, nil
}

// sentences writes each reason for not checking once, with all the places it
// holds for.
func sentences(list []checks.Check) []string {
	var texts, places []string
	for _, c := range list {
		if c.Verdict != checks.NotChecked || len(c.Findings) == 0 {
			continue
		}
		f := c.Findings[0]
		joint := "; "
		if f.Code == "not-checked" {
			joint = ", because "
		}
		text := f.What + joint + f.Why + ". " + sentence(f.Do)
		at := slices.Index(texts, text)
		if at < 0 {
			texts, places = append(texts, text), append(places, c.Where)
			continue
		}
		if !strings.Contains(places[at]+", ", c.Where+", ") {
			places[at] += ", " + c.Where
		}
	}
	for i := range texts {
		texts[i] = places[i] + ": " + texts[i]
	}
	return texts
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return "To do: " + s + "."
}

// runner collects the checks of one run.
type runner struct {
	in    *Input
	order []int          // members, each before what carries it
	index map[string]int // members by ID
	cases map[string]int // load cases by ID
	lines []*line        // of every member
	flows map[Kind]*flow
	rows  map[string][]variant   // combinations by limit states, spelled out once
	felt  map[string][]situation // and by what they put on a part
	out   []checks.Check
	chain []checks.Check // those that hold the roof down
	// horizontal force that one post takes, by load case, and where on it
	sway map[string]sway
}

func (r *runner) add(c ...checks.Check) { r.out = append(r.out, c...) }

// addAs adds a check under another ID.
func (r *runner) addAs(id string, c checks.Check) {
	c.ID = id
	r.add(c)
}

// hold adds checks that belong to the chain that holds the roof down.
func (r *runner) hold(c ...checks.Check) {
	r.out = append(r.out, c...)
	r.chain = append(r.chain, c...)
}

func (r *runner) skip(id, where, what, why, source, do string) {
	r.add(checks.Skipped(id, where, what, why, source, do))
}

func (in Input) has(k Kind) bool {
	for _, m := range in.Members {
		if m.Kind == k {
			return true
		}
	}
	return false
}

func (in Input) valid() error {
	names, ids := []string{OnLedger}, map[string]bool{OnLedger: true}
	take := func(id, what string) error {
		if id == "" || ids[id] {
			return &checks.Invalid{Code: "frame-name", Where: what, Field: "name", Read: "“" + id + "”", Accepted: "a name that no other part has", Do: "give every part its own name"}
		}
		ids[id] = true
		names = append(names, id)
		return nil
	}
	for _, m := range in.Members {
		if err := take(m.ID, string(m.Kind)); err != nil {
			return err
		}
		if m.Kind != Purlin && m.Kind != Rafter && m.Kind != Beam {
			return &checks.Invalid{Code: "frame-kind", Where: m.ID, Field: "kind", Read: "“" + string(m.Kind) + "”", Accepted: "purlin, rafter, beam", Do: "say what the member is"}
		}
	}
	for _, p := range in.Posts {
		if err := take(p.ID, "post"); err != nil {
			return err
		}
	}
	cases := map[string]bool{}
	var caseNames []string
	for _, c := range in.Table.Cases {
		cases[c.ID] = true
		caseNames = append(caseNames, c.ID)
	}
	if len(in.Table.Rows) == 0 {
		return &checks.Invalid{Code: "frame-combinations", Where: "frame", Field: "combinations", Read: "none", Accepted: "the combinations of the adopted code", Do: "combine the load cases first"}
	}
	if err := checks.Within("frame", "concentrated load", in.Point, 0, 1e5, "N", "", "give 1334 N (300 lb) or Qk, or 0 to leave it out"); err != nil {
		return err
	}
	for _, m := range in.Members {
		if err := m.valid(ids, names, cases, caseNames); err != nil {
			return err
		}
	}
	return nil
}

func (m Member) valid(ids map[string]bool, names []string, cases map[string]bool, caseNames []string) error {
	if err := checks.Positive(m.ID, "length", m.Length, "mm"); err != nil {
		return err
	}
	if err := checks.Within(m.ID, "slope", m.Slope, 0, 60, "°", "", "give the slope of the roof"); err != nil {
		return err
	}
	for _, v := range []float64{m.TopHeld, m.BottomHeld} {
		if err := checks.Within(m.ID, "distance between lateral holds", v, 0, 1e5, "mm", "", "give 0 when the edge is held at the supports only"); err != nil {
			return err
		}
	}
	for _, s := range m.Supports {
		if s.On != "" && !ids[s.On] || s.On == m.ID {
			return unknownName(m.ID, "support", s.On, names)
		}
		if err := checks.Within(m.ID, "position of the support along what carries it", s.OnAt, 0, 1e6, "mm", "", "measure along the member below"); err != nil {
			return err
		}
		if err := checks.Within(m.ID, "bearing length", s.Bearing, 0, 1e4, "mm", "", "give the length of contact along the member"); err != nil {
			return err
		}
	}
	for _, l := range m.Loads {
		if !cases[l.Case] {
			return unknownName(m.ID, "load case", l.Case, caseNames)
		}
	}
	return nil
}

func unknownName(where, field, read string, names []string) error {
	do := "use one of the names given"
	if like := checks.Suggest(read, names); len(like) > 0 {
		do = "did you mean " + like[0] + "?"
	}
	accepted := ""
	for i, n := range names {
		if i > 0 {
			accepted += ", "
		}
		accepted += n
	}
	return &checks.Invalid{Code: "frame-unknown", Where: where, Field: field, Read: "“" + read + "”", Accepted: accepted, Do: do}
}

func name(kind Kind, id string) string { return string(kind) + " " + id }

func mm(v float64) string { return fmt.Sprintf("%.0f mm", v) }

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }

// given writes a value that was entered as a step.
func given(symbol, what string, v float64, unit string) cite.Step {
	return cite.Step{Symbol: symbol, What: what, Value: v, Unit: unit, Source: "as given", Standing: cite.Given}
}
