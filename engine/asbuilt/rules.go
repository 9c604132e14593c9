package asbuilt

import (
	"math"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/setout"
)

// Rules are the tolerances a run is judged by. Negative lengths count as 0.
type Rules struct {
	Close      length.Length `json:"close"`       // a joint can be closed by this much
	Open       length.Length `json:"open"`        // and opened by this much
	GoOn       length.Length `json:"go_on"`       // a row this near its mark needs nothing
	Width      length.Length `json:"width"`       // tolerance ± of the cover width of a panel
	Batch      float64       `json:"batch"`       // share of the variance of that width that all panels of a batch have in common, 0 to 1
	ReadSD     float64       `json:"read_sd_mm"`  // standard deviation of one reading of a row
	HotClosing length.Length `json:"hot_closing"` // what a joint loses when the panels are hottest
	LeastRip   length.Length `json:"least_rip"`
	WidestRip  length.Length `json:"widest_rip"`
	Sheet      length.Length `json:"sheet"`     // width that two rips share
	Kerf       length.Length `json:"kerf"`      // of the rip between them
	ShortRip   length.Length `json:"short_rip"` // a rip may stop this far short of its reading and still be gripped when coldest
}

// The assumptions behind RulesFor where a catalogue is silent.
const (
	// widthTolerance is ± the cover width (assumption: no declaration, the
	// value the layout study of the survey reference works with).
	widthTolerance = 2 * length.Millimetre
	// batchShare of the width variance is common to a batch (judgment): one
	// extrusion run is all wide or all narrow, and no statistics help then.
	batchShare = 0.5
	// holdSD is the spread of hooking, holding and sighting a tape on a row of
	// holes, mm (judgment); the reading to a division comes on top.
	holdSD = 0.5
	// goOnTicks is how many divisions of the tape a row may lie off its mark
	// before anything is done (common practice, no source).
	goOnTicks = 2
)

// RulesFor takes the rules from the catalogue. The play of a joint is its
// allowance less the clip web; it is taken to open as far as it closes
// (judgment: a cap spans both alike). How far a rip may stop short of its
// reading is the channel's grip when coldest less the least engagement.
func RulesFor(sys catalogue.System, l setout.Layout, tape length.Tape, kerf length.Length) Rules {
	play := max(sys.Panel.Joint-sys.Clip.Web, 0)
	return Rules{
		Close: play, Open: play, GoOn: goOnTicks * tape.Tick, Width: widthTolerance, Batch: batchShare,
		ReadSD: math.Hypot(holdSD, UniformSD(tape.Tick.MM()/2)), HotClosing: max(play-l.Movement.JointClosing, 0),
		LeastRip: sys.Rules.LeastRip, WidestRip: sys.Panel.VergeWidth, Sheet: sys.Panel.Cover, Kerf: kerf,
		ShortRip: max(l.Movement.GripCold-sys.Rules.LeastEngagement, 0),
	}
}

// sound returns the rules with every value in the range that the formulas need.
func (r Rules) sound() Rules {
	for _, x := range []*length.Length{&r.Close, &r.Open, &r.GoOn, &r.Width, &r.HotClosing, &r.LeastRip, &r.WidestRip, &r.Sheet, &r.Kerf, &r.ShortRip} {
		*x = min(max(*x, 0), length.Max)
	}
	r.Close, r.Open = min(r.Close, length.Metre), min(r.Open, length.Metre)
	r.Width = min(r.Width, length.Metre)
	if !(r.Batch >= 0) {
		r.Batch = 0
	}
	r.Batch = math.Min(r.Batch, 1)
	if !(r.ReadSD >= leastSD) {
		r.ReadSD = leastSD
	}
	r.ReadSD = math.Min(r.ReadSD, 1000)
	return r
}

// leastSD keeps weights finite where a test or a caller claims perfect
// readings, mm.
const leastSD = 1e-3

// randomSD and batchSD split the width tolerance of a panel into what varies
// from panel to panel and what a batch has in common, both mm.
func (r Rules) randomSD() float64 { return UniformSD(r.Width.MM()) * math.Sqrt(1-r.Batch) }
func (r Rules) batchSD() float64  { return UniformSD(r.Width.MM()) * math.Sqrt(r.Batch) }
