package measurement

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"
)

// loop is a coil seen through a coupling loop, all of it lumped, so that the
// reflection is known in closed form.
type loop struct {
	frequency  float64 // Hz, of the coil, loop open
	quality    float64 // of the coil alone
	coupled    float64 // Ω, (ωM)²/R at resonance: what the coil reflects into the loop
	resistance float64 // Ω, of the loop
	inductance float64 // H, of loop and leads
	reference  float64 // Ω
}

// impedance returns what the loop shows at a frequency.
func (l loop) impedance(f float64) complex128 {
	w := f / l.frequency
	return complex(l.resistance, 2*math.Pi*f*l.inductance) + complex(l.coupled*w*w, 0)/complex(1, l.quality*(w-1/w))
}

// coupling returns β: the power lost in reference and loop over that lost in
// the coil.
func (l loop) coupling() float64 {
	return real(complex(l.coupled, 0) / complex(l.reference+l.resistance, 2*math.Pi*l.frequency*l.inductance))
}

// span is a sweep.
type span struct {
	from, to float64 // Hz
	points   int
}

func (s span) at(i int) float64 {
	return s.from + (s.to-s.from)*float64(i)/float64(s.points-1)
}

// reflected samples the reflection of impedances, with white noise.
func (s span) reflected(reference, noise float64, random *rand.Rand, impedance func(f float64) complex128) Reflection {
	r := Reflection{Impedance: reference}
	z0 := complex(reference, 0)
	for i := range s.points {
		f := s.at(i)
		z := impedance(f)
		g := (z - z0) / (z + z0)
		if noise > 0 {
			g += complex(noise*random.NormFloat64(), noise*random.NormFloat64())
		}
		r.Frequency = append(r.Frequency, f)
		r.Coefficient = append(r.Coefficient, g)
	}
	return r
}

// bound returns the Cramér-Rao bounds for frequency and quality factor of a
// loop with all of its values unknown, and besides the angle by which lossy
// leads may turn the circle: the fit cannot know that they do not.
func (s span) bound(t *testing.T, l loop, noise float64) (frequency, quality float64) {
	sigmas := cramerRao(t, []float64{l.frequency, l.quality, l.coupled, l.resistance, l.inductance, 0}, noise, func(p []float64) []float64 {
		var values []float64
		model := loop{p[0], p[1], p[2], p[3], p[4], l.reference}
		port := model
		port.coupled = 0
		for _, g := range s.reflected(l.reference, 0, nil, func(f float64) complex128 {
			return port.impedance(f) + (model.impedance(f)-port.impedance(f))*cmplx.Rect(1, p[5])
		}).Coefficient {
			values = append(values, real(g), imag(g))
		}
		return values
	})
	return sigmas[0], sigmas[1]
}

var deskLoop = loop{frequency: 1.3e6, quality: 150, coupled: 5, resistance: 0.2, inductance: 1e-6, reference: 50}

var circleTrials = []struct {
	name  string
	loop  loop
	span  span
	noise float64
}{
	{"weak coupling", deskLoop, span{1.25e6, 1.35e6, 201}, 1e-3},
	{"wide sweep", deskLoop, span{1e6, 1.6e6, 601}, 1e-3},
	{"lossy coupling", loop{4.7e6, 200, 20, 5, 1e-6, 50}, span{4.5e6, 4.9e6, 201}, 1e-3},
	{"strong coupling, 75 ohm, long leads", loop{4.7e6, 200, 60, 5, 2e-6, 75}, span{4.5e6, 4.9e6, 201}, 3e-3},
	{"noisy", loop{2.2e6, 90, 8, 1, 0.5e-6, 50}, span{2e6, 2.4e6, 401}, 1e-2},
}

func runCircleTrials(t *testing.T, trials int) {
	for i, test := range circleTrials {
		t.Run(test.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(uint64(i), 2))
			var frequency, quality, coupling tally
			for range trials {
				c := FitReflection(test.span.reflected(test.loop.reference, test.noise, random, test.loop.impedance), Range{})
				frequency.add(c.Frequency, test.loop.frequency)
				quality.add(c.QualityFactor, test.loop.quality)
				coupling.add(c.Coupling, test.loop.coupling())
			}
			boundF, boundQ := test.span.bound(t, test.loop, test.noise)
			frequency.check(t, "frequency in Hz", boundF)
			quality.check(t, "unloaded quality factor", boundQ)
			coupling.check(t, "coupling coefficient", coupling.sigmas/float64(trials)) // its cover only
		})
	}
}

