package resonance

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/inductance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// momentInField returns the magnetic moment in A m² of loops without resistance in
// a uniform axial field of 1 T.
func momentInField(t *testing.T, loops []inductance.Loop) float64 {
	t.Helper()
	n := len(loops)
	l := mat.NewSymDense(n, nil)
	flux := mat.NewVecDense(n, nil)
	for i, a := range loops {
		for j, b := range loops[:i] {
			l.SetSym(i, j, inductance.MutualLoopsUnchecked(a.Radius, b.Radius, a.Height-b.Height))
		}
		l.SetSym(i, i, inductance.SelfLoopUnchecked(a.Radius, a.WireRadius, inductance.Surface))
		flux.SetVec(i, math.Pi*a.Radius*a.Radius)
	}
	var factor mat.Cholesky
	if !factor.Factorize(l) {
		t.Fatal("loops are not positive")
	}
	var current mat.VecDense
	if err := factor.SolveVecTo(&current, flux); err != nil {
		t.Fatal(err)
	}
	moment := 0.0
	for i, a := range loops {
		moment -= current.AtVec(i) * math.Pi * a.Radius * a.Radius
	}
	return moment
}

func TestShortedBodies(t *testing.T) {
	const a = 0.02
	const thin = 1e-4
	for _, test := range []struct {
		name   string
		loops  []inductance.Loop
		want   float64 // A m²
		tol    float64
		source string
	}{
		{"sphere", ShortedSphere(a), -2 * math.Pi * a * a * a / si.Mu0, 1e-3, "Landau and Lifshitz, Electrodynamics of Continuous Media, section 54: -2πa³B/μ₀"},
		{"disc as thick as wide", ShortedDisc(a, 2*a), -2 * math.Pi * a * a * a / si.Mu0, 1e-3, "a sphere"},
		{"thin disc", ShortedDisc(a, 1e-6), -8. / 3 * a * a * a / si.Mu0, 0.06, "Landau and Lifshitz, section 54: -8a³B/3μ₀; resolved down to a/40"},
		{"thin torus", ShortedTorus(a, thin), -math.Pow(math.Pi*a*a, 2) / (si.Mu0 * a * (math.Log(8*a/thin) - 2)), 0.01, "flux over inductance of a thin ring, ln(8R/a) - 2"},
		{"hub", ShortedHub(a, thin), -math.Pow(math.Pi*a*a, 2) / (si.Mu0 * a * (math.Log(8*a/thin) - 2)), 1e-9, "flux over inductance of a thin ring"},
	} {
		within(t, "moment of a "+test.name, momentInField(t, test.loops), test.want, test.tol, test.source)
	}
	// A thicker disc keeps out more, a sphere more than any disc in it.
	last := momentInField(t, ShortedDisc(a, 1e-6))
	for _, thickness := range []float64{0.001, 0.002, 0.006, 0.02} {
		m := momentInField(t, ShortedDisc(a, thickness))
		if !(math.Abs(m) > math.Abs(last)) {
			t.Errorf("disc %g m thick: moment %g A m², thinner %g", thickness, m, last)
		}
		last = m
	}
}

func TestShortedRaisesFrequency(t *testing.T) {
	var s Solver
	c := deskCoil()
	c.Top, c.TopHeight = torus(t, 0.03, 0.01), c.Winding.Top()+0.014
	slotted := solve(t, &s, c)
	c.Shorted = ShortedTorus(0.03, 0.01)
	closed := solve(t, &s, c)
	if r := closed.Frequency[0] / slotted.Frequency[0]; r < 1.001 || r > 1.06 {
		t.Errorf("closing the torus changes the frequency by %+.2f %%, expected +0.1 to +6 %%", 100*(r-1))
	}
	if closed.Bare != slotted.Bare {
		t.Errorf("closing the torus changes the bare frequency from %g to %g Hz", slotted.Bare, closed.Bare)
	}
	// By first-order theory the frequency follows the magnetic energy that the
	// closed body keeps out; the profile must end near the top voltage.
	last := len(closed.Profile.Voltage) - 1
	within(t, "voltage of the last turn", closed.Profile.Voltage[last], slotted.Profile.Voltage[last], 0.002, "slotted torus")

	// The hub of a wire ring is nearly nothing.
	ring := topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19}
	c.Top, c.Shorted = wireRing(t, ring), nil
	open := solve(t, &s, c)
	c.Shorted = ShortedHub(ring.HubDiameter/2+ring.WireDiameter/2, ring.WireDiameter/2)
	soldered := solve(t, &s, c)
	r := soldered.Frequency[0]/open.Frequency[0] - 1
	if r < 0 || r > 2e-3 {
		t.Errorf("soldering the hub changes the frequency by %+.3f %%, expected next to nothing upwards", 100*r)
	}
	t.Logf("closed torus %+.3f %%, soldered hub %+.4f %%", 100*(closed.Frequency[0]/slotted.Frequency[0]-1), 100*r)
}
