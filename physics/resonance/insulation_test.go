package resonance

import (
	"errors"
	"math"
	"testing"
)

// coated is the desk coil with a layer round its wire.
func coated(thickness, permittivity float64) Coil {
	c := deskCoil()
	c.Winding.Insulation[0] = Layer{thickness, permittivity}
	return c
}

// TestInsulationOfAir: permittivity 1 changes nothing.
func TestInsulationOfAir(t *testing.T) {
	var s Solver
	bare := solve(t, &s, deskCoil())
	if air := solve(t, &s, coated(1e-5, 1)); air.Frequency != bare.Frequency {
		t.Errorf("in a coat of air %v Hz, bare %v Hz", air.Frequency, bare.Frequency)
	}
}

// TestInsulationShare: metal without a coat, a coat of great permittivity like
// metal as wide, two layers of one material like one layer.
func TestInsulationShare(t *testing.T) {
	of := func(wire float64, layers ...float64) *section {
		s := &section{wire: wire}
		for i := 0; i < len(layers); i += 2 {
			s.layers[i/2].outer, s.layers[i/2].permittivity = layers[i], layers[i+1]
		}
		return s
	}
	for n := 1; n <= 5; n++ {
		if got := of(0.3).share(n); got != 1 {
			t.Errorf("bare wire answers with %g of itself", got)
		}
		within(t, "thick coat of permittivity 1e9", of(0.3, 0.4, 1e9).share(n), 1, 1e-8, "metal")
		within(t, "two layers of one material", of(0.3, 0.35, 3.5, 0.4, 3.5).share(n), of(0.3, 0.4, 3.5).share(n), 1e-12, "one layer")
		within(t, "coat of air", of(0.3, 0.4, 1+1e-9).share(n), math.Pow(0.75, 2*float64(n)), 1e-8, "metal inside")
	}
	within(t, "potential through a coat", of(0.3, 0.4, 3.5).drop(), (1-1/3.5)*math.Log(4./3), 1e-12, "coaxial cylinders")
}

// TestInsulationLowers: thicker coats and greater permittivities lower every mode.
func TestInsulationLowers(t *testing.T) {
	var s Solver
	last := solve(t, &s, deskCoil()).Frequency
	for _, l := range []Layer{{2e-6, 2}, {2e-6, 3.5}, {5e-6, 3.5}, {5e-6, 6}} {
		f := solve(t, &s, coated(l.Thickness, l.RelativePermittivity)).Frequency
		for i := range f {
			if !(f[i] < last[i]) {
				t.Errorf("%+v: mode %d at %g Hz, with less %g Hz", l, i, f[i], last[i])
			}
		}
		last = f
	}
}

func TestInsulationRefused(t *testing.T) {
	var s Solver
	for _, l := range []Layer{{-1e-6, 3}, {1e-6, 0.5}, {1e-6, math.NaN()}, {math.Inf(1), 3}} {
		c := coated(l.Thickness, l.RelativePermittivity)
		if _, err := s.Solve(t.Context(), &c); !errors.Is(err, ErrGeometry) {
			t.Errorf("%+v: %v, want ErrGeometry", l, err)
		}
	}
}

// TestFilling: energies are parts of one, and a coil in a rod of great permittivity has
// more of it there than in a tube.
func TestFilling(t *testing.T) {
	var s Solver
	part := func(c Coil) Filling {
		m := solve(t, &s, c)
		f, err := s.Filling(t.Context(), &c, m.Frequency[0])
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	if f := part(deskCoil()); f != (Filling{}) {
		t.Errorf("filling %+v of a coil in air", f)
	}
	tube := part(onFormer(coated(5e-6, 3.5), 0.0015, 2.55))
	rod := part(onFormer(coated(5e-6, 3.5), 0, 2.55))
	if !(tube.Former > 0 && rod.Former > tube.Former && rod.Former < 1 && tube.Insulation[0] > 0 && tube.Insulation[0] < 0.2 && tube.Insulation[1] == 0) {
		t.Errorf("filling of a tube %+v, of a rod %+v", tube, rod)
	}
}
