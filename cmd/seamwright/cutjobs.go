package main

import (
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"seamwright/engine/catalogue"
	"seamwright/engine/depot"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
)

// read plans every job up to its take-off and puts them into one day.
func (c cutCmd) read(files []cutFile, s streams) (*dayView, error) {
	var jobs []job.Job
	bad := false
	for _, f := range files {
		j, _, problems := fileform.ReadJob(f.name, f.data)
		if len(problems) > 0 {
			fmt.Fprintln(s.err, fileform.Text(problems))
		}
		bad = bad || fileform.Refuses(problems)
		jobs = append(jobs, j)
	}
	if bad {
		return nil, errSaid
	}
	names, err := jobNames(files, jobs)
	if err != nil {
		return nil, err
	}
	due, words, err := dues(c.Due, files, names)
	if err != nil {
		return nil, err
	}
	systems, shop, err := readCatalogues(jobs[0], c.Catalogue, s)
	if err != nil {
		return nil, err
	}
	v := &dayView{in: depot.Input{Shop: shop, Tape: plan.TapeOf(jobs[0])}, due: words, paper: jobs[0].Units}
	v.sayUnits(jobs, len(c.Catalogue) > 0)
	v.takeOff(names, jobs, due, systems)
	return v, nil
}

// jobNames are the numbers of the jobs, or their names where they have none.
func jobNames(files []cutFile, jobs []job.Job) ([]string, error) {
	var names []string
	first := map[string]string{}
	for i, j := range jobs {
		name := j.Number
		if name == "" {
			name = j.Name
		}
		if other, twice := first[name]; twice {
			return nil, fmt.Errorf("%s and %s are both job %q: their pieces could not be told apart\nhint:  give each its own number", other, files[i].name, name)
		}
		first[name] = files[i].name
		names = append(names, name)
	}
	return names, nil
}

// whens are the ways to say when pieces are needed.
var whens = []string{"2006-01-02T15:04", "2006-01-02 15:04", time.DateOnly, "15:04"}

// dues ranks what --due says. Jobs that it does not name come last; without it
// there is no order of need.
func dues(args []string, files []cutFile, names []string) ([]int, func(int) string, error) {
	rank := make([]int, len(files))
	if len(args) == 0 {
		return rank, nil, nil
	}
	at := make([]time.Time, len(files))
	text := map[time.Time]string{}
	clock := -1
	for _, a := range args {
		name, when, ok := strings.Cut(a, "=")
		i := -1
		for k, f := range files {
			if name == f.name || name == names[k] || i < 0 && name == filepath.Base(f.name) {
				i = k
			}
		}
		if !ok || i < 0 {
			return nil, nil, fmt.Errorf("--due %q names no file of this day; write FILE=WHEN, for example %s=2026-05-04", a, files[0].name)
		}
		t, form, err := parseWhen(when)
		if err != nil {
			return nil, nil, err
		}
		if only := form == len(whens)-1; clock >= 0 && only != (clock == 1) {
			return nil, nil, fmt.Errorf("--due %q: dates and times of day cannot be put in one order; write dates everywhere, or times everywhere", a)
		} else if only {
			clock = 1
		} else {
			clock = 0
		}
		at[i], text[t] = t, when
	}
	var order []time.Time
	for t := range text {
		order = append(order, t)
	}
	slices.SortFunc(order, time.Time.Compare)
	for i, t := range at {
		rank[i] = len(order) + 1
		if n := slices.Index(order, t); n >= 0 && !t.IsZero() {
			rank[i] = n + 1
		}
	}
	return rank, func(r int) string {
		if r < 1 || r > len(order) {
			return "no time given"
		}
		return "by " + text[order[r-1]]
	}, nil
}

func parseWhen(s string) (time.Time, int, error) {
	for form, layout := range whens {
		if t, err := time.Parse(layout, s); err == nil {
			if form == len(whens)-1 {
				t = t.AddDate(1, 0, 0) // year 1, so that midnight is not "no time"
			}
			return t, form, nil
		}
	}
	return time.Time{}, 0, fmt.Errorf("--due: %q is no date or time; accepted: 2026-05-04, 2026-05-04T14:30 or 14:30", s)
}

// sayUnits warns of a day whose jobs are in inches and millimetres while the shop
// is the built-in one of the first.
func (v *dayView) sayUnits(jobs []job.Job, given bool) {
	for _, j := range jobs {
		if j.Units != jobs[0].Units && !given {
			v.say(finding.Warn, "depot.units", "", "jobs in inches and in millimetres are cut together from the rack and at the saw of the built-in "+jobs[0].Units+" shop, that of the first job", "", "give your own shop file with --catalogue")
			return
		}
	}
}

func (v *dayView) say(level finding.Level, code, where, what, why, do string) {
	v.found = append(v.found, finding.Finding{Level: level, Code: code, Where: where, What: what, Why: why, Do: do})
}

// takeOff plans the jobs, as many at once as there are processors.
func (v *dayView) takeOff(names []string, jobs []job.Job, due []int, systems []catalogue.System) {
	out := make([]depot.Job, len(jobs))
	stops := make([][]finding.Finding, len(jobs))
	var wait sync.WaitGroup
	next := make(chan int)
	for range min(runtime.NumCPU(), len(jobs)) {
		wait.Go(func() {
			for i := range next {
				p := plan.Run(plan.Input{Job: jobs[i], Systems: systems, Shop: v.in.Shop})
				out[i] = depot.Job{Name: names[i], Due: due[i], System: p.System.System, Tint: tintOf(p), Pieces: p.Count.Pieces}
				for _, f := range p.Findings {
					// The saw plan of the job alone says nothing of the day.
					if f.Level == finding.Stop && !strings.HasPrefix(f.Code, "cut.") {
						stops[i] = append(stops[i], f)
					}
				}
			}
		})
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	wait.Wait()
	v.in.Jobs = out
	for i, fs := range stops {
		for _, f := range fs {
			f.What, f.Where = "job "+names[i]+": "+f.What, names[i]
			v.found = append(v.found, f)
		}
		if len(out[i].Pieces) == 0 {
			v.say(finding.Stop, "depot.no-pieces", names[i], "job "+names[i]+" gives no pieces to cut", "its plan holds a stop", "seamwright plan says more")
		}
	}
}

// tintOf is the tint a plan is made with.
func tintOf(p plan.Plan) catalogue.Tint {
	for _, t := range p.System.System.Tints {
		if t.Name == p.System.Tint {
			return t
		}
	}
	return catalogue.Tint{Name: p.System.Tint}
}
