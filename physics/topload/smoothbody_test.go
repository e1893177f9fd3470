package topload

import (
	"errors"
	"math"
	"testing"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
)

// wholeConductor is wholeAnswer for a smooth conductor, by fine boundary
// elements.
func wholeConductor(t *testing.T, c electrostatics.Conductor, a, h float64) (charge, energy float64) {
	t.Helper()
	system, err := electrostatics.NewSystem([]electrostatics.Conductor{c}, nil, electrostatics.Refinement{Order: 12, Panels: 4, Gap: 1.5})
	if err != nil {
		t.Fatal(err)
	}
	q := mat.NewDense(system.Nodes(), 1, nil)
	phi := make([]float64, system.Nodes())
	for i := range phi {
		r, z, _ := system.Node(i)
		phi[i] = electrostatics.RingPotentialUnchecked(a, r, z-h)
		q.Set(i, 0, phi[i])
	}
	if err := system.SolveMany(q); err != nil {
		t.Fatal(err)
	}
	for i, v := range phi {
		charge -= q.At(i, 0)
		energy += v * q.At(i, 0)
	}
	return charge, energy
}

func TestSmoothBody(t *testing.T) {
	torus := electrostatics.Torus{Radius: 0.03, Tube: 0.01}
	horn := electrostatics.Torus{Radius: 0.03, Tube: 0.03}
	fat := electrostatics.Torus{Radius: 0.03, Tube: 0.027}
	for _, test := range []struct {
		name        string
		make        func(*Body) error
		conductor   electrostatics.Conductor
		capacitance func() (float64, error)
		peak        func() (float64, error) // nil: none
	}{
		{"torus", func(b *Body) error { return TorusBody(b, torus) }, electrostatics.TorusConductor(0, torus), torus.Capacitance, torus.PeakGradient},
		{"fat torus", func(b *Body) error { return TorusBody(b, fat) }, electrostatics.TorusConductor(0, fat), fat.Capacitance, fat.PeakGradient},
		{"torus without a hole", func(b *Body) error { return TorusBody(b, horn) }, electrostatics.TorusConductor(0, electrostatics.Torus{Radius: 0.03, Tube: 0.03 * (1 - 1e-6)}), horn.Capacitance, horn.PeakGradient},
		{"sphere", func(b *Body) error { return SphereBody(b, 0.03) }, electrostatics.SphereConductor(0, 0.03),
			func() (float64, error) { return electrostatics.SphereCapacitance(0.03) }, func() (float64, error) { return 1 / 0.03, nil }},
		{"flat disc", func(b *Body) error { return DiscBody(b, 0.03, 0) }, electrostatics.DiscConductor(0, 0.03, 0),
			func() (float64, error) { return electrostatics.DiscCapacitance(0.03) }, nil},
		{"disc", func(b *Body) error { return DiscBody(b, 0.03, 0.002) }, electrostatics.DiscConductor(0, 0.03, 0.002), nil, nil},
		{"sphere as a disc", func(b *Body) error { return DiscBody(b, 0.03, 0.06*(1-1e-9)) }, electrostatics.SphereConductor(0, 0.03),
			func() (float64, error) { return electrostatics.SphereCapacitance(0.03) }, nil},
	} {
		var body Body
		if err := test.make(&body); err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		capacitance := body.Capacitance()
		fine, err := electrostatics.NewSystem([]electrostatics.Conductor{test.conductor}, nil, electrostatics.Refinement{Order: 12, Panels: 4, Gap: 1})
		if err != nil {
			t.Fatal(err)
		}
		solution, err := fine.Solve([]float64{1})
		if err != nil || !scalar.EqualWithinRel(capacitance, solution.Total[0], 1e-6) {
			t.Errorf("%s: capacitance %.9g F, fine boundary elements %.9g F, %v", test.name, capacitance, solution.Total[0], err)
		}
		if test.capacitance != nil {
			want, err := test.capacitance()
			if err != nil || !scalar.EqualWithinRel(capacitance, want, 1e-6) {
				t.Errorf("%s: capacitance %.9g F, want %.9g F, %v (exact)", test.name, capacitance, want, err)
			}
		}
		checkBody(t, &body, capacitance)
		if test.peak != nil {
			want, err := test.peak()
			got, _ := body.PeakGradient(append([]float64{capacitance}, make([]float64, body.Modes()-1)...))
			if err != nil || !scalar.EqualWithinRel(got, want, 1e-3) {
				t.Errorf("%s: peak gradient at 1 V %.6g V/m, want %.6g V/m, %v (exact)", test.name, got, want, err)
			}
		}
		// Charges as of a winding under the body and of one around it.
		for _, place := range [][2]float64{{0.02, -body.Top - 0.008}, {0.02, -body.Top - 0.03}, {0.036, -body.Top - 0.01}, {0.08, 0}} {
			a, h := place[0], place[1]
			wantCharge, wantEnergy := wholeConductor(t, test.conductor, a, h)
			charge, energy := bodyAnswer(&body, a, h)
			t.Logf("%s: %d modes, %d rings, charge at %.0f mm, %.0f mm: off %.1e, %.1e", test.name, body.Modes(), len(body.Radius), a*1e3, h*1e3, charge/wantCharge-1, energy/wantEnergy-1)
			if !scalar.EqualWithinRel(charge, wantCharge, 1e-3) || !scalar.EqualWithinRel(energy, wantEnergy, 0.02) {
				t.Errorf("%s, charge at %.1f mm, %.1f mm: induced %.6g C, energy %.6g J; without reduction %.6g C, %.6g J", test.name, a*1e3, h*1e3, charge, energy, wantCharge, wantEnergy)
			}
		}
	}
}

