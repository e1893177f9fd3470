package measurement

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"
)

// decay is a damped oscillation with known answers.
type decay struct {
	frequency float64 // Hz, undamped
	quality   float64
	amplitude float64
	phase     float64 // rad
	begin     float64 // s after the first sample
}

// value returns the decay in closed form at a time in s.
func (d decay) value(t float64) float64 {
	t -= d.begin
	if t < 0 {
		return 0
	}
	omega0 := 2 * math.Pi * d.frequency
	alpha := omega0 / (2 * d.quality)
	return d.amplitude * math.Exp(-alpha*t) * math.Cos(math.Sqrt(omega0*omega0-alpha*alpha)*t+d.phase)
}

// scope is how a trace is taken.
type scope struct {
	samples  int
	interval float64 // s
	offset   float64
	noise    float64 // sigma, white
	step     float64 // of the converter; 0: none
}

// trace samples decays and whatever else is added.
func (s scope) trace(random *rand.Rand, more func(t float64) float64, decays ...decay) Record {
	samples := make([]float32, s.samples)
	for i := range samples {
		t := float64(i) * s.interval
		v := s.offset
		for _, d := range decays {
			v += d.value(t)
		}
		if more != nil {
			v += more(t)
		}
		if s.noise > 0 {
			v += s.noise * random.NormFloat64()
		}
		if s.step > 0 {
			v = s.step * math.Round(v/s.step)
		}
		samples[i] = float32(v)
	}
	return Record{Interval: s.interval, Channels: []Channel{{Name: "trace", Samples: samples}}}
}

// bound returns the Cramér-Rao bounds for frequency and quality factor of a
// decay from its beginning on, amplitude, phase and offset unknown too. A
// converter's rounding counts as noise of its step over √12.
func (s scope) bound(t *testing.T, d decay) (frequency, quality float64) {
	begin := int(math.Ceil(d.begin / s.interval))
	sigmas := cramerRao(t, []float64{d.frequency, d.quality, d.amplitude, d.phase, s.offset}, math.Hypot(s.noise, s.step/math.Sqrt(12)),
		func(p []float64) []float64 {
			values := make([]float64, s.samples-begin)
			model := decay{frequency: p[0], quality: p[1], amplitude: p[2], phase: p[3], begin: d.begin}
			for i := range values {
				values[i] = p[4] + model.value(float64(begin+i)*s.interval)
			}
			return values
		})
	return sigmas[0], sigmas[1]
}

func fitted(t *testing.T, r Record) RingDown {
	t.Helper()
	f, err := FitRingDown(context.Background(), r, Range{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// deskCoil rings as a palm-size coil does.
var deskCoil = decay{frequency: 1.3e6, quality: 150, amplitude: 1, phase: 0.3, begin: 20e-6}

// quietScope samples it 38 times a cycle for five decay times.
var quietScope = scope{samples: 10000, interval: 20e-9, offset: 0.1}

// ringDownTrials are traces on which interval and sigma must hold.
var ringDownTrials = []struct {
	name  string
	decay decay
	scope scope
}{
	{"noise and 8 bits", deskCoil, scope{5000, 40e-9, 0.1, 0.02, 2.4 / 256}},
	{"8 bits, hardly noise", decay{1.3e6, 150, 1, 0.3, 0}, scope{5000, 40e-9, 0.1, 0.002, 2.4 / 256}},
	{"much noise", decay{1.3e6, 150, 1, 0.3, 0}, scope{5000, 40e-9, 0.1, 0.2, 0}},
	{"coarse sampling", decay{1.3e6, 150, 1, 0.3, 0}, scope{2000, 200e-9, -0.1, 0.02, 0}},
	{"fine sampling", decay{1.3e6, 60, 1, 0.3, 4e-6}, scope{20000, 4e-9, 0.1, 0.1, 2.4 / 256}},
	{"small coil", decay{4.7e6, 220, 1, 0.3, 30e-6}, scope{6000, 20e-9, -0.1, 0.05, 2.4 / 256}},
	{"low Q", decay{4.7e6, 15, 1, 0.3, 0}, scope{2000, 10e-9, -0.1, 0.02, 0}},
	{"short", decay{1.3e6, 150, 1, 0.3, 0}, scope{2000, 20e-9, 0.1, 0.01, 0}},
}

func runRingDownTrials(t *testing.T, trials int) {
	for i, test := range ringDownTrials {
		t.Run(test.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(uint64(i), 1))
			var frequency, quality tally
			for range trials {
				f := fitted(t, test.scope.trace(random, nil, test.decay))
				frequency.add(f.Frequency, test.decay.frequency)
				quality.add(f.QualityFactor, test.decay.quality)
			}
			boundF, boundQ := test.scope.bound(t, test.decay)
			frequency.check(t, "frequency in Hz", boundF)
			quality.check(t, "quality factor", boundQ)
		})
	}
}

// A short form of TestValidationRingDown.
func TestRingDownTrials(t *testing.T) { runRingDownTrials(t, 40) }

func TestValidationRingDown(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand traces of each kind")
	}
	runRingDownTrials(t, validationTrials())
}

