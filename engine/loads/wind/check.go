package wind

import (
	"fmt"
	"math"

	"seamwright/engine/loads/cite"
)

// Plausible wind speeds. They decide only whether a question is asked; no
// value is changed. Limits from memory: ultimate gusts mapped by ASCE 7 start
// near 85 mph and reach about 200; EN basic velocities run from about 20 to 36
// m/s. Outside the wide limits the figure cannot be what it is said to be.
const (
	gustLowMPH, gustHighMPH         = 85, 200
	gustNeverBelow, gustNeverAbove  = 40, 300
	meanLowMS, meanHighMS           = 18, 40
	meanNeverBelow, meanNeverAbove  = 8, 65
	tallForLightRoofM, heightLimitM = 12, 100
)

type checker struct{ findings []cite.Finding }

func (c *checker) stop(code, what, why, source, do string) {
	c.findings = append(c.findings, cite.Finding{Level: cite.Stop, Code: code, What: what, Why: why, Source: source, Do: do})
}

func (c *checker) warn(code, what, why, source, do string) {
	c.findings = append(c.findings, cite.Finding{Level: cite.Warn, Code: code, What: what, Why: why, Source: source, Do: do})
}

func (c *checker) note(code, what, why, source, do string) {
	c.findings = append(c.findings, cite.Finding{Level: cite.Note, Code: code, What: what, Why: why, Source: source, Do: do})
}

// checkSite lists everything wrong with the site at once.
func checkSite(s Site) []cite.Finding {
	c := &checker{}
	switch s.Standard {
	case ASCE716, ASCE722:
		c.speed(s, GustUltimate)
		c.asceSite(s)
	case EN:
		c.speed(s, TenMinute)
		c.enSite(s)
	default:
		c.stop("wind-standard", fmt.Sprintf("wind standard %q is not built in", string(s.Standard)),
			"coefficients and wind speed belong to one standard and edition", "",
			"choose ASCE 7-16, ASCE 7-22 or EN 1991-1-4:2005+A1:2010, as adopted where the roof stands")
	}
	return c.findings
}

func (c *checker) speed(s Site, want SpeedKind) {
	ms, known := s.Speed.metresPerSecond()
	switch {
	case !known:
		c.stop("wind-speed-unit", fmt.Sprintf("the wind speed has the unit %q", string(s.Speed.Unit)),
			"a speed without its unit can be wrong by a factor of 2.2", "", "give the speed in mph, m/s or km/h")
		return
	case !positive(ms):
		c.stop("wind-speed", fmt.Sprintf("the wind speed is %v", s.Speed.Value), "it has to be a number above zero", "",
			"enter the speed read from the map of "+string(s.Standard))
		return
	case s.Speed.Kind != want:
		c.wrongKind(s, want, ms)
		return
	}
	v, unit, low, high, least, most := ms/msPerMPH, "mph", gustLowMPH, gustHighMPH, gustNeverBelow, gustNeverAbove
	source := "ASCE 7 Figs 26.5-1, 26.5-2 (limits from memory)"
	if want == TenMinute {
		v, unit, low, high, least, most = ms, "m/s", meanLowMS, meanHighMS, meanNeverBelow, meanNeverAbove
		source = "EN 1991-1-4 4.2 (limits from memory)"
	}
	what := fmt.Sprintf("%.4g %s is an unusual %s", v, unit, want)
	why := fmt.Sprintf("speeds of this kind usually lie between %d and %d %s", low, high, unit)
	switch {
	case v < float64(least) || v > float64(most):
		c.stop("wind-speed-implausible", what, why, source, "check the number, its unit and what it means; it is not used")
	case v < float64(low) && want == GustUltimate:
		c.warn("wind-speed-low", what+"; it looks like a nominal speed or a 10-minute mean", why, source,
			fmt.Sprintf("check the map; a nominal gust of %.4g mph would be %.4g mph ultimate", v, v/math.Sqrt(0.6)))
	case v > float64(high) && want == TenMinute:
		c.warn("wind-speed-high", what+"; it looks like a gust speed or km/h", why, source, "check the National Annex map: v_b,0 is a 10-minute mean in m/s")
	case v < float64(low) || v > float64(high):
		c.warn("wind-speed-unusual", what, why, source, "check the number and its unit")
	}
}

