package experiment

import (
	"cmp"
	"errors"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/si"
	"coilwright/physics/spectrum"
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

// TestQuarterWave compares a long bare coil in the open with the standing wave of a
// uniform line. With a capacitance at its open end the line is θ < π/2 long and has
// sin(θ/2)/sin θ = 1/(2 cos(θ/2)) half way up: 1/2 if all charge is at the end and
// sin(π/4) if none is. The charge of a coil crowds at its open end, so that it lies
// between. Its higher modes have their nodes.
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
		if least, most := 0.5, math.Sin(math.Pi/4); mode == 1 && !(o.Half > least && o.Half < most) {
			t.Errorf("half way up there is %g of the voltage, want between %g and %g", o.Half, least, most)
		}
		nodes, largest := 0, 0.0
		for i := 2; i < len(o.Wave.Voltage); i++ {
			if o.Wave.Voltage[i]*o.Wave.Voltage[i-1] < 0 {
				nodes++
			}
			largest = math.Max(largest, math.Abs(o.Wave.Voltage[i]))
		}
		if nodes != mode-1 {
			t.Errorf("mode %d has %d nodes between foot and top, want %d", mode, nodes, mode-1)
		}
		near(t, "largest voltage", largest, 1, 0, "its own unit")
	}
}

// TestLargestIsOne looks at modes with a top load, of which some swing farthest
// against their top.
func TestLargestIsOne(t *testing.T) {
	b := bench(t, nil)
	for mode := 1; mode <= 3; mode++ {
		o := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		for name, values := range map[string][]float64{"voltage": o.Wave.Voltage, "current": o.Wave.Current, "other voltage": o.Other.Voltage} {
			if most, least := floats.Max(values), floats.Min(values); most != 1 || least < -1 {
				t.Errorf("mode %d: %s from %g to %g, want 1 to be the largest in size", mode, name, least, most)
			}
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
// f/√(1±k), and the tank empty after half a beat.
func TestBeatWithoutLosses(t *testing.T) {
	b := bench(t, nil)
	b.circuit.Coil.Resistance, b.circuit.Primary.Resistance = 1e-9, 1e-9 // a part in 10¹⁰ of their reactances
	for _, k := range []float64{0.05, 0.1, 0.2} {
		o := run[*BeatOutcome](t, b, Beat, Settings{"coupling": k, "tuning": 1})
		f, d := *b.Report().Resonance.Frequency, o.Discharge
		near(t, "lower mode", d.Splitting[0], f/math.Sqrt(1+k), same, "two tuned circuits")
		near(t, "upper mode", d.Splitting[1], f/math.Sqrt(1-k), same, "two tuned circuits")
		half := 0.5 / (d.Splitting[1] - d.Splitting[0])
		near(t, "swings until the tank is empty", o.Answer(), half*f, same, "half a beat")
		near(t, "time of them", o.TimeAfter(o.Answer()), half, same, "half a beat")
		// The top swings as sin(Ωt)·sin(δt), Ω and δ half the sum and half the difference
		// of the modes. One of the first factor's crests lies within a quarter of its period
		// of the second's, which has then cos(πδ/2Ω) left.
		ratio := (d.Splitting[1] - d.Splitting[0]) / (d.Splitting[1] + d.Splitting[0])
		if least := math.Pow(math.Cos(math.Pi*ratio/2), 2); d.EnergyShare < least || d.EnergyShare > 1 {
			t.Errorf("at k = %g %g of the energy goes across, want %g to 1", k, d.EnergyShare, least)
		}
		if o.MostShare < d.EnergyShare {
			t.Errorf("at most %g of the energy is seen in the coil, and %g at the peak of its voltage", o.MostShare, d.EnergyShare)
		}
	}
}

func TestTuning(t *testing.T) {
	o := run[*BeatOutcome](t, bench(t, nil), Beat, Settings{"tuning": 0.8})
	near(t, "tank over coil", o.Discharge.TuningRatio, 0.8, same, "the setting")
}

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

func TestApproachLimits(t *testing.T) {
	b := bench(t, nil)
	o := run[*ApproachOutcome](t, b, Approach, Settings{"distance": nearestPlate})
	for i := 1; i < len(o.Frequency); i++ {
		if o.Frequency[i] <= o.Frequency[i-1] {
			t.Errorf("the frequency does not rise as the plate goes from %g to %g m", o.Distance[i-1], o.Distance[i])
		}
	}
	if ratio, ok := o.GradientRatio(); !ok || ratio <= 1 {
		t.Errorf("a plate at %g m leaves the surface gradient at %g of what it was", nearestPlate, ratio)
	}
	b = bench(t, func(d *design.Design) { // a primary would take some of the charge
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
	})
	far := run[*ApproachOutcome](t, b, Approach, Settings{"distance": farthestPlate})
	g, err := b.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	// From a metre away the charge is a point in its middle: that of the winding is what
	// the current loses on its way, that of the top what is left of it.
	wave := run[*WaveOutcome](t, b, StandingWave, nil).Wave
	floor, plate := -b.Design().Room.FloorDepth, g.TopLoad.Top()+farthestPlate
	last := len(wave.Height) - 1
	middle := wave.Current[last] / wave.Current[0] * (g.TopLoad.Centre - g.Winding.Top)
	middle += integrate.Trapezoidal(wave.Height, wave.Current)/wave.Current[0] + g.Winding.Bottom
	want := pointBetweenPlanes(*b.Report().Resonance.FootCapacitance, middle-floor, plate-floor)
	size := g.TopLoad.Top() - g.Winding.Bottom
	near(t, "fall under a plate a metre away", far.Answer(), want, math.Pow(size/farthestPlate, 2), "a point charge between planes; the next term is the square of size over distance")
}

// pointBetweenPlanes returns by how much of itself the frequency falls when an earthed
// plane comes to a height d in m over another, if all charge is at a height a and its
// capacitance is c in F. The images are +q at ±2nd from it and -q at 2nd±2a, so that
//
//	Δf/f = −c/(8πε₀) Σ (1/(2nd−2a) + 1/(2nd+2a) − 1/(nd)),   n = 1, 2, …
func pointBetweenPlanes(c, a, d float64) float64 {
	sum := 0.0
	for n := 1.0; n < 1000; n++ {
		sum += 1/(2*n*d-2*a) + 1/(2*n*d+2*a) - 1/(n*d)
	}
	return c * sum / (8 * math.Pi * si.Epsilon0)
}

// TestBestWire compares the best thickness with what is known of developed skin
// effect: less than the pitch, and with the skin depth thick against the pitch the
// thickest wire.
func TestBestWire(t *testing.T) {
	b := bench(t, nil)
	low := run[*WireOutcome](t, b, Wire, Settings{"frequency": 1e4})
	if low.Best != thickestShare {
		t.Errorf("at 10 kHz the best wire is %g of the pitch, want the thickest, %g: the skin is thicker than the wire", low.Best, thickestShare)
	}
	near(t, "resistance of thin wire at 10 kHz", low.Neighbours[0], low.Steady[0], 0.002, "a skin of 26 radii; loss.Solver is within 0.2 % of finite elements")
	high := run[*WireOutcome](t, b, Wire, Settings{"frequency": 2e7})
	// With Medhurst's factors for coils 0.2 to 1 diameters long, over the diameter,
	// the least lies between 0.5 and 0.7 of the pitch; his table goes in steps of 0.1.
	if high.Best < 0.45 || high.Best > 0.75 {
		t.Errorf("at 20 MHz the best wire is %g of the pitch, want 0.5 to 0.7 (Medhurst 1947)", high.Best)
	}
	for i := range high.Share {
		if high.Neighbours[i] < high.BestValue {
			t.Errorf("at %g of the pitch the wire has less resistance than the best", high.Share[i])
		}
	}
	// Kelvin's solution for a thick wire, x = r/δ: R/R₀ = x/2 + 1/4 + 3/(32x) + …; what is
	// left out falls as 1/x² of the last term.
	x := thickestShare * high.Pitch / 2 / high.SkinDepth
	n := len(high.Share) - 1
	near(t, "thick wire alone", high.Alone[n]/high.Steady[n], x/2+0.25+3/(32*x), 3/(32*x*x*x), "asymptotic series")
	g, err := b.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	own := run[*WireOutcome](t, b, Wire, Settings{"share": g.Winding.BareDiameter / g.Winding.Pitch})
	near(t, "wire of the design", own.PresentDiameter(), g.Winding.BareDiameter, same, "its own share of the pitch")
	near(t, "best wire over pitch", own.BestDiameter()/g.Winding.Pitch, own.Best, same, "its share")
	density := high.At(0)
	near(t, "density at the surface", density[len(density)-1], 1, same, "its own unit")
}

// TestStart holds what is said of the start of an exciter against its envelope.
func TestStart(t *testing.T) {
	o := run[*StartOutcome](t, bench(t, nil), StartUp, nil)
	crests, swings := o.Running.Envelope, int(o.Answer())
	if high := 0.9 * o.Running.TopCrest; crests[swings-1].Top < high || crests[swings-2].Top >= high {
		t.Errorf("swing %d is said to be the first of %g V, and is of %g V after %g V", swings, high, crests[swings-1].Top, crests[swings-2].Top)
	}
	n := len(crests)
	near(t, "time of all swings", o.TimeAfter(float64(n)), crests[n-1].Time, same, "the last of them")
	near(t, "full output from", o.FullFrom(), 5*9, same, "five times the nine volts")
	near(t, "growth e times", math.Exp(o.Start.Growth*o.GrowthTime()), math.E, same, "its name")
}

func TestReversedSenseNeverStarts(t *testing.T) {
	b := bench(t, nil)
	o := run[*StartOutcome](t, b, StartUp, Settings{"sense": -1})
	if o.Running.State != driver.StateNone || !math.IsNaN(o.Answer()) || o.Start.Grows() {
		t.Errorf("reversed: state %q, growth %g, answer %g; want none, below 0, none", o.Running.State, o.Start.Growth, o.Answer())
	}
}

func TestSpectrum(t *testing.T) {
	b := bench(t, nil)
	inside := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 13.56e6})
	near(t, "distance inside 13.56 MHz", inside.Answer(), 0, 0, "47 CFR 18.301")
	below := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 6e6})
	near(t, "distance from 6 MHz", below.Answer(), 0.765/6, same, "47 CFR 18.301: 6.765 MHz")
	near(t, "the edge from below", below.Toward(below.Answer()), 6.765e6, same, "47 CFR 18.301")
	above := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 8e6})
	near(t, "the edge from above", above.Toward(above.Answer()), 6.795e6, same, "47 CFR 18.301")
	if !slices.IsSortedFunc(above.Around, func(a, b spectrum.Service) int { return cmp.Compare(a.Low, b.Low) }) {
		t.Error("the services are not by frequency")
	}
	// 80 m: one name, another upper edge in region 1 than in 2 (ITU Radio Regulations, article 5).
	shared := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 3.7e6})
	names := map[string]int{}
	for _, service := range shared.Here {
		names[service.Name]++
		if names[service.Name] > 1 {
			t.Errorf("%s is named twice at 3.7 MHz", service.Name)
		}
	}
	if len(names) == 0 {
		t.Error("nobody is named at 3.7 MHz")
	}
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

