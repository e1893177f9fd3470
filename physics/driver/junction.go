package driver

import "math"

// thermalVoltage is kT/q in V at 27 °C, the temperature at which SPICE model
// parameters are stated. Constants: CODATA 2018.
const thermalVoltage = 1.380649e-23 * 300.15 / 1.602176634e-19

// minimumConductance in S lies across every junction, as SPICE's GMIN, so that
// a circuit of blocked junctions has a solution.
const minimumConductance = 1e-12

// limitedExp returns exp(x) and its derivative. Above 80 it goes on as a
// straight line, so that a wild step of an iteration cannot overflow; below -40
// it is 0, which is far less than any leakage.
func limitedExp(x float64) (value, slope float64) {
	const high, low = 80, -40
	switch {
	case x > high:
		e := math.Exp(high)
		return e * (1 + x - high), e
	case x < low:
		return 0, 0
	}
	e := math.Exp(x)
	return e, e
}

// depletion is the charge of a junction's depletion layer: capacitance
// C = C0 (1 - v/V0)^-m below half (the factor fc) of the built-in voltage and
// the tangent of that curve above it.
//
// Source: SPICE's junction capacitance with its coefficient FC.
type depletion struct {
	c0, v0, m    float64 // F; V; 1
	knee         float64 // V, fc V0
	f1, f2, f3   float64
	inverse      float64 // 1/V0
	chargeFactor float64 // C0 V0 / (1 - m)
	power        *powers // nil: by logarithm and exponential
}

func newDepletion(c0, v0, m, fc float64) depletion {
	return depletion{
		c0: c0, v0: v0, m: m, knee: fc * v0,
		f1:           v0 / (1 - m) * (1 - math.Pow(1-fc, 1-m)),
		f2:           math.Pow(1-fc, 1+m),
		f3:           1 - fc*(1+m),
		inverse:      1 / v0,
		chargeFactor: c0 * v0 / (1 - m),
	}
}

// at returns charge in C and capacitance in F at a voltage in V.
func (d *depletion) at(v float64) (charge, capacitance float64) {
	if d.c0 == 0 {
		return 0, 0
	}
	if v < d.knee {
		a := 1 - v*d.inverse
		s := d.power.at(a)
		if s == 0 {
			s = math.Exp(-d.m * math.Log(a))
		}
		return d.chargeFactor * (1 - a*s), d.c0 * s
	}
	charge = d.c0 * (d.f1 + (d.f3*(v-d.knee)+d.m/(2*d.v0)*(v*v-d.knee*d.knee))/d.f2)
	return charge, d.c0 / d.f2 * (d.f3 + d.m*v*d.inverse)
}

// diode is a junction with stored charge and breakdown; its series resistance
// belongs to the network.
type diode struct {
	saturation         float64 // A
	inverse            float64 // 1/V, 1/(N Vt)
	transit            float64 // s
	breakdown          float64 // V; 0: none
	breakdownCurrent   float64 // A, at the breakdown voltage
	breakdownInverse   float64 // 1/V
	critical, emission float64 // V: where Newton steps are limited; N Vt
	layer              depletion
}

// at returns current, charge and their derivatives at a voltage in V.
func (d *diode) at(v float64) (current, conductance, charge, capacitance float64) {
	e, slope := limitedExp(v * d.inverse)
	current = d.saturation * (e - 1)
	conductance = d.saturation * slope * d.inverse
	charge, capacitance = d.layer.at(v)
	charge += d.transit * current
	capacitance += d.transit * conductance
	if d.breakdown > 0 {
		e, slope := limitedExp(-(v + d.breakdown) * d.breakdownInverse)
		current -= d.breakdownCurrent * e
		conductance += d.breakdownCurrent * slope * d.breakdownInverse
	}
	return current + minimumConductance*v, conductance + minimumConductance, charge, capacitance
}

// Avalanche of the collector-base junction: above the breakdown voltage BV a
// current of slope 1 S flows from collector to base,
//
//	I = 0.25 A · softplus((Vcb - BV)/0.25 V),
//
// with softplus(z) = ln(1 + eᶻ). It has no forward branch and no charge. The
// knee of 0.25 V is an assumption, as is the slope; a real part starts earlier
// or later than its rating.
const (
	avalancheKnee  = 0.25 // V
	avalancheSlope = 1.0  // S
	// avalancheReach is how many knees below the breakdown voltage the current
	// still counts: e^-25 of 0.25 A is 3 pA.
	avalancheReach = 25
)

// avalanche returns the current and conductance at a voltage in V over the
// breakdown voltage.
func avalanche(over float64) (current, conductance float64) {
	z := over / avalancheKnee
	switch {
	case z > 40: // e^-40 is below the last digit
		return avalancheSlope * over, avalancheSlope
	case z < -avalancheReach:
		return 0, 0
	}
	e := math.Exp(z)
	return avalancheSlope * avalancheKnee * math.Log1p(e), avalancheSlope * e / (1 + e)
}

// limitedStep returns where a Newton iteration may go from old when it wants to
// go to next: on the steep part of an exponential only as far as the current
// asks for.
//
// Source: SPICE's limiting of junction voltages (Nagel 1975).
func limitedStep(next, old, emission, critical float64) float64 {
	if next <= critical || math.Abs(next-old) <= 2*emission {
		return next
	}
	if old > 0 {
		if a := 1 + (next-old)/emission; a > 0 {
			return old + emission*math.Log(a)
		}
		return critical
	}
	return emission * math.Log(math.Max(next/emission, 1e-30))
}

// criticalVoltage returns the voltage in V from which steps are limited: where
// the curvature of the exponential is largest.
func criticalVoltage(saturation, emission float64) float64 {
	return emission * math.Log(emission/(math.Sqrt2*math.Max(saturation, 1e-25)))
}

// powers is a table of a^-m for a from 2^-5 to 2^11, for an exponent that is
// asked for over and over: the top bits of a number, its exponent and the first
// five bits of its mantissa, say between which entries it lies.
type powers struct {
	c1, c2, c3 float64
	entry      [powerOctaves << powerBits]struct{ power, inverse float64 }
}

const (
	powerBits    = 5
	powerOctaves = 16
	powerLowest  = -5 // exponent of two
	powerShift   = 52 - powerBits
	powerFirst   = (1023 + powerLowest) << powerBits
)

func newPowers(m float64) *powers {
	p := &powers{c1: -m, c2: m * (m + 1) / 2, c3: -m * (m + 1) * (m + 2) / 6}
	step := math.Pow(2, -m)
	for i := range 1 << powerBits {
		middle := math.Ldexp(1+(float64(i)+0.5)/(1<<powerBits), powerLowest)
		power := math.Pow(middle, -m)
		for octave := range powerOctaves {
			e := &p.entry[octave<<powerBits+i]
			e.power, e.inverse = power, 1/middle
			power *= step
			middle *= 2
		}
	}
	return p
}

// at returns a^-m to 2 parts in 10⁸: the series of third order in the distance
// from the middle between two entries, at most 1/64 of it. It returns 0 outside
// the table, and from no table.
func (p *powers) at(a float64) float64 {
	if p == nil || !(a > 0) {
		return 0
	}
	i := int(math.Float64bits(a)>>powerShift) - powerFirst
	if uint(i) >= uint(len(p.entry)) {
		return 0
	}
	e := &p.entry[i]
	d := a*e.inverse - 1
	return e.power * (1 + d*(p.c1+d*(p.c2+d*p.c3)))
}

// quicken gives the layer a table; it pays after some hundred evaluations.
func (d *depletion) quicken() {
	if d.c0 != 0 {
		d.power = newPowers(d.m)
	}
}
