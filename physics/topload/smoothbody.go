package topload

import (
	"fmt"
	"math"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/mat"
)

const (
	// smoothDegree is the degree of the potentials that a smooth body answers,
	// as ringDegree is for a ring.
	smoothDegree = 5

	// ringSpacing is how far apart the rings that stand for a smooth body may
	// lie, over its largest radius: at a distance of one spacing the error is
	// exp(-2π), and the winding stands several away.
	ringSpacing = 0.1

	leastRings = 3 // on a panel

	// bodyPoints is how many steps a panel's points of gradient take.
	bodyPoints = 4
)

// Refinements of a body: 1e-6 of the capacitance, 1e-4 of its answer to the
// potentials of highest degree. A disc's arcs are cut by their rim already.
var (
	smoothRefinement = electrostatics.Refinement{Order: 6, Panels: 2, Gap: 1.5}
	discRefinement   = electrostatics.Refinement{Order: 6, Panels: 1, Gap: 1.5}
)

// TorusBody sets dst to a smooth torus as a body of a coil's system.
func TorusBody(dst *Body, t electrostatics.Torus) error {
	if _, err := t.Capacitance(); err != nil {
		return err
	}
	// No ring of charge can lie on the axis.
	t.Tube = math.Min(t.Tube, t.Radius*(1-leastHole))
	dst.Curvature, dst.Top, dst.Outer = t.Tube, t.Tube, t.Radius+t.Tube
	return dst.fromConductor(electrostatics.TorusConductor(0, t), smoothRefinement, func(r, z float64, dst []complex128) {
		zeta := complex((r-t.Radius)/t.Tube, z/t.Tube)
		dst[0] = 1
		for j := 1; j < len(dst); j++ {
			dst[j] = dst[j-1] * zeta
		}
	})
}

// leastHole is the radius of the hole, over that of the torus, below which a
// torus is treated as having this one.
const leastHole = 1e-7

// SphereBody sets dst to a sphere as a body of a coil's system.
func SphereBody(dst *Body, radius float64) error {
	if _, err := electrostatics.SphereCapacitance(radius); err != nil {
		return err
	}
	dst.Curvature, dst.Top, dst.Outer = radius, radius, radius
	return dst.fromConductor(electrostatics.SphereConductor(0, radius), smoothRefinement, solidHarmonics(radius))
}

// DiscBody sets dst to a disc with a half-round rim as a body of a coil's
// system. Without thickness the gradient at its edge has no bound, and the
// body has no points of gradient.
func DiscBody(dst *Body, radius, thickness float64) error {
	if _, err := electrostatics.DiscCapacitance(radius); err != nil {
		return err
	}
	if !(thickness >= 0 && thickness <= 2*radius) {
		return fmt.Errorf("%w: disc of radius %g m, %g m thick", ErrShape, radius, thickness)
	}
	if thickness > 2*radius*(1-leastFlat) {
		return SphereBody(dst, radius)
	}
	dst.Curvature, dst.Top, dst.Outer = thickness/2, thickness/2, radius
	fine := discRefinement
	if thickness == 0 {
		fine = smoothRefinement // one arc in all
	}
	return dst.fromConductor(electrostatics.DiscConductor(0, radius, thickness), fine, solidHarmonics(radius))
}

// leastFlat is the radius of a disc's flat faces over its own below which the
// disc is a sphere.
const leastFlat = 1e-6

// solidHarmonics gives the potentials ρ^l P_l(cos θ)/radius^l about the centre.
// They are real; those of odd degree are odd in height, as the imaginary part
// of a torus's are, and are given as such.
func solidHarmonics(radius float64) func(r, z float64, dst []complex128) {
	return func(r, z float64, dst []complex128) {
		r, z = r/radius, z/radius
		square := r*r + z*z
		before, here := 0.0, 1.0
		for l := range dst {
			if l%2 == 0 {
				dst[l] = complex(here, 0)
			} else {
				dst[l] = complex(0, here)
			}
			n := float64(l)
			before, here = here, ((2*n+1)*z*here-n*square*before)/(n+1)
		}
	}
}

