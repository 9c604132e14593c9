package plate

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// The checks in this file run CalculiX (Debian package calculix-ccx, GPL, a
// general-purpose finite-element solver) on the same mesh. Its shells become
// brick elements with incompatible modes, so only the mesh is shared, not the
// element.

// shells is one deck: a plate on grid lines, with vertical springs at nodes.
type shells struct {
	x, y    []float64
	k       Stiffness
	springs map[int]float64 // node to N/mm
	load    []float64       // nodal forces, or nil for uniform
	uniform float64         // MPa
}

func ccx(t testing.TB) string {
	path, err := exec.LookPath("ccx")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("ccx is missing: install calculix-ccx")
		}
		t.Skip("ccx is not installed (Debian package calculix-ccx)")
	}
	return path
}

// deck writes the input. The homogeneous layer of thickness t = sqrt(3) d has
// the panel's bending and shear stiffness.
func (s *shells) deck(file string) error {
	var b strings.Builder
	p := func(f string, a ...any) { fmt.Fprintf(&b, f+"\n", a...) }
	ny := len(s.y)
	p("*NODE,NSET=NALL")
	for i, x := range s.x {
		for j, y := range s.y {
			p("%d,%.10g,%.10g,0", i*ny+j+1, x, y)
		}
	}
	p("*ELEMENT,TYPE=S4,ELSET=EALL")
	e := 0
	for i := 0; i+1 < len(s.x); i++ {
		for j := 0; j+1 < ny; j++ {
			e++
			n := i*ny + j + 1
			p("%d,%d,%d,%d,%d", e, n, n+ny, n+ny+1, n+1)
		}
	}
	byK := map[float64][]int{}
	var ks []float64
	for n, k := range s.springs {
		if byK[k] == nil {
			ks = append(ks, k)
		}
		byK[k] = append(byK[k], n)
	}
	sort.Float64s(ks)
	for q, k := range ks {
		sort.Ints(byK[k])
		p("*ELEMENT,TYPE=SPRING1,ELSET=K%d", q)
		for _, n := range byK[k] {
			e++
			p("%d,%d", e, n+1)
		}
		p("*SPRING,ELSET=K%d\n3\n%.6f", q, k) // ccx wants the decimal point
	}
	t := math.Sqrt(3) * 7.5
	n12, n21 := s.k.D1/s.k.Dy, s.k.D1/s.k.Dx
	f := 12 * (1 - n12*n21) / (t * t * t)
	p("*MATERIAL,NAME=M\n*ELASTIC,TYPE=ENGINEERING CONSTANTS")
	p("%.8g,%.8g,%.8g,%.8g,0,0,%.8g,%.8g,", f*s.k.Dx, f*s.k.Dy, f*s.k.Dx, n12, 12*s.k.Dk/(t*t*t), s.k.Sx/t)
	p("%.8g", s.k.Sy/t)
	p("*ORIENTATION,NAME=O\n1,0,0,0,1,0")
	p("*SHELL SECTION,ELSET=EALL,MATERIAL=M,ORIENTATION=O\n%.8f", t)
	mid := ny / 2
	p("*BOUNDARY\n%d,1,2\n%d,2,2", mid+1, (len(s.x)-1)*ny+mid+1)
	p("*STEP\n*STATIC")
	if s.load == nil {
		p("*DLOAD\nEALL,P,%.10g", s.uniform)
	} else {
		p("*CLOAD")
		for n, v := range s.load {
			if v != 0 {
				p("%d,3,%.12g", n+1, v)
			}
		}
	}
	p("*NODE PRINT,NSET=NALL\nU\n*END STEP")
	return os.WriteFile(file, []byte(b.String()), 0o644)
}

// run returns the vertical displacement of every node.
func (s *shells) run(t testing.TB) []float64 {
	bin := ccx(t)
	dir := t.TempDir()
	if err := s.deck(filepath.Join(dir, "panel.inp")); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(bin, "-i", "panel")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("ccx: %v\n%s", err, out)
	}
	dat, err := os.ReadFile(filepath.Join(dir, "panel.dat"))
	if err != nil {
		t.Fatal(err)
	}
	w := make([]float64, len(s.x)*len(s.y))
	found := 0
	for _, line := range strings.Split(string(dat), "\n") {
		f := strings.Fields(line)
		if len(f) != 4 {
			continue
		}
		n, err := strconv.Atoi(f[0])
		if err != nil || n < 1 || n > len(w) {
			continue
		}
		if w[n-1], err = strconv.ParseFloat(f[3], 64); err != nil {
			t.Fatal(err)
		}
		found++
	}
	if found != len(w) {
		t.Fatalf("ccx printed %d of %d nodes", found, len(w))
	}
	return w
}

