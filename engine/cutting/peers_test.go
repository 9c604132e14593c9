package cutting_test

import (
	"bytes"
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"seamwright/engine/cutting"
)

// peer is a general-purpose solver from the distribution's packages (glpk-utils
// and coinor-cbc): it gets the same job as an integer program over all
// patterns and pairings, written by code of this test's own.
type peer struct {
	name string
	run  func(t *testing.T, lp string) (float64, bool)
}

var peers = []peer{{"glpsol", runGLPK}, {"cbc", runCBC}}

// The same optimum as two general solvers, on every random job they solve.
func TestPeersAgree(t *testing.T) {
	for _, pr := range peers {
		t.Run(pr.name, func(t *testing.T) {
			if _, err := exec.LookPath(pr.name); err != nil {
				if os.Getenv("CI") != "" {
					t.Fatalf("%s is missing; the test command installs glpk-utils and coinor-cbc", pr.name)
				}
				t.Skipf("%s is not installed (glpk-utils, coinor-cbc)", pr.name)
			}
			rng := rand.New(rand.NewSource(21))
			solved := 0
			for i := range 60 {
				p := randomJob(rng, 3+rng.Intn(14), rng.Intn(6))
				want, ok := pr.run(t, programme(p))
				r, err := cutting.Solve(p, cutting.Options{})
				if short, is := err.(*cutting.ShortError); is {
					if ok {
						t.Fatalf("job %d: %v, but %s finds %.0f", i, short, pr.name, want)
					}
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				if !ok {
					t.Fatalf("job %d: served at %d, but %s calls it infeasible", i, r.Cost, pr.name)
				}
				solved++
				if !r.Proven || float64(r.Cost) != want {
					t.Fatalf("job %d: %d %s, %s %.3f\n%+v", i, r.Cost, r.Words(), pr.name, want, *p)
				}
			}
			if solved < 30 {
				t.Errorf("only %d jobs solved", solved)
			}
		})
	}
}

// programme writes a job as an integer program in the LP format.
func programme(p *cutting.Problem) string {
	var cost, rows, vars bytes.Buffer
	demand := map[int64][]string{}
	need := map[int64]int{}
	for _, pc := range p.Pieces {
		need[pc.Length]++
	}
	rip := make([][]string, len(p.Rips))
	lengths := map[int64]bool{}
	for l := range need {
		lengths[l] = true
	}
	for i, r := range p.Rips {
		lengths[r.Length] = true
		name := fmt.Sprintf("u%d", i)
		rip[i] = append(rip[i], name)
		demand[r.Length] = append(demand[r.Length], "- "+name)
		fmt.Fprintf(&vars, " %s\n", name)
		for j := i + 1; j < len(p.Rips); j++ {
			if fits(p, r, p.Rips[j]) {
				name := fmt.Sprintf("y%d_%d", i, j)
				rip[i], rip[j] = append(rip[i], name), append(rip[j], name)
				l := max(r.Length, p.Rips[j].Length)
				demand[l] = append(demand[l], "- "+name)
				fmt.Fprintf(&vars, " %s\n", name)
			}
		}
	}
	var ls []int64
	most := map[int64]int{}
	for l := range lengths {
		ls = append(ls, l)
		most[l] = need[l]
	}
	for _, r := range p.Rips {
		most[r.Length]++
	}
	supply := make([][]string, len(p.Stocks))
	n := 0
	for k, s := range p.Stocks {
		usable := s.Length - p.TrimStart - p.TrimEnd
		counts := make([]int, len(ls))
		var walk func(q int, sum int64)
		walk = func(q int, sum int64) {
			if q == len(ls) {
				if sum == 0 || sum > usable+p.Kerf {
					return
				}
				name := fmt.Sprintf("x%d", n)
				n++
				v := int64(0)
				if r := usable - sum; p.KeepMin > 0 && r >= p.KeepMin && p.KeepPer > 0 {
					v = min(r*p.KeepValue/p.KeepPer, s.Price)
				}
				fmt.Fprintf(&cost, " + %d %s\n", s.Price-v, name)
				fmt.Fprintf(&vars, " %s\n", name)
				supply[k] = append(supply[k], name)
				for i, c := range counts {
					if c > 0 {
						demand[ls[i]] = append(demand[ls[i]], fmt.Sprintf("+ %d %s", c, name))
					}
				}
				return
			}
			for c := 0; c <= most[ls[q]] && sum+int64(c)*(ls[q]+p.Kerf) <= usable+p.Kerf; c++ {
				counts[q] = c
				walk(q+1, sum+int64(c)*(ls[q]+p.Kerf))
			}
			counts[q] = 0
		}
		if usable > 0 && s.Supply != 0 {
			walk(0, 0)
		}
	}
	for i, l := range ls {
		if len(demand[l]) == 0 {
			demand[l] = []string{"0 none"}
		}
		fmt.Fprintf(&rows, " d%d: %s >= %d\n", i, strings.Join(demand[l], "\n "), need[l])
	}
	for i := range rip {
		fmt.Fprintf(&rows, " r%d: %s = 1\n", i, strings.Join(rip[i], " + "))
	}
	for k, s := range p.Stocks {
		if s.Supply >= 0 && len(supply[k]) > 0 {
			fmt.Fprintf(&rows, " s%d: %s <= %d\n", k, strings.Join(supply[k], "\n + "), s.Supply)
		}
	}
	return "Minimize\n obj: 0 none\n" + cost.String() + "Subject To\n" + rows.String() + " z: none = 0\nGenerals\n" + vars.String() + "End\n"
}

func writeLP(t *testing.T, lp string) string {
	f := filepath.Join(t.TempDir(), "job.lp")
	if err := os.WriteFile(f, []byte(lp), 0o600); err != nil {
		t.Fatal(err)
	}
	return f
}

func runGLPK(t *testing.T, lp string) (float64, bool) {
	out := filepath.Join(t.TempDir(), "out.txt")
	if msg, err := exec.Command("glpsol", "--lp", writeLP(t, lp), "--tmlim", "20", "-o", out).CombinedOutput(); err != nil {
		t.Fatalf("glpsol: %v\n%s", err, msg)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if !regexp.MustCompile(`Status:\s+INTEGER OPTIMAL`).Match(text) {
		return 0, false
	}
	return number(t, regexp.MustCompile(`Objective:\s+obj = (\S+)`).FindSubmatch(text)), true
}

func runCBC(t *testing.T, lp string) (float64, bool) {
	text, err := exec.Command("cbc", writeLP(t, lp), "ratio", "0", "allow", "0", "sec", "20", "solve").CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, text)
	}
	if !bytes.Contains(text, []byte("Optimal solution found")) {
		return 0, false
	}
	return number(t, regexp.MustCompile(`Objective value:\s+(\S+)`).FindSubmatch(text)), true
}

func number(t *testing.T, m [][]byte) float64 {
	t.Helper()
	if m == nil {
		t.Fatal("no objective in the solver's output")
	}
	v, err := strconv.ParseFloat(string(m[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
