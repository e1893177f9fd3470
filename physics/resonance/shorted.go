package resonance

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"coilwright/physics/inductance"
)

// shorted takes the flux off that currents round an unbroken top load keep out
// of it.
//
// At radio frequency the metal lets no flux through: loops of current on its
// surface take up whatever values make their own flux zero. With G the flux of the
// coil's currents through the loops and Λ the inductances of the loops, the
// magnetic energy is least for the currents Λ⁻¹G, and M becomes M - Gᵀ Λ⁻¹ G.
type shorted struct {
	loops   []inductance.Loop // with absolute heights
	mutual  []float64
	flux    []float64 // loops×unknowns, H
	current []float64 // loops, A per V: in the first mode
}

// apply subtracts the currents' part from m. It does nothing without loops.
func (s *shorted) apply(loops []inductance.Loop, height float64, w *winding, m *matrices) error {
	s.loops = s.loops[:0]
	if len(loops) == 0 {
		return nil
	}
	for _, l := range loops {
		l.Height += height
		s.loops = append(s.loops, l)
	}
	count, n := len(loops), m.stride
	metal, floor := w.kernels.room.metal, w.kernels.room.floor
	pair := func(a, b, from, to float64) float64 {
		v := inductance.MutualLoopsUnchecked(a, b, to-from)
		if metal {
			v -= inductance.MutualLoopsUnchecked(a, b, to+from-2*floor)
		}
		return v
	}
	s.mutual = resize(s.mutual, count*count)
	for i, a := range s.loops {
		for j, b := range s.loops[:i] {
			s.mutual[j*count+i] = pair(a.Radius, b.Radius, a.Height, b.Height)
		}
		s.mutual[i*count+i] = inductance.SelfLoopUnchecked(a.Radius, a.WireRadius, inductance.Surface)
		if metal {
			s.mutual[i*count+i] -= inductance.MutualLoopsUnchecked(a.Radius, a.Radius, 2*(a.Height-floor))
		}
	}
	s.flux = resize(s.flux, count*n)
	clear(s.flux)
	radius, knots := w.kernels.winding.Radius, w.grid.unknowns()
	w.currents()
	for i, a := range s.loops {
		row := s.flux[i*n : (i+1)*n]
		all := 0.0
		for t, sample := range w.grid.samples {
			v := sample.weight * pair(a.Radius, radius, a.Height, w.kernels.winding.Base+float64(sample.turn)*w.kernels.winding.Pitch)
			all += v
			blas64.Axpy(v, blas64.Vector{N: knots, Inc: 1, Data: w.current[t*knots:]}, blas64.Vector{N: knots, Inc: 1, Data: row})
		}
		for at := m.size; at < m.count; at++ {
			row[at] = m.current[at] * all
		}
	}
	factor, ok := lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: count, Stride: count, Data: s.mutual})
	if !ok {
		return fmt.Errorf("%w: currents on the top load", ErrNotSolved)
	}
	g := blas64.General{Rows: count, Cols: m.count, Stride: n, Data: s.flux}
	blas64.Trsm(blas.Left, blas.Trans, 1, factor, g)
	blas64.Syrk(blas.Trans, -1, g, 1, blas64.Symmetric{Uplo: blas.Upper, N: m.count, Stride: n, Data: m.inductance})
	// The flux through all turns falls as well: it is the column of a unit
	// current through the whole winding.
	unit := m.bare
	for m.current[unit] == 0 {
		unit++
	}
	for i := range count {
		row := s.flux[i*n : (i+1)*n]
		whole := row[unit] / m.current[unit]
		for at := range m.count {
			m.topFlux[at] -= whole * row[at]
		}
	}
	m.symmetrise()
	return nil
}

// stripFactor is the wire radius over the width of the strip that a loop stands
// for. A sheet of current cut into equal strips has the same flux as a row of wires
// w apart whose radius is w/2π: the sum of ln|2 sin(πx/w)| about a wire. (The
// geometric mean distance of a lone strip, w e^(-3/2), reads 1 to 2 % high for a
// sphere: the neighbours are strips as well.)
const stripFactor = 1 / (2 * math.Pi)

// strip returns the loop of wire that stands for a strip of the given width bent to
// the given radius.
func strip(radius, height, width float64) inductance.Loop {
	return inductance.Loop{Radius: radius, Height: height, WireRadius: width * stripFactor, Weight: 1}
}

// shortedLoops is how many loops stand for the surface of an unbroken body.
const shortedLoops = 32

// ShortedTorus returns the loops that carry the current of an unbroken torus of
// the given centre and tube radius, in m.
func ShortedTorus(centre, tube float64) []inductance.Loop {
	loops := make([]inductance.Loop, shortedLoops)
	step := 2 * math.Pi / shortedLoops
	for i := range loops {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		loops[i] = strip(centre+tube*cos, tube*sin, tube*step)
	}
	return loops
}

// ShortedSphere returns the loops that carry the current of an unbroken sphere
// of the given radius, in m.
func ShortedSphere(radius float64) []inductance.Loop {
	loops := make([]inductance.Loop, shortedLoops)
	step := math.Pi / shortedLoops
	for i := range loops {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		loops[i] = strip(radius*sin, radius*cos, radius*step)
	}
	return loops
}

// thinnest is the least thickness of a disc over its radius that is resolved:
// a thinner one keeps out up to 4 % less flux, which is 0.05 % of the frequency.
const thinnest = 1.0 / 40

// ShortedDisc returns the loops that carry the current of an unbroken disc of the
// given radius over all and thickness, in m, with a half-round rim. They are no
// farther apart than the two faces.
func ShortedDisc(radius, thickness float64) []inductance.Loop {
	thickness = math.Max(thickness, thinnest*radius)
	h := thickness / 2
	flat := radius - h
	half := flat + math.Pi*h/2 // along the surface from the axis to the rim
	n := max(shortedLoops/2, int(math.Ceil(half/thickness)))
	loops := make([]inductance.Loop, 0, 2*n)
	step := half / float64(n)
	for i := range n {
		s := (float64(i) + 0.5) * step
		r, z := s, h
		if s > flat {
			sin, cos := math.Sincos((s - flat) / h)
			r, z = flat+h*sin, h*cos
		}
		loops = append(loops, strip(r, z, step), strip(r, -z, step))
	}
	return loops
}

// ShortedHub returns the one loop that the soldered hub of a wire ring closes: a
// wire of the given radius bent to the given radius, in m.
func ShortedHub(radius, wireRadius float64) []inductance.Loop {
	return []inductance.Loop{{Radius: radius, WireRadius: wireRadius, Weight: 1}}
}
