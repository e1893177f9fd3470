package driver

import (
	"math"
	"testing"
)

func losslessGap(k float64) Gap {
	c := Coil{0.000965, 4.753e-12, 1e-4, 1}
	g := Gap{Coil: c, FiringVoltage: 5000, TankCapacitance: 2.2e-9}
	g.Primary = Primary{c.Inductance * c.Capacitance / g.TankCapacitance, 1e-7, k}
	return g
}

// At the special couplings a tank without losses passes all its energy, and the
// peak is V √(C1/C2). Source: Drude, Annalen der Physik 318 (1904), p. 512.
func TestSpecialCouplings(t *testing.T) {
	for _, k := range []float64{0.6, 5. / 13, 0.28, 9. / 41, 11. / 61} {
		g := losslessGap(k)
		d, err := g.Solve()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "peak", d.TopPeak, g.FiringVoltage*d.IdealRatio, 1e-5)
		near(t, "energy", d.EnergyShare, 1, 2e-5)
		near(t, "special coupling", d.SpecialCouple, k, 1e-12)
	}
}

// Without losses and tuned alike the top is V/2 √(C1/C2) (cos w1 t - cos w2 t).
func TestClosedFormOfGap(t *testing.T) {
	for _, k := range []float64{0.05, 0.114, 0.2, 0.33} {
		g := losslessGap(k)
		d, err := g.Solve()
		if err != nil {
			t.Fatal(err)
		}
		f0 := g.Coil.Frequency()
		near(t, "lower mode", d.Splitting[0], f0/math.Sqrt(1+k), 1e-9)
		near(t, "upper mode", d.Splitting[1], f0/math.Sqrt(1-k), 1e-9)
		w1, w2 := 2*math.Pi*d.Splitting[0], 2*math.Pi*d.Splitting[1]
		half := g.FiringVoltage / 2 * math.Sqrt(g.TankCapacitance/g.Coil.Capacitance)
		for i := 0; i < len(d.Samples); i += 37 {
			at := float64(i) * d.SamplePeriod
			want := half * (math.Cos(w2*at) - math.Cos(w1*at)) // the sign is the sense of the winding
			if got := d.Samples[i].Top; math.Abs(got-want) > 1e-4*half {
				t.Errorf("k %g: top at %g s = %g, want %g", k, at, got, want)
			}
		}
		if d.TopPeak > g.FiringVoltage*d.IdealRatio*(1+1e-9) {
			t.Errorf("k %g: peak %g V is over the bound", k, d.TopPeak)
		}
		near(t, "first notch", d.FirstNotch, 1/(2*(d.Splitting[1]-d.Splitting[0])), 0.02)
	}
}

// A tank whose arc stops all swinging passes little and beats not at all.
func TestOverdampedGap(t *testing.T) {
	g := losslessGap(0.1)
	g.ArcResistance = 1e3
	d, err := g.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if d.FirstNotch != 0 || d.EnergyShare > 0.1 {
		t.Errorf("notch %g s, energy %g", d.FirstNotch, d.EnergyShare)
	}
}

func TestRefusedGaps(t *testing.T) {
	for _, change := range []func(*Gap){
		func(g *Gap) { g.FiringVoltage = 0 },
		func(g *Gap) { g.TankCapacitance = -1 },
		func(g *Gap) { g.ArcResistance = -1 },
		func(g *Gap) { g.Primary.Coupling = 0 },
		func(g *Gap) { g.Coil = Coil{} },
	} {
		g := losslessGap(0.2)
		change(&g)
		if _, err := g.Solve(); err == nil {
			t.Errorf("%+v is not refused", g)
		}
	}
}
