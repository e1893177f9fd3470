package design

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/breakdown"
	"coilwright/physics/electrostatics"
	"coilwright/physics/si"
)

// ErrNear is wrapped where a body would stand in the coil or beyond a plane.
var ErrNear = errors.New("design: no room for what is near")

// NearKind is what comes near a coil.
type NearKind int

// What comes near.
const (
	NearHand     NearKind = iota // a ball as large as a fist, earthed through its owner
	NearTube                     // a fluorescent tube that lies there, lit and at no fixed potential
	NearTubeHeld                 // the same, lit and held, so that it is earthed
)

// Sizes of what comes near.
const (
	HandRadius = 0.045 // m: a fist is some 90 mm wide; common practice, no source
	TubeLength = 0.6   // m, of an 18 W tube, 590 mm: from memory
	TubeRadius = 0.013 // m, of the same, 26 mm across: from memory
)

// Near is a body near a coil: on its axis, above the top, or beside the top at the height
// of its centre. A tube points at the coil.
type Near struct {
	Kind     NearKind
	Distance float64 // m, from the surface of the top to the nearest point of the body
	Above    bool    // on the axis; else beside
}

// NearEffect is what a body does to the coil, to first order: the charge that the coil
// alone would put on it, and what that does in turn. It is of use while all changes are
// small; hands have arms, which are left out.
type NearEffect struct {
	Frequency float64 // relative change, negative
	Gradient  float64 // relative change of the largest surface gradient, mean round the axis
	Facing    float64 // the same on the side that faces the body
}

// firstOrder is the relative change of frequency from which [NearEffect] is no more
// than a sign: what it leaves out is then some tenths of it.
const firstOrder = 0.03

// Small reports whether the effect is small enough for the first order to hold.
func (e NearEffect) Small() bool { return math.Abs(e.Frequency) < firstOrder }

// Near returns what a body near the coil does to it. With φ and E the potential and field
// of the coil alone, per volt, a small body takes energy
//
//	ball of radius b, earthed:      4πε₀ (b φ² + b³ E²)/2,
//	rod of length 2a, floating:     4πε₀ a r²/(3n) Ē²/2,  n its depolarisation,
//	rod of length 2a, earthed:      2πε₀ 2a/(ln(2a/r) - 1) φ̄²/2,
//
// off that of the fixed charges, We per volt, and since ω² is the energy of given charges
// over that of their currents, δf/f = -½ of this over We. Means are along the rod.
//
// The charge induced on the body then acts on the top load, which keeps its voltage, by
// its modes round the axis; on the side that faces the body the field is as uneven
// as on a ball of its size.
//
// The error wraps [ErrNear] if the body would stand in the coil or beyond a plane.
//
// Source: Landau and Lifshitz, Electrodynamics of Continuous Media, sections 2 to 5.
func (f *Field) Near(n Near) (NearEffect, error) {
	if !(n.Distance > 0) || math.IsInf(n.Distance, 0) {
		return NearEffect{}, fmt.Errorf("%w: %g m from the top", ErrNear, n.Distance)
	}
	size := HandRadius
	if n.Kind != NearHand {
		size = TubeLength / 2
	}
	start := f.crest.R
	if n.Above {
		start = f.topEdge()
	}
	place := func(s float64) Spot { // s from the middle of the body, away from the coil
		if n.Above {
			return Spot{0, start + n.Distance + size + s}
		}
		return Spot{start + n.Distance + size + s, f.centre.Z}
	}
	floor, ceiling := f.lowest, math.Inf(1)
	if f.coil.Room.Ceiling != nil {
		ceiling = *f.coil.Room.Ceiling
	}
	radius := size
	if n.Kind != NearHand {
		radius = TubeRadius
	}
	if end := place(size); place(0).Z-radius <= floor || end.Z >= ceiling || place(0).Z+radius >= ceiling {
		return NearEffect{}, fmt.Errorf("%w: it would reach the floor or the ceiling", ErrNear)
	}
	energy, charge := f.taken(n.Kind, place)
	e := NearEffect{Frequency: -energy / (2 * f.modes.Energy)}
	if f.coil.Top != nil {
		f.react(&e, charge, place)
	}
	return e, nil
}