// Noise that is stronger near the coil's frequency than elsewhere, as behind a
// tuned amplifier, does not make the fit too sure.
func TestRingDownColouredNoise(t *testing.T) {
	s := scope{samples: 5000, interval: 40e-9}
	d := decay{1.3e6, 150, 1, 0.3, 0}
	const pole = 0.8 // modulus, of a second-order filter tuned to the coil
	angle := 2 * math.Pi * d.frequency * s.interval
	random := rand.New(rand.NewPCG(14, 14))
	var frequency, quality tally
	var first, second float64
	noise := func(float64) float64 {
		v := 0.02*random.NormFloat64() + 2*pole*math.Cos(angle)*first - pole*pole*second
		first, second = v, first
		return v
	}
	for range 40 {
		f := fitted(t, s.trace(nil, noise, d))
		frequency.add(f.Frequency, d.frequency)
		quality.add(f.QualityFactor, d.quality)
	}
	// The filter's gain at the coil's frequency makes the noise that counts.
	z := cmplx.Rect(1, -angle)
	gain := 1 / cmplx.Abs(1-complex(2*pole*math.Cos(angle), 0)*z+complex(pole*pole, 0)*z*z)
	s.noise = 0.02 * gain
	boundF, boundQ := s.bound(t, d)
	frequency.check(t, "frequency in Hz", boundF)
	quality.check(t, "quality factor", boundQ)
}

// Without noise the answer is exact to what single precision keeps.
func TestRingDownExact(t *testing.T) {
	for _, d := range []decay{
		deskCoil,
		{frequency: 1.3e6, quality: 4, amplitude: 2, phase: -1, begin: 20e-6},
		{frequency: 1.3e6, quality: 1000, amplitude: 1e-3, phase: 2, begin: 20e-6},
		{frequency: 9.7e6, quality: 80, amplitude: 30, phase: 2, begin: 0},
	} {
		const tol = 1e-7 // of samples rounded to 2⁻²⁴ and a fit over hundreds of them, relative
		f := fitted(t, quietScope.trace(nil, nil, d))
		if !f.Complete() || !f.Message.Empty() || len(f.OtherFrequencies) != 0 {
			t.Errorf("%+v: %+v", d, f.Fit)
			continue
		}
		if e := f.Frequency.Value/d.frequency - 1; math.Abs(e) > tol/d.quality*10 {
			t.Errorf("%+v: frequency %.9g Hz, off by %g", d, f.Frequency.Value, e)
		}
		if e := f.QualityFactor.Value/d.quality - 1; math.Abs(e) > 100*tol {
			t.Errorf("%+v: quality factor %.9g, off by %g", d, f.QualityFactor.Value, e)
		}
		at := d.begin + 10e-6
		if v, ok := f.At(at); !ok || math.Abs(v-quietScope.offset-d.value(at)) > 1e-5*d.amplitude {
			t.Errorf("%+v: fit at %g s is %g, %t; want %g", d, at, v, ok, quietScope.offset+d.value(at))
		}
	}
}

