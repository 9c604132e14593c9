package exports

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"seamwright/papers"
)

type ifcRead struct {
	Problems []string
	Schema   string
	Lines    int
	Elements []ifcElement
	Depths   []float64
	Units    []string
	GUIDs    []string
}

type ifcElement struct {
	Class, GUID, Name, Kind, Tag, Material string
	ID                                     int
	Owned                                  bool
	Parents                                []int
	Props                                  map[string]any
	Quantities                             map[string]float64
	Mesh                                   *struct {
		Min, Max      []float64
		Volume, Alpha float64
		Triangles     int
	}
}

func ifcOf(t *testing.T, d demo) []byte {
	t.Helper()
	data, err := IFC(d.plan, d.job, papers.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// readIFC reads the building models of all jobs with skew back, once for all tests.
func readIFC(t *testing.T) map[string]ifcRead {
	t.Helper()
	if readBack.ifc != nil {
		return readBack.ifc
	}
	var files [][]byte
	all := append(withSkew(t), oddName(t))
	for _, d := range all {
		files = append(files, ifcOf(t, d))
	}
	all, files = append(all, demo{name: "spoilt"}), append(files, spoilt(files[0]))
	var got []ifcRead
	reader(t, "read-ifc.mjs", ".ifc", files, &got)
	readBack.ifc = map[string]ifcRead{}
	for i, d := range all {
		readBack.ifc[d.name] = got[i]
	}
	return readBack.ifc
}

// spoilt breaks a file in four ways, each of which a reader may forgive.
func spoilt(data []byte) []byte {
	s := string(data)
	for _, x := range [][2]string{{".PURLIN.", ".PURLINS."}, {"=IFCDIRECTION((0.,0.,1.))", "=IFCDIRECTION((0.,0.,1.),$)"}, {"'Body','SweptSolid'", "'Body',7"}} {
		s = strings.Replace(s, x[0], x[1], 1)
	}
	first := regexp.MustCompile(`(=IFCEXTRUDEDAREASOLID\()#\d+`)
	if at := first.FindStringSubmatchIndex(s); at != nil { // a profile that is the owner history
		s = s[:at[3]] + "#6" + s[at[1]:]
	}
	return []byte(s)
}

// Every line obeys the schema: as many attributes as it has, none left out that
// may not be, only its words, and references to the classes it admits. WHERE
// rules are not checked: no program that checks them is at hand. A file that was
// spoilt shows that the check sees.
func TestIFCObeysTheSchema(t *testing.T) {
	read := readIFC(t)
	for _, d := range withSkew(t) {
		if p := read[d.name].Problems; len(p) > 0 {
			t.Errorf("%s: %d breaches of the schema, first %s", d.name, len(p), p[0])
		}
	}
	got := strings.Join(read["spoilt"].Problems, "\n")
	for _, want := range []string{"PredefinedType is .PURLINS.", "IfcDirection: has 2 attributes", "RepresentationType is a number", "SweptArea refers to IfcOwnerHistory"} {
		if !contains(got, want) {
			t.Errorf("a spoilt file passes: %q is not among\n%s", want, got)
		}
	}
}

// A building model is read by people who never saw the job: classes, tree,
// identities, lengths, areas and bodies must come out of an independent reader
// as they stand in the plan.
func TestIFCReadsBackAsPlanned(t *testing.T) {
	read := readIFC(t)
	for _, d := range withSkew(t) {
		got := read[d.name]
		if got.Schema != "IFC4" {
			t.Errorf("%s: schema %s", d.name, got.Schema)
		}
		if units := strings.Join(got.Units, ", "); units != "LENGTHUNIT MILLI METRE, AREAUNIT SQUARE_METRE, VOLUMEUNIT CUBIC_METRE, PLANEANGLEUNIT RADIAN, MASSUNIT KILO GRAM" {
			t.Errorf("%s: units %s", d.name, units)
		}
		count, parts := map[string]int{}, map[string]ifcElement{}
		var names []string
		class := map[int]string{}
		for _, e := range got.Elements {
			count[e.Class]++
			class[e.ID] = e.Class
			names = append(names, e.Name)
			parts[e.Name] = e
			if !e.Owned || len(e.GUID) != 22 {
				t.Errorf("%s: %s %s has no owner history or GUID", d.name, e.Class, e.Name)
			}
		}
		once(t, d.name, d.plan, names)
		tree(t, d.name, got, class)
		want := expectedClasses(d)
		for c, n := range want {
			if count[c] != n {
				t.Errorf("%s: %d × %s, want %d", d.name, count[c], c, n)
			}
		}
		depth := d.plan.System.System.Panel.Depth.Metres()
		for _, l := range layouts(d.plan) {
			for _, p := range l.Panels {
				e := parts[idOf(d, l, p.ID)]
				area := p.Outline.SquareMetres()
				if e.Class != "IfcPlate" || e.Mesh == nil || !near(e.Mesh.Volume, area*depth, area*depth*1e-4) {
					t.Errorf("%s: %s reads back as %+v, want a plate of %.6f m³", d.name, p.ID, e, area*depth)
					continue
				}
				if !near(e.Quantities["NetArea"], area, 1e-8) || e.Mesh.Alpha >= 1 {
					t.Errorf("%s: %s has %.6f m² and alpha %g, want %.6f m²", d.name, p.ID, e.Quantities["NetArea"], e.Mesh.Alpha, area)
				}
			}
			for _, s := range l.Seams {
				if q := parts[idOf(d, l, s.Cap)].Quantities["Length"]; !near(q, s.V.Len().MM(), 1e-6) {
					t.Errorf("%s: %s is %g mm long, want %g", d.name, s.Cap, q, s.V.Len().MM())
				}
			}
			for _, p := range l.Purlins {
				q := parts[idOf(d, l, p.ID)].Quantities["Length"]
				want := math.Hypot((p.Right.U - p.Left.U).MM(), (p.Right.V - p.Left.V).MM())
				if !near(q, want, 1e-3) {
					t.Errorf("%s: %s is %g mm long, want %g", d.name, p.ID, q, want)
				}
			}
		}
		for _, x := range d.plan.Count.Pieces {
			if v, _ := parts[x.ID].Props["CutLength"].(float64); !near(v, x.Length.MM(), 1e-6) {
				t.Errorf("%s: %s is to be cut %g mm, want %g", d.name, x.ID, v, x.Length.MM())
			}
		}
		unique := map[string]bool{}
		for _, g := range got.GUIDs {
			if unique[g] {
				t.Errorf("%s: GUID %s stands twice", d.name, g)
			}
			unique[g] = true
		}
	}
}

// expectedClasses counts from the plan and the job what the file must hold.
func expectedClasses(d demo) map[string]int {
	want := map[string]int{"IfcProject": 1, "IfcSite": 1, "IfcBuilding": 1, "IfcBuildingStorey": 1, "IfcRoof": len(layouts(d.plan)), "IfcPlate": 0, "IfcMember": 0, "IfcBeam": 0, "IfcDiscreteAccessory": 0}
	for _, l := range layouts(d.plan) {
		want["IfcPlate"] += len(l.Panels)
		want["IfcMember"] += len(l.Seams) + len(l.Channels) + len(l.Purlins) + len(l.Rafters)
		for _, e := range l.Ends {
			if e.Closure != "" {
				want["IfcDiscreteAccessory"]++
			}
		}
	}
	for _, p := range d.job.Planes {
		if p.Structure == nil {
			continue
		}
		want["IfcBeam"] += len(p.Structure.Beams)
		for _, b := range p.Structure.Beams {
			if p.Structure.Posts != nil {
				want["IfcMember"] += len(b.Posts)
			}
		}
	}
	return want
}

// tree checks that every element hangs in exactly one place, and that it leads
// up to the project.
func tree(t *testing.T, name string, got ifcRead, class map[int]string) {
	t.Helper()
	parent := map[int]int{}
	for _, e := range got.Elements {
		if e.Class == "IfcProject" {
			continue
		}
		if len(e.Parents) != 1 {
			t.Errorf("%s: %s %s hangs in %d places", name, e.Class, e.Name, len(e.Parents))
			continue
		}
		parent[e.ID] = e.Parents[0]
	}
	for _, e := range got.Elements {
		id, steps := e.ID, 0
		for class[id] != "IfcProject" && steps < 10 {
			id, steps = parent[id], steps+1
		}
		if class[id] != "IfcProject" {
			t.Errorf("%s: %s does not lead up to the project", name, e.Name)
		}
	}
}

// The two models are two files of one roof: the boxes of every body must agree.
func TestIFCAndGLTFAgree(t *testing.T) {
	for _, d := range demos(t) {
		ifc, glb := readIFC(t)[d.name], readGLB(t)[d.name]
		boxes := map[string]ifcElement{}
		for _, e := range ifc.Elements {
			boxes[e.Name] = e
		}
		compared := 0
		for _, n := range glb.Nodes {
			e, ok := boxes[n.Name]
			if n.Type != "Mesh" || !ok || e.Mesh == nil {
				continue
			}
			compared++
			for k := range n.Min {
				if !near(n.Min[k], e.Mesh.Min[k], 2e-5) || !near(n.Max[k], e.Mesh.Max[k], 2e-5) {
					t.Errorf("%s: %s lies in %v…%v (glTF) and %v…%v (IFC)", d.name, n.Name, n.Min, n.Max, e.Mesh.Min, e.Mesh.Max)
					break
				}
			}
		}
		if compared < len(d.plan.Count.Pieces) {
			t.Errorf("%s: only %d of %d pieces could be compared", d.name, compared, len(d.plan.Count.Pieces))
		}
	}
}

// oddName is a demo job whose name is hard to write.
func oddName(t *testing.T) demo {
	d := demos(t)[0]
	d.name, d.plan.Job.Name = "odd name", `Süd-Dach 3' 6″ \X\ Ω 屋根 𝄞`
	return d
}

// Names in any alphabet, quotes and backslashes come back as they were typed.
func TestIFCTextSurvives(t *testing.T) {
	d := oddName(t)
	for _, b := range ifcOf(t, d) {
		if b > 0x7e || b < 0x20 && b != '\n' {
			t.Fatalf("byte %#x in a file that must be plain ASCII", b)
		}
	}
	for _, e := range readIFC(t)[d.name].Elements {
		if e.Class == "IfcProject" && e.Name != d.plan.Job.Name {
			t.Errorf("the project reads back as %q", e.Name)
		}
	}
}

// A piece keeps its GUID when the plan changes around it, and no two jobs share
// one; the 22 digits are those of a name-based UUID.
func TestGUIDsAreNamed(t *testing.T) {
	a, b := guid("E-01", "panel P1"), guid("E-02", "panel P1")
	if a == b || a != guid("E-01", "panel P1") {
		t.Error("a GUID does not name job and piece")
	}
	var u [16]byte
	bits := 0
	acc := uint32(0)
	n := 0
	for i, c := range a {
		v := strings.IndexRune(guidDigits, c)
		width := 6
		if i == 0 {
			if v > 3 {
				t.Fatalf("the first digit of %s is above 3", a)
			}
			width = 2
		}
		acc, bits = acc<<width|uint32(v), bits+width
		for bits >= 8 {
			u[n] = byte(acc >> (bits - 8))
			n, bits = n+1, bits-8
			acc &= 1<<bits - 1
		}
	}
	if n != 16 || u[6]>>4 != 5 || u[8]>>6 != 2 {
		t.Errorf("%s decodes to %x, no UUID of version 5", a, u)
	}
}

// A roof that carries a stop says so where a model's reader looks first.
func TestStopIsSaidInTheModel(t *testing.T) {
	for _, d := range demos(t) {
		if d.name != "lean-16x12-misread" {
			continue
		}
		if !strings.Contains(string(ifcOf(t, d)), "THE PLAN HOLDS A STOP") {
			t.Error("the stop is not in the IFC file")
		}
		return
	}
	t.Error("the demo job with a misread tape is gone, or comes to no order")
}
