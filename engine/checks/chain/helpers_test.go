package chain_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/checks/chain"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
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

func text(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func read(t testing.TB, name string) job.Job {
	t.Helper()
	return parse(t, text(t, name))
}

// change reads an example with some of its text replaced; every text must be there.
func change(t testing.TB, name string, pairs ...string) job.Job {
	t.Helper()
	s := text(t, name)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(s, pairs[i]) {
			t.Fatalf("%s does not hold %q", name, pairs[i])
		}
		s = strings.Replace(s, pairs[i], pairs[i+1], 1)
	}
	return parse(t, s)
}

func parse(t testing.TB, s string) job.Job {
	t.Helper()
	j, _, problems := fileform.ReadJob("job.yaml", []byte(s))
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
		if f.Level == finding.Stop {
			t.Fatal(f.What)
		}
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

// all runs loads and checks and returns every finding of both.
func (s stage) all() (chain.Result, []finding.Finding) {
	s.in.Loads = loads.Find(s.lin)
	r := chain.Run(s.in)
	return r, append(append([]finding.Finding{}, s.in.Loads.Findings...), r.Findings...)
}

// quad is an invented free-standing job on four corners, mm, with rafters every
// 600 mm on two beams.
func quad(t testing.TB, a, b, c, d [2]float64, extra string) job.Job {
	t.Helper()
	l := func(p, q [2]float64) string {
		return fmt.Sprintf("%.0f", math.Hypot(p[0]-q[0], p[1]-q[1]))
	}
	return parse(t, fmt.Sprintf(`seamwright: 1
name: invented
units: mm
system: twin8-600
planes:
  - name: roof
    tapes: {AB: %s, BC: %s, CD: %s, DA: %s, AC: %s, BD: %s}
    slope: 8 deg
    purlins: {width: 45, depth: 95}
    verges: {width: 90}
%s`, l(a, b), l(b, c), l(c, d), l(d, a), l(a, c), l(b, d), extra))
}

const openSite = `site:
  standard: ASCE 7-22
  method: ASD
  risk: II
  mean_roof_height: 2700
  open_sides: 100 %
  wind: {speed: 100 mph, kind: "3-second gust, ultimate", exposure: B, topography: flat, beyond_ratio: true}
  snow: {ground: 25 psf, edition: ASCE 7-22, winter_wind: 0.4, terrain: B, shelter: partially exposed, source: invented}
  taller_roofs: [{edge: left, step: 2 m, length: 9 m}]
  live: {rule: ordinary roof}
timber: {grade: Douglas Fir-Larch No.2, treatment: untreated, screw_kind: wood screw, clip_metal: stainless, clip_thickness: 1.5, clip_strength: 515 N/mm2, screw_tension: 1400 N}
`
