package design

import (
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestClosePitch(t *testing.T) {
	// Bare AWG 36 is 0.005 in by definition (ASTM B258).
	const awg36 = 0.005 * 0.0254 // m
	for _, test := range []struct {
		name    string
		wire    Wire
		packing float64
		want    float64 // m
	}{
		{"by default", Wire{Gauge: "AWG 36", Insulation: Bare}, 0, 1.03 * awg36},
		{"packing stated", Wire{Gauge: "AWG 36", Insulation: Bare}, 1.1, 1.1 * awg36},
		{"measured over the enamel", Wire{Gauge: "AWG 36", Insulation: Single, OverallDiameter: 0.15e-3}, 1, 0.15e-3},
		{"no such wire", Wire{Gauge: "AWG 99"}, 0, 0},
	} {
		s := Secondary{Wire: test.wire, Packing: test.packing, Pitch: 1}
		if got := s.ClosePitch(); !scalar.EqualWithinAbsOrRel(got, test.want, 1e-15, 1e-12) {
			t.Errorf("%s: ClosePitch() = %g m, want %g m (ASTM B258 times the packing)", test.name, got, test.want)
		}
	}
}