// TestBodyImages: the elastance with the images of a floor gives the
// capacitance of a sphere over a plane.
func TestBodyImages(t *testing.T) {
	var body Body
	if err := SphereBody(&body, 0.02); err != nil {
		t.Fatal(err)
	}
	floor, err := electrostatics.NewPlanes(0, math.Inf(1), 0)
	if err != nil {
		t.Fatal(err)
	}
	n := body.Modes()
	elastance := append([]float64(nil), body.Elastance...)
	body.AddImages(elastance, floor, 0.03)
	var amplitude mat.VecDense
	if err := amplitude.SolveVec(mat.NewDense(n, n, elastance), mat.NewVecDense(n, body.Charge)); err != nil {
		t.Fatal(err)
	}
	want, err := electrostatics.SphereOverPlaneCapacitance(0.02, 0.03)
	if got := amplitude.AtVec(0); err != nil || !scalar.EqualWithinRel(got, want, 1e-3) {
		t.Errorf("sphere of 20 mm, centre 30 mm over a floor: %.7g F, want %.7g F, %v (bispherical series)", got, want, err)
	}
}

func TestBodiesRefuse(t *testing.T) {
	var body Body
	for name, err := range map[string]error{
		"torus":      TorusBody(&body, electrostatics.Torus{Radius: 1, Tube: 2}),
		"sphere":     SphereBody(&body, -1),
		"disc":       DiscBody(&body, 0, 0),
		"thick disc": DiscBody(&body, 1, 2.1),
	} {
		if !errors.Is(err, ErrShape) && !errors.Is(err, electrostatics.ErrGeometry) {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
	}
}

func BenchmarkSmoothBody(b *testing.B) {
	for _, bench := range []struct {
		name string
		make func(*Body) error
	}{
		{"torus", func(b *Body) error { return TorusBody(b, electrostatics.Torus{Radius: 0.03, Tube: 0.01}) }},
		{"sphere", func(b *Body) error { return SphereBody(b, 0.03) }},
		{"disc", func(b *Body) error { return DiscBody(b, 0.03, 0.002) }},
	} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			var body Body
			for b.Loop() {
				if err := bench.make(&body); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
