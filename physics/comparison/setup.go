package comparison

import (
	"errors"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

// Quantities of a reading.
const (
	Frequency     = "frequency"
	QualityFactor = "quality_factor"
	Inductance    = "inductance"
	Resistance    = "resistance"
	Capacitance   = "capacitance"
	Turns         = "turns"
	Dimension     = "dimension"
	Gap           = "gap"
	SupplyCurrent = "supply_current"
	Temperature   = "temperature"
)

// Setups of a reading.
const (
	Bare        = "bare"
	WithTopLoad = "with_top_load"
	WithPrimary = "with_primary"
	Running     = "running"
)

// Places of a probe.
const (
	NoProbe = "none"
	NearTop = "near_top"
	OnTop   = "on_top"
	AtFoot  = "foot"
)

// Keys of dimensions that are no keys of a design.
const (
	KeyWindingHeight = "secondary.winding_height_m"
	KeyTopOuter      = "top_load.outer_diameter_m"
	KeyWireLength    = "secondary.wire_length_m"
	KeyTopLoad       = "top_load.capacitance_f" // of a capacitance: the top load by itself
)

// ErrNoPrediction is wrapped where nothing is predicted that a reading could be
// held against; its words are a sentence.
var ErrNoPrediction = sentence.Error(nil, sentence.New("nothing to compare with"))

// noPrediction says why there is none.
type noPrediction struct{ why sentence.Text }

func (n *noPrediction) Error() string { return n.Words().String() }
func (n *noPrediction) Unwrap() error { return ErrNoPrediction }

// Words returns what [sentence.Of] finds.
func (n *noPrediction) Words() sentence.Text {
	return sentence.Join(": ", sentence.Of(ErrNoPrediction), n.why)
}

// without says why there is no prediction.
func without(why sentence.Text) error { return &noPrediction{why} }

// reason returns what an error that wraps [ErrNoPrediction] gives as its reason.
func reason(err error) sentence.Text {
	if n := new(noPrediction); errors.As(err, &n) {
		return n.why
	}
	return sentence.Of(err)
}

// SetupOf is everything in place that a design has.
func SetupOf(d design.Design) string {
	switch {
	case d.Primary.Kind != design.NoPrimary:
		return WithPrimary
	case d.TopLoad.Kind != design.NoTopLoad:
		return WithTopLoad
	}
	return Bare
}

// setUp returns d as it stood when a reading was taken.
func setUp(d design.Design, setup string) (design.Design, error) {
	d.Measurements, d.Variants = nil, nil // thousands of them would be checked with every solution
	switch setup {
	case Bare:
		d.TopLoad.Kind, d.Primary.Kind, d.Driver.Kind = design.NoTopLoad, design.NoPrimary, design.NoDriver
	case WithTopLoad:
		if d.TopLoad.Kind == design.NoTopLoad {
			return d, without(sentence.New("it was taken with a top load, and the design has none"))
		}
		d.Primary.Kind, d.Driver.Kind = design.NoPrimary, design.NoDriver
	case WithPrimary, Running:
		if d.Primary.Kind == design.NoPrimary {
			return d, without(sentence.New("it was taken with the primary in place, and the design has none"))
		}
	default:
		return d, without(sentence.New("there is no setup %q", setup))
	}
	return d, nil
}

// hung returns the capacitance in F that a reading's probe hangs on the top of
// the winding, and on a board at the foot.
func hung(m design.Measurement) (top, foot float64) {
	switch m.ProbePlace {
	case NearTop, OnTop:
		return m.ProbeCapacitance, 0
	case AtFoot:
		return 0, m.ProbeCapacitance
	}
	return 0, 0
}
