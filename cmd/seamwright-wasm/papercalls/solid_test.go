package papercalls

import (
	"math"
	"testing"

	"seamwright/cmd/seamwright-wasm/screen"
	"seamwright/examples"
)

// What is laid on the roof would float beside it, or a job would lose its view.
func TestSolidLiesOnTheRoof(t *testing.T) {
	for _, j := range examples.Jobs() {
		doc, _ := screen.Import(j.Name, string(j.Text))
		s, err := solidOf(doc)
		if err != nil || len(s.Model) < 1000 || string(s.Model[:4]) != "glTF" {
			t.Fatalf("%s: no model: %v", j.Name, err)
		}
		if len(s.Clips) == 0 || len(s.Zones) == 0 || len(s.Say) == 0 || s.Caution == "" {
			t.Fatalf("%s: %d clips, %d zones, %q", j.Name, len(s.Clips), len(s.Zones), s.Say)
		}
		var hardest float64
		for _, z := range s.Zones {
			hardest = math.Max(hardest, z.Fill)
		}
		if hardest != 1 {
			t.Errorf("%s: the hardest pull fills %v of its zone", j.Name, hardest)
		}
		for _, c := range s.Clips {
			d := 0.0
			for i := range 3 {
				d += (c.Top[i] - c.Foot[i]) * (c.Top[i] - c.Foot[i])
			}
			if math.Abs(math.Sqrt(d)-clipTall/1000) > 1e-9 || c.Top[1] <= c.Foot[1] {
				t.Errorf("%s: bar of %s is %v m tall", j.Name, c.Name, math.Sqrt(d))
			}
		}
		for _, b := range s.Bent {
			if b.Wide < 2 || len(b.At)%(3*b.Wide) != 0 {
				t.Errorf("%s: shape of %s has %d numbers, %d across", j.Name, b.Panel, len(b.At), b.Wide)
			}
		}
	}
	if s, err := solidOf("{"); err != nil || len(s.Troubles) == 0 {
		t.Error("a job that cannot be read has no trouble")
	}
}
