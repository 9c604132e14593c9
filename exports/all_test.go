package exports

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"
	"time"

	"seamwright/papers"
)

func contains(s, part string) bool { return strings.Contains(s, part) }

// The same job must give the same bytes: otherwise nobody can tell a changed
// plan from an unchanged one, and every sync sends everything again.
func TestSameInputSameBytes(t *testing.T) {
	for i, d := range demos(t) {
		make, options := Data, []papers.Options{{Version: "3", Date: time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)}}
		if i == 0 {
			make, options = All, append(options, papers.Options{})
		}
		for _, o := range options {
			a, err := make(d.plan, d.job, o)
			if err != nil {
				t.Fatal(err)
			}
			b, err := make(d.plan, d.job, o)
			if err != nil {
				t.Fatal(err)
			}
			for i := range a {
				if a[i].Name != b[i].Name || !bytes.Equal(a[i].Bytes, b[i].Bytes) {
					t.Errorf("%s: %s differs from run to run", d.name, a[i].Name)
				}
			}
			za, err := Zip(a, o.Date)
			if err != nil {
				t.Fatal(err)
			}
			if zb, err := Zip(b, o.Date); err != nil || !bytes.Equal(za, zb) {
				t.Errorf("%s: the archive differs from run to run (%v)", d.name, err)
			}
		}
	}
}

// The archive holds every export, paper and drawing once, whole, and says what
// each is.
func TestArchiveIsWhole(t *testing.T) {
	d := demos(t)[0]
	files, err := All(d.plan, d.job, papers.Options{})
	if err != nil {
		t.Fatal(err)
	}
	z, err := Zip(files, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(z), int64(len(z)))
	if err != nil {
		t.Fatal(err)
	}
	have := map[string][]byte{}
	for _, f := range r.File {
		if strings.ContainsAny(f.Name, `/\:`) || have[f.Name] != nil {
			t.Errorf("the archive holds %q", f.Name)
		}
		rc, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		have[f.Name], err = io.ReadAll(rc) // checks the CRC
		if err != nil {
			t.Fatal(err)
		}
		rc.Close()
	}
	for _, f := range files {
		if !bytes.Equal(have[f.Name], f.Bytes) || len(f.Bytes) == 0 {
			t.Errorf("%s is not in the archive as it was made", f.Name)
		}
	}
	text := string(have[ReadFirst])
	for name := range have {
		if name != ReadFirst && !contains(text, name) {
			t.Errorf("%s does not mention %s", ReadFirst, name)
		}
	}
	for _, name := range []string{PlanFile, OrderFile, CutsFile, MarksFile, QuoteFile, BookFile, ModelFile, IFCFile, "site-sheet.pdf", "yard-sheet.pdf", "labels.svg"} {
		if have[name] == nil {
			t.Errorf("the archive lacks %s", name)
		}
	}
	for _, n := range d.plan.NotChecked {
		if !contains(text, n) {
			t.Errorf("%s does not say that %s was not checked", ReadFirst, n)
		}
	}
}

// The plan's JSON carries every piece once.
func TestPlanJSONHoldsEveryPiece(t *testing.T) {
	for _, d := range demos(t) {
		data, err := PlanJSON(d.plan)
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			TakeOff struct {
				Pieces []struct{ ID string }
			} `json:"take_off"`
		}
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, x := range got.TakeOff.Pieces {
			names = append(names, x.ID)
		}
		once(t, d.name, d.plan, names)
	}
}

// A job that comes to no pieces still exports what is known, and nothing empty.
func TestJobWithoutPieces(t *testing.T) {
	d := demos(t)[0]
	j := d.job
	j.Planes = nil
	p := d.plan
	p.Planes, p.Count.Pieces, p.Count.Parts, p.Count.Tapes, p.Saw.Kinds, p.Quote.Material = nil, nil, nil, nil, nil, nil
	files, err := Data(p, j, papers.Options{})
	if err != nil || len(files) != 1 || files[0].Name != PlanFile {
		t.Errorf("%d files, %v", len(files), err)
	}
}

func benchmark(b *testing.B, make func(demo) ([]byte, error)) {
	d := load(b, "../scripts/bench-20.yaml")
	if len(d.plan.Count.Pieces) == 0 {
		b.Fatal("the benchmark job comes to nothing")
	}
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		data, err := make(d)
		if err != nil {
			b.Fatal(err)
		}
		size = len(data)
	}
	b.ReportMetric(float64(size)/1000, "kB")
}

func BenchmarkCuts(b *testing.B) {
	benchmark(b, func(d demo) ([]byte, error) { return CutsCSV(d.plan) })
}
func BenchmarkBook(b *testing.B) {
	benchmark(b, func(d demo) ([]byte, error) { return Book(d.plan, papers.Options{}) })
}
func BenchmarkGLB(b *testing.B) {
	benchmark(b, func(d demo) ([]byte, error) { return GLB(d.plan, d.job) })
}
func BenchmarkIFC(b *testing.B) {
	benchmark(b, func(d demo) ([]byte, error) { return IFC(d.plan, d.job, papers.Options{}) })
}

// BenchmarkArchive makes everything: papers, drawings and exports in one file.
func BenchmarkArchive(b *testing.B) {
	benchmark(b, func(d demo) ([]byte, error) {
		files, err := All(d.plan, d.job, papers.Options{})
		if err != nil {
			return nil, err
		}
		return Zip(files, time.Time{})
	})
}
