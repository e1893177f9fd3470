package driver

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
)

// Feed is how a half bridge reaches the coil.
type Feed string

// Feeds.
const (
	Untuned     Feed = "untuned"      // through the primary alone
	SeriesTuned Feed = "series_tuned" // through a capacitor and the primary
	BaseFed     Feed = "base"         // straight into the coil's foot
)

// Bridge is a half bridge that drives a coil with a square wave.
type Bridge struct {
	Coil              Coil
	Primary           Primary // not used when base-fed
	Feed              Feed
	SeriesCapacitance float64 // F, series-tuned only
	SourceResistance  float64 // ohm
	Amplitude         float64 // V, of the square wave ±V; half the bus
	Frequency         float64 // Hz; 0: where the gain is highest
	LoopDelay         float64 // s, from the sensed current's passage through zero to the end of a switch's conduction
	DeadTime          float64 // s, until the other switch conducts
}

// Response is what flows and swings per volt of a sine at the source, as
// phasors whose reference is the source.
type Response struct {
	Frequency float64    // Hz
	Top       complex128 // top voltage over source voltage
	Input     complex128 // S, current out of the source
	Foot      complex128 // S, current into the coil's foot, positive the way that grows with the source at resonance
}

// Gain returns the crest of the top over the crest of the source.
func (r Response) Gain() float64 { return cmplx.Abs(r.Top) }

func (b Bridge) check() error {
	err := errors.Join(b.Coil.check(), positive("the square wave's amplitude", b.Amplitude, "V"),
		notNegative("the source's resistance", b.SourceResistance, "ohm"), notNegative("the frequency", b.Frequency, "Hz"),
		notNegative("the loop's delay", b.LoopDelay, "s"), notNegative("the dead time", b.DeadTime, "s"))
	switch b.Feed {
	case Untuned:
		return errors.Join(err, b.Primary.check())
	case SeriesTuned:
		return errors.Join(err, b.Primary.check(), positive("the series capacitance", b.SeriesCapacitance, "F"))
	case BaseFed:
		return err
	}
	return errors.Join(err, fmt.Errorf("%w: there is no feed %q", ErrCircuit, b.Feed))
}

// At returns the response to a sine of frequency f in Hz. With Z1 and Z2 the
// impedances round the loops of primary and coil,
//
//	I1 = V Z2/(Z1 Z2 + (ωM)²),   I2 = -jωM I1/Z2,
//
// and the top is I2/(jωC) times the top-to-foot ratio. Base-fed, I = V/Z2.
// The fields must be as [Bridge.Solve] wants them; otherwise the result means
// nothing.
func (b *Bridge) At(f float64) Response {
	w := 2 * math.Pi * f
	c := &b.Coil
	reactance := w*c.Inductance - 1/(w*c.Capacitance)
	if b.Feed == BaseFed {
		i := 1 / complex(c.Resistance+b.SourceResistance, reactance)
		return Response{f, i * complex(0, -c.TopToFoot/(w*c.Capacitance)), i, i}
	}
	z2 := complex(c.Resistance, reactance)
	x1 := w * b.Primary.Inductance
	if b.Feed == SeriesTuned {
		x1 -= 1 / (w * b.SeriesCapacitance)
	}
	z1 := complex(b.SourceResistance+b.Primary.Resistance, x1)
	wm := w * b.mutual()
	i1 := z2 / (z1*z2 + complex(wm*wm, 0))
	i2 := complex(0, -wm) * i1 / z2
	return Response{f, i2 * complex(0, -c.TopToFoot/(w*c.Capacitance)), i1, -i2}
}

func (b *Bridge) mutual() float64 {
	return b.Primary.Coupling * math.Sqrt(b.Primary.Inductance*b.Coil.Inductance)
}

// Sweep returns the response at n frequencies from least to most, in Hz, evenly
// spaced. It refuses what [Bridge.Solve] refuses, and fewer than two points.
func (b *Bridge) Sweep(least, most float64, n int) ([]Response, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	if !(least > 0 && least < most) || n < 2 {
		return nil, fmt.Errorf("%w: no sweep of %d points from %g Hz to %g Hz", ErrCircuit, n, least, most)
	}
	list := make([]Response, n)
	for i := range list {
		list[i] = b.At(least + (most-least)*float64(i)/float64(n-1))
	}
	return list, nil
}

// Hump is a maximum of the gain.
type Hump struct {
	Frequency float64 // Hz
	Gain      float64
	QLoaded   float64 // from the width where the gain has fallen by √2; 0: it does not fall so far on both sides
}

// modes returns the resonances in Hz without losses, the lower first.
func (b *Bridge) modes() []float64 {
	f0 := b.Coil.Frequency()
	k := b.Primary.Coupling
	switch b.Feed {
	case BaseFed:
		return []float64{f0}
	case Untuned:
		return []float64{f0 / math.Sqrt(1-k*k)}
	}
	f1 := 1 / (2 * math.Pi * math.Sqrt(b.Primary.Inductance*b.SeriesCapacitance))
	low, high := splitting(f1, f0, k)
	return []float64{low, high}
}

