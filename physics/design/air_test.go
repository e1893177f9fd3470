package design

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// bodyCase is a body computed independently of this program, see
// testdata/SOURCES.md.
type bodyCase struct {
	ID     string  `json:"id"`
	Kind   string  `json:"kind"`
	Value  float64 `json:"value"`
	Inputs struct {
		Turns  int     `json:"turns"`
		AWG    int     `json:"awg"`
		Wire   float64 `json:"wire_d_m"`
		Former float64 `json:"former_D_m"`
		Ring   float64 `json:"ring_R_m"`
		Radius float64 `json:"R_m"`
		Tube   float64 `json:"a_m"`
	} `json:"inputs"`
}

func bodyCases(t *testing.T, kind string) []bodyCase {
	t.Helper()
	data, err := os.ReadFile("../../testdata/bodies.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []bodyCase
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	all = slices.DeleteFunc(all, func(c bodyCase) bool { return c.Kind != kind })
	if len(all) == 0 {
		t.Fatalf("no case of kind %q", kind)
	}
	return all
}

// underTop returns a coil of few turns for a top load to stand on.
func underTop(kind string) Design {
	d := New()
	d.SetPrimaryKind(NoPrimary)
	d.Secondary.Turns, d.Secondary.FormerDiameter = 30, 0.02
	d.SetTopLoadKind(kind)
	d.TopLoad.Height = 0.1
	return d
}

func TestIsolatedGradientOfRings(t *testing.T) {
	for _, c := range bodyCases(t, "wire_ring_max_field_per_volt") {
		d := underTop(WireRing)
		d.TopLoad.Wire = Wire{Gauge: fmt.Sprintf("AWG %d", c.Inputs.AWG), Insulation: Bare}
		d.TopLoad.FormerDiameter, d.TopLoad.Turns = c.Inputs.Former, c.Inputs.Turns
		d.TopLoad.HubDiameter = 2*c.Inputs.Ring - c.Inputs.Former - 2*c.Inputs.Wire
		r := evaluated(t, d)
		if got := orZero(r.Air.IsolatedGradientPerVolt); !scalar.EqualWithinRel(got, c.Value, 0.003) {
			t.Errorf("%s: isolated_gradient_per_volt_1_m = %.6g, want %.6g (interior charges)", c.ID, got, c.Value)
		}
	}
}

func TestIsolatedGradientOfTori(t *testing.T) {
	for _, c := range bodyCases(t, "torus_max_field_per_volt") {
		d := underTop(Torus)
		d.TopLoad.OuterDiameter, d.TopLoad.TubeDiameter = 2*(c.Inputs.Radius+c.Inputs.Tube), 2*c.Inputs.Tube
		d.TopLoad.Closed = false // as the cases are
		r := evaluated(t, d)
		if got := orZero(r.Air.IsolatedGradientPerVolt); !scalar.EqualWithinRel(got, c.Value, 1e-6) {
			t.Errorf("%s: isolated_gradient_per_volt_1_m = %.9g, want %.9g (surface charges)", c.ID, got, c.Value)
		}
	}
}

// A ball and a disc as thick as wide are spheres; a flat disc has no answer.
func TestIsolatedGradientOfBalls(t *testing.T) {
	d := underTop(Sphere)
	d.TopLoad.Diameter = 0.04
	ball := evaluated(t, d).Air
	if got := orZero(ball.IsolatedGradientPerVolt); !scalar.EqualWithinRel(got, 50, 1e-12) {
		t.Errorf("ball of 4 cm: %g 1/m, want 50 (1/R)", got)
	}
	d = underTop(Disc)
	d.TopLoad.Diameter, d.TopLoad.Thickness = 0.04, 0.0399
	if got := orZero(evaluated(t, d).Air.IsolatedGradientPerVolt); !scalar.EqualWithinRel(got, 50, 0.005) {
		t.Errorf("disc as thick as wide: %g 1/m, want 50 (sphere of 4 cm)", got)
	}
	d.TopLoad.Thickness = 0
	air := evaluated(t, d).Air
	if air.SurfaceGradientPerVolt != nil || air.IsolatedGradientPerVolt != nil || air.CoronaOnset != nil || len(air.Places) != 0 {
		t.Errorf("disc without thickness: %+v, want null", air)
	}
}

// High over a short winding in the open a ball has the gradient it has alone.
func TestGradientInPlace(t *testing.T) {
	high := underTop(Sphere)
	high.Room.Ground = Open
	high.Secondary.Turns, high.TopLoad.Diameter, high.TopLoad.Height = 20, 0.04, 3
	air := evaluated(t, high).Air
	if got := orZero(air.SurfaceGradientPerVolt); !scalar.EqualWithinRel(got, 50, 0.01) {
		t.Errorf("ball far up: %g 1/m, want 50 (1/R)", got)
	}
	// The winding below, at much the same voltage, shields it from above its share.
	near := high
	near.Secondary.Turns, near.TopLoad.Height = 300, 0.03
	if got := orZero(evaluated(t, near).Air.SurfaceGradientPerVolt); !(got > 35 && got < 50) {
		t.Errorf("ball over a long winding: %g 1/m, want less than alone, 50", got)
	}
	// An earthed plate close above raises it.
	low := near
	low.Room.CeilingHeight = geometryOf(t, low).TopLoad.Centre + 0.02 + 0.01
	if got := orZero(evaluated(t, low).Air.SurfaceGradientPerVolt); !(got > 80) {
		t.Errorf("ball 1 cm under a plate: %g 1/m, want over 80 (a gap of 1 cm alone has 100)", got)
	}
}

// Onset follows from the gradient by the format's definition, put in by hand.
func TestOnsetOfTheDeskCoil(t *testing.T) {
	r := evaluated(t, read(t, desk))
	const density = 1.0171                      // 20 °C, gas law
	const radius = 0.0813863                    // cm, AWG 14 by ASTM B258, half of 1.627726 mm
	onset := func(flat, root float64) float64 { // V/m
		return 1e5 * flat * density * (1 + root/math.Sqrt(density*radius))
	}
	g := *r.Air.SurfaceGradientPerVolt
	for _, test := range []struct {
		key       string
		got, want float64
	}{
		{"corona_onset_v", *r.Air.CoronaOnset, onset(30, 0.301) / g},
		{"corona_onset_low_v", *r.Air.CoronaOnsetLow, 0.9 * 0.75 * onset(30, 0.301) / g},
		{"corona_onset_high_v", *r.Air.CoronaOnsetHigh, onset(27.2, 0.54) / g},
	} {
		if !scalar.EqualWithinRel(test.got, test.want, 1e-3) {
			t.Errorf("%s = %g, want %g (Peek 1929, from %g 1/m)", test.key, test.got, test.want, g)
		}
	}
	for i, p := range r.Air.Places {
		if p.SurfaceGradientPerVolt == nil || p.CoronaOnset == nil || p.CoronaOnsetLow == nil || p.CoronaOnsetHigh == nil {
			t.Errorf("%s has a gradient without onset or the other way round", p.Name)
		}
		if i > 0 && *p.CoronaOnset < *r.Air.Places[i-1].CoronaOnset {
			t.Errorf("%s glows before %s and stands behind it", p.Name, r.Air.Places[i-1].Name)
		}
	}
	if !slices.ContainsFunc(r.Cautions, func(c Caution) bool { return c.Code == "corona_onset" }) {
		t.Error("no caution says what the onset rests on")
	}
	// Thin air bears less.
	d := read(t, desk)
	d.Room.AirPressure *= 0.8
	if thin := evaluated(t, d).Air; !(*thin.CoronaOnset < *r.Air.CoronaOnset) || *thin.SurfaceGradientPerVolt != g {
		t.Errorf("at 0.8 of the pressure it glows at %g V, else at %g V", *thin.CoronaOnset, *r.Air.CoronaOnset)
	}
}

func TestAirWithoutTopLoad(t *testing.T) {
	air := evaluated(t, read(t, smallest)).Air
	if air.IsolatedGradientPerVolt != nil || len(air.Places) == 0 || air.Places[0].Name != PlaceLastTurn {
		t.Fatalf("without a top load: %+v, want the last turn first", air)
	}
	if *air.SurfaceGradientPerVolt != *air.Places[0].SurfaceGradientPerVolt {
		t.Errorf("surface gradient %g, that of the last turn %g", *air.SurfaceGradientPerVolt, *air.Places[0].SurfaceGradientPerVolt)
	}
}

// Twice the size: half the gradient everywhere, fractional turns too.
func TestAirScales(t *testing.T) {
	at := func(scale, turns float64) AirReport {
		d := New()
		d.SetPrimaryKind(NoPrimary)
		d.Room.Ground = Open
		d.Secondary.Turns = turns
		d.Secondary.Wire = Wire{Gauge: map[float64]string{1: "0.20 mm", 2: "0.40 mm"}[scale], Insulation: Bare}
		d.Secondary.FormerDiameter, d.Secondary.Pitch, d.Secondary.BaseHeight = scale*0.025, scale*0.00025, scale*0.02
		d.TopLoad = TopLoad{Kind: Torus, OuterDiameter: scale * 0.06, TubeDiameter: scale * 0.015, Height: scale * 0.02}
		return evaluated(t, d).Air
	}
	for _, turns := range []float64{1, 40, 40.5, 200} {
		one, two := at(1, turns), at(2, turns)
		if len(one.Places) != len(two.Places) {
			t.Fatalf("%g turns: %d places and %d", turns, len(one.Places), len(two.Places))
		}
		for _, p := range one.Places {
			for _, q := range two.Places {
				if p.Name == q.Name && !scalar.EqualWithinRel(*p.SurfaceGradientPerVolt, 2**q.SurfaceGradientPerVolt, 1e-6) {
					t.Errorf("%g turns, %s: %g 1/m and at twice the size %g 1/m", turns, p.Name, *p.SurfaceGradientPerVolt, *q.SurfaceGradientPerVolt)
				}
			}
		}
		if !scalar.EqualWithinRel(*one.IsolatedGradientPerVolt, 2**two.IsolatedGradientPerVolt, 1e-9) {
			t.Errorf("alone %g 1/m and at twice the size %g 1/m", *one.IsolatedGradientPerVolt, *two.IsolatedGradientPerVolt)
		}
	}
}

// A used solver says what a fresh one does.
func TestAirRemembersNothingWrong(t *testing.T) {
	s := NewSolver()
	d := read(t, desk)
	for _, turns := range []int{19, 16, 19} {
		d.TopLoad.Turns = turns
		got, err := s.Evaluate(t.Context(), d)
		if err != nil {
			t.Fatal(err)
		}
		want := evaluated(t, d).Air
		if !scalar.EqualWithinRel(*got.Air.SurfaceGradientPerVolt, *want.SurfaceGradientPerVolt, 1e-9) || !scalar.EqualWithinRel(*got.Air.IsolatedGradientPerVolt, *want.IsolatedGradientPerVolt, 1e-12) {
			t.Errorf("%d turns: used solver %+v, fresh %+v", turns, got.Air, want)
		}
	}
}

// BenchmarkAir450 is the air alone, winding and ring moved by a used solver.
func BenchmarkAir450(b *testing.B) {
	s, d := NewSolver(), benchDesign(b)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		d.TopLoad.FormerDiameter = 0.014 + 1e-5*float64(i%moves)
		l, problems := layOut(&d)
		if len(problems) > 0 {
			b.Fatal(problems)
		}
		if _, err := s.resonator.modes(b.Context(), &d, &l); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		var r Report
		if err := s.addAir(b.Context(), &d, &l, &r); err != nil {
			b.Fatal(err)
		}
	}
}

