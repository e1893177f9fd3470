package topload

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestValidationWireRing(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with reference cases")
	}
	for _, test := range []struct {
		name                  string
		resolution            Resolution
		capacitance, gradient float64 // relative error allowed
	}{
		{"quick", Resolution{}, 5e-5, 0.006},
		{"fine", Fine, 1e-5, 0.0025},
	} {
		solver := RingSolver{Resolution: test.resolution}
		gradients := ringCases(t, "wire_ring_max_field_per_volt")
		for i, c := range ringCases(t, "wire_ring_capacitance") {
			got, err := solver.Solve(c.Ring)
			if err != nil {
				t.Errorf("%s: %s: %v", test.name, c.ID, err)
				continue
			}
			off, offGradient := got.Capacitance/c.Value-1, got.PeakGradient/gradients[i].Value-1
			t.Logf("%s: %s: %d turns, gap %.2f d: C %+.4f %%, E %+.3f %%, residual %.0e, condition %.0e", test.name, c.ID, c.Ring.Turns, c.GapRatio, 100*off, 100*offGradient, got.Residual, got.Condition)
			if math.Abs(off) > test.capacitance {
				t.Errorf("%s: %s: capacitance %.7g F, want %.7g F (interior charges)", test.name, c.ID, got.Capacitance, c.Value)
			}
			if math.Abs(offGradient) > test.gradient {
				t.Errorf("%s: %s: gradient %.6g 1/m, want %.6g 1/m (interior charges)", test.name, c.ID, got.PeakGradient, gradients[i].Value)
			}
		}
	}
}

// TestOneTurn: a ring of one turn is a torus, which has an exact answer.
func TestOneTurn(t *testing.T) {
	for _, former := range []float64{2e-3, 5e-3, 20e-3, 100e-3} {
		r := Ring{WireDiameter: 1e-3, FormerDiameter: former, HubDiameter: 3e-3, Turns: 1}
		torus := electrostatics.Torus{Radius: r.TurnRadius(), Tube: r.WireDiameter / 2}
		want, err := torus.Capacitance()
		if err != nil {
			t.Fatal(err)
		}
		// A torus's own charge is that of the wire, its peak on the outside.
		wantGradient, err := torus.PeakGradient()
		if err != nil {
			t.Fatal(err)
		}
		for _, test := range []struct {
			resolution Resolution
			tol        float64
			tolPeak    float64
		}{{Quick, 5e-6, 1e-3}, {Fine, 1e-9, 1e-4}} {
			solver := RingSolver{Resolution: test.resolution}
			got, err := solver.Solve(r)
			if err != nil || !scalar.EqualWithinRel(got.Capacitance, want, test.tol) {
				t.Errorf("one turn on %g m: %.10g F, %v, want %.10g F (torus by toroidal functions)", former, got.Capacitance, err, want)
			}
			if !scalar.EqualWithinRel(got.PeakGradient, wantGradient, test.tolPeak) {
				t.Errorf("one turn on %g m: gradient %.6g 1/m, want %.6g 1/m (torus by toroidal functions)", former, got.PeakGradient, wantGradient)
			}
		}
	}
}

// TestRingConverges: rings far outside the reference cases, Quick against Fine
// and Fine against finer.
func TestRingConverges(t *testing.T) {
	finer := Resolution{Harmonics: 18, Filaments: 12, Angles: 40, Surface: 24, Near: 10}
	solvers := [3]RingSolver{{Resolution: Quick}, {Resolution: Fine}, {Resolution: finer}}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 40 {
		r := randomRing(rng)
		var got [3]RingSolution
		for i := range solvers {
			var err error
			if got[i], err = solvers[i].Solve(r); err != nil {
				t.Fatalf("%+v: %v", r, err)
			}
		}
		if !scalar.EqualWithinRel(got[0].Capacitance, got[1].Capacitance, 7e-4) || !scalar.EqualWithinRel(got[1].Capacitance, got[2].Capacitance, 1e-4) {
			t.Errorf("%+v: capacitance %.7g, %.7g, %.7g F with rising resolution", r, got[0].Capacitance, got[1].Capacitance, got[2].Capacitance)
		}
		// Only rings of far more turns than anyone winds need Fine for the gradient.
		tol := 0.015
		if r.Turns > 80 {
			tol = 0.03
		}
		if !scalar.EqualWithinRel(got[0].PeakGradient, got[1].PeakGradient, tol) || !scalar.EqualWithinRel(got[1].PeakGradient, got[2].PeakGradient, 0.005) {
			t.Errorf("%+v: gradient %.6g, %.6g, %.6g 1/m with rising resolution", r, got[0].PeakGradient, got[1].PeakGradient, got[2].PeakGradient)
		}
		if got[0].Residual > 4e-3 || got[1].Residual > 1e-3 || got[2].Residual > 3e-4 {
			t.Errorf("%+v: residual %.1g, %.1g, %.1g of 1 V", r, got[0].Residual, got[1].Residual, got[2].Residual)
		}
	}
}

// randomRing returns a ring that can be built: former 2 to 100 wire diameters,
// hub 0.3 to 60, half of them with all the turns that fit.
func randomRing(rng *rand.Rand) Ring {
	r := Ring{WireDiameter: 1e-3}
	r.FormerDiameter = r.WireDiameter * 2 * math.Pow(50, rng.Float64())
	r.HubDiameter = r.WireDiameter * 0.3 * math.Pow(200, rng.Float64())
	r.Turns = r.MaxTurns()
	if rng.IntN(2) == 0 {
		r.Turns = 1 + rng.IntN(r.Turns)
	}
	return r
}

