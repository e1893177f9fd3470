package experiment

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

func TestApproachLimits(t *testing.T) {
	b := bench(t, nil)
	o := run[*ApproachOutcome](t, b, Approach, Settings{"distance": nearestPlate})
	for i := 1; i < len(o.Frequency); i++ {
		if o.Frequency[i] <= o.Frequency[i-1] {
			t.Errorf("the frequency does not rise as the plate goes from %g to %g m", o.Distance[i-1], o.Distance[i])
		}
	}
	if ratio, ok := o.GradientRatio(); !ok || ratio <= 1 {
		t.Errorf("a plate at %g m leaves the surface gradient at %g of what it was", nearestPlate, ratio)
	}
	b = bench(t, func(d *design.Design) { // a primary would take some of the charge
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
	})
	far := run[*ApproachOutcome](t, b, Approach, Settings{"distance": farthestPlate})
	g, err := b.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	// From a metre away the charge is a point in its middle: that of the winding is what
	// the current loses on its way, that of the top what is left of it.
	wave := run[*WaveOutcome](t, b, StandingWave, nil).Wave
	floor, plate := -b.Design().Room.FloorDepth, g.TopLoad.Top()+farthestPlate
	last := len(wave.Height) - 1
	middle := wave.Current[last] / wave.Current[0] * (g.TopLoad.Centre - g.Winding.Top)
	middle += integrate.Trapezoidal(wave.Height, wave.Current)/wave.Current[0] + g.Winding.Bottom
	want := pointBetweenPlanes(*b.Report().Resonance.FootCapacitance, middle-floor, plate-floor)
	size := g.TopLoad.Top() - g.Winding.Bottom
	near(t, "fall under a plate a metre away", far.Answer(), want, math.Pow(size/farthestPlate, 2), "a point charge between planes; the next term is the square of size over distance")
}

// pointBetweenPlanes returns by how much of itself the frequency falls when an earthed
// plane comes to a height d in m over another, if all charge is at a height a and its
// capacitance is c in F. The images are +q at ±2nd from it and -q at 2nd±2a, so that
//
//	Δf/f = −c/(8πε₀) Σ (1/(2nd−2a) + 1/(2nd+2a) − 1/(nd)),   n = 1, 2, …
func pointBetweenPlanes(c, a, d float64) float64 {
	sum := 0.0
	for n := 1.0; n < 1000; n++ {
		sum += 1/(2*n*d-2*a) + 1/(2*n*d+2*a) - 1/(n*d)
	}
	return c * sum / (8 * math.Pi * si.Epsilon0)
}
