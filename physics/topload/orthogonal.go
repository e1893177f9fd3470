package topload

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// orthogonalise makes the columns of t, charges, orthonormal in the energy
// TᵀPT = FᵀT, in their order (Gram-Schmidt), where f = Pt holds their
// potentials and is changed along.
func orthogonalise(f, t *mat.Dense) error {
	_, count := f.Dims()
	for i := range count {
		for k := range i {
			c := dotColumns(f, k, t, i)
			addColumn(f, i, -c, k)
			addColumn(t, i, -c, k)
		}
		norm := dotColumns(f, i, t, i)
		if !(norm > 0) {
			return fmt.Errorf("%w: mode %d of a body", ErrSolve, i)
		}
		scaleColumn(f, i, 1/math.Sqrt(norm))
		scaleColumn(t, i, 1/math.Sqrt(norm))
	}
	return nil
}

func dotColumns(a *mat.Dense, i int, b *mat.Dense, k int) float64 {
	rows, _ := a.Dims()
	sum := 0.0
	for r := range rows {
		sum += a.At(r, i) * b.At(r, k)
	}
	return sum
}

// addColumn adds c times column k of m to column i.
func addColumn(m *mat.Dense, i int, c float64, k int) {
	rows, _ := m.Dims()
	for r := range rows {
		m.Set(r, i, m.At(r, i)+c*m.At(r, k))
	}
}

func scaleColumn(m *mat.Dense, i int, c float64) {
	rows, _ := m.Dims()
	for r := range rows {
		m.Set(r, i, m.At(r, i)*c)
	}
}
