package topload

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"

	"gonum.org/v1/gonum/mat"
)

// ErrSolve is wrapped when a system of equations turns out singular.
var ErrSolve = errors.New("topload: the field equations have no solution")

// Resolution says how finely a wire ring is resolved.
type Resolution struct {
	Harmonics int // highest order of the cosine series along a turn
	Filaments int // charge filaments inside each wire, even
	Angles    int // points on half a turn, more than Harmonics
	Surface   int // points round the wire's surface, even
	Near      int // neighbours on each side that are met filament by filament
}

// Resolutions of [RingSolver]. Against the 14 rings of testdata/bodies.json
// Quick errs by at most 3e-5 in the capacitance and 0.6 % in the peak gradient,
// Fine by 1e-5 and 0.25 %; over rings of 1 to 190 turns, formers of 2 to 100
// wire diameters and any hub they differ by at most 4e-4 and, up to 80 turns,
// 1.2 %.
var (
	Quick = Resolution{Harmonics: 6, Filaments: 6, Angles: 10, Surface: 12, Near: 2}
	Fine  = Resolution{Harmonics: 14, Filaments: 10, Angles: 32, Surface: 20, Near: 6}
)

const (
	// filamentDepth is the radius on which the filaments sit, over that of the
	// wire. M of them stand for waves round the wire of order up to M/2; what
	// they add above is smaller the deeper they lie, but so are the digits left.
	filamentDepth = 0.35

	// wavesPerWire bounds the orders along the turn: a wave shorter than
	// 2π/wavesPerWire wire radii carries next to nothing (1e-7 of the
	// capacitance of the fattest ring tried) and spoils the surface quadrature.
	wavesPerWire = 1.9

	// turnsPerNear adds a neighbour met in full for every so many turns: many
	// turns are nearly parallel over many pitches.
	turnsPerNear = 40
)

// RingSolver finds the charge on a wire ring. It keeps its working memory from
// one ring to the next, so that solving again makes next to no garbage; it must
// not be used from two goroutines at once. The zero value is ready, at [Quick].
//
// The ring is N round wires bent to closed circles, by N-fold symmetry all with
// the same charge. The field outside a wire is that of M filaments inside it,
// circles parallel to the turn, each with a cosine series along the turn;
// strengths are mirrored in the turn's plane. The unknowns are these strengths
// f, in C, and for the isolated ring at V
//
//	P f = V t,  C = N tᵀP⁻¹t,
//
// with t the total charge of each. P, in V/C, is the energy of the charge that
// the filaments stand for:
//
//   - with itself, that of the charge on the wire's round surface which has the
//     same field outside: G_jᵀ A_j⁻¹ G_j for every order j, where A_j are the
//     potential coefficients of rings of surface charge about the turn's own
//     axis (log-singular, by Kress's quadrature) and G_j the potential of the
//     filaments there;
//   - with every other turn, that of filaments with filaments, because each
//     turn's field is harmonic inside all others. Nothing is singular there,
//     even where the wires touch.
//
// The potential of a filament is that of a charged ring with a cosine density,
// exact along the source, so that only the turn looking at it is sampled.
// Neighbours beyond Near are seen as two filaments, which keeps charge and
// radial dipole, and their sum is taken by Gauss quadrature for the measure
// that counts turns.
//
// The form is variational: an error of the charge enters the capacitance with
// its square. It neglects that a real ring is one helix: closed helices have
// 0.04 to 0.3 % more capacitance (computed independently, as testdata/bodies.json).
//
// Source: Thomson's theorem, Smythe, Static and Dynamic Electricity, section
// 3; Kress, Linear Integral Equations, section 12.3; Golub and Welsch,
// Calculation of Gauss quadrature rules (1969).
type RingSolver struct {
	Resolution Resolution // zero: Quick

	ring         Ring
	res          Resolution // as used for the ring
	groups       int        // filaments that differ by symmetry, Filaments/2 + 1
	surfaceParts int        // surface points that differ by symmetry, Surface/2 + 1

	cosine, sine []float64 // Angles × (Harmonics+1), of jθ at the half-turn's midpoints
	round        []float64 // surfaceParts × groups, cos lψ at the surface parts

	// Own turn, one block per order.
	influence []float64 // A_j⁻¹G_j: (Harmonics+1) × surfaceParts × groups, charge on the surface per filament strength
	self      []float64 // G_jᵀA_j⁻¹G_j: (Harmonics+1) × groups × groups, V/C
	kress     []float64 // Surface, logarithmic weights

	copies               []turnCopy
	copiesOf, copiesNear int       // turns of the ring and Near that copies is for
	groupCosine          []float64 // one per group, of the angle round the wire

	even, odd system
	strength  *mat.VecDense // f of the isolated ring at 1 V, in C
	waves     []float64     // its surface gradient, (Harmonics+1) × groups, V/m

	scratch ringScratch
}