// field is a continuous sheet over two modules and three bays on twelve spring
// clips, 1200 x 2800 mm, uplift 1 kPa, no purlins and no edge beams.
func field(hf, hc float64) (x, y []float64, springs map[int]float64) {
	const w, bay, clip, k = 600.0, 900.0, 50.0, 500.0
	cells := func(breaks []float64, fine func(float64) bool) []float64 {
		out := []float64{breaks[0]}
		for i := 1; i < len(breaks); i++ {
			a, b := breaks[i-1], breaks[i]
			h := hc
			if fine((a + b) / 2) {
				h = hf
			}
			n := int(math.Ceil((b-a)/h - 1e-9))
			out = append(out, even(a, b, n)[1:]...)
		}
		return out
	}
	var bx, by []float64
	for c := 0.0; c < 4; c++ {
		for _, d := range []float64{-75, -50, -25, 0, 25, 50, 75, 450} {
			if v := c*bay + d; v >= -50 && v <= 2750 {
				bx = append(bx, v)
			}
		}
	}
	for s := 0.0; s < 3; s++ {
		for _, d := range []float64{-50, 0, 50, 300} {
			if v := s*w + d; v >= 0 && v <= 1200 {
				by = append(by, v)
			}
		}
	}
	x = cells(bx, func(v float64) bool { return math.Abs(v-math.Round(v/bay)*bay) < 75 })
	y = cells(by, func(v float64) bool { return math.Abs(v-math.Round(v/w)*w) < 50 })
	springs = map[int]float64{}
	for c := 0.0; c < 4; c++ {
		for i := 0; i+1 < len(x); i++ {
			if x[i] > c*bay-clip/2-1e-6 && x[i+1] < c*bay+clip/2+1e-6 {
				for s := 0.0; s < 3; s++ {
					j := nearest(y, s*w)
					for _, m := range []int{i, i + 1} {
						springs[m*len(y)+j] += k * (x[i+1] - x[i]) / 2 / clip
					}
				}
			}
		}
	}
	return x, y, springs
}

// solveField solves the field with this package's element and solver.
func solveField(t testing.TB, x, y []float64, springs map[int]float64, k Stiffness) solution {
	c := &core{grid: grid{x, y}, k: k, soft: 100}
	nodes := make([]int, 0, len(springs))
	for n := range springs {
		nodes = append(nodes, n)
	}
	sort.Ints(nodes)
	for _, n := range nodes {
		c.springs = append(c.springs, spring{dofs * n, springs[n]})
	}
	f := make([]float64, dofs*c.nodes())
	tx, ty := tributary(x), tributary(y)
	for i := range x {
		for j := range y {
			f[dofs*c.node(i, j)] = KPa * tx[i] * ty[j]
		}
	}
	s, out := c.solve(f, false, nil)
	if out != solved {
		t.Fatal(out)
	}
	return s
}

