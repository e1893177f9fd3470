package design

import (
	"context"
	"math"

	"coilwright/physics/topload"
)

// Uncertain is a number of a design that comes out a little other than drawn:
// it lies within HalfWidth of Value, everywhere equally likely.
type Uncertain struct {
	Key       string  // "secondary.former_diameter_m"
	Value     float64 // SI, as drawn
	HalfWidth float64 // SI
}

// Sigma returns the standard deviation of the number.
func (u Uncertain) Sigma() float64 { return u.HalfWidth / math.Sqrt(3) }

// Uncertain returns the inputs that [Solver.Band] takes for uncertain, with what
// the model itself may be wrong by, relative. A design that cannot be built has
// none: the error is then [Problems].
func (d Design) Uncertain() (inputs []Uncertain, modelOff float64, err error) {
	if problems := Check(d); len(problems) > 0 {
		return nil, 0, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return nil, 0, problems
	}
	for _, in := range uncertain(&d, &l) {
		inputs = append(inputs, Uncertain{in.key, in.value, in.halfWidth})
	}
	return inputs, modelErrorOf(&l), nil
}

// Mode is the first mode of a coil as it is measured.
type Mode struct {
	Frequency       float64 // Hz
	SecondFrequency float64 // Hz, of the next mode; 0: there is none
	TopCapacitance  float64 // F, 2 We/Vt², what is hung on the top included
	TopInductance   float64 // H, 1/(ω² Ct)
}

// Loaded returns the first mode of d with a lumped capacitance in F, 0 or more,
// from the top of the winding to earth: a probe clipped on, a lead, a hand. It
// enters the field problem as a conductor that nothing else sees, so that the
// distribution of the current changes with it:
//
//	elastance 1/C on the last node, coupled to no other charge.
//
// A design that cannot be built has no mode: the error is then [Problems].
func (s *Solver) Loaded(ctx context.Context, d Design, capacitance float64) (Mode, error) {
	if problems := Check(d); len(problems) > 0 {
		return Mode{}, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return Mode{}, problems
	}
	if !(capacitance > 0) {
		m, err := s.resonator.modes(ctx, &d, &l)
		if err != nil {
			return Mode{}, err
		}
		return Mode{m.Frequency[0], m.Frequency[1], m.TopCapacitance, m.TopInductance}, nil
	}
	c, err := s.resonator.coil(&d, &l)
	if err != nil {
		return Mode{}, err
	}
	if c.Top == nil {
		c.TopHeight = l.secondary.topEdge()
	}
	c.Top = withCapacitor(c.Top, capacitance)
	m, err := s.resonator.solver.Solve(ctx, c)
	if err != nil {
		return Mode{}, err
	}
	return Mode{m.Frequency[0], m.Frequency[1], m.TopCapacitance, m.TopInductance}, nil
}

// withCapacitor returns a body, nil for none, with one mode of charge more: that
// of a lumped capacitance in F, which has no place.
func withCapacitor(b *topload.Body, capacitance float64) *topload.Body {
	if b == nil {
		return &topload.Body{Elastance: []float64{1 / capacitance}, Charge: []float64{1}}
	}
	n, rings, points := b.Modes(), len(b.Radius), len(b.PointRadius)
	out := *b
	out.Elastance = make([]float64, (n+1)*(n+1))
	for i := range n {
		copy(out.Elastance[i*(n+1):], b.Elastance[i*n:(i+1)*n])
	}
	out.Elastance[n*(n+1)+n] = 1 / capacitance
	out.Charge = append(append([]float64(nil), b.Charge...), 1)
	out.Weight = append(append([]float64(nil), b.Weight...), make([]float64, rings)...)
	out.PointGradient = append(append([]float64(nil), b.PointGradient...), make([]float64, points)...)
	return &out
}
