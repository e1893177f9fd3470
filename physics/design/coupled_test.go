package design

import (
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/inductance"
)

// The short sum over a winding and its image is the sum over all pairs.
func TestMirrorMutualIsTheFullSum(t *testing.T) {
	for _, turns := range []float64{1, 1.5, 2, 7, 7.25, 40} {
		loops := inductance.Winding{Turns: turns, Radius: 0.0125, Pitch: 0.0003, WireRadius: 0.0001, BaseHeight: 0.01}.Loops()
		want, err := inductance.MutualInductance(loops, inductance.Mirror(loops, 0))
		if err != nil {
			t.Fatal(err)
		}
		if got := mirrorMutual(loops); !scalar.EqualWithinRel(got, want, 1e-12) {
			t.Errorf("mirrorMutual of %g turns = %g H, want %g", turns, got, want)
		}
	}
}
