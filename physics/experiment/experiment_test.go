package experiment

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/design"
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

func near(t *testing.T, what string, got, want, tolerance float64, source string) {
	t.Helper()
	if !scalar.EqualWithinAbsOrRel(got, want, tolerance, tolerance) {
		t.Errorf("%s = %.7g, want %.7g to %g (%s)", what, got, want, tolerance, source)
	}
}

// TestNumbersOfTheDesign holds what an experiment shows at the design's own place
// against the design's report.
func TestNumbersOfTheDesign(t *testing.T) {
	b := bench(t, nil)
	r := b.Report()
	frequency := *r.Resonance.Frequency

	ring := run[*RingOutcome](t, b, Ring, nil)
	near(t, "capacitance of the ring", ring.PresentCapacitance, *r.TopLoad.Capacitance, 1e-6, "report")
	near(t, "smooth ring", ring.SmoothCapacitance, *r.TopLoad.SmoothCapacitance, 1e-9, "report")
	near(t, "gradient of the ring", ring.PresentGradient, *r.Air.IsolatedGradientPerVolt, 0.012, "report, finer")

	for mode := 1; mode <= 3; mode++ {
		wave := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		want := frequency
		if mode > 1 {
			want = r.Resonance.Overtones[mode-2]
		}
		near(t, "frequency of the mode", wave.Frequency, want, 1e-9, "report")
	}
	bare := run[*WaveOutcome](t, b, StandingWave, Settings{"top_load": 0})
	near(t, "bare coil", bare.Frequency, *r.Resonance.BareFrequency, 1e-6, "report")

	approach := run[*ApproachOutcome](t, b, Approach, Settings{"distance": 1})
	near(t, "free frequency", approach.FreeFrequency, frequency, 1e-9, "report")
	near(t, "free gradient", approach.FreeGradient, *r.Air.SurfaceGradientPerVolt, 1e-9, "report")

	shorted := run[*ShortedOutcome](t, b, ShortedTurn, Settings{"height": b.Design().TopLoad.Height})
	near(t, "with the design's ring", shorted.OfWire, frequency, 1e-9, "report")

	start := run[*StartOutcome](t, b, StartUp, nil)
	if start.State != "full" || !(start.Growth > 0) {
		t.Errorf("the exciter of the example: state %q, growth %g, want full output", start.State, start.Growth)
	}
	beat := run[*BeatOutcome](t, b, Beat, nil)
	near(t, "frequency of the coil at its foot", beat.Frequency, frequency, 1e-9, "report")
}

// TestQuarterWave compares a bare coil in the open with the standing wave of a
// uniform line, a quarter of a sine: a real coil is near it, not on it, and its
// higher modes have their nodes.
func TestQuarterWave(t *testing.T) {
	b := bench(t, func(d *design.Design) {
		d.TopLoad = design.TopLoad{Kind: design.NoTopLoad}
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
		d.Secondary.Turns = 400
		d.Secondary.FormerDiameter = 0.02
		d.Room.Ground = design.Open
	})
	for mode := 1; mode <= 3; mode++ {
		o := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		if mode == 1 {
			near(t, "half way up", o.Half, math.Sin(math.Pi/4), 0.1, "uniform line open at the top, which a long coil is near")
		}
		nodes := 0
		for i := 2; i < len(o.Wave.Voltage); i++ {
			if o.Wave.Voltage[i]*o.Wave.Voltage[i-1] < 0 {
				nodes++
			}
		}
		if nodes != mode-1 {
			t.Errorf("mode %d has %d nodes between foot and top, want %d", mode, nodes, mode-1)
		}
	}
}

// TestPhases holds the moving pictures against the mode they are of: at every phase
// the squares of voltage and current, over their crests, add to one.
func TestPhases(t *testing.T) {
	o := run[*WaveOutcome](t, bench(t, nil), StandingWave, nil)
	for _, phase := range []float64{0, 0.3, math.Pi / 2, 2, 5} {
		v, i := o.At(phase)
		for k := 1; k < len(v); k++ {
			sum := math.Pow(v[k]/o.Wave.Voltage[k], 2) + math.Pow(i[k]/o.Wave.Current[k], 2)
			near(t, "squares of voltage and current", sum, 1, 1e-9, "standing wave")
		}
		near(t, "top", v[len(v)-1], math.Cos(phase), 1e-9, "voltage is largest at phase 0")
	}
}

// TestBeatWithoutLosses compares with two tuned circuits without losses: modes at
// f/√(1±k), and all energy across after half a beat.
func TestBeatWithoutLosses(t *testing.T) {
	b, lossless := bench(t, nil), 1e7
	b.report.Resonance.QualityFactor = &lossless
	for _, k := range []float64{0.05, 0.1, 0.2} {
		g := b.tank(k, 1)
		g.Primary.Resistance = 1e-9
		d, err := g.Solve()
		if err != nil {
			t.Fatal(err)
		}
		f := g.Coil.Frequency()
		near(t, "lower mode", d.Splitting[0], f/math.Sqrt(1+k), 1e-6, "two tuned circuits")
		near(t, "upper mode", d.Splitting[1], f/math.Sqrt(1-k), 1e-6, "two tuned circuits")
		half := 0.5 / (d.Splitting[1] - d.Splitting[0])
		near(t, "first notch in swings", d.FirstNotch*f, half*f, 0.06, "half a beat; the swing's own zeros stand a quarter of a swing apart")
		near(t, "energy across", d.EnergyShare, 1, 0.03, "no losses; the rest waits for the special couplings")
	}
}

