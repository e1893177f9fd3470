package design

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func evaluated(t testing.TB, d Design) Report {
	t.Helper()
	r, err := Evaluate(context.Background(), d)
	if err != nil {
		t.Fatalf("Evaluate: %v", err)
	}
	return r
}

// orZero returns a number of a report, 0 for null.
func orZero(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// The desk coil worked out by hand and with published tables.
func TestEvaluateDeskCoil(t *testing.T) {
	r := evaluated(t, read(t, desk))
	for _, test := range []struct {
		key    string
		got    *float64
		want   float64
		tol    float64 // relative
		source string
	}{
		// Bare AWG 32 0.2019 mm, single build 0.0084 to 0.0091 in over all.
		{"winding_height_m", r.Secondary.WindingHeight, 310 * 1.03 * 0.00875 * 0.0254, 0.01, "NEMA MW 1000 limits of AWG 32 single, 8.4 to 9.1 mil (from memory)"},
		{"wire_length_m", r.Secondary.WireLength, 310 * math.Pi * 0.025222, 0.001, "circumference by turns"},
		{"wire_mass_kg", r.Secondary.WireMass, 310 * math.Pi * 0.025222 * math.Pi / 4 * 0.20190e-3 * 0.20190e-3 * 8890, 0.001, "ASTM B258 diameter, IACS density"},
		{"dc_resistance_ohm", r.Secondary.ResistanceDC, 310 * math.Pi * 0.025222 * 0.5384, 0.001, "0.5384 ohm/m, AWG 32 of a wire table at 58 MS/m"},
		{"outer_diameter_m", r.TopLoad.OuterDiameter, 0.010 + 2*0.014 + 4*1.6277e-3, 1e-4, "hub + 2 formers + 4 wires, AWG 14 1.6277 mm by ASTM B258"},
		{"gap_at_hub_m", r.TopLoad.GapAtHub, (0.010+1.6277e-3)*math.Sin(math.Pi/19) - 1.6277e-3, 1e-3, "chord of the circle of wire centres"},
		{"capacitance_f", r.TopLoad.Capacitance, 1.98e-12, 0.03, "between rings of AWG 14 on a 5/8 in former, 18 and 20 turns, by a wire solve: 2.03 and 2.08 pF at 45 and 46 mm, scaled to 44.5 mm"},
		// Wheeler 1928, L[uH] = a^2 n^2/(9a + 10b) in inches, 1 %.
		{"inductance_h", r.Secondary.Inductance, wheeler(0.02522, 0.07096, 310), 0.015, "Wheeler, Proceedings of the IRE 16 (1928) 1398"},
		{"handbook inductance_h", r.Handbook.Inductance, wheeler(0.02522, 0.07096, 310), 0.015, "Wheeler, Proceedings of the IRE 16 (1928) 1398"},
		{"self_capacitance_f", r.Handbook.SelfCapacitance, 0.60 * 2.523e-12, 0.02, "Medhurst 1947: 0.56 at length over diameter 2.5, 0.61 at 3"},
	} {
		if test.got == nil || !scalar.EqualWithinRel(*test.got, test.want, test.tol) {
			t.Errorf("%s = %g, want %g within %g (%s)", test.key, orZero(test.got), test.want, test.tol, test.source)
		}
	}
	if r.TopLoad.MaxTurns == nil || *r.TopLoad.MaxTurns != 22 {
		t.Errorf("max_turns = %v, want 22, the whole of pi/asin(1.6277/11.6277) = 22.4", r.TopLoad.MaxTurns)
	}
	// Current sheet and Rosa's correction are the ring sum by other means, to
	// 0.1 % at 20 turns and more.
	if *r.Handbook.Inductance == *r.Secondary.Inductance || !scalar.EqualWithinRel(*r.Handbook.Inductance, *r.Secondary.Inductance, 1e-3) {
		t.Errorf("handbook inductance_h = %g, ring sum %g", *r.Handbook.Inductance, *r.Secondary.Inductance)
	}
	// The report's frequency is that of an L and a C.
	want := 1 / (2 * math.Pi * math.Sqrt(*r.Handbook.Inductance*(*r.Handbook.SelfCapacitance+*r.Handbook.TopLoadCapacitance)))
	if got := orZero(r.Handbook.Frequency); !scalar.EqualWithinRel(got, want, 1e-12) {
		t.Errorf("handbook frequency_hz = %g, want %g", got, want)
	}
	if r.Primary.Coupling == nil || *r.Primary.Coupling <= 0 || *r.Primary.Coupling >= 1 {
		t.Errorf("coupling_coefficient = %v, want between 0 and 1", orZero(r.Primary.Coupling))
	}
}

// wheeler returns the inductance in H of a coil of diameter and length in m.
func wheeler(diameter, length, turns float64) float64 {
	a, b := diameter/2/0.0254, length/0.0254
	return 1e-6 * a * a * turns * turns / (9*a + 10*b)
}

// The written report has exactly the keys of the format, and null where
// nothing is computed.
func TestReportKeys(t *testing.T) {
	d := read(t, smallest)
	text, err := json.Marshal(evaluated(t, d))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{
		`"format":"coilwright-report","version":1`,
		`"top_load":{"outer_diameter_m":null,"hole_diameter_m":null,"max_turns":null,"gap_at_hub_m":null,"wire_length_m":null,"wire_mass_kg":null,"capacitance_f":null,"smooth_capacitance_f":null}`,
		`"primary":{"inductance_h":null,"mutual_inductance_h":null,"coupling_coefficient":null}`,
	} {
		if !strings.Contains(string(text), part) {
			t.Errorf("the report lacks %s:\n%s", part, text)
		}
	}
}

func TestEvaluateRefusesWhatCannotBeBuilt(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns = 23
	_, err := Evaluate(context.Background(), d)
	var problems Problems
	if !errors.As(err, &problems) || len(problems) != 1 || problems[0].Code != CodeRingTurns {
		t.Errorf("Evaluate: %v, want the problem of the ring", err)
	}
}

func TestEvaluateStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	d := read(t, desk)
	if _, err := Evaluate(ctx, d); !errors.Is(err, context.Canceled) {
		t.Errorf("Evaluate: %v, want context.Canceled", err)
	}
	if _, err := ComputeCurves(ctx, d, CurveOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("ComputeCurves: %v, want context.Canceled", err)
	}
}

