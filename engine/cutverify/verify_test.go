package cutverify_test

import (
	"encoding/json"
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// job is an invented roof with a rack, leftovers and rips; its proof needs a
// tree.
func job() *cutting.Problem {
	p := &cutting.Problem{Kerf: 3, TrimStart: 10, TrimEnd: 10, KeepMin: 800, KeepValue: 300, KeepPer: 1000, SheetWidth: 600, RipKerf: 3, Turnable: true,
		Stocks: []cutting.Stock{{ID: "a", Length: 6000, Price: 9000, Supply: -1}, {ID: "b", Length: 4000, Price: 6200, Supply: -1}, {ID: "c", Length: 3000, Price: 4650, Supply: 2}, {ID: "r", Length: 1740, Price: 1200, Supply: 1, Rack: true}},
	}
	for i, l := range []int64{2380, 2380, 2380, 2410, 1710, 1710, 1710, 1250, 1250, 1980, 1333, 2222, 905, 905} {
		p.Pieces = append(p.Pieces, cutting.Piece{ID: string(rune('A' + i)), Length: l})
	}
	for i, w := range []int64{250, 400, 320, 190} {
		p.Rips = append(p.Rips, cutting.Rip{ID: string(rune('a' + i)), Hand: cutting.Hand(i % 2), Length: 1900 + int64(i)*150, WidthEave: w, WidthHead: w - 40})
	}
	return p
}

func solved(t *testing.T, p *cutting.Problem) *cutting.Result {
	t.Helper()
	r, err := cutting.Solve(p, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := cutverify.Check(p, r); err != nil {
		t.Fatalf("a good result is refused: %v", err)
	}
	if !r.Proven {
		t.Fatal("the job for these tests must be proven")
	}
	return r
}

// copyResult copies a result with everything in it.
func copyResult(t *testing.T, r *cutting.Result) *cutting.Result {
	t.Helper()
	raw, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var c cutting.Result
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	return &c
}

// A verifier that lets any of these through would let a wrong saw list through.
func TestBrokenPlansAreRefused(t *testing.T) {
	p := job()
	good := solved(t, p)
	long := 0
	for i, b := range good.Bars {
		if len(b.Cuts) > len(good.Bars[long].Cuts) {
			long = i
		}
	}
	pair := -1
	for i, pr := range good.Pairs {
		if pr.Second >= 0 {
			pair = i
		}
	}
	if pair < 0 {
		t.Fatal("no pair in the plan")
	}
	for name, spoil := range map[string]func(r *cutting.Result){
		"a cut one unit longer":       func(r *cutting.Result) { r.Bars[0].Cuts[0].Length++ },
		"a cut moved":                 func(r *cutting.Result) { r.Bars[long].Cuts[1].At++ },
		"kerf forgotten":              func(r *cutting.Result) { r.Bars[long].KerfLoss -= 3; r.Bars[long].Leftover += 3 },
		"a leftover too long":         func(r *cutting.Result) { r.Bars[0].Leftover++ },
		"a leftover sold too dear":    func(r *cutting.Result) { r.Bars[0].Value++; r.Cost-- },
		"a piece twice":               func(r *cutting.Result) { r.Bars[0].Cuts = append(r.Bars[0].Cuts, r.Bars[0].Cuts[0]) },
		"a bar missing":               func(r *cutting.Result) { r.Bars = r.Bars[1:] },
		"a bar from another stock":    func(r *cutting.Result) { r.Bars[0].Stock = (r.Bars[0].Stock + 1) % 4 },
		"a cheaper bar":               func(r *cutting.Result) { r.Bars[0].Price--; r.Cost-- },
		"a cost too low":              func(r *cutting.Result) { r.Cost--; r.Bound-- },
		"a bound above the cost":      func(r *cutting.Result) { r.Bound = r.Cost + 1 },
		"proven without being so":     func(r *cutting.Result) { r.Bound-- },
		"a pair turned the wrong way": func(r *cutting.Result) { r.Pairs[pair].Turned = !r.Pairs[pair].Turned },
		"a rip twice":                 func(r *cutting.Result) { r.Pairs[pair].Second = r.Pairs[pair].First },
		"a rip left out":              func(r *cutting.Result) { r.Pairs[pair].Second = -1 },
		"length opened wrong":         func(r *cutting.Result) { r.LengthOpened++ },
	} {
		r := copyResult(t, good)
		spoil(r)
		if cutverify.Check(p, r) == nil {
			t.Errorf("accepted: %s", name)
		}
	}
	q := *p
	q.Stocks = append([]cutting.Stock(nil), p.Stocks...)
	q.Stocks[good.Bars[0].Stock].Length--
	if cutverify.Check(&q, good) == nil {
		t.Error("accepted for another problem")
	}
}

// A bound that does not follow from its certificate is refused, whichever
// number in it was changed in the solver's favour.
func TestBrokenCertificatesAreRefused(t *testing.T) {
	p := job()
	good := solved(t, p)
	for name, spoil := range map[string]func(r *cutting.Result){
		"no certificate": func(r *cutting.Result) { r.Certificate = nil },
		"no root":        func(r *cutting.Result) { r.Certificate.Root = nil },
		"a plan one coin cheaper is excluded too": func(r *cutting.Result) { // as if the optimum were one higher
			r.Cost++
			r.Bound++
		},
		"duals of nothing": func(r *cutting.Result) {
			for i := range r.Certificate.Root.Blank {
				r.Certificate.Root.Blank[i] = 0
			}
			r.Certificate.Root.Next, r.Certificate.Root.Split = nil, nil
		},
		"a dual too large": func(r *cutting.Result) {
			r.Certificate.Root.Blank[0] *= 2
			r.Certificate.Root.Next, r.Certificate.Root.Split = nil, nil
		},
		"a negative dual": func(r *cutting.Result) { r.Certificate.Root.Blank[0] = -1 },
		"an unlimited stock with a dual": func(r *cutting.Result) {
			r.Certificate.Root.Supply[0] = 1 << 40
		},
		"other lengths":    func(r *cutting.Result) { r.Certificate.Lengths[0]++ },
		"a step too large": func(r *cutting.Result) { r.Certificate.Step = 1000 },
		"scale nought":     func(r *cutting.Result) { r.Certificate.Scale = 0 },
		"a node too short": func(r *cutting.Result) { r.Certificate.Root.Blank = r.Certificate.Root.Blank[1:] },
	} {
		r := copyResult(t, good)
		spoil(r)
		got, err := cutverify.Bound(p, r)
		if err == nil && got >= r.Bound {
			t.Errorf("accepted: %s", name)
		}
	}
}

// Dropping one side of a split or what follows a plane, or cutting off the
// tree, must lower the bound.
func TestHalfATreeProvesLess(t *testing.T) {
	p := hard()
	good := solved(t, p)
	if good.Nodes < 2 || good.Certificate.Root.Next == nil && good.Certificate.Root.Split == nil {
		t.Fatalf("the job needs a tree; %d nodes", good.Nodes)
	}
	r := copyResult(t, good)
	r.Certificate.Root.Next, r.Certificate.Root.Split = nil, nil
	if got, err := cutverify.Bound(p, r); err != nil || got >= good.Bound {
		t.Errorf("the root alone proves %d, the tree %d (%v)", got, good.Bound, err)
	}
	r = copyResult(t, good)
	n := r.Certificate.Root
	for n != nil {
		if n.Split != nil && n.High != nil {
			n.High = &cutting.ProofNode{} // not examined
			break
		}
		n = n.Next
	}
	if n == nil {
		t.Fatal("no split in the tree")
	}
	if got, err := cutverify.Bound(p, r); err != nil || got >= good.Bound {
		t.Errorf("half the tree proves %d, all of it %d (%v)", got, good.Bound, err)
	}
}

// hard is a job whose bound needs splits; the rip keeps it from being searched
// state by state.
func hard() *cutting.Problem {
	p := &cutting.Problem{Kerf: 2, SheetWidth: 600, Rips: []cutting.Rip{{Length: 800, WidthEave: 300, WidthHead: 300}}, Stocks: []cutting.Stock{{Length: 3000, Price: 12380, Supply: -1}, {Length: 3500, Price: 15355, Supply: -1}, {Length: 1650, Price: 2606, Supply: 1, Rack: true}}}
	for l := int64(969); l <= 1119; l += 15 {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: l}, cutting.Piece{Length: l})
	}
	return p
}
