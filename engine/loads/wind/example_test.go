package wind_test

import (
	"fmt"

	"seamwright/engine/loads/wind"
)

// An invented patio cover, 20 × 12 ft, free-standing: the uplift on a corner
// clip and on a clip in the field.
func ExampleAnalyse() {
	const ft = 0.3048
	site := wind.Site{
		Standard: wind.ASCE716, Risk: "II", Exposure: wind.ExposureC,
		Speed:      wind.Speed{Value: 115, Unit: wind.MPH, Kind: wind.GustUltimate},
		Topography: wind.Topography{Kind: wind.Flat},
	}
	roof := wind.Roof{
		Kind: wind.Mono, SlopeDeg: 5, MeanHeight: 9 * ft, OpenFraction: wind.Some(1),
		Outline: []wind.Point{{X: 0, Y: 0}, {X: 20 * ft, Y: 0}, {X: 20 * ft, Y: 12 * ft}, {X: 0, Y: 12 * ft}},
	}
	a := wind.Analyse(site, roof)
	area := wind.FastenerArea(23.625/12*ft, 3*ft, 1)
	for _, at := range []wind.Point{{X: 2 * ft, Y: 2 * ft}, {X: 10 * ft, Y: 6 * ft}} {
		p, err := a.Component(wind.Component{ID: "clip", EffectiveArea: area, Points: []wind.Point{at}})
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("zone %s: %.1f psf up, %s\n", p.UpZone, -p.Net.Up.PSF(), p.Level)
	}
	last := a.Velocity.Steps[len(a.Velocity.Steps)-1]
	fmt.Printf("%s = %s = %s = %.2f %s (%s)\n", last.Symbol, last.Equation, last.Substitution(), last.Value, last.Unit, last.Source)
	// Output:
	// zone 3: 95.5 psf up, strength level (ASCE 7 W, factor 1.0 in LRFD)
	// zone 1: 31.8 psf up, strength level (ASCE 7 W, factor 1.0 in LRFD)
	// qh = 0.00256 Kz Kzt Kd Ke V² = 0.00256 0.84888 1 0.85 1 115² = 24.43 psf (ASCE 7-16 26.10.2, Eq. 26.10-1)
}
