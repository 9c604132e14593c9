package depot

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/cutting"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/takeoff"
)

// Plan plans the day. It never fails: what stands in the way is a finding at
// level stop that names the pieces, and the rest is planned all the same.
func Plan(in Input) Day {
	p := planner{in: in, taken: map[string]bool{}}
	p.names()
	p.shares()
	for _, pool := range p.pools() {
		p.profile(pool)
	}
	p.total()
	p.rack()
	finding.Sort(p.out.Findings)
	return p.out
}

type planner struct {
	in    Input
	out   Day
	job   map[string]int // index in out.Jobs
	taken map[string]bool
	label int // running number of rack labels
}

func (p *planner) say(level finding.Level, code, where, what, why, do string) {
	p.out.Findings = append(p.out.Findings, finding.Finding{Level: level, Code: code, Where: where, What: what, Why: why, Do: do})
}

// names drops jobs whose name is taken: their pieces could not be told apart.
func (p *planner) names() {
	p.job = map[string]int{}
	var kept []Job
	for _, j := range p.in.Jobs {
		if _, twice := p.job[j.Name]; twice {
			p.say(finding.Stop, "depot.duplicate", j.Name, fmt.Sprintf("two jobs are called %q; the second is not cut", j.Name), "their pieces could not be told apart", "give each job its own number")
			continue
		}
		p.job[j.Name] = len(kept)
		kept = append(kept, j)
	}
	p.in.Jobs = kept
}

func (p *planner) shares() {
	for _, j := range p.in.Jobs {
		s := Share{Job: j.Name, Due: j.Due, Pieces: len(j.Pieces)}
		s.Compared = true
		p.out.Jobs = append(p.out.Jobs, s)
	}
}

// pool is everything that is cut from one profile.
type pool struct {
	kind   string
	sys    catalogue.System
	tint   catalogue.Tint // of panels
	name   string
	stock  []catalogue.Stock
	pieces []pooled
}

type pooled struct {
	job *Job
	takeoff.Piece
}

var kinds = []string{takeoff.Panel, takeoff.Cap, takeoff.Channel, takeoff.Closure}

// pools sorts the pieces of all jobs by kind, system and, for panels, tint.
func (p *planner) pools() []*pool {
	var out []*pool
	for _, kind := range kinds {
		index := map[[2]string]*pool{}
		for n := range p.in.Jobs {
			j := &p.in.Jobs[n]
			key := [2]string{j.System.Name}
			if kind == takeoff.Panel {
				key[1] = j.Tint.Name
			}
			for _, x := range j.Pieces {
				if x.Kind != kind {
					continue
				}
				if index[key] == nil {
					index[key] = newPool(kind, j)
					out = append(out, index[key])
				}
				index[key].pieces = append(index[key].pieces, pooled{j, x})
			}
		}
	}
	return out
}

func newPool(kind string, j *Job) *pool {
	q := &pool{kind: kind, sys: j.System}
	switch kind {
	case takeoff.Panel:
		q.tint, q.name = j.Tint, j.System.Title+", "+j.Tint.Name
		for _, s := range j.System.Sheets {
			q.stock = append(q.stock, catalogue.Stock{Length: s.Length, Price: s.Price.Add(j.Tint.Surplus.Scale(s.Length.Metres()))})
		}
	case takeoff.Cap:
		q.name, q.stock = j.System.Cap.Name, j.System.Cap.Stock
	case takeoff.Channel:
		q.name, q.stock = j.System.Channel.Name, j.System.Channel.Stock
	default:
		q.name, q.stock = j.System.Closure.Name, j.System.Closure.Stock
	}
	return q
}

// problem states a pool as a cutting problem; it is the problem that package saw
// states for one job, with job and need beside each piece.
func (p *planner) problem(q *pool) *cutting.Problem {
	shop := p.in.Shop
	c := &cutting.Problem{Kerf: int64(shop.CrossKerf), TrimStart: int64(shop.TrimStart), TrimEnd: int64(shop.TrimEnd), KeepMin: int64(shop.KeepOffcut),
		SheetWidth: int64(q.sys.Panel.Cover), RipKerf: int64(shop.RipKerf), Turnable: q.sys.Panel.Turnable}
	p.stocks(q, c)
	for _, x := range q.pieces {
		if x.Rip == nil {
			c.Pieces = append(c.Pieces, cutting.Piece{ID: x.ID, Job: x.job.Name, Length: int64(x.Length), Due: x.job.Due})
			continue
		}
		hand := cutting.Right
		if x.Rip.Left {
			hand = cutting.Left
		}
		c.Rips = append(c.Rips, cutting.Rip{ID: x.ID, Job: x.job.Name, Hand: hand, Length: int64(x.Length), WidthEave: int64(x.Rip.EaveWidth), WidthHead: int64(x.Rip.HeadWidth), Due: x.job.Due})
	}
	return c
}

