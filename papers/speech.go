package papers

import (
	"slices"

	"seamwright/drawing/sheets/words"
	"seamwright/engine/finding"
	"seamwright/engine/plan"
	"seamwright/engine/sequence"
)

// speak puts a text that comes with the plan into the language of the job.
func speak(p plan.Plan, s string) string { return words.Say(p.Job.Language, s) }

func speakAll(p plan.Plan, in []string) []string {
	out := make([]string, len(in))
	for i, s := range in {
		out[i] = speak(p, s)
	}
	return out
}

// inLanguage is the plan with every text that papers print in the language of
// the job; the hash stays that of the plan itself. What words has no translation
// for stays English.
func inLanguage(p plan.Plan, o Options) (plan.Plan, Options) {
	o.hash = o.hashOf(p)
	if words.Lang(p.Job.Language) == words.English || o.spoken {
		return p, o
	}
	o.spoken = true
	say := func(s string) string { return words.Say(p.Job.Language, s) }
	p.Findings = slices.Clone(p.Findings)
	for i := range p.Findings {
		tell(&p.Findings[i], say)
	}
	q := &p.Sequence
	q.Steps = slices.Clone(q.Steps)
	for i := range q.Steps {
		step(&q.Steps[i], say)
	}
	q.Weather, q.Cautions, q.Van, q.Inputs = speakAll(p, q.Weather), speakAll(p, q.Cautions), speakAll(p, q.Van), speakAll(p, q.Inputs)
	p.NotChecked, p.Assumed = speakAll(p, p.NotChecked), speakAll(p, p.Assumed)
	p.Planes = slices.Clone(p.Planes)
	for i := range p.Planes {
		pl := &p.Planes[i]
		if pl.Layout == nil {
			continue
		}
		l := *pl.Layout
		l.Readings = slices.Clone(l.Readings)
		for k := range l.Readings {
			l.Readings[k].From = say(l.Readings[k].From)
		}
		pl.Layout = &l
	}
	return p, o
}

func tell(f *finding.Finding, say func(string) string) {
	f.What, f.Why, f.Do = say(f.What), say(f.Why), say(f.Do)
}

func step(s *sequence.Step, say func(string) string) { s.Title, s.Text = say(s.Title), say(s.Text) }
