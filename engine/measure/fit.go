package measure

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/geom"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/survey"
)

// Fit adjusts the readings of one plane. Findings at level stop mean that the
// frame is not to be built on; Corners is empty if no frame could be found.
func Fit(p job.Plane, t job.Tape, tape length.Tape) Frame {
	f := fitter{plane: p, tape: tape, out: Frame{Plane: p.Name},
		model: survey.Tape{Class: classes[t.Class], Care: cares[t.Care], GridMM: tape.Tick.MM()}}
	f.run()
	return f.out
}

var (
	classes = map[string]survey.Class{"": survey.NoClass, "I": survey.ClassI, "II": survey.ClassII, "III": survey.ClassIII, "US": survey.HB44}
	cares   = map[string]survey.Care{"": survey.Normal, "normal": survey.Normal, "careful": survey.Careful, "rough": survey.Rough}
)

const (
	crossing = "X" // the point where two strings along the diagonals cross
	// stringSD is how well two taut strings meet a point, mm (common practice, no source).
	stringSD = 0.5
	// markSD is how well the middle of a member is found, mm (common practice, no source).
	markSD = 1.0
	// maxReadings keeps a mistyped file from asking for hours of work.
	maxReadings = 400
	maxCorners  = 40
)

type fitter struct {
	plane   job.Plane
	tape    length.Tape
	model   survey.Tape
	corners []string // in order, the eave's left first
	net     survey.Network
	read    map[string]length.Length
	out     Frame
}

func (f *fitter) say(level finding.Level, code, where, what, why, do string) {
	f.out.Findings = append(f.out.Findings, finding.Finding{Level: level, Code: code, Plane: f.plane.Name, Where: where, What: what, Why: why, Do: do})
}

func (f *fitter) stopped() bool { return finding.HasStop(f.out.Findings) }

func (f *fitter) run() {
	f.nameCorners()
	if f.stopped() {
		return
	}
	f.network()
	if f.stopped() {
		return
	}
	d, err := survey.Diagnose(f.net)
	if err != nil {
		f.failed(err)
		return
	}
	f.verdict(d)
	res := d.Result
	if d.Verdict == survey.Located && d.Remainder != nil {
		res = d.Remainder
	}
	if res == nil {
		return
	}
	f.place(res, d)
	f.readings(d, res)
	f.heights()
	f.square(res, d)
	f.next(res, d)
}

// nameCorners puts the eave's left corner first.
func (f *fitter) nameCorners() {
	cs := f.plane.Corners
	if len(cs) == 0 {
		cs = []string{"A", "B", "C", "D"}
	}
	seen := map[string]bool{}
	for _, c := range cs {
		if c == "" || c == crossing || seen[strings.ToUpper(c)] {
			f.say(finding.Stop, "survey.corner-names", "corners", fmt.Sprintf("the corner name %q cannot be used", c), "each corner needs its own name, and X is kept for the crossing of two strings", "rename it")
			return
		}
		seen[strings.ToUpper(c)] = true
	}
	if len(cs) < 3 || len(cs) > maxCorners {
		f.say(finding.Stop, "survey.corner-count", "corners", fmt.Sprintf("the frame has %d corners", len(cs)), fmt.Sprintf("3 to %d can be worked on", maxCorners), "list the corners of one plane")
		return
	}
	eave := f.plane.Eave
	if eave == "" {
		eave = cs[0] + cs[1]
	}
	for i := range cs {
		if SamePair(eave, cs[i], cs[(i+1)%len(cs)]) {
			f.corners = append(append([]string{}, cs[i:]...), cs[:i]...)
			return
		}
	}
	f.say(finding.Stop, "survey.eave", "eave", fmt.Sprintf("the eave %q is no edge of this frame", eave), "an edge joins two neighbouring corners", "write for example eave: "+cs[0]+cs[1])
}

// network turns the job's readings into observations.
func (f *fitter) network() {
	f.net = survey.Network{Outline: f.corners}
	f.read = map[string]length.Length{}
	if len(f.corners) > 4 && len(f.plane.Sketch) < len(f.corners) {
		f.say(finding.Stop, "survey.sketch", "sketch", "a frame with more than four corners needs a sketch", "distances alone cannot tell an inside corner from an outside one", "write the rough place of every corner: sketch: {A: [0, 0], …}")
		return
	}
	for _, c := range f.corners {
		if s, ok := f.plane.Sketch[c]; ok {
			f.net.Points = append(f.net.Points, survey.Sketched(c, s[0].MM(), s[1].MM()))
		} else {
			f.net.Points = append(f.net.Points, survey.Unplaced(c))
		}
	}
	f.ties()
	f.crossings()
	if len(f.net.Obs) > maxReadings {
		f.say(finding.Stop, "survey.too-many", "tapes", fmt.Sprintf("%d readings are given", len(f.net.Obs)), fmt.Sprintf("at most %d can be worked on", maxReadings), "leave repeats out")
	}
}