// A short form of TestValidationCircle.
func TestCircleTrials(t *testing.T) { runCircleTrials(t, 40) }

func TestValidationCircle(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand sweeps of each kind")
	}
	runCircleTrials(t, validationTrials())
}

// Without noise the coil's own values come back, whatever the coupling.
func TestCircleExact(t *testing.T) {
	for _, test := range []struct {
		name string
		loop loop
	}{
		{"very weak", loop{1.3e6, 150, 0.5, 0, 0.2e-6, 50}},
		{"weak", deskLoop},
		{"lossy", loop{1.3e6, 150, 5, 20, 1e-6, 50}},
		{"critical", loop{1.3e6, 150, 50, 0, 1e-6, 50}},
		{"over-coupled", loop{1.3e6, 150, 300, 2, 1e-6, 50}},
		{"long leads", loop{1.3e6, 150, 30, 2, 6e-6, 50}},
		{"low impedance", loop{1.3e6, 150, 5, 0.2, 1e-6, 10}},
		{"high impedance", loop{1.3e6, 150, 5, 0.2, 1e-6, 300}},
	} {
		const tol = 1e-8 // of a fit without noise and model error, by rounding
		c := FitReflection(span{1.2e6, 1.4e6, 401}.reflected(test.loop.reference, 0, nil, test.loop.impedance), Range{})
		if !c.Complete() {
			t.Errorf("%s: %+v", test.name, c.Fit)
			continue
		}
		if e := c.Frequency.Value/test.loop.frequency - 1; math.Abs(e) > tol {
			t.Errorf("%s: frequency %g Hz, off by %g", test.name, c.Frequency.Value, e)
		}
		if e := c.QualityFactor.Value/test.loop.quality - 1; math.Abs(e) > tol {
			t.Errorf("%s: quality factor %g, off by %g", test.name, c.QualityFactor.Value, e)
		}
		if e := c.Coupling.Value/test.loop.coupling() - 1; math.Abs(e) > tol {
			t.Errorf("%s: coupling coefficient %g, want %g", test.name, c.Coupling.Value, test.loop.coupling())
		}
		if q := c.LoadedQualityFactor.Value * (1 + c.Coupling.Value); math.Abs(q/test.loop.quality-1) > tol {
			t.Errorf("%s: loaded quality factor %g with β = %g", test.name, c.LoadedQualityFactor.Value, c.Coupling.Value)
		}
		z := test.loop.impedance(1.301e6)
		want := (z - complex(test.loop.reference, 0)) / (z + complex(test.loop.reference, 0))
		if g, ok := c.At(1.301e6); !ok || cmplx.Abs(g-want) > tol {
			t.Errorf("%s: fit %v, %t; want %v", test.name, g, ok, want)
		}
	}
}

// The answer agrees with Kajfez's coupling-loss circle, which goes by the
// circle's geometry alone: with d its diameter, Γd the detuned point and φ the
// angle at it between the directions to the circle's and the chart's centre,
//
//	d₂ = (1 − |Γd|²)/(1 − |Γd| cos φ),  β = 1/(d₂/d − 1).
//
// Source: D. Kajfez, Q Factor, Vector Fields, 1994, from memory.
func TestLossyCoupling(t *testing.T) {
	for _, l := range []loop{
		{1.3e6, 150, 5, 2, 1e-6, 50},
		{1.3e6, 150, 20, 20, 4e-6, 50},
		{1.3e6, 150, 100, 5, 2e-6, 75},
	} {
		c := FitReflection(span{1.2e6, 1.4e6, 401}.reflected(l.reference, 0, nil, l.impedance), Range{})
		if !c.Complete() {
			t.Errorf("%+v: %+v", l, c.Fit)
			continue
		}
		// Detuned point and diameter by the circuit, far from the fit: the port
		// without the coil, and the tuned point opposite.
		zs := complex(l.resistance, 2*math.Pi*l.frequency*l.inductance)
		r := complex(l.reference, 0)
		detuned := (zs - r) / (zs + r)
		rho := complex(l.coupled, 0) / (zs + r)
		d := 2 * r * rho / ((zs + r) * complex(1+real(rho), 0))
		cosine := -real(d*cmplx.Conj(detuned)) / (cmplx.Abs(d) * cmplx.Abs(detuned))
		g := cmplx.Abs(detuned)
		d2 := (1 - g*g) / (1 - g*cosine)
		beta := 1 / (d2/cmplx.Abs(d) - 1)
		const tol = 1e-7
		if math.Abs(c.Coupling.Value/beta-1) > tol {
			t.Errorf("%+v: β = %g, Kajfez %g", l, c.Coupling.Value, beta)
		}
		if math.Abs(c.Diameter/cmplx.Abs(d)-1) > 1e-2 { // the frequency's own change over the pull
			t.Errorf("%+v: diameter %g, want %g", l, c.Diameter, cmplx.Abs(d))
		}
	}
}

