// Package png draws a scene as a picture without any outside program: for
// previews, for a phone's share sheet, and to look at a drawing in a test.
//
// The result is the same bytes for the same sheet and options.
package png

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	stdpng "image/png"
	"io"
	"math"

	"golang.org/x/image/vector"

	"seamwright/drawing/scene"
)

// Options of a picture.
type Options struct {
	DPI float64 // dots per inch of paper; 0 means 150
}

// maxPixels bounds a picture: A4 at 600 dpi has 35 million.
const maxPixels = 60e6

// Write draws the sheet and writes a PNG that knows its size on paper. It
// returns an error for a sheet that cannot be drawn truly (scene.Validate), for
// a resolution out of range, or the error of w.
func Write(w io.Writer, s *scene.Sheet, o Options) error {
	img, err := Draw(s, o)
	if err != nil {
		return err
	}
	var buf bytes.Buffer
	if err := stdpng.Encode(&buf, img); err != nil {
		return fmt.Errorf("png: %w", err)
	}
	// The size chunk belongs between the header chunk, which ends at byte 33,
	// and the data (PNG specification, third edition, §5.6, from memory).
	const headerEnd = 33
	b := buf.Bytes()
	for _, part := range [][]byte{b[:headerEnd], sizeChunk(o.dpi()), b[headerEnd:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// sizeChunk is the pHYs chunk: pixels per metre both ways.
func sizeChunk(dpi float64) []byte {
	body := []byte("pHYs")
	ppm := uint32(math.Round(dpi / 0.0254))
	body = binary.BigEndian.AppendUint32(body, ppm)
	body = binary.BigEndian.AppendUint32(body, ppm)
	body = append(body, 1)
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)-4))
	out = append(out, body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
}

func (o Options) dpi() float64 {
	if o.DPI == 0 {
		return 150
	}
	return o.DPI
}

// Draw draws the sheet into an image: grey if the sheet has no colour.
func Draw(s *scene.Sheet, o Options) (image.Image, error) {
	if err := scene.Validate(s); err != nil {
		return nil, err
	}
	k := o.dpi() / 25.4
	w, h := math.Round(s.Size.W*k), math.Round(s.Size.H*k)
	if !(o.dpi() >= 10 && o.dpi() <= 2400) || w*h > maxPixels {
		return nil, fmt.Errorf("png: %g dpi gives %.0f × %.0f dots; choose 10 to 2400 dpi and at most 60 million dots", o.dpi(), w, h)
	}
	c := &canvas{k: k, img: image.NewRGBA(image.Rect(0, 0, int(w), int(h)))}
	draw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, draw.Src)
	scene.Draw(s, c)
	return c.result(), nil
}

type canvas struct {
	k       float64 // dots per mm
	img     *image.RGBA
	clips   []*image.Alpha
	raster  vector.Rasterizer
	colored bool
}

func (c *canvas) result() image.Image {
	if c.colored {
		return c.img
	}
	b := c.img.Bounds()
	grey := image.NewGray(b)
	for i := range grey.Pix {
		grey.Pix[i] = c.img.Pix[4*i]
	}
	return grey
}

// Open has nothing to draw.
func (c *canvas) Open(scene.Meta) {}

// Close has nothing to draw.
func (c *canvas) Close() {}

// Clip narrows what can be painted.
func (c *canvas) Clip(area []scene.Seg) {
	mask := image.NewAlpha(c.img.Bounds())
	o := c.outline(area)
	c.paint(o, func(r image.Rectangle) {
		c.raster.Draw(mask, r, image.Opaque, image.Point{})
	})
	if n := len(c.clips); n > 0 {
		multiply(mask, c.clips[n-1], mask.Bounds())
	}
	c.clips = append(c.clips, mask)
}

// Unclip ends the last clip.
func (c *canvas) Unclip() { c.clips = c.clips[:len(c.clips)-1] }

// Shape fills and strokes.
func (c *canvas) Shape(s scene.Shape) {
	if s.Filled {
		c.fill(c.outline(s.Segs), s.Fill)
	}
	if s.Line.Width > 0 {
		c.fill(c.stroke(s.Segs, s.Line, s.Dash), s.Line.Color)
	}
}

// Writing draws a text by its outlines.
func (c *canvas) Writing(w scene.Writing) {
	var segs []scene.Seg
	for _, p := range w.Pieces {
		x := p.X
		for _, r := range p.S {
			g := p.Font.Glyph(r)
			segs = append(segs, onPage(w, scene.GlyphSegs(g, p.Size, scene.Pt{X: x, Y: p.Y}))...)
			x += g.Advance * p.Size
		}
	}
	for _, b := range w.Bars {
		segs = append(segs, onPage(w, scene.Rectangle(scene.Line{}, scene.Fill{}, b).Segs)...)
	}
	if w.Halo > 0 {
		c.fill(c.stroke(segs, scene.Line{Width: 2 * w.Halo, Round: true}, nil), scene.White)
		c.fill(c.outline(segs), scene.White)
	}
	c.fill(c.outline(segs), w.Color)
}

func onPage(w scene.Writing, segs []scene.Seg) []scene.Seg {
	for i := range segs {
		for j, q := range segs[i].P {
			segs[i].P[j] = w.Page(q.X, q.Y)
		}
	}
	return segs
}

func (c *canvas) fill(o outline, col scene.Color) {
	c.colored = c.colored || col.R != col.G || col.G != col.B
	src := image.NewUniform(color.RGBA{col.R, col.G, col.B, 255})
	c.paint(o, func(r image.Rectangle) {
		if len(c.clips) == 0 {
			c.raster.Draw(c.img, r, src, image.Point{})
			return
		}
		mask := image.NewAlpha(r)
		c.raster.Draw(mask, r, image.Opaque, image.Point{})
		multiply(mask, c.clips[len(c.clips)-1], r)
		draw.DrawMask(c.img, r, src, image.Point{}, mask, r.Min, draw.Over)
	})
}

// paint rasterises an outline in the least rectangle that holds it.
func (c *canvas) paint(o outline, put func(r image.Rectangle)) {
	r := o.bounds().Intersect(c.img.Bounds())
	if r.Empty() {
		return
	}
	c.raster.Reset(r.Dx(), r.Dy())
	c.raster.DrawOp = draw.Over
	o.trace(&c.raster, r.Min)
	put(r)
}

// multiply narrows a mask by another inside r.
func multiply(mask, by *image.Alpha, r image.Rectangle) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			i := mask.PixOffset(x, y)
			mask.Pix[i] = uint8(uint32(mask.Pix[i]) * uint32(by.AlphaAt(x, y).A) / 255)
		}
	}
}
