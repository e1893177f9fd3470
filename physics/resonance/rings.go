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
)

// Rings are the charges of one conductor as coaxial rings.
//
// On the winding every turn is a ring, shifted from the middle of its wire to the
// middle of its charge, so that it has the dipole of the charge round the wire too;
// a turn with more dipole than such a shift can give is two rings. Bodies are the
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

// mostShift is how far the middle of a turn's charge may lie from that of its wire,
// over the wire's radius, before the turn is taken as two rings, this far apart.
const mostShift = 0.9

// turnRings returns the charges of all whole turns.
func (s *Solver) turnRings(c *Coil, q []float64) Rings {
	g, w := &s.winding.grid, c.Winding
	moments := s.moments(q)
	size := s.matrices.size
	r := Rings{Of: OfWinding}
	most := mostShift * w.WireRadius
	for i := range g.turns {
		at := g.find(i)
		up := min(at.element+1, size-1)
		between := func(v []float64) float64 { return (1-at.place)*v[at.element] + at.place*v[up] }
		charge, along, across := between(q), between(moments[0]), between(moments[1])
		z := w.Base + float64(i)*w.Pitch
		moment := math.Hypot(along, across)
		if moment <= most*math.Abs(charge) {
			if charge != 0 {
				along, across = along/charge, across/charge
			}
			r.add(w.Radius+across, z+along, charge)
			continue
		}
		half := moment / (2 * most)
		dr, dz := most*across/moment, most*along/moment
		r.add(w.Radius+dr, z+dz, charge/2+half)
		r.add(w.Radius-dr, z-dz, charge/2-half)
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
