package screen

import (
	"fmt"
	"math"
	"regexp"
	"strings"
)

// pt is a point of the board, CSS pixels, y down.
type pt struct{ x, y float64 }

func (a pt) add(b pt) pt           { return pt{a.x + b.x, a.y + b.y} }
func (a pt) sub(b pt) pt           { return pt{a.x - b.x, a.y - b.y} }
func (a pt) mul(f float64) pt      { return pt{a.x * f, a.y * f} }
func (a pt) to(b pt, t float64) pt { return pt{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }
func (a pt) len() float64          { return math.Hypot(a.x, a.y) }
func (a pt) unit() pt {
	l := a.len()
	if l == 0 {
		return pt{1, 0}
	}
	return pt{a.x / l, a.y / l}
}

// left is a quarter turn to the left as seen on the board.
func (a pt) left() pt { return pt{a.y, -a.x} }

// ink collects SVG. Colours and pens are the page's, by class.
type ink struct{ strings.Builder }

func (k *ink) f(format string, args ...any) { fmt.Fprintf(k, format, args...) }

func n(x float64) string {
	s := fmt.Sprintf("%.1f", x)
	return strings.TrimSuffix(s, ".0")
}

// path draws a line through points; close joins the ends.
func d(close bool, ps ...pt) string {
	var b strings.Builder
	for i, p := range ps {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(n(p.x) + " " + n(p.y))
	}
	if close {
		b.WriteByte('Z')
	}
	return b.String()
}

func (k *ink) line(class string, ps ...pt) { k.f(`<path class="%s" d="%s"/>`, class, d(false, ps...)) }
func (k *ink) area(class string, ps ...pt) { k.f(`<path class="%s" d="%s"/>`, class, d(true, ps...)) }

func (k *ink) word(class, text string, at pt, size float64, anchor string) {
	k.f(`<text class="%s" x="%s" y="%s" font-size="%s" text-anchor="%s">%s</text>`, class, n(at.x), n(at.y), n(size), anchor, escape(text))
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escaper.Replace(s) }

var fraction = regexp.MustCompile(`^(.*?)\s*(\d+)/(\d+)("?)$`)

// primes puts true primes for the marks of feet and inches.
func primes(s string) string { return strings.NewReplacer("'", "′", `"`, "″").Replace(s) }

// em is about how wide a rune stands in the page's face, in ems.
func em(r rune) float64 {
	switch {
	case r >= '0' && r <= '9':
		return 0.615
	case r == '′':
		return 0.27
	case r == '″':
		return 0.42
	case r == ' ':
		return 0.25
	case r >= 'A' && r <= 'Z', r == 'm', r == 'w':
		return 0.68
	case strings.ContainsRune("iljt.,:;", r):
		return 0.27
	}
	return 0.52
}

func wide(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		w += em(r)
	}
	return w * size
}

// figure is a length ready to be set: what stands before the fraction, the
// fraction on its bar, and the mark after it.
type figure struct{ lead, num, den, tail string }

func setFigure(text string) figure {
	text = primes(text)
	m := fraction.FindStringSubmatch(strings.Replace(text, "″", `"`, 1))
	if m == nil {
		return figure{lead: text}
	}
	return figure{lead: strings.TrimSpace(m[1]), num: m[2], den: m[3], tail: primes(m[4])}
}

const small = 0.66 // of a fraction's digits

func (f figure) width(size float64) float64 {
	w := wide(f.lead, size) + wide(f.tail, size)
	if f.den != "" {
		w += f.bar(size) + 0.13*size
	}
	return w
}

func (f figure) bar(size float64) float64 {
	return math.Max(wide(f.num, size*small), wide(f.den, size*small))
}

// length sets a length about its middle: fractions on a bar, on a ground of
// film that breaks the line under it.
func (k *ink) length(class, text string, at pt, size, turn float64, ground string) float64 {
	f := setFigure(text)
	w := f.width(size)
	k.f(`<g class="%s" transform="translate(%s %s)`, class, n(at.x), n(at.y))
	if turn != 0 {
		k.f(` rotate(%s)`, n(turn))
	}
	k.f(`">`)
	if ground != "" {
		k.f(`<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, ground, n(-w/2-4), n(-size*0.66), n(w+8), n(size*1.32))
	}
	base := size * 0.36
	x := -w / 2
	if f.lead != "" {
		k.f(`<text xml:space="preserve" x="%s" y="%s" font-size="%s">%s</text>`, n(x), n(base), n(size), escape(f.lead))
		x += wide(f.lead, size)
	}
	if f.den != "" {
		b := f.bar(size)
		if f.lead != "" {
			x += 0.07 * size
		}
		mid := x + b/2
		k.f(`<text class="fr" text-anchor="middle" font-size="%s"><tspan x="%s" y="%s">%s</tspan><tspan x="%s" y="%s">%s</tspan></text>`,
			n(size*small), n(mid), n(-size*0.08), f.num, n(mid), n(size*0.6), f.den)
		k.f(`<path class="bar" d="M%s %sh%s"/>`, n(x), n(0.02*size), n(b))
		x += b + 0.06*size
	}
	if f.tail != "" {
		k.f(`<text x="%s" y="%s" font-size="%s">%s</text>`, n(x), n(base), n(size), f.tail)
	}
	k.f(`</g>`)
	return w
}

// upright turns an angle so that text along it does not stand on its head.
func upright(deg float64) float64 {
	for deg > 90 {
		deg -= 180
	}
	for deg <= -90 {
		deg += 180
	}
	return deg
}

func degrees(v pt) float64 { return math.Atan2(v.y, v.x) * 180 / math.Pi }

// dimension draws a dimension between two points, off to one side, with its
// value in the broken line.
func (k *ink) dimension(a, b pt, off pt, text string, size float64) pt {
	k.line("ext", a.add(off.unit().mul(5)), a.add(off).add(off.unit().mul(5)))
	k.line("ext", b.add(off.unit().mul(5)), b.add(off).add(off.unit().mul(5)))
	p, q := a.add(off), b.add(off)
	k.line("dim", p, q)
	for _, e := range []pt{p, q} {
		k.line("tick", e.add(pt{-4, 4}), e.add(pt{4, -4}))
	}
	mid := p.to(q, 0.5)
	k.length("t", text, mid, size, upright(degrees(q.sub(p))), "ground")
	return mid
}