func (f *fitter) ties() {
	keys := make([]string, 0, len(f.plane.Tapes))
	for k := range f.plane.Tapes {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		a, b, ok := SplitPair(k, f.corners)
		if !ok || a == b {
			f.say(finding.Stop, "survey.unknown-corner", "tapes."+k, fmt.Sprintf("the reading %q does not run between two corners of this frame", k),
				"the corners are "+strings.Join(f.corners, " "), "name two of them, for example "+f.corners[0]+f.corners[1])
			continue
		}
		for i, l := range f.plane.Tapes[k] {
			if !f.positive("tapes."+k, l) {
				continue
			}
			o := survey.Tie(a, b, l.MM(), f.model.Sigma(l.MM()))
			o.ID = a + b
			if i > 0 {
				o.ID = fmt.Sprintf("%s%s (reading %d)", a, b, i+1)
			}
			f.read[o.ID] = l
			f.net.Obs = append(f.net.Obs, o)
		}
	}
}

func (f *fitter) positive(where string, l length.Length) bool {
	if l > 0 {
		return true
	}
	f.say(finding.Stop, "survey.not-positive", where, "the reading is "+f.tape.Format(l, length.Nearest), "a frame has no sides of nothing or less", "read it again")
	return false
}

// crossings adds the readings to the point where two strings cross.
func (f *fitter) crossings() {
	if len(f.plane.Crossing) == 0 {
		return
	}
	if len(f.corners) != 4 {
		f.say(finding.Stop, "survey.crossing", "crossing", "string readings are for four corners", "the strings run along the two diagonals", "leave crossing out")
		return
	}
	x := survey.Unplaced(crossing)
	if len(f.plane.Sketch) > 0 {
		var sx, sy float64
		for _, c := range f.corners {
			sx += f.plane.Sketch[c][0].MM() / 4
			sy += f.plane.Sketch[c][1].MM() / 4
		}
		x = survey.Sketched(crossing, sx, sy)
	}
	f.net.Points = append(f.net.Points, x)
	c := f.corners
	f.net.Obs = append(f.net.Obs, survey.OnString(crossing, c[0], c[2], stringSD), survey.OnString(crossing, c[1], c[3], stringSD))
	for _, name := range c {
		for k, l := range f.plane.Crossing {
			if !strings.EqualFold(k, name) || !f.positive("crossing."+k, l) {
				continue
			}
			o := survey.Tie(name, crossing, l.MM(), f.model.Sigma(l.MM()))
			o.ID = name + crossing
			f.read[o.ID] = l
			f.net.Obs = append(f.net.Obs, o)
		}
	}
	for k := range f.plane.Crossing {
		if _, _, ok := SplitPair(k+k, c); !ok {
			f.say(finding.Stop, "survey.unknown-corner", "crossing."+k, fmt.Sprintf("%q is no corner of this frame", k), "the corners are "+strings.Join(c, " "), "name a corner")
		}
	}
}

// failed turns the errors of the adjustment into findings.
func (f *fitter) failed(err error) {
	var hint interface{ Hint() string }
	do := "check the readings"
	if errors.As(err, &hint) {
		do = hint.Hint()
	}
	code, where, what := "survey.failed", "", err.Error()
	var impossible *survey.ImpossibleError
	var rigid *survey.NotRigidError
	switch {
	case errors.As(err, &impossible):
		code, what = "survey.impossible", f.impossible(impossible)
		if len(impossible.Suspects) > 0 {
			where = impossible.Suspects[0].ID
		}
	case errors.As(err, &rigid):
		code = "survey.not-rigid"
		for _, m := range rigid.Missing {
			f.out.Next = append(f.out.Next, Tie{What: m[0] + m[1], Why: "without it the frame can still change its shape"})
		}
	}
	f.say(finding.Stop, code, where, what, "", do)
}

