package comparison

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

// Explanation is the most plausible change of the inputs within their
// tolerances, given the readings.
type Explanation struct {
	Needed  bool     // the readings differ from the design by more than their own uncertainty
	Holds   bool     // with the changes they no longer do
	Before  float64  // Σ((measured - predicted)/σ)² as drawn
	After   float64  // the same with the changes
	Changes []Change // one per input that the readings say anything about, as in Inputs
	Alone   []Alone  // one per input and suspect, what explains best first
	Alike   []string // keys of inputs each of which explains the readings about as well: the data cannot tell them apart

	Correlation *mat.SymDense // of the changes, as they are listed
	Corrected   design.Design // as the readings have it, its tolerances narrowed
	Prior       Estimate      // Hz, the frequency with everything in place as drawn, the model's error included
	Posterior   Estimate      // Hz, the same with what the readings say
	Text        sentence.Text

	coil       state         // as the readings have it
	covariance *mat.SymDense // of all inputs, in their standard deviations
}

// Change is one input before and after the readings.
type Change struct {
	Key              string
	From, To         float64 // SI
	SigmaFrom, Sigma float64 // SI, one standard deviation before and after
	BeyondTolerance  bool    // To lies outside of the tolerance
}

// Alone is what an input would have to be if nothing else were off.
type Alone struct {
	Key       string
	From, To  float64 // SI
	Sigma     float64 // SI, of To
	Misfit    float64 // Σ((measured - predicted)/σ)² that is left, and the square of the change over its sigma
	Plausible bool    // it lies within its tolerance and leaves no more than the readings' uncertainty
}

const (
	// likely is by how much the misfits of two explanations must differ before
	// the data tell them apart: two standard deviations.
	likely = 4.0

	mostSteps   = 6    // of the least squares
	settledStep = 1e-3 // of a standard deviation
	blind       = 0.02 // of its sigma that an input's must shrink by to be a finding
)

// expected is the misfit of n readings that is still taken for agreement: the
// mean of χ² and two of its standard deviations.
func expected(n int) float64 { return float64(n) + sigmas*math.Sqrt(2*float64(n)) }

// explains says whether a quantity takes part in an explanation; the others
// depend on much that is no input.
func explains(quantity string) bool {
	switch quantity {
	case Frequency, Inductance, Resistance, Capacitance, Turns, Dimension, Temperature:
		return true
	}
	return false
}

// problem is the least squares of readings and tolerances together. With z the
// changes in standard deviations of the inputs it minimises
//
//	Σ_k ((m_k - y_k(z))/σ_k)² + Σ_i z_i²
//
// by Gauss-Newton steps on sensitivities taken once, at the drawn coil, the coil
// itself solved anew each time.
type problem struct {
	p        *predictor
	drawn    state
	inputs   []Input
	readings []design.Measurement
	measured []float64
	sigma    []float64 // with what is wrong beside the inputs
	at       []float64 // predictions as drawn
	slope    [][]float64
}

// explain finds what explains the readings; nil if none takes part.
func (c *Comparison) explain(ctx context.Context, p *predictor, drawn state) (*Explanation, error) {
	q := problem{p: p, drawn: drawn, inputs: c.Inputs}
	for k, m := range c.useful {
		if !explains(m.Quantity) {
			continue
		}
		sigma := math.Hypot(c.sigma[k], c.relativeModel[k])
		if sigma == 0 {
			continue
		}
		q.readings = append(q.readings, m)
		q.measured = append(q.measured, m.Value)
		q.sigma = append(q.sigma, sigma)
		q.at = append(q.at, c.at[k])
		q.slope = append(q.slope, c.jacobian[k])
	}
	if len(q.readings) == 0 {
		return nil, nil
	}
	e := &Explanation{Before: q.misfit(q.at, 0)}
	z, covariance, after, err := q.solve(ctx)
	if err != nil {
		return nil, err
	}
	modelOff := q.inputs[len(q.inputs)-1].sigma() // [KeyModel] comes last
	e.Needed = q.misfit(q.at, modelOff) > expected(len(q.readings))
	e.After = after
	e.Holds = after <= expected(len(q.readings))
	kept := q.changes(e, z, covariance)
	if err := q.alone(ctx, e, modelOff); err != nil {
		return nil, err
	}
	if err := q.correct(ctx, e, z, covariance); err != nil {
		return nil, err
	}
	e.covariance = covariance
	e.Correlation = correlation(covariance, kept)
	e.Text = e.words()
	return e, nil
}