// splitting returns the two frequencies without losses of circuits tuned to f1
// and f2 and coupled by k: (1 - k²) x² - (f1² + f2²) x + f1² f2² = 0 for x = f².
func splitting(f1, f2, k float64) (low, high float64) {
	a, b, c := 1-k*k, f1*f1+f2*f2, f1*f1*f2*f2
	root := math.Sqrt(b*b - 4*a*c)
	large := (b + root) / (2 * a)
	return math.Sqrt(c / a / large), math.Sqrt(large)
}

// grid returns frequencies dense enough for every hump: geometric steps away
// from each resonance, from a small part of the coil's own width outwards.
func (b *Bridge) grid() []float64 {
	var list []float64
	width := 1 / b.Coil.QUnloaded()
	for _, mode := range b.modes() {
		list = append(list, mode)
		for d := 0.05 * width; d < 1; d *= 1.15 {
			list = append(list, mode/(1+d), mode*(1+d))
		}
	}
	slices.Sort(list)
	return list
}

// Humps returns the maxima of the gain around the coil's resonance, the lowest
// frequency first.
func (b *Bridge) Humps() ([]Hump, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	return b.humps(), nil
}

func (b *Bridge) humps() []Hump {
	list := b.grid()
	gain := make([]float64, len(list))
	for i, f := range list {
		gain[i] = b.gain(f)
	}
	var humps []Hump
	for i := 1; i < len(list)-1; i++ {
		if gain[i] < gain[i-1] || gain[i] <= gain[i+1] {
			continue
		}
		f := highest(b.gain, list[i-1], list[i+1])
		h := Hump{Frequency: f, Gain: b.gain(f)}
		h.QLoaded = b.loadedQ(h, list)
		humps = append(humps, h)
	}
	return humps
}

func (b *Bridge) gain(f float64) float64 { r := b.At(f); return r.Gain() }

// highest returns where a function with one maximum between a and b has it, to
// a part in 10⁹ of b; golden section.
func highest(f func(float64) float64, a, b float64) float64 {
	const golden = 0.6180339887498949
	x1, x2 := b-golden*(b-a), a+golden*(b-a)
	y1, y2 := f(x1), f(x2)
	for b-a > 1e-9*b {
		if y1 > y2 {
			b, x2, y2 = x2, x1, y1
			x1 = b - golden*(b-a)
			y1 = f(x1)
		} else {
			a, x1, y1 = x1, x2, y2
			x2 = a + golden*(b-a)
			y2 = f(x2)
		}
	}
	return (a + b) / 2
}

// loadedQ returns the frequency of a hump over its width at 1/√2 of its gain.
func (b *Bridge) loadedQ(h Hump, list []float64) float64 {
	level := h.Gain / math.Sqrt2
	over := func(f float64) float64 { return b.gain(f) - level }
	edge := func(inside float64, outwards []float64) float64 {
		for _, f := range outwards {
			g := b.gain(f)
			if g > h.Gain { // up the other hump
				return 0
			}
			if g < level {
				return crossing(over, inside, f)
			}
			inside = f
		}
		return 0
	}
	at, _ := slices.BinarySearch(list, h.Frequency)
	below := slices.Clone(list[:at])
	slices.Reverse(below)
	low, high := edge(h.Frequency, below), edge(h.Frequency, list[at:])
	if low == 0 || high == 0 {
		return 0
	}
	return h.Frequency / (high - low)
}

// crossing returns where f changes its sign between a and b, by halving.
func crossing(f func(float64) float64, a, b float64) float64 {
	positive := f(a) > 0
	for range 60 { // 2^-60 is below the last digit
		c := (a + b) / 2
		if (f(c) > 0) == positive {
			a = c
		} else {
			b = c
		}
	}
	return (a + b) / 2
}

// Driven is a half bridge at work.
type Driven struct {
	Frequency      float64 // Hz
	Gain           float64 // top crest over the fundamental's crest at the source
	TopCrest       float64 // V, of the fundamental
	QLoaded        float64 // of the hump nearest in frequency; 0: it has no width
	InputPower     float64 // W, with the harmonics
	CoilPower      float64 // W, lost in the coil, fundamental
	SourceCurrent  float64 // A, RMS, with the harmonics
	SourcePeak     float64 // A, largest current
	SourcePower    float64 // W, lost in the source's resistance
	FootCurrentRMS float64 // A, fundamental
	Humps          []Hump
}

// harmonics is the highest harmonic of the square wave that counts; through an
// inductance the currents of the rest add less than a thousandth to the power.
const harmonics = 31

