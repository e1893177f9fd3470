package comparison

import (
	"context"
	"errors"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/inductance"
	"coilwright/physics/sentence"
	"coilwright/physics/wire"
)

// Driven is what a driver does with the coil as drawn, from the report of
// whoever solved it; nil where that is not known.
type Driven struct {
	Frequency     *float64 // Hz
	TopVoltage    *float64 // V, crest
	SupplyCurrent *float64 // A, mean
	QualityFactor *float64 // of the coil, unloaded

	TopVoltageLow, TopVoltageHigh *float64 // V, crest, where the parts leave the top voltage open
}

// DrivenOf takes what a report says.
//
// Its quality factor is the computed one: the other may be a reading itself.
func DrivenOf(r design.Report) Driven {
	return Driven{
		r.Driver.Frequency, r.Driver.TopVoltage, r.Driver.SupplyCurrentMean, r.Losses.QualityFactorComputed,
		r.Driver.TopVoltageLow, r.Driver.TopVoltageHigh,
	}
}

// state is a coil with every uncertain number at some value.
type state struct {
	design design.Design
	probe  float64 // capacitance of every probe over the stated one
	hand   float64 // effect of every hand over that of its stated distance
	model  float64 // true frequency over that of the model
	hidden float64 // F, on the top besides any probe
}

// asDrawn returns d with every uncertain number as it is drawn.
func asDrawn(d design.Design) state { return state{design: d, probe: 1, hand: 1, model: 1} }

// predictor predicts readings. It is not for concurrent use.
type predictor struct {
	solver  *design.Solver
	driven  Driven
	drawn   float64 // Hz, of the coil as drawn with everything in place, for the driver's; 0: not yet solved
	ofDrawn design.Design

	supplies map[float64]Driven // by supply in V, other than the drawn one
	hands    map[handOn]float64 // relative change of the frequency
}

// value returns what an instrument shows of s, SI. With ideal the instrument
// adds nothing, and the room is as drawn: no probe and no hand, frequency zero at the
// inductance meter, 20 °C.
func (p *predictor) value(ctx context.Context, s state, m design.Measurement, ideal bool) (float64, error) {
	switch m.Quantity {
	case Turns:
		return s.design.Secondary.Turns, nil
	case Dimension:
		return dimension(s.design, m.Key)
	case Temperature:
		return s.design.Room.AirTemperature, nil
	case Resistance:
		celsius := s.design.Room.AirTemperature
		if ideal {
			celsius = wire.ReferenceTemperature
		}
		return resistance(s.design, celsius)
	case QualityFactor:
		return known(p.driven.QualityFactor, sentence.New("the quality factor of this coil is not computed"))
	case SupplyCurrent:
		return p.current(ctx, m)
	case Gap:
		return p.gap(ctx, s.design, m)
	case Capacitance:
		if m.Key == KeyTopLoad {
			r, err := p.solver.Quick(ctx, s.design)
			if err != nil {
				return 0, unbuildable(err)
			}
			return known(r.TopLoad.Capacitance, sentence.New("the design has no top load"))
		}
	}
	near, err := CircumstancesOf(m)
	if err != nil {
		return 0, err
	}
	d, err := setUp(s.design, m.Setup)
	if err != nil {
		return 0, err
	}
	moved := 1.0 // by a hand
	if !ideal {
		near.furnish(&d)
		if near.Near == HandNear {
			change, err := p.hand(ctx, m.Setup, near.Distance)
			if err != nil {
				return 0, err
			}
			moved += s.hand * change
		}
	}
	load, atFoot := s.hidden, 0.0
	if !ideal && m.Quantity != Capacitance { // whoever states one has taken the probe off
		onTop, foot := hung(m)
		load += onTop * s.probe
		atFoot = foot * s.probe
	}
	if d.Room.Foot == design.Circuit {
		d.Room.EarthCapacitance += atFoot
	}
	mode, err := p.solver.Loaded(ctx, d, load)
	if err != nil {
		return 0, unbuildable(err)
	}
	switch m.Quantity {
	case Frequency:
		resonance := mode.Frequency * moved * s.model
		if m.Setup == Running {
			return p.running(ctx, resonance, near.Supply)
		}
		return resonance, nil
	case Capacitance:
		return mode.TopCapacitance / (moved * moved), nil // L stays, f falls
	case Inductance:
		return meterInductance(d, mode, m, ideal)
	}
	return 0, without(sentence.New("nothing is known about a quantity %q", m.Quantity))
}