// Frequency and quality factor do not change with the scale of either axis.
func TestRingDownScales(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, offset: 0.1, noise: 0.02}
	base := noisy.trace(rand.New(rand.NewPCG(5, 5)), nil, deskCoil)
	want := fitted(t, base)
	slow := base
	slow.Interval *= 8
	loud := Record{Interval: base.Interval, Start: 3, Channels: []Channel{{Samples: make([]float32, len(base.Channels[0].Samples))}}}
	for i, v := range base.Channels[0].Samples {
		loud.Channels[0].Samples[i] = 16 * v // powers of two round alike
	}
	for _, test := range []struct {
		name   string
		record Record
		ratio  float64
	}{{"eight times slower", slow, 1. / 8}, {"sixteen times larger", loud, 1}} {
		got := fitted(t, test.record)
		if !got.Complete() || math.Abs(got.Frequency.Value/want.Frequency.Value/test.ratio-1) > 1e-9 || math.Abs(got.QualityFactor.Value/want.QualityFactor.Value-1) > 1e-6 {
			t.Errorf("%s: %+v, want %+v times %g", test.name, got.Fit, want.Fit, test.ratio)
		}
	}
}

// Two resonances beat; each is found where it is, and the pair is named.
func TestRingDownTellsPair(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, offset: 0.1, noise: 0.02}
	for _, test := range []struct {
		name  string
		other decay
		pair  bool
	}{
		{"as strong, 5 % off", decay{1.36e6, 120, 0.95, 1, 20e-6}, true},
		{"weaker, 2 % off", decay{1.326e6, 150, 0.6, 1, 20e-6}, true},
		{"one per cent off", decay{1.313e6, 150, 0.8, 1, 20e-6}, true},
		{"overtone", decay{3.5e6, 120, 0.3, 1, 20e-6}, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := fitted(t, noisy.trace(rand.New(rand.NewPCG(6, 6)), nil, deskCoil, test.other))
			if !f.Complete() || math.Abs(f.Frequency.Value-deskCoil.frequency) > 4*f.Frequency.Sigma || math.Abs(f.QualityFactor.Value-deskCoil.quality) > 4*f.QualityFactor.Sigma {
				t.Errorf("main resonance %+v", f.Fit)
			}
			if len(f.OtherFrequencies) != 1 || math.Abs(f.OtherFrequencies[0]/test.other.frequency-1) > 1e-4 {
				t.Errorf("other frequencies %v, want %g", f.OtherFrequencies, test.other.frequency)
			}
			if strings.Contains(f.Message.String(), "beat") != test.pair {
				t.Errorf("message %q", f.Message)
			}
		})
	}
	// One resonance stays one, however it is seen.
	for seed := range uint64(20) {
		if f := fitted(t, noisy.trace(rand.New(rand.NewPCG(seed, 7)), nil, deskCoil)); len(f.OtherFrequencies) > 0 || !f.Message.Empty() {
			t.Errorf("one resonance: %+v", f.Fit)
		}
	}
}

