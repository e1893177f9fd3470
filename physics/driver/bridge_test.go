package driver

import (
	"math"
	"math/cmplx"
	"testing"
)

func someBridge(feed Feed) Bridge {
	return Bridge{
		Coil: Coil{0.000965, 4.753e-12, 97.26, 1}, Primary: Primary{2e-6, 0.14, 0.15}, Feed: feed,
		SeriesCapacitance: 2.3e-9, SourceResistance: 0.5, Amplitude: 12,
	}
}

// With f0 and the coil's R, the closed forms hold to a part in Q².
func TestClosedFormsOfBridge(t *testing.T) {
	b := someBridge(Untuned)
	k, c := b.Primary.Coupling, b.Coil
	f := c.Frequency() / math.Sqrt(1-k*k)
	w := 2 * math.Pi * f
	r := c.Resistance + k*k*c.Inductance/b.Primary.Inductance*(b.Primary.Resistance+b.SourceResistance)
	h, err := b.Humps()
	if err != nil || len(h) != 1 {
		t.Fatal(h, err)
	}
	near(t, "untuned frequency", h[0].Frequency, f, 2e-4)
	near(t, "untuned gain", h[0].Gain, k*math.Sqrt(c.Inductance/b.Primary.Inductance)/(w*c.Capacitance*r), 1e-3)
	near(t, "untuned Q", h[0].QLoaded, w*c.Inductance*(1-k*k)/r, 1e-3)

	b = someBridge(BaseFed)
	b.SourceResistance = 20
	h, err = b.Humps()
	if err != nil || len(h) != 1 {
		t.Fatal(h, err)
	}
	q := 2 * math.Pi * c.Frequency() * c.Inductance / (c.Resistance + 20)
	near(t, "base-fed frequency", h[0].Frequency, c.Frequency(), 2e-4)
	near(t, "base-fed gain", h[0].Gain, q, 1e-3)
	near(t, "base-fed Q", h[0].QLoaded, q, 1e-3)
}

// Without losses to speak of, a series-tuned primary of the coil's frequency
// splits it into f0/√(1±k).
func TestSplitting(t *testing.T) {
	b := someBridge(SeriesTuned)
	b.Coil.Resistance, b.Primary.Resistance, b.SourceResistance = 0.1, 0, 1e-4
	b.SeriesCapacitance = b.Coil.Inductance * b.Coil.Capacitance / b.Primary.Inductance
	h, err := b.Humps()
	if err != nil || len(h) != 2 {
		t.Fatal(h, err)
	}
	f0, k := b.Coil.Frequency(), b.Primary.Coupling
	near(t, "lower hump", h[0].Frequency, f0/math.Sqrt(1+k), 1e-6)
	near(t, "upper hump", h[1].Frequency, f0/math.Sqrt(1-k), 1e-6)
}

// What the source gives is what the resistances lose.
func TestBridgePower(t *testing.T) {
	for _, feed := range []Feed{Untuned, SeriesTuned, BaseFed} {
		b := someBridge(feed)
		for _, f := range []float64{2e6, 2.35e6, 2.5e6, 7e6} {
			r := b.At(f)
			square := func(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }
			lost := square(r.Foot)*b.Coil.Resistance + square(r.Input)*b.SourceResistance
			if feed != BaseFed {
				lost += square(r.Input) * b.Primary.Resistance
			}
			near(t, string(feed)+" power", real(r.Input), lost, 1e-9)
		}
	}
}

// Where the loop locks, the sensed current leads by the delay's angle.
func TestLock(t *testing.T) {
	for _, feed := range []Feed{Untuned, SeriesTuned, BaseFed} {
		b := someBridge(feed)
		for _, delay := range []float64{0, 20e-9, 60e-9} {
			b.LoopDelay = delay
			l, err := b.Lock()
			if err != nil {
				t.Errorf("%s with %g s: %v", feed, delay, err)
				continue
			}
			r := b.At(l.Frequency)
			sensed := r.Foot
			if feed == SeriesTuned {
				sensed = r.Input
			}
			if lead := cmplx.Phase(sensed); math.Abs(lead-2*math.Pi*l.Frequency*delay) > 1e-6 {
				t.Errorf("%s with %g s: the current leads by %g rad, want %g", feed, delay, lead, 2*math.Pi*l.Frequency*delay)
			}
			// A current that leads is past zero when the voltage turns: hard,
			// unless the untuned primary's own current lags more.
			if feed != Untuned && delay > 0 && l.Soft {
				t.Errorf("%s with %g s switches softly", feed, delay)
			}
		}
	}
	// 60 ns at 4 MHz are 86 degrees.
	near(t, "angle", 2*math.Pi*4e6*60e-9*180/math.Pi, 86.4, 1e-3)
}

func TestRefusedBridges(t *testing.T) {
	for _, change := range []func(*Bridge){
		func(b *Bridge) { b.Amplitude = 0 },
		func(b *Bridge) { b.SeriesCapacitance = 0 },
		func(b *Bridge) { b.Primary.Coupling = 0 },
		func(b *Bridge) { b.Feed = "magic" },
		func(b *Bridge) { b.SourceResistance = -1 },
		func(b *Bridge) { b.Coil.Resistance = 0 },
	} {
		b := someBridge(SeriesTuned)
		change(&b)
		if _, err := b.Solve(); err == nil {
			t.Errorf("%+v is not refused", b)
		}
	}
	b := someBridge(BaseFed)
	if _, err := b.Sweep(2e6, 1e6, 400); err == nil {
		t.Error("a backward sweep is not refused")
	}
}