// running returns the frequency under the driver, at a supply in V, of a coil whose
// resonance lies at so many Hz: that of the coil as drawn, moved as the resonance is.
func (p *predictor) running(ctx context.Context, resonance, volts float64) (float64, error) {
	at, err := p.at(ctx, volts)
	if err != nil {
		return 0, err
	}
	driven, err := known(at.Frequency, sentence.New("the frequency under this driver is not computed"))
	if err != nil {
		return 0, err
	}
	if p.drawn == 0 {
		mode, err := p.solver.Loaded(ctx, p.ofDrawn, 0)
		if err != nil {
			return 0, unbuildable(err)
		}
		p.drawn = mode.Frequency
	}
	return driven * resonance / p.drawn, nil
}

// meterInductance returns what an inductance meter between foot and top shows
// in H. The winding's impedance is a sum over its modes (R. M. Foster, Bell
// System Technical Journal 3 (1924) 259), each of which gives at direct current
// its own part L_n of the inductance L, so that at a frequency f
//
//	L(f) = L + L_1 x_1/(1 - x_1) + (L - L_1) x_2/(1 - x_2),  x_n = (f/f_n)²,
//
// with all but the first mode taken at the second, which is the most they can
// add. L_1 is the first mode's 1/(ω² Ct). At f_1 and above a meter shows no
// inductance.
func meterInductance(d design.Design, mode design.Mode, m design.Measurement, ideal bool) (float64, error) {
	uniform, err := uniformInductance(d)
	if err != nil || ideal || m.AtFrequency == nil || *m.AtFrequency == 0 {
		return uniform, err
	}
	x := *m.AtFrequency / mode.Frequency
	x *= x
	if x >= 1 {
		return 0, without(sentence.New("the meter's frequency is above the coil's own, where a meter shows no inductance"))
	}
	first := math.Min(mode.TopInductance, uniform)
	l := uniform + first*x/(1-x)
	if mode.SecondFrequency > 0 {
		y := *m.AtFrequency / mode.SecondFrequency
		y *= y
		l += (uniform - first) * y / (1 - y)
	}
	return l, nil
}

func uniformInductance(d design.Design) (float64, error) {
	g, err := d.Geometry()
	if err != nil {
		return 0, unbuildable(err)
	}
	w := g.Winding
	return inductance.Winding{Turns: w.Turns, Radius: w.Radius, Pitch: w.Pitch, WireRadius: w.BareDiameter / 2}.Inductance(inductance.Uniform)
}

// resistance returns that of the winding to direct current in Ω.
func resistance(d design.Design, celsius float64) (float64, error) {
	g, err := d.Geometry()
	if err != nil {
		return 0, unbuildable(err)
	}
	w := g.Winding
	return wire.ResistanceDC(wire.HelixLength(w.Turns, 2*w.Radius, w.Pitch), w.BareDiameter, celsius), nil
}

// dimension returns a length in m, or a plain number, of the design by its key.
func dimension(d design.Design, key string) (float64, error) {
	g, err := d.Geometry()
	if err != nil {
		return 0, unbuildable(err)
	}
	w := g.Winding
	switch key {
	case KeyWindingHeight:
		return w.Top - w.Bottom, nil
	case KeyWireLength:
		return wire.HelixLength(w.Turns, 2*w.Radius, w.Pitch), nil
	case "secondary.wire.overall_diameter_m":
		return w.OverallDiameter, nil
	case keyPitch:
		return w.Pitch, nil
	case KeyTopOuter:
		if d.TopLoad.Kind == design.NoTopLoad {
			return 0, without(sentence.New("the design has no top load"))
		}
		return 2 * g.TopLoad.OuterRadius(), nil
	}
	x, err := design.Number(d, key)
	if err != nil {
		return 0, without(sentence.New("a design of this kind has no %q", key))
	}
	return x, nil
}

// current returns what a driver takes at the supply of a reading in A, mean.
func (p *predictor) current(ctx context.Context, m design.Measurement) (float64, error) {
	_, driven, err := p.under(ctx, m)
	if err != nil {
		return 0, err
	}
	return known(driven.SupplyCurrent, sentence.New("what the driver takes is not computed for this design"))
}

// known returns a number that may not have been computed.
func known(x *float64, reason sentence.Text) (float64, error) {
	if x == nil {
		return 0, without(sentence.New("%s", reason))
	}
	return *x, nil
}

// unbuildable says that a coil near the design has no solution; an error of the
// context stays what it is.
func unbuildable(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return without(sentence.Of(err))
}