// What is not the decay is left out or fitted along.
func TestRingDownBesides(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, offset: 0.1, noise: 0.02}
	driven := func(t float64) float64 { // off resonance, growing, until the decay begins with the same amplitude and phase
		if t >= 60e-6 {
			return 0
		}
		return (1 - math.Exp(-t/30e-6)) * math.Cos(2*math.Pi*1.29e6*(t-60e-6)+0.3)
	}
	late := deskCoil
	late.begin = 60e-6
	late.amplitude = 1 - math.Exp(-2)
	for _, test := range []struct {
		name    string
		decay   decay
		scope   scope
		more    func(t float64) float64
		message string // part of it
	}{
		{"end of a drive", late, noisy, driven, ""},
		{"transmitter", deskCoil, noisy, func(t float64) float64 { return 0.2 * math.Sin(2*math.Pi*0.9e6*t) }, "does not decay is in the trace at 900.0\u202fkHz"},
		{"hum", deskCoil, noisy, func(t float64) float64 { return 0.5 * math.Sin(2*math.Pi*100*t) }, ""},
		{"droop", deskCoil, noisy, func(t float64) float64 { return 0.5 * math.Exp(-t/30e-6) }, ""},
		{"switching spike", deskCoil, noisy, func(t float64) float64 {
			if t >= 20e-6 && t < 20.1e-6 {
				return 5
			}
			return 0
		}, ""},
		{"long pause before", decay{1.3e6, 150, 1, 0.3, 700e-6}, scope{500000, 2e-9, 0.1, 0.05, 0.01}, nil, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := fitted(t, test.scope.trace(rand.New(rand.NewPCG(8, 8)), test.more, test.decay))
			if !f.Complete() || math.Abs(f.Frequency.Value-test.decay.frequency) > 4*f.Frequency.Sigma || math.Abs(f.QualityFactor.Value-test.decay.quality) > 4*f.QualityFactor.Sigma {
				t.Errorf("%+v, %+v %+v", f.Fit, f.Frequency, f.QualityFactor)
			}
			if test.message == "" && !f.Message.Empty() || !strings.Contains(f.Message.String(), test.message) {
				t.Errorf("message %q, want %q", f.Message, test.message)
			}
		})
	}
}

// clip cuts a trace at ±level.
func clip(r Record, level float32) Record {
	for i, v := range r.Channels[0].Samples {
		r.Channels[0].Samples[i] = max(min(v, level), -level)
	}
	return r
}

func TestRingDownClipped(t *testing.T) {
	for _, s := range []scope{
		{samples: 10000, interval: 20e-9, noise: 0.02},
		{samples: 10000, interval: 20e-9, noise: 0.01, step: 0.01},
	} {
		f := fitted(t, clip(s.trace(rand.New(rand.NewPCG(9, 9)), nil, deskCoil), 0.5))
		if !f.Complete() || math.Abs(f.QualityFactor.Value-deskCoil.quality) > 4*f.QualityFactor.Sigma || !strings.Contains(f.Message.String(), "clipped at") {
			t.Errorf("clipped, step %g: %+v, %+v", s.step, f.Fit, f.QualityFactor)
		}
		// Half of the crest is left after ln 2 decay times.
		tau := deskCoil.quality / (math.Pi * deskCoil.frequency)
		if want := deskCoil.begin + tau*math.Ln2; math.Abs(f.Fitted.From-want) > 6e-6 {
			t.Errorf("clipped, step %g: fitted from %g s, want about %g", s.step, f.Fitted.From, want)
		}
	}
	s := scope{samples: 4000, interval: 20e-9, noise: 0.02}
	if f := fitted(t, clip(s.trace(rand.New(rand.NewPCG(9, 9)), nil, deskCoil), 0.05)); f.Frequency != nil || !strings.Contains(f.Message.String(), "clipped") {
		t.Errorf("clipped all through: %+v", f.Fit)
	}
	// The rounded tops of a slow decay are not clipped.
	slow := scope{samples: 40000, interval: 20e-9, step: 0.01}
	if f := fitted(t, slow.trace(nil, nil, decay{1.3e6, 2000, 1, 0.3, 0})); strings.Contains(f.Message.String(), "clipped") {
		t.Errorf("rounded: %+v", f.Fit)
	}
}