// A lead glows before the smooth body it climbs to; a sleeve helps it, and a breakout
// point or a wire end goes first of all, as it is meant to.
func TestAirOfWhatHangsOnTheTopLoad(t *testing.T) {
	d := underTop(Sphere)
	d.Secondary.Turns = 200
	d.TopLoad.Diameter, d.TopLoad.Height = 0.05, 0.06
	place := func(d Design, name PlaceName) Place {
		t.Helper()
		for _, p := range evaluated(t, d).Air.Places {
			if p.Name == name {
				return p
			}
		}
		t.Fatalf("no place is called %s", name)
		return Place{}
	}
	bare := evaluated(t, d)
	d.TopLoad.Lead = Lead{Place: OnAxis, Wire: Wire{Gauge: "0.50 mm", Insulation: Bare}}
	for _, where := range []string{OnAxis, Outside} {
		d.TopLoad.Lead.Place = where
		lead := place(d, PlaceLead)
		if !(*lead.CoronaOnset < *place(d, PlaceTopLoad).CoronaOnset) {
			t.Errorf("lead %s glows at %g V, after the ball, %g V", where, *lead.CoronaOnset, *place(d, PlaceTopLoad).CoronaOnset)
		}
		sleeved := d
		sleeved.TopLoad.Lead.Sleeve = 0.002
		if s := place(sleeved, PlaceLead); !(*s.CoronaOnset > 1.5**lead.CoronaOnset) {
			t.Errorf("lead %s in a sleeve of 2 mm glows at %g V, bare at %g V", where, *s.CoronaOnset, *lead.CoronaOnset)
		}
		if f := evaluated(t, d).Resonance; !(*f.Frequency < *bare.Resonance.Frequency && *f.Frequency > 0.97**bare.Resonance.Frequency) {
			t.Errorf("lead %s: %g Hz, without %g Hz", where, *f.Frequency, *bare.Resonance.Frequency)
		}
	}
	d.TopLoad.Breakout = Breakout{Length: 0.03, TipRadius: 0.0005}
	air := evaluated(t, d).Air
	if air.Places[0].Name != PlaceBreakout || *air.CoronaOnset != *air.Places[0].CoronaOnset {
		t.Errorf("with a breakout point %s glows first", air.Places[0].Name)
	}
	if !(*air.SurfaceGradientPerVolt < *bare.Air.SurfaceGradientPerVolt) {
		t.Errorf("ball under a rod: %g 1/m, without %g 1/m: the rod shields it", *air.SurfaceGradientPerVolt, *bare.Air.SurfaceGradientPerVolt)
	}
	d.TopLoad.Breakout = Breakout{}
	d.TopLoad.Tip = Tip{Length: 0.0002, Radius: 0.0002}
	if tip, top := place(d, PlaceTip), place(d, PlaceTopLoad); !scalar.EqualWithinRel(*tip.SurfaceGradientPerVolt, 3**top.SurfaceGradientPerVolt, 0.01) {
		t.Errorf("half ball of 0.2 mm on a ball of 50 mm: %g 1/m, want three times %g 1/m", *tip.SurfaceGradientPerVolt, *top.SurfaceGradientPerVolt)
	}
}

