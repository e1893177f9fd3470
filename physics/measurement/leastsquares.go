package measurement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// errNoFit says that least squares found no minimum.
var errNoFit = errors.New("the fit does not settle")

// equations calls add for every equation of a least-squares problem: its
// residual, data minus model, and the model's gradient by the parameters. The
// gradient is used again.
type equations func(p []float64, add func(residual float64, gradient []float64))

// minimum is where a least-squares problem has its least sum.
type minimum struct {
	p      []float64
	sum    float64       // of squared residuals
	count  int           // of equations
	normal *mat.SymDense // JᵀJ, n×n for n parameters
}

// variance returns the mean square of the residuals, by degrees of freedom.
func (m minimum) variance() float64 {
	return m.sum / float64(max(m.count-len(m.p), 1))
}

// inverse returns (JᵀJ)⁻¹, n×n: times the variance of the noise it is the
// covariance of the parameters.
func (m minimum) inverse() (*mat.SymDense, error) {
	n := len(m.p)
	scaled, scale := scaledNormal(m.normal, 0)
	var chol mat.Cholesky
	if !chol.Factorize(scaled) {
		return nil, errNoFit
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		return nil, errNoFit
	}
	for i := range n {
		for j := i; j < n; j++ {
			inverse.SetSym(i, j, inverse.At(i, j)/(scale[i]*scale[j]))
		}
	}
	return &inverse, nil
}

// scaledNormal returns the normal matrix scaled to a diagonal of 1 + damping,
// and the scale, so that parameters of all sizes are alike to the solver.
func scaledNormal(normal *mat.SymDense, damping float64) (*mat.SymDense, []float64) {
	n := normal.SymmetricDim()
	scale := make([]float64, n)
	for i := range scale {
		scale[i] = math.Sqrt(normal.At(i, i))
		if scale[i] == 0 {
			scale[i] = 1
		}
	}
	scaled := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := normal.At(i, j) / (scale[i] * scale[j])
			if i == j {
				v += damping
			}
			scaled.SetSym(i, j, v)
		}
	}
	return scaled, scale
}

// leastSquares finds the parameters of the least sum of squared residuals from
// start on, by Levenberg's and Marquardt's damped Gauss-Newton steps.
//
// It wraps errNoFit if the sum still falls after a limit of steps, or if it is
// not finite at the start.
//
// Source: D. W. Marquardt, An Algorithm for Least-Squares Estimation of
// Nonlinear Parameters, J. SIAM 11 (1963) 431; the schedule of the damping is
// common practice, no source.
func leastSquares(start []float64, eq equations) (minimum, error) {
	const (
		limit    = 100  // steps
		damping0 = 1e-3 // of the scaled diagonal
		weaker   = 1. / 8
		stronger = 6.0
		most     = 1e12  // damping: no step is small enough
		enough   = 1e-10 // squared step in units of the parameters' variance, per parameter
		still    = 1e-13 // relative fall of the sum that is rounding
		exact    = 1e-20 // of the sum at the start: what is left is rounding
		rounding = 1e-11 // of a parameter, a step that is none
		small    = 1e-3  // parameter that counts as no smaller
	)
	n := len(start)
	at := assess(start, eq)
	if math.IsNaN(at.sum) || math.IsInf(at.sum, 0) {
		return minimum{}, errNoFit
	}
	first := at.sum
	damping := damping0
	step := mat.NewVecDense(n, nil)
	for range limit {
		scaled, scale := scaledNormal(at.normal, damping)
		var chol mat.Cholesky
		if !chol.Factorize(scaled) {
			if damping *= stronger; damping > most {
				return minimum{}, errNoFit
			}
			continue
		}
		rhs := mat.NewVecDense(n, nil)
		for i := range n {
			rhs.SetVec(i, at.gradient[i]/scale[i])
		}
		if err := chol.SolveVecTo(step, rhs); err != nil {
			var condition mat.Condition
			if !errors.As(err, &condition) {
				return minimum{}, errNoFit
			}
		}
		trial := make([]float64, n)
		for i := range trial {
			trial[i] = at.p[i] + step.AtVec(i)/scale[i]
		}
		next := assess(trial, eq)
		if !(next.sum <= at.sum) { // also NaN
			if damping *= stronger; damping > most {
				return at.minimum, nil // nothing below: this is the minimum to rounding
			}
			continue
		}
		length := 0.0 // of the step, in sigmas of the parameters
		tiny := true
		for i := range n {
			length += step.AtVec(i) * rhs.AtVec(i)
			tiny = tiny && math.Abs(trial[i]-at.p[i]) <= rounding*max(math.Abs(trial[i]), small)
		}
		done := damping < 1 && length <= enough*float64(n)*next.variance() ||
			at.sum-next.sum <= still*at.sum || next.sum <= exact*first || tiny
		at = next
		if done {
			return at.minimum, nil
		}
		damping *= weaker
	}
	return at.minimum, errNoFit
}

// assessed is a least-squares problem at some parameters.
type assessed struct {
	minimum
	gradient []float64 // Jᵀr
}

func assess(p []float64, eq equations) assessed {
	n := len(p)
	a := assessed{minimum{p: p, normal: mat.NewSymDense(n, nil)}, make([]float64, n)}
	products := make([]float64, n*n)
	eq(p, func(residual float64, gradient []float64) {
		a.sum += residual * residual
		a.count++
		for i, g := range gradient {
			a.gradient[i] += g * residual
			row := products[i*n : i*n+n]
			for j := i; j < n; j++ {
				row[j] += g * gradient[j]
			}
		}
	})
	for i := range n {
		for j := i; j < n; j++ {
			a.normal.SetSym(i, j, products[i*n+j])
		}
	}
	return a
}
