package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/demo"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func render(t testing.TB, s *scene.Sheet, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, s, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// small shows one of each thing.
func small() *scene.Sheet {
	s := scene.NewSheet(scene.Custom(80, 40), "Purlin <1> & \"2\"")
	s.Desc, s.Lang = "A dimensioned line", "en-US"
	s.Add(scene.Group{Layer: "frame", Title: "frame", Items: scene.Items(
		scene.Segment(scene.Pen(scene.Thin).Of(scene.Dashed), scene.P(22, 20), scene.P(62, 20)),
		scene.Rectangle(scene.Pen(scene.Mid), scene.Hatch(45, 3), scene.Rect{X: 25, Y: 22, W: 10, H: 6}),
		scene.Group{Clip: scene.Circle(scene.Line{}, scene.Fill{}, scene.P(50, 25), 4), Items: scene.Items(scene.HLine(scene.Line{Width: 1, Round: true}, 40, 60, 25))})},
		scene.M(30, 18, scene.Value, "22-15/16").Haloed(),
		scene.T(21, 30, scene.Body.In(scene.Ash), "it's < & \"ok\"").Turn(90))
	return s
}

// A change of the drawing's bytes must be seen by a person before it ships.
func TestGolden(t *testing.T) {
	for name, o := range map[string]Options{"live": {}, "outlined": {Letters: Outlined}, "themed": {Themed: true, Fluid: true, ID: "plan-"}} {
		got := render(t, small(), o)
		file := filepath.Join("testdata", name+".svg")
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs; look at it, then go test ./drawing/svg -update", file)
		}
	}
}

// A file that is not XML is not shown at all.
func TestValidXMLAndSizeInMM(t *testing.T) {
	for _, s := range demo.Sheets() {
		for _, letters := range []Letters{Live, Embedded, Outlined} {
			b := render(t, s, Options{Letters: letters})
			root := parse(t, b)
			w := strconv.FormatFloat(s.Size.W, 'f', -1, 64)
			h := strconv.FormatFloat(s.Size.H, 'f', -1, 64)
			if root["width"] != w+"mm" || root["height"] != h+"mm" || root["viewBox"] != "0 0 "+w+" "+h {
				t.Errorf("%s: %v", s.Title, root)
			}
			if !bytes.Contains(b, []byte("<title id=\"t\">"+s.Title)) || !bytes.Contains(b, []byte("<desc id=\"d\">"+s.Desc)) {
				t.Errorf("%s: no title or description", s.Title)
			}
		}
	}
}

func parse(t testing.TB, b []byte) map[string]string {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(b))
	var root map[string]string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return root
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok && root == nil {
			root = map[string]string{}
			for _, a := range e.Attr {
				root[a.Name.Local] = a.Value
			}
		}
	}
}

func TestSameBytesTwice(t *testing.T) {
	for i := range demo.Sheets() {
		a := render(t, demo.Sheets()[i], Options{Letters: Outlined})
		if b := render(t, demo.Sheets()[i], Options{Letters: Outlined}); !bytes.Equal(a, b) {
			t.Errorf("sheet %d differs from run to run", i)
		}
	}
}

func TestRefusesWhatItCannotDraw(t *testing.T) {
	s := scene.NewSheet(scene.A4, "x")
	s.Add(scene.T(30, 30, scene.Body, "⌀ 5"))
	var b bytes.Buffer
	if err := Write(&b, s, Options{}); err == nil || b.Len() > 0 {
		t.Errorf("wrote %d bytes, error %v", b.Len(), err)
	}
}

func TestWriterErrorIsReturned(t *testing.T) {
	if err := Write(failing{}, demo.Parts(), Options{}); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}

var errFull = errors.New("disk full")

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }

// Names come from people: none may break the file or smuggle in markup.
func FuzzEscape(f *testing.F) {
	f.Add(`<script>&amp;"'`)
	f.Add("\x00\x0b\ufffe]]>")
	f.Fuzz(func(t *testing.T, s string) {
		sheet := scene.NewSheet(scene.A4, s)
		sheet.Add(scene.On(s, scene.HLine(scene.Pen(1), 0, 9, 9)))
		root := parse(t, render(t, sheet, Options{}))
		if root["lang"] != "en" {
			t.Errorf("broke out: %v", root)
		}
	})
}

func FuzzNum(f *testing.F) {
	f.Add(-0.0004)
	f.Fuzz(func(t *testing.T, v float64) {
		if math.IsNaN(v) || math.Abs(v) > 1e9 {
			t.Skip()
		}
		got, err := strconv.ParseFloat(num(v), 64)
		if err != nil || math.Abs(got-v) > 0.00051 || num(v) == "-0" || strings.ContainsAny(num(v), "eE") || !utf8.ValidString(num(v)) {
			t.Errorf("%v written as %s", v, num(v))
		}
	})
}

func BenchmarkWrite(b *testing.B) {
	s := demo.Plan(scene.A4)
	for b.Loop() {
		if err := Write(io.Discard, s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
