package pdf

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	_ "image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/demo"
)

func render(t testing.TB, o Options, sheets ...*scene.Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, o, sheets...); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tool runs a program of the project's test set-up on the file. Only on a
// machine outside CI may it be missing.
func tool(t testing.TB, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "" {
			t.Skipf("%s is not installed", name)
		}
		t.Fatalf("%s is not installed: the test command installs poppler-utils and qpdf", name)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

func file(t testing.TB, b []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, b, 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// ruler is a sheet with a black bar of exactly 100 × 10 mm and its corner at
// (50, 40) mm.
func ruler(size scene.Size) *scene.Sheet {
	s := scene.NewSheet(size, "Ruler")
	s.Add(scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 50, Y: 40, W: 100, H: 10}))
	return s
}

// A mark read off a print with a tape must be where the plan says: the scale is
// measured back from the finished file, within 0.1 mm.
func TestScaleMeasuredBack(t *testing.T) {
	const perMM, dpi = 20, 508
	const left, top, wide, high = 45, 35, 110, 20 // the part of the page that is looked at, mm
	for _, size := range []scene.Size{scene.A4, scene.Letter, scene.A3.Landscape(), scene.Custom(300, 123.4)} {
		name := file(t, render(t, Options{}, ruler(size)))
		prefix := strings.TrimSuffix(name, ".pdf")
		dots := func(mm int) string { return strconv.Itoa(mm * perMM) }
		tool(t, "pdftoppm", "-r", strconv.Itoa(dpi), "-x", dots(left), "-y", dots(top), "-W", dots(wide), "-H", dots(high),
			"-gray", "-png", "-singlefile", name, prefix)
		f, err := os.Open(prefix + ".png")
		if err != nil {
			t.Fatal(err)
		}
		img, _, err := image.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		x0, x1 := blackRun(img, func(i int) (int, int) { return i, (45 - top) * perMM }, wide*perMM)
		y0, y1 := blackRun(img, func(i int) (int, int) { return (100 - left) * perMM, i }, high*perMM)
		for what, v := range map[string][2]float64{
			"left": {left + x0/perMM, 50}, "right": {left + x1/perMM, 150}, "top": {top + y0/perMM, 40}, "bottom": {top + y1/perMM, 50},
		} {
			if math.Abs(v[0]-v[1]) > 0.1 {
				t.Errorf("%s %v: %s at %.3f mm, want %.3f", size.Name, size.W, what, v[0], v[1])
			}
		}
	}
}

// blackRun returns the first and one past the last dark dot along a line.
func blackRun(img image.Image, at func(int) (int, int), n int) (float64, float64) {
	first, last := -1, -1
	for i := range n {
		x, y := at(i)
		if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
			if first < 0 {
				first = i
			}
			last = i + 1
		}
	}
	return float64(first), float64(last)
}

func TestPageSizesAndMetadata(t *testing.T) {
	o := Options{Title: "Site sheet – Größe ″", Author: "Example Firm", Subject: "plan", Lang: "de", Date: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)}
	name := file(t, render(t, o, ruler(scene.A4), ruler(scene.Letter), ruler(scene.A3.Landscape())))
	info := tool(t, "pdfinfo", "-l", "3", name)
	for _, want := range []string{
		`Title: +Site sheet – Größe ″\n`, `Author: +Example Firm\n`, `CreationDate: +Wed Nov 25 08:00:00 2026`, `Pages: +3\n`,
		`Page +1 size: +595.28 x 841.89 pts`, // ISO 216: 210 × 297 mm
		`Page +2 size: +612 x 792 pts`,       // 8 1/2 × 11 in
		`Page +3 size: +1190.55 x 841.89 pts`,
	} {
		if !regexp.MustCompile(want).MatchString(info) {
			t.Errorf("want %q in\n%s", want, info)
		}
	}
	if !bytes.Contains(render(t, o, ruler(scene.A4)), []byte("/Lang (de)")) {
		t.Error("no language")
	}
	if b := render(t, Options{Lang: "de) /OpenAction ("}, ruler(scene.A4)); !bytes.Contains(b, []byte("/Lang (deOpenAction)")) {
		t.Error("a language tag broke out of its place")
	}
}

