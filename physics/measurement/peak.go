package measurement

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/sentence"
)

// Peak is a fitted resonance in amplitude against frequency.
type Peak struct {
	Fit
	Fitted  Range // Hz; zero if none
	decibel bool
	unit    float64 // amplitude that counts as one; dB that count as none
	model   *peakModel
}

// At returns the fitted amplitude at a frequency in Hz, in the unit of the
// response (dB if that is in dB); false outside of the stretch that was
// fitted.
func (p Peak) At(f float64) (float64, bool) {
	if p.Frequency == nil || f < p.Fitted.From || f > p.Fitted.To {
		return 0, false
	}
	power := p.model.power(f, nil)
	if p.decibel {
		return 10*math.Log10(max(power, leastPower)) + p.unit, true
	}
	return math.Sqrt(max(power, 0)) * p.unit, true
}

// peakModel is the square of an amplitude,
//
//	P = c + (a + bτ)/(1 + τ²),  τ = Q(f/f₀ − f₀/f),
//
// which a resonance gives on a background: a background in phase or in
// quadrature with it, leaking past the coil, makes a and b, and noise or
// anything that adds in power makes c. A resonance that takes away has a < 0.
type peakModel struct {
	decibel   bool      // residuals are counted in dB
	reference float64   // Hz
	scale     float64   // of the first parameter
	p         []float64 // (f₀/fᵣ − 1)·scale, ln Q, c, a, b
}

const peakParameters = 5

func (m *peakModel) frequency() float64 { return m.reference * (1 + m.p[0]/m.scale) }

// height returns how far P rises or falls at the resonance.
func (m *peakModel) height() float64 { return math.Hypot(m.p[3], m.p[4]) }

// power returns P and its gradient.
func (m *peakModel) power(f float64, gradient *[peakParameters]float64) float64 {
	f0, q := m.frequency(), math.Exp(m.p[1])
	tau := q * (f/f0 - f0/f)
	d := 1 + tau*tau
	a, b := m.p[3], m.p[4]
	if gradient != nil {
		dTau := b/d - (a+b*tau)*2*tau/(d*d)
		gradient[0] = dTau * q * (-f/(f0*f0) - 1/f) * m.reference / m.scale
		gradient[1] = dTau * tau
		gradient[2], gradient[3], gradient[4] = 1, 1/d, tau/d
	}
	return m.p[2] + (a+b*tau)/d
}

// leastPower is the P that stands for none, 80 dB under the largest.
const leastPower = 1e-8

// shown turns P into what residuals are counted in, an amplitude or dB, and
// returns the derivative too. Below leastPower, and below zero, where a fit may
// stray, it goes on as a straight line, so that it leads back.
func (m *peakModel) shown(power float64) (v, derivative float64) {
	at := max(power, leastPower)
	if m.decibel {
		v, derivative = 10*math.Log10(at), 10/math.Ln10/at
	} else {
		v, derivative = math.Sqrt(at), 0.5/math.Sqrt(at)
	}
	return v + derivative*(power-at), derivative
}

func (m *peakModel) equations(frequency, values []float64) equations {
	return func(p []float64, add func(float64, []float64)) {
		trial := *m
		trial.p = p
		var g [peakParameters]float64
		for i, f := range frequency {
			v, d := trial.shown(trial.power(f, &g))
			for k := range g {
				g[k] *= d
			}
			add(values[i]-v, g[:])
		}
	}
}

// FitSweep fits a resonance on a background to amplitude against frequency,
// within a range of frequency. The quality factor is that of the coil as it was
// measured, with what drive and probe load it by.
//
// Residuals are counted in amplitude or in dB, whichever noise is likelier.
// Sigma holds for noise that differs along the sweep: it is the sandwich
// estimate with the third correction for leverage.
//
// Source: J. G. MacKinnon and H. White, Some Heteroskedasticity-Consistent
// Covariance Matrix Estimators, J. Econometrics 29 (1985) 305, from memory.
func FitSweep(r Response, within Range) Peak {
	from, to := within.limits(r.Frequency)
	p := fitPeak(r.Frequency[from:to], r.Amplitude[from:to], r.Decibel, within.isAll())
	p.Points = len(r.Frequency)
	return p
}