func TestRingCharge(t *testing.T) {
	r := ringCases(t, "wire_ring_capacitance")[4].Ring
	var solver RingSolver
	got, err := solver.Solve(r)
	if err != nil {
		t.Fatal(err)
	}
	const n = 64
	line, surface := 0.0, 0.0
	for i := range n {
		theta := 2 * math.Pi * float64(i) / n
		line += solver.LineCharge(theta) * r.TurnRadius() * 2 * math.Pi / n * float64(r.Turns)
		for k := range n {
			psi := 2 * math.Pi * float64(k) / n
			area := (r.TurnRadius() + r.WireDiameter/2*math.Cos(psi)) * r.WireDiameter / 2 * (2 * math.Pi / n) * (2 * math.Pi / n)
			surface += solver.SurfaceGradient(theta, psi) * area * float64(r.Turns)
		}
	}
	if !scalar.EqualWithinRel(line, got.Capacitance, 1e-12) {
		t.Errorf("charge along the wires %.10g C, capacitance %.10g F", line, got.Capacitance)
	}
	if flux := 4 * math.Pi * electrostatics.Coulomb * got.Capacitance; !scalar.EqualWithinRel(surface, flux, 2e-3) {
		t.Errorf("flux out of the wires %.8g V m, want %.8g V m (Gauss's law)", surface, flux)
	}
	if outer, hub := solver.LineCharge(0), solver.LineCharge(math.Pi); hub > 0.05*outer || hub < -0.01*outer {
		t.Errorf("charge at the hub %g C/m, on the outer equator %g C/m: a nearly tight ring shields its hub", hub, outer)
	}
}

func TestRingScales(t *testing.T) {
	var solver RingSolver
	r := ringCases(t, "wire_ring_capacitance")[9].Ring
	one, err := solver.Solve(r)
	if err != nil {
		t.Fatal(err)
	}
	r.WireDiameter, r.FormerDiameter, r.HubDiameter = 2*r.WireDiameter, 2*r.FormerDiameter, 2*r.HubDiameter
	two, err := solver.Solve(r)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinRel(two.Capacitance, 2*one.Capacitance, 1e-10) || !scalar.EqualWithinRel(one.PeakGradient, 2*two.PeakGradient, 1e-10) {
		t.Errorf("doubled: %g to %g F, %g to %g 1/m; want twice and half", one.Capacitance, two.Capacitance, one.PeakGradient, two.PeakGradient)
	}
}

// TestManyTurnsTendToSetBackTorus: fine wires close together act as a smooth
// surface; Maxwell's set-back becomes exact.
func TestManyTurnsTendToSetBackTorus(t *testing.T) {
	var solver RingSolver
	last := math.Inf(1)
	for _, turns := range []int{25, 50, 100, 200} {
		// The same ring, R = 15 mm and turns of 8 mm radius, of ever more and finer wires.
		d := 7e-3 * math.Sin(math.Pi/float64(turns))
		r := Ring{WireDiameter: d, FormerDiameter: 16e-3 - d, HubDiameter: 14e-3 - d, Turns: turns}
		got, err := solver.Solve(r)
		if err != nil {
			t.Fatal(err)
		}
		torus, err := r.SetBackTorus()
		if err != nil {
			t.Fatal(err)
		}
		want, err := torus.Capacitance()
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(got.Capacitance/want - 1)
		if off > 0.7*last || off > 0.01 {
			t.Errorf("%d turns: %.5g F, set-back torus %.5g F, off by %.2g: not closer than before (%.2g)", turns, got.Capacitance, want, off, last)
		}
		last = off
	}
}

func TestRingSolverRefuses(t *testing.T) {
	var solver RingSolver
	if _, err := solver.Solve(Ring{}); !errors.Is(err, ErrShape) {
		t.Errorf("Solve of no ring: %v, want ErrShape", err)
	}
	var no *UnbuildableError
	if _, err := solver.Solve(Ring{WireDiameter: 2e-3, FormerDiameter: 15e-3, HubDiameter: 4e-3, Turns: 30}); !errors.As(err, &no) {
		t.Errorf("Solve of a ring that does not fit: %v, want UnbuildableError", err)
	}
}

// Budget: 1 ms on one core; the whole curve against size 15 ms.
func BenchmarkWireRing(b *testing.B) {
	for _, bench := range []struct {
		name       string
		resolution Resolution
	}{{"quick", Quick}, {"fine", Fine}} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			solver := RingSolver{Resolution: bench.resolution}
			r := ringCases(b, "wire_ring_capacitance")[3].Ring
			for b.Loop() {
				if _, err := solver.Solve(r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Budget: 15 ms for the whole curve of capacitance against ring size.
func BenchmarkSizeCurve(b *testing.B) {
	b.ReportAllocs()
	var solver RingSolver
	r := ringCases(b, "wire_ring_capacitance")[3].Ring
	const points = 40
	for b.Loop() {
		for i := range points {
			r.FormerDiameter = 0.006 + 0.001*float64(i)
			if _, err := solver.Capacitance(r); err != nil {
				b.Fatal(err)
			}
		}
	}
}
