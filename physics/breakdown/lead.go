package breakdown

import (
	"fmt"
	"math"

	"coilwright/physics/resonance"
	"coilwright/physics/si"

	"gonum.org/v1/gonum/mat"
)

// SleevePermittivity is what a sleeve is taken to have: plastics of sleeves and tubes
// lie between 2.1 and 3.5; from memory. It moves the gradient by some percent.
const SleevePermittivity = 2.3

// leadPieces is into how many pieces a lead is cut to find its charge; twice as
// many move the largest gradient by less than 1 % (a test).
const leadPieces = 48

// SleevedRadius returns the radius in m of the bare wire that takes up the same charge
// as a wire in a sleeve of permittivity ε, a and b the radii of wire and sleeve,
//
//	b (a/b)^(1/ε),
//
// since between them the potential falls as ln(b/a)/ε. Radii must be positive, the
// sleeve's not less than the wire's, or the error wraps [ErrRange].
func SleevedRadius(wire, sleeve float64) (float64, error) {
	if !positive(wire) || !positive(sleeve) || sleeve < wire*(1-1e-9) {
		return 0, fmt.Errorf("%w: wire of radius %g m in a sleeve of radius %g m", ErrRange, wire, sleeve)
	}
	return sleeve * math.Pow(wire/sleeve, 1/SleevePermittivity), nil
}

// Lead returns the largest field in V/m at the surface of the lead from winding to top
// load of a solved coil, per volt of the top, and its height in m. surface is the radius in m at which the
// air begins: of the wire, or of its sleeve, for which [SleevedRadius] is the wire
// radius of the coil's lead.
//
// The lead is at the top's potential in the field of all other charges; its own along
// it follows piece by piece from those potentials, where the modes know three pieces
// only. Round the wire the field across it adds twice its size.
//
// Without a lead, or with one of no length, the answer is 0. The lead's ends, where it
// is soldered, are left out to the length of a wire's diameter: there it hides in what
// it is soldered to.
func Lead(c *resonance.Coil, f *resonance.Field, topVoltage, surface float64) (gradient, height float64, err error) {
	l := c.TopLead
	if l == nil || c.Top == nil {
		return 0, 0, nil
	}
	if !positive(surface) || surface < l.WireRadius*(1-1e-9) {
		return 0, 0, fmt.Errorf("%w: surface of radius %g m round a lead of radius %g m", ErrRange, surface, l.WireRadius)
	}
	outside := f.Without(resonance.OfTopLead)
	line, err := lineCharge(l, outside, topVoltage, leadPieces)
	if err != nil {
		return 0, 0, err
	}
	h := l.Length / leadPieces
	end := 2 * surface
	if 2*end > l.Length {
		end = l.Length / 3 // shorter than a few diameters: its middle
	}
	for k, q := range line {
		at := h * (float64(k) + 0.5)
		if at < end || at > l.Length-end {
			continue
		}
		_, across, _ := outside.At(l.Radius, l.Bottom+at)
		if l.Radius <= l.WireRadius {
			across = 0 // on the axis
		}
		if g := math.Abs(q)/(2*math.Pi*si.Epsilon0*surface) + 2*math.Abs(across); g > gradient {
			gradient, height = g, l.Bottom+at
		}
	}
	return gradient, height, nil
}

// lineCharge returns the charge in C/m on equal pieces of a straight wire at the given
// voltage in a field: Howe's method, as in package resonance.
func lineCharge(l *resonance.Lead, outside *resonance.Field, volts float64, pieces int) ([]float64, error) {
	h := l.Length / float64(pieces)
	b := l.WireRadius
	g := func(x float64) float64 { return x*math.Asinh(x/b) - math.Hypot(x, b) }
	own := make([]float64, pieces) // mean potential in V m/C of a piece on one so many away
	for d := range own {
		x := h * float64(d)
		own[d] = (g(x+h) - 2*g(x) + g(x-h)) / (4 * math.Pi * si.Epsilon0 * h)
	}
	right := make([]float64, pieces)
	for k := range right {
		right[k] = volts - outside.Potential(l.Radius, l.Bottom+h*(float64(k)+0.5))
	}
	system := mat.NewSymDense(pieces, nil)
	for i := range pieces {
		for j := i; j < pieces; j++ {
			system.SetSym(i, j, own[j-i])
		}
	}
	var factor mat.Cholesky
	if !factor.Factorize(system) {
		return nil, fmt.Errorf("%w: a lead of radius %g m, %g m long", ErrSolve, b, l.Length)
	}
	var line mat.VecDense
	if err := factor.SolveVecTo(&line, mat.NewVecDense(pieces, right)); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrSolve, err)
	}
	return line.RawVector().Data, nil
}
