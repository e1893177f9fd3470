package resonance

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// Conductor is a part of a coil that holds charge.
type Conductor int

// Conductors of a coil.
const (
	OfWinding Conductor = iota
	OfPrimary
	OfFootLead
	OfBoard
	OfTopLead
	OfRod
	OfTopLoad
	OfFormer // which holds bound charge only
)

// Rings are the charges of one conductor as coaxial rings.
//
// On the winding every turn is four rings in its wire that have its charge, the
// dipole round the wire and what the neighbours' charges do to it next, its
// quadrupole. Bodies are the
// rings that stand for them at a distance, leads thin cylinders about the axis.
type Rings struct {
	Of             Conductor
	Radius, Height []float64 // m
	Charge         []float64 // C
}

func (r *Rings) add(radius, height, charge float64) {
	r.Radius, r.Height, r.Charge = append(r.Radius, radius), append(r.Height, height), append(r.Charge, charge)
}

// Total returns the net charge in C.
func (r *Rings) Total() float64 {
	sum := 0.0
	for _, q := range r.Charge {
		sum += q
	}
	return sum
}

// rings returns all charges for the amplitudes q. The winding comes first.
func (s *Solver) rings(c *Coil, q []float64) []Rings {
	all := []Rings{s.turnRings(c, q)}
	m := &s.matrices
	for _, src := range s.sources {
		n := len(src.radius)
		r := Rings{
			Of:     s.conductor(src),
			Radius: append([]float64(nil), src.radius...), Height: append([]float64(nil), src.height...),
			Charge: make([]float64, n),
		}
		for k, at := range src.index {
			amplitude := 0.0
			if at < m.count {
				amplitude = q[at]
			} else {
				// The board's net charge answers all others.
				amplitude = -blas64.Dot(blas64.Vector{N: m.count, Inc: 1, Data: m.net}, blas64.Vector{N: m.count, Inc: 1, Data: q})
			}
			blas64.Axpy(amplitude, blas64.Vector{N: n, Inc: 1, Data: src.weight[k*n:]}, blas64.Vector{N: n, Inc: 1, Data: r.Charge})
		}
		all = append(all, r)
	}
	return all
}

func (s *Solver) conductor(src *source) Conductor {
	switch src {
	case &s.primary:
		return OfPrimary
	case &s.footLead:
		return OfFootLead
	case &s.board:
		return OfBoard
	case &s.topLead:
		return OfTopLead
	case &s.rod:
		return OfRod
	}
	return OfTopLoad
}

// apart is how far from the middle of a wire, over its radius, the two rings stand that
// are its dipole: they have a twelve-pole besides, the square of it as strong.
const apart = 0.3

// turnRings returns the charges of all whole turns.
//
// Neighbours n pitches away with the same charge push that of a wire of radius a to the
// faces of the winding. To first order the quadrupole is that of two halves ±s from
// the middle of the wire, s² = (a⁴/p²) Σ 1/n² over the neighbours on both sides.
func (s *Solver) turnRings(c *Coil, q []float64) Rings {
	g, w := &s.winding.grid, c.Winding
	moments := s.moments(q)
	size := s.matrices.size
	n := ringsOfTurn * g.turns
	r := Rings{Of: OfWinding, Radius: make([]float64, 0, n), Height: make([]float64, 0, n), Charge: make([]float64, 0, n)}
	neighbours := make([]float64, g.turns) // Σ 1/n² over so many
	for n := 1; n < g.turns; n++ {
		neighbours[n] = neighbours[n-1] + 1/float64(n*n)
	}
	for i := range g.turns {
		at := g.find(i)
		up := min(at.element+1, size-1)
		between := func(v []float64) float64 { return (1-at.place)*v[at.element] + at.place*v[up] }
		charge, along, across := between(q), between(moments[0]), between(moments[1])
		z := w.Base + float64(i)*w.Pitch
		faces := w.WireRadius * w.WireRadius / w.Pitch * math.Sqrt(neighbours[i]+neighbours[g.turns-1-i])
		r.add(w.Radius+faces, z, charge/2)
		r.add(w.Radius-faces, z, charge/2)
		dr, dz := 0.0, 0.0
		moment := math.Hypot(along, across)
		if moment > 0 {
			dr, dz = apart*w.WireRadius*across/moment, apart*w.WireRadius*along/moment
		}
		pole := moment / (2 * apart * w.WireRadius)
		r.add(w.Radius+dr, z+dz, pole)
		r.add(w.Radius-dr, z-dz, -pole)
	}
	return r
}

// moments returns the dipole moments along and across, in C m per whole turn, by
// unknown of the winding, for the charges q.
func (s *Solver) moments(q []float64) [2][]float64 {
	m := &s.matrices
	var moments [2][]float64
	for d := range moments {
		m.moment[d] = resize(m.moment[d], m.size)
		moments[d] = m.moment[d]
		v := blas64.Vector{N: m.size, Inc: 1, Data: moments[d]}
		e := blas64.General{Rows: m.size, Cols: m.count, Stride: m.stride, Data: m.field[d]}
		blas64.Gemv(blas.NoTrans, 1, e, blas64.Vector{N: m.count, Inc: 1, Data: q}, 0, v)
		blas64.Trsv(blas.NoTrans, s.winding.stiffFactor(d), v)
	}
	return moments
}
