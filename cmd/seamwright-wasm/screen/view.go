package screen

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strings"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
)

// Screen holds what every view needs: the catalogue, and the last plans made,
// since most views are of a job that was planned a moment ago. It serves one
// caller at a time.
type Screen struct {
	set   builtin.Set
	shop  *catalogue.Shop // the firm's own
	plans [4]planned
	next  int
}

type planned struct {
	key  string
	plan plan.Plan
}

// New loads the built-in catalogue.
func New() (*Screen, error) {
	set, err := builtin.Load()
	return &Screen{set: set}, err
}

var noTapes = regexp.MustCompile(`^planes\[\d+\]\.tapes$`)

// read reads a job that may still lack its readings.
func read(doc string) (job.Job, []Trouble, bool) {
	j, _, problems := fileform.ReadJob("job.json", []byte(doc))
	var out []Trouble
	refused := false
	for _, p := range problems {
		if noTapes.MatchString(p.Path) && p.Read == "" {
			continue
		}
		refused = refused || !p.Note
		p.File, p.Line, p.Column, p.Corrected = "", 0, 0, ""
		out = append(out, Trouble{Path: p.Path, Text: strings.TrimPrefix(p.String(), p.Path+": "), Note: p.Note})
	}
	return j, out, !refused
}

// planOf runs a job, or gives the plan of the same text again.
func (s *Screen) planOf(j job.Job, key string) plan.Plan {
	for _, p := range s.plans {
		if p.key == key {
			return p.plan
		}
	}
	p := planned{key, s.Plan(j)}
	s.plans[s.next] = p
	s.next = (s.next + 1) % len(s.plans)
	return p.plan
}

// Plan runs a job.
func (s *Screen) Plan(j job.Job) plan.Plan {
	shop := s.set.Shop(j.Units)
	if s.shop != nil {
		shop = *s.shop
	}
	return plan.Run(plan.Input{Job: j, Systems: s.set.Systems, Shop: shop})
}

// View makes the view of a job. It never fails: what cannot be read is listed
// in Troubles.
func (s *Screen) View(req Request) View {
	j, troubles, ok := read(req.Doc)
	out := View{Troubles: troubles, Stage: req.Stage, Head: headOf(j)}
	if !ok || len(j.Planes) == 0 {
		return out
	}
	req.Plane = min(max(req.Plane, 0), len(j.Planes)-1)
	req.Width, req.Height = clampSize(req.Width), clampSize(req.Height)
	given := j
	if !req.Full {
		j = unloaded(j)
	}
	p := s.planOf(j, fmt.Sprint(req.Full || given.Site == nil, " ", req.Doc))
	v := viewer{s, req, j, given, p, &out, nil}
	v.draw()
	v.verdict()
	v.findings()
	v.short(given.Site != nil)
	v.checks()
	v.stage()
	out.NotChecked, out.Assumed = p.NotChecked, p.Assumed
	return out
}

// unloaded is the job without what only loads and checks need, so that the
// drawing can follow the thumb.
func unloaded(j job.Job) job.Job {
	j.Site = nil
	planes := make([]job.Plane, len(j.Planes))
	copy(planes, j.Planes)
	for i := range planes {
		planes[i].Structure = nil
	}
	j.Planes = planes
	return j
}

// clampSize keeps a board between a stamp and a wall.
func clampSize(x float64) float64 {
	if math.IsNaN(x) {
		return 360
	}
	return math.Min(math.Max(x, 200), 4000)
}

type viewer struct {
	*Screen
	req   Request
	job   job.Job // as planned: without the site unless the view is full
	given job.Job // as written
	plan  plan.Plan
	out   *View
	board *board
}

func headOf(j job.Job) Head {
	h := Head{Name: j.Name, Number: j.Number, Customer: j.Customer, Units: j.Units, Tick: j.Tape.Tick}
	if h.Tick == "" {
		h.Tick = map[bool]string{true: "1/16", false: "1"}[j.Units == "inch"]
	}
	h.Tick = strings.TrimSuffix(h.Tick, " mm")
	for _, p := range j.Planes {
		h.Planes = append(h.Planes, p.Name)
	}
	return h
}