// fewestPeakPoints are points of a resonance, four more than parameters.
const fewestPeakPoints = 9

func fitPeak(frequency, amplitude []float64, decibel, choose bool) Peak {
	var p Peak
	n := len(frequency)
	if n < fewestPeakPoints {
		p.say(sentence.New("The sweep has %d points: too few for a resonance. Sweep with %d points.", n, advisedPoints))
		return p
	}
	p.unit = slices.Max(amplitude)
	if !decibel && p.unit <= 0 {
		p.say(sentence.New("The amplitudes are all zero."))
		return p
	}
	p.decibel = decibel
	s := sweepData{frequency: frequency, power: make([]float64, n)}
	for i, a := range amplitude {
		if decibel {
			s.power[i] = math.Pow(10, (a-p.unit)/10)
		} else {
			s.power[i] = (a / p.unit) * (a / p.unit)
		}
	}
	noise := max(scalarNoise(s.power), smallestNoise)
	best, problem := strongest(frequency, noise, peakTrial(frequency, s.power, noise))
	if !problem.Empty() {
		p.say(problem)
		return p
	}
	var others []candidate
	for range 2 { // the one that stands out most need not be the largest
		found, err := s.settle(best, nil, firstBandwidths)
		if err != nil {
			p.say(nothingFound(frequency))
			return p
		}
		others = s.others(found, noise)
		if len(others) == 0 || largest(others).size <= found.model.height() {
			break
		}
		best = largest(others)
	}
	bandwidths := fittedBandwidths
	if !choose {
		bandwidths = math.Inf(1)
	}
	found, err := s.settleLikelier(best, others, bandwidths)
	if err != nil {
		p.say(nothingFound(frequency))
		return p
	}
	f, q := found.frequency, found.quality
	switch bandwidth := f.Value / q.Value; {
	case !found.inside || f.Sigma > largestFrequencySigma*f.Value:
		p.say(nothingFound(frequency))
		return p
	case bandwidth < fewestPerBandwidth*stepNear(frequency, f.Value):
		p.say(tooCoarse(frequency, f.Value, bandwidth))
		return p
	}
	p.Frequency, p.model, p.Fitted = f, found.model, found.fitted
	if q.Sigma <= largestQualitySigma*q.Value {
		p.QualityFactor = q
	} else {
		p.say(sentence.New("The quality factor is too uncertain to tell (about %.0f): %s.", q.Value, advice(f.Value, f.Value/q.Value)))
	}
	for _, o := range others {
		p.OtherFrequencies = append(p.OtherFrequencies, o.center)
	}
	p.nameOthers()
	return p
}

// sweepData is a sweep as it is fitted.
type sweepData struct {
	frequency []float64 // Hz
	power     []float64 // square of the amplitude, over the largest
	decibel   bool      // residuals are counted in dB, else in amplitude
}

// values returns what residuals are counted in.
func (s sweepData) values() []float64 {
	out := make([]float64, len(s.power))
	for i, p := range s.power {
		out[i], _ = (&peakModel{decibel: s.decibel}).shown(p)
	}
	return out
}

