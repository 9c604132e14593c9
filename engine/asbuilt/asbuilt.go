// Package asbuilt follows a roof while it goes on: where each row of clips
// really landed, where the run will end, whether it turns, and what to do at
// the next marks. It also turns the readings at a verge into a rip, says when a
// cap may go on, and later what comes off to replace one panel.
//
// Assess reads the rows already fixed and never moves them; only marks of rows
// still to come are changed. Offsets are measured along the purlin from the
// running mark; for seams within 2° of square to the purlin that differs by
// less than 0.1 % from across the seam, under 0.01 mm for any offset that can
// be corrected. Lengths a pencil or a saw follows are exact; estimates with
// their spread are in millimetres.
package asbuilt

import (
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// Input is what was planned and what was read. Landings stand in the order in
// which they were read: the last one with readings is the row just read.
type Input struct {
	Layout   setout.Layout `json:"layout"`
	Tape     length.Tape   `json:"tape"`
	Rules    Rules         `json:"rules"`
	Landings []Landing     `json:"landings"`
	Ripped   []string      `json:"ripped,omitempty"` // edge panels already cut: no forecast is made for them
	Pairs    []Pair        `json:"pairs,omitempty"`  // rips that come from one sheet
}

// Landing is one row of clips as it stands.
type Landing struct {
	Seam  string        `json:"seam"`
	Fixed bool          `json:"fixed"` // its clips are screwed
	Joint length.Length `json:"joint"` // what the crew opened (+) or closed (−) its joint by, if it did
	Reads []Read        `json:"reads"`
}

// Read is one reading of a row: the running distance from the datum on a
// purlin to the row of clip holes, left of the datum negative. A second
// reading on the same purlin is a second Read.
type Read struct {
	Purlin string        `json:"purlin"`
	At     length.Length `json:"at"`
}

// Pair names two rips planned from one sheet; Turned if the second lies end for
// end.
type Pair struct {
	First  string `json:"first"`
	Second string `json:"second"`
	Turned bool   `json:"turned,omitempty"`
}

// Verdict is what to do with the row just read.
type Verdict string

// The verdicts. NotRead means that nothing can be said yet; ReadAgain that the
// readings contradict each other or the plan, which is settled before anything
// is lifted.
const (
	NotRead   Verdict = "not read"
	GoOn      Verdict = "go on"
	Correct   Verdict = "correct"
	Lift      Verdict = "lift"
	ReadAgain Verdict = "read again"
)

// severity orders the verdicts; the worse one stands for two runs.
func (v Verdict) severity() int {
	for i, x := range []Verdict{NotRead, GoOn, Correct, Lift, ReadAgain} {
		if v == x {
			return i
		}
	}
	return 0
}

// Estimate is a value with its standard deviation, both in millimetres unless
// the field says otherwise.
type Estimate struct {
	Value float64 `json:"value"`
	SD    float64 `json:"sd"`
}

// Told reports whether the value can be told from chance: it lies more than
// 1.96 standard deviations from nothing (5 % two-sided).
func (e Estimate) Told() bool {
	return e.SD > 0 && (e.Value > normal95*e.SD || e.Value < -normal95*e.SD)
}

// Band is a forecast: the expected length and the limits that hold it 95 times
// in 100.
type Band struct {
	Mean length.Length `json:"mean"`
	Low  length.Length `json:"low"`
	High length.Length `json:"high"`
}

// Result is the state of the run.
type Result struct {
	Plane    string            `json:"plane"`
	Just     string            `json:"just,omitempty"` // the seam just read
	Verdict  Verdict           `json:"verdict"`
	Seams    []SeamFit         `json:"seams"`
	Runs     []Run             `json:"runs"`
	Findings []finding.Finding `json:"findings,omitempty"`
}

// SeamFit is one row against its marks: the straight line through its readings.
// Right is positive.
type SeamFit struct {
	Seam    string    `json:"seam"`
	Fixed   bool      `json:"fixed"`
	Purlins int       `json:"purlins"` // on how many it was read
	Shift   Estimate  `json:"shift_mm"`
	Turn    *Estimate `json:"turn_mm_per_m,omitempty"` // up the slope to the right; nil from one purlin
	Scatter float64   `json:"scatter_mm,omitempty"`    // of the readings about the line, from three purlins on
	Rows    []FitRow  `json:"rows"`
}

// FitRow is the row at one purlin: the line, and the reading if there is one.
type FitRow struct {
	Purlin string         `json:"purlin"`
	Offset length.Length  `json:"offset"` // of the line from the exact mark
	Read   *length.Length `json:"read,omitempty"`
}

// Run is the chain of rows from the starter to one verge. Offsets of a run are
// positive ahead, in the direction of work, and negative behind.
type Run struct {
	Towards  string        `json:"towards"` // "right" or "left"
	Front    string        `json:"front"`   // the row the advice starts from
	Left     int           `json:"left"`    // rows that can still be moved
	PerPanel Estimate      `json:"per_panel_mm"`
	Trend    bool          `json:"trend"`  // that can be told from chance: the batch runs wide or narrow
	Panels   int           `json:"panels"` // between the first and the last row read
	Ends     Estimate      `json:"turn_end_to_end_mm"`
	Turns    bool          `json:"turns"`
	Spread   float64       `json:"spread"` // of the steps against the rules: 1 as assumed, more if the panels vary more
	Last     []Forecast    `json:"last"`   // the last row at every purlin, if nothing is changed
	Rips     []RipForecast `json:"rips"`
	Pairs    []PairSpare   `json:"pairs,omitempty"`
	Advice   Advice        `json:"advice"`
}

// Forecast is where a row is expected at one purlin, ahead positive.
type Forecast struct {
	Purlin string `json:"purlin"`
	Offset Band   `json:"offset"`
}

// RipForecast is the width an edge panel is heading for.
type RipForecast struct {
	Panel string    `json:"panel"`
	Side  string    `json:"side"`
	Seam  string    `json:"seam"` // the row it hangs on
	Rows  []RipNext `json:"rows"`
	Fits  bool      `json:"fits"`  // as things go, the expected width lies within limits at every purlin
	Sure  bool      `json:"sure"`  // and so does the whole band
	Mends bool      `json:"mends"` // with the advice followed, it lies within limits
}

// RipNext is the forecast at one purlin.
type RipNext struct {
	Purlin  string        `json:"purlin"`
	Planned length.Length `json:"planned"`
	Going   Band          `json:"going"`   // if nothing is changed
	Advised length.Length `json:"advised"` // if the advice is followed
	Least   length.Length `json:"least"`
	Most    length.Length `json:"most"`
}

// PairSpare is how much two rips may still grow before they no longer share a
// sheet; negative if they no longer do.
type PairSpare struct {
	First   string        `json:"first"`
	Second  string        `json:"second"`
	Going   length.Length `json:"going"`
	Advised length.Length `json:"advised"`
}

// Advice is what to do at the front of a run.
type Advice struct {
	Verdict Verdict       `json:"verdict"`
	Words   string        `json:"words"`
	Why     string        `json:"why,omitempty"`
	Do      string        `json:"do,omitempty"`
	Moves   []Move        `json:"moves,omitempty"`
	Even    length.Length `json:"even"` // the error at its worst purlin shared out evenly over all rows left
	Limits  Limits        `json:"limits"`
}

// Move is a row with new marks.
type Move struct {
	Seam  string    `json:"seam"`
	Panel string    `json:"panel,omitempty"` // what is pulled in or let out
	Marks []NewMark `json:"marks"`
}

// NewMark is a changed running mark on one purlin.
type NewMark struct {
	Purlin  string        `json:"purlin"`
	Planned length.Length `json:"planned"` // exact, from the datum
	Exact   length.Length `json:"exact"`
	At      length.Length `json:"at"`    // rounded to the tape, once
	Step    length.Length `json:"step"`  // change of the offset from the row before; ahead positive
	Joint   length.Length `json:"joint"` // what the joint is expected to close (−) or open (+)
}

// Limits are the ends of the gauge for a row that lands parallel to its mark.
type Limits struct {
	GoOn      length.Length `json:"go_on"`
	LiftAhead length.Length `json:"lift_ahead"` // farther ahead than this, lift
	LiftShort length.Length `json:"lift_short"` // farther behind than this, lift
}

// Assess reads the state of a run. It never fails: what stands in the way is a
// finding. A zero layout gives an empty result.
func Assess(in Input) Result {
	a := newAssessor(in)
	a.collect()
	a.fitSeams()
	for _, dir := range []int{1, -1} {
		if c, ok := a.chain(dir); ok {
			a.out.Runs = append(a.out.Runs, a.run(c))
		}
	}
	a.settle()
	return a.out
}

// settle takes the verdict of the runs that hold the row just read.
func (a *assessor) settle() {
	a.out.Verdict = NotRead
	for _, r := range a.out.Runs {
		if a.inRun[r.Towards][a.out.Just] && r.Advice.Verdict.severity() > a.out.Verdict.severity() {
			a.out.Verdict = r.Advice.Verdict
		}
	}
	finding.Sort(a.out.Findings)
}
