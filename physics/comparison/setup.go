package comparison

import (
	"errors"
	"fmt"

	"coilwright/physics/design"
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
// held against; its text is a sentence.
var ErrNoPrediction = errors.New("nothing to compare with")

// without says why there is no prediction.
func without(format string, values ...any) error {
	return fmt.Errorf("%w: %s", ErrNoPrediction, fmt.Sprintf(format, values...))
}

// setUp returns d as it stood when a reading was taken.
func setUp(d design.Design, setup string) (design.Design, error) {
	d.Measurements, d.Variants = nil, nil // thousands of them would be checked with every solution
	switch setup {
	case Bare:
		d.TopLoad.Kind, d.Primary.Kind, d.Driver.Kind = design.NoTopLoad, design.NoPrimary, design.NoDriver
	case WithTopLoad:
		if d.TopLoad.Kind == design.NoTopLoad {
			return d, without("it was taken with a top load, and the design has none")
		}
		d.Primary.Kind, d.Driver.Kind = design.NoPrimary, design.NoDriver
	case WithPrimary, Running:
		if d.Primary.Kind == design.NoPrimary {
			return d, without("it was taken with the primary in place, and the design has none")
		}
	default:
		return d, without("there is no setup %q", setup)
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
