package driver

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// State is what an exciter comes to.
type State string

// States. A weak exciter oscillates steadily, but its top stays below
// [FullOutput] times the supply.
const (
	StateNone State = "none"
	StateWeak State = "weak"
	StateFull State = "full"
)

// FullOutput is how many times the supply the top's crest must exceed for an
// exciter to count as started.
const FullOutput = 5

// Running is an exciter in its settled state, reached from a supply that rises
// in 1 µs.
type Running struct {
	State          State
	Frequency      float64 // Hz; 0 if it does not oscillate
	TopCrest       float64 // V, half of peak to peak
	SupplyCurrent  float64 // A, mean
	InputPower     float64 // W, mean, from the supply's source
	CoilPower      float64 // W, mean, lost in the coil's resistance
	PrimaryPower   float64 // W, mean, lost in the primary
	DevicePower    float64 // W, mean, in the transistor
	ClampPower     float64 // W, mean
	CollectorCrest float64 // V, highest collector (drain) voltage over ground
	CollectorBase  float64 // V, highest collector voltage over the base
	CollectorPeak  float64 // A, largest collector current
	BaseReverse    float64 // V, how far the base goes below the emitter; for a gate the larger of both ways
	ClampPeak      float64 // A
	FootCurrentRMS float64 // A
	PrimaryPeak    float64 // A
	SettlingTime   float64 // s, until the crest stays within 5 % of its last value

	// Unsteadiness is the standard deviation of the crest from cycle to cycle
	// over its mean; above a few percent the output pulses.
	Unsteadiness float64
	Cycles       int // periods that were followed
	Steps        int

	Envelope []Crest  // from the start, one per period
	Waveform []Sample // two periods of the settled state
	Ignored  []string // model parameters without a counterpart here
}

// Crest is a point of the start-up envelope.
type Crest struct {
	Time float64 // s, end of the period
	Top  float64 // V
}

// Sample is one instant of the settled waveform.
type Sample struct {
	Time             float64 // s
	Base             float64 // V
	Collector        float64 // V
	CollectorCurrent float64 // A, into the device
	Top              float64 // V
	Primary          float64 // A
	Foot             float64 // A, out of the base node into the coil
}

// Starts reports whether the settled state is full output.
func (r Running) Starts() bool { return r.State == StateFull }

// Limits of the search for the settled state. Growth is followed coarsely in
// blocks of a few periods, the settled state finely in blocks that grow until
// three of them agree.
const (
	leastBlock      = 5 // periods
	mostBlock       = 20
	mostPeriods     = 4000
	coarseTolerance = 24
	fineTolerance   = 2     // TestValidationExciter shows what it reaches
	nearlySettled   = 0.10  // of the crest still to come: time to look finely
	settledChange   = 0.01  // of the crest still to come
	steadyChange    = 0.006 // from block to block
	coarsePeriods   = 60    // after which a crest without trend is looked at finely
	unsteadyPeriods = 120   // after which a crest without trend is taken as it is
	unsteadyChange  = 0.02  // from one half of them to the other
	deadCrest       = 1e-4  // of the supply
	weakCrest       = 1e-2  // of the supply
	mostJumps       = 6
	farthestJump    = 0.15 // of the crest
)

// period is what one period of the oscillation was like.
type period struct {
	end, length                       float64 // s
	crest                             float64
	charge                            float64 // C, from the supply
	primary2, foot2                   float64 // A²s
	device, clamp                     float64 // J
	collector, collectorBase, current float64
	baseLow, baseHigh                 float64
	clampPeak, primaryPeak            float64
	crossed                           bool
}

func newPeriod() period {
	return period{collector: math.Inf(-1), collectorBase: math.Inf(-1), baseLow: math.Inf(1), baseHigh: math.Inf(-1)}
}

