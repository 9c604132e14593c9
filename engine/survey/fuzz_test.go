package survey

import (
	"encoding/binary"
	"math"
	"testing"
)

// Whatever a thumb types, the survey answers or refuses; it never stops the program and
// never shows "NaN" for a corner.
func FuzzSix(f *testing.F) {
	f.Add(6004.0, 3598.0, 5996.0, 3603.0, 7013.0, 6985.0, 2.0)
	f.Add(6004.0, 0.0, 5996.0, 3603.0, 7013.0, 6985.0, 2.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 1e300, 1e-300, 1e-300)
	f.Add(1.0, 1.0, 1.0, 1.0, 2.0, 1e-3, 1.0)
	f.Add(1e8, 1e8, 1e8, 1e8, 1e8, 1e8, 1e-4)
	f.Add(3000.0, 3000.0, 3000.0, 3000.0, 6000.0, 1.0, 2.0)
	f.Fuzz(func(t *testing.T, ab, bc, cd, da, ac, bd, sigma float64) {
		q := QuadReadings{ab, bc, cd, da, ac, bd}
		d, err := Diagnose(q.Network(fixedSigma(sigma)))
		if err == nil {
			checkFinite(t, d)
		} else if err.Error() == "" {
			t.Fatal("error without a word")
		}
		c, ok := q.Close()
		if ok && (math.IsNaN(c.W) || math.IsNaN(c.Q) || math.IsNaN(c.QMean)) {
			t.Fatalf("closure %+v", c)
		}
		JudgeSquare(q, sigma, 5)
		tape := Tape{Class: ClassII, GridMM: bc}
		if s := tape.Sigma(ab); math.IsNaN(s) && !math.IsNaN(bc) && !math.IsInf(bc, 0) {
			t.Fatalf("sigma %g", s)
		}
		quad := Quad{{ab, bc}, {cd, da}, {ac, bd}, {sigma, ab}}
		quad.Angles()
		ShapeOf(quad)
		if p, err := PushSquare(quad); err == nil && math.IsNaN(p.Target+p.MoveD+p.MoveC) {
			t.Fatalf("push %+v", p)
		}
		g := GridDirection([]GridEdge{{"", ab, bc, cd}, {"", da, ac, bd}, {"", sigma, ab, 1}})
		if math.IsNaN(g.Theta) || math.IsNaN(g.Worst) || math.IsNaN(g.SquareTheta) {
			t.Fatalf("grid %+v", g)
		}
		if p, err := FitPlane([]Level{{"", ab, bc, cd}, {"", da, ac, bd}, {"", cd, ab, da}, {"", bd, ac, bc}}, sigma); err == nil {
			if math.IsNaN(p.Slope + p.Fall + p.MaxOut + p.SlopeSD) {
				t.Fatalf("plane %+v", p)
			}
		}
	})
}

func checkFinite(t *testing.T, d *Diagnosis) {
	t.Helper()
	for _, r := range []*Result{d.Result, d.Remainder} {
		if r == nil {
			continue
		}
		for _, p := range r.Places() {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
				t.Fatalf("place %v", p)
			}
		}
		for _, rd := range r.Readings {
			s := rd.V + rd.R + rd.W + rd.Tau + rd.Misread + rd.MisreadSD + rd.MDB
			if math.IsNaN(s) || math.IsInf(s, 0) {
				t.Fatalf("reading %+v", rd)
			}
		}
		if math.IsNaN(r.VTPV + r.S0 + r.Global.P) {
			t.Fatalf("v'Pv %g s0 %g", r.VTPV, r.S0)
		}
	}
	for _, s := range append(d.Suspects, d.Located...) {
		if math.IsNaN(s.Misread + s.SD) {
			t.Fatalf("suspect %+v", s)
		}
	}
}

// Any pattern of points and readings, placed or not, of every kind.
func FuzzNetwork(f *testing.F) {
	f.Add([]byte("AB6000CD3600AC7000BD6990"), uint8(4), true)
	f.Add([]byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27}, uint8(5), false)
	f.Fuzz(func(t *testing.T, data []byte, count uint8, placed bool) {
		n := Network{}
		k := int(count%7) + 2
		for i := range k {
			p := Unplaced(letter(i))
			if placed {
				p = Sketched(letter(i), 1000*math.Cos(float64(2*i)), 1000*math.Sin(float64(2*i))+float64(i))
			}
			if len(data) > i && data[i]%31 == 0 {
				p.FixX, p.FixY = true, data[i]%2 == 0
			}
			n.Points = append(n.Points, p)
			if i < k-1 || count%2 == 0 {
				n.Outline = append(n.Outline, p.Name)
			}
		}
		for len(data) >= 6 && len(n.Obs) < 30 {
			end := func(b byte) End {
				if b%11 == 3 {
					return Between(letter(int(b)%k), letter(int(b/7)%k), float64(b%5)/4)
				}
				return At(letter(int(b) % k))
			}
			v := float64(binary.LittleEndian.Uint16(data[2:])) * math.Pow(10, float64(data[4]%5)-2)
			o := Obs{Kind: Kind(data[5] % 8 / 5), From: end(data[0]), To: end(data[1]), Other: end(data[4]), Other2: end(data[5]),
				Value: v, Sigma: 0.5 + float64(data[5])/32}
			n.Obs = append(n.Obs, o)
			data = data[6:]
		}
		d, err := Diagnose(n)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("error without a word")
			}
			if h, ok := err.(interface{ Hint() string }); ok && h.Hint() == "" {
				t.Fatalf("%v: no hint", err)
			}
			return
		}
		checkFinite(t, d)
	})
}
