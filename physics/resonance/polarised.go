package resonance

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"

	"coilwright/physics/electrostatics"
)

// polarised returns the bound charge of the former for the charges q, nil for a coil
// without one: that of the surface's panels, with -κ of the winding's charge laid upon
// the outer surface. Images that single turns have in place of the sheet's end within
// about a pitch of the surface and are not in it.
func (s *Solver) polarised(c *Coil, q []float64) *electrostatics.Polarised {
	if !c.hasFormer() {
		return nil
	}
	f, m := s.former, &s.matrices
	b := &f.bound
	amplitude := make([]float64, m.stride)
	copy(amplitude, q[:m.count])
	if c.Board != nil && m.stride > m.count { // it answers all others
		amplitude[m.count] = -blas64.Dot(blas64.Vector{N: m.count, Inc: 1, Data: m.net}, blas64.Vector{N: m.count, Inc: 1, Data: q})
	}
	charge := make([]float64, b.Nodes())
	blas64.Gemv(blas.NoTrans, 1, blas64.General{Rows: b.Nodes(), Cols: m.stride, Stride: m.stride, Data: f.drawn},
		blas64.Vector{N: m.stride, Inc: 1, Data: amplitude}, 0, blas64.Vector{N: b.Nodes(), Inc: 1, Data: charge})
	sheet := make([]float64, b.OnSheet)
	blas64.Gemv(blas.NoTrans, 1, f.spreads(m.size), blas64.Vector{N: m.size, Inc: 1, Data: q}, 0, blas64.Vector{N: b.OnSheet, Inc: 1, Data: sheet})
	kappa := (c.Former.RelativePermittivity - 1) / (c.Former.RelativePermittivity + 1)
	for i, laid := range sheet {
		charge[b.Behind(i)] -= kappa * laid
	}
	p := b.Polarised(charge)
	return &p
}

const (
	// ringsOfWall is how many rings of bound charge lie on the thickness of a wall, and
	// ringsOfRod on the radius of a rod, so that within they still look like a sheet.
	ringsOfWall = 3
	ringsOfRod  = 12

	// mostOfFormer is how many rings stand for the length of a former at most.
	mostOfFormer = 1000
)

// spacing returns how far in m rings of bound charge may lie apart.
func (f *Former) spacing() float64 {
	rings := float64(ringsOfWall)
	if f.Inner == 0 {
		rings = ringsOfRod
	}
	return math.Max((f.Top-f.Bottom)/mostOfFormer, (f.Outer-f.Inner)/rings)
}
