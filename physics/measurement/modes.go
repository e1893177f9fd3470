package measurement

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// mode is a damped oscillation, e^(−αt)(a cos ωt + b sin ωt), with t counted
// from the first sample fitted.
type mode struct {
	omega float64 // rad/s, of the damped oscillation
	alpha float64 // 1/s; negative: it grows
	a, b  float64 // in the unit of the samples
}

func (m mode) amplitude() float64 { return math.Hypot(m.a, m.b) }

// frequency returns the undamped resonant frequency in Hz.
func (m mode) frequency() float64 { return math.Hypot(m.omega, m.alpha) / (2 * math.Pi) }

// qualityFactor returns ω₀/2α.
func (m mode) qualityFactor() float64 { return math.Hypot(m.omega, m.alpha) / (2 * m.alpha) }

// shifted returns the mode with its time counted from t later.
func (m mode) shifted(t float64) mode {
	// a − ib turns by e^(iωt) and shrinks by e^(−αt).
	z := complex(m.a, -m.b) * cmplx.Exp(complex(-m.alpha*t, m.omega*t))
	m.a, m.b = real(z), -imag(z)
	return m
}

// modeFit is a sum of modes on a sloping baseline, fitted to evenly spaced
// samples by least squares: the most likely one if the noise is white.
type modeFit struct {
	modes    []mode
	offset   float64 // baseline in the middle
	slope    float64 // of the baseline, per length of the stretch
	interval float64 // s
	residual []float64
	minimum  minimum // parameters in the order of pack, times in lengths of the stretch
}

// modeParameters is how many parameters a mode has.
const modeParameters = 4

// length returns the length of the stretch in s.
func (f *modeFit) length() float64 { return float64(len(f.residual)) * f.interval }

// fitModes fits modes from start values on; a and b of the start values are
// not used, as the best are found by a linear fit first.
func fitModes(samples []float64, interval float64, start []mode) (*modeFit, error) {
	length := float64(len(samples)) * interval
	p := make([]float64, modeParameters*len(start)+2)
	for i, m := range start {
		p[modeParameters*i] = m.omega * length
		p[modeParameters*i+1] = m.alpha * length
	}
	if err := solveAmplitudes(samples, p); err != nil {
		return nil, err
	}
	best, err := leastSquares(p, modeEquations(samples))
	if err != nil {
		return nil, err
	}
	f := &modeFit{interval: interval, minimum: best, offset: best.p[len(p)-2], slope: best.p[len(p)-1]}
	for i := range start {
		q := best.p[modeParameters*i:]
		f.modes = append(f.modes, mode{q[0] / length, q[1] / length, q[2], q[3]})
	}
	f.residual = make([]float64, 0, len(samples))
	modeEquations(samples)(best.p, func(r float64, _ []float64) { f.residual = append(f.residual, r) })
	return f, nil
}

