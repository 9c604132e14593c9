package screen

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/plan"
)

// mostOptions is how many set-outs stand side by side.
const mostOptions = 4

// setOut lists the way taken and the nearest others that differ to the eye.
func (v *viewer) setOut() {
	pl := v.board.plane
	if pl == nil || pl.Layout == nil {
		return
	}
	out := &SetOut{Rows: []string{"rip left", "rip right", "panels", "edges sit in", "net price"}}
	var picked []plan.Option
	for _, o := range pl.Options {
		if o.Chosen {
			picked = append(picked, o)
		}
	}
	for _, o := range pl.Options {
		if !o.Chosen && len(picked) < mostOptions && !alike(picked, o) {
			picked = append(picked, o)
		}
	}
	for i, o := range picked {
		out.Options = append(out.Options, v.option(o, string(rune('A'+i))))
	}
	if len(v.board.layout.KeepOff) > 0 {
		out.Posts = v.board.layout.KeepOff[0].What
	}
	w := v.job.Wishes
	if w.FirstSeam != nil || w.SetIn != nil || w.Seams != "" && w.Seams != "auto" {
		out.Free = &Act{Name: "Let it choose again", Edits: []Edit{remove("wishes", "first_seam"), remove("wishes", "set_in"), remove("wishes", "seams")}}
	}
	v.out.SetOut = out
}

// alike reports whether an option looks like one already shown.
func alike(have []plan.Option, o plan.Option) bool {
	for _, h := range have {
		if h.Panels == o.Panels && near(h.RipL, o.RipL) && near(h.RipR, o.RipR) && near(h.SetInL, o.SetInL) {
			return true
		}
	}
	return false
}

func near(a, b length.Length) bool { return (a - b).Abs() < 12*length.Millimetre }

func (v *viewer) option(o plan.Option, letter string) Option {
	b := v.board
	faults := o.Faults
	cell := func(l length.Length) string {
		if l <= 0 {
			return "none"
		}
		return b.inches(l)
	}
	price := "not worked out"
	if !o.Cost.IsZero() {
		price = cash(v.plan.Quote.Currency, o.Cost)
	}
	in := b.inches(o.SetInL)
	if o.SetInR != o.SetInL {
		in += ", " + b.inches(o.SetInR)
	}
	out := Option{Letter: letter, Chosen: o.Chosen, Reason: capital(o.Reason), Strip: v.strip(o),
		Cells: []string{cell(o.RipL), cell(o.RipR), fmt.Sprint(o.Panels), in, price},
		Bad:   []bool{faults.Narrow+faults.Unbuildable > 0 && o.RipL <= o.RipR, faults.Narrow+faults.Unbuildable > 0 && o.RipR <= o.RipL, false, false, false}}
	words := map[string]string{"square to the eave": "square to eave", "along the left verge": "along left verge", "along the right verge": "along right verge", "with the least taper at the verges": "least taper"}
	keep := Act{Name: "Keep " + letter, On: o.Chosen, Edits: []Edit{setText(length.Exact(firstSeam(o, b.layout.Pitch)), "wishes", "first_seam")}}
	if o.SetInL == o.SetInR {
		keep.Edits = append(keep.Edits, setText(length.Exact(o.SetInL), "wishes", "set_in"))
	}
	if w, ok := words[o.Direction]; ok {
		keep.Edits = append(keep.Edits, setText(w, "wishes", "seams"))
	}
	out.Keep = keep
	return out
}

// firstSeam is the first seam inside the left verge.
func firstSeam(o plan.Option, pitch length.Length) length.Length {
	if pitch <= 0 {
		return o.Offset
	}
	u := o.Offset % pitch
	if u <= o.SetInL {
		u += pitch
	}
	return u
}

// strip draws an option as a strip across the roof, to scale.
func (v *viewer) strip(o plan.Option) string {
	const w, h = 320.0, 34.0
	b := v.board
	wide := 0.0
	for _, p := range b.layout.Frame {
		wide = math.Max(wide, p.U.MM())
	}
	if wide == 0 {
		return ""
	}
	s := (w - 12) / wide
	var k ink
	k.f(`<svg viewBox="0 0 %s %s" class="strip" aria-hidden="true">`, n(w), n(h))
	k.f(`<rect class="purlin" x="4" y="2" width="%s" height="4"/><rect class="purlin" x="4" y="%s" width="%s" height="4"/>`, n(wide*s+4), n(h-6), n(wide*s+4))
	lo, hi := 6+o.SetInL.MM()*s, 6+(wide-o.SetInR.MM())*s
	k.f(`<rect class="panel" x="%s" y="6" width="%s" height="%s"/>`, n(lo), n(hi-lo), n(h-12))
	pitch := b.layout.Pitch.MM()
	first := firstSeam(o, b.layout.Pitch).MM()
	last := lo
	for u := first; u < wide-o.SetInR.MM() && pitch > 0; u += pitch {
		x := 6 + u*s
		if last == lo && u-o.SetInL.MM() < pitch*0.999 {
			k.f(`<rect class="rip" x="%s" y="6" width="%s" height="%s"/>`, n(lo), n(x-lo), n(h-12))
		}
		k.f(`<path class="seam" d="M%s 6V%sM%s 6V%s"/>`, n(x-1), n(h-6), n(x+1), n(h-6))
		last = x
	}
	if hi-last < pitch*s*0.999 {
		k.f(`<rect class="rip" x="%s" y="6" width="%s" height="%s"/>`, n(last), n(hi-last), n(h-12))
	}
	k.f(`<path class="channel" d="M%s 4V%sM%s 4V%s"/>`, n(lo), n(h-4), n(hi), n(h-4))
	for _, p := range b.layout.KeepOff {
		k.f(`<path class="keepoff" d="M%s 0V%s"/>`, n(6+p.At.U.MM()*s), n(h))
	}
	k.WriteString(`</svg>`)
	return k.String()
}

// sells reports whether a tint is sold.
func sells(tints []catalogue.Tint, name string) bool {
	for _, t := range tints {
		if t.Name == name {
			return true
		}
	}
	return false
}

// cash writes money with its sign, thousands parted.
func cash(currency string, a fmt.Stringer) string {
	s := a.String()
	neg := strings.HasPrefix(s, "-")
	s = strings.TrimPrefix(s, "-")
	whole, cents, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	sign := map[string]string{"USD": "$", "EUR": "€", "GBP": "£"}[currency]
	if sign == "" {
		sign = currency + " "
	}
	if cents != "" {
		whole += "." + cents
	}
	if neg {
		return "−" + sign + whole
	}
	return sign + whole
}
