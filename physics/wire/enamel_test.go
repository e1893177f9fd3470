package wire

import (
	"errors"
	"math"
	"testing"
)

func TestOverallDiameter(t *testing.T) {
	for _, test := range []struct {
		gauge, insulation string
		want              float64 // mm
		least, greatest   float64 // mm
		status            Status
		source            string
	}{
		// The standard's limits count from its rounded conductor: 8.0 mil for
		// AWG 32, which is 7.9503 mil.
		{"AWG 32", Single, 0.20194 + 0.8*0.0254, 0.20194 + 0.5*0.0254, 0.20194 + 1.1*0.0254, Seen, "NEMA MW 1000: 8.5 to 9.1 over 8.0 mil"},
		{"AWG 32", Heavy, 0.20194 + 1.45*0.0254, 0.20194 + 1.1*0.0254, 0.20194 + 1.8*0.0254, FromMemory, "NEMA MW 1000: 9.1 to 9.8 over 8.0 mil"},
		{"AWG 14", Single, 1.62773 + 1.75*0.0254, 1.62773 + 1.0*0.0254, 1.62773 + 2.5*0.0254, Seen, "NEMA MW 1000: 65.1 to 66.6 over 64.1 mil"},
		{"AWG 8", Heavy, 3.26364 + 3.35*0.0254, 3.26364 + 2.0*0.0254, 3.26364 + 4.7*0.0254, Seen, "NEMA MW 1000: 130.5 to 133.2 over 128.5 mil"},
		{"AWG 40", Single, 0.07987 + 0.35*0.0254, 0.07987 + 0.1*0.0254, 0.07987 + 0.6*0.0254, Seen, "NEMA MW 1000: 3.2 to 3.7 over 3.1 mil"},
		{"0.10 mm", Single, 0.1125, 0.108, 0.117, Seen, "DIN EN 60317"},
		{"0.10 mm", Heavy, 0.1215, 0.118, 0.125, Seen, "DIN EN 60317"},
		{"0.05 mm", Single, 0.0575, 0.055, 0.060, Seen, "DIN EN 60317"},
		{"0.125 mm", Single, 0.1395, 0.135, 0.144, Seen, "IEC 60317-0-1"},
		{"0.20 mm", Single, 0.220, 0.214, 0.226, FromMemory, "IEC 60317-0-1, from memory"},
		{"0.50 mm", Heavy, 0.5555, 0.545, 0.566, FromMemory, "IEC 60317-0-1, from memory"},
		{"SWG 36", Single, 0.19304 + 0.020, 0.19304 + 0.014, 0.19304 + 0.026, Seen, "IS 13730-0-1: +0.014, at most 0.219 over 0.193"},
		{"SWG 20", Heavy, 0.9144 + 0.0785, 0.9144 + 0.063, 0.9144 + 0.094, Seen, "IS 13730-0-1: +0.063, at most 1.008 over 0.914"},
		{"AWG 16", Bare, 1.29085, 1.29085, 1.29085, Exact, "nothing to add"},
	} {
		g, err := Parse(test.gauge)
		if err != nil {
			t.Fatal(err)
		}
		got, err := OverallDiameter(g, test.insulation)
		const tol = 6e-6 // mm; the diameters above are written to five decimals
		if err != nil || math.Abs(got.Diameter*1e3-test.want) > tol || math.Abs(got.Min*1e3-test.least) > tol ||
			math.Abs(got.Max*1e3-test.greatest) > tol || got.Status != test.status {
			t.Errorf("OverallDiameter(%s, %s) = %.5f (%.5f to %.5f) mm, %s, %v, want %.5f (%.5f to %.5f) mm, %s (%s)",
				test.gauge, test.insulation, got.Diameter*1e3, got.Min*1e3, got.Max*1e3, got.Status, err,
				test.want, test.least, test.greatest, test.status, test.source)
		}
		if (got.Source == "") != (test.insulation == Bare) {
			t.Errorf("OverallDiameter(%s, %s) names the source %q", test.gauge, test.insulation, got.Source)
		}
	}
}

