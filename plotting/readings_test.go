package plotting

import (
	"context"
	"errors"
	"image"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/plot"

	"coilwright/physics/measurement"
	"coilwright/plotting/raster"
)

// The coil whose files are drawn here: f 1.3 MHz, Q 150, in closed form with
// noise.
const (
	readFrequency = 1.3e6
	readQuality   = 150.0
)

// ringing is a trace of 200 µs of it.
func ringing() measurement.Record {
	random := rand.New(rand.NewPCG(8, 4))
	r := measurement.Record{Start: -20e-6, Interval: 20e-9, Channels: []measurement.Channel{{Name: "CH1", Unit: "V"}}}
	alpha := math.Pi * readFrequency / readQuality
	for i := range 11000 {
		t := r.Start + float64(i)*r.Interval
		v := 0.004 * random.NormFloat64()
		if t > 0 {
			v += math.Exp(-alpha*t) * math.Sin(2*math.Pi*readFrequency*t)
		}
		r.Channels[0].Samples = append(r.Channels[0].Samples, float32(v))
	}
	return r
}

// reflected is a sweep of its reflection seen through a loop of 0.4 µH.
func reflected() measurement.Reflection {
	random := rand.New(rand.NewPCG(8, 5))
	r := measurement.Reflection{Impedance: 50}
	for f := 1.25e6; f < 1.3501e6; f += 500 {
		w := f / readFrequency
		z := complex(0.3, 2*math.Pi*f*0.4e-6) + complex(9*w*w, 0)/complex(1, readQuality*(w-1/w))
		g := (z-50)/(z+50) + complex(0.001*random.NormFloat64(), 0.001*random.NormFloat64())
		r.Frequency, r.Coefficient = append(r.Frequency, f), append(r.Coefficient, g)
	}
	return r
}

// swept is a sweep of its amplitude in dB.
func swept() measurement.Response {
	random := rand.New(rand.NewPCG(8, 6))
	r := measurement.Response{Decibel: true}
	for f := 1.25e6; f < 1.3501e6; f += 500 {
		w := f / readFrequency
		a := cmplx.Abs(1/complex(1, readQuality*(w-1/w)) + complex(0, 0.02))
		r.Frequency, r.Amplitude = append(r.Frequency, f), append(r.Amplitude, 20*math.Log10(a)-30+0.1*random.NormFloat64())
	}
	return r
}

// deskReadings are what the physics club read of its desk coil.
func deskReadings() []Reading {
	return []Reading{
		{"f, bare", 4.943e6, 0.11e6, 4.998e6, 4e3},
		{"f, with ring and primary", 3.846e6, 0.10e6, 3.712e6, 3e3},
		{"f, probe of 4 pF on top", 2.340e6, 0.11e6, 2.310e6, 12e3},
		{"L at 100 kHz", 732e-6, 34e-6, 724e-6, 4e-6},
		{"R at 20 °C", 13.2, 0.97, 13.4, 0.05},
		{"height of the winding", 70.97e-3, 3.1e-3, 69.5e-3, 0.3e-3},
	}
}

func fittedRing(t *testing.T, r measurement.Record) measurement.RingDown {
	t.Helper()
	fit, err := measurement.FitRingDown(context.Background(), r, measurement.Range{})
	if err != nil || !fit.Complete() {
		t.Fatal(fit.Message, err)
	}
	return fit
}

// measured is a figure of readings or of an instrument's data.
type measured struct {
	name string
	draw func(Style) (*plot.Plot, error)
}

func measuredSamples(t *testing.T) []measured {
	ring, sweep, reflection := ringing(), swept(), reflected()
	ringFit := fittedRing(t, ring)
	return []measured{
		{"readings", func(s Style) (*plot.Plot, error) { return ReadingsFigure(deskReadings(), s) }},
		{"readings_none", func(s Style) (*plot.Plot, error) { return ReadingsFigure(nil, s) }},
		{"logbook", func(s Style) (*plot.Plot, error) {
			return LogbookFigure(deskReadings()[:4], &Learned{0.992, 0.004}, s)
		}},
		{"ring_down", func(s Style) (*plot.Plot, error) { return RingDownFigure(ring, ringFit, measurement.Range{}, s) }},
		{"ring_down_near", func(s Style) (*plot.Plot, error) {
			return RingDownFigure(ring, ringFit, measurement.Range{From: 20e-6, To: 32e-6}, s)
		}},
		{"reflection", func(s Style) (*plot.Plot, error) {
			return ReflectionFigure(reflection, measurement.FitReflection(reflection, measurement.Range{}), measurement.Range{}, s)
		}},
		{"circle", func(s Style) (*plot.Plot, error) {
			return CircleFigure(reflection, measurement.FitReflection(reflection, measurement.Range{}), 500.0/300, s)
		}},
		{"sweep", func(s Style) (*plot.Plot, error) {
			return SweepFigure(sweep, measurement.FitSweep(sweep, measurement.Range{}), measurement.Range{}, s)
		}},
	}
}

func TestMeasurementFigures(t *testing.T) {
	for _, test := range measuredSamples(t) {
		for suffix, style := range map[string]Style{"": Light(), "_dark": Dark()} {
			if suffix != "" && test.name != "ring_down" && test.name != "readings" {
				continue
			}
			p, err := test.draw(style)
			if err != nil {
				t.Errorf("%s: %v", test.name, err)
				continue
			}
			img := image.NewRGBA(image.Rect(0, 0, 560, 340))
			Render(p, raster.New(img, 72))
			compare(t, "measured_"+test.name+suffix, img)
		}
	}
}

func TestMeasurementFiguresRefuse(t *testing.T) {
	style := Light()
	broken := deskReadings()
	broken[1].Measured = math.NaN()
	torn := swept()
	torn.Amplitude[3] = math.Inf(1)
	for _, test := range []struct {
		name string
		draw func() (*plot.Plot, error)
		want error
	}{
		{"a reading that is none", func() (*plot.Plot, error) { return ReadingsFigure(broken, style) }, ErrNotFinite},
		{"a coil that is none", func() (*plot.Plot, error) { return LogbookFigure(broken, nil, style) }, ErrNotFinite},
		{"a ratio that is none", func() (*plot.Plot, error) {
			return LogbookFigure(deskReadings(), &Learned{math.NaN(), 1}, style)
		}, ErrNotFinite},
		{"an infinite amplitude", func() (*plot.Plot, error) {
			return SweepFigure(torn, measurement.Peak{}, measurement.Range{}, style)
		}, ErrNotFinite},
		{"no channel", func() (*plot.Plot, error) {
			return RingDownFigure(measurement.Record{}, measurement.RingDown{}, measurement.Range{}, style)
		}, ErrNoCurve},
	} {
		if p, err := test.draw(); !errors.Is(err, test.want) || p != nil {
			t.Errorf("%s: %v, want %v", test.name, err, test.want)
		}
	}
}