// The paper is searched for a piece, a mark or a customer; what is found must
// read like the paper.
func TestTextIsFound(t *testing.T) {
	name := file(t, render(t, Options{}, demo.Sheets()...))
	text := tool(t, "pdftotext", "-raw", name, "-")
	for _, want := range []string{"Site sheet", "PL5", "22-15/16", "−25-3/8", "191-7/8 [4874]", "0.00256", "Rip after reading 0123456789 ′ ″ × ÷ ≤ ≥ ± Ø µ σ", "Halo over hatch"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not found", want)
		}
	}
	if n := strings.Count(text, "Halo over hatch"); n != 1 {
		t.Errorf("a haloed text is found %d times", n)
	}
	fonts := tool(t, "pdffonts", name)
	if strings.Contains(fonts, " no  ") && !strings.Contains(fonts, "yes no  yes") {
		t.Errorf("a font is not embedded:\n%s", fonts)
	}
	for _, line := range strings.Split(strings.TrimSpace(fonts), "\n")[2:] {
		if f := strings.Fields(line); f[4] != "yes" {
			t.Errorf("font %s is not embedded", f[0])
		}
	}
}

func TestFileIsWellFormed(t *testing.T) {
	for _, layers := range []bool{false, true} {
		name := file(t, render(t, Options{Layers: layers}, demo.Sheets()...))
		if out := tool(t, "qpdf", "--check", name); !strings.Contains(out, "No syntax or stream encoding errors found") {
			t.Error(out)
		}
	}
}

func TestBookmarksAndLayers(t *testing.T) {
	b := render(t, Options{Layers: true}, demo.Plan(scene.A4), demo.Parts())
	name := file(t, b)
	qdf := filepath.Join(t.TempDir(), "q.pdf")
	tool(t, "qpdf", "--qdf", "--object-streams=disable", name, qdf)
	plain, err := os.ReadFile(qdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Demo plan", "Demo parts", "datum", "clips"} {
		if !bytes.Contains(plain, []byte(hexUTF16(want))) && !bytes.Contains(plain, []byte("("+want+")")) && !bytes.Contains(plain, utf16Bytes(want)) {
			t.Errorf("no bookmark or layer %q", want)
		}
	}
	begins, ends := bytes.Count(plain, []byte("BDC\n")), bytes.Count(plain, []byte("EMC\n"))
	if begins != ends || begins == 0 {
		t.Errorf("%d marks begin, %d end", begins, ends)
	}
}

func hexUTF16(s string) string { return "<" + strings.ToLower(utf16Hex(s)) + ">" }

func utf16Bytes(s string) []byte {
	var b []byte
	for _, r := range s {
		b = binary.BigEndian.AppendUint16(b, uint16(r))
	}
	return b
}

// A plan hash on paper is only worth something if the same plan gives the same
// file, on any day.
func TestSameBytesTwice(t *testing.T) {
	a := render(t, Options{Title: "x", Layers: true}, demo.Sheets()...)
	time.Sleep(1100 * time.Millisecond) // a clock in the file would show
	if b := render(t, Options{Title: "x", Layers: true}, demo.Sheets()...); !bytes.Equal(a, b) {
		t.Error("two runs differ")
	}
}

func TestRefusesWhatItCannotDraw(t *testing.T) {
	bad := scene.NewSheet(scene.A4, "x")
	bad.Add(scene.T(30, 30, scene.Body, "☐"))
	var b bytes.Buffer
	if err := Write(&b, Options{}, ruler(scene.A4), bad); err == nil || b.Len() > 0 {
		t.Errorf("wrote %d bytes, error %v", b.Len(), err)
	}
	if err := Write(&b, Options{}); err == nil {
		t.Error("wrote a file without pages")
	}
}

func TestWriterErrorIsReturned(t *testing.T) {
	if err := Write(failing{}, Options{}, ruler(scene.A4)); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}

var errFull = errors.New("disk full")

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }

func BenchmarkWrite(b *testing.B) {
	for _, pages := range []int{1, 40} {
		var sheets []*scene.Sheet
		for range pages {
			sheets = append(sheets, demo.Plan(scene.A4))
		}
		b.Run(fmt.Sprintf("pages=%d", pages), func(b *testing.B) {
			for b.Loop() {
				if err := Write(io.Discard, Options{}, sheets...); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