// Settle follows the exciter from its supply's rise to its settled state.
//
// The error wraps [ErrCircuit] or [ErrPart] for a circuit that cannot be,
// [ErrNotSettled] if no settled state was reached, and is that of ctx if it was
// cancelled.
func (x Exciter) Settle(ctx context.Context) (Running, error) {
	c, err := x.build()
	if err != nil {
		return Running{}, err
	}
	start, err := c.start()
	if err != nil {
		return Running{}, err
	}
	g, err := c.newIntegrator(coarseTolerance)
	if err != nil {
		return Running{}, err
	}
	f := follower{c: c, integrator: g, growth: start.Growth}
	return f.settle(ctx)
}

// follower watches an integrator period by period.
type follower struct {
	*integrator
	c       *circuit
	growth  float64
	periods []period
	fine    int // index of the first period that was followed finely, -1: none yet
	jumps   int

	begin             float64 // s, of the present period
	low, high, middle float64 // V, of the top
	before, current   float64 // V, A: top and supply current one step ago
	pending           float64 // C, drawn since the end of the last period

	envelope []Crest
}

func (f *follower) settle(ctx context.Context) (Running, error) {
	f.fine = -1
	f.periods = make([]period, 0, 256)
	f.low, f.high = math.Inf(1), math.Inf(-1)
	supply := f.c.exciter.Supply
	since := 0 // the periods from here on follow one another undisturbed and alike
	for len(f.periods) < mostPeriods {
		if err := ctx.Err(); err != nil {
			return Running{}, err
		}
		for range leastBlock {
			f.cycle(nil)
		}
		n := len(f.periods)
		if n-since < 3*leastBlock || f.t < 2*supplyRise {
			continue
		}
		size := max(leastBlock, min(mostBlock, (n-since)/3))
		a, b, e := f.block(3, size), f.block(2, size), f.block(1, size)
		if math.IsNaN(e) {
			return Running{}, fmt.Errorf("%w: the numbers went astray after %d periods", ErrNotSettled, n)
		}
		if e < deadCrest*supply || f.growth < 0 && e < weakCrest*supply && e < b && b < a {
			return f.result(size, StateNone)
		}
		rest, steady := remaining(a, b, e)
		switch {
		case f.fine < 0:
			if math.Abs(rest) < nearlySettled*e || n-since >= coarsePeriods && f.trendless(n-coarsePeriods, nearlySettled) {
				f.fine, since = n, n
				f.tolerance = fineTolerance
			}
		case steady && math.Abs(rest) < settledChange*e:
			return f.result(3*size, "")
		case math.Abs(rest) < farthestJump*e && rest != 0 && f.jumps < mostJumps:
			f.jump(1 + rest/e)
			f.jumps++
			since = n // the envelope is near enough its end for its time not to matter
		case n-f.fine >= unsteadyPeriods && f.trendless(f.fine, unsteadyChange):
			return f.result(n-f.fine, "")
		}
	}
	return Running{}, fmt.Errorf("%w: after %d periods (%.3g s) the top still changes from %.4g V to %.4g V in %d periods",
		ErrNotSettled, len(f.periods), f.t, f.block(2, mostBlock)*f.ratio(), f.block(1, mostBlock)*f.ratio(), mostBlock)
}

func (f *follower) ratio() float64 { return f.c.exciter.Coil.TopToFoot }

// block returns the mean crest of the block of so many periods that lies so
// many blocks back.
func (f *follower) block(back, size int) float64 {
	n := len(f.periods) - back*size
	sum := 0.0
	for _, p := range f.periods[n : n+size] {
		sum += p.crest
	}
	return sum / float64(size)
}

// trendless reports whether the crest, however it moves, has the same mean in
// both halves of what was seen from the given period on.
func (f *follower) trendless(from int, share float64) bool {
	list := f.periods[from:]
	half := len(list) / 2
	var first, second float64
	for _, p := range list[:half] {
		first += p.crest / float64(half)
	}
	for _, p := range list[half:] {
		second += p.crest / float64(len(list)-half)
	}
	return math.Abs(first-second) < share*second
}

