package topload

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/electrostatics"
)

// ErrNoEstimate is wrapped where a rule of thumb gives no answer at all.
var ErrNoEstimate = errors.New("topload: the rule of thumb gives no answer")

// Estimate is an answer by rule of thumb and whether the design lies in the
// range the rule was tried in.
type Estimate struct {
	Value   float64 // F, or V/m per volt
	InRange bool
}

// SmoothTorus returns the smooth torus of the same outer size as the ring.
func (r Ring) SmoothTorus() electrostatics.Torus {
	centre, tube := r.SmoothRadii()
	return electrostatics.Torus{Radius: centre, Tube: tube}
}

// Range in which the set-back torus was compared with rings solved turn by
// turn: number of turns, and tube radius over that of the wire.
const (
	leastTried    = 8
	mostTried     = 40
	leastTubeWire = 3.5
)

// SetBackTorus returns the smooth torus that has about the capacitance of the
// ring: a row of parallel wires of radius b at the spacing s acts like a smooth
// surface (s/2π) ln(s/2πb) behind the wire centres, so that the tube radius is
//
//	a = rt - (s/2π) ln(s/(2πb)),  s = 2π(R + 0.31 rt)/N,
//
// with R the radius of the ring and rt that of a turn; s is the spacing where
// most of the charge sits.
//
// Few, thin turns leave nothing of the tube: then the error wraps
// [ErrNoEstimate].
//
// Source: the set-back of a grid of wires is Maxwell's, A Treatise on
// Electricity and Magnetism, vol. 1, art. 203-205; the place where s is taken
// was fitted to rings solved turn by turn (testdata/bodies.json).
func (r Ring) SetBackTorus() (electrostatics.Torus, error) {
	const chargeAt = 0.31 // of rt, outward
	b := r.WireDiameter / 2
	s := 2 * math.Pi * (r.Radius() + chargeAt*r.TurnRadius()) / float64(r.Turns)
	tube := r.TurnRadius() - s/(2*math.Pi)*math.Log(s/(2*math.Pi*b))
	if !(tube > 0 && tube <= r.Radius()) {
		return electrostatics.Torus{}, fmt.Errorf("%w: %d turns stand too far apart to act as a torus", ErrNoEstimate, r.Turns)
	}
	return electrostatics.Torus{Radius: r.Radius(), Tube: tube}, nil
}

// HandbookCapacitance returns the capacitance in F of the isolated ring as that
// of [Ring.SetBackTorus].
//
// Against 14 rings of 8 to 40 turns solved turn by turn, touching to very
// loose, the error is 0.4 % rms and at most 0.7 %.
func (r Ring) HandbookCapacitance() (Estimate, error) {
	torus, err := r.SetBackTorus()
	if err != nil {
		return Estimate{}, err
	}
	c, err := torus.Capacitance()
	if err != nil {
		return Estimate{}, err
	}
	return Estimate{Value: c, InRange: r.tried()}, nil
}

// HandbookPeakGradient returns the largest surface gradient of the isolated
// ring in V/m per volt: that of the smooth torus of the same outer size,
// raised by the crowding of the charge on the wires,
//
//	E = E_smooth (s/(πd) + 1),  s = 2π(R + rt)/N.
//
// For 20 turns or more that nearly touch at the hub the error is -1 to +4 %
// (the cases of testdata/bodies.json); InRange says so.
//
// Source: Maxwell's grating, as for [Ring.SetBackTorus].
func (r Ring) HandbookPeakGradient() (Estimate, error) {
	smooth, err := r.SmoothTorus().PeakGradient()
	if err != nil {
		return Estimate{}, err
	}
	const leastTurns, nearlyTight = 20, 0.25 // gap over the wire diameter
	s := 2 * math.Pi * (r.Radius() + r.TurnRadius()) / float64(r.Turns)
	return Estimate{
		Value:   smooth * (s/(math.Pi*r.WireDiameter) + 1),
		InRange: r.tried() && r.Turns >= leastTurns && r.GapAtHub() < nearlyTight*r.WireDiameter,
	}, nil
}

func (r Ring) tried() bool {
	return r.Turns >= leastTried && r.Turns <= mostTried && 2*r.TurnRadius() >= leastTubeWire*r.WireDiameter
}