// place puts the adjusted corners with the eave along U.
func (f *fitter) place(res *survey.Result, d *survey.Diagnosis) {
	a, _ := res.At(f.corners[0])
	b, _ := res.At(f.corners[1])
	turn := -math.Atan2(b.Y-a.Y, b.X-a.X)
	s, c := math.Sincos(turn)
	trusted := d.Verdict != survey.Noticed && !res.Global.Fails01
	n := len(f.corners)
	for i, name := range f.corners {
		q, _ := res.At(name)
		x, y := q.X-a.X, q.Y-a.Y
		at := geom.Point{U: length.FromMM(float64(x*c) - float64(y*s)), V: length.FromMM(float64(x*s) + float64(y*c))}
		if i == 1 {
			at.V = 0
		}
		k := Corner{Name: name, At: at}
		rad, sd, err := res.Angle(f.corners[(i+1)%n], name, f.corners[(i+n-1)%n])
		if err == nil {
			k.Angle = insideAngle(rad) * 180 / math.Pi
		}
		if e, err := res.Ellipse(name); err == nil && trusted {
			k.AngleSD = sd * 180 / math.Pi
			k.LongMM, k.ShortMM, k.BearingDg = e.Major, e.Minor, (e.Direction+turn)*180/math.Pi
		}
		for key, h := range f.plane.Heights {
			if strings.EqualFold(key, name) {
				k.Height = &h
			}
		}
		f.out.Corners = append(f.out.Corners, k)
	}
	for i := range f.corners {
		from, to := f.corners[i], f.corners[(i+1)%n]
		mm, sd, err := res.Distance(from, to)
		if err != nil {
			continue
		}
		if scale, ok := f.model.ScaleSD(mm); ok { // common to all readings, so it goes into every size
			sd = math.Hypot(sd, scale)
		}
		f.out.Edges = append(f.out.Edges, Edge{From: from, To: to, Length: length.FromMM(mm), SDMM: sd})
	}
	if len(res.Crossed) > 0 {
		x := res.Crossed[0]
		f.say(finding.Stop, "survey.crossing-edges", x[0]+x[1], fmt.Sprintf("edges %s%s and %s%s cross each other", x[0], x[1], x[2], x[3]), "readings were swapped or corners misnamed", "check which corners each reading belongs to")
	}
}

func insideAngle(rad float64) float64 {
	for rad < 0 {
		rad += 2 * math.Pi
	}
	return math.Mod(rad, 2*math.Pi)
}

func (f *fitter) readings(d *survey.Diagnosis, res *survey.Result) {
	f.out.Redundancy, f.out.Misfit = res.DOF, res.VTPV
	full := d.Result
	if full == nil {
		full = res
	}
	for _, r := range full.Readings {
		l, taped := f.read[r.ID]
		if !taped {
			continue
		}
		adjusted := r.Adjusted
		if v, _, err := res.Predict(r.Obs); err == nil {
			adjusted = v
		}
		f.out.Readings = append(f.out.Readings, Reading{Between: r.ID, Read: l, Adjusted: length.FromMM(adjusted), ChangeMM: adjusted - l.MM(),
			SDMM: r.Sigma, Redundancy: r.R, W: r.W, LeastMM: r.MDB, MisreadMM: r.Misread})
	}
}

// heights fits the slope and twist from the corner heights. Readings lie in
// the plane, so the gradient against them is the sine of the slope.
func (f *fitter) heights() {
	var levels []survey.Level
	for _, c := range f.out.Corners {
		if c.Height != nil {
			levels = append(levels, survey.Level{Name: c.Name, X: c.At.U.MM(), Y: c.At.V.MM(), Z: c.Height.MM()})
		}
	}
	if len(levels) == 0 {
		return
	}
	sigma := f.model.Sigma(2000)
	p, err := survey.FitPlane(levels, sigma)
	if err != nil {
		f.say(finding.Warn, "survey.heights", "heights", err.Error(), "", "give the height of at least three corners")
		return
	}
	g := math.Hypot(p.GradX, p.GradY)
	if g >= 1 || p.GradY <= 0 {
		f.say(finding.Stop, "survey.heights", "heights", "the heights do not rise from the eave to the head", "the eave is the low edge", "check the heights, or name another eave")
		return
	}
	slope := math.Asin(g)
	f.out.SlopeRad = &slope
	if across := math.Atan2(math.Abs(p.GradX), p.GradY); across > 2*math.Pi/180 {
		f.say(finding.Warn, "survey.cross-fall", "heights", fmt.Sprintf("the plane falls %.1f° to one side", across*180/math.Pi), "water would run to one verge", "level the eave")
	}
	if len(levels) == 4 && len(f.corners) == 4 {
		h, sd := survey.Twist(levels[0].Z, levels[1].Z, levels[2].Z, levels[3].Z, sigma)
		f.out.TwistMM = &h
		if math.Abs(h) > 3*sd && math.Abs(h) > 10 {
			f.say(finding.Warn, "survey.twist", "heights", fmt.Sprintf("the frame is twisted: one corner stands %.0f mm out of the plane of the other three", math.Abs(h)), "panels lie flat only on a flat frame", "pack or plane the purlins until four strings lie in one plane")
		}
	}
}