// system is one symmetry class of the ring: potentials even or odd in height.
type system struct {
	first   int // lowest order: 0 even, 1 odd
	matrix  *mat.SymDense
	chol    cholesky
	moments *mat.Dense // of a body's potentials, unknowns × modes
	modes   *mat.Dense
	nearSum []float64 // groups² × Angles × (Harmonics+1), V/C
	farSum  []float64 // 4 × Angles × (Harmonics+1), V/C
}

// ringScratch is working memory.
type ringScratch struct {
	harmonics, log    []float64 // one per order
	cosHere, sinHere  []float64 // one per order
	kernel            []float64 // orders × surfaceParts²
	fromFilament      []float64 // orders × surfaceParts × groups
	block             *mat.SymDense
	chol              cholesky
	right, solved     *mat.Dense
	mode              *mat.VecDense // strengths of one mode of a body
	waves             []float64     // (Harmonics+1) × groups
	onCircles         []float64     // 2 × (Harmonics+1)
	atParts           []float64     // parts of a body's points × (Harmonics+1)
	near, far         []filament
	gaussX, gaussW    []float64
	previous, current []float64
}

// RingSolution is the isolated ring at 1 V.
type RingSolution struct {
	Capacitance  float64 // F
	PeakGradient float64 // V/m per volt, largest surface gradient
	Residual     float64 // largest error of the potential on the outer half of a turn, of 1 V, at points between those used
	Condition    float64 // condition number of P
}

// Solve returns the isolated ring at 1 V. A ring that cannot be built, see
// [Ring.Check], is refused.
func (s *RingSolver) Solve(r Ring) (RingSolution, error) {
	if err := s.prepare(r, false); err != nil {
		return RingSolution{}, err
	}
	return s.solveIsolated(), nil
}

// Capacitance returns the capacitance in F of the isolated ring, without the
// gradient, the residual and the condition of [RingSolver.Solve].
func (s *RingSolver) Capacitance(r Ring) (float64, error) {
	if err := s.prepare(r, false); err != nil {
		return 0, err
	}
	return s.solveCharge(), nil
}

// prepare fills the matrices of the even class and, if asked, of the odd one.
func (s *RingSolver) prepare(r Ring, odd bool) error {
	if err := r.Check(""); err != nil {
		return err
	}
	s.ring = r
	s.setResolution()
	s.prepareCopies()
	if err := s.prepareTurn(); err != nil {
		return err
	}
	s.sumCopies(odd)
	if err := s.assemble(&s.even); err != nil {
		return err
	}
	if odd {
		return s.assemble(&s.odd)
	}
	return nil
}

