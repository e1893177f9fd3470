package measurement

import (
	"math"
	"math/cmplx"
	"slices"

	"coilwright/physics/sentence"
)

// Circle is a fitted resonance circle.
type Circle struct {
	Fit
	LoadedFrequency     *Estimate // Hz, at which the circle is crossed: the port's impedance pulls it off the coil's own
	LoadedQualityFactor *Estimate // dimensionless, with the losses of port and coupling
	Diameter            float64   // of the circle, in units of the chart's radius
	Noise               float64   // sigma of real and imaginary part of Γ about the fit
	Fitted              Range     // Hz; zero if none
	model               *circleModel
	minimum             minimum
}

// At returns the fitted reflection coefficient at a frequency in Hz; false
// outside of the stretch that was fitted.
func (c Circle) At(f float64) (complex128, bool) {
	if c.Frequency == nil || f < c.Fitted.From || f > c.Fitted.To {
		return 0, false
	}
	return c.model.at(f), true
}

// FitReflection fits the resonance circle in a one-port's reflection, within a
// range of frequency, and returns the coil's own resonant frequency and its
// unloaded quality factor: what the port's and the coupling's losses and the
// reactance of loop and leads add is taken out,
//
//	Q₀ = Q_L (1 + β),
//
// with β the power lost in port and coupling over that lost in the coil. The
// port should be calibrated where the coupling loop begins.
//
// Noise is taken as white and alike in real and imaginary part; sigma is that
// of least squares.
//
// Sources: Kajfez, Q Factor (loaded and unloaded Q by the circle and the
// circle of coupling loss), from memory; TestLossyCoupling holds its formula
// against the model.
func FitReflection(r Reflection, within Range) Circle {
	from, to := within.limits(r.Frequency)
	c := fitCircle(r.Frequency[from:to], r.Coefficient[from:to], within.isAll())
	c.Points = len(r.Frequency)
	return c
}

// leastDiameter is that of a circle worth a word: three times the noise that is
// taken for the least.
const leastDiameter = 3 * smallestNoise

// fewestCirclePoints have three times as many numbers as the model parameters.
const fewestCirclePoints = 11

func fitCircle(frequency []float64, gamma []complex128, choose bool) Circle {
	var c Circle
	if len(frequency) > 0 && frequency[0] == 0 {
		frequency, gamma = frequency[1:], gamma[1:]
	}
	n := len(frequency)
	if n < fewestCirclePoints {
		c.say(sentence.New("The sweep has %d points: too few for a circle. Sweep with %d points.", n, advisedPoints))
		return c
	}
	noise := max(differenceNoise(gamma), smallestNoise)
	best, problem := strongest(frequency, noise, circleTrial(frequency, gamma, noise))
	if !problem.Empty() {
		c.say(problem)
		return c
	}
	var others []candidate
	for range 2 { // the one that stands out most need not be the largest
		if _, _, err := c.settle(frequency, gamma, best, nil, firstBandwidths); err != nil {
			c.say(nothingFound(frequency))
			return c
		}
		others = c.others(frequency, gamma, noise)
		if len(others) == 0 || largest(others).size <= c.model.diameter() {
			break
		}
		best = largest(others)
	}
	bandwidths := fittedBandwidths
	if !choose {
		bandwidths = math.Inf(1)
	}
	from, to, err := c.settle(frequency, gamma, best, others, bandwidths)
	if err != nil {
		c.say(nothingFound(frequency))
		return c
	}
	c.judge(frequency, from, to)
	if c.Frequency == nil {
		return c
	}
	c.remark(frequency[from:to], gamma[from:to])
	for _, o := range others {
		c.OtherFrequencies = append(c.OtherFrequencies, o.center)
	}
	c.nameOthers()
	return c
}

// settle fits the model around a candidate, over points that it chooses by the
// bandwidth of the fit before: a choice by the candidate itself, which is the
// best of many, would favour points that happen to lie well.
func (c *Circle) settle(frequency []float64, gamma []complex128, best candidate, others []candidate, bandwidths float64) (from, to int, err error) {
	const rounds = 3
	for range rounds {
		from, to = window(frequency, best, others, bandwidths)
		from, to = widened(from, to, fewestCirclePoints, len(frequency))
		c.model, c.minimum, err = fitCircleModel(frequency[from:to], gamma[from:to], best)
		if err != nil {
			return from, to, err
		}
		f, q := c.model.loaded()
		if !(q > 0) || f < frequency[from] || f > frequency[to-1] {
			break
		}
		best = candidate{center: f, quality: q}
	}
	return from, to, nil
}