// A coil fed at its foot is a series circuit, with the stray capacitance of the
// port across it: the dual of the loop.
func TestCircleFoot(t *testing.T) {
	const f0, q, r, stray = 1.3e6, 150., 60., 4e-12
	impedance := func(f float64) complex128 {
		w := f / f0
		z := complex(r, 0) * complex(1, q*(w-1/w))
		return 1 / (1/z + complex(0, 2*math.Pi*f*stray))
	}
	for _, reference := range []float64{50, 5} {
		c := FitReflection(span{1.2e6, 1.4e6, 401}.reflected(reference, 0, nil, impedance), Range{})
		if !c.Complete() || math.Abs(c.Frequency.Value/f0-1) > 1e-8 || math.Abs(c.QualityFactor.Value/q-1) > 1e-7 {
			t.Errorf("%g Ω: %+v, %v %v", reference, c.Fit, c.Frequency, c.QualityFactor)
			continue
		}
		want := real(complex(reference, 0) / complex(r, 0) / complex(1, reference*2*math.Pi*f0*stray))
		if math.Abs(c.Coupling.Value/want-1) > 1e-6 {
			t.Errorf("%g Ω: β = %g, want %g", reference, c.Coupling.Value, want)
		}
	}
}

// A lossless line between analyser and loop turns the chart and leaves the
// unloaded Q.
func TestCircleThroughLine(t *testing.T) {
	const delay = 2e-9 // s, there and back: 20 cm of cable
	r := span{1.2e6, 1.4e6, 401}.reflected(50, 0, nil, loop{1.3e6, 150, 5, 0, 1e-6, 50}.impedance)
	for i, f := range r.Frequency {
		r.Coefficient[i] *= cmplx.Rect(1, -2*math.Pi*f*delay)
	}
	c := FitReflection(r, Range{})
	if !c.Complete() || math.Abs(c.QualityFactor.Value/150-1) > 1e-3 || math.Abs(c.Frequency.Value/1.3e6-1) > 1e-5 {
		t.Errorf("through a line: %+v, %v %v", c.Fit, c.Frequency, c.QualityFactor)
	}
}

func TestCircleOthers(t *testing.T) {
	second := loop{frequency: 1.36e6, quality: 120, coupled: 3}
	both := func(f float64) complex128 { return deskLoop.impedance(f) + second.impedance(f) }
	c := FitReflection(span{1.2e6, 1.45e6, 801}.reflected(50, 5e-4, rand.New(rand.NewPCG(3, 3)), both), Range{})
	if !c.Complete() || math.Abs(c.Frequency.Value/1.3e6-1) > 5e-4 || math.Abs(c.QualityFactor.Value/150-1) > 0.03 {
		t.Errorf("two resonances: %+v, %v %v", c.Fit, c.Frequency, c.QualityFactor)
	}
	if len(c.OtherFrequencies) != 1 || math.Abs(c.OtherFrequencies[0]/1.36e6-1) > 1e-3 || !strings.Contains(c.Message.String(), "More resonances at 1.36") {
		t.Errorf("two resonances: %v, %q", c.OtherFrequencies, c.Message)
	}
}

