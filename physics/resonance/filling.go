package resonance

import (
	"context"
	"math"
)

// Filling is how much of the electric energy of the first mode lies inside the
// dielectrics, as parts of all. A material's loss is 1/Q = part × loss tangent.
type Filling struct {
	Former     float64
	Insulation [2]float64 // of the wire, layer by layer
}

// fillingStep is the step in the logarithm of a permittivity: the curvature costs a
// part in 10⁴, and frequencies are good to much better than a part in 10⁸.
const fillingStep = 1e-4

// Filling returns the parts of the energy inside the dielectrics of c, whose first
// mode is at the frequency in Hz that Solve gives. By Rayleigh's principle a small
// change of permittivity moves the frequency as if the field stayed as it is, so that
//
//	part = -2 d(ln f)/d(ln ε).
//
// It costs a solution per dielectric. Permittivities of 1 have no part.
func (s *Solver) Filling(ctx context.Context, c *Coil, frequency float64) (Filling, error) {
	var f Filling
	part := func(changed *Coil) (float64, error) {
		m, err := s.Solve(ctx, changed)
		if err != nil {
			return 0, err
		}
		return -2 * math.Log(m.Frequency[0]/frequency) / math.Log1p(fillingStep), nil
	}
	var err error
	if c.hasFormer() {
		changed, former := *c, *c.Former
		former.panelsOf = former.RelativePermittivity // one more would move the frequency too
		former.RelativePermittivity *= 1 + fillingStep
		changed.Former = &former
		if f.Former, err = part(&changed); err != nil {
			return Filling{}, err
		}
	}
	for i, l := range c.Winding.Insulation {
		if !l.there() {
			continue
		}
		changed := *c
		changed.Winding.Insulation[i].RelativePermittivity *= 1 + fillingStep
		if f.Insulation[i], err = part(&changed); err != nil {
			return Filling{}, err
		}
	}
	return f, nil
}
