package measurement

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"
)

// hump is a resonance in amplitude with a part that leaks past it.
type hump struct {
	frequency, quality, height float64
	leak                       complex128 // with the resonance's phase at resonance as reference
}

// amplitude returns |leak + height/(1 + jQ(f/f₀ − f₀/f))|.
func (h hump) amplitude(f float64) float64 {
	return cmplx.Abs(h.leak + complex(h.height, 0)/complex(1, h.quality*(f/h.frequency-h.frequency/f)))
}

// read samples amplitudes with white noise and shows them in dB or not.
func (s span) read(decibel bool, noise float64, random *rand.Rand, amplitude func(f float64) float64) Response {
	r := Response{Decibel: decibel}
	for i := range s.points {
		a := amplitude(s.at(i))
		if noise > 0 {
			a = math.Abs(a + noise*random.NormFloat64())
		}
		if decibel {
			a = 20 * math.Log10(a)
		}
		r.Frequency = append(r.Frequency, s.at(i))
		r.Amplitude = append(r.Amplitude, a)
	}
	return r
}

var peakTrials = []struct {
	name    string
	hump    hump
	span    span
	noise   float64
	decibel bool
}{
	{"no leak", hump{1.3e6, 150, 1, 0}, span{1.25e6, 1.35e6, 201}, 0.01, false},
	{"leak", hump{1.3e6, 150, 2, 0.2 + 0.2i}, span{1.25e6, 1.35e6, 201}, 0.02, false},
	{"dip", hump{4.7e6, 90, -0.5, 1}, span{4.4e6, 5e6, 301}, 0.01, false},
	{"in dB", hump{1.3e6, 150, 1, 0.3i}, span{1.28e6, 1.32e6, 201}, 0.01, true},
}

func runPeakTrials(t *testing.T, trials int) {
	for i, test := range peakTrials {
		t.Run(test.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(uint64(i), 3))
			var frequency, quality tally
			for range trials {
				p := FitSweep(test.span.read(test.decibel, test.noise, random, test.hump.amplitude), Range{})
				frequency.add(p.Frequency, test.hump.frequency)
				quality.add(p.QualityFactor, test.hump.quality)
			}
			bound := cramerRao(t, []float64{test.hump.frequency, test.hump.quality, test.hump.height, real(test.hump.leak), imag(test.hump.leak)}, test.noise,
				func(p []float64) []float64 {
					model := hump{p[0], p[1], p[2], complex(p[3], p[4])}
					return test.span.read(false, 0, nil, model.amplitude).Amplitude
				})
			frequency.check(t, "frequency in Hz", bound[0])
			quality.check(t, "quality factor", bound[1])
		})
	}
}

// A short form of TestValidationPeak.
func TestPeakTrials(t *testing.T) { runPeakTrials(t, 40) }

func TestValidationPeak(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand sweeps of each kind")
	}
	runPeakTrials(t, validationTrials())
}

// Without noise the values come back, in both scales.
func TestPeakExact(t *testing.T) {
	for _, h := range []hump{
		{1.3e6, 150, 3, 0},
		{1.3e6, 12, 3, 0.1i},
		{1.3e6, 150, 3, -0.2 + 0.5i},
		{1.3e6, 900, 1e-4, 1e-5},
		{1.3e6, 150, -0.9, 1},
	} {
		for _, decibel := range []bool{false, true} {
			const tol = 1e-7
			p := FitSweep(span{1.1e6, 1.5e6, 1601}.read(decibel, 0, nil, h.amplitude), Range{})
			if !p.Complete() || math.Abs(p.Frequency.Value/h.frequency-1) > tol || math.Abs(p.QualityFactor.Value/h.quality-1) > tol {
				t.Errorf("%+v, dB %t: %+v, %v %v", h, decibel, p.Fit, p.Frequency, p.QualityFactor)
				continue
			}
			want := h.amplitude(1.301e6)
			if decibel {
				want = 20 * math.Log10(want)
			}
			if a, ok := p.At(1.301e6); !ok || math.Abs(a-want) > 1e-6*math.Abs(want) {
				t.Errorf("%+v, dB %t: fit %g, %t; want %g", h, decibel, a, ok, want)
			}
		}
	}
}

func TestPeakOthers(t *testing.T) {
	one, two := hump{1.3e6, 150, 1, 0}, hump{1.4e6, 120, 0.5, 0}
	p := FitSweep(span{1.2e6, 1.5e6, 801}.read(false, 0.002, rand.New(rand.NewPCG(3, 4)), func(f float64) float64 {
		return math.Hypot(one.amplitude(f), two.amplitude(f))
	}), Range{})
	if !p.Complete() || math.Abs(p.Frequency.Value/1.3e6-1) > 1e-4 || len(p.OtherFrequencies) != 1 || math.Abs(p.OtherFrequencies[0]/1.4e6-1) > 1e-3 {
		t.Errorf("two resonances: %+v, %v", p.Fit, p.Frequency)
	}
}

func TestPeakRefuses(t *testing.T) {
	flat := hump{1.3e6, 150, 0, 1}
	coil := hump{1.3e6, 150, 1, 0.01}
	for _, test := range []struct {
		name    string
		hump    hump
		span    span
		noise   float64
		message string
	}{
		{"five points", coil, span{1.2e6, 1.4e6, 5}, 0, "too few"},
		{"flat", flat, span{1.2e6, 1.4e6, 201}, 0, "No resonance stands out"},
		{"flat and noisy", flat, span{1.2e6, 1.4e6, 201}, 0.05, "No resonance stands out"},
		{"nothing", hump{1.3e6, 150, 0, 0}, span{1.2e6, 1.4e6, 201}, 0, "all zero"},
		{"101 points over 10 MHz", coil, span{0.1e6, 10e6, 101}, 0.003, "sweep again from"},
		{"flank", coil, span{1.32e6, 1.6e6, 201}, 0.003, "No resonance"},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := FitSweep(test.span.read(false, test.noise, rand.New(rand.NewPCG(4, 4)), test.hump.amplitude), Range{})
			if p.Frequency != nil || p.QualityFactor != nil || !strings.Contains(p.Message.String(), test.message) {
				t.Errorf("found %v, %v; %q, want %q", p.Frequency, p.QualityFactor, p.Message, test.message)
			}
		})
	}
}