func TestRingDownRefuses(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, offset: 0.1, noise: 0.01}
	short := func(s scope, n int) scope { s.samples = n; return s }
	now := decay{1.3e6, 150, 1, 0.3, 0}
	for _, test := range []struct {
		name    string
		scope   scope
		more    func(t float64) float64
		decays  []decay
		message string // part of it
	}{
		{"a few samples", short(noisy, 10), nil, []decay{now}, "too short: 10 samples"},
		{"two cycles", short(noisy, 80), nil, []decay{now}, "2.1 cycles"},
		{"flat", quietScope, nil, nil, "flat at 0.1"},
		{"noise", noisy, nil, nil, "No oscillation stands out"},
		{"noise and rounding", scope{10000, 20e-9, 0, 0.01, 0.01}, nil, nil, "No oscillation stands out"},
		{"buried", scope{10000, 20e-9, 0, 5, 0}, nil, []decay{now}, "No oscillation stands out"},
		{"step", noisy, func(t float64) float64 { return math.Copysign(1, t-1e-4) }, nil, "No decaying oscillation"},
		{"ramp", noisy, func(t float64) float64 { return t * 1e4 }, nil, "No"},
		{"charging", noisy, func(t float64) float64 { return math.Exp(-t / 40e-6) }, nil, "No"},
		{"drive left on", noisy, func(t float64) float64 { return math.Sin(8e6 * t) }, nil, "does not decay"},
		{"growing", noisy, func(t float64) float64 { return math.Exp(t/60e-6) * math.Sin(8e6*t) }, nil, "does not decay"},
		{"too few samples in a cycle", scope{10000, 380e-9, 0, 0.01, 0}, nil, []decay{now}, "sampled too coarsely"},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := fitted(t, test.scope.trace(rand.New(rand.NewPCG(10, 10)), test.more, test.decays...))
			if f.Frequency != nil || f.QualityFactor != nil || len(f.OtherFrequencies) > 0 {
				t.Errorf("found %v and %v", f.Frequency, f.QualityFactor)
			}
			if !strings.Contains(f.Message.String(), test.message) {
				t.Errorf("message %q, want %q", f.Message, test.message)
			}
			if _, ok := f.At(1e-5); ok {
				t.Error("there is a fit to draw")
			}
		})
	}
}

// Noise alone is never taken for a coil.
func TestRingDownNoise(t *testing.T) {
	for seed := range uint64(100) {
		s := scope{samples: 3000, interval: 20e-9, noise: 1}
		if f := fitted(t, s.trace(rand.New(rand.NewPCG(seed, 11)), nil)); f.Frequency != nil {
			t.Errorf("noise %d rings at %v", seed, *f.Frequency)
		}
	}
}

// An amplitude that falls by another law has a frequency but no Q.
func TestRingDownOtherLaw(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, noise: 0.01}
	f := fitted(t, noisy.trace(rand.New(rand.NewPCG(12, 12)), func(t float64) float64 { return max(0, 1-t/160e-6) * math.Sin(8e6*t) }))
	if f.QualityFactor != nil || !strings.Contains(f.Message.String(), "exponential") {
		t.Errorf("linear fall: %+v, Q %v", f.Fit, f.QualityFactor)
	}
}

func TestRingDownChannelsAndRange(t *testing.T) {
	noisy := scope{samples: 10000, interval: 20e-9, noise: 0.02}
	random := rand.New(rand.NewPCG(13, 13))
	r := noisy.trace(random, nil)
	r.Channels = append(r.Channels, noisy.trace(random, nil, deskCoil).Channels[0])
	r.Channels[1].Name = "coil"
	f := fitted(t, r)
	if f.Channel != 1 || !f.Complete() || f.Points != 10000 || f.Message.String() != "Channel: coil." {
		t.Errorf("channel %d of noise and decay: %+v", f.Channel, f.Fit)
	}
	within := Range{From: 40e-6, To: 100e-6}
	f, err := FitRingDown(context.Background(), r, within)
	if err != nil || !f.Complete() || f.Fitted.From < within.From || f.Fitted.To > within.To+r.Interval {
		t.Errorf("within %v: fitted %v, %+v, %v", within, f.Fitted, f.Fit, err)
	}
	if f, err := FitRingDown(context.Background(), r, Range{From: 1, To: 2}); err != nil || f.Frequency != nil {
		t.Errorf("beyond the trace: %+v, %v", f.Fit, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := FitRingDown(ctx, r, Range{}); err != context.Canceled {
		t.Errorf("error %v of a fit given up", err)
	}
}
