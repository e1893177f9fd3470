package measurement

import (
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// validationTrials is how many trials a validation makes: the thousand that its bounds
// are about, three minutes of them, where COILWRIGHT_LONG is set.
func validationTrials() int {
	if os.Getenv("COILWRIGHT_LONG") != "" {
		return 1000
	}
	return 200
}

// tally counts over many trials how an estimate and its sigma hold.
type tally struct {
	trials, missing, covered int
	sigmas, squares          float64 // sums
}

// add counts one trial; nil: nothing was found.
func (y *tally) add(e *Estimate, truth float64) {
	const normal95 = 1.959964 // half-width of the 95 % interval in sigmas
	y.trials++
	if e == nil {
		y.missing++
		return
	}
	d := e.Value - truth
	if math.Abs(d) <= normal95*e.Sigma {
		y.covered++
	}
	y.sigmas += e.Sigma
	y.squares += d * d
}

// check compares the tally with the stated 95 % and with a Cramér-Rao bound.
func (y *tally) check(t *testing.T, name string, bound float64) {
	t.Helper()
	const (
		fewestFound = 0.99
		mostSigma   = 1.5  // × bound
		leastSigma  = 0.95 // × bound: less would be too sure of itself
		many        = 1000 // trials, from which on 92 to 98 % are asked for
	)
	low, high := 0.92, 0.98
	if y.trials < many {
		low, high = 0.83, 1 // three and a half sigmas of 40 trials
	}
	found := float64(y.trials - y.missing)
	covered, sigma, scatter := float64(y.covered)/found, y.sigmas/found, math.Sqrt(y.squares/found)
	t.Logf("%s: %d trials, %d missing; %.1f %% covered; sigma %.4g, scatter %.4g, bound %.4g", name, y.trials, y.missing, 100*covered, sigma, scatter, bound)
	if found < fewestFound*float64(y.trials) {
		t.Errorf("%s: %d of %d trials found nothing", name, y.missing, y.trials)
	}
	if covered < low || covered > high {
		t.Errorf("%s: the 95 %% interval covers the truth in %.1f %% of %d trials, want %.0f to %.0f %%", name, 100*covered, y.trials, 100*low, 100*high)
	}
	if sigma > mostSigma*bound || sigma < leastSigma*bound {
		t.Errorf("%s: mean sigma %g is %.2f times the Cramér-Rao bound %g, want %g to %g times", name, sigma, sigma/bound, bound, leastSigma, mostSigma)
	}
}

// cramerRao returns the least sigma of every parameter that an unbiased
// estimate can have from values with white noise of some sigma:
// √((Σ ∇v ∇vᵀ/σ²)⁻¹)_kk. The gradient is by differences, so that it shares
// nothing with the fits.
//
// Source: S. M. Kay, Fundamentals of Statistical Signal Processing, vol. 1,
// section 3.9, from memory.
func cramerRao(t *testing.T, parameters []float64, noise float64, values func(p []float64) []float64) []float64 {
	t.Helper()
	n := len(parameters)
	steps := make([]float64, n)
	gradients := make([][]float64, n)
	for k := range parameters {
		steps[k] = 1e-6 * math.Max(math.Abs(parameters[k]), 1e-3)
		up := append([]float64{}, parameters...)
		down := append([]float64{}, parameters...)
		up[k] += steps[k]
		down[k] -= steps[k]
		v, w := values(up), values(down)
		gradients[k] = make([]float64, len(v))
		for i := range v {
			gradients[k][i] = v[i] - w[i]
		}
		length := floats.Norm(gradients[k], 2) // scaled to one, so that the matrix is well conditioned
		floats.Scale(1/length, gradients[k])
		steps[k] *= 2 / length
	}
	information := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sum := 0.0
			for k := range gradients[i] {
				sum += gradients[i][k] * gradients[j][k]
			}
			information.SetSym(i, j, sum/(noise*noise))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(information) {
		t.Fatal("the information matrix is singular")
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		t.Logf("Cramér-Rao bound: %v", err)
	}
	sigmas := make([]float64, n)
	for k := range sigmas {
		sigmas[k] = steps[k] * math.Sqrt(inverse.At(k, k))
	}
	return sigmas
}
