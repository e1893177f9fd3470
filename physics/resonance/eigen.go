package resonance

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	lapackgonum "gonum.org/v1/gonum/lapack/gonum"
)

// eigen finds the largest μ of M q = μ P q by Lanczos's method, in the metric of
// P: with P = RᵀR it runs on R⁻ᵀ M R⁻¹ and keeps its vectors orthogonal to each
// other in full, which for a few dozen of them costs nothing.
//
// M comes first on purpose: the low modes are the large μ = 1/ω², which Lanczos finds
// at once, and the many charges that drive no current are its null space, which it
// never meets.
type eigen struct {
	basis              []float64 // steps×n
	alpha, beta        []float64
	diagonal, off      []float64
	vectors, workspace []float64
	left, right        []float64
}

const (
	// modeTolerance is the residual over μ at which a mode has settled.
	// Frequencies are then good to its square.
	modeTolerance = 1e-7

	// mostSteps bounds the basis; 10 to 25 steps are usual.
	mostSteps = 80

	// smallestMu is the part of the largest μ below which a value is rounding.
	smallestMu = 1e-11
)

// solve returns the largest values of μ, descending, at most ModeCount of them,
// and their vectors q, one per row, with qᵀPq = 1, as a view that the next solve
// overwrites. factor is the upper triangle R; M is n×n with the given stride, in full;
// start, of n, must have some of every mode in it and is overwritten.
func (e *eigen) solve(ctx context.Context, n, stride int, factor, m, start []float64) (mu [ModeCount]float64, found int, vectors []float64, residual float64, err error) {
	steps := min(n, mostSteps)
	e.basis = resize(e.basis, (steps+1)*n)
	e.alpha, e.beta = resize(e.alpha, steps), resize(e.beta, steps)
	e.left = resize(e.left, n)
	r := blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: n, Stride: stride, Data: factor}
	matrix := blas64.General{Rows: n, Cols: n, Stride: stride, Data: m}
	vector := func(data []float64) blas64.Vector { return blas64.Vector{N: n, Inc: 1, Data: data} }
	work := vector(e.left)
	apply := func(x, y []float64) { // y = R⁻ᵀ M R⁻¹ x
		copy(e.left, x)
		blas64.Trsv(blas.NoTrans, r, work)
		blas64.Gemv(blas.NoTrans, 1, matrix, work, 0, vector(y))
		blas64.Trsv(blas.Trans, r, vector(y))
	}
	first := vector(e.basis[:n])
	copy(first.Data, start[:n])
	norm := blas64.Nrm2(first)
	if norm == 0 {
		return mu, 0, nil, 0, fmt.Errorf("%w: no current flows", ErrNotSolved)
	}
	blas64.Scal(1/norm, first)
	done := 0
	for k := range steps {
		if err := ctx.Err(); err != nil {
			return mu, 0, nil, 0, err
		}
		x, y := e.basis[k*n:(k+1)*n], vector(e.basis[(k+1)*n:(k+2)*n])
		apply(x, y.Data)
		e.alpha[k] = blas64.Dot(vector(x), y)
		for range 2 { // twice is enough
			for j := k; j >= 0; j-- {
				v := vector(e.basis[j*n : (j+1)*n])
				blas64.Axpy(-blas64.Dot(v, y), v, y)
			}
		}
		e.beta[k] = blas64.Nrm2(y)
		done = k + 1
		exhausted := e.beta[k] <= smallestMu*math.Abs(e.alpha[0]) || done == n
		if !exhausted {
			blas64.Scal(1/e.beta[k], y)
		}
		if exhausted || done == steps || (done >= 2*ModeCount && done%2 == 0) {
			residual, found = e.ritz(done, exhausted, &mu)
			if exhausted || found == ModeCount && residual < modeTolerance {
				break
			}
		}
	}
	if found == 0 || residual > math.Sqrt(modeTolerance) {
		return mu, found, nil, residual, fmt.Errorf("%w: modes settled to %g in %d steps", ErrNotSolved, residual, done)
	}
	// q = R⁻¹ (basis · z)
	e.right = resize(e.right, ModeCount*n)
	for i := range found {
		q := vector(e.right[i*n : (i+1)*n])
		clear(q.Data)
		column := done - 1 - i
		for k := range done {
			blas64.Axpy(e.vectors[k*done+column], vector(e.basis[k*n:(k+1)*n]), q)
		}
		blas64.Trsv(blas.NoTrans, r, q)
	}
	return mu, found, e.right, residual, nil
}

// ritz solves the tridiagonal matrix of the first steps and returns the largest
// residual over μ of the wanted values.
func (e *eigen) ritz(steps int, exhausted bool, mu *[ModeCount]float64) (residual float64, found int) {
	e.diagonal = append(e.diagonal[:0], e.alpha[:steps]...)
	e.off = append(e.off[:0], e.beta[:steps-1]...)
	e.vectors = resize(e.vectors, steps*steps)
	e.workspace = resize(e.workspace, max(1, 2*steps-2))
	if !(lapackgonum.Implementation{}).Dsteqr(lapack.EVTridiag, steps, e.diagonal, e.off, e.vectors, steps, e.workspace) {
		return math.Inf(1), 0
	}
	for i := range min(ModeCount, steps) {
		at := steps - 1 - i
		value := e.diagonal[at]
		if value <= smallestMu*e.diagonal[steps-1] {
			break
		}
		mu[i] = value
		found++
		if !exhausted {
			residual = math.Max(residual, math.Abs(e.beta[steps-1]*e.vectors[(steps-1)*steps+at])/value)
		}
	}
	return residual, found
}
