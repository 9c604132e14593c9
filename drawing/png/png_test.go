package png

import (
	"bytes"
	"encoding/binary"
	"image"
	stdpng "image/png"
	"io"
	"math"
	"testing"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/demo"
)

func pixels(t testing.TB, dpi float64, items ...scene.Item) image.Image {
	t.Helper()
	s := scene.NewSheet(scene.Custom(100, 60), "p")
	s.Add(items...)
	img, err := Draw(s, Options{DPI: dpi})
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// ink sums the black of a picture in mm².
func ink(img image.Image, dpi float64) float64 {
	sum := 0.0
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, _, _, _ := img.At(x, y).RGBA()
			sum += 1 - float64(r)/0xffff
		}
	}
	return sum / (dpi / 25.4) / (dpi / 25.4)
}

// The ink of known shapes must have their area: pens of the right width, mitred
// corners without holes or double paint, round ends, dashes, clips, holes.
func TestInkHasTheRightArea(t *testing.T) {
	square := []scene.Pt{scene.P(20, 20), scene.P(60, 20), scene.P(60, 50), scene.P(20, 50)}
	dash := scene.Pen(0.5).Of(scene.Dashed)
	hole := scene.Polygon(scene.Line{}, scene.Fill{}, scene.P(30, 30), scene.P(30, 40), scene.P(40, 40), scene.P(40, 30))
	cases := []struct {
		name string
		item scene.Item
		want float64
	}{
		{"line", scene.Segment(scene.Pen(0.5), scene.P(10, 10), scene.P(60, 33)), 0.5 * math.Hypot(50, 23)},
		{"round line", scene.Segment(scene.Line{Width: 2, Round: true}, scene.P(10, 10), scene.P(60, 33)), 2*math.Hypot(50, 23) + math.Pi},
		{"mitred square", scene.Polygon(scene.Pen(2), scene.Fill{}, square...), 42*32 - 38*28},
		{"open corner", scene.Polyline(scene.Pen(2), scene.P(20, 20), scene.P(60, 20), scene.P(60, 50)), 41*2 + 31*2 - 4},
		// A mitre of 80 mm would add 80 mm² to the trapezium 2 to 3 mm high.
		{"sharp corner cut off", scene.Polyline(scene.Pen(2), scene.P(20, 20), scene.P(60, 20), scene.P(20, 21)), 100},
		{"circle line", scene.Circle(scene.Pen(1), scene.Fill{}, scene.P(50, 30), 20), math.Pi * (20.5*20.5 - 19.5*19.5)},
		{"disc", scene.Circle(scene.Line{}, scene.Solid(scene.Black), scene.P(50, 30), 20), math.Pi * 400},
		{"hole", scene.Polygon(scene.Line{}, scene.Solid(scene.Black), square...).With(hole), 1200 - 100},
		{"dashes", scene.Segment(dash, scene.P(10, 10), scene.P(90, 10)), 0.5 * 80 * 0.8},
		{"clip", scene.Group{Clip: scene.Circle(scene.Line{}, scene.Fill{}, scene.P(50, 30), 10), Items: scene.Items(
			scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 50, Y: 0, W: 50, H: 60}))}, math.Pi * 50},
	}
	for _, c := range cases {
		const dpi = 254
		if got := ink(pixels(t, dpi, c.item), dpi); math.Abs(got-c.want) > 0.02*c.want {
			t.Errorf("%s: %.2f mm², want %.2f", c.name, got, c.want)
		}
	}
}

// White letters' halo must clear the hatch under a text.
func TestHaloClears(t *testing.T) {
	bg := scene.Rectangle(scene.Line{}, scene.Solid(scene.Black), scene.Rect{X: 10, Y: 10, W: 80, H: 40})
	img := pixels(t, 254, bg, scene.T(50, 30, scene.Banner.At(20), "l").Mid().Amid().Haloed())
	x := img.Bounds().Dx() / 2
	edge := 0
	for i := 1; i < 60; i++ { // from the stem of the l outwards: black, white, black
		a, _, _, _ := img.At(x+i-1, 300).RGBA()
		b, _, _, _ := img.At(x+i, 300).RGBA()
		if (a < 0x8000) != (b < 0x8000) {
			edge++
		}
	}
	if edge != 2 {
		t.Errorf("%d edges beside the stem, want 2", edge)
	}
}

func TestFileKnowsItsSize(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, demo.Plan(scene.A4), Options{DPI: 110}); err != nil {
		t.Fatal(err)
	}
	i := bytes.Index(b.Bytes(), []byte("pHYs"))
	if i < 0 || binary.BigEndian.Uint32(b.Bytes()[i+4:]) != 4331 { // 110 / 0.0254
		t.Error("no physical size")
	}
	img, err := stdpng.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Bounds().Size(); got != image.Pt(909, 1286) {
		t.Errorf("%v dots", got)
	}
	if _, grey := img.(*image.Gray); !grey {
		t.Error("a black and white sheet takes the room of a coloured one")
	}
}

func TestColourIsKept(t *testing.T) {
	img := pixels(t, 100, scene.Rectangle(scene.Line{}, scene.Solid(scene.Color{R: 200, G: 30, B: 10}), scene.Rect{W: 100, H: 60}))
	if r, g, b, _ := img.At(50, 50).RGBA(); r>>8 != 200 || g>>8 != 30 || b>>8 != 10 {
		t.Errorf("%d %d %d", r>>8, g>>8, b>>8)
	}
}

func TestSameBytesTwice(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []io.Writer{&a, &b} {
		if err := Write(w, demo.Parts(), Options{DPI: 100}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two runs differ")
	}
}

func TestRefusesWhatItCannotDraw(t *testing.T) {
	bad := scene.NewSheet(scene.A4, "x")
	bad.Add(scene.T(30, 30, scene.Body, "☐"))
	for _, c := range []struct {
		s   *scene.Sheet
		dpi float64
	}{{bad, 0}, {demo.Parts(), 5}, {demo.Parts(), 2000}, {demo.Parts(), math.NaN()}} {
		var b bytes.Buffer
		if err := Write(&b, c.s, Options{DPI: c.dpi}); err == nil || b.Len() > 0 {
			t.Errorf("dpi %v: wrote %d bytes, error %v", c.dpi, b.Len(), err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	s := demo.Plan(scene.A4)
	for b.Loop() {
		if err := Write(io.Discard, s, Options{DPI: 110}); err != nil {
			b.Fatal(err)
		}
	}
}
