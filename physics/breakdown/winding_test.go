package breakdown

import (
	"context"
	"math"
	"testing"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
)

// TestValidationEndWire solves coils again with boundary elements round every wire.
func TestValidationEndWire(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	const pitch = 0.001
	for _, test := range []struct {
		turns  int
		ratio  float64 // wire radius over pitch
		sphere float64 // m, radius of a ball on top; 0: none
		height float64 // m, of its centre over the last turn
	}{
		{10, 0.2, 0, 0},
		{10, 0.43, 0, 0},
		{10, 0.47, 0, 0},
		{20, 0.44, 0, 0},
		{16, 0.44, 0.010, 0.025},
		{16, 0.35, 0.006, 0.008},
	} {
		c := resonance.Coil{Winding: resonance.Winding{Radius: 0.0125, WireRadius: test.ratio * pitch, Pitch: pitch, Turns: float64(test.turns)}}
		var conductors []electrostatics.Conductor
		for i := range test.turns {
			conductors = append(conductors, electrostatics.TorusConductor(float64(i)*pitch, electrostatics.Torus{Radius: c.Winding.Radius, Tube: c.Winding.WireRadius}))
		}
		if test.sphere > 0 {
			var body topload.Body
			if err := topload.SphereBody(&body, test.sphere); err != nil {
				t.Fatal(err)
			}
			c.Top, c.TopHeight = &body, float64(test.turns-1)*pitch+test.height
			conductors = append(conductors, electrostatics.SphereConductor(c.TopHeight, test.sphere))
		}
		var solver resonance.Solver
		m, err := solver.Solve(context.Background(), &c)
		if err != nil {
			t.Fatal(err)
		}
		system, err := electrostatics.NewSystem(conductors, nil, electrostatics.Refinement{Order: 6, Panels: 2, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		volts := append([]float64(nil), m.Profile.Voltage...)
		if c.Top != nil {
			volts = append(volts, 1)
		}
		solution, err := system.Solve(volts)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		nodes := system.Nodes() / system.Panels()
		for p := range system.Panels() {
			if _, _, wire := system.Node(p * nodes); wire != test.turns-1 {
				continue
			}
			for i := range 65 {
				_, z := system.At(p, float64(i)/64)
				if test.ratio > narrowGap && (z-float64(test.turns-1)*pitch)/c.Winding.WireRadius < -facing {
					continue // in the gap to the turn below
				}
				want = math.Max(want, math.Abs(system.Gradient(solution.Charge, p, float64(i)/64)))
			}
		}
		var end EndWire
		got, err := end.Gradient(&c, m)
		if err != nil {
			t.Fatal(err)
		}
		dipole := m.Profile.Gradient[test.turns-1]
		t.Logf("%d turns, wire %g of the pitch, ball %g m: %.4g 1/m, %+.1f %%, by dipoles %+.1f %%", test.turns, 2*test.ratio, test.sphere, want, 100*(got/want-1), 100*(dipole/want-1))
		if limit := map[bool]float64{false: 0.05, true: 0.08}[2*test.ratio > 0.9]; math.Abs(got/want-1) > limit {
			t.Errorf("%d turns, wire %g of the pitch: gradient %.4g 1/m, want %.4g 1/m (boundary elements)", test.turns, 2*test.ratio, got, want)
		}
	}
}