func TestOnTopIsRefused(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*TopLoad)
		code   string
		key    string
	}{
		{"a rod as thick as long", func(l *TopLoad) { l.Breakout = Breakout{0.01, 0.01} }, CodeBreakout, "top_load.breakout.tip_radius_m"},
		{"a rod thicker than its hub", func(l *TopLoad) { l.Breakout = Breakout{0.1, 0.006} }, CodeBreakout, "top_load.breakout.tip_radius_m"},
		{"a rod without a radius", func(l *TopLoad) { l.Breakout = Breakout{0.1, 0} }, CodeOutOfRange, "top_load.breakout.tip_radius_m"},
		{"a spike without a radius", func(l *TopLoad) { l.Tip = Tip{Length: 0.001} }, CodeOutOfRange, "top_load.tip.radius_m"},
		{"a lead nowhere", func(l *TopLoad) { l.Lead = Lead{Place: "aside", Wire: Wire{"AWG 20", Bare, 0}} }, CodeUnknownValue, "top_load.lead.place"},
		{"a lead of no wire", func(l *TopLoad) { l.Lead = Lead{Place: OnAxis, Wire: Wire{"AWG 999", Bare, 0}} }, CodeUnknownValue, "top_load.lead.wire.gauge"},
		{"a lead thinner over its insulation", func(l *TopLoad) { l.Lead = Lead{Place: OnAxis, Wire: Wire{"AWG 20", Single, 0.0001}} }, CodeInsulation, "top_load.lead.wire.overall_diameter_m"},
	} {
		d := read(t, desk)
		test.change(&d.TopLoad)
		problems := Check(d)
		if len(problems) == 0 || problems[0].Code != test.code || problems[0].Key != test.key {
			t.Errorf("%s: %+v, want %s of %s", test.name, problems, test.code, test.key)
		}
	}
}
