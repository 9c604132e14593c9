package survey

import (
	"encoding/json"
	"math"
	"os"
	"sort"
	"testing"
)

// fileNetwork is one entry of testdata/networks.json; its source stands beside it there.
type fileNetwork struct {
	ID, Source, Unit string
	Fixed, Start     map[string][2]float64
	Observations     []struct {
		From, To string
		D, Sigma float64
	}
	Offsets []struct {
		Point        string
		Line         [2]string
		Value, Sigma float64
	}
	Published struct {
		XY   map[string][2]float64
		SDCM map[string][2]float64
		S0MM float64
		VCM  map[string]float64
	}
	Computed struct {
		R       int
		VTPV    float64
		V, RI   map[string]float64
		AbsWAll float64
		MaxAbsW float64
		S0      float64
	}
}

func loadNetworks(t testing.TB) map[string]fileNetwork {
	t.Helper()
	raw, err := os.ReadFile("testdata/networks.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Networks []fileNetwork }
	if err := json.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	out := map[string]fileNetwork{}
	for _, n := range f.Networks {
		out[n.ID] = n
	}
	return out
}

// unit returns mm per unit of the file entry. P7's deviations are relative and stay as
// they are.
func (f fileNetwork) unit() (length, sigma float64) {
	switch {
	case f.Unit == "m" && f.ID == "P7":
		return 1000, 1
	case f.Unit == "m":
		return 1000, 1000
	}
	return 1, 1
}

func (f fileNetwork) network() Network {
	var n Network
	u, s := f.unit()
	add := func(m map[string][2]float64, make func(string, float64, float64) Point) {
		names := make2(m)
		for _, name := range names {
			n.Points = append(n.Points, make(name, m[name][0]*u, m[name][1]*u))
		}
	}
	add(f.Fixed, Fixed)
	add(f.Start, Sketched)
	if len(n.Points) == 0 {
		for _, c := range []string{"A", "B", "C", "D"} {
			n.Points = append(n.Points, Unplaced(c))
		}
		n.Outline = []string{"A", "B", "C", "D"}
	}
	for _, o := range f.Observations {
		n.Obs = append(n.Obs, Tie(o.From, o.To, o.D*u, o.Sigma*s))
	}
	for _, o := range f.Offsets {
		n.Obs = append(n.Obs, StringOffset(o.Point, o.Line[0], o.Line[1], o.Value*u, o.Sigma*s))
	}
	return n
}

func make2(m map[string][2]float64) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %g", what, got, want, tol)
	}
}

// A user whose coordinates differ from the textbooks' would lose the ground under every
// mark. Sources: the publications named in testdata/networks.json, to their last printed
// digit (coordinates 0.1 mm, deviations 0.01 mm, both ± one half, and one more unit of
// the last place where the printed start values were rounded).
func TestPublishedNetworks(t *testing.T) {
	for id, f := range loadNetworks(t) {
		if id[0] != 'P' {
			continue
		}
		t.Run(id, func(t *testing.T) {
			res, err := Adjust(f.network())
			if err != nil {
				t.Fatal(err)
			}
			for name, xy := range f.Published.XY {
				at, _ := res.At(name)
				near(t, name+" x", at.X/1000, xy[0], 0.00006)
				near(t, name+" y", at.Y/1000, xy[1], 0.00006)
			}
			for name, sd := range f.Published.SDCM { // published scaled by s0
				sx, sy, _ := res.PointSD(name)
				near(t, name+" sx", sx*res.S0/10, sd[0], 0.00051)
				near(t, name+" sy", sy*res.S0/10, sd[1], 0.00051)
			}
			for id, v := range f.Published.VCM {
				rd, _ := res.Reading(id)
				near(t, id+" v", rd.V/10, v, 0.0005)
			}
			if f.Published.S0MM != 0 { // published with sigma 10 mm as the unit
				near(t, "s0", res.S0*10, f.Published.S0MM, 0.0005)
			}
		})
	}
}
