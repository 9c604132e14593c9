package plate

import (
	"fmt"
	"math"
	"sort"
)

// Lever is one change of the layout and what it does, computed linearly: it
// ranks changes, it does not pass a panel.
type Lever struct {
	Name              string
	Deflection        float64 // mm after the change
	Rotation          float64 // degrees after the change
	Rib               float64 // MPa after the change
	Ratio             float64 // rib bending stress after over before
	Width, MaxSpacing float64 // mm of the changed layout
}

// Levers returns half-width modules and halved purlin spacing, each with clips
// wherever seams and purlins meet, the more effective first, judged by the rib
// stress that mostly governs.
func (s *Solver) Levers(c Case) (before Result, levers []Lever, err error) {
	if before, err = s.Solve(c); err != nil {
		return before, nil, err
	}
	c.Lost = nil
	narrow, nc := s.panel.halfWidth(c)
	close := s.panel.halfSpacing()
	for _, v := range []struct {
		name string
		p    Panel
		c    Case
	}{{"modules of half the width", narrow, nc}, {"purlins and clips at half the spacing", close, c}} {
		if v.p.check() != nil {
			continue // a layout outside the accepted range is no lever
		}
		t := &Solver{panel: v.p}
		r, err := t.Solve(v.c)
		if err != nil {
			return before, nil, fmt.Errorf("%s: %w", v.name, err)
		}
		l := Lever{
			Name: v.name, Deflection: r.Deflection().Value, Rotation: r.MaxRotation(),
			Rib: r.Stresses.RibBending.Value, Width: v.p.Width, MaxSpacing: v.p.MaxSpacing(),
		}
		if b := before.Stresses.RibBending.Value; b > 0 {
			l.Ratio = l.Rib / b
		}
		levers = append(levers, l)
	}
	sort.SliceStable(levers, func(i, j int) bool { return levers[i].Rib < levers[j].Rib })
	return before, levers, nil
}

// MaxSpacing returns the largest distance between neighbouring purlins, 0 for a
// single one.
func (p *Panel) MaxSpacing() float64 {
	d := 0.0
	for i := 1; i < len(p.Purlins); i++ {
		d = math.Max(d, p.Purlins[i].X-p.Purlins[i-1].X)
	}
	return d
}

// halfWidth is the panel at half its width under the same pressures.
func (p *Panel) halfWidth(c Case) (Panel, Case) {
	n := *p
	n.Width /= 2
	out := Case{Name: c.Name}
	for _, a := range c.Patches {
		a = p.whole(a)
		a.Y0, a.Y1 = a.Y0/2, a.Y1/2
		out.Patches = append(out.Patches, a)
	}
	return n, out
}

// halfSpacing is the panel with a purlin added in every bay, held like its
// neighbours on the side of the panel's start.
func (p *Panel) halfSpacing() Panel {
	n := *p
	n.Purlins = nil
	for i, u := range p.Purlins {
		if i > 0 {
			v := p.Purlins[i-1]
			n.Purlins = append(n.Purlins, Purlin{(u.X + v.X) / 2, (u.Level + v.Level) / 2})
		}
		n.Purlins = append(n.Purlins, u)
	}
	for side := Left; side <= Right; side++ {
		e := n.edge(side)
		held := append([]Hold(nil), e.Holds...)
		for i := 1; i < len(p.Purlins); i++ {
			x := (p.Purlins[i-1].X + p.Purlins[i].X) / 2
			var on *Hold
			free := true
			for k := range e.Holds {
				if h := &e.Holds[k]; math.Abs(h.X-p.Purlins[i-1].X) <= h.Length/2+1 {
					on = h
				}
				free = free && math.Abs(e.Holds[k].X-x) >= 2
			}
			if on != nil && free {
				h := *on
				h.X = x
				held = append(held, h)
			}
		}
		sort.Slice(held, func(i, j int) bool { return held[i].X < held[j].X })
		e.Holds = held
	}
	return n
}