// stocks offers what is sold and deliverable, and what lies on the rack. A kept
// offcut is worth a share of the cheapest price by length.
func (p *planner) stocks(q *pool, c *cutting.Problem) {
	per := 0.0
	for _, s := range q.stock {
		if s.Length > q.sys.LongestDelivery || s.Length <= 0 {
			continue
		}
		c.Stocks = append(c.Stocks, cutting.Stock{ID: fmt.Sprintf("new %d", len(c.Stocks)+1), Length: int64(s.Length), Price: s.Price.Minor(), Supply: cutting.Unlimited})
		if each := float64(s.Price.Minor()) / float64(s.Length); per == 0 || each < per {
			per = each
			c.KeepValue, c.KeepPer = s.Price.Scale(float64(p.in.Shop.OffcutValue)).Minor(), int64(s.Length)
		}
	}
	for _, r := range p.in.Shop.Rack {
		if r.Kind == q.kind && r.System == q.sys.Name && (r.Kind != takeoff.Panel || r.Tint == q.tint.Name) {
			c.Stocks = append(c.Stocks, cutting.Stock{ID: r.Label, Length: int64(r.Length), Price: r.Price.Minor(), Supply: 1, Rack: true})
		}
	}
}

// profile cuts one pool.
func (p *planner) profile(q *pool) {
	c := p.problem(q)
	long := tooLong(c)
	if len(long) > 0 {
		p.unserved(q, c, long)
	}
	if len(c.Pieces)+len(c.Rips) == 0 {
		return
	}
	alone := p.alone(q, c)
	var blanks map[int]blank
	if !p.in.RipHere && len(c.Rips) > 0 {
		c, blanks = alone.pairOff(c)
	}
	r, err := cutting.Solve(c, p.in.Options)
	var short *cutting.ShortError
	switch {
	case errors.As(err, &short):
		p.short(q, c, r, blanks)
	case err != nil:
		p.say(finding.Stop, "cut.input", q.name, "the pieces of "+q.name+" cannot be cut: "+err.Error(), "", "mend the catalogue, the shop file or the job that is named")
		return
	}
	served := len(long) == 0 && short == nil && alone.served
	if served && alone.cost < r.Cost {
		r = alone.together(c, r)
	}
	prof := Profile{Kind: q.kind, System: q.sys.Name, Tint: q.tint.Name, Name: q.name, Problem: c, Result: r, blanks: blanks}
	prof.Gathered = Gather(c, r)
	p.check(q.name, c, r)
	prof.Sum.Cost, prof.Sum.Bound, prof.Proven, prof.Words = money.FromMinor(r.Cost), money.FromMinor(r.Bound), r.Proven, wordsOf(r)
	prof.Saving = saving(alone, r.Cost, served)
	p.bars(q, &prof)
	p.divide(alone, r.Cost, served)
	p.out.Profiles = append(p.out.Profiles, prof)
}

func wordsOf(r *cutting.Result) string { return Words(r.Proven, r.Cost-r.Bound) }

// Words says what a proof is worth, in money: gap is in the smallest coin.
func Words(proven bool, gap int64) string {
	if proven {
		return "proven best"
	}
	return "within " + money.FromMinor(gap).Text() + " of the bound"
}

// check passes a result to the verifier of the caller.
func (p *planner) check(name string, c *cutting.Problem, r *cutting.Result) {
	if p.in.Check == nil {
		return
	}
	if err := p.in.Check(c, r); err != nil {
		p.say(finding.Stop, "depot.verify", name, "the plan of "+name+" did not pass the verifier: "+err.Error(), "", "do not cut from it, and report this")
		return
	}
	p.out.Checked++
}

// longest is the longest piece that any stock of a problem can hold.
func longest(c *cutting.Problem) int64 {
	l := int64(0)
	for _, s := range c.Stocks {
		if s.Supply != 0 {
			l = max(l, s.Length-c.TrimStart-c.TrimEnd)
		}
	}
	return l
}

// tooLong takes the pieces and rips out of a problem that no stock can hold and
// returns their names: one of them must not stop a whole day.
func tooLong(c *cutting.Problem) []Piece {
	most := longest(c)
	var out []Piece
	c.Pieces = slices.DeleteFunc(c.Pieces, func(x cutting.Piece) bool {
		if x.Length > most {
			out = append(out, Piece{x.Job, x.ID})
		}
		return x.Length > most
	})
	c.Rips = slices.DeleteFunc(c.Rips, func(x cutting.Rip) bool {
		if x.Length > most {
			out = append(out, Piece{x.Job, x.ID})
		}
		return x.Length > most
	})
	return out
}