// circleTrial returns how a resonance at a place fits: Γ over the points of a
// window as a + bξ + D/(1 + jQt), by linear least squares for a, b and D.
func circleTrial(frequency []float64, gamma []complex128, noise float64) trial {
	return func(from, to int, center, quality float64) (rise, rest float64) {
		n := float64(to - from)
		var sx, sxx, syy, sgg float64
		var sy, sxy, sg, sxg, syg complex128
		for i := from; i < to; i++ {
			x := quality * (frequency[i]/center - 1)
			y := 1 / complex(1, quality*(frequency[i]/center-center/frequency[i]))
			g := gamma[i]
			sx += x
			sxx += x * x
			sy += y
			sxy += complex(x, 0) * y
			syy += real(y)*real(y) + imag(y)*imag(y)
			sg += g
			sxg += complex(x, 0) * g
			sgg += real(g)*real(g) + imag(g)*imag(g)
			syg += cmplx.Conj(y) * g
		}
		// Off with the parts along 1 and x.
		dx := sxx - sx*sx/n
		if dx <= 0 {
			return 0, 1
		}
		ly := sxy - complex(sx/n, 0)*sy
		lg := sxg - complex(sx/n, 0)*sg
		yy := syy - norm(sy)/n - norm(ly)/dx
		gg := sgg - norm(sg)/n - norm(lg)/dx
		yg := syg - cmplx.Conj(sy)*sg/complex(n, 0) - cmplx.Conj(ly)*lg/complex(dx, 0)
		if yy <= 1e-9*n {
			return 0, 1
		}
		rise = norm(yg) / yy
		return rise, max(gg-rise, 0) + n*noise*noise
	}
}