func (c *checker) wrongKind(s Site, want SpeedKind, ms float64) {
	do := "enter the speed that the standard asks for; a gust and a 10-minute mean are not converted here"
	if s.Speed.Kind == GustNominal && want == GustUltimate {
		v := ms / msPerMPH
		do = fmt.Sprintf("enter the ultimate speed; %.4g mph nominal corresponds to %.4g mph ultimate (V_asd = V √0.6, from memory)", v, v/math.Sqrt(0.6))
	}
	kind := string(s.Speed.Kind)
	if kind == "" {
		kind = "not stated"
	}
	c.stop("wind-speed-kind", fmt.Sprintf("the kind of wind speed is %s; %s needs %s", kind, s.Standard, want),
		"the same storm has different figures in different conventions", speedSource(want), do)
}

func speedSource(k SpeedKind) string {
	if k == TenMinute {
		return "EN 1991-1-4 4.2"
	}
	return "ASCE 7 26.5"
}

func (c *checker) asceSite(s Site) {
	if _, ok := editions[s.Standard].exposure[s.Exposure]; !ok {
		c.stop("wind-exposure", fmt.Sprintf("exposure category is %q", string(s.Exposure)),
			"between B and D the pressure on a low roof differs by a factor of 1.8", "ASCE 7 26.7",
			"choose B (suburb, wood), C (open country) or D (open water); when in doubt C, or D within reach of the shore")
	}
	if _, ok := systems[s.equations()]; !ok {
		c.stop("wind-equations", fmt.Sprintf("equation form %q is unknown", string(s.Equations)), "", "ASCE 7 Eq. 26.10-1", `use "customary" or "SI"`)
	}
	switch s.Risk {
	case "I", "II", "III", "IV":
	case "":
		c.warn("wind-risk", "no risk category is stated", "the mapped speed depends on it", "ASCE 7 Table 1.5-1, 26.5", "state the risk category the speed was read for")
	default:
		c.stop("wind-risk", fmt.Sprintf("risk category %q", s.Risk), "the categories are I, II, III and IV", "ASCE 7 Table 1.5-1", "choose I, II, III or IV")
	}
	if s.Elevation.Set && !(s.Elevation.Value >= -500 && s.Elevation.Value <= 9000) {
		c.stop("wind-elevation", fmt.Sprintf("ground elevation is %v m", s.Elevation.Value), "it has to lie between -500 and 9000 m", "ASCE 7 26.9", "correct it, or leave it out: K_e is then 1.0")
	}
	c.topography(s, "ASCE 7 26.8, Fig. 26.8-1")
}

func (c *checker) topography(s Site, source string) {
	t := s.Topography
	switch t.Kind {
	case Flat:
	case FactorGiven:
		if !finite(t.Factor) || t.Factor < 1 || t.Factor > 4 {
			c.stop("wind-topography", fmt.Sprintf("the topographic factor is %v", t.Factor), "it lies between 1 and 4; shelter behind a hill is not taken", source, "correct the factor")
		}
	case Ridge2D, Escarpment2D, Hill3D:
		if s.Standard == EN {
			c.stop("wind-topography", "the shape of the hill was given", "the orography procedure of EN 1991-1-4 Annex A.3 is not built in", "EN 1991-1-4 4.3.3, A.3", "enter the factor c_o itself")
			return
		}
		if !positive(t.Height) || !positive(t.HalfLength) || !finite(t.Distance) {
			c.stop("wind-topography", fmt.Sprintf("the %s has height %v m, half length %v m, distance %v m", t.Kind, t.Height, t.HalfLength, t.Distance),
				"height and half length have to be above zero", source, "measure H, L_h and x on a map, or enter K_zt")
		}
	default:
		c.stop("wind-topography", "nothing is said about hills, ridges and escarpments", "on a crest the pressure can double; level ground is never assumed", source,
			"say that the site is not on such a feature, or describe it")
	}
}

func (c *checker) enSite(s Site) {
	n := s.National
	if n.Name == "" {
		c.stop("wind-annex", "no National Annex is named", "the annex changes wind speed, terrain rules and factors", "EN 1991-1-4 foreword",
			`name the annex and its values, or say "recommended values"`)
	}
	for _, p := range []struct {
		name      string
		v         float64
		low, high float64
		clause    string
	}{
		{"air density ρ, kg/m³", n.AirDensity, 0.9, 1.4, "4.5(1)"},
		{"directional factor c_dir", n.CDir, 0.5, 1.5, "4.2(2)"},
		{"season factor c_season", n.CSeason, 0.5, 1.5, "4.2(2)"},
		{"turbulence factor k_I", n.KTurbulence, 0.5, 2, "4.4(1)"},
		{"return period, years", n.ReturnPeriod, 1.01, 10000, "4.2(2)P"},
		{"shape parameter K", n.ShapeK, 0.05, 0.5, "4.2(2)P"},
		{"exponent n", n.ExponentN, 0.3, 1.1, "4.2(2)P"},
		{"structural factor c_s c_d", n.CsCd, 0.8, 2, "6.2"},
	} {
		if !finite(p.v) || p.v < p.low || p.v > p.high {
			c.stop("wind-national-value", fmt.Sprintf("%s is %v", p.name, p.v), fmt.Sprintf("it has to lie between %g and %g", p.low, p.high),
				"EN 1991-1-4 "+p.clause, "take the value of the National Annex or the recommended one")
		}
	}
	c.enTerrain(s)
	if w := n.WallCanopy; w.Set && (!finite(w.Down) || !finite(w.Up) || w.Down < 0 || w.Up > 0 || w.Down > 10 || w.Up < -10 || w.Source == "") {
		c.stop("wind-wall-canopy", fmt.Sprintf("the national wall-canopy coefficients are %v and %v, source %q", w.Down, w.Up, w.Source),
			"they need a downward value from 0 to 10, an upward value from -10 to 0, and a clause", "", "correct them or leave them out")
	}
	c.topography(s, "EN 1991-1-4 4.3.3")
}

