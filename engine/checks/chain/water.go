package chain

import (
	"fmt"

	"seamwright/engine/checks"
	"seamwright/engine/checks/plate"
	"seamwright/engine/checks/water"
	"seamwright/engine/loads"
	"seamwright/engine/loads/cite"
)

// water checks the slope that is left, ponding and the gutter.
func (r *runner) water() {
	slope := r.in.Layout.Slope
	fs, err := water.SlopeFindings(slope)
	if err == nil {
		for _, f := range fs {
			if f.Level != cite.Stop { // the set-out stops at the supplier's own limit
				r.out.Findings = append(r.out.Findings, loads.Finding(r.in.Plane.Name, f))
			}
		}
	}
	if r.in.Loads == nil || r.sheet == nil {
		return
	}
	r.slopeLeft(slope)
	r.ponding(slope)
	r.gutter()
}

// slopeLeft looks at every bay after years under its own weight on a hot panel.
// The purlins' own sag is not in it.
func (r *runner) slopeLeft(slope float64) {
	sag := 0.0
	hot, err := plate.Condition{TempC: r.gust().TempC, Duration: plate.Permanent}.Factor()
	cold, err2 := r.season().Factor()
	if err != nil || err2 != nil {
		return
	}
	for i := range r.built {
		if b := &r.built[i]; b.down != nil {
			sag = max(sag, b.down.Down.Value*r.in.Loads.Dead.Normal/1000*cold/hot)
		}
	}
	if sag == 0 {
		return
	}
	var bays []water.Bay
	ps := r.in.Layout.Purlins
	for i := 1; i < len(ps); i++ {
		span := (ps[i].Left.V - ps[i-1].Left.V + ps[i].Right.V - ps[i-1].Right.V).MM() / 2
		bays = append(bays, water.Bay{Where: "bay " + ps[i-1].ID + "–" + ps[i].ID, Span: span, Sag: min(sag, span/4)})
	}
	list := water.CheckSlopeLeft(slope, bays)
	if c, ok := checks.Governing(list); ok {
		r.add(c)
	} else {
		r.add(list...)
	}
}

func (r *runner) ponding(slope float64) {
	near, _, err := water.Susceptible(slope, true)
	if err != nil || !near {
		return
	}
	k, err := r.sheet.section.Stiffness()
	f, err2 := plate.Condition{TempC: r.gust().TempC, Duration: plate.Permanent}.Factor()
	if err != nil || err2 != nil {
		return
	}
	p := water.Ponding{Where: "widest bay", Span: r.spacing(), PanelEI: k.Dx * f}
	if span := r.purlinSpan(); span > 0 && r.wood.ok {
		d := r.wood.member.Section
		e := 0.0
		if m := r.wood.member; m.EN != nil {
			e = m.EN.E0mean
		} else if m.NDS != nil {
			e = m.NDS.E * 0.006894757293168361
		}
		p.PurlinSpan, p.PurlinWidth, p.PurlinEI = span, r.spacing(), e*d.Inertia()
	}
	r.add(water.CheckPonding(p))
}

func (r *runner) gutter() {
	rain := r.in.Site.Rain
	if rain == nil {
		r.skip("gutter: no design rain is given; write site.rain: {per_hour: …}")
		return
	}
	eave, run, rise := r.in.Loads.Catchment()
	area, step, err := water.Catchment{Length: eave, Run: run, Rise: rise, Wall: rain.WallArea, Upper: rain.Upper}.Area()
	if err != nil {
		r.add(checks.Refused("water.gutter", "eave gutter", "gutter capacity", "EN 12056-3", err))
		return
	}
	flow, more, err := water.Flow(rain.PerHour.MM(), area)
	if err != nil {
		r.add(checks.Refused("water.gutter", "eave gutter", "gutter capacity", "EN 12056-3", err))
		return
	}
	long := eave * 1000
	if rain.Outlet > 0 {
		long = rain.Outlet.MM()
	}
	var bends []float64
	for _, b := range rain.Bends {
		bends = append(bends, b.Metres())
	}
	if rain.Gutter > 0 {
		r.add(water.CheckGutter("eave gutter", water.Gutter{Diameter: rain.Gutter.MM(), Length: long, Bends: bends}, flow, step, more))
		return
	}
	size, ok, err := water.ChooseHalfRound(flow, long, bends)
	text := fmt.Sprintf("gutter: the design rain brings %.2f l/s; ", flow)
	switch {
	case err != nil:
		text += err.Error()
	case ok:
		text += fmt.Sprintf("a half-round of %.0f mm takes it, none is given", size.Diameter)
	default:
		text += "no half-round up to 150 mm takes it"
	}
	r.skip(text)
}
