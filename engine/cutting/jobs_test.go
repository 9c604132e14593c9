package cutting_test

import (
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// The 1,000 job lists: never a wrong "proven best", never a bound above what
// another solver reached. Optima computed with GLPK, CBC and HiGHS; the lists
// are CC0 (see testdata/README.md).
func TestJobLists(t *testing.T) {
	proven, known := 0, 0
	for i, in := range lines(t, "jobs-1000.jsonl.gz") {
		r, err := cutting.Solve(&in.Problem, cutting.Options{Work: 50_000_000})
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if i%4 == 0 { // the verifier takes longer than the solver
			if err := cutverify.Check(&in.Problem, r); err != nil {
				t.Errorf("%s: %v", in.Name, err)
			}
		} else if err := cutverify.Plan(&in.Problem, r); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		if r.Proven {
			proven++
		}
		if in.Optimum == nil {
			continue
		}
		known++
		if r.Bound > *in.Optimum || r.Cost < *in.Optimum || r.Proven && r.Cost != *in.Optimum {
			t.Errorf("%s: cost %d, %s; others found %d", in.Name, r.Cost, r.Words(), *in.Optimum)
		}
	}
	if known != 937 || proven < 985 {
		t.Errorf("%d optima known, %d of 1000 proven", known, proven)
	}
}

// The job that general solvers leave open after 20 s: 14 lengths, four prices.
func TestJobOf28Pieces(t *testing.T) {
	for _, in := range lines(t, "jobs-1000.jsonl.gz") {
		if in.Name != "job-20261125-0005" {
			continue
		}
		if r := verified(t, &in.Problem, cutting.Options{}); r.Cost != 15817 || !r.Proven {
			t.Errorf("cost %d, %s; want 15817 proven", r.Cost, r.Words())
		}
		return
	}
	t.Error("job-20261125-0005 is missing")
}

// The depot lists that close quickly; the others are in the benchmarks.
func TestDepotLists(t *testing.T) {
	for _, in := range lines(t, "depot-12.jsonl.gz") {
		r, err := cutting.Solve(&in.Problem, cutting.Options{Work: 150_000_000})
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if err := cutverify.Plan(&in.Problem, r); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		if in.Optimum != nil && (r.Bound > *in.Optimum || r.Cost < *in.Optimum) {
			t.Errorf("%s: %d to %d, others proved %d", in.Name, r.Bound, r.Cost, *in.Optimum)
		}
		if float64(r.Cost-r.Bound) > 0.0005*float64(r.Cost) {
			t.Errorf("%s: cost %d, %s", in.Name, r.Cost, r.Words())
		}
	}
}

// The published sets: the optimum is met or the gap stands in docs/bench; and
// the instances whose optimum is one above the bound are never called proven
// at the bound.
func TestPublishedSets(t *testing.T) {
	for _, in := range publishedSets(t) {
		if len(in.Problem.Pieces) > 300 && in.Family != "Falkenauer_U" && in.Family != "GI" || len(in.Problem.Pieces) < 10 {
			continue
		}
		r, err := cutting.Solve(&in.Problem, cutting.Options{Work: 60_000_000})
		if err != nil {
			t.Fatalf("%s: %v", in.Name, err)
		}
		if err := cutverify.Plan(&in.Problem, r); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		if in.Optimum != nil && (r.Bound > *in.Optimum || r.Cost < *in.Optimum) {
			t.Errorf("%s: %d to %d, published optimum %d", in.Name, r.Bound, r.Cost, *in.Optimum)
		}
		if in.High != nil && (r.Bound > *in.High || r.Cost < *in.Low) {
			t.Errorf("%s: %d to %d, known bounds %d to %d", in.Name, r.Bound, r.Cost, *in.Low, *in.High)
		}
	}
}

// Roofs with edge rips: every result passes the verifier, nearly all are
// proven, and pairing never costs more than cutting every rip from its own
// sheet.
func TestRoofsWithRips(t *testing.T) {
	proven := 0
	roofs := ripRoofs(60)
	for i, p := range roofs {
		r, err := cutting.Solve(p, cutting.Options{Work: 20_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if err := cutverify.Check(p, r); err != nil {
			t.Errorf("roof %d: %v", i, err)
		}
		if r.Proven {
			proven++
		}
		alone := *p
		alone.RipKerf = p.SheetWidth
		q, err := cutting.Solve(&alone, cutting.Options{Work: 20_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if r.Bound > q.Cost {
			t.Errorf("roof %d: bound %d, but %d without pairs", i, r.Bound, q.Cost)
		}
	}
	if proven < 54 {
		t.Errorf("%d of %d proven", proven, len(roofs))
	}
}
