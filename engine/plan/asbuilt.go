package plan

import (
	"maps"
	"slices"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/setout"
	"seamwright/engine/takeoff"
)

// AsBuilt is the state of the run and the rips that its readings give.
type AsBuilt struct {
	asbuilt.Result
	Cuts []asbuilt.RipCut `json:"rip_cuts,omitempty"`
}

// asBuilt follows the planes on which work has begun: what was read, what to do
// now, and new marks for rows still to come in place of the planned ones.
func (r *runner) asBuilt() {
	for i := range r.out.Planes {
		p, of := &r.out.Planes[i], r.in.Job.Planes[i]
		if of.AsBuilt == nil || p.Layout == nil {
			continue
		}
		if of.Built == nil {
			r.out.Findings = append(r.out.Findings, finding.Finding{Level: finding.Warn, Code: "asbuilt.not-begun", Plane: of.Name, Where: "as_built",
				What: "rows were read, but the set-out they belong to is not pinned", Why: "a changed reading or wish would move the marks they are held against", Do: "pin it: seamwright built JOB --begin"})
		}
		p.AsBuilt = r.assess(p.Layout, of.AsBuilt)
		r.found(p.AsBuilt.Findings)
		r.verdicts(p.AsBuilt)
		remark(p.Layout, p.AsBuilt, of.AsBuilt.Fixed)
	}
}

func (r *runner) assess(l *setout.Layout, of *job.AsBuilt) *AsBuilt {
	in := asbuilt.Input{Layout: *l, Tape: r.tape, Rules: asbuilt.RulesFor(r.sys, *l, r.tape, r.in.Shop.RipKerf),
		Landings: landings(of), Ripped: of.Ripped, Pairs: r.pairs(l.Plane)}
	out := &AsBuilt{Result: asbuilt.Assess(in)}
	for _, id := range of.Ripped {
		if !slices.ContainsFunc(l.Panels, func(p setout.Panel) bool { return p.ID == id && p.Rip }) {
			out.Findings = append(out.Findings, finding.Finding{Level: finding.Stop, Code: "asbuilt.no-rip", Plane: l.Plane, Where: id,
				What: "there is no edge panel " + id, Why: "only edge panels are ripped", Do: "list it under the name on its label"})
		}
	}
	cuts := map[string]asbuilt.RipCut{}
	for _, id := range slices.Sorted(maps.Keys(of.Edges)) {
		c := asbuilt.CutRip(*l, in.Rules, r.tape, id, reads(of.Edges[id]))
		cuts[id] = c
		out.Cuts = append(out.Cuts, c)
		if !slices.Contains(of.Ripped, id) { // what is cut is cut
			out.Findings = append(out.Findings, c.Findings...)
		}
	}
	for _, p := range in.Pairs {
		a, b := cuts[p.First], cuts[p.Second]
		if spare := asbuilt.SpareOf(a, b, p.Turned, in.Rules); a.Cuts && b.Cuts && spare < 0 && !slices.Contains(of.Ripped, p.First) && !slices.Contains(of.Ripped, p.Second) {
			out.Findings = append(out.Findings, finding.Finding{Level: finding.Warn, Code: "asbuilt.pair", Plane: l.Plane, Where: p.First + " " + p.Second,
				What: p.First + " and " + p.Second + " no longer fit one sheet", Why: "as read they are together " + r.tape.Format(-spare, length.Up) + " too wide", Do: "order one more sheet before the first cut"})
		}
	}
	finding.Sort(out.Findings)
	return out
}

// landings puts the rows in the order they were read, those only ticked first.
func landings(of *job.AsBuilt) []asbuilt.Landing {
	var out []asbuilt.Landing
	for _, s := range of.Fixed {
		if !slices.ContainsFunc(of.Landings, func(l job.Landing) bool { return l.Seam == s }) {
			out = append(out, asbuilt.Landing{Seam: s, Fixed: true})
		}
	}
	for _, l := range of.Landings {
		out = append(out, asbuilt.Landing{Seam: l.Seam, Fixed: slices.Contains(of.Fixed, l.Seam), Joint: l.Joint, Reads: reads(l.Reads)})
	}
	return out
}

func reads(byPurlin map[string][]length.Length) []asbuilt.Read {
	var out []asbuilt.Read
	for _, p := range slices.Sorted(maps.Keys(byPurlin)) {
		for _, at := range byPurlin[p] {
			out = append(out, asbuilt.Read{Purlin: p, At: at})
		}
	}
	return out
}

// pairs are the rips that the saw plan takes from one sheet, under the names of
// their plane. A pair that lies on two planes is followed on neither.
func (r *runner) pairs(plane string) []asbuilt.Pair {
	planes := 0
	for _, p := range r.out.Planes {
		if p.Layout != nil {
			planes++
		}
	}
	var out []asbuilt.Pair
	for _, k := range r.out.Saw.Kinds {
		if k.Kind != takeoff.Panel {
			continue
		}
		for _, p := range k.Pairs {
			first, second, mine := p.First, p.Second, true
			if planes > 1 {
				var a, b bool
				first, a = strings.CutPrefix(p.First, plane+" ")
				second, b = strings.CutPrefix(p.Second, plane+" ")
				mine = a && b
			}
			if mine {
				out = append(out, asbuilt.Pair{First: first, Second: second, Turned: p.Turned})
			}
		}
	}
	return out
}

// verdicts makes findings of what the crew must not miss.
func (r *runner) verdicts(a *AsBuilt) {
	seen := map[string]bool{}
	for _, run := range a.Runs {
		level, code := finding.Note, ""
		switch run.Advice.Verdict {
		case asbuilt.Lift:
			level, code = finding.Stop, "asbuilt.lift"
		case asbuilt.ReadAgain:
			level, code = finding.Warn, "asbuilt.read-again"
		case asbuilt.Correct:
			level, code = finding.Warn, "asbuilt.correct"
		}
		if code == "" || seen[run.Advice.Words] { // both runs speak of the starter
			continue
		}
		seen[run.Advice.Words] = true
		r.out.Findings = append(r.out.Findings, finding.Finding{Level: level, Code: code, Plane: a.Plane, Where: run.Front,
			What: strings.TrimSuffix(run.Advice.Words, "."), Why: run.Advice.Why, Do: strings.TrimSuffix(run.Advice.Do, ".")})
	}
}

// remark puts the advised marks in place of the planned ones. The starter and
// what is fixed keep theirs.
func remark(l *setout.Layout, a *AsBuilt, fixed []string) {
	for _, run := range a.Runs {
		for _, m := range run.Advice.Moves {
			if slices.Contains(fixed, m.Seam) {
				continue
			}
			for _, k := range m.Marks {
				change(l, m.Seam, k)
			}
		}
	}
}

func change(l *setout.Layout, seam string, to asbuilt.NewMark) {
	for i := range l.Marks {
		if l.Marks[i].Purlin != to.Purlin {
			continue
		}
		for j := range l.Marks[i].Marks {
			if m := &l.Marks[i].Marks[j]; m.ID == seam && m.Kind == "check" {
				was := m.AsPlanned()
				m.Exact, m.At, m.Planned = to.Exact, to.At, &was
			}
		}
	}
}
