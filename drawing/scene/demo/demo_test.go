package demo

import (
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"seamwright/drawing/pdf"
	"seamwright/drawing/png"
	"seamwright/drawing/scene"
	"seamwright/drawing/svg"
)

// TestDemoIsClean holds the drawing helpers to their own rules: nothing on the
// demo sheets overlaps, leaves the margins or is too small to read.
func TestDemoIsClean(t *testing.T) {
	for _, s := range Sheets() {
		for _, f := range scene.Check(s) {
			t.Errorf("%s: %v", s.Title, f)
		}
	}
}

// TestWrite writes the demo for a person to look at, into DRAWING_OUT if set.
func TestWrite(t *testing.T) {
	dir := os.Getenv("DRAWING_OUT")
	if dir == "" {
		dir = t.TempDir()
	}
	create := func(name string) *os.File {
		f, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	f := create("demo.pdf")
	defer f.Close()
	if err := pdf.Write(f, pdf.Options{Title: "Demo", Layers: true}, Sheets()...); err != nil {
		t.Fatal(err)
	}
	for i, s := range Sheets() {
		f := create("demo-" + strconv.Itoa(i+1) + ".svg")
		defer f.Close()
		if err := svg.Write(f, s, svg.Options{Letters: svg.Letters(i % 3)}); err != nil {
			t.Fatal(err)
		}
		g := create("demo-" + strconv.Itoa(i+1) + ".png")
		defer g.Close()
		if err := png.Write(g, s, png.Options{DPI: 110}); err != nil {
			t.Fatal(err)
		}
	}
}
