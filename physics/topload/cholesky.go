package topload

import (
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// cholesky is the Cholesky factor of a symmetric positive definite matrix.
// Other than mat.Cholesky it works in place and estimates the condition number
// only when asked, which for blocks of seven rows costs more than the rest.
type cholesky struct {
	upper blas64.Triangular
	norm  float64 // largest sum of a column before factorising
	work  []float64
	iwork []int
}

// factorize overwrites m by its factor and reports whether m was positive
// definite.
func (c *cholesky) factorize(m *mat.SymDense) bool {
	raw := m.RawSymmetric()
	c.work = grow(c.work, 3*raw.N)
	c.norm = lapack64.Lansy(lapack.MaxColumnSum, raw, c.work)
	var ok bool
	c.upper, ok = lapack64.Potrf(raw)
	return ok
}

// solve overwrites every column of b by the solution for it.
func (c *cholesky) solve(b *mat.Dense) { lapack64.Potrs(c.upper, b.RawMatrix()) }

// solveVec overwrites v by the solution for it.
func (c *cholesky) solveVec(v *mat.VecDense) {
	raw := v.RawVector()
	lapack64.Potrs(c.upper, blas64.General{Rows: raw.N, Cols: 1, Stride: raw.Inc, Data: raw.Data})
}

// condition returns an estimate of the condition number.
func (c *cholesky) condition() float64 {
	n := c.upper.N
	if cap(c.iwork) < n {
		c.iwork = make([]int, n)
	}
	factor := blas64.Symmetric{N: n, Stride: c.upper.Stride, Data: c.upper.Data, Uplo: c.upper.Uplo}
	return 1 / lapack64.Pocon(factor, c.norm, c.work, c.iwork[:n])
}
