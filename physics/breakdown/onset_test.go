package breakdown

import (
	"errors"
	"math"
	"testing"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestOnsetGradient(t *testing.T) {
	for _, test := range []struct {
		shape           Shape
		radius, density float64 // m, 1
		want, tol       float64 // V/m, relative
		source          string
	}{
		// Printed constants put in by hand: 30 (1 + 0.301/√0.1) and so on.
		{Cylinder, 0.001, 1, 58.56e5, 1e-3, "Peek 1929, parallel wires, by hand"},
		{Cylinder, 0.01, 1, 39.03e5, 1e-3, "Peek 1929, parallel wires, by hand"},
		{Cylinder, 0.01, 0.81, 32.43e5, 1e-3, "Peek 1929, 30 0.81 (1 + 0.301/0.9), by hand"},
		{Coaxial, 0.01, 1, 40.55e5, 1e-3, "Peek 1929 (from memory), by hand"},
		{Sphere, 0.01, 1, 41.89e5, 1e-3, "Peek 1929 (from memory), by hand"},
		// A flat surface bears what a wide uniform gap does: 26.3 kV/cm at 10 cm.
		{Cylinder, 10, 1, 26.3e5, 0.18, "uniform gap of 10 cm, Kuffel and Zaengl (from memory)"},
	} {
		got, err := test.shape.OnsetGradient(test.radius, test.density)
		if err != nil || !scalar.EqualWithinRel(got, test.want, test.tol) {
			t.Errorf("%s: OnsetGradient(%g, %g) = %g V/m, %v, want %g V/m (%s)", test.shape.Name, test.radius, test.density, got, err, test.want, test.source)
		}
	}
}

// Balls of 2 cm break down where Peek's law for spheres says: the gap table gives the
// voltage, boundary elements the field of balls at equal and opposite voltages, as in
// Peek's own gaps; up to half a diameter the tables make no difference between that
// and one ball earthed.
func TestSphereLawMeetsTheGapTable(t *testing.T) {
	const radius = 0.01
	for _, gap := range []float64{0.004, 0.006, 0.008, 0.010} {
		system, err := electrostatics.NewSystem([]electrostatics.Conductor{
			electrostatics.SphereConductor(0, radius),
			electrostatics.SphereConductor(2*radius+gap, radius),
		}, nil, electrostatics.Refinement{Order: 8, Panels: 3, Gap: 1})
		if err != nil {
			t.Fatal(err)
		}
		table, err := SphereGap(2*radius, gap, 1)
		if err != nil {
			t.Fatal(err)
		}
		solution, err := system.Solve([]float64{table.Crest / 2, -table.Crest / 2})
		if err != nil {
			t.Fatal(err)
		}
		got, _, _ := system.PeakGradient(solution.Charge)
		want, err := Sphere.OnsetGradient(radius, 1)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("gap %g m: %.4g V, %.4g V/m, law %.4g V/m", gap, table.Crest, got, want)
		if !scalar.EqualWithinRel(got, want, 0.05) {
			t.Errorf("gap %g m breaks down at a gradient of %.4g V/m, want %.4g V/m (Peek's law for spheres)", gap, got, want)
		}
	}
}

func TestOnset(t *testing.T) {
	for _, radius := range []float64{5e-5, 6.5e-4, 5e-3, 0.04, 0.2} {
		b, err := Onset(100, radius, 1)
		if err != nil {
			t.Fatal(err)
		}
		g, err := Cylinder.OnsetGradient(radius, 1)
		if err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinRel(b.Middle, g/100, 1e-12) || !scalar.EqualWithinRel(b.Low, 0.9*0.75*g/100, 1e-12) {
			t.Errorf("radius %g m: %+v, want %g V and 0.675 of it", radius, b, g/100)
		}
		if !(b.Low < b.Middle && b.Middle <= b.High) {
			t.Errorf("radius %g m: %+v is no band", radius, b)
		}
		if half, _ := Onset(50, radius, 1); !scalar.EqualWithinRel(half.Middle, 2*b.Middle, 1e-12) {
			t.Errorf("radius %g m: half the gradient glows at %g V, want %g V", radius, half.Middle, 2*b.Middle)
		}
		if thin, _ := Onset(100, radius, 0.8); !(thin.Low < b.Low && thin.Middle < b.Middle && thin.High < b.High) {
			t.Errorf("radius %g m: thin air bears %+v, dense air %+v", radius, thin, b)
		}
		// Thinner wire bears a higher gradient.
		if thin, _ := Onset(100, radius/2, 1); thin.Middle <= b.Middle {
			t.Errorf("radius %g m: half of it bears %g V, all %g V", radius, thin.Middle, b.Middle)
		}
	}
}

func TestRelativeDensity(t *testing.T) {
	for _, test := range []struct {
		celsius, pressure, want float64
		source                  string
	}{
		{25, 101325, 1, "definition"},
		{20, 101325, 1.0171, "gas law, 298.15/293.15"},
		{25, 84556, 0.8345, "gas law, 1500 m of the standard atmosphere"},
	} {
		got, err := RelativeDensity(test.celsius, test.pressure)
		if err != nil || !scalar.EqualWithinRel(got, test.want, 5e-4) {
			t.Errorf("RelativeDensity(%g, %g) = %g, %v, want %g (%s)", test.celsius, test.pressure, got, err, test.want, test.source)
		}
	}
}

func TestRefuses(t *testing.T) {
	bad := []float64{0, -1, math.NaN(), math.Inf(1)}
	for _, x := range bad {
		for i, call := range []func() error{
			func() error { _, err := RelativeDensity(20, x); return err },
			func() error { _, err := Cylinder.OnsetGradient(x, 1); return err },
			func() error { _, err := Cylinder.OnsetGradient(1, x); return err },
			func() error { _, err := Onset(x, 1, 1); return err },
			func() error { _, err := SphereGap(x, 1, 1); return err },
			func() error { _, err := SphereGap(1, x, 1); return err },
			func() error { _, err := NeedleGap(x, 1); return err },
			func() error { _, err := UniformGap(x, 1); return err },
			func() error { _, err := Paschen(1, x); return err },
			func() error { _, err := Spheroid(x, 1); return err },
			func() error { _, err := Spheroid(1, x); return err },
			func() error { _, err := SparkByVoltage(x); return err },
			func() error { _, err := SparkByPower(x); return err },
			func() error { _, err := StreamerReach(func(float64) float64 { return 0 }, x); return err },
			func() error { return new(Row).Solve(x, 1, []float64{1}, []float64{0}, []float64{0}) },
		} {
			if err := call(); !errors.Is(err, ErrRange) {
				t.Errorf("call %d with %g: %v, want ErrRange", i, x, err)
			}
		}
	}
	if _, err := RelativeDensity(-300, 1e5); !errors.Is(err, ErrRange) {
		t.Errorf("colder than nothing: %v", err)
	}
	if err := new(Row).Solve(0.6, 1, []float64{1}, []float64{0}, []float64{0}); !errors.Is(err, ErrRange) {
		t.Errorf("wires that cut: %v", err)
	}
}
