package survey

import "testing"

// Four corners, six readings, no sketch: what runs while a number is being typed.
func BenchmarkAdjustSix(b *testing.B) {
	n := f1.Network(fixedSigma(2))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Adjust(n); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAdjustSixSketched(b *testing.B) {
	n := mustAdjust(b, f1.Network(fixedSigma(2))).Placed()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Adjust(n); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiagnoseSixMisread(b *testing.B) {
	f := f1
	f.BD += 25
	n := f.Network(fixedSigma(2))
	for b.Loop() {
		if _, err := Diagnose(n); err != nil {
			b.Fatal(err)
		}
	}
}

// Hoepke 1980 ex. 35.5: eight points, 27 readings.
func BenchmarkAdjust27(b *testing.B) {
	n := loadNetworks(b)["P4"].network()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Adjust(n); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiagnose27Misread(b *testing.B) {
	n := loadNetworks(b)["P4"].network()
	for i := range n.Obs {
		if n.Obs[i].ID == "1059-75" {
			n.Obs[i].Value = 1789499
		}
	}
	for b.Loop() {
		if _, err := Diagnose(n); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkQuadOptions(b *testing.B) {
	n := mustAdjust(b, f1.Network(fixedSigma(2))).Placed()
	for b.Loop() {
		if _, err := QuadOptions(n, fixedSigma(2), 1, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}
