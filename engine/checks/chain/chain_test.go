package chain_test

import "testing"

func TestDump(t *testing.T) {
	for _, name := range []string{"lean-16x12.yaml", "cycle-shelter-L.yaml", "rafters-only.yaml"} {
		s := layOut(t, read(t, name))
		r := s.run()
		t.Logf("%s %s: %s", name, r.Overall.Verdict, r.Overall.Text)
		for _, c := range r.Checks {
			t.Logf("%5.2f %-24s %-40s %-30s %.4g/%.4g %s [%s]", c.Utilisation, c.ID, c.Where, c.What, c.Demand, c.Capacity, c.Unit, c.Combination)
			for _, f := range c.Findings {
				t.Logf("        %s %s: %s | %s | %s", f.Level, f.Code, f.What, f.Why, f.Do)
			}
		}
		for _, f := range r.Findings {
			t.Logf("FINDING %s %s %s: %s | %s | %s", f.Level, f.Code, f.Where, f.What, f.Why, f.Do)
		}
		for _, b := range r.Balance {
			t.Logf("balance %v", b)
		}
		for _, c := range r.Clips {
			t.Logf("clip %+v", c)
		}
		for _, p := range r.Panels {
			p.Shape = nil
			t.Logf("panel %+v", p)
		}
		t.Logf("screws %+v lost %+v", r.Screws, r.Lost)
	}
}

func BenchmarkLean(b *testing.B) {
	s := layOut(b, read(b, "lean-16x12.yaml"))
	for b.Loop() {
		s.run()
	}
}

func TestDumpInverse(t *testing.T) {
	for _, name := range []string{"lean-16x12.yaml", "cycle-shelter-L.yaml"} {
		s := layOut(t, read(t, name))
		s.in.Curves, s.in.Large = true, true
		r := s.run()
		v := r.Inverse
		for _, x := range v.Spacing {
			t.Logf("%+v", x)
		}
		t.Logf("add %+v", v.Add)
		for _, x := range v.Levers {
			t.Logf("%+v", x)
		}
		for _, x := range append(v.Wind, v.Snow...) {
			t.Logf("%s %s %d: %.0f..%.0f: %.1f .. %.1f %s", x.Link, x.Zone, x.Screws, x.Spacing[0], x.Spacing[29], x.Value[0], x.Value[29], x.Unit)
		}
		for _, q := range r.Requests {
			t.Logf("%s %+v", q.Sign, q.Card)
		}
	}
}