func TestCircleRefuses(t *testing.T) {
	bare := deskLoop
	bare.coupled = 0
	faint := deskLoop
	faint.coupled = 0.02
	for _, test := range []struct {
		name    string
		loop    loop
		span    span
		noise   float64
		message string // part of it
	}{
		{"five points", deskLoop, span{1.2e6, 1.4e6, 5}, 1e-3, "too few for a circle"},
		{"no coil", bare, span{1.1e6, 1.5e6, 401}, 1e-3, "No resonance stands out between 1.100\u202fMHz and 1.500\u202fMHz"},
		{"no coil, no noise", bare, span{0.1e6, 10e6, 401}, 0, "No resonance stands out"},
		{"another range", deskLoop, span{2e6, 3e6, 401}, 1e-3, "No resonance stands out"},
		{"far too weak", faint, span{1.2e6, 1.4e6, 401}, 1e-3, "couple closer"},
		{"noise", bare, span{1.1e6, 1.5e6, 401}, 0.3, "No resonance stands out"},
		{"101 points over 10 MHz", deskLoop, span{0.1e6, 10e6, 101}, 1e-3, "steps of 99.00\u202fkHz cannot show a quality factor above"},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := FitReflection(test.span.reflected(50, test.noise, rand.New(rand.NewPCG(4, 4)), test.loop.impedance), Range{})
			if c.Frequency != nil || c.QualityFactor != nil || c.Coupling != nil || len(c.OtherFrequencies) > 0 {
				t.Errorf("found %v, %v", c.Frequency, c.QualityFactor)
			}
			if !strings.Contains(c.Message.String(), test.message) {
				t.Errorf("message %q, want %q", c.Message, test.message)
			}
		})
	}
}

// Following the advice of a sweep that was too coarse leads to the answer.
func TestCircleAdvice(t *testing.T) {
	c := FitReflection(span{0.1e6, 10e6, 101}.reflected(50, 1e-3, rand.New(rand.NewPCG(5, 5)), deskLoop.impedance), Range{})
	const want = "sweep again from 1.130\u202fMHz to 1.440\u202fMHz with 201 points"
	if !strings.Contains(c.Message.String(), want) {
		t.Fatalf("message %q, want %q", c.Message, want)
	}
	c = FitReflection(span{1.13e6, 1.44e6, 201}.reflected(50, 1e-3, rand.New(rand.NewPCG(5, 6)), deskLoop.impedance), Range{})
	if !c.Complete() || math.Abs(c.QualityFactor.Value-150) > 4*c.QualityFactor.Sigma {
		t.Errorf("after the advice: %+v, %v", c.Fit, c.QualityFactor)
	}
}

func TestCircleRemarks(t *testing.T) {
	scaled := func(r Reflection, by float64) Reflection {
		for i := range r.Coefficient {
			r.Coefficient[i] *= complex(by, 0)
		}
		return r
	}
	weak := deskLoop
	weak.coupled = 0.2
	for _, test := range []struct {
		name    string
		r       Reflection
		message string
	}{
		{"weak", span{1.25e6, 1.35e6, 401}.reflected(50, 3e-4, rand.New(rand.NewPCG(6, 6)), weak.impedance), "coupling is weak"},
		{"strong", span{1e6, 1.6e6, 401}.reflected(50, 1e-3, rand.New(rand.NewPCG(6, 7)), loop{1.3e6, 150, 200, 1, 1e-6, 50}.impedance), "coupling is strong"},
		{"not calibrated", scaled(span{1.25e6, 1.35e6, 401}.reflected(50, 1e-3, rand.New(rand.NewPCG(6, 8)), deskLoop.impedance), 1.05), "calibrate"},
		{"pulled", span{1.25e6, 1.35e6, 401}.reflected(50, 1e-4, rand.New(rand.NewPCG(6, 9)), deskLoop.impedance), "pull the resonance"},
		{"few points", span{1.25e6, 1.35e6, 31}.reflected(50, 1e-4, rand.New(rand.NewPCG(6, 9)), deskLoop.impedance), "points lie in the bandwidth"},
	} {
		if c := FitReflection(test.r, Range{}); !c.Complete() || !strings.Contains(c.Message.String(), test.message) {
			t.Errorf("%s: %q, want %q", test.name, c.Message, test.message)
		}
	}
}

func TestCircleRange(t *testing.T) {
	r := span{1.2e6, 1.4e6, 401}.reflected(50, 1e-3, rand.New(rand.NewPCG(7, 7)), deskLoop.impedance)
	within := Range{From: 1.28e6, To: 1.32e6}
	c := FitReflection(r, within)
	if !c.Complete() || c.Fitted != within || c.Points != 401 {
		t.Errorf("within %v: fitted %v, %+v", within, c.Fitted, c.Fit)
	}
	if c := FitReflection(r, Range{From: 1.33e6, To: 1.4e6}); c.Frequency != nil {
		t.Errorf("beside the resonance: %v", c.Frequency)
	}
}
