package plate

import (
	"math"
	"math/rand"
	"slices"
	"testing"
)

// The band solver against elimination with pivoting, at sizes around its block
// of three; all figures of the package pass through it.
func TestBandAgainstDense(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	for _, n := range []int{1, 2, 3, 4, 7, 50} {
		for _, half := range []int{0, 1, 2, 3, 4, 11} {
			m := newBand(n, half)
			a := make([][]float64, n)
			for i := range a {
				a[i] = make([]float64, n)
			}
			for i := range a {
				for j := max(0, i-half); j <= i; j++ {
					v := rng.Float64() - 0.5
					if i == j {
						v = float64(half) + 1
					}
					a[i][j], a[j][i] = v, v
					m.add(i, j, v)
				}
			}
			b := make([]float64, n)
			v := make([][4]float64, 3*m.nb)
			for i := range b {
				b[i] = rng.Float64()
				v[i] = [4]float64{b[i], 2 * b[i], 0, -b[i]}
			}
			x := append([]float64(nil), b...)
			back := make([]float64, n)
			raw := *m
			raw.a = slices.Clone(m.a)
			if !m.factor() {
				t.Fatalf("n %d, half %d: not positive definite", n, half)
			}
			m.solve(x)
			m.solve4(v, 0)
			raw.times(x, back)
			want := append([]float64(nil), b...)
			if !dense(a, want) {
				t.Fatal("dense")
			}
			for i := range x {
				if math.Abs(x[i]-want[i]) > 1e-12 || math.Abs(v[i][1]-2*want[i]) > 1e-12 || math.Abs(v[i][3]+want[i]) > 1e-12 || math.Abs(back[i]-b[i]) > 1e-12 {
					t.Fatalf("n %d, half %d, row %d: %g, %v, want %g", n, half, i, x[i], v[i], want[i])
				}
			}
		}
	}
}

// A structure that is not held must be told apart from a soft one.
func TestBandRefusesWhatIsNotHeld(t *testing.T) {
	m := newBand(4, 1)
	for i := 0; i < 4; i++ {
		m.add(i, i, 1)
		if i > 0 {
			m.add(i, i-1, -1)
		}
	}
	m.add(1, 1, 1)
	m.add(2, 2, 1) // springs in a row, both ends free: 1 2 2 1, off -1
	if m.factor() {
		t.Error("a free chain of springs was accepted")
	}
	if dense([][]float64{{1, 2}, {2, 4}}, []float64{1, 1}) {
		t.Error("a singular system was accepted")
	}
}

// Mesh lines keep every break, stay within the coarse size and mirror a
// symmetric request.
func TestLines(t *testing.T) {
	l := lines([]float64{0, 100, 300, 700, 900, 1000}, []mark{{100, 10}, {900, 10}}, 0.4, 80)
	for _, b := range []float64{0, 100, 300, 700, 900, 1000} {
		if l[nearest(l, b)] != b {
			t.Errorf("no line at %g", b)
		}
	}
	for i := 1; i < len(l); i++ {
		if h := l[i] - l[i-1]; h <= 0 || h > 81 {
			t.Errorf("step %g at %g", h, l[i])
		}
		if m := 1000 - l[len(l)-1-i]; math.Abs(m-l[i]) > 1e-6 {
			t.Errorf("line %g has no mirror, nearest %g", l[i], m)
		}
	}
	// Spread conserves force and moment of a linear load.
	f := spread(l, 130, 870, 2, 5)
	sum, mom := 0.0, 0.0
	for i, v := range f {
		sum += v
		mom += v * l[i]
	}
	near(t, "force", sum, 740*3.5, 1e-12)
	near(t, "moment", mom, 740*(2*(2*130+870)+5*(130+2*870))/6., 1e-12)
}