func (c *checker) enTerrain(s Site) {
	n := s.National
	if _, ok := terrainRows[s.Terrain]; !ok && !(n.Z0.Set && n.ZMin.Set) {
		c.stop("wind-terrain", fmt.Sprintf("terrain category is %q", string(s.Terrain)), "from open sea to town the pressure on a low roof halves",
			"EN 1991-1-4 Table 4.1", "choose 0, I, II, III or IV, or give z0 and z_min of the annex")
	}
	if n.Z0.Set && !(n.Z0.Value >= 1e-4 && n.Z0.Value <= 5) {
		c.stop("wind-terrain", fmt.Sprintf("z0 is %v m", n.Z0.Value), "it has to lie between 0.0001 and 5 m", "EN 1991-1-4 Table 4.1", "correct z0")
	}
	z0, zmin := s.terrainValues()
	if n.ZMin.Set && !(zmin <= 200 && zmin > z0*1.5) {
		c.stop("wind-terrain", fmt.Sprintf("z_min is %v m", n.ZMin.Value), "it has to lie well above z0 and not above 200 m", "EN 1991-1-4 Table 4.1", "correct z_min")
	}
}

// checkRoof lists everything wrong with the roof. The outline is nil when the
// geometry does not allow zones to be laid out.
func checkRoof(s Site, r Roof) (outline []Point, findings []cite.Finding) {
	c := &checker{}
	if r.Kind != Mono && r.Kind != Pitched && r.Kind != Troughed {
		c.stop("wind-roof-kind", fmt.Sprintf("roof shape %q", string(r.Kind)), "tables exist for monoslope, pitched and troughed roofs", "", "choose one of the three")
	}
	if !finite(r.SlopeDeg) || r.SlopeDeg < 0 || r.SlopeDeg >= 90 {
		c.stop("wind-slope", fmt.Sprintf("the roof slope is %v degrees", r.SlopeDeg), "it has to be a number from 0 to below 90", "", "measure rise and run again")
	}
	if !positive(r.MeanHeight) || r.MeanHeight > heightLimitM {
		c.stop("wind-height", fmt.Sprintf("the mean roof height is %v m", r.MeanHeight), fmt.Sprintf("it has to lie between 0 and %d m", heightLimitM), "", "enter the height above ground")
	} else if r.MeanHeight > tallForLightRoofM {
		c.warn("wind-height-unusual", fmt.Sprintf("the mean roof height is %.4g m", r.MeanHeight), "a light roof is rarely that high", "judgement, no clause", "check the unit")
	}
	if r.TopHeight.Set && !(r.TopHeight.Value >= r.MeanHeight && r.TopHeight.Value <= heightLimitM) {
		c.stop("wind-height", fmt.Sprintf("the top of the roof is at %v m", r.TopHeight.Value), "it cannot lie below the mean height", "EN 1991-1-4 7.3(8)", "correct it or leave it out")
	}
	clean, err := cleanOutline(r.Outline)
	if err != nil {
		c.stop("wind-outline", err.Error(), "zones and effective areas follow from the outline", "", "give the corners in order, once each")
	} else {
		outline = clean
		c.ridge(r, extent(clean))
	}
	if cite.Worst(c.findings) == cite.Stop {
		outline = nil
	}
	c.openness(s, r)
	c.bays(s, r)
	if r.Surface != "" {
		if _, ok := frictionRows[r.Surface]; !ok {
			c.stop("wind-surface", fmt.Sprintf("surface %q", string(r.Surface)), "the classes are smooth, rough and very rough", "EN 1991-1-4 Table 7.10", "choose one; standing seams across the wind are very rough")
		}
	}
	return outline, c.findings
}