// TooLong takes the pieces out of a problem that no stock can hold and returns
// their lengths.
func TooLong(c *cutting.Problem) []int64 {
	most := longest(c)
	var out []int64
	c.Pieces = slices.DeleteFunc(c.Pieces, func(x cutting.Piece) bool {
		if x.Length > most {
			out = append(out, x.Length)
		}
		return x.Length > most
	})
	return out
}

func (p *planner) short(q *pool, c *cutting.Problem, r *cutting.Result, blanks map[int]blank) {
	var left []Piece
	for _, i := range r.Unserved {
		if b, ok := blanks[i]; ok {
			left = append(left, b.pieces...)
		} else {
			left = append(left, Piece{c.Pieces[i].Job, c.Pieces[i].ID})
		}
	}
	for _, i := range r.UnservedRips {
		left = append(left, Piece{c.Rips[i].Job, c.Rips[i].ID})
	}
	p.unserved(q, c, left)
}

// unserved raises one stop for each job that misses pieces of a profile.
func (p *planner) unserved(q *pool, c *cutting.Problem, left []Piece) {
	longest := length.Length(0)
	for _, s := range c.Stocks {
		longest = max(longest, length.Length(s.Length))
	}
	why := "no length of it is sold"
	if longest > 0 {
		why = "the longest that is sold or lies on the rack is " + p.in.Tape.Format(longest, length.Down) + ", of which trim is lost at both ends"
	}
	byJob := map[string][]string{}
	for _, x := range left {
		byJob[x.Job] = append(byJob[x.Job], x.ID)
	}
	for n := range p.in.Jobs {
		name := p.in.Jobs[n].Name
		ids := byJob[name]
		if len(ids) == 0 {
			continue
		}
		text := strings.Join(ids[:min(len(ids), 8)], ", ")
		if len(ids) > 8 {
			text += fmt.Sprintf(" and %d more", len(ids)-8)
		}
		p.say(finding.Stop, "cut.unserved", name, fmt.Sprintf("job %s: %s cannot be cut from %s", name, text, q.name), why, "ask the supplier for a longer length, or change the roof")
	}
}

// letters begin the marks of bars; a second system or tint of a kind is X2-1.
var letters = map[string]string{takeoff.Panel: "X", takeoff.Cap: "Y", takeoff.Channel: "Z", takeoff.Closure: "W"}

// bars writes the plan of a profile for people.
func (p *planner) bars(q *pool, prof *Profile) {
	prefix := letters[q.kind]
	n := 1
	for _, o := range p.out.Profiles {
		if o.Kind == q.kind {
			n++
		}
	}
	if n > 1 {
		prefix += fmt.Sprintf("%d-", n)
	}
	c, r := prof.Problem, prof.Result
	bought := make([]int, len(c.Stocks))
	for _, b := range r.Bars {
		bar := barOf(c, r, prof.blanks, &b)
		bar.Mark = prefix + b.Mark
		for i := range bar.Cuts {
			bar.Cuts[i].Mark = prefix + bar.Cuts[i].Mark
		}
		if b.Rack {
			p.taken[b.StockID] = true
		} else {
			bought[b.Stock]++
		}
		if b.Kept {
			p.keep(q, &bar)
		}
		prof.add(&bar)
		prof.Bars = append(prof.Bars, bar)
	}
	for i, n := range bought {
		if n > 0 {
			prof.Bought = append(prof.Bought, Bought{length.Length(c.Stocks[i].Length), n, money.FromMinor(c.Stocks[i].Price)})
		}
	}
	prof.patterns()
	p.touch(prof)
}

func (f *Profile) patterns() {
	for _, q := range f.Result.Patterns {
		s := f.Problem.Stocks[q.Stock]
		out := Pattern{Stock: length.Length(s.Length), Price: money.FromMinor(s.Price), Count: q.Count}
		for i, l := range q.Lengths {
			for range q.Counts[i] {
				out.Lengths = append(out.Lengths, length.Length(l))
			}
		}
		f.Patterns = append(f.Patterns, out)
	}
}

// Plain is the plan of a bare cutting problem as a profile: lengths are counts of
// its own unit, jobs and identities are what its pieces carry, and leftovers are
// labelled R1, R2, ….
func Plain(name string, c *cutting.Problem, r *cutting.Result) Profile {
	f := Profile{Name: name, Problem: c, Result: r}
	f.Sum.Cost, f.Sum.Bound, f.Proven = money.FromMinor(r.Cost), money.FromMinor(r.Bound), r.Proven
	kept := 0
	for i := range r.Bars {
		b := barOf(c, r, nil, &r.Bars[i])
		if r.Bars[i].Kept {
			kept++
			b.Label = fmt.Sprintf("R%d", kept)
		}
		f.add(&b)
		f.Bars = append(f.Bars, b)
	}
	f.patterns()
	return f
}

