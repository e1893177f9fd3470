package winding

import (
	"math"

	"coilwright/physics/sentence"
)

// Copper as wire is sold.
//
// Sources: modulus 115 to 120 GPa, middle taken (data sheets of C10200 at
// lfa-wire.com and makeitfrom.com); yield stress of soft copper 75 MPa (C10800,
// temper OS050, makeitfrom.com). Straightening by a stretch works it up to
// about 150 MPa, hard drawn wire has 300 MPa and more (from memory).
const (
	CopperModulus = 117e9 // Pa
	SoftYield     = 75e6  // Pa
)

// ErrElastic says that a bend is so gentle that the wire springs straight.
var ErrElastic = refuse(sentence.New("the wire springs straight again"))

// SpringBack returns by what factor a loop of round wire grows when it is let
// go: the radius of its centreline after over that before.
//
// The wire is bent to the radius R, in m to its centre, as an elastic, perfectly
// plastic bar of diameter d = 2a, in m, yield stress Y and modulus E, in Pa. It
// has yielded farther than c = RY/E from its neutral fibre, and resists with
//
//	M = 4Y [a⁴ asin(c/a)/8c − √(a² − c²)(a² − 2c²)/8 + (a² − c²)^{3/2}/3].
//
// Letting go is elastic and takes off the curvature M/EI, I = πa⁴/4:
//
//	R'/R = 1/(1 − MR/EI),
//
// which for a wire that has yielded all through (c → 0, M = Yd³/6) is
// 1/R' = 1/R − 32Y/(3πEd).
//
// Pure bending, no hardening, no pull: copper hardens, and wire wound under
// tension springs less, so the result is good to about half of what it adds to
// the radius; a measured loop is better ([YieldFrom]). A wire that nowhere
// yields, RY ≥ Ea, gives [ErrElastic].
//
// Source: elementary plasticity, as in R. Hill, The Mathematical Theory of
// Plasticity, Oxford 1950, chapter IV (from memory); with hardening: Journal of
// Engineering for Industry 95 (1973), p. 809.
func SpringBack(diameter, radius, yield, modulus float64) (float64, error) {
	if err := checkLengths([]named{{sentence.New("wire diameter"), diameter}, {sentence.New("bending radius"), radius}}, nil); err != nil {
		return 0, err
	}
	if !(yield >= 0) || !(modulus > 0) || math.IsInf(yield, 0) || math.IsInf(modulus, 0) {
		return 0, refuse(sentence.New("yield stress %g Pa, modulus %g Pa", yield, modulus))
	}
	a := diameter / 2
	c := radius * yield / modulus
	if c >= a {
		return 0, sentence.Because(ErrElastic, sentence.New("a bend of %g m radius strains it less than it yields at", radius))
	}
	moment := 4 * yield * (coreMoment(a, c) + math.Pow(a*a-c*c, 1.5)/3)
	lost := moment * radius / (modulus * math.Pi / 4 * a * a * a * a)
	return 1 / (1 - lost), nil
}

// coreMoment is a⁴ asin(c/a)/8c − √(a² − c²)(a² − 2c²)/8. Its terms cancel to
// the third power of c at small c, where the series takes over.
func coreMoment(a, c float64) float64 {
	const small = 1e-3 // series and closed form then agree to 1e-10 of a³
	if c < small*a {
		return a * c * c / 3
	}
	return a*a*a*a*math.Asin(c/a)/(8*c) - math.Sqrt(a*a-c*c)*(a*a-2*c*c)/8
}

// YieldFrom returns the yield stress in Pa at which [SpringBack] gives a growth
// that was measured on one loop, by halving an interval. A growth below 1 or
// beyond what any yield stress gives is an error.
func YieldFrom(diameter, radius, growth, modulus float64) (float64, error) {
	low, high := 0.0, modulus*diameter/2/radius
	if !(growth >= 1) || math.IsInf(growth, 0) {
		return 0, refuse(sentence.New("a loop that shrinks to %g of its radius when let go", growth))
	}
	for range 100 {
		middle := (low + high) / 2
		g, err := SpringBack(diameter, radius, middle, modulus)
		if err == nil && g < growth {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}

// Spring is how much the turns of a ring open when they come off the former.
type Spring struct {
	Growth      float64 // radius of the centreline after over before, from 1
	Measured    bool    // from a loop that was wound, not from the yield stress
	Yield       float64 // Pa, that explains it
	LoopInside  float64 // m, inside diameter of a turn once it is off
	TurnsLost   float64 // by which all turns together open
	FormerToUse float64 // m, on which turns come off as wide as the design has them
}

// spring returns how the ring's turns open. The wire keeps its length, so n
// turns open to n/growth.
func (r Ring) spring() (Spring, error) {
	radius := (r.FormerDiameter + r.WireDiameter) / 2
	yield, modulus := r.Yield, r.Modulus
	if yield == 0 {
		yield = SoftYield
	}
	if modulus == 0 {
		modulus = CopperModulus
	}
	s := Spring{Yield: yield}
	if r.MeasuredLoop > 0 {
		s.Measured = true
		s.Growth = (r.MeasuredLoop + r.WireDiameter) / (2 * radius)
		var err error
		if s.Yield, err = YieldFrom(r.WireDiameter, radius, s.Growth, modulus); err != nil {
			return Spring{}, err
		}
	} else {
		var err error
		if s.Growth, err = SpringBack(r.WireDiameter, radius, yield, modulus); err != nil {
			return Spring{}, err
		}
	}
	s.LoopInside = 2*radius*s.Growth - r.WireDiameter
	wound := float64(r.Turns + r.SpareTurns)
	s.TurnsLost = wound - wound/s.Growth
	// The curvature to bend to is the one wanted and what letting go takes off;
	// the latter hardly depends on the former.
	bend := radius
	for range 20 {
		growth, err := SpringBack(r.WireDiameter, bend, s.Yield, modulus)
		if err != nil {
			return Spring{}, err
		}
		bend = radius / growth
	}
	s.FormerToUse = 2*bend - r.WireDiameter
	return s, nil
}
