package demo

import (
	"bytes"
	"image"
	"image/draw"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"seamwright/drawing/pdf"
	"seamwright/drawing/png"
	"seamwright/drawing/scene"
	"seamwright/drawing/svg"
)

// tool runs a program of the project's test set-up. Only on a machine outside
// CI may it be missing.
func tool(t *testing.T, name string, args ...string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "" {
			t.Skipf("%s is not installed", name)
		}
		t.Fatalf("%s is not installed: the test command installs poppler-utils and qpdf", name)
	}
	if out, err := exec.Command(name, args...).CombinedOutput(); err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
}

func writePDF(t *testing.T, sheets ...*scene.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, pdf.Options{}, sheets...); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "demo.pdf")
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// What is seen on the phone must be what comes out of the printer: our own
// picture is compared with the PDF as an independent program draws it, block by
// block of one mm. Anti-aliasing and the fitting of thin strokes to dots differ;
// a letter, line or hatch that is missing or shifted by half a mm does not pass.
func TestPictureAgreesWithPDF(t *testing.T) {
	const dpi = 254 // 10 dots per mm
	for i, s := range Sheets()[:3] {
		name := writePDF(t, s)
		out := strings.TrimSuffix(name, ".pdf")
		tool(t, "pdftoppm", "-r", strconv.Itoa(dpi), "-gray", "-png", "-singlefile", name, out)
		f, err := os.Open(out + ".png")
		if err != nil {
			t.Fatal(err)
		}
		theirs, _, err := image.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		ours, err := png.Draw(s, png.Options{DPI: dpi})
		if err != nil {
			t.Fatal(err)
		}
		a, b := blocks(ours, 10), blocks(theirs, 10)
		sum, worst, bad := 0.0, 0.0, 0
		for p, v := range a {
			d := math.Abs(v - b[p])
			sum += d
			worst = math.Max(worst, d)
			if d > 0.15 {
				bad++
			}
		}
		mean := sum / float64(len(a))
		t.Logf("sheet %d: mean %.4f, worst %.3f, over 0.15: %d of %d", i+1, mean, worst, bad, len(a))
		if mean > 0.008 || worst > 0.35 || bad > len(a)/500 {
			t.Errorf("sheet %d: mean difference %.4f, worst %.3f, %d blocks over 0.15", i+1, mean, worst, bad)
		}
	}
}

// blocks averages the ink of a picture over squares of n dots.
func blocks(img image.Image, n int) map[image.Point]float64 {
	b := img.Bounds()
	grey := image.NewGray(b)
	draw.Draw(grey, b, img, b.Min, draw.Src)
	out := map[image.Point]float64{}
	for y := 0; y+n <= b.Dy(); y += n {
		for x := 0; x+n <= b.Dx(); x += n {
			sum := 0
			for j := range n {
				row := grey.Pix[grey.PixOffset(b.Min.X+x, b.Min.Y+y+j):]
				for _, v := range row[:n] {
					sum += 255 - int(v)
				}
			}
			out[image.Pt(x/n, y/n)] = float64(sum) / float64(255*n*n)
		}
	}
	return out
}

var (
	svgPath  = regexp.MustCompile(` d="([^"]*)"`)
	svgNum   = regexp.MustCompile(`-?[\d.]+`)
	pdfMove  = regexp.MustCompile(`(-?[\d.]+) (-?[\d.]+) [ml] `)
	pdfCurve = regexp.MustCompile(`(-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) c `)
)

// Every coordinate in the SVG must be the one in the PDF, to a thousandth of a
// mm, for lines, curves, hatches and dashes alike.
func TestSVGAndPDFHoldTheSameNumbers(t *testing.T) {
	s := scene.NewSheet(scene.Letter, "lines")
	for _, it := range Parts().Items { // without letters: bars and halos differ in kind
		if p, ok := it.(scene.Path); ok {
			s.Add(p)
		}
	}
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Themed: true}); err != nil {
		t.Fatal(err)
	}
	var fromSVG []float64
	for _, m := range svgPath.FindAllStringSubmatch(b.String(), -1) {
		for _, n := range svgNum.FindAllString(m[1], -1) {
			fromSVG = append(fromSVG, number(t, n))
		}
	}
	name := writePDF(t, s)
	qdf := strings.TrimSuffix(name, ".pdf") + "-plain.pdf"
	tool(t, "qpdf", "--qdf", "--object-streams=disable", name, qdf)
	plain, err := os.ReadFile(qdf)
	if err != nil {
		t.Fatal(err)
	}
	var fromPDF []float64
	for _, line := range strings.Split(string(plain), "\n") {
		if !strings.HasPrefix(line, "q ") || !strings.HasSuffix(line, " Q") {
			continue
		}
		fromPDF = append(fromPDF, pathNumbers(t, line, s.Size.H)...)
	}
	if len(fromSVG) != len(fromPDF) || len(fromSVG) < 1000 {
		t.Fatalf("%d numbers in the SVG, %d in the PDF", len(fromSVG), len(fromPDF))
	}
	for i := range fromSVG {
		if math.Abs(fromSVG[i]-fromPDF[i]) > 0.0011 {
			t.Fatalf("number %d: %v in the SVG, %v in the PDF", i, fromSVG[i], fromPDF[i])
		}
	}
}

// pathNumbers reads the points of one PDF path back into mm, y down.
func pathNumbers(t *testing.T, line string, height float64) []float64 {
	var out []float64
	for len(line) > 0 {
		m := pdfMove.FindStringSubmatchIndex(line)
		c := pdfCurve.FindStringSubmatchIndex(line)
		best := m
		if c != nil && (m == nil || c[0] < m[0]) {
			best = c
		}
		if best == nil {
			break
		}
		for i := 2; i+1 < len(best); i += 2 {
			v := number(t, line[best[i]:best[i+1]]) * 25.4 / 72
			if (i/2)%2 == 0 {
				v = height - v
			}
			out = append(out, v)
		}
		line = line[best[1]:]
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