// barOf names what lies on a bar.
func barOf(c *cutting.Problem, r *cutting.Result, blanks map[int]blank, b *cutting.Bar) Bar {
	out := Bar{Mark: b.Mark, Length: length.Length(b.Length), Price: money.FromMinor(b.Price), TrimStart: length.Length(b.TrimStart), TrimEnd: length.Length(b.TrimEnd),
		KerfLoss: length.Length(b.KerfLoss), Left: length.Length(b.Leftover)}
	if b.Rack {
		out.Rack = b.StockID
	}
	if b.Kept {
		out.Worth = money.FromMinor(b.Value)
	}
	for i, k := range b.Cuts {
		cut := Cut{Mark: k.Mark, At: length.Length(k.At), End: length.Length(k.End()), Length: length.Length(k.Length)}
		due := 0
		if k.Piece >= 0 {
			x := c.Pieces[k.Piece]
			cut.Pieces, due = []Piece{{x.Job, x.ID}}, x.Due
			if s, ok := blanks[k.Piece]; ok {
				cut.Rip, cut.Turned, cut.Pieces = true, s.turned, s.pieces
			}
		} else {
			pr := r.Pairs[k.Pair]
			a := c.Rips[pr.First]
			cut.Rip, cut.Turned, cut.Pieces, due = true, pr.Turned, []Piece{{a.Job, a.ID}}, a.Due
			if pr.Second >= 0 {
				x := c.Rips[pr.Second]
				cut.Pieces, due = append(cut.Pieces, Piece{x.Job, x.ID}), min(due, x.Due)
			}
		}
		if i == 0 || due < out.Due {
			out.Due = due
		}
		out.Cuts = append(out.Cuts, cut)
	}
	return out
}

func (f *Profile) add(b *Bar) {
	f.Opened += b.Length
	f.KerfLoss += b.KerfLoss
	f.Trim += b.TrimStart + b.TrimEnd
	f.Left += b.Left
	for _, c := range b.Cuts {
		f.Used += c.Length
	}
}

// keep gives a leftover the next free label of the rack. It is offered to later
// jobs at what this day is credited with, rounded down to the tape.
func (p *planner) keep(q *pool, b *Bar) {
	b.Label = p.nextLabel()
	p.out.RackOut = append(p.out.RackOut, Offcut{catalogue.Offcut{Label: b.Label, Kind: q.kind, System: q.sys.Name, Tint: q.tint.Name, Length: b.Left.Round(max(p.in.Tape.Tick, 1), length.Down), Price: b.Worth}, b.Mark})
}

// nextLabel is the first of R1, R2, … that the rack of the morning does not use,
// so that no label stands for two pieces on one day.
func (p *planner) nextLabel() string {
	for {
		p.label++
		l := fmt.Sprintf("R%d", p.label)
		if !slices.ContainsFunc(p.in.Shop.Rack, func(o catalogue.Offcut) bool { return strings.EqualFold(o.Label, l) }) {
			return l
		}
	}
}

// touch counts the bars of each job and notes after which it is done.
func (p *planner) touch(prof *Profile) {
	last := map[int]string{}
	for _, b := range prof.Bars {
		on := map[int]bool{}
		for _, c := range b.Cuts {
			for _, x := range c.Pieces {
				on[p.job[x.Job]] = true
			}
		}
		for j := range on {
			p.out.Jobs[j].Bars++
			last[j] = b.Mark
		}
	}
	for j, mark := range last {
		p.out.Jobs[j].Last = append(p.out.Jobs[j].Last, mark)
	}
}

func (p *planner) total() {
	t := &p.out.Total
	t.Proven, t.Compared = true, true
	for _, f := range p.out.Profiles {
		t.Cost, t.Bound = t.Cost.Add(f.Sum.Cost), t.Bound.Add(f.Sum.Bound)
		t.Alone, t.Saved, t.Least = t.Alone.Add(f.Alone), t.Saved.Add(f.Saved), t.Least.Add(f.Least)
		t.Proven, t.Compared = t.Proven && f.Proven, t.Compared && f.Compared
		t.TouchedBefore += f.TouchedBefore
		t.Touched += f.Touched
		t.SpreadBefore += f.SpreadBefore
		t.Spread += f.Spread
	}
	t.Gathered.Jobs = len(p.out.Jobs)
	t.Words = Words(t.Proven, t.Cost.Sub(t.Bound).Minor())
	if finding.HasStop(p.out.Findings) {
		t.Proven, t.Words = false, "not everything can be cut"
	}
}

// rack writes the rack of the evening: what was not used and what is new.
func (p *planner) rack() {
	for _, o := range p.in.Shop.Rack {
		if p.taken[o.Label] {
			p.out.RackIn = append(p.out.RackIn, o)
		} else {
			p.out.Rack = append(p.out.Rack, o)
		}
	}
	for _, o := range p.out.RackOut {
		p.out.Rack = append(p.out.Rack, o.Offcut)
	}
}
