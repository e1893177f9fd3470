package resonance

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
)

// TestValidationCrowding solves a short winding again with boundary elements all
// round every wire and the same inductances.
func TestValidationCrowding(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	for _, test := range []struct {
		turns    int
		ratio    float64 // wire radius over pitch
		mode     float64 // allowed
		gradient float64 // allowed
	}{
		{10, 0.3, 3e-4, 0.05},
		{10, 0.43, 1.5e-3, 0.3},
		{10, 0.47, 3e-3, 0.5},
	} {
		turns, ratio := test.turns, test.ratio
		c := Coil{Winding: Winding{Radius: 0.0125, WireRadius: 0.001 * ratio, Pitch: 0.001, Turns: float64(turns)}}
		var s Solver
		got := solve(t, &s, c)

		var wires []electrostatics.Conductor
		for i := range turns {
			wires = append(wires, electrostatics.TorusConductor(float64(i)*c.Winding.Pitch, electrostatics.Torus{Radius: c.Winding.Radius, Tube: c.Winding.WireRadius}))
		}
		system, err := electrostatics.NewSystem(wires, nil, electrostatics.Refinement{Order: 8, Panels: 2, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		n := system.Nodes()
		potentials := mat.NewDense(n, turns, nil)
		for k := range n {
			_, _, wire := system.Node(k)
			potentials.Set(k, wire, 1)
		}
		if err := system.SolveMany(potentials); err != nil {
			t.Fatal(err)
		}
		capacitance := mat.NewDense(turns, turns, nil)
		for k := range n {
			_, _, wire := system.Node(k)
			for j := range turns {
				capacitance.Set(wire, j, capacitance.At(wire, j)+potentials.At(k, j))
			}
		}
		// 1/ω² are the eigenvalues of M C.
		m := mat.NewDense(turns, turns, nil)
		for a := range turns {
			for b := range turns {
				sum := 0.0
				for i := range turns {
					for j := range turns {
						l := inductance.SelfLoopUnchecked(c.Winding.Radius, c.Winding.WireRadius, inductance.Surface)
						if i != j {
							l = inductance.MutualLoopsUnchecked(c.Winding.Radius, c.Winding.Radius, float64(i-j)*c.Winding.Pitch)
						}
						sum += through(a, i) * through(b, j) * l
					}
				}
				m.Set(a, b, sum)
			}
		}
		var product mat.Dense
		product.Mul(m, capacitance)
		want := largestThree(t, &product)
		for i := range ModeCount {
			f := 1 / (2 * math.Pi * math.Sqrt(want[i]))
			within(t, "mode", got.Frequency[i], f, test.mode, "boundary elements round every wire")
			t.Logf("%d turns, wire %g of the pitch, mode %d: %+.3f %%", turns, 2*ratio, i+1, 100*(got.Frequency[i]/f-1))
		}
		// Charge and field on the last wire, all at the voltages of the first mode.
		volts := make([]float64, turns)
		copy(volts, got.Profile.Voltage)
		solution, err := system.Solve(volts)
		if err != nil {
			t.Fatal(err)
		}
		peak, _, _ := system.PeakGradient(solution.Charge)
		within(t, "charge of the last turn", got.Profile.Charge[turns-1], solution.Total[turns-1], 0.02, "boundary elements")
		largest := 0.0
		for _, g := range got.Profile.Gradient {
			largest = math.Max(largest, g)
		}
		within(t, "gradient of the winding", largest, peak, test.gradient, "boundary elements; ours stops at the dipole")
		t.Logf("gradient %+.1f %%", 100*(largest/peak-1))
	}
}

// through returns the part of a charge's current that passes turn i on its way to
// turn k.
func through(k, i int) float64 {
	switch {
	case i < k:
		return 1
	case i == k:
		return 0.5
	}
	return 0
}

// largestThree returns the largest eigenvalues of a, descending.
func largestThree(t *testing.T, a mat.Matrix) [ModeCount]float64 {
	t.Helper()
	var e mat.Eigen
	if !e.Factorize(a, mat.EigenNone) {
		t.Fatal("no eigenvalues")
	}
	largest := [ModeCount]float64{}
	for _, v := range e.Values(nil) {
		mu := real(v)
		for i := range largest {
			if mu > largest[i] {
				mu, largest[i] = largest[i], mu
			}
		}
	}
	return largest
}
