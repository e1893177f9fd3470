package experiment

import (
	"math"
	"math/cmplx"
	"testing"
)

// TestHumps compares with the two meshes solved here: with Z₁ and Z₂ their impedances
// alone, I₂ = jωM U/(Z₁Z₂ + ω²M²), and the top swings by I₂/(jωC₂) times its ratio to
// the foot.
func TestHumps(t *testing.T) {
	b := bench(t, nil)
	for _, k := range []float64{0.1, 0.3} {
		o := run[*HumpsOutcome](t, b, Humps, Settings{"coupling": k, "tuning": 1})
		c, p := b.circuit.Coil, b.circuit.Primary
		m := k * math.Sqrt(c.Inductance*p.Inductance)
		tank := 1 / (math.Pow(2*math.Pi*c.Frequency(), 2) * p.Inductance)
		gain := func(f float64) float64 {
			w := 2 * math.Pi * f
			z1 := complex(p.Resistance+sourceOhms, w*p.Inductance-1/(w*tank))
			z2 := complex(c.Resistance, w*c.Inductance-1/(w*c.Capacitance))
			return cmplx.Abs(complex(0, w*m)/(z1*z2+complex(w*w*m*m, 0))) / (w * c.Capacitance) * c.TopToFoot
		}
		if len(o.Humps) != 2 {
			t.Fatalf("at k = %g there are %d humps, want 2", k, len(o.Humps))
		}
		for i, h := range o.Humps {
			near(t, "frequency of the currents", o.AtHumps[i].Frequency, h.Frequency, same, "that of the hump")
			near(t, "gain", h.Gain, gain(h.Frequency), same, "two meshes")
			const aside = 1e-3 // far enough for a fall that rounding does not hide
			if gain(h.Frequency*(1+aside)) > h.Gain || gain(h.Frequency*(1-aside)) > h.Gain {
				t.Errorf("at k = %g the hump at %g Hz is not the highest near by", k, h.Frequency)
			}
		}
		near(t, "upper hump", o.Upper(o.Answer()), o.Humps[1].Frequency, same, "where it is")
		for i, r := range o.AtHumps {
			// The currents of the two: I₁/I₂ = -Z₂/(jωM), against the sense of the foot's.
			w := 2 * math.Pi * r.Frequency
			z2 := complex(c.Resistance, w*c.Inductance-1/(w*c.Capacitance))
			want := math.Abs(cmplx.Phase(z2 / complex(0, w*m)))
			near(t, "angle between the currents", o.PhaseApart(i), want, same, "two meshes")
		}
	}
}