func (v *viewer) draw() {
	b := &board{req: v.req, job: v.job, in: v.job.Planes[v.req.Plane], tape: plan.TapeOf(v.job).WithFeet()}
	if v.req.Plane < len(v.plan.Planes) {
		b.plane = &v.plan.Planes[v.req.Plane]
		b.layout = b.plane.Layout
	}
	b.steps = v.plan.Sequence.Steps
	v.board = b
	v.out.Board = b.draw()
	v.out.Slots = b.slots
}

// verdict says what the readings say, and the next one worth taking.
func (v *viewer) verdict() {
	f := v.board.plane
	taken, want := 0, len(v.board.names)
	for _, rs := range v.board.in.Tapes {
		if len(rs) > 0 {
			taken++
		}
	}
	out := &v.out.Verdict
	switch {
	case taken == 0:
		*out = Verdict{"empty", "Hook the tape at " + v.board.names[0] + ".", fmt.Sprintf("Pull along the eave to %s. Four sides and two diagonals tell if it is square. Nothing else is needed to start.", v.board.names[1])}
	case f == nil || len(f.Frame.Corners) == 0:
		need := want + 2 - taken
		if want == 4 && need > 0 {
			*out = Verdict{"part", fmt.Sprintf("%d to go", need), "four sides and two diagonals"}
			break
		}
		*out = Verdict{"part", "No frame yet", "the readings do not close"}
	case f.Frame.Blunder.Verdict == "located":
		*out = Verdict{"misread", "Read " + f.Frame.Blunder.Suspect + " again", "the others agree without it"}
	case f.Frame.Blunder.Verdict == "noticed":
		*out = Verdict{"misread", "A misread tape", "which one cannot be told from these readings"}
	case f.Frame.Square == nil:
		*out = Verdict{"off", "Measured", fmt.Sprintf("%d corners fit", want)}
	case f.Frame.Square.IsSquare:
		*out = Verdict{"square", "Square", strings.TrimPrefix(f.Frame.Square.Verdict, "square ")}
	default:
		*out = Verdict{"off", "Not square", f.Frame.Square.Verdict}
	}
	v.next(taken)
}

