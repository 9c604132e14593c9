package chain_test

import (
	"os"
	"path/filepath"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/checks/chain"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/loads"
	"seamwright/engine/measure"
	"seamwright/engine/roof"
	"seamwright/engine/setout"
)

// stage runs a job as the plan does, up to the checks, for one plane.
type stage struct {
	in  chain.Input
	lin loads.Input
}

func read(t testing.TB, name string) job.Job {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, data)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	return j
}

func layOut(t testing.TB, j job.Job) stage {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	sys, ok := set.System(j.System)
	if !ok {
		t.Fatalf("no system %q", j.System)
	}
	tape := length.WholeMM
	if j.Units == "inch" {
		tape = length.Sixteenths
	}
	p := j.Planes[0]
	plane, found := roof.Build(p, measure.Fit(p, j.Tape, tape))
	for _, f := range found {
		t.Logf("%s %s", f.Level, f.What)
	}
	in := setout.Input{Plane: plane, System: sys, Wishes: j.Wishes, Tape: tape, Heat: setout.Heat{Fixing: 20, Cold: -20, Hot: 60}}
	candidates, _ := setout.Search(in)
	if len(candidates) == 0 {
		t.Fatal("no set-out")
	}
	l := setout.Build(in, candidates[0])
	return stage{in: chain.Input{Site: j.Site, Timber: j.Timber, Plane: p, Layout: &l, System: sys, Hot: 60, Cold: -20},
		lin: loads.Input{Site: j.Site, Timber: j.Timber, Plane: p, Layout: &l, System: sys}}
}

func (s stage) run() chain.Result {
	s.in.Loads = loads.Find(s.lin)
	return chain.Run(s.in)
}
