package exports

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

// demo is a job with its plan.
type demo struct {
	name string
	plan plan.Plan
	job  job.Job
}

func read(t testing.TB, name string, data []byte) demo {
	t.Helper()
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, data)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	return demo{name, plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)}), j}
}

func load(t testing.TB, file string) demo {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, strings.TrimSuffix(filepath.Base(file), ".yaml"), data)
}

var planned struct {
	sync.Once
	all []demo
}

// demos are the demo jobs that come to an order.
func demos(t testing.TB) []demo {
	t.Helper()
	planned.Do(func() {
		files, err := filepath.Glob("../examples/*.yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if d := load(t, f); len(d.plan.Count.Pieces) > 0 {
				planned.all = append(planned.all, d)
			}
		}
	})
	if len(planned.all) < 5 {
		t.Fatalf("only %d demo jobs come to an order", len(planned.all))
	}
	return planned.all
}

// skewed is a frame whose seams follow a leaning verge.
const skewed = `
seamwright: 1
name: Leaning walkway
units: mm
system: twin10-1000
planes:
  - name: walk
    tapes: {AB: 3600, BC: 3002, CD: 3600, DA: 3002, AC: 4783, BD: 4588}
    slope: 10 deg
    fascia: 20
    verges: {width: 100}
wishes: {seams: along left verge}
`

// withSkew are the demo jobs and one with skewed seams.
func withSkew(t testing.TB) []demo {
	t.Helper()
	d := read(t, "skewed", []byte(skewed))
	if l := layouts(d.plan); len(l) != 1 || l[0].Skew == 0 {
		t.Fatal("the leaning walkway has no skewed seams: the test tests nothing")
	}
	return append(demos(t)[:len(demos(t)):len(demos(t))], d)
}

// layouts are the planes that were laid out.
func layouts(p plan.Plan) []setout.Layout {
	var out []setout.Layout
	for _, pl := range p.Planes {
		if pl.Layout != nil {
			out = append(out, *pl.Layout)
		}
	}
	return out
}

// tool skips where a program is missing, but never where CI runs: there the set
// up script has to have installed it.
func tool(t *testing.T, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		missing(t, name)
	}
}

func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is missing: sh scripts/setup.sh installs it", what)
	}
	t.Skipf("%s is missing: sh scripts/setup.sh installs it", what)
}

// reader runs one of the readers in testtools on files, all at once, and decodes
// what it says of each.
func reader(t *testing.T, script, ext string, files [][]byte, into any) {
	t.Helper()
	tool(t, "node")
	if _, err := os.Stat("testtools/node_modules/web-ifc"); err != nil {
		missing(t, "testtools/node_modules")
	}
	dir := t.TempDir()
	args := []string{filepath.Join("testtools", script)}
	for i, data := range files {
		args = append(args, filepath.Join(dir, fmt.Sprintf("%d%s", i, ext)))
		if err := os.WriteFile(args[i+1], data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command("node", args...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v\n%s", script, err, errs.String())
	}
	if err := json.Unmarshal(out.Bytes(), into); err != nil {
		t.Fatalf("%s: %v\n%.500s", script, err, out.String())
	}
}

// exact reads a decimal number without rounding.
func exact(t testing.TB, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is no number", s)
	}
	return r
}

// cents rounds to hundredths, halves away from zero.
func cents(r *big.Rat) *big.Rat {
	f, ok := new(big.Rat).SetString(r.FloatString(2)) // rounds halves away from zero
	if !ok {
		panic("cents")
	}
	return f
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// identities are the pieces of a job by kind.
func identities(p plan.Plan) map[string]string {
	out := map[string]string{}
	for _, x := range p.Count.Pieces {
		out[x.ID] = x.Kind
	}
	return out
}

// once reports identities that do not stand exactly once among names.
func once(t *testing.T, where string, p plan.Plan, names []string) {
	t.Helper()
	n := map[string]int{}
	for _, x := range names {
		n[x]++
	}
	for id := range identities(p) {
		if n[id] != 1 {
			t.Errorf("%s: %s stands %d times", where, id, n[id])
		}
	}
}
