package combine

import "seamwright/engine/loads/cite"

// Psi are the combination factors of one action in EN 1990 Table A1.1.
type Psi struct{ Combination, Frequent, QuasiPermanent float64 }

// WindPsi returns the factors of wind. EN 1990 Table A1.1, 0.6 read.
func WindPsi() Psi { return Psi{0.6, 0.2, 0} }

// SnowPsi returns the factors of snow: 0.5, 0.2, 0 up to 1000 m; 0.7, 0.5, 0.2 above
// and in Finland, Iceland, Norway and Sweden. Altitude in m.
//
// Source: EN 1990 Table A1.1, from memory; 0.5 for sites up to 1000 m read.
func SnowPsi(altitude float64, nordic bool) Psi {
	if nordic || !(altitude <= 1000) {
		return Psi{0.7, 0.5, 0.2}
	}
	return Psi{0.5, 0.2, 0}
}

// Eurocode returns the rules of EN 1990 with recommended values: STR by (6.10),
// equilibrium, accidental snow, seismic (when the cases hold any), characteristic
// and quasi-permanent. National annexes change the factors.
//
// Category H roof load is not combined with snow or wind (EN 1991-1-1, 3.3.2(1),
// from memory).
//
// Standing: 1.35 G, 1.0 G with 1.5 Q, and ψ0 of wind and snow read in a public
// text; the equilibrium set, accidental, seismic and service rules from memory.
func Eurocode(snow Psi) []Rule {
	b := builder{method: EN, edition: EN1990}
	b.leading("STR", Strength, "1990 Table A1.2(B), (6.10)", cite.Read, 1.35, 1.0, 1.5, snow.Combination)
	b.leading("EQU", Equilibrium, "1990 Table A1.2(A)", cite.Memory, 1.1, 0.9, 1.5, snow.Combination)
	b.add("ACC", Exceptional, "1990 (6.11)", cite.Memory, "no other snow acts with it; ψ2 of wind is 0", d(1), need(Accidental, 1))
	for _, sign := range signs {
		b.add("SEIS "+sign.name+"E", Exceptional, "1990 (6.12)", cite.Memory, "", d(1), need(Seismic, sign.f), may(Snow, snow.QuasiPermanent))
	}
	b.leading("CHAR", Deflection, "1990 (6.14)", cite.Memory, 1, 1, 1, snow.Combination)
	b.add("QP", QuasiPermanent, "1990 (6.16)", cite.Memory, "", d(1), may(Snow, snow.QuasiPermanent))
	return b.rules
}

// leading adds one rule per leading variable action, for the permanent load taken
// heavy and taken light.
func (b *builder) leading(set string, state State, source string, standing cite.Standing, heavy, light, q, psiSnow float64) {
	sides := []struct {
		name string
		g    float64
	}{{"heavy", heavy}, {"light", light}}
	if heavy == light {
		sides = sides[:1]
		sides[0].name = ""
	}
	for _, s := range sides {
		id := set
		if s.name != "" {
			id += " " + s.name
		}
		wind, snow := may(Wind, q*WindPsi().Combination), may(Snow, q*psiSnow)
		if q != 1 {
			wind, snow = wind.made(product(q, WindPsi().Combination)), snow.made(product(q, psiSnow))
		}
		b.add(id+" G", state, source, standing, "", d(s.g))
		b.add(id+" Lr", state, source, standing, "category H is not combined with snow or wind", d(s.g), need(RoofLive, q))
		b.add(id+" S", state, source, standing, "", d(s.g), need(Snow, q), wind)
		b.add(id+" W", state, source, standing, "", d(s.g), need(Wind, q), snow)
	}
}

func product(a, b float64) string { return cite.Number(a) + " × " + cite.Number(b) }
