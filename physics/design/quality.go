package design

import (
	"math"

	"coilwright/physics/sentence"
)

// Quantities and setups of a measurement that the quality factor looks for.
const (
	quantityQuality  = "quality_factor"
	setupBare        = "bare"
	setupWithTopLoad = "with_top_load"
	setupWithPrimary = "with_primary"
)

// MeasuredQuality returns the last of the design's measurements that states the
// quality factor of the coil as it is drawn: with its top load, if it has one, and its
// primary there or not. Nil: there is none.
func (d *Design) MeasuredQuality() *Measurement {
	alone := setupBare
	if d.TopLoad.Kind != NoTopLoad {
		alone = setupWithTopLoad
	}
	for i := len(d.Measurements) - 1; i >= 0; i-- {
		m := &d.Measurements[i]
		fits := m.Setup == alone || m.Setup == setupWithPrimary && d.Primary.Kind != NoPrimary
		if m.Quantity == quantityQuality && fits && m.Value > 0 && !math.IsInf(m.Value, 0) {
			return m
		}
	}
	return nil
}

// addMeasuredQuality lets a measured quality factor stand for the computed one.
func addMeasuredQuality(d *Design, r *Report) {
	if m := d.MeasuredQuality(); m != nil {
		r.Losses.QualityFactorMeasured = known(m.Value)
		r.Resonance.QualityFactor = known(m.Value)
	}
}

// measuredQualityCaution says how a measured quality factor and the computed one go
// together; nothing where there are not both.
func measuredQualityCaution(r *LossReport) []Caution {
	if r.QualityFactorMeasured == nil || r.QualityFactorComputed == nil {
		return nil
	}
	measured, most := *r.QualityFactorMeasured, *r.QualityFactorComputed
	text := sentence.New("The quality factor is the measured one, %.3g; computed it would be at most %.3g, so that %.2g %% of what the coil loses is not in the computation.",
		measured, most, 100*(1-measured/most))
	if measured > most {
		text = sentence.New("The quality factor is the measured one, %.3g. It is more than a coil of these dimensions can have, %.3g: the reading or the dimensions are off.", measured, most)
	}
	return []Caution{{Code: "measured_quality_factor", Key: "measurements", Text: text}}
}
