package experiment

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// clubCoil is a coil of an invented physics club: 55 turns on a 70 mm tube under a
// ring of wire, with a transistor to drive it.
const clubCoil = `{
 "format": "coilwright-design", "version": 1,
 "secondary": {"former_diameter_m": 0.07, "turns": 55, "wire": {"gauge": "AWG 25", "insulation": "single"}, "base_height_m": 0.025},
 "top_load": {"kind": "wire_ring", "height_m": 0.017, "wire": {"gauge": "AWG 14", "insulation": "bare"},
  "former_diameter_m": 0.02134, "turns": 24, "hub_diameter_m": 0.01254},
 "primary": {"kind": "cylinder", "turns": 3, "inner_diameter_m": 0.096, "pitch_m": 0.004, "wire": {"gauge": "AWG 18", "insulation": "bare"}, "base_height_m": 0.02},
 "driver": {"kind": "feedback_exciter", "supply_v": 9, "supply_resistance_ohm": 1.5, "device": "PN2222A", "base_resistor_ohm": 10000, "clamp": "1N4148", "sense": 1},
 "room": {"ground": "floor", "floor_depth_m": 0.75}
}`

func bench(t *testing.T, change func(*design.Design)) *Bench {
	t.Helper()
	d, err := design.Read(strings.NewReader(clubCoil))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&d)
	}
	b, err := NewBench(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// run makes an experiment, and is the one place where its type is known.
func run[O Outcome](t *testing.T, b *Bench, kind Kind, s Settings) O {
	t.Helper()
	x, ok := Find(b, kind)
	if !ok {
		t.Fatalf("no experiment %q", kind)
	}
	o, err := x.Run(t.Context(), b, s)
	if err != nil {
		t.Fatalf("%s: %v", kind, err)
	}
	return o.(O)
}

// same is how near two numbers of one solver lie that are asked for in two ways.
const same = 1e-9

// near compares two numbers; the tolerance is relative.
func near(t *testing.T, what string, got, want, tolerance float64, source string) {
	t.Helper()
	if !scalar.EqualWithinRel(got, want, tolerance) {
		t.Errorf("%s = %.7g, want %.7g to %g (%s)", what, got, want, tolerance, source)
	}
}

// ringError bounds the surface gradient of a ring of wire: see topload.RingSolver.
const ringError = 0.006

// TestNumbersOfTheDesign holds what an experiment shows at the design's own place
// against the design's report.
func TestNumbersOfTheDesign(t *testing.T) {
	b := bench(t, nil)
	r := b.Report()
	frequency := *r.Resonance.Frequency

	ring := run[*RingOutcome](t, b, Ring, nil)
	near(t, "capacitance of the ring", ring.Solution.Capacitance, *r.TopLoad.Capacitance, same, "report")
	near(t, "smooth ring", ring.SmoothCapacitance, *r.TopLoad.SmoothCapacitance, same, "report")
	near(t, "the ring's share of the smooth one", ring.Answer(), *r.TopLoad.Capacitance / *r.TopLoad.SmoothCapacitance, same, "report")
	if ratio := ring.GradientRatio(); ratio <= 1 {
		t.Errorf("thin wires have %g of the field of the smooth ring, want more than it has", ratio)
	}
	near(t, "gradient of the ring", ring.Solution.PeakGradient, *r.Air.IsolatedGradientPerVolt, 2*ringError, "report, finer; each is within 0.6 % of rings solved independently")

	for mode := 1; mode <= 3; mode++ {
		wave := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		want := frequency
		if mode > 1 {
			want = r.Resonance.Overtones[mode-2]
		}
		near(t, "frequency of the mode", wave.Frequency, want, same, "report")
	}
	bare := run[*WaveOutcome](t, b, StandingWave, Settings{"top_load": 0})
	near(t, "bare coil", bare.Frequency, *r.Resonance.BareFrequency, same, "report")

	approach := run[*ApproachOutcome](t, b, Approach, Settings{"distance": 1})
	near(t, "free frequency", approach.FreeFrequency(), frequency, same, "report")
	near(t, "free gradient", *approach.Free.Air.SurfaceGradientPerVolt, *r.Air.SurfaceGradientPerVolt, same, "report")

	shorted := run[*ShortedOutcome](t, b, ShortedTurn, Settings{"height": b.Design().TopLoad.Height})
	near(t, "with the design's ring", shorted.OfWire, frequency, same, "report")

	start := run[*StartOutcome](t, b, StartUp, nil)
	if start.Running.State != driver.StateFull || !start.Start.Grows() {
		t.Errorf("the exciter of the example: state %q, growth %g, want full output", start.Running.State, start.Start.Growth)
	}
	beat := run[*BeatOutcome](t, b, Beat, nil)
	near(t, "frequency of the coil at its foot", beat.Circuit.Coil.Frequency(), frequency, same, "report")
}

// TestAnswersLieOnTheCurve draws an answer as a guess: it falls where the picture has it.
func TestAnswersLieOnTheCurve(t *testing.T) {
	b := bench(t, nil)
	approach := run[*ApproachOutcome](t, b, Approach, nil)
	near(t, "frequency under the plate", approach.Fallen(approach.Answer()), approach.PresentFrequency(), same, "solved")
	shorted := run[*ShortedOutcome](t, b, ShortedTurn, nil)
	near(t, "frequency with a closed ring", shorted.Risen(shorted.Answer()), shorted.PresentUnbroken, same, "solved")
}

func TestRefusals(t *testing.T) {
	b := bench(t, nil)
	x, _ := Find(b, Beat)
	for _, s := range []Settings{{"coupling": 2}, {"coupling": math.NaN()}, {"colour": 1}} {
		if _, err := x.Run(t.Context(), b, s); !errors.Is(err, ErrSetting) {
			t.Errorf("settings %v: %v, want a refusal", s, err)
		}
	}
}

// TestOtherDesigns makes every experiment on coils that lack something.
func TestOtherDesigns(t *testing.T) {
	for name, change := range map[string]func(*design.Design){
		"no top load": func(d *design.Design) { d.TopLoad = design.TopLoad{Kind: design.NoTopLoad} },
		"no primary": func(d *design.Design) {
			d.Primary = design.Primary{Kind: design.NoPrimary}
			d.Driver = design.Driver{Kind: design.NoDriver}
		},
		"sphere": func(d *design.Design) {
			d.TopLoad = design.TopLoad{Kind: design.Sphere, Height: 0.03, Diameter: 0.04, Closed: true}
		},
		"ceiling": func(d *design.Design) { d.Room.CeilingHeight = 0.5 },
	} {
		t.Run(name, func(t *testing.T) {
			b := bench(t, change)
			for _, x := range All(b) {
				o, err := x.Run(t.Context(), b, nil)
				if err != nil {
					t.Errorf("%s: %v", x.Kind, err)
					continue
				}
				if a := o.Answer(); math.IsInf(a, 0) {
					t.Errorf("%s answers %g", x.Kind, a)
				}
			}
		})
	}
}

func TestSettingPlaces(t *testing.T) {
	b := bench(t, nil)
	for _, x := range All(b) {
		for _, s := range append(x.Settings, x.Guess) {
			near(t, "least", s.At(0), s.Least, 1e-9, "the left end")
			near(t, "most", s.At(1), s.Most, 1e-9, "the right end")
			if !s.TwoChoices {
				v := s.At(0.4)
				near(t, string(x.Kind)+" "+s.Name+" there and back", s.At(s.Place(v)), v, 1e-9, "its own inverse")
			}
			if next := s.Moved(s.Start, 1); next < s.Start || next == s.Start && s.Start < s.Most && !s.TwoChoices {
				t.Errorf("%s: %s steps from %g to %g", x.Kind, s.Name, s.Start, next)
			}
			if s.Start < s.Least || s.Start > s.Most {
				t.Errorf("%s: %s starts at %g, outside %g to %g", x.Kind, s.Name, s.Start, s.Least, s.Most)
			}
		}
	}
}

func TestWithin(t *testing.T) {
	x, _ := Find(bench(t, nil), Ring)
	got, moved := x.Within(Settings{"turns": 500, "colour": 3})
	if !moved || len(got) != 1 || got["turns"] != x.Settings[0].Most {
		t.Errorf("500 turns become %v, moved %v, want the most, %g", got, moved, x.Settings[0].Most)
	}
	if got, moved := x.Within(Settings{"turns": 10}); moved || got["turns"] != 10 {
		t.Errorf("10 turns become %v, moved %v", got, moved)
	}
}