// topEdge returns the height in m of the highest metal on the axis's side of the top.
func (f *Field) topEdge() float64 {
	edge := f.crest.Z
	if f.coil.Top != nil {
		edge = math.Max(edge, f.coil.TopHeight+f.coil.Top.Top)
	}
	return edge
}

// nearSteps is how many places along a tube are looked at.
const nearSteps = 24

// taken returns the energy in J that a body takes from the coil's at 1 V of the top,
// and the charges in C that stand for it, at so many places from its near to its far end.
func (f *Field) taken(kind NearKind, place func(float64) Spot) (energy float64, charge []float64) {
	const coulombs = 4 * math.Pi * si.Epsilon0
	if kind == NearHand {
		at := place(0)
		phi, outward, up := f.At(at.R, at.Z)
		c := coulombs * HandRadius
		if height := at.Z - f.lowest; !math.IsInf(height, 0) {
			c /= 1 - HandRadius/(2*height) // its own image
		}
		square := outward*outward + up*up
		return (c*phi*phi + coulombs*math.Pow(HandRadius, 3)*square) / 2, []float64{-c * phi}
	}
	const half = TubeLength / 2
	phi := make([]float64, nearSteps)
	mean := 0.0
	for i := range phi {
		at := place(half * (2*(float64(i)+0.5)/nearSteps - 1))
		phi[i], _, _ = f.At(at.R, at.Z)
		mean += phi[i] / nearSteps
	}
	charge = make([]float64, nearSteps)
	perLength := 2 * math.Pi * si.Epsilon0 / (math.Log(TubeLength/TubeRadius) - 1) // F/m, of a thin rod
	if kind == NearTubeHeld {
		for i := range charge {
			charge[i] = -perLength * TubeLength / nearSteps * mean
		}
		return perLength * TubeLength * mean * mean / 2, charge
	}
	// A thin rod at no fixed potential is a long spheroid in the mean field along it.
	near, far := place(-half), place(half)
	a, _, _ := f.At(near.R, near.Z)
	b, _, _ := f.At(far.R, far.Z)
	field := (a - b) / TubeLength
	enhanced, err := breakdown.Spheroid(half, TubeRadius*TubeRadius/half)
	if err != nil {
		return 0, charge
	}
	moment := coulombs * half * TubeRadius * TubeRadius / 3 * enhanced * field
	for i := range charge { // straight along the rod, with this moment
		x := 2*(float64(i)+0.5)/nearSteps - 1
		charge[i] = 3 * moment / TubeLength * 2 * x / nearSteps
	}
	return moment * field / 2, charge
}

// react adds what the charges on a body do to the gradient of the top load.
func (f *Field) react(e *NearEffect, charge []float64, place func(float64) Spot) {
	b := f.coil.Top
	modes, rings := b.Modes(), len(b.Radius)
	half := TubeLength / 2
	at := func(i int) Spot {
		if len(charge) == 1 {
			return place(0)
		}
		return place(half * (2*(float64(i)+0.5)/float64(len(charge)) - 1))
	}
	phi := make([]float64, rings)
	across := 0.0 // field across the axis at the top's centre, V/m
	for i, q := range charge {
		spot := at(i)
		for s := range phi {
			phi[s] += q * electrostatics.RingPotentialUnchecked(spot.R, b.Radius[s], f.coil.TopHeight+b.Height[s]-spot.Z)
		}
		if d := math.Hypot(spot.R, spot.Z-f.centre.Z); d > 0 {
			across += q * electrostatics.Coulomb * spot.R / (d * d * d)
		}
	}
	work := make([]float64, modes)
	b.Moments(work, phi)
	changed := append([]float64(nil), f.modes.TopAmplitude...)
	for i := range changed {
		changed[i] -= work[i] / b.Elastance[i*modes+i]
	}
	before, _ := b.PeakGradient(f.modes.TopAmplitude)
	after, _ := b.PeakGradient(changed)
	e.Gradient = after/before - 1
	smooth := f.modes.TopAmplitude[0] * electrostatics.Coulomb / (b.Outer * b.Outer)
	e.Facing = e.Gradient
	if smooth != 0 {
		e.Facing += 3 * math.Abs(across/smooth)
	}
}
