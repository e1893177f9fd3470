package loss

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ErrNotSolved is wrapped by errors about multipoles that did not settle; they mean a
// geometry beyond what the model bears.
var ErrNotSolved = errors.New("loss: not solved")

// family is one of the two symmetries of the harmonics about the plane of the row:
// even harmonics are cos nθ, driven by the currents and by fields across the plane, odd
// ones sin nθ, driven by fields along it. θ counts from the direction of the row.
type family float64

const (
	evenFamily family = 1
	oddFamily  family = -1
)

// wires says what the wires of a row are in themselves.
type wires struct {
	ratio     float64 // radius over pitch, at most 1/2
	thickness float64 // radius over skin depth

	count      int          // harmonics, 1 to count
	shield     []complex128 // χ_n by n, from shielding
	ratios     []complex128
	logFactor  []float64 // ln m!
	logLattice []float64 // ln Σ_(j≠0) (a/jp)^q by q, for even q
}

const (
	// Harmonics are cut off where the common image of the neighbours' currents
	// in the wire has faded to rowTolerance; it lies at (1-√(1-4x²))/2x of the radius.
	rowTolerance = 1e-3

	fewestHarmonics, mostHarmonics = 3, 24

	// A wire that is thin against its skin throws high harmonics back little: this many,
	// and two for every skin depth in the radius, suffice (TestValidationParallelWires).
	thinHarmonics = 6

	// nearestTouching keeps the ratio below 1/2, where wires touch.
	nearestTouching = 0.4999
)

// set computes the constants. harmonics 0 lets the ratio decide how many; fewer than
// two are taken as two.
func (w *wires) set(ratio, thickness float64, harmonics int) {
	w.ratio, w.thickness = math.Min(ratio, nearestTouching), thickness
	if harmonics == 0 {
		image := 2 * w.ratio / (1 + math.Sqrt(1-4*w.ratio*w.ratio))
		harmonics = int(math.Ceil(math.Log(rowTolerance) / (2 * math.Log(image))))
		harmonics = min(mostHarmonics, max(fewestHarmonics, min(harmonics, thinHarmonics+int(2*thickness))))
	}
	w.count = max(2, harmonics)
	harmonics = w.count
	w.shield, w.ratios = resize(w.shield, harmonics+1), resize(w.ratios, harmonics+2)
	shielding(w.shield, w.ratios, thickness)
	size := 2*harmonics + 1
	w.logFactor, w.logLattice = resize(w.logFactor, size), resize(w.logLattice, size)
	w.logFactor[0] = 0
	for m := 1; m < size; m++ {
		w.logFactor[m] = w.logFactor[m-1] + math.Log(float64(m))
		if m%2 == 0 {
			w.logLattice[m] = math.Log(2*mathext.Zeta(float64(m), 1)) + float64(m)*math.Log(w.ratio)
		}
	}
}

// coupling returns how a multipole of order m, m >= 1, on the wire j acts on the
// harmonic n of the wire i, without the factor 1/(j-i)^(n+m). Harmonics carry a
// factor √n, by which the matrix becomes symmetric but for signs:
//
//	± (-1)^m (n+m-1)!/((n-1)!(m-1)! √(nm)) (a/p)^(n+m).
//
// It is the expansion of (a/ζ)^m about another place.
func (w *wires) coupling(f family, n, m int) float64 {
	size := w.logFactor[n+m-1] - w.logFactor[n-1] - w.logFactor[m-1] + float64(n+m)*math.Log(w.ratio)
	v := float64(f) * math.Exp(size) / math.Sqrt(float64(n)*float64(m))
	if m%2 == 1 {
		return -v
	}
	return v
}

// lattice returns Σ_(j≠0) 1/j^q.
func (w *wires) lattice(q int) float64 {
	if q%2 == 1 {
		return 0
	}
	return 2 * mathext.Zeta(float64(q), 1)
}

// endless sets dst, count×count row by row, to the matrix of an endless row all of whose
// wires have the same harmonics.
func (w *wires) endless(dst []complex128, f family) {
	n := w.count
	for i := 1; i <= n; i++ {
		for m := 1; m <= n; m++ {
			v := complex(w.coupling(f, i, m)*w.lattice(i+m), 0) * w.shield[m]
			// C = incoming + coupling D, D = -χ C.
			if i == m {
				v++
			}
			dst[(i-1)*n+m-1] = v
		}
	}
}

// lossOf returns Σ Im χ_n |c_n|² of the harmonics of one wire, the loss in units of
// μ₀ω/4π per metre.
func (w *wires) lossOf(harmonics []complex128) float64 {
	sum := 0.0
	for n, c := range harmonics {
		sum += imag(w.shield[n+1]) * (real(c)*real(c) + imag(c)*imag(c))
	}
	return sum
}