func (s *RingSolver) setResolution() {
	res := s.Resolution
	if res == (Resolution{}) {
		res = Quick
	}
	waves := int(wavesPerWire * s.ring.TurnRadius() / (s.ring.WireDiameter / 2))
	res.Harmonics = max(1, min(res.Harmonics, waves))
	res.Near += s.ring.Turns / turnsPerNear
	near := res.Near
	res.Near, s.res.Near = 0, 0
	same := res == s.res
	res.Near = near
	s.res = res
	if same {
		return
	}
	s.groups = res.Filaments/2 + 1
	s.surfaceParts = res.Surface/2 + 1
	orders := res.Harmonics + 1
	s.cosine = make([]float64, res.Angles*orders)
	s.sine = make([]float64, res.Angles*orders)
	for i := range res.Angles {
		for j := range orders {
			s.sine[i*orders+j], s.cosine[i*orders+j] = math.Sincos(float64(j) * s.angle(i))
		}
	}
	s.round = make([]float64, s.surfaceParts*s.groups)
	for i := range s.surfaceParts {
		for l := range s.groups {
			s.round[i*s.groups+l] = math.Cos(2 * math.Pi * float64(i*l) / float64(res.Surface))
		}
	}
	s.waves = make([]float64, orders*s.groups)
	s.influence = make([]float64, orders*s.surfaceParts*s.groups)
	s.self = make([]float64, orders*s.groups*s.groups)
	s.groupCosine = make([]float64, s.groups)
	for g := range s.groups {
		s.groupCosine[g] = math.Cos(2 * math.Pi * float64(g) / float64(res.Filaments))
	}
	s.kress = kressWeights(res.Surface)
	s.even = newSystem(0, res, s.groups)
	s.odd = newSystem(1, res, s.groups)
	s.strength = mat.NewVecDense(orders*s.groups, nil)
	s.scratch = ringScratch{
		harmonics: make([]float64, orders), log: make([]float64, orders),
		cosHere: make([]float64, orders), sinHere: make([]float64, orders),
		kernel:       make([]float64, orders*s.surfaceParts*s.surfaceParts),
		fromFilament: make([]float64, orders*s.surfaceParts*s.groups),
		block:        mat.NewSymDense(s.surfaceParts, nil),
		right:        mat.NewDense(s.surfaceParts, s.groups, nil),
		solved:       mat.NewDense(s.surfaceParts, s.groups, nil),
		mode:         mat.NewVecDense(orders*s.groups, nil),
		waves:        make([]float64, orders*s.groups),
	}
}

func newSystem(first int, res Resolution, groups int) system {
	orders, degree := res.Harmonics+1, min(ringDegree, res.Harmonics)
	return system{
		first:   first,
		matrix:  mat.NewSymDense((orders-first)*groups, nil),
		moments: mat.NewDense((orders-first)*groups, degree+1-first, nil),
		modes:   mat.NewDense((orders-first)*groups, degree+1-first, nil),
		nearSum: make([]float64, groups*groups*res.Angles*orders),
		farSum:  make([]float64, 4*res.Angles*orders),
	}
}

// angle returns the i-th midpoint of the half turn, in rad.
func (s *RingSolver) angle(i int) float64 {
	return math.Pi * (float64(i) + 0.5) / float64(s.res.Angles)
}

// filament returns where filament m of a turn runs: the radius of its circle
// and its distance from the turn's plane, in m, and the group it belongs to.
func (s *RingSolver) filament(m int) (radius, offset float64, group int) {
	sin, cos := math.Sincos(2 * math.Pi * float64(m) / float64(s.res.Filaments))
	h := filamentDepth * s.ring.WireDiameter / 2
	return s.ring.TurnRadius() + h*cos, h * sin, min(m, s.res.Filaments-m)
}

// members returns how many of n points round the wire share the strength of
// part p: two, mirrored in the turn's plane, but one on it.
func members(p, n int) float64 {
	if p == 0 || 2*p == n {
		return 1
	}
	return 2
}

// assemble projects the sums on the orders, adds the own turn and factorises.
func (s *RingSolver) assemble(y *system) error {
	orders, groups, angles := s.res.Harmonics+1, s.groups, s.res.Angles
	wave := s.cosine
	if y.first == 1 {
		wave = s.sine
	}
	for g := range groups {
		for k := range groups {
			sum := y.nearSum[(g*groups+k)*angles*orders : (g*groups+k+1)*angles*orders]
			for m := range 2 {
				for l := range 2 {
					w := s.farShare(g, m) * s.farShare(k, l)
					for i, v := range y.farSum[(2*m+l)*angles*orders : (2*m+l+1)*angles*orders] {
						sum[i] += w * v
					}
				}
			}
		}
	}
	entry := func(j, g, l, k int) float64 {
		sum := y.nearSum[(g*groups+k)*angles*orders:]
		p := 0.0
		for i := range angles {
			p += wave[i*orders+j] * sum[i*orders+l]
		}
		return p / float64(angles)
	}
	for j := y.first; j < orders; j++ {
		for g := range groups {
			row := (j-y.first)*groups + g
			for l := y.first; l < orders; l++ {
				for k := range groups {
					column := (l-y.first)*groups + k
					if column < row {
						continue
					}
					v := (entry(j, g, l, k) + entry(l, k, j, g)) / 2
					if l == j {
						// The mean of cos² over the turn is 1/2 but for order 0.
						half := 0.5
						if j == 0 {
							half = 1
						}
						v += half * s.self[(j*groups+g)*groups+k]
					}
					y.matrix.SetSym(row, column, v)
				}
			}
		}
	}
	if !y.chol.factorize(y.matrix) {
		return fmt.Errorf("%w: ring of %d turns", ErrSolve, s.ring.Turns)
	}
	return nil
}