// remaining extrapolates three means of blocks as a geometric series: rest is
// the change that is still to come, and steady says that the three agree.
func remaining(a, b, c float64) (rest float64, steady bool) {
	d1, d2 := b-a, c-b
	steady = math.Abs(d1) < steadyChange*c && math.Abs(d2) < steadyChange*c
	const negligible = 2e-4 // of the crest: what is left of the step errors
	if math.Abs(d2) < negligible*c {
		return 0, steady
	}
	r := d2 / d1
	switch {
	case r <= 0: // it swings about its last value
		return 0, steady
	case r >= 0.97: // no end in sight
		return math.Copysign(math.Inf(1), d2), false
	}
	return d2 * r / (1 - r), steady
}

// jump scales the oscillation of the coil, and nothing else, by a factor: the
// slow approach to a settled crest need not be followed to its end.
func (f *follower) jump(factor float64) {
	c := f.c
	top, foot := f.out[outTop]-f.middle, f.out[outFoot]
	dTop, dFoot := top*(factor-1), foot*(factor-1)
	for k, state := range c.states {
		f.s[k] += c.e[state][c.top]*dTop + c.e[state][c.foot]*dFoot
		// E x' = source - G x - …: the rates follow the same way.
		f.ds[k] -= c.g[state][c.top]*dTop + c.g[state][c.foot]*dFoot
	}
}

// cycle goes on for one period: from one upward passage of the top through the
// middle of its swing to the next, or for a period of the coil and a half if it
// does not swing.
func (f *follower) cycle(record func()) {
	c := f.c
	nominal := 2 * math.Pi / c.omega
	p := newPeriod()
	p.charge = f.pending
	rb := c.exciter.BaseResistor
	for {
		f.step()
		h, top, foot, primary := f.h1, f.out[outTop], f.out[outFoot], f.out[outPrimary]
		base, collector := f.out[outBase], f.out[outCollector]
		current := primary + (f.out[outRail]-base)/rb
		p.charge += (current + f.current) / 2 * h
		f.current = current
		p.primary2 += primary * primary * h
		p.foot2 += foot * foot * h
		f.low, f.high = math.Min(f.low, top), math.Max(f.high, top)
		p.collector = math.Max(p.collector, collector)
		p.collectorBase = math.Max(p.collectorBase, collector-base)
		p.primaryPeak = math.Max(p.primaryPeak, math.Abs(primary))
		device, intoCollector := c.devicePower(&f.u, &f.j, collector)
		p.device += device * h
		p.current = math.Max(p.current, intoCollector)
		v := f.u[portEmitter]
		p.baseLow, p.baseHigh = math.Min(p.baseLow, v), math.Max(p.baseHigh, v)
		if k := c.clampPort; k >= 0 {
			p.clamp -= base * f.j[k] * h
			p.clampPeak = math.Max(p.clampPeak, f.j[k])
		}
		if record != nil {
			record()
		}
		elapsed := f.t - f.begin
		crossed := f.before < f.middle && top >= f.middle && elapsed > 0.5*nominal
		over := 0.0 // s, how long ago the period ended
		if crossed {
			over = h * (top - f.middle) / (top - f.before)
		}
		f.before = top
		if !crossed && elapsed < 1.5*nominal {
			continue
		}
		p.charge -= current * over
		p.crossed = crossed
		p.end = f.t - over
		p.length = p.end - f.begin
		p.crest = (f.high - f.low) / 2
		f.begin = p.end
		f.middle = (f.high + f.low) / 2
		f.low, f.high = math.Inf(1), math.Inf(-1)
		f.periods = append(f.periods, p)
		f.envelope = append(f.envelope, Crest{p.end, p.crest * f.ratio()})
		f.pending = current * over // it belongs to the next period
		return
	}
}

