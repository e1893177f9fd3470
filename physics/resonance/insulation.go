package resonance

import "math"

// Layer is a layer of insulation round the wire.
type Layer struct {
	Thickness            float64 // m; 0: none
	RelativePermittivity float64 // 1 and up; 1 changes nothing
}

// there reports whether the layer does anything.
func (l Layer) there() bool { return l.Thickness > 0 && l.RelativePermittivity > 1 }

// insulated reports whether the insulation is possible.
func (w Winding) insulated() bool {
	for _, l := range w.Insulation {
		if !(l.Thickness >= 0) || l.Thickness > 0 && !(l.RelativePermittivity >= 1) || math.IsInf(l.Thickness, 0) || math.IsInf(l.RelativePermittivity, 0) {
			return false
		}
	}
	return true
}

// section is the section of an insulated wire in a row, with the radii in
// pitches.
type section struct {
	wire   float64
	layers [2]struct {
		outer        float64 // 0: no such layer
		permittivity float64
	}
}

// section returns that of the winding's wire. A layer ends where it meets that of the
// next turn, at half the pitch.
func (w Winding) section() section {
	s := section{wire: w.WireRadius / w.Pitch}
	radius := w.WireRadius
	for i, l := range w.Insulation {
		radius = math.Min(radius+l.Thickness, math.Max(radius, w.Pitch/2))
		if l.there() {
			s.layers[i].outer, s.layers[i].permittivity = radius/w.Pitch, l.RelativePermittivity
		}
	}
	return s
}

// bare reports whether there is no insulation that does anything.
func (s *section) bare() bool { return s.layers[0].outer == 0 && s.layers[1].outer == 0 }

// outer returns the radius of the insulation that does something.
func (s *section) outer() float64 {
	for i := len(s.layers) - 1; i >= 0; i-- {
		if s.layers[i].outer > 0 {
			return s.layers[i].outer
		}
	}
	return s.wire
}

// share returns by how much an insulated wire answers a field of n-fold symmetry, over
// what bare metal of its outer radius would.
//
// In a layer the potential is A rⁿ + B r⁻ⁿ. With Y = ε (A rⁿ - B r⁻ⁿ)/(A rⁿ + B r⁻ⁿ), the
// same on both sides of a surface and infinite on the metal, the answer is
// (Y-1)/(Y+1) of that of metal.
func (s *section) share(n int) float64 {
	answer := 1.0 // -B r⁻²ⁿ/A at the radius reached
	radius := s.wire
	within := 0.0 // permittivity inside the radius reached; 0: metal
	for i := range s.layers {
		l := &s.layers[i]
		if l.outer == 0 {
			continue
		}
		if within > 0 {
			// Cross the surface between two layers.
			y := within * (1 + answer) / (1 - answer) / l.permittivity
			answer = (y - 1) / (y + 1)
		}
		answer *= math.Pow(radius/l.outer, 2*float64(n))
		radius, within = l.outer, l.permittivity
	}
	if within == 0 {
		return 1
	}
	y := within * (1 + answer) / (1 - answer)
	return (y - 1) / (y + 1)
}

// drop returns what the insulation takes off the potential of a charged wire, in
// units of λ/2πε₀: Σ (1 - 1/ε) ln of the ratio of its radii.
func (s *section) drop() float64 {
	sum, radius := 0.0, s.wire
	for i := range s.layers {
		if l := &s.layers[i]; l.outer > 0 {
			sum += (1 - 1/l.permittivity) * math.Log(l.outer/radius)
			radius = l.outer
		}
	}
	return sum
}