// Solve returns the state at the bridge's frequency, or at the highest gain.
// The fundamental of a square wave ±V has the crest 4V/π, the nth odd harmonic
// an nth of it.
//
// The error wraps [ErrCircuit] for a circuit that cannot be.
func (b *Bridge) Solve() (Driven, error) {
	if err := b.check(); err != nil {
		return Driven{}, err
	}
	d := Driven{Frequency: b.Frequency, Humps: b.humps()}
	if len(d.Humps) == 0 {
		return Driven{}, fmt.Errorf("%w: the gain has no maximum near the coil's resonance", ErrCircuit)
	}
	if d.Frequency == 0 {
		d.Frequency = slices.MaxFunc(d.Humps, func(a, b Hump) int {
			if a.Gain < b.Gain {
				return -1
			}
			return 1
		}).Frequency
	}
	nearest := slices.MinFunc(d.Humps, func(a, b Hump) int {
		if math.Abs(a.Frequency-d.Frequency) < math.Abs(b.Frequency-d.Frequency) {
			return -1
		}
		return 1
	})
	d.QLoaded = nearest.QLoaded
	fundamental := 4 / math.Pi * b.Amplitude
	r := b.At(d.Frequency)
	d.Gain = r.Gain()
	d.TopCrest = d.Gain * fundamental
	foot := cmplx.Abs(r.Foot) * fundamental
	d.FootCurrentRMS = foot / math.Sqrt2
	d.CoilPower = foot * foot / 2 * b.Coil.Resistance
	currents := b.currents(d.Frequency)
	square := 0.0
	for i, current := range currents {
		d.InputPower += fundamental / float64(2*i+1) * real(current) / 2
		a := cmplx.Abs(current)
		square += a * a / 2
	}
	d.SourceCurrent = math.Sqrt(square)
	d.SourcePower = square * b.SourceResistance
	const instants = 256 // over half a period; the other half mirrors it
	for i := range instants {
		d.SourcePeak = math.Max(d.SourcePeak, math.Abs(instant(currents, math.Pi*float64(i)/instants)))
	}
	return d, nil
}

// currents returns the phasors in A of the source's current: fundamental, third
// harmonic and so on, relative to the sine of each.
func (b *Bridge) currents(f float64) []complex128 {
	var list []complex128
	for n := 1; n <= harmonics; n += 2 {
		r := b.At(f * float64(n))
		list = append(list, r.Input*complex(4/math.Pi*b.Amplitude/float64(n), 0))
	}
	return list
}

// instant returns the current in A at a phase of the square wave; the wave
// rises at phase 0.
func instant(currents []complex128, phase float64) (sum float64) {
	for i, c := range currents {
		s, cosine := math.Sincos(float64(2*i+1) * phase)
		sum += real(c)*s + imag(c)*cosine
	}
	return sum
}

// Lock is where a bridge that switches on its own current comes to run.
type Lock struct {
	Frequency   float64 // Hz
	Gain        float64
	Phase       float64 // rad, by which the sensed current leads the voltage: 2π f × delay
	EdgeCurrent float64 // A, out of the bridge when its voltage rises
	Soft        bool    // the current swings the voltage over by itself: it still flows into the bridge at the edge
}

// Lock returns where the bridge locks when it switches a delay after the sensed
// current passes through zero: the primary's current when series-tuned, else
// the current at the coil's foot. There the current leads the voltage by the
// delay's angle; of several such frequencies those are stable at which the lead
// falls as the frequency rises, and the one of highest gain is returned.
//
// The voltage turns at the end of conduction if the switching is soft, and a
// dead time later if it is hard.
func (b *Bridge) Lock() (Lock, error) {
	if err := b.check(); err != nil {
		return Lock{}, err
	}
	hard, err := b.lock(b.LoopDelay + b.DeadTime)
	if err == nil && !hard.Soft {
		return hard, nil
	}
	soft, softErr := b.lock(b.LoopDelay)
	if softErr == nil && soft.Soft {
		return soft, nil
	}
	if err == nil { // between the two: the edge falls into the dead time
		return hard, nil
	}
	return soft, errors.Join(err, softErr)
}

func (b *Bridge) lock(delay float64) (Lock, error) {
	// lead is the angle by which the sensed current leads what is wanted.
	lead := func(f float64) float64 {
		r := b.At(f)
		sensed := r.Foot
		if b.Feed == SeriesTuned {
			sensed = r.Input
		}
		return cmplx.Phase(sensed * cmplx.Rect(1, -2*math.Pi*f*delay))
	}
	best := Lock{}
	list := b.grid()
	before := lead(list[0])
	for i := 1; i < len(list); i++ {
		now := lead(list[i])
		if before > 0 && now <= 0 && before-now < math.Pi { // falling, and no jump of the angle
			f := crossing(lead, list[i-1], list[i])
			if gain := b.gain(f); gain > best.Gain {
				best = Lock{Frequency: f, Gain: gain, Phase: 2 * math.Pi * f * delay}
			}
		}
		before = now
	}
	if best.Gain == 0 {
		return best, fmt.Errorf("%w: with a delay of %.3g s there is no frequency at which the loop locks", ErrNotSettled, delay)
	}
	best.EdgeCurrent = instant(b.currents(best.Frequency), 0)
	best.Soft = best.EdgeCurrent < 0
	return best, nil
}