// settleLikelier settles with residuals counted in amplitude and in dB and
// returns the fit by the likelier noise: alike in amplitude all along the
// sweep, as a receiver's is, or alike in dB, as that of a drive which wanders.
func (s sweepData) settleLikelier(best candidate, others []candidate, bandwidths float64) (foundPeak, error) {
	linear, level := s, s
	linear.decibel, level.decibel = false, true
	a, errA := linear.settle(best, others, bandwidths)
	b, errB := level.settle(best, others, bandwidths)
	switch {
	case errA != nil:
		return b, errB
	case errB != nil || a.fitted != b.fitted:
		return a, nil
	}
	// Both are normal densities of the same amplitudes A; one in dB has the
	// density of 20 log₁₀ A times d(20 log₁₀ A)/dA.
	logA := -0.5 * float64(a.count) * math.Log(a.sum+math.SmallestNonzeroFloat64)
	logB := -0.5 * float64(b.count) * math.Log(b.sum+math.SmallestNonzeroFloat64)
	from, to := b.fitted.limits(s.frequency)
	for _, p := range s.power[from:to] {
		_, slope := (&peakModel{decibel: true}).shown(p) // dB per P
		_, unit := (&peakModel{}).shown(p)               // A per P
		logB += math.Log(slope / unit)
	}
	if logB > logA {
		return b, nil
	}
	return a, nil
}

// foundPeak is a fit of one resonance.
type foundPeak struct {
	model              *peakModel
	frequency, quality *Estimate
	fitted             Range
	sum                float64 // of squared residuals
	count              int     // of points
	inside             bool    // the frequency lies among the points fitted
}

// settle fits the model around a candidate, over points that it chooses by the
// bandwidth of the fit before, as [Circle.settle] does.
func (s sweepData) settle(best candidate, others []candidate, bandwidths float64) (found foundPeak, err error) {
	const rounds = 3
	for range rounds {
		from, to := window(s.frequency, best, others, bandwidths)
		from, to = widened(from, to, fewestPeakPoints, len(s.frequency))
		found, err = s.fit(from, to, best)
		if err != nil || !found.inside {
			return found, err
		}
		best = candidate{center: found.frequency.Value, quality: found.quality.Value}
	}
	return found, nil
}

// others returns the other resonances of a sweep: what the search finds once
// the fitted one is taken off the data and what then holds as a resonance.
func (s sweepData) others(main foundPeak, noise float64) []candidate {
	bandwidth := main.frequency.Value / main.quality.Value
	rest := s
	rest.power = make([]float64, len(s.power))
	for i, f := range s.frequency {
		rest.power[i] = max(s.power[i]-(main.model.power(f, nil)-main.model.p[2]), 0)
	}
	var found []candidate
	for _, t := range search(s.frequency, leastSignificance*noise*noise, peakTrial(s.frequency, rest.power, noise)) {
		if math.Abs(t.center-main.frequency.Value) < besides*max(bandwidth, t.bandwidth()) || t.bandwidth() < fewestPerBandwidth*stepNear(s.frequency, t.center) {
			continue
		}
		o, err := rest.settle(t, nil, firstBandwidths)
		if err != nil || !o.inside || o.quality.Sigma > largestQualitySigma*o.quality.Value || o.frequency.Sigma > largestFrequencySigma*o.frequency.Value ||
			o.model.height() < smallestCompanion*smallestCompanion*main.model.height() ||
			math.Abs(o.frequency.Value-main.frequency.Value) < besides*bandwidth {
			continue
		}
		found = append(found, candidate{center: o.frequency.Value, quality: o.quality.Value, size: o.model.height()})
	}
	return found
}

// peakTrial returns how a resonance at a place fits: P over the points of a
// window as c + (a + bτ)/(1 + τ²), by linear least squares for c, a and b.
func peakTrial(frequency, power []float64, noise float64) trial {
	return func(from, to int, center, quality float64) (rise, rest float64) {
		n := float64(to - from)
		var s1, s2, s11, s12, s22, sp, s1p, s2p, spp float64
		for i := from; i < to; i++ {
			tau := quality * (frequency[i]/center - center/frequency[i])
			l := 1 / (1 + tau*tau)
			m := tau * l
			v := power[i]
			s1, s2, sp = s1+l, s2+m, sp+v
			s11, s12, s22 = s11+l*l, s12+l*m, s22+m*m
			s1p, s2p, spp = s1p+l*v, s2p+m*v, spp+v*v
		}
		a, b, c := s11-s1*s1/n, s12-s1*s2/n, s22-s2*s2/n
		u, v := s1p-s1*sp/n, s2p-s2*sp/n
		total := spp - sp*sp/n
		det := a*c - b*b
		if a <= 1e-9*n || c <= 1e-9*n || det <= 1e-6*a*c {
			return 0, 1
		}
		rise = (u*(c*u-b*v) + v*(a*v-b*u)) / det
		return rise, max(total-rise, 0) + n*noise*noise
	}
}