// solveCharge solves the even class for 1 V and returns the charge of the whole
// ring, its capacitance in F.
func (s *RingSolver) solveCharge() float64 {
	s.strength.Zero()
	for g := range s.groups {
		s.strength.SetVec(g, 1)
	}
	s.even.chol.solveVec(s.strength)
	s.surfaceWaves(s.waves, s.strength, 0)
	charge := 0.0
	for g := range s.groups {
		charge += s.strength.AtVec(g)
	}
	return float64(s.ring.Turns) * charge
}

// solveIsolated is solveCharge with all that Solve promises.
func (s *RingSolver) solveIsolated() RingSolution {
	return RingSolution{
		Capacitance:  s.solveCharge(),
		PeakGradient: s.peakGradient(),
		Residual:     s.residual(),
		Condition:    s.even.chol.condition(),
	}
}

// peakGradient searches the surface of the isolated ring.
func (s *RingSolver) peakGradient() float64 {
	const alongTurn = 8 // steps over the half turn; the gradient varies slowly along it
	most := 0.0
	for i := range alongTurn + 1 {
		theta := math.Pi * float64(i) / alongTurn
		for p := range s.surfaceParts {
			psi := 2 * math.Pi * float64(p) / float64(s.res.Surface)
			most = math.Max(most, math.Abs(s.SurfaceGradient(theta, psi)))
		}
	}
	return most
}

// LineCharge returns the charge in C/m per volt along the wire of the ring
// solved last, at the angle theta in rad along the turn, 0 on the outer
// equator and π at the hub.
func (s *RingSolver) LineCharge(theta float64) float64 {
	sum := 0.0
	for j := range s.res.Harmonics + 1 {
		f := 0.0
		for g := range s.groups {
			f += s.strength.AtVec(j*s.groups + g)
		}
		sum += f * math.Cos(float64(j)*theta)
	}
	return sum / (2 * math.Pi * s.ring.TurnRadius())
}

// SurfaceGradient returns the surface gradient in V/m per volt of the ring
// solved last, at the angle theta in rad along the turn, 0 on the outer
// equator, and psi round the wire, 0 away from the turn's centre.
func (s *RingSolver) SurfaceGradient(theta, psi float64) float64 {
	sin, cos := math.Sincos(theta)
	s.wavesHere(cos, sin)
	round := math.Cos(psi)
	total := 0.0
	for j, wave := range s.scratch.cosHere {
		sum := 0.0
		before, here := round, 1.0 // cos (l-1)ψ and cos lψ
		for _, w := range s.waves[j*s.groups : (j+1)*s.groups] {
			sum += w * here
			before, here = here, 2*round*here-before
		}
		total += sum * wave
	}
	return total
}

// surfaceWaves sets dst, (Harmonics+1) × groups, to the surface gradient in V/m
// of the strengths as a series in cos jθ (odd class: sin jθ) and cos lψ.
//
// M filaments stand for waves round the wire up to the order M/2; higher ones
// in the surface charge are echoes of these and are left out.
func (s *RingSolver) surfaceWaves(dst []float64, strength *mat.VecDense, first int) {
	clear(dst)
	n, b := s.res.Surface, s.ring.WireDiameter/2
	for i := range s.surfaceParts {
		at := 2 * math.Pi * float64(i) / float64(n)
		area := (s.ring.TurnRadius() + b*math.Cos(at)) * b * 2 * math.Pi / float64(n)
		for j := first; j <= s.res.Harmonics; j++ {
			q := 0.0 // 2π times the charge per radian of the turn, on all members of the part
			for g := range s.groups {
				q += s.influence[(j*s.surfaceParts+i)*s.groups+g] * strength.AtVec((j-first)*s.groups+g)
			}
			gradient := q / (area * 2 * math.Pi * si.Epsilon0)
			for l := range s.groups {
				share := 2 / float64(n)
				if l == 0 || 2*l == n {
					share = 1 / float64(n)
				}
				dst[j*s.groups+l] += gradient * share * s.round[i*s.groups+l]
			}
		}
	}
}
