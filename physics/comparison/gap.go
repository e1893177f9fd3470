package comparison

import (
	"context"
	"math"
	"strings"

	"coilwright/physics/breakdown"
	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Spark is the top voltage that the longest gap stands for, V, crest.
type Spark struct {
	Value, Low, High float64 // by the tables, and with what is uncertain of tables and reading

	Predicted                   float64 // of the driver
	PredictedLow, PredictedHigh float64 // the same where parts leave it open, else Predicted
}

// gap returns the longest gap in m that the computed top voltage jumps at the supply
// and between the electrodes of a reading.
func (p *predictor) gap(ctx context.Context, d design.Design, m design.Measurement) (float64, error) {
	_, volts, strength, err := p.across(ctx, d, m)
	if err != nil {
		return 0, err
	}
	const shortest, longest, halvings = 1e-4, 1.0, 60
	low, high := shortest, longest
	if v, err := strength(low); err != nil || v.Crest > volts {
		return 0, without(sentence.New("%.3g V on top jump no gap that the tables hold", volts))
	}
	for range halvings {
		middle := math.Sqrt(low * high)
		v, err := strength(middle)
		if err != nil {
			return 0, err
		}
		if v.Crest > volts {
			high = middle
		} else {
			low = middle
		}
	}
	return low, nil
}

// across returns what the driver does in the circumstances of a reading, the crest of
// the top voltage in V, and what the air between its electrodes bears.
func (p *predictor) across(ctx context.Context, d design.Design, m design.Measurement) (driven Driven, volts float64, bears strength, err error) {
	c, driven, err := p.under(ctx, m)
	if err != nil {
		return driven, 0, nil, err
	}
	volts, err = known(driven.TopVoltage, sentence.New("the top voltage under this driver is not computed"))
	if err != nil {
		return driven, 0, nil, err
	}
	bears, err = electrodes(d, c.Electrodes)
	return driven, volts, bears, err
}

// spark returns what the gap of a reading with a standard deviation in m stands for.
// Its width is twice that deviation, the accuracy of the table, and what a table of
// mains frequency may be wrong by at radio frequency.
func (p *predictor) spark(ctx context.Context, d design.Design, m design.Measurement, sigma float64) (*Spark, error) {
	driven, volts, strength, err := p.across(ctx, d, m)
	if err != nil {
		return nil, err
	}
	bears := func(gap, share float64) float64 {
		if v, e := strength(gap); e != nil {
			err = e
		} else {
			return v.Crest * (1 + share*(v.Accuracy+sigmas*modelSigma[Gap]))
		}
		return 0
	}
	s := &Spark{
		Value: bears(m.Value, 0), Low: bears(math.Max(m.Value-sigmas*sigma, m.Value/sigmas), -1), High: bears(m.Value+sigmas*sigma, 1),
		Predicted: volts, PredictedLow: volts, PredictedHigh: volts,
	}
	if driven.TopVoltageLow != nil && driven.TopVoltageHigh != nil {
		s.PredictedLow, s.PredictedHigh = *driven.TopVoltageLow, *driven.TopVoltageHigh
	}
	return s, err
}

// open returns what the parts of a driver leave open of the predicted voltage,
// relative, one standard deviation of a value that is everywhere equally likely.
func (s *Spark) open() float64 {
	return (s.PredictedHigh - s.PredictedLow) / 2 / math.Sqrt(3) / s.Predicted
}

// Text tells a spark in a sentence.
func (s *Spark) Text() sentence.Text {
	volts := func(v float64) string { return si.FormatPrefixed(v, si.Volt, 3) }
	predicted := sentence.Literal(volts(s.Predicted))
	if s.PredictedLow < s.PredictedHigh {
		predicted = sentence.New("%s, %s to %s as its parts vary,", predicted, volts(s.PredictedLow), volts(s.PredictedHigh))
	}
	return sentence.New("The gap stands for %s at the top, %s to %s; %s are predicted.", volts(s.Value), volts(s.Low), volts(s.High), predicted)
}

// strength is the crest voltage in V that a gap in m bears.
type strength func(gap float64) (breakdown.Voltage, error)

// electrodes returns what a gap bears in the air of a room, by the shape of its
// electrodes: "needles", or "spheres 20 mm".
func electrodes(d design.Design, shape string) (strength, error) {
	density, err := breakdown.RelativeDensity(d.Room.AirTemperature, d.Room.AirPressure)
	if err != nil {
		return nil, err
	}
	kind, size, _ := strings.Cut(strings.TrimSpace(shape), " ")
	switch kind {
	case "needles", "":
		return func(gap float64) (breakdown.Voltage, error) { return breakdown.NeedleGap(gap, density) }, nil
	case "spheres":
		diameter, err := length(size)
		if err != nil {
			return nil, without(sentence.New("spheres need their diameter, \"spheres 20 mm\""))
		}
		return func(gap float64) (breakdown.Voltage, error) { return breakdown.SphereGap(diameter, gap, density) }, nil
	}
	return nil, without(sentence.New("no table holds electrodes named %q: needles, or spheres with their diameter", shape))
}