// scalarNoise returns the sigma of values by their third differences.
func scalarNoise(values []float64) float64 {
	const (
		sumOfSquares = 20     // of the weights 1, 3, 3, 1
		medianNormal = 0.6745 // median of the modulus of a normal number
	)
	var d []float64
	for i := 3; i < len(values); i++ {
		d = append(d, math.Abs(values[i]-3*values[i-1]+3*values[i-2]-values[i-3]))
	}
	slices.Sort(d)
	return d[len(d)/2] / medianNormal / math.Sqrt(sumOfSquares)
}

// fit fits the model to the points [from, to) from a candidate on.
func (s sweepData) fit(from, to int, c candidate) (foundPeak, error) {
	frequency, values, power := s.frequency[from:to], s.values()[from:to], s.power[from:to]
	m := &peakModel{decibel: s.decibel, reference: c.center, scale: c.quality}
	linear := func(p []float64, add func(float64, []float64)) { // c, a and b for the candidate as it is
		for i, f := range frequency {
			tau := c.quality * (f/c.center - c.center/f)
			l := 1 / (1 + tau*tau)
			add(power[i]-p[0]-(p[1]+p[2]*tau)*l, []float64{1, l, tau * l})
		}
	}
	begin, err := leastSquares(make([]float64, 3), linear)
	if err != nil {
		return foundPeak{}, err
	}
	// P must stay above zero: its least value is c + (a − √(a² + b²))/2.
	least := (begin.p[1] - math.Hypot(begin.p[1], begin.p[2])) / 2
	lowest := slices.Min(power)
	start := []float64{0, math.Log(c.quality), max(begin.p[0], lowest/2-least, 1e-9-least), begin.p[1], begin.p[2]}
	best, err := leastSquares(start, m.equations(frequency, values))
	if err != nil {
		return foundPeak{}, err
	}
	m.p = best.p
	covariance, err := sandwich(best, m.equations(frequency, values))
	if err != nil {
		return foundPeak{}, err
	}
	q := math.Exp(m.p[1])
	found := foundPeak{
		model:     m,
		frequency: known(m.frequency(), m.reference/m.scale*math.Sqrt(covariance.At(0, 0))),
		quality:   known(q, q*math.Sqrt(covariance.At(1, 1))),
		fitted:    Range{frequency[0], frequency[len(frequency)-1]},
		sum:       best.sum,
		count:     best.count,
	}
	if found.frequency == nil || found.quality == nil {
		return foundPeak{}, errNoFit
	}
	found.inside = found.frequency.Value >= found.fitted.From && found.frequency.Value <= found.fitted.To
	return found, nil
}

// sandwich returns the covariance of the parameters at a minimum if the noise
// differs from equation to equation: every residual stands for its own noise,
// divided by what its leverage takes off.
func sandwich(best minimum, eq equations) (*mat.SymDense, error) {
	inverse, err := best.inverse()
	if err != nil {
		return nil, err
	}
	n := len(best.p)
	meat := mat.NewSymDense(n, nil)
	gradient := mat.NewVecDense(n, nil)
	var turned mat.VecDense
	eq(best.p, func(r float64, g []float64) {
		for i, v := range g {
			gradient.SetVec(i, v)
		}
		turned.MulVec(inverse, gradient)
		const least = 1e-3 // of 1 − leverage
		w := r / max(1-mat.Dot(gradient, &turned), least)
		meat.SymRankOne(meat, w*w, &turned)
	})
	for i := range n {
		if v := meat.At(i, i); math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, errNoFit
		}
	}
	return meat, nil
}