// TestPrimaryForDemonstration makes experiments with a primary on coils without one: it
// is that which a design gets when one is added, and where it would be in the way of
// something, the experiments that need it say so and the others are made.
func TestPrimaryForDemonstration(t *testing.T) {
	without := func(d *design.Design) {
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
	}
	with := bench(t, func(d *design.Design) {
		without(d)
		d.SetPrimaryKind(design.Cylinder)
	})
	b := bench(t, without)
	beat, want := run[*BeatOutcome](t, b, Beat, nil), run[*BeatOutcome](t, with, Beat, nil)
	near(t, "inductance", beat.Circuit.Primary.Inductance, *with.Report().Primary.Inductance, same, "report of the design with a primary")
	near(t, "coupling", beat.Circuit.Primary.Coupling, want.Circuit.Primary.Coupling, same, "the design with a primary")
	near(t, "frequency", beat.Circuit.Coil.Frequency(), *with.Report().Resonance.Frequency, same, "report of the design with a primary")

	b = bench(t, func(d *design.Design) {
		without(d)
		// A torus round the lower end of a low winding, where the primary would be.
		d.Secondary.Turns = 12
		d.TopLoad = design.TopLoad{Kind: design.Torus, Height: -0.015, OuterDiameter: 0.2, TubeDiameter: 0.06}
	})
	for _, kind := range []Kind{Beat, Humps, StartUp} {
		x, _ := Find(b, kind)
		var problems design.Problems
		if _, err := x.Run(t.Context(), b, nil); !errors.As(err, &problems) {
			t.Errorf("%s without room for a primary: %v, want what is in its way", kind, err)
		}
	}
	run[*RingOutcome](t, b, Ring, nil)
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