// A solver that has seen other designs answers as a fresh one does.
func TestSolverRemembersNothingWrong(t *testing.T) {
	s := NewSolver()
	designs := []Design{read(t, desk), read(t, smallest), New()}
	for _, kind := range []string{Torus, Sphere, Disc, WireRing, NoTopLoad} {
		d := New()
		d.SetTopLoadKind(kind)
		designs = append(designs, d)
	}
	for range 2 {
		for _, d := range designs {
			got, err := s.Evaluate(context.Background(), d)
			if err != nil {
				t.Fatal(err)
			}
			a, _ := json.Marshal(got)
			b, _ := json.Marshal(evaluated(t, d))
			if string(a) != string(b) {
				t.Errorf("a used solver says\n%s, a fresh one\n%s", a, b)
			}
		}
	}
}

// Doubling every length doubles inductance and capacitance and halves the
// frequency.
func TestEvaluateScales(t *testing.T) {
	d := read(t, desk)
	d.Secondary.Wire = Wire{Gauge: "0.20 mm", Insulation: Bare}
	d.TopLoad.Wire = Wire{Gauge: "1.60 mm", Insulation: Bare}
	d.Primary.Wire = Wire{Gauge: "1.30 mm", Insulation: Bare}
	d.Secondary.Pitch = 0.00025
	one := evaluated(t, d)
	for _, x := range []*float64{
		&d.Secondary.FormerDiameter, &d.Secondary.FormerWall, &d.Secondary.Pitch, &d.Secondary.BaseHeight,
		&d.TopLoad.Height, &d.TopLoad.FormerDiameter, &d.TopLoad.HubDiameter,
		&d.Primary.InnerDiameter, &d.Primary.Pitch, &d.Primary.BaseHeight, &d.Room.FloorDepth,
	} {
		*x *= 2
	}
	d.Secondary.Wire.Gauge, d.TopLoad.Wire.Gauge, d.Primary.Wire.Gauge = "0.40 mm", "3.20 mm", "2.60 mm"
	two := evaluated(t, d)
	for _, test := range []struct {
		key      string
		one, two *float64
		factor   float64
	}{
		{"secondary.inductance_h", one.Secondary.Inductance, two.Secondary.Inductance, 2},
		{"top_load.capacitance_f", one.TopLoad.Capacitance, two.TopLoad.Capacitance, 2},
		{"primary.inductance_h", one.Primary.Inductance, two.Primary.Inductance, 2},
		{"primary.mutual_inductance_h", one.Primary.MutualInductance, two.Primary.MutualInductance, 2},
		{"primary.coupling_coefficient", one.Primary.Coupling, two.Primary.Coupling, 1},
		{"resonance.frequency_hz", one.Resonance.Frequency, two.Resonance.Frequency, 0.5},
		{"resonance.bare_frequency_hz", one.Resonance.BareFrequency, two.Resonance.BareFrequency, 0.5},
		{"handbook.frequency_hz", one.Handbook.Frequency, two.Handbook.Frequency, 0.5},
		{"secondary.dc_resistance_ohm", one.Secondary.ResistanceDC, two.Secondary.ResistanceDC, 0.5},
	} {
		if got, want := orZero(test.two), test.factor*orZero(test.one); !scalar.EqualWithinRel(got, want, 1e-9) || want == 0 {
			t.Errorf("%s of the coil twice as large = %g, want %g", test.key, got, want)
		}
	}
}

// A metal plane takes inductance and coupling away, the less the farther it
// is.
func TestMetalPlaneTakesInductance(t *testing.T) {
	d := read(t, desk)
	free := evaluated(t, d).Primary
	d.Room.Ground = MetalPlane
	withPlane := evaluated(t, d)
	near := withPlane.Primary
	// k = M/sqrt(L1 L2): the secondary over the plane has less inductance than
	// the report states without it.
	if l2 := math.Pow(*near.MutualInductance / *near.Coupling, 2) / *near.Inductance; !(l2 < *withPlane.Secondary.Inductance*(1-1e-4)) {
		t.Errorf("the coupling rests on %g H, free of the plane it is %g H", l2, *withPlane.Secondary.Inductance)
	}
	d.Secondary.BaseHeight += 10
	d.Primary.BaseHeight += 10
	far := evaluated(t, d).Primary
	if !(*near.Inductance < *free.Inductance && *near.MutualInductance < *free.MutualInductance) {
		t.Errorf("near a plane L %g, M %g H, without L %g, M %g H", *near.Inductance, *near.MutualInductance, *free.Inductance, *free.MutualInductance)
	}
	for _, pair := range [][2]*float64{{far.Inductance, free.Inductance}, {far.MutualInductance, free.MutualInductance}, {far.Coupling, free.Coupling}} {
		if !scalar.EqualWithinRel(*pair[0], *pair[1], 1e-6) {
			t.Errorf("10 m over a plane %g, without %g", *pair[0], *pair[1])
		}
	}
}
