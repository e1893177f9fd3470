package breakdown

import (
	"fmt"
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"

	"gonum.org/v1/gonum/mat"
)

// rodRefinement resolves the rounded end: half of its panels change the gradient by
// less than 0.1 %.
var rodRefinement = electrostatics.Refinement{Order: 6, Panels: 2, Gap: 1.5}

// Rod returns the largest surface gradient in V/m on the upper half of the rod of a
// solved coil, per volt of the top: a breakout point, as thick as its end is round.
//
// The rod is solved by boundary elements in the field of all other charges, which know
// of it: the coil was solved with it. Its foot is left out, for there it touches the
// body it stands on.
//
// The rod must be longer than it is thick; otherwise the error wraps [ErrRange].
// Without a rod the answer is 0.
func Rod(c *resonance.Coil, f *resonance.Field, topVoltage float64) (float64, error) {
	l := c.Rod
	if l == nil || c.Top == nil {
		return 0, nil
	}
	b := l.WireRadius
	if !positive(b) || !(l.Length > 2*b) {
		return 0, fmt.Errorf("%w: rod of radius %g m, %g m long", ErrRange, b, l.Length)
	}
	low, high := l.Bottom+b, l.Bottom+l.Length-b
	rod := electrostatics.Conductor{
		electrostatics.Circle(0, low, b, -math.Pi/2, 0),
		electrostatics.Line(b, low, b, high),
		electrostatics.Circle(0, high, b, 0, math.Pi/2),
	}
	system, err := electrostatics.NewSystem([]electrostatics.Conductor{rod}, nil, rodRefinement)
	if err != nil {
		return 0, err
	}
	outside := f.Without(resonance.OfRod)
	v := mat.NewDense(system.Nodes(), 1, nil)
	for i := range system.Nodes() {
		r, z, _ := system.Node(i)
		v.Set(i, 0, topVoltage-outside.Potential(r, z))
	}
	if err := system.SolveMany(v); err != nil {
		return 0, fmt.Errorf("%w: %w", ErrSolve, err)
	}
	charge := v.RawMatrix().Data
	most := 0.0
	const perPanel = 8
	for p := range system.Panels() {
		for i := range perPanel + 1 {
			u := system.OffAxis(p, float64(i)/perPanel)
			if _, z := system.At(p, u); z < l.Bottom+l.Length/2 {
				continue
			}
			most = math.Max(most, math.Abs(system.Gradient(charge, p, u)))
		}
	}
	return most, nil
}

// Tip returns the field in V/m at the tip of a spike, a half spheroid of the given
// length and radius of curvature of its tip, that stands on a round wire or tube of the
// given radius where the surface gradient is the one given in V/m: the end of a wire, a
// spike of solder. The field along the spike falls as that of a wire,
// a/(a+s); its mean over the length, a ln(1 + length/a)/length, takes the place of the
// uniform field of [Spheroid].
//
// A spike much longer than the surface is round sticks out into a field that other
// turns shape, and the answer is an estimate. Lengths must be positive and finite, the
// gradient not negative; otherwise the error wraps [ErrRange].
func Tip(gradient, surface, length, tipRadius float64) (float64, error) {
	if !positive(surface) || !(gradient >= 0) || math.IsInf(gradient, 0) {
		return 0, fmt.Errorf("%w: spike on a surface of radius %g m at %g V/m", ErrRange, surface, gradient)
	}
	factor, err := Spheroid(length, tipRadius)
	if err != nil {
		return 0, err
	}
	x := length / surface
	return gradient * factor * math.Log1p(x) / x, nil
}
