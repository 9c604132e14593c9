package fileform_test

import (
	"math"
	"sort"
	"strings"
	"testing"

	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/length"
)

type frame map[string][2]float64

// The frames behind the examples, in the unit of each job: where the corners
// of the invented roofs truly stand. Every reading in the files is a distance
// between two of these, read on the tape.
var frames = map[string]frame{
	"square-8x8 cover":        {"A": {0, 0}, "B": {96, 0}, "C": {96, 96}, "D": {0, 96}},
	"lean-16x12 roof":         {"A": {0, 0}, "B": {192.11, 0}, "C": {192.96, 143.90}, "D": {1.02, 144.06}},
	"lean-16x12-misread roof": {"A": {0, 0}, "B": {192.11, 0}, "C": {192.96, 143.90}, "D": {1.02, 144.06}},
	"rafters-only patio":      {"A": {0, 0}, "B": {144.05, 0}, "C": {144.20, 120.1}, "D": {0.05, 119.95}},
	"cycle-shelter-L shelter": {"A": {0, 0}, "B": {3604, 0}, "C": {3601, 903}, "D": {6008, 897}, "E": {6003, 3006}, "F": {-4, 2998}},
	"gable-2planes south":     {"A": {0, 0}, "B": {5003, 0}, "C": {5005, 2404}, "D": {1, 2401}},
	"gable-2planes north":     {"A": {0, 0}, "B": {5001, 0}, "C": {5004, 2398}, "D": {0, 2402}},
	"starter porch":           {"A": {0, 0}, "B": {144, 0}, "C": {144.1, 119.9}, "D": {0.02, 120}},
}

func distance(p, q [2]float64) float64 { return math.Hypot(p[0]-q[0], p[1]-q[1]) }

// crossing is where the strings AC and BD meet.
func (f frame) crossing() [2]float64 {
	a, b, c, d := f["A"], f["B"], f["C"], f["D"]
	den := (c[0]-a[0])*(d[1]-b[1]) - (c[1]-a[1])*(d[0]-b[0])
	t := ((b[0]-a[0])*(d[1]-b[1]) - (b[1]-a[1])*(d[0]-b[0])) / den
	return [2]float64{a[0] + t*(c[0]-a[0]), a[1] + t*(c[1]-a[1])}
}

// An example whose readings do not fit together would teach its reader that
// misreads are normal. One reading of one file is wrong on purpose.
func TestExampleReadingsAreTrue(t *testing.T) {
	slips, planes := 0, 0
	for name, data := range examples(t) {
		j, _, ps := fileform.ReadJob(name, data)
		if len(ps) > 0 {
			t.Fatal(fileform.Text(ps))
		}
		if !strings.Contains(strings.ToLower(j.Notes), "invented") {
			t.Errorf("%s does not say that it is invented", name)
		}
		unit, tick := length.Millimetre, length.Millimetre
		if j.Units == "inch" {
			unit, tick = length.Inch, length.Inch16th
		}
		for _, p := range j.Planes {
			f, ok := frames[strings.TrimSuffix(name, ".yaml")+" "+p.Name]
			if !ok {
				t.Errorf("%s: no true frame for plane %s", name, p.Name)
				continue
			}
			planes++
			compare := func(what string, got length.Length, truth float64) {
				off := float64(got)/float64(unit) - truth
				if math.Abs(off) <= 1.01*float64(tick)/float64(unit)/2 {
					return
				}
				if name == "lean-16x12-misread.yaml" && what == "BD" && math.Abs(off-1) < 0.04 {
					slips++
					return
				}
				if name == "rafters-only.yaml" && what == "BC" && math.Abs(off) < 0.063 { // second reading of one side
					return
				}
				t.Errorf("%s %s: %s is read %v, true %.3f", name, p.Name, what, got, truth)
			}
			for side, readings := range p.Tapes {
				for _, r := range readings {
					compare(side, r, distance(f[side[:1]], f[side[1:]]))
				}
			}
			for corner, r := range p.Crossing {
				compare(corner+"X", r, distance(f[corner], f.crossing()))
			}
			enough(t, name, p, f)
		}
	}
	if slips != 1 || planes != len(frames) {
		t.Errorf("%d slips on purpose, want 1; %d planes of %d frames", slips, planes, len(frames))
	}
}

// enough asks for at least one reading more than fixes the figure, so that the
// examples show an adjustment and not a mere construction: 2n−3 distances fix
// n corners in the plane.
func enough(t *testing.T, name string, p job.Plane, f frame) {
	t.Helper()
	sides := make([]string, 0, len(p.Tapes))
	for s := range p.Tapes {
		sides = append(sides, s)
	}
	sort.Strings(sides)
	if len(sides) <= 2*len(f)-3 {
		t.Errorf("%s %s: %d distances for %d corners: %v", name, p.Name, len(sides), len(f), sides)
	}
}

// The slope of the leaning frame comes from its corner heights alone: 18 in in
// 144 is 7.2 degrees, and no corner lies more than 1/8 in off the plane of the
// other three.
func TestLeaningFrameHeights(t *testing.T) {
	j, _, _ := fileform.ReadJob("x.yaml", examples(t)["lean-16x12.yaml"])
	p := j.Planes[0]
	if p.Slope != nil || len(p.Heights) != 4 {
		t.Fatal("the slope is meant to come from four heights")
	}
	rise := (p.Heights["D"] - p.Heights["A"]).Inches()
	if deg := math.Asin(rise/144.06) * 180 / math.Pi; math.Abs(deg-7.18) > 0.01 {
		t.Errorf("the slope is %.2f degrees", deg)
	}
	if twist := (p.Heights["A"] - p.Heights["B"] + p.Heights["C"] - p.Heights["D"]).Abs(); twist > length.Inch/8 {
		t.Errorf("the frame is twisted by %v", twist)
	}
}

// A starter that needs edits before it can be planned greets a newcomer with
// an error (TestExamplesAndBuiltinsMeetTheSchema reads it); one that leaves
// lines unexplained leaves him guessing.
func TestStarterExplainsEveryLine(t *testing.T) {
	lines := strings.Split(fileform.Starter(), "\n")
	values := 0
	for i, line := range lines {
		if len(line) > 110 {
			t.Errorf("line %d has %d characters", i+1, len(line))
		}
		body := strings.TrimSpace(line)
		_, reading := frames["starter porch"][strings.TrimLeft(body, " ")[:min(1, len(body))]]
		if body == "" || body[0] == '#' || strings.HasSuffix(body, ":") || reading {
			continue
		}
		values++
		if !strings.Contains(line, "# ") && !strings.HasPrefix(strings.TrimSpace(lines[i-1]), "#") && !strings.HasPrefix(body, "- ") {
			t.Errorf("line %d is not explained: %s", i+1, body)
		}
	}
	if values < 25 {
		t.Errorf("only %d lines with a value", values)
	}
}

// The lines a newcomer is told to uncomment must be right too.
func TestStarterSiteCanBeUncommented(t *testing.T) {
	at := strings.Index(fileform.Starter(), "\n#site:")
	if at < 0 {
		t.Fatal("the starter has no site to uncomment")
	}
	text := fileform.Starter()[:at] + strings.ReplaceAll(fileform.Starter()[at:], "\n#", "\n")
	j, _, ps := fileform.ReadJob("x.yaml", []byte(text))
	if len(ps) > 0 || j.Site == nil || j.Site.Wind == nil || j.Site.Snow == nil || j.Timber == nil {
		t.Errorf("%+v %s", j.Site, fileform.Text(ps))
	}
}