// solveAmplitudes fills the linear parameters of p with their best values for
// the frequencies and decays in p.
func solveAmplitudes(samples []float64, p []float64) error {
	n := len(p)
	var linear []int
	for i := range n {
		if i >= n-2 || i%modeParameters >= 2 {
			p[i] = 0
			linear = append(linear, i)
		}
	}
	at := assess(p, modeEquations(samples))
	normal := mat.NewSymDense(len(linear), nil)
	rhs := mat.NewVecDense(len(linear), nil)
	for i, k := range linear {
		rhs.SetVec(i, at.gradient[k])
		for j := i; j < len(linear); j++ {
			normal.SetSym(i, j, at.normal.At(k, linear[j]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return errNoFit
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, rhs); err != nil {
		return errNoFit
	}
	for i, k := range linear {
		p[k] = x.AtVec(i)
	}
	return nil
}

// modeEquations returns the equations of modes on a baseline. With u the time
// in lengths of the stretch, from 0 to 1, the parameters are, per mode, ω, α, a
// and b, then offset c and slope d of the baseline c + d(u − ½).
func modeEquations(samples []float64) equations {
	const resync = 1024 // samples after which the running phasor is set anew, so that rounding does not add up
	return func(p []float64, add func(float64, []float64)) {
		n := len(p)
		count := (n - 2) / modeParameters
		h := 1 / float64(len(samples))
		phasor := make([]complex128, count)
		turn := make([]complex128, count)
		for i := range count {
			turn[i] = cmplx.Exp(complex(-p[modeParameters*i+1]*h, p[modeParameters*i]*h))
		}
		g := make([]float64, n)
		for k, y := range samples {
			u := float64(k) * h
			model := p[n-2] + p[n-1]*(u-0.5)
			for i := range count {
				q := p[modeParameters*i : modeParameters*i+modeParameters]
				if k%resync == 0 {
					phasor[i] = cmplx.Exp(complex(-q[1]*u, q[0]*u))
				}
				c, s := real(phasor[i]), imag(phasor[i])
				value := q[2]*c + q[3]*s
				model += value
				d := g[modeParameters*i : modeParameters*i+modeParameters]
				d[0] = u * (q[3]*c - q[2]*s)
				d[1] = -u * value
				d[2], d[3] = c, s
				phasor[i] *= turn[i]
			}
			g[n-2], g[n-1] = 1, u-0.5
			add(y-model, g)
		}
	}
}

// estimates returns frequency and quality factor of a mode with their sigma.
// noise is the density of the noise near the mode's frequency over that of
// white noise with the same variance.
func (f *modeFit) estimates(i int, noise float64) (frequency, quality *Estimate) {
	inverse, err := f.minimum.inverse()
	if err != nil {
		return nil, nil
	}
	m := f.modes[i]
	k := modeParameters * i
	scale := f.minimum.variance() * noise / (f.length() * f.length())
	ww, wa, aa := inverse.At(k, k)*scale, inverse.At(k, k+1)*scale, inverse.At(k+1, k+1)*scale
	sigma := func(dw, da float64) float64 {
		return math.Sqrt(max(dw*dw*ww+2*dw*da*wa+da*da*aa, 0))
	}
	omega0 := math.Hypot(m.omega, m.alpha)
	dw, da := m.omega/omega0, m.alpha/omega0 // of ω₀
	frequency = known(m.frequency(), sigma(dw, da)/(2*math.Pi))
	// Q = ω₀/2α: dQ/Q = dω₀/ω₀ − dα/α
	q := m.qualityFactor()
	quality = known(q, math.Abs(q)*sigma(dw/omega0, da/omega0-1/m.alpha))
	return frequency, quality
}

// alphaSigma returns the sigma of a mode's decay in 1/s.
func (f *modeFit) alphaSigma(i int, noise float64) float64 {
	inverse, err := f.minimum.inverse()
	if err != nil {
		return math.Inf(1)
	}
	k := modeParameters*i + 1
	return math.Sqrt(inverse.At(k, k)*f.minimum.variance()*noise) / f.length()
}

// at returns the model's value at a time in s after the first sample.
func (f *modeFit) at(t float64) float64 {
	v := f.offset + f.slope*(t/f.length()-0.5)
	for _, m := range f.modes {
		s, c := math.Sincos(m.omega * t)
		v += math.Exp(-m.alpha*t) * (m.a*c + m.b*s)
	}
	return v
}

// undoMerging gives the modes the amplitudes they had before samples were
// averaged in groups of merged.
func (f *modeFit) undoMerging(merged int) {
	h := f.interval / float64(merged)
	for i, m := range f.modes {
		var gain complex128 // of averaging, about the middle of the group
		for k := range merged {
			gain += cmplx.Exp(complex(-m.alpha, m.omega) * complex((float64(k)-float64(merged-1)/2)*h, 0))
		}
		z := complex(m.a, -m.b) * complex(float64(merged), 0) / gain
		f.modes[i].a, f.modes[i].b = real(z), -imag(z)
	}
}
