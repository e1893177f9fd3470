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
	loops   []Loop // with absolute heights
	mutual  []float64
	flux    []float64 // loops×unknowns, H
	current []float64 // loops, A per V: in the first mode
}

// apply subtracts the currents' part from m. It does nothing without loops.
func (s *shorted) apply(loops []Loop, height float64, w *winding, m *matrices) error {
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

// stripFactor is the geometric mean distance of a strip from itself over its
// width, e^(-3/2): a wire of that radius has the flux of the strip.
var stripFactor = math.Exp(-1.5)

// strip returns the loop of wire that stands for a strip of the given width bent to
// the given radius.
func strip(radius, height, width float64) Loop {
	return Loop{Radius: radius, Height: height, WireRadius: width * stripFactor, Weight: 1}
}

// shortedLoops is how many loops stand for the surface of an unbroken body.
const shortedLoops = 32

// ShortedTorus returns the loops that carry the current of an unbroken torus of
// the given centre and tube radius, in m.
func ShortedTorus(centre, tube float64) []Loop {
	loops := make([]Loop, shortedLoops)
	step := 2 * math.Pi / shortedLoops
	for i := range loops {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		loops[i] = strip(centre+tube*cos, tube*sin, tube*step)
	}
	return loops
}

// ShortedSphere returns the loops that carry the current of an unbroken sphere
// of the given radius, in m.
func ShortedSphere(radius float64) []Loop {
	loops := make([]Loop, shortedLoops)
	step := math.Pi / shortedLoops
	for i := range loops {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		loops[i] = strip(radius*sin, radius*cos, radius*step)
	}
	return loops
}

// ShortedDisc returns the loops that carry the current of an unbroken disc of the
// given radius and thickness, in m, crowded towards the rim as the current is but
// no narrower than half the thickness. The two faces are taken together.
func ShortedDisc(radius, thickness float64) []Loop {
	var loops []Loop
	for outer := radius; outer > 0; {
		// Natural places are the sines of equal angles.
		angle := math.Asin(outer/radius) - math.Pi/2/shortedLoops
		inner := radius * math.Sin(math.Max(0, angle))
		inner = math.Max(0, math.Min(inner, outer-thickness/2))
		if inner < (outer-inner)/2 {
			inner = 0
		}
		loops = append(loops, strip((inner+outer)/2, 0, outer-inner))
		outer = inner
	}
	return loops
}

// ShortedHub returns the one loop that the soldered hub of a wire ring closes: a
// wire of the given radius bent to the given radius, in m.
func ShortedHub(radius, wireRadius float64) []Loop {
	return []Loop{{Radius: radius, WireRadius: wireRadius, Weight: 1}}
}