func (v *viewer) next(taken int) {
	unread := ""
	for _, s := range v.out.Slots {
		if s.Text == "" && unread == "" && strings.HasPrefix(s.ID, "tape:") {
			unread = s.ID
			v.out.Next = &Next{What: capital(s.Name) + ", " + s.Sub, Why: "not read yet", Slot: s.ID}
		}
	}
	f := v.board.plane
	if unread != "" || f == nil || len(f.Frame.Next) == 0 || taken == 0 {
		return
	}
	t := f.Frame.Next[0]
	v.out.Next = &Next{What: capital(t.What), Why: t.Why}
	if strings.HasPrefix(t.What, "strings") && len(v.board.names) == 4 {
		v.out.Next.Slot = "crossing:" + v.board.names[0]
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// findings hangs every finding on the drawing where it speaks of something
// that is drawn.
func (v *viewer) findings() {
	here := v.job.Planes[v.req.Plane].Name
	for i, f := range v.plan.Findings {
		out := Finding{ID: fmt.Sprintf("f%d", i), Level: f.Level.String(), Code: f.Code, Where: f.Where, What: f.What, Why: f.Why, Do: f.Do, Source: f.Source}
		v.mend(&out)
		if f.Plane == "" || f.Plane == here {
			v.hang(&out)
		}
		v.out.Findings = append(v.out.Findings, out)
	}
	v.spread()
}

// stageOf is where findings of each group of codes are mended; all others
// belong to the checks.
var stageOf = map[string]string{"survey": Measure, "roof": Roof, "slope": Roof, "purlins": Roof, "support": Roof, "cut": Buying, "job": Roof, "plan": Setting,
	"setout": Setting, "rip": Setting, "panel": Setting, "channel": Setting, "work": Setting, "marks": Setting, "heat": Setting, "clip": Setting}

// mend says where a finding is put right.
func (v *viewer) mend(f *Finding) {
	group, _, _ := strings.Cut(f.Code, ".")
	f.Stage = stageOf[group]
	if f.Stage == "" || strings.HasPrefix(f.Where, "site") || strings.HasPrefix(f.Where, "timber") {
		f.Stage = Loads
	}
	if f.Code == "survey.heights" || f.Code == "survey.cross-fall" || f.Code == "survey.twist" {
		f.Stage = Roof
	}
	for _, s := range v.out.Slots {
		_, pair, _ := strings.Cut(s.ID, ":")
		for _, w := range strings.FieldsFunc(f.Where, func(r rune) bool { return r == ' ' || r == ',' }) {
			w, _, _ = strings.Cut(w, "(")
			if f.Slot == "" && len(pair) > 1 && samePairText(w, pair) {
				f.Slot = s.ID
			}
		}
	}
}

func samePairText(a, b string) bool {
	r := []rune(b)
	return len(r) == 2 && samePair(a, string(r[0]), string(r[1]))
}

func (v *viewer) hang(f *Finding) {
	b := v.board
	try := append([]string{f.Where, f.Slot}, strings.FieldsFunc(f.Where, func(r rune) bool { return r == ' ' || r == ',' })...)
	for _, t := range try {
		if p, ok := b.place[t]; ok && t != "" {
			f.X, f.Y, f.Placed = p.x, p.y, true
			return
		}
	}
	if f.Code == "purlins.missing" && b.layout != nil {
		for _, p := range b.layout.Purlins {
			if !p.Found {
				q := b.at(p.Left).to(b.at(p.Right), 0.82)
				f.X, f.Y, f.Placed = q.x, q.y, true
				return
			}
		}
	}
	if i := edgeNamed(b, f.Where); i >= 0 {
		p := b.corner[i].to(b.corner[(i+1)%len(b.corner)], 0.7)
		f.X, f.Y, f.Placed = p.x, p.y, true
	}
}

func edgeNamed(b *board, where string) int {
	for i := range b.corner {
		if where != "" && b.role(i) == where {
			return i
		}
	}
	return -1
}

// spread keeps flags from lying on each other.
func (v *viewer) spread() {
	fs := v.out.Findings
	for i := range fs {
		for j := 0; j < i; j++ {
			if fs[i].Placed && fs[j].Placed && math.Abs(fs[i].X-fs[j].X) < 26 && math.Abs(fs[i].Y-fs[j].Y) < 26 {
				fs[i].Y = fs[j].Y + 26
				if fs[i].Y > v.req.Height-20 {
					fs[i].Y, fs[i].X = fs[j].Y, fs[j].X+26
				}
			}
		}
	}
}

func (v *viewer) short(site bool) {
	p := &v.plan
	s := &v.out.Short
	for _, f := range p.Findings {
		switch f.Level {
		case finding.Stop:
			s.Stops++
		case finding.Warn:
			s.Warns++
		}
	}
	switch {
	case !site:
		s.Badge = "wind and snow not checked yet"
	case !v.req.Full:
		s.Badge = "wind and snow: being checked"
	}
	if p.Count.Panels == 0 {
		return
	}
	s.Ready = true
	sheets := 0
	for _, k := range p.Saw.Kinds {
		if k.Kind == "panel" {
			for _, b := range k.Bought {
				sheets += b.Count
			}
		}
	}
	s.Sheets = fmt.Sprintf("%d for %d panels", sheets, p.Count.Panels)
	s.Rips = fmt.Sprint(p.Count.Rips)
	longest := p.Count.Pieces[0].Length
	for _, c := range p.Count.Pieces {
		if c.Kind == "panel" && c.Length > longest {
			longest = c.Length
		}
	}
	s.Length = v.board.format(longest)
	s.Purlins = fmt.Sprint(p.Count.Purlins)
	s.Price = cash(p.Quote.Currency, p.Quote.Sums.Total)
}

func (v *viewer) stage() {
	switch v.req.Stage {
	case Measure:
		v.measureFields()
	case Roof:
		v.roofFields()
	case Setting:
		v.setOut()
	case Loads:
		v.siteFields(v.given)
	case Buying:
		v.order()
	case Pricing:
		v.price()
	case Build:
		v.work()
	case Later:
		v.after()
	}
}

// JSON writes any value of this package; an error is told in words.
func JSON(x any) string {
	b, err := json.Marshal(x)
	if err != nil {
		return `{"error":"the answer cannot be written"}`
	}
	return string(b)
}
