package scene

// Placer finds free places for labels. It knows every text and line it was
// given; finding a place looks only at what lies near.
type Placer struct {
	x     *index
	field Rect
}

// NewPlacer starts with everything that is on the sheet. Texts must stay in the
// sheet's margins.
func NewPlacer(s *Sheet) *Placer {
	p := &Placer{x: newIndex(), field: s.Field()}
	Draw(s, p.x)
	return p
}

// Block adds items that later labels must keep clear of.
func (p *Placer) Block(items ...Item) {
	for _, it := range items {
		it.draw(p.x, Identity)
	}
}

// Free reports whether a text would stand clear: inside the margins, off every
// other text, and off every line unless it has a halo.
func (p *Placer) Free(t Text) bool {
	b := t.Box()
	if leaves(b.Bounds(), p.field) > 0 || len(p.x.hits(b, -1)) > 0 {
		return false
	}
	_, crossed := p.x.crossing(b, p.x.order+1, t.Style.Halo > 0)
	return !crossed
}

// Place returns the first candidate that stands clear, and keeps its place for
// it. If none does, it tries the candidates again with a halo over lines; if
// that fails too it returns the first candidate, keeps nothing, and false:
// Check will name the collision.
func (p *Placer) Place(candidates ...Text) (Text, bool) {
	for _, halo := range []bool{false, true} {
		for _, t := range candidates {
			if halo {
				t = t.Haloed()
			}
			if p.Free(t) {
				p.Block(t)
				return t, true
			}
		}
	}
	if len(candidates) == 0 {
		return Text{}, false
	}
	return candidates[0], false
}

// Around gives the usual candidates for the label of a point: right, above,
// left, below and the corners between, at a distance in mm, then the same
// twice and three times as far. The text's own place is not among them.
func Around(t Text, p Pt, d float64) []Text {
	t.V, t.Rotate = Middle, 0
	cap2 := 0.35 * t.Style.Size
	var out []Text
	for k := 1.0; k <= 3; k++ {
		for _, dir := range [8]float64{0, 90, 180, 270, 45, 135, 225, 315} {
			v := Dir(dir)
			c := t.Move(p.Add(v.Mul(d * k)))
			switch {
			case v.X > 0.1:
				c.H = Left
			case v.X < -0.1:
				c.H = Right
			default:
				c.H = Centre
			}
			c.At.Y += v.Y * cap2
			out = append(out, c)
		}
	}
	return out
}
