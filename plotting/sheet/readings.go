package sheet

import (
	"math"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Expected is a reading that a meter should show.
type Expected struct {
	Name  string
	Value float64 // SI
	Unit  si.Unit
	Half  float64 // SI, half-width of what is still in order
	Note  string
}

// Half-widths behind the tolerances, as shares; common practice, no source,
// where the design does not say. Each counts as uniform, two sigma are given.
const (
	formerShare      = 0.01  // diameter of a former
	wireShare        = 0.01  // diameter of a wire
	pitchShare       = 0.02  // length of a winding
	temperatureShare = 0.039 // resistance, over 10 K
	meterShare       = 0.01
)

// twoSigma adds independent uniform half-widths.
func twoSigma(halves ...float64) float64 {
	sum := 0.0
	for _, h := range halves {
		sum += h * h / 3
	}
	return 2 * math.Sqrt(sum)
}

// expectations returns the readings of a report, those that it has.
func expectations(d *design.Design, r *design.Report) []Expected {
	var all []Expected
	add := func(name string, v *float64, unit si.Unit, half float64, note string) {
		if v != nil {
			all = append(all, Expected{name, *v, unit, half * *v, note})
		}
	}
	turns := 0.5 / d.Secondary.Turns
	if d.Secondary.Turns > 100 {
		turns = 0.005
	}
	add("Resistance of the secondary", r.Secondary.ResistanceDC, si.Ohm,
		twoSigma(formerShare, 2*wireShare, turns, temperatureShare, meterShare), "ohmmeter, leads subtracted")
	add("Inductance of the secondary", r.Secondary.Inductance, si.Henry,
		twoSigma(2*formerShare, 2*turns, pitchShare, meterShare), "at 1 to 10 kHz, nothing near it")
	if d.TopLoad.Kind != design.NoTopLoad {
		add("Capacitance of the top load alone", r.TopLoad.Capacitance, si.Farad,
			twoSigma(2*formerShare, meterShare), "far from everything; the leads' own subtracted")
	}
	add("Inductance of the primary", r.Primary.Inductance, si.Henry, twoSigma(2*formerShare, pitchShare, meterShare), "with its leads short")
	band := 0.05 // where the report has none
	if f := r.Resonance.Frequency; f != nil && r.Resonance.FrequencyLow != nil && r.Resonance.FrequencyHigh != nil {
		band = (*r.Resonance.FrequencyHigh - *r.Resonance.FrequencyLow) / 2 / *f
	}
	if d.TopLoad.Kind != design.NoTopLoad {
		add("Frequency, bare winding", r.Resonance.BareFrequency, si.Hertz, band, "loosely coupled, probe a hand away")
		add("Frequency, with the top load", r.Resonance.Frequency, si.Hertz, band, "as it will run")
	} else {
		add("Frequency", r.Resonance.Frequency, si.Hertz, band, "loosely coupled, probe a hand away")
	}
	add("Quality factor", r.Resonance.QualityFactor, si.Plain, 0.3, "from the width or the ring-down; primary open")
	return all
}