func (c *checker) ridge(r Roof, b box) {
	if r.Kind != Pitched && r.Kind != Troughed {
		return
	}
	d := b.depth()
	if !finite(r.RidgeY) || r.RidgeY <= b.min.Y+0.02*d || r.RidgeY >= b.max.Y-0.02*d {
		c.stop("wind-ridge", fmt.Sprintf("the ridge or trough line is at Y = %v m", r.RidgeY),
			fmt.Sprintf("the roof reaches from %.4g to %.4g m and the line has to lie between", b.min.Y, b.max.Y), "", "give RidgeY in roof coordinates, or call the roof monoslope")
		return
	}
	if off := math.Abs(r.RidgeY-(b.min.Y+b.max.Y)/2) / d; off > 0.05 {
		c.warn("wind-ridge-offset", fmt.Sprintf("the ridge or trough lies off the middle by %.0f %% of the depth", 100*off),
			"the figures are drawn for two equal slopes", "judgement, no clause", "have an engineer look at the unequal slopes")
	}
}

func (c *checker) openness(s Site, r Roof) {
	if b := r.Blockage; b.Set && !(b.Value >= 0 && b.Value <= 1) {
		c.stop("wind-blockage", fmt.Sprintf("the blockage beneath the roof is %v", b.Value), "it is a fraction from 0 (empty) to 1 (full)", "ASCE 7 27.3.2; EN 1991-1-4 7.3(2)", "correct it, or leave it out: the worst is then taken")
	} else if b.Set && r.Attached == nil {
		c.note("wind-blockage-declared", fmt.Sprintf("not more than %.0f %% of the space beneath the roof may ever be filled", 100*b.Value),
			"the pressures rely on it", "ASCE 7 27.3.2; EN 1991-1-4 7.3(2)", "tell the customer, or leave the blockage out and design for the worst")
	}
	o := r.OpenFraction
	switch {
	case !o.Set:
		c.note("wind-open-assumed", "the sides are taken as open, 80 % or more of every wall line", "the free-roof coefficients hold for open buildings only", "ASCE 7 26.2; EN 1991-1-4 7.3(1)", "say what closes the sides: screens, privacy panels, curtains, stored goods")
	case !(o.Value >= 0 && o.Value <= 1):
		c.stop("wind-open", fmt.Sprintf("the open share of the walls is %v", o.Value), "it is a fraction from 0 to 1", "ASCE 7 26.2", "correct it")
	case o.Value < 0.8:
		c.stop("wind-not-open", fmt.Sprintf("the least open wall line is %.0f %% open", 100*o.Value), "below 80 % this is no open building and the free-roof coefficients do not apply", "ASCE 7 26.2; EN 1991-1-4 7.3(1)", "open the sides, or refer to an engineer")
	}
	if h := r.Attached; h != nil {
		c.house(s, r, h)
	}
}

func (c *checker) house(s Site, r Roof, h *House) {
	if h.ContinuesRoof {
		c.stop("wind-overhang", "the cover carries on the plane of the house roof", "it is then a roof overhang: roof-zone suction on top and wall pressure below", "ASCE 7-16 30.10; ASCE 7-22 30.7", "refer to an engineer; overhang provisions are not built in")
	}
	if s.Standard == EN {
		return
	}
	if !positive(h.EaveHeight) || !positive(h.MeanRoofHeight) || h.MeanRoofHeight < h.EaveHeight || h.MeanRoofHeight > 1000 {
		c.stop("wind-house-height", fmt.Sprintf("the house has eave height %v m and mean roof height %v m", h.EaveHeight, h.MeanRoofHeight),
			"an attached canopy is loaded by the velocity pressure at the mean roof height of the house", "ASCE 7-16 30.11; ASCE 7-22 30.9", "measure both; the mean roof height is not below the eave")
	}
}

func (c *checker) bays(s Site, r Roof) {
	if r.Bays == 0 && r.Bay == 0 {
		return
	}
	if r.Bays < 1 || r.Bay < 1 || r.Bay > (r.Bays+1)/2 {
		c.stop("wind-bays", fmt.Sprintf("bay %d of %d", r.Bay, r.Bays), "bays count from the nearer end, so the number runs from 1 to half of all", "EN 1991-1-4 Table 7.8", "correct bay and bays, or leave both out for a single roof")
	} else if r.Bays > 1 && s.Standard == EN && r.Kind == Mono {
		c.stop("wind-bays", "several monopitch bays", "the multibay factors are given for duopitch canopies", "EN 1991-1-4 7.3(7), Table 7.8", "leave the bays out: the single roof is then taken, without reduction")
	}
}