// fromConductor solves for the modes that answer the given potentials, real
// parts even in height and imaginary parts odd. A part that is nothing
// everywhere gives no mode.
func (b *Body) fromConductor(conductor electrostatics.Conductor, fine electrostatics.Refinement, potentials func(r, z float64, dst []complex128)) error {
	system, err := electrostatics.NewSystem([]electrostatics.Conductor{conductor}, nil, fine)
	if err != nil {
		return err
	}
	nodes := system.Nodes()
	values := make([]complex128, smoothDegree+1)
	flat := true // all in one plane: nothing odd can be told apart
	for i := range nodes {
		if _, z, _ := system.Node(i); z != 0 {
			flat = false
		}
	}
	wanted := wantedParts(potentials, flat)
	f := mat.NewDense(nodes, len(wanted), nil)
	for i := range nodes {
		r, z, _ := system.Node(i)
		potentials(r, z, values)
		for c, part := range wanted {
			f.Set(i, c, part.of(values))
		}
	}
	t := mat.DenseCopyOf(f)
	if err := system.SolveMany(t); err != nil {
		return err
	}
	if err := orthogonalise(f, t); err != nil {
		return err
	}
	b.takeModes(system, t)
	solution, err := system.Solve([]float64{1})
	if err != nil {
		return err
	}
	b.Residual, b.Condition = solution.Residual, solution.Condition
	return nil
}

// part is the real or imaginary part of the potential of one degree.
type part struct {
	degree    int
	imaginary bool
}

func (p part) of(values []complex128) float64 {
	if p.imaginary {
		return imag(values[p.degree])
	}
	return real(values[p.degree])
}

// wantedParts lists the parts that are not nothing, even ones first.
func wantedParts(potentials func(r, z float64, dst []complex128), flat bool) []part {
	values := make([]complex128, smoothDegree+1)
	potentials(math.Sqrt(0.3), math.Sqrt(0.2), values) // any place off the zeros
	var list []part
	for _, imaginary := range []bool{false, true} {
		if imaginary && flat {
			break
		}
		for degree := range values {
			if p := (part{degree, imaginary}); p.of(values) != 0 {
				list = append(list, p)
			}
		}
	}
	return list
}

// takeModes sets everything from the charges of the modes, nodes × modes,
// orthonormal in energy.
func (b *Body) takeModes(system *electrostatics.System, t *mat.Dense) {
	nodes, modes := t.Dims()
	total := 0.0
	for i := range nodes {
		total += t.At(i, 0)
	}
	// Mode 0 shall carry 1 C; then every elastance is 1/C.
	scale := 1 / total
	charge := make([]float64, nodes)
	rings, points := 0, 0
	for p := range system.Panels() {
		rings += b.ringsOn(system, p)
		points += bodyPoints + 1
	}
	if b.Curvature == 0 {
		points = 0
	}
	b.resize(modes, rings, points)
	clear(b.Charge)
	b.Charge[0] = 1
	for m := range modes {
		b.Elastance[m*modes+m] = scale * scale
		for i := range nodes {
			charge[i] = t.At(i, m) * scale
		}
		ring, point := 0, 0
		for p := range system.Panels() {
			n := b.ringsOn(system, p)
			places, weights := electrostatics.PanelQuadrature(n)
			for k, u := range places {
				b.Radius[ring], b.Height[ring] = system.At(p, u)
				b.Weight[m*rings+ring] = weights[k] * system.Density(charge, p, u)
				ring++
			}
			for k := 0; k <= bodyPoints && points > 0; k++ {
				u := system.OffAxis(p, float64(k)/bodyPoints)
				b.PointRadius[point], b.PointHeight[point] = system.At(p, u)
				b.PointGradient[m*points+point] = system.Gradient(charge, p, u)
				point++
			}
		}
	}
}

// ringsOn returns how many rings stand for panel p.
func (b *Body) ringsOn(system *electrostatics.System, p int) int {
	return max(leastRings, int(math.Ceil(system.Length(p)/(ringSpacing*b.Outer))))
}