// system is the linear system of one family: for the harmonic n of every knot,
//
//	c_n + Σ_m coupling_nm Σ_j χ_m c_m(j)/(j-i)^(n+m) = what comes in.
//
// The pair of first harmonics has the kernel of rings in place of 1/(j-i)².
type system struct {
	wires  *wires
	knots  *knots
	family family
	dipole []float64 // knots×knots, first harmonic to first harmonic

	couple   []float64    // count×count
	block    []complex128 // factors of the endless row's matrix
	pivot    []int
	incoming []complex128 // count harmonics by knot
	solution []complex128
	residual float64

	line   []complex128 // by knot
	krylov krylov
}

// prepare makes room and computes what does not depend on the currents.
func (s *system) prepare(w *wires, k *knots, f family, kernel []float64) error {
	s.wires, s.knots, s.family = w, k, f
	n, count := w.count, len(k.number)
	s.dipole = resize(s.dipole, count*count)
	k.spread(s.dipole, kernel, 1)
	s.couple, s.block, s.pivot = resize(s.couple, n*n), resize(s.block, n*n), resize(s.pivot, n)
	for i := 1; i <= n; i++ {
		for m := 1; m <= n; m++ {
			s.couple[(i-1)*n+m-1] = w.coupling(f, i, m)
		}
	}
	w.endless(s.block, f)
	if !factorize(s.block, s.pivot, n) {
		return fmt.Errorf("%w: row of wires %g pitches thick", ErrNotSolved, 2*w.ratio)
	}
	s.incoming, s.solution = resize(s.incoming, n*count), resize(s.solution, n*count)
	s.line = resize(s.line, count)
	clear(s.incoming)
	return nil
}

// apply sets y to the left side for the harmonics c.
func (s *system) apply(y, c []complex128) {
	n, count := s.wires.count, len(s.knots.number)
	copy(y, c)
	for m := 1; m <= n; m++ {
		shield := s.wires.shield[m]
		for k := range s.line {
			s.line[k] = shield * c[k*n+m-1]
		}
		for i := 1; i <= n; i++ {
			if i == 1 && m == 1 {
				for k := range count {
					y[k*n] += sumOver(s.dipole[k*count:(k+1)*count], s.line)
				}
				continue
			}
			factor := s.couple[(i-1)*n+m-1]
			sums := s.knots.sums[i+m]
			for k, at := range s.knots.columns(i + m) {
				v := sumOver(sums[k*count+at.from:k*count+at.to], s.line[at.from:at.to])
				y[k*n+i-1] += complex(factor*real(v), factor*imag(v))
			}
		}
	}
}

// sumOver returns Σ a_k z_k.
func sumOver(a []float64, z []complex128) complex128 {
	re, im := 0.0, 0.0
	for k, v := range z {
		re += a[k] * real(v)
		im += a[k] * imag(v)
	}
	return complex(re, im)
}

// precondition solves in place as if every wire stood in an endless row of its like.
func (s *system) precondition(v []complex128) {
	n := s.wires.count
	for at := 0; at < len(v); at += n {
		solveFactored(s.block, s.pivot, n, v[at:at+n])
	}
}

// solve finds the harmonics that the incoming ones lead to.
func (s *system) solve(tolerance float64) error {
	s.residual = s.krylov.solve(s.solution, s.incoming, s.apply, s.precondition, tolerance)
	if !(s.residual <= tolerance) {
		return fmt.Errorf("%w: residual %g of %d harmonics at wire over pitch %g", ErrNotSolved, s.residual, s.wires.count, 2*s.wires.ratio)
	}
	return nil
}

// mixInto adds what the first harmonics of s send into those of the other family:
// kernels is rowKernels.dipoleMixed, odd in the distance, as a matrix.
func (s *system) mixInto(incoming []complex128, matrix []float64, sign float64) {
	n, count := s.wires.count, len(s.knots.number)
	for k := range s.line {
		s.line[k] = -s.wires.shield[1] * s.solution[k*n]
	}
	for k := range count {
		incoming[k*n] += complex(sign, 0) * sumOver(matrix[k*count:(k+1)*count], s.line)
	}
}

// lossBetween is lossOf as a product: Σ Im χ_n Re(a_n b_n*).
func (w *wires) lossBetween(a, b []complex128) float64 {
	sum := 0.0
	for n, c := range a {
		sum += imag(w.shield[n+1]) * (real(c)*real(b[n]) + imag(c)*imag(b[n]))
	}
	return sum
}
