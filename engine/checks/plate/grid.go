package plate

import (
	"math"
	"sort"
)

// grid is a rectangular mesh; node i*len(y)+j stands at (x[i], y[j]). Numbering
// runs across the panel first, which keeps the band narrow.
type grid struct{ x, y []float64 }

func (g grid) nodes() int        { return len(g.x) * len(g.y) }
func (g grid) node(i, j int) int { return i*len(g.y) + j }

// mark asks for a fine mesh near one coordinate.
type mark struct{ at, size float64 }

// lines returns mesh lines through every break, fine at the marks and growing
// linearly with distance up to coarse. The steps are found by integrating the
// wanted density, so a symmetric request gives a symmetric mesh.
func lines(breaks []float64, marks []mark, growth, coarse float64) []float64 {
	b := append([]float64(nil), breaks...)
	sort.Float64s(b)
	tol := 1e-9 * (b[len(b)-1] - b[0])
	out := b[:1:1]
	size := func(x float64) float64 {
		h := coarse
		for _, m := range marks {
			h = math.Min(h, m.size+growth*math.Abs(x-m.at))
		}
		return h
	}
	const parts = 64
	for k := 1; k < len(b); k++ {
		lo, hi := b[k-1], b[k]
		if hi-lo <= tol {
			continue
		}
		var cum [parts + 1]float64 // elements wanted up to each sample
		for s := 0; s < parts; s++ {
			mid := lo + (hi-lo)*(float64(s)+0.5)/parts
			cum[s+1] = cum[s] + (hi-lo)/parts/size(mid)
		}
		n := max(1, int(math.Ceil(cum[parts]-1e-6)))
		s := 0
		for e := 1; e < n; e++ {
			want := cum[parts] * float64(e) / float64(n)
			for cum[s+1] < want {
				s++
			}
			f := (float64(s) + (want-cum[s])/(cum[s+1]-cum[s])) / parts
			out = append(out, lo+(hi-lo)*f)
		}
		out = append(out, hi)
	}
	return out
}

// nearest returns the index of the line closest to v.
func nearest(l []float64, v float64) int {
	i := sort.SearchFloat64s(l, v)
	if i == len(l) || i > 0 && v-l[i-1] < l[i]-v {
		i--
	}
	return i
}

// tributary returns the length of line each node stands for.
func tributary(l []float64) []float64 {
	t := make([]float64, len(l))
	for i := 1; i < len(l); i++ {
		t[i-1] += (l[i] - l[i-1]) / 2
		t[i] += (l[i] - l[i-1]) / 2
	}
	return t
}

// spread returns the integral of each node's linear shape function times
// p0..p1, linear from a to b, over the overlap of a..b with the lines.
// Two Gauss points per piece are exact for the quadratic integrand.
func spread(l []float64, a, b, p0, p1 float64) []float64 {
	f := make([]float64, len(l))
	if !(b > a) {
		return f
	}
	for i := 1; i < len(l); i++ {
		lo, hi := math.Max(a, l[i-1]), math.Min(b, l[i])
		if hi <= lo {
			continue
		}
		for _, g := range [2]float64{-1, 1} {
			x := (lo+hi)/2 + g*(hi-lo)/2/math.Sqrt(3)
			p := (p0 + (p1-p0)*(x-a)/(b-a)) * (hi - lo) / 2
			s := (x - l[i-1]) / (l[i] - l[i-1])
			f[i-1] += p * (1 - s)
			f[i] += p * s
		}
	}
	return f
}