func norm(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// differenceNoise returns the sigma of real and imaginary part of Γ by its
// third differences, which smooth curves hardly have.
func differenceNoise(gamma []complex128) float64 {
	const (
		sumOfSquares = 20      // of the weights 1, 3, 3, 1
		medianNormal = 1.17741 // median of the modulus of two normal numbers, √(2 ln 2)
	)
	var d []float64
	for i := 3; i < len(gamma); i++ {
		d = append(d, cmplx.Abs(gamma[i]-3*gamma[i-1]+3*gamma[i-2]-gamma[i-3]))
	}
	slices.Sort(d)
	return d[len(d)/2] / medianNormal / math.Sqrt(sumOfSquares)
}

// fitCircleModel fits the model from a candidate on.
func fitCircleModel(frequency []float64, gamma []complex128, c candidate) (*circleModel, minimum, error) {
	// Linear least squares for a, b and D gives the start.
	a, d := circleAt(frequency, gamma, c)
	m := &circleModel{reference: c.center, scale: c.quality}
	// An inductive port runs from short (−1) over +j, a capacitive one over −j.
	angle := cmplx.Phase(a)
	if m.dual = angle > -math.Pi/2 && angle < math.Pi/4; m.dual {
		a, d = -a, -d
	}
	if r := cmplx.Abs(a); r > 1 {
		a /= complex(r, 0)
	}
	u := d / (1 - a)
	const least, most = 1e-4, 0.97 // of u: β from very weak to 32
	u = complex(min(max(real(u), least), most), imag(u))
	zs := (1 + a) / (1 - a)
	rho := u / complex(1-real(u), 0)
	rc := rho * (1 + zs)
	m.p = []float64{
		imag(u) / 2, // (f₀/f_L − 1) Q_L
		math.Log(c.quality / (1 - real(u))),
		real(zs), imag(zs), imag(zs), // leads are inductive: x′ = x
		math.Log(cmplx.Abs(rc)), 0,
	}
	if cmplx.IsNaN(rc) || cmplx.Abs(rc) == 0 {
		return nil, minimum{}, errNoFit
	}
	best, err := leastSquares(m.p, m.equations(frequency, gamma))
	if err != nil {
		return nil, minimum{}, err
	}
	m.p = best.p
	return m, best, nil
}

// circleAt returns the detuned reflection and the circle's diameter at a
// candidate: the linear least squares of circleTrial.
func circleAt(frequency []float64, gamma []complex128, c candidate) (detuned, diameter complex128) {
	// Orthogonalise 1, x, y one after the other.
	n := len(frequency)
	basis := [3][]complex128{make([]complex128, n), make([]complex128, n), make([]complex128, n)}
	for i, f := range frequency {
		x := c.quality * (f/c.center - c.center/f)
		basis[0][i], basis[1][i], basis[2][i] = 1, complex(x, 0), 1/complex(1, x)
	}
	dot := func(a, b []complex128) (sum complex128) {
		for i := range a {
			sum += cmplx.Conj(a[i]) * b[i]
		}
		return sum
	}
	y := slices.Clone(basis[2])
	rest := slices.Clone(gamma)
	x := slices.Clone(basis[1])
	remove := func(from, along []complex128) {
		k := dot(along, from) / dot(along, along)
		for i := range from {
			from[i] -= k * along[i]
		}
	}
	remove(x, basis[0])
	for _, along := range [][]complex128{basis[0], x} {
		remove(y, along)
		remove(rest, along)
	}
	diameter = dot(y, rest) / dot(y, y)
	for i, g := range gamma {
		rest[i] = g - diameter*basis[2][i]
	}
	// The detuned point is the line's value at resonance, where x is 0.
	slope := dot(x, rest) / dot(x, x)
	mean := dot(basis[0], rest) / complex(float64(n), 0)
	meanX := dot(basis[0], basis[1]) / complex(float64(n), 0)
	return mean - slope*meanX, diameter
}

// judge turns the model, fitted to the points [from, to) of a sweep, into
// numbers, or says why not.
func (c *Circle) judge(frequency []float64, from, to int) {
	m, best := c.model, c.minimum
	inverse, err := best.inverse()
	if err != nil {
		c.say(nothingFound(frequency))
		c.drop()
		return
	}
	variance := best.variance()
	c.Noise = math.Sqrt(variance)
	// delta returns the sigma of a function of the parameters by differences.
	delta := func(value func(m *circleModel) float64) *Estimate {
		const (
			step  = 1e-3 // sigmas
			least = 1e-7 // of the parameter, where there is no noise
		)
		g := make([]float64, circleParameters)
		for k := range g {
			h := max(step*math.Sqrt(inverse.At(k, k)*variance), least*(1+math.Abs(m.p[k])))
			up, down := *m, *m
			up.p, down.p = slices.Clone(m.p), slices.Clone(m.p)
			up.p[k] += h
			down.p[k] -= h
			g[k] = (value(&up) - value(&down)) / (up.p[k] - down.p[k])
		}
		sum := 0.0
		for i := range g {
			for j := range g {
				sum += g[i] * g[j] * inverse.At(i, j)
			}
		}
		return known(value(m), math.Sqrt(max(sum, 0)*variance))
	}
	f0 := delta((*circleModel).frequency)
	q0 := delta(func(m *circleModel) float64 { return math.Exp(m.p[atQuality]) })
	coupling := delta(func(m *circleModel) float64 { return real(m.coupled()) })
	fl := delta(func(m *circleModel) float64 { f, _ := m.loaded(); return f })
	ql := delta(func(m *circleModel) float64 { _, q := m.loaded(); return q })
	if f0 == nil || q0 == nil || coupling == nil || fl == nil || ql == nil {
		c.say(nothingFound(frequency))
		c.drop()
		return
	}
	c.Diameter = m.diameter()
	step := stepNear(frequency, f0.Value)
	bandwidth := c.bandwidth()
	switch {
	case f0.Value < frequency[from] || f0.Value > frequency[to-1] || f0.Sigma > largestFrequencySigma*f0.Value:
		c.say(nothingFound(frequency))
		c.drop()
		return
	case c.Diameter < leastDiameter:
		c.say(nothingFound(frequency))
		c.drop()
		return
	case coupling.Value <= 0:
		c.say(sentence.New("The circle near %s turns the wrong way for a coil: check the calibration.", hertz(f0.Value)))
		c.drop()
		return
	case c.Noise > c.Diameter:
		c.say(sentence.New("The coupling is too weak: the circle near %s is %.2g of the chart's radius wide and the points scatter by %.2g. Bring the loop closer.", hertz(f0.Value), c.Diameter, c.Noise))
		c.drop()
		return
	case bandwidth < fewestPerBandwidth*step:
		c.say(tooCoarse(frequency, f0.Value, bandwidth))
		c.drop()
		return
	}
	c.Frequency, c.LoadedFrequency = f0, fl
	if q0.Sigma > largestQualitySigma*q0.Value {
		c.say(sentence.New("The quality factor is too uncertain to tell (about %.0f): %s", q0.Value, c.remedy(f0.Value, bandwidth)))
	} else {
		c.QualityFactor, c.LoadedQualityFactor = q0, ql
		c.Coupling = coupling
	}
	c.Fitted = Range{frequency[from], frequency[to-1]}
}

// remedy says what to do about an uncertain quality factor.
func (c *Circle) remedy(f0, bandwidth float64) sentence.Text {
	const small = 10 // noise, in the diameter of the circle
	if c.Diameter < small*c.Noise {
		return sentence.New("the coupling is too weak, bring the loop closer.")
	}
	return sentence.Join("", advice(f0, bandwidth), sentence.Literal("."))
}

// remark says what is worth knowing about a good fit.
func (c *Circle) remark(frequency []float64, gamma []complex128) {
	const (
		advisedPerBandwidth = 5.
		weak                = 0.02 // diameter
		strong              = 1.   // β
		active              = 1.02 // modulus that no passive port has, with a little of calibration
		pulledWorthSaying   = 2.   // sigmas of the frequency
		scatter             = 0.05 // of the diameter
	)
	step := stepNear(frequency, c.Frequency.Value)
	bandwidth := c.bandwidth()
	if bandwidth < advisedPerBandwidth*step {
		c.say(sentence.New("Only %.1f points lie in the bandwidth; for a better answer %s.", bandwidth/step, advice(c.Frequency.Value, bandwidth)))
	}
	if c.Diameter < weak {
		c.say(sentence.New("The coupling is weak: the circle is %.2g of the chart's radius wide. Bring the loop closer.", c.Diameter))
	}
	if c.Coupling != nil && c.Coupling.Value > strong {
		c.say(sentence.New("The coupling is strong (β = %.2g). It is taken out, but move the loop away until the circle shrinks, to be sure of it.", c.Coupling.Value))
	}
	if pull := c.LoadedFrequency.Value - c.Frequency.Value; math.Abs(pull) > pulledWorthSaying*c.Frequency.Sigma {
		c.say(sentence.New("Loop and leads pull the resonance by %s; that is taken out.", hertz(pull)))
	}
	if noise := differenceNoise(gamma); c.Noise > 2*noise && c.Noise > scatter*c.Diameter {
		c.say(sentence.New("The points lie off the circle by %.0f %% of its width: a second resonance, a moving lead or a poor calibration.", 100*c.Noise/c.Diameter))
	}
	for _, g := range gamma {
		if cmplx.Abs(g) > active {
			c.say(sentence.New("The reflection reaches %.2f, which no coil gives back: calibrate the analyser.", cmplx.Abs(g)))
			break
		}
	}
}

// others returns the other resonances of a sweep, by their frequency and loaded
// quality factor: what the search finds once the fitted one is taken off the
// data and what then holds as a circle of its own.
func (c *Circle) others(frequency []float64, gamma []complex128, noise float64) []candidate {
	center, _ := c.model.loaded()
	rest := make([]complex128, len(gamma))
	for i, f := range frequency {
		rest[i] = gamma[i] - (c.model.at(f) - c.model.detuned(f))
	}
	var found []candidate
	for _, t := range search(frequency, leastSignificance*noise*noise, circleTrial(frequency, rest, noise)) {
		if math.Abs(t.center-center) < besides*max(c.bandwidth(), t.bandwidth()) || t.bandwidth() < fewestPerBandwidth*stepNear(frequency, t.center) {
			continue
		}
		var other Circle
		from, to, err := other.settle(frequency, rest, t, nil, firstBandwidths)
		if err != nil {
			continue
		}
		other.judge(frequency, from, to)
		if other.Complete() && other.Diameter > smallestCompanion*c.model.diameter() && math.Abs(other.Frequency.Value-center) > besides*c.bandwidth() {
			found = append(found, candidate{center: other.LoadedFrequency.Value, quality: other.LoadedQualityFactor.Value, size: other.Diameter})
		}
	}
	return found
}

// nameOthers says where further resonances lie.
func (f *Fit) nameOthers() {
	slices.Sort(f.OtherFrequencies)
	var names []sentence.Text
	for _, o := range f.OtherFrequencies {
		names = append(names, sentence.Literal(hertz(o)))
	}
	if len(names) > 0 {
		f.say(sentence.New("More resonances at %s; the one given is the strongest.", sentence.List(names...)))
	}
}

// bandwidth returns the loaded distance of the half-power points in Hz, also
// where it is too uncertain to report.
func (c *Circle) bandwidth() float64 {
	f, q := c.model.loaded()
	return f / q
}

// drop forgets a fit that means nothing.
func (c *Circle) drop() { c.Diameter, c.Noise, c.Fitted = 0, 0, Range{} }