// TestInterpolation takes sizes without a row and asks for the law between and
// the rules beyond the rows.
func TestInterpolation(t *testing.T) {
	for _, test := range []struct {
		gauge, insulation string
		want              float64 // mm, increase
		source            string
	}{
		{"1.520584 mm", Single, 0.05475, "geometric mean of 1.422 mm (+0.054) and 1.626 mm (+0.0555) of IS 13730-0-1"},
		{"SWG 14", Single, 0.058288, "ln(2.032/1.829)/ln(2.337/1.829) = 0.4294 of the way from +0.057 to +0.060, IS 13730-0-1"},
		{"AWG 44", Single, 0.0075405, "below NEMA's rows: between 0.050 mm (+0.0075) and 0.056 mm (+0.0085) of DIN EN 60317"},
		{"AWG 4", Single, 0.064, "above all rows: as 2.946 mm of IS 13730-0-1, +0.045 to +0.083"},
		{"0.02 mm", Single, 0.005 * 2 / 3, "below all rows: by the diameter from 0.030 mm, +0.003 to +0.007"},
	} {
		g, err := Parse(test.gauge)
		if err != nil {
			t.Fatal(err)
		}
		got, err := OverallDiameter(g, test.insulation)
		const tol = 1.5e-6 // mm
		if inc := (got.Diameter - g.Diameter) * 1e3; err != nil || math.Abs(inc-test.want) > tol || got.Status != Interpolated {
			t.Errorf("OverallDiameter(%s, %s) adds %.6f mm, %s, %v, want %.6f mm, interpolated (%s)",
				test.gauge, test.insulation, inc, got.Status, err, test.want, test.source)
		}
	}
}

// TestOverallGrows asks of every size that can be bought that the insulation
// has a thickness, the heavy build more of it, and that a thicker conductor
// never makes a thinner wire.
func TestOverallGrows(t *testing.T) {
	for _, s := range []System{AWG, SWG, Metric} {
		last := map[string]float64{}
		for _, g := range Standard(s) {
			single, err := OverallDiameter(g, Single)
			if err != nil {
				t.Fatal(err)
			}
			heavy, err := OverallDiameter(g, Heavy)
			if err != nil {
				t.Fatal(err)
			}
			if !(g.Diameter < single.Min && single.Min < single.Diameter && single.Diameter < single.Max) {
				t.Errorf("%s single: %g, want between %g and %g and above %g", g.Name, single.Diameter, single.Min, single.Max, g.Diameter)
			}
			if !(single.Diameter < heavy.Diameter && single.Max < heavy.Max) {
				t.Errorf("%s heavy: %g, want above single's %g", g.Name, heavy.Diameter, single.Diameter)
			}
			for insulation, o := range map[string]Overall{Single: single, Heavy: heavy} {
				if o.Diameter <= last[insulation] {
					t.Errorf("%s %s: %g, want above the thinner wire's %g", g.Name, insulation, o.Diameter, last[insulation])
				}
				last[insulation] = o.Diameter
			}
		}
	}
}

// TestStandardsAgree compares the two standards, which come from different
// sources, where both have rows: films of like build differ by less than a
// third, a slip of a row or unit by far more.
func TestStandardsAgree(t *testing.T) {
	for _, insulation := range []string{Single, Heavy} {
		metric := only(table()[insulation], "IEC", "SWG")
		for _, c := range only(table()[insulation], "NEMA") {
			m := between(metric, c.nominal)
			if ratio := (c.min + c.max) / (m.min + m.max); ratio < 0.67 || ratio > 1.5 {
				t.Errorf("AWG %s %s: NEMA over IEC film is %.2f, want near 1", c.size, insulation, ratio)
			}
		}
	}
}

func TestOverallRefuses(t *testing.T) {
	g, err := Parse("AWG 32")
	if err != nil {
		t.Fatal(err)
	}
	for _, insulation := range []string{"", "triple", "Single"} {
		if _, err := OverallDiameter(g, insulation); !errors.Is(err, ErrInsulation) {
			t.Errorf("OverallDiameter(%q) = %v, want ErrInsulation", insulation, err)
		}
	}
}