// devicePower returns the power in W that goes into the device at this instant
// and the current in A into its collector. Stored charge comes back, so that
// the mean over periods is heat.
func (c *circuit) devicePower(u, j *[maxPorts]float64, collector float64) (power, current float64) {
	power = u[0]*j[0] + u[1]*j[1]
	across := j[0] + j[1] // through the base or gate
	if m := c.mosfet; m != nil {
		body := j[2]
		power += across*across*m.rg + j[1]*j[1]*m.rd + j[0]*j[0]*m.rs + u[2]*body + body*body*m.rb
		if m.rds > 0 {
			power += collector * collector / m.rds
		}
		return power, -j[1] - body
	}
	power += across*across*c.rb + j[1]*j[1]*c.rc + j[0]*j[0]*c.re
	current = -j[1]
	if k := c.avalanche; k >= 0 {
		power += u[k] * j[k]
		current += j[k]
	}
	return power, current
}

// result sums up the last periods.
func (f *follower) result(last int, state State) (Running, error) {
	x := &f.c.exciter
	n := len(f.periods)
	last = min(last, n)
	r := Running{State: state, Cycles: n, Steps: f.steps, Ignored: f.c.ignored, CollectorCrest: math.Inf(-1), CollectorBase: math.Inf(-1)}
	var total, charge, square float64
	crossings := 0
	for _, p := range f.periods[n-last:] {
		total += p.length
		charge += p.charge
		r.TopCrest += p.crest / float64(last)
		square += p.crest * p.crest / float64(last)
		r.CoilPower += p.foot2 * x.Coil.Resistance
		r.PrimaryPower += p.primary2 * x.Primary.Resistance
		r.DevicePower += p.device
		r.ClampPower += p.clamp
		r.FootCurrentRMS += p.foot2
		r.CollectorCrest = math.Max(r.CollectorCrest, p.collector)
		r.CollectorBase = math.Max(r.CollectorBase, p.collectorBase)
		r.CollectorPeak = math.Max(r.CollectorPeak, p.current)
		r.BaseReverse = math.Max(r.BaseReverse, -p.baseLow)
		if f.c.mosfet != nil {
			r.BaseReverse = math.Max(r.BaseReverse, p.baseHigh)
		}
		r.ClampPeak = math.Max(r.ClampPeak, p.clampPeak)
		r.PrimaryPeak = math.Max(r.PrimaryPeak, p.primaryPeak)
		if p.crossed {
			crossings++
		}
	}
	for _, power := range []*float64{&r.CoilPower, &r.PrimaryPower, &r.DevicePower, &r.ClampPower, &r.FootCurrentRMS} {
		*power /= total
	}
	r.FootCurrentRMS = math.Sqrt(r.FootCurrentRMS)
	r.SupplyCurrent = charge / total
	r.InputPower = r.SupplyCurrent * x.Supply
	if crest := r.TopCrest; crest > 0 {
		r.Unsteadiness = math.Sqrt(math.Max(0, square-crest*crest)) / crest
	}
	r.TopCrest *= f.ratio()
	if r.State == "" {
		r.State = StateWeak
		if r.TopCrest > FullOutput*x.Supply {
			r.State = StateFull
		}
		if crossings == last {
			r.Frequency = float64(last) / total
		}
	}
	r.Envelope = slices.Clone(f.envelope)
	for i, c := range slices.Backward(r.Envelope) {
		if math.Abs(c.Top-r.TopCrest) > settlingBand*r.TopCrest {
			r.SettlingTime = c.Time
			if i+1 < len(r.Envelope) { // between the two
				r.SettlingTime = (c.Time + r.Envelope[i+1].Time) / 2
			}
			break
		}
	}
	r.Waveform = make([]Sample, 0, 2*coarseSteps)
	from := f.t
	for range 2 {
		f.cycle(func() {
			_, current := f.c.devicePower(&f.u, &f.j, f.out[outCollector])
			r.Waveform = append(r.Waveform, Sample{
				Time: f.t - from, Base: f.out[outBase], Collector: f.out[outCollector], CollectorCurrent: current,
				Top: f.out[outTop] * f.ratio(), Primary: f.out[outPrimary], Foot: f.out[outFoot],
			})
		})
	}
	return r, nil
}

// settlingBand is how near to its last value the crest must stay to count as
// settled.
const settlingBand = 0.05