// Deflections within 1 % and clip forces within 0.1 % of CalculiX on the same
// mesh: a wrong element or assembly would show at once.
func TestSheetOnClipsAgainstCalculiX(t *testing.T) {
	k := twin().stiffness()
	x, y, springs := field(25, 50)
	got := solveField(t, x, y, springs, k).u
	// An earlier prototype of the same element on this mesh.
	at := func(px, py float64) int { return nearest(x, px)*len(y) + nearest(y, py) }
	points := [][3]float64{{450, 300, 161.454}, {1350, 300, 131.074}, {450, 600, 145.248}, {1350, 600, 112.270}}
	for _, p := range points {
		near(t, fmt.Sprintf("prototype w(%g,%g)", p[0], p[1]), got[dofs*at(p[0], p[1])], p[2], 1e-5)
	}
	want := (&shells{x: x, y: y, k: k, springs: springs, uniform: KPa}).run(t)
	for _, p := range points {
		n := at(p[0], p[1])
		near(t, fmt.Sprintf("CalculiX w(%g,%g)", p[0], p[1]), got[dofs*n], want[n], 0.01)
	}
	clips, ours, theirs := map[[2]float64]bool{}, map[[2]float64]float64{}, map[[2]float64]float64{}
	for n, k := range springs {
		c := [2]float64{math.Round(x[n/len(y)] / 900), math.Round(y[n%len(y)] / 600)}
		clips[c] = true
		ours[c] += k * got[dofs*n]
		theirs[c] += k * want[n]
	}
	if len(clips) != 12 {
		t.Fatalf("%d clips", len(clips))
	}
	for c := range clips {
		near(t, fmt.Sprintf("CalculiX clip %v", c), ours[c], theirs[c], 0.001)
	}
}

// onSameMesh puts a solved panel without edge beams into CalculiX: the solver's
// own mesh and nodal loads, its holds as springs, and the purlin nodes that it
// found closed as stiff springs.
func onSameMesh(t testing.TB, s *Solver, c Case) (*shells, *model, solution) {
	m := s.model(c)
	load := m.loads(&s.panel, c, dofs, dofW)
	sum := 0.0
	for _, v := range load {
		sum += v
	}
	sol, out := m.solve(load, sum < 0, nil)
	if out != solved {
		t.Fatal(out)
	}
	d := &shells{x: m.x, y: m.y, k: m.k, springs: map[int]float64{}, load: make([]float64, m.nodes())}
	for i := range d.load {
		d.load[i] = load[dofs*i]
	}
	for l, k := range m.links {
		f := sol.force[l]
		switch {
		case f > 0:
			d.springs[k.node[0]] += k.pull
		case f < 0:
			d.springs[k.node[0]] += k.push
		}
	}
	return d, m, sol
}

// The whole chain from Panel to reactions against CalculiX: a patch load over
// part of a panel, uplift at clips, and snow on purlins.
func TestPanelAgainstCalculiX(t *testing.T) {
	p := patched(reference(2))
	p.Left.Beam, p.Right.Beam = Beam{}, Beam{}
	for _, c := range []Case{
		{Name: "uplift, corner zone", Patches: []Patch{{P0: KPa, P1: KPa}, {X1: 700, Y1: 350, P0: KPa, P1: KPa}}},
		{Name: "snow drift", Patches: []Patch{{P0: -KPa, P1: -KPa}, {X1: 900, Y1: 600, P0: -2 * KPa}, {Y1: 100, P0: -0.2 * KPa, P1: -0.2 * KPa}}},
	} {
		s, err := NewSolver(p)
		if err != nil {
			t.Fatal(err)
		}
		d, m, sol := onSameMesh(t, s, c)
		if m.half {
			t.Fatal("the load is uneven, the whole panel is wanted")
		}
		want := d.run(t)
		top, worst := 0.0, 0.0
		for n, w := range want {
			top = math.Max(top, math.Abs(w))
			worst = math.Max(worst, math.Abs(w-sol.u[dofs*n]))
		}
		if worst > 0.01*top {
			t.Errorf("%s: deflections differ by up to %.2f mm of %.2f mm", c.Name, worst, top)
		}
		t.Logf("%s: %d nodes, deflections within %.2f %% of the largest", c.Name, len(want), 100*worst/top)
		total, ours, theirs := 0.0, map[int]float64{}, map[int]float64{}
		for l, k := range m.links {
			group := 100 + m.refs[l].purlin
			if m.refs[l].purlin < 0 {
				group = 10*int(m.refs[l].hold.Side) + m.refs[l].hold.Index/5
			}
			ours[group] += sol.force[l]
			if f := sol.force[l]; f != 0 {
				theirs[group] += d.springs[k.node[0]] * want[k.node[0]]
			}
			total += math.Abs(sol.force[l])
		}
		for g, f := range ours {
			if math.Abs(f-theirs[g]) > 0.01*math.Abs(f)+0.001*total {
				t.Errorf("%s, support %d: %.2f N, CalculiX %.2f N", c.Name, g, f, theirs[g])
			}
		}
	}
}