// TestHumps compares the humps of a coil of high Q with the modes of two tuned
// circuits.
func TestHumps(t *testing.T) {
	b := bench(t, nil)
	for _, k := range []float64{0.1, 0.3} {
		o := run[*HumpsOutcome](t, b, Humps, Settings{"coupling": k, "tuning": 1})
		want := 1/math.Sqrt(1-k) - 1/math.Sqrt(1+k)
		near(t, "distance of the humps", o.Answer(), want, 0.02*want+0.004, "two tuned circuits without losses")
	}
}

func TestApproachLimits(t *testing.T) {
	b := bench(t, nil)
	o := run[*ApproachOutcome](t, b, Approach, Settings{"distance": nearestPlate})
	for i := 1; i < len(o.Frequency); i++ {
		if o.Frequency[i] <= o.Frequency[i-1] {
			t.Errorf("the frequency does not rise as the plate goes from %g to %g m", o.Distance[i-1], o.Distance[i])
		}
	}
	if o.PresentGradient <= o.FreeGradient {
		t.Errorf("a plate at %g m leaves the surface gradient at %g of %g 1/m", nearestPlate, o.PresentGradient, o.FreeGradient)
	}
	far := run[*ApproachOutcome](t, b, Approach, Settings{"distance": farthestPlate})
	if a := far.Answer(); a < 0 || a > 2e-3 {
		t.Errorf("a plate a metre away lowers the frequency by %g, want next to nothing", a)
	}
}

// TestBestWire compares the best thickness with what is known of developed skin
// effect: less than the pitch, and with the skin depth thick against the pitch the
// thickest wire.
func TestBestWire(t *testing.T) {
	b := bench(t, nil)
	low := run[*WireOutcome](t, b, Wire, Settings{"frequency": 1e4})
	if low.Best < 0.95 {
		t.Errorf("at 10 kHz the best wire is %g of the pitch, want all of it: the skin is thicker than the wire", low.Best)
	}
	near(t, "resistance of thin wire at 10 kHz", low.Neighbours[0], low.Steady[0], 1e-3, "a wire much thinner than the skin")
	high := run[*WireOutcome](t, b, Wire, Settings{"frequency": 2e7})
	// With Medhurst's factors for coils 0.2 to 1 diameters long, over the diameter,
	// the least lies between 0.5 and 0.7 of the pitch.
	if high.Best < 0.45 || high.Best > 0.75 {
		t.Errorf("at 20 MHz the best wire is %g of the pitch, want 0.5 to 0.7 (Medhurst 1947)", high.Best)
	}
	for i := range high.Share {
		if high.Neighbours[i] < high.BestValue*(1-1e-3) {
			t.Errorf("at %g of the pitch the wire has less resistance than the best", high.Share[i])
		}
	}
	density := high.At(0)
	near(t, "density at the surface", density[len(density)-1], 1, 1e-9, "its own unit")
}

func TestReversedSenseNeverStarts(t *testing.T) {
	b := bench(t, nil)
	o := run[*StartOutcome](t, b, StartUp, Settings{"sense": -1})
	if o.State != "none" || !math.IsNaN(o.Answer()) || o.Growth > 0 {
		t.Errorf("reversed: state %q, growth %g, answer %g; want none, below 0, none", o.State, o.Growth, o.Answer())
	}
}

func TestSpectrum(t *testing.T) {
	b := bench(t, nil)
	inside := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 13.56e6})
	near(t, "distance inside 13.56 MHz", inside.Answer(), 0, 0, "47 CFR 18.301")
	o := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 6e6})
	near(t, "distance from 6 MHz", o.Answer(), 0.765/6, 1e-9, "47 CFR 18.301: 6.765 MHz")
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

func TestLadder(t *testing.T) {
	b := bench(t, nil)
	set, err := b.Ladder(t.Context(), "secondary.turns", 50, 60, 6)
	if err != nil {
		t.Fatal(err)
	}
	for i, rung := range set {
		if rung.Value != 50+2*float64(i) || rung.Design.Secondary.Turns != rung.Value {
			t.Errorf("coil %d has %g turns for %g", i+1, rung.Design.Secondary.Turns, rung.Value)
		}
		if i > 0 && rung.Frequency >= set[i-1].Frequency {
			t.Errorf("coil %d rings no lower than the one before with fewer turns", i+1)
		}
	}
	if _, err := b.Ladder(t.Context(), "secondary.colour", 1, 2, 3); err == nil {
		t.Error("a ladder of nothing is made")
	}
}