// misfit is the sum of the squares of what is left of the readings, each over
// its uncertainty; modelOff, relative, is added to that of frequencies.
func (q *problem) misfit(values []float64, modelOff float64) float64 {
	sum := 0.0
	for k, v := range values {
		x := (q.measured[k] - v) / q.sigmaWith(k, modelOff)
		sum += x * x
	}
	return sum
}

func (q *problem) sigmaWith(k int, modelOff float64) float64 {
	if q.readings[k].Quantity != Frequency {
		return q.sigma[k]
	}
	return math.Hypot(q.sigma[k], modelOff*q.at[k])
}

// moved returns the coil with inputs at z standard deviations from as drawn.
func (q *problem) moved(z []float64) (state, error) {
	s := q.drawn
	for i, in := range q.inputs {
		if z[i] == 0 {
			continue
		}
		if err := in.set(&s, in.Value+z[i]*in.sigma()); err != nil {
			return s, without(sentence.Of(err))
		}
	}
	return s, nil
}

// solve returns the changes, their covariance (both in standard deviations of
// the inputs) and the misfit of the readings that is left.
func (q *problem) solve(ctx context.Context) (z []float64, covariance *mat.SymDense, misfit float64, err error) {
	n, rows := len(q.inputs), len(q.readings)
	slope := mat.NewDense(rows, n, nil)
	for k := range rows {
		for i, in := range q.inputs {
			slope.Set(k, i, q.slope[k][i]*in.sigma()/q.sigma[k])
		}
	}
	normal := mat.NewSymDense(n, nil)
	normal.SymOuterK(1, slope.T())
	for i := range n {
		normal.SetSym(i, i, normal.At(i, i)+1)
	}
	var factor mat.Cholesky
	if !factor.Factorize(normal) {
		return nil, nil, 0, errors.New("comparison: the least squares have no solution")
	}
	z = make([]float64, n)
	values, misfit := q.at, q.misfit(q.at, 0)
	for range mostSteps {
		right := mat.NewVecDense(n, nil)
		for i := range n {
			sum := -z[i]
			for k := range rows {
				sum += slope.At(k, i) * (q.measured[k] - values[k]) / q.sigma[k]
			}
			right.SetVec(i, sum)
		}
		var step mat.VecDense
		if err := factor.SolveVecTo(&step, right); err != nil {
			return nil, nil, 0, fmt.Errorf("comparison: %w", err)
		}
		next, ahead, err := q.along(ctx, z, &step)
		if errors.Is(err, ErrNoPrediction) {
			break // nothing farther on can be built
		}
		if err != nil {
			return nil, nil, 0, err
		}
		largest := 0.0
		for i := range n {
			largest = math.Max(largest, math.Abs(next[i]-z[i]))
		}
		z, values, misfit = next, ahead, q.misfit(ahead, 0)
		if largest < settledStep {
			break
		}
	}
	covariance = mat.NewSymDense(n, nil)
	if err := factor.InverseTo(covariance); err != nil {
		return nil, nil, 0, fmt.Errorf("comparison: %w", err)
	}
	return z, covariance, misfit, nil
}

// along goes a step from z, or what part of it leads to a coil that can be built,
// and returns where that is and what is predicted there.
func (q *problem) along(ctx context.Context, z []float64, step *mat.VecDense) (next, values []float64, err error) {
	const least = 1.0 / 64
	for length := 1.0; length >= least; length /= 2 {
		next = make([]float64, len(z))
		for i := range next {
			next[i] = z[i] + length*step.AtVec(i)
		}
		var s state
		if s, err = q.moved(next); err == nil {
			values, err = q.p.values(ctx, s, q.readings)
		}
		if !errors.Is(err, ErrNoPrediction) {
			break
		}
	}
	return next, values, err
}

// changes lists the inputs that the readings say something about and returns
// their places.
func (q *problem) changes(e *Explanation, z []float64, covariance *mat.SymDense) []int {
	var kept []int
	for i, in := range q.inputs {
		sigma := math.Sqrt(covariance.At(i, i))
		if 1-sigma < blind && math.Abs(z[i]) < blind {
			continue
		}
		kept = append(kept, i)
		to := in.Value + z[i]*in.sigma()
		e.Changes = append(e.Changes, Change{in.Key, in.Value, to, in.sigma(), sigma * in.sigma(), math.Abs(to-in.Value) > in.HalfWidth})
	}
	return kept
}

func correlation(covariance *mat.SymDense, kept []int) *mat.SymDense {
	if len(kept) == 0 {
		return nil
	}
	c := mat.NewSymDense(len(kept), nil)
	for a, i := range kept {
		for b, j := range kept[:a+1] {
			c.SetSym(a, b, covariance.At(i, j)/math.Sqrt(covariance.At(i, i)*covariance.At(j, j)))
		}
	}
	return c
}
