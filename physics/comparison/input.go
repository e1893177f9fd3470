package comparison

import (
	"context"
	"errors"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

// Keys of what is uncertain and no key of a design.
const (
	KeyModel  = "model"                              // the true frequency over the model's
	KeyProbe  = "measurements[].probe_capacitance_f" // the probe's capacitance over the stated one
	KeyHand   = "measurements[].key"                 // what a hand does over what one at its stated distance does
	KeyHidden = "top_capacitance_f"                  // F, on the top besides any probe: a hand, a lead, a forgotten probe
)

// Half-widths beside those of a design. Common practice, no source.
const (
	probeOnTop       = 0.10 // of the capacitance: what a data sheet leaves open
	probeNearTop     = 0.50 // of the capacitance: what is guessed from the distance
	handNear         = 0.50 // of what a hand does: hands differ, have arms, and are not held still
	packingHalfWidth = 0.015
)

const (
	keyTemperature = "room.air_temperature_c"
	keyPacking     = "secondary.packing"
	keyPitch       = "secondary.pitch_m"
	keyFloor       = "room.floor_depth_m"
	keyTurns       = "secondary.turns"
)

// Input is an uncertain number.
type Input struct {
	Key       string
	Value     float64 // SI, as drawn
	HalfWidth float64 // SI, of its tolerance; 0: none is stated, it is only tried by itself
}

// sigma returns the standard deviation that goes with the tolerance.
func (i Input) sigma() float64 { return i.HalfWidth / math.Sqrt(3) }

// set changes the input in s.
func (i Input) set(s *state, x float64) error {
	switch i.Key {
	case KeyModel:
		s.model = x
	case KeyProbe:
		s.probe = x
	case KeyHand:
		s.hand = x
	case KeyHidden:
		s.hidden = math.Max(x, 0)
	default:
		return design.Set(&s.design, i.Key, x)
	}
	return nil
}

// inputsOf returns what is uncertain about a design and its readings.
func inputsOf(d design.Design, readings []design.Measurement) ([]Input, error) {
	all, modelOff, err := d.Uncertain()
	if err != nil {
		return nil, err
	}
	var inputs []Input
	for _, u := range all {
		inputs = append(inputs, Input{u.Key, u.Value, u.HalfWidth})
	}
	var probe float64
	var warm, hand bool
	for _, m := range readings {
		if top, foot := hung(m); top > 0 || foot > 0 {
			if m.ProbePlace == NearTop {
				probe = probeNearTop
			}
			probe = math.Max(probe, probeOnTop)
		}
		if c, err := CircumstancesOf(m); err == nil && c.Near == HandNear {
			hand = true
		}
		warm = warm || m.Quantity == Resistance || m.Quantity == Temperature
	}
	if warm {
		half := *d.UsualTolerances().Temperature
		if t := d.Tolerances.Temperature; t != nil {
			half = *t
		}
		if half > 0 {
			inputs = append(inputs, Input{keyTemperature, d.Room.AirTemperature, half})
		}
	}
	if probe > 0 {
		inputs = append(inputs, Input{KeyProbe, 1, probe})
	}
	if hand {
		inputs = append(inputs, Input{KeyHand, 1, handNear})
	}
	return append(inputs, Input{KeyModel, 1, modelOff}), nil
}

func packing(d design.Design) float64 {
	if d.Secondary.Packing == 0 {
		return design.DefaultPacking
	}
	return d.Secondary.Packing
}

// suspects returns numbers without a tolerance that a maker may simply have
// wrong: they are tried one by one.
func suspects(d design.Design) []Input {
	out := []Input{{KeyHidden, 0, 0}}
	if d.Room.Ground == design.Floor && d.Room.FloorDepth > 0 {
		out = append(out, Input{keyFloor, d.Room.FloorDepth, 0})
	}
	return out
}

// step returns a difference of an input that shows against rounding and is
// small against its curvature.
func (i Input) step() float64 {
	const ofSigma, ofValue = 1.0 / 4, 1.0 / 100
	switch {
	case i.Key == keyTurns:
		return 1 // solved as whole turns
	case i.Key == KeyHidden:
		return 0.01e-12 // F
	case i.HalfWidth > 0:
		return ofSigma * i.sigma()
	}
	return ofValue * math.Abs(i.Value)
}

// slope returns the derivative of every reading by an input at s, whose
// predictions are given: one-sided, upward if that can be built, else downward.
func (p *predictor) slope(ctx context.Context, s state, in Input, x float64, readings []design.Measurement, at []float64) ([]float64, error) {
	var failed error
	for _, step := range []float64{in.step(), -in.step()} {
		moved := s
		if err := in.set(&moved, x+step); err != nil {
			failed = err
			continue
		}
		values, err := p.values(ctx, moved, readings)
		if errors.Is(err, ErrNoPrediction) {
			failed = err
			continue
		}
		if err != nil {
			return nil, err
		}
		for i := range values {
			values[i] = (values[i] - at[i]) / step
		}
		return values, nil
	}
	return nil, without(sentence.New("nothing near the design can be built: %s", sentence.Of(failed)))
}

// values predicts all readings of s.
func (p *predictor) values(ctx context.Context, s state, readings []design.Measurement) ([]float64, error) {
	out := make([]float64, len(readings))
	for i, m := range readings {
		var err error
		if out[i], err = p.value(ctx, s, m, false); err != nil {
			return nil, err
		}
	}
	return out, nil
}
