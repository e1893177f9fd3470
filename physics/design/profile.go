package design

import (
	"math"

	"coilwright/physics/resonance"
)

// ProfileCurve is the first mode along the winding, from the foot to the top,
// both ends included. Between the ends it has one entry for every sampled turn:
// near the ends, where it is steep, that is every turn.
//
// The current is largest at the foot of a long coil only. The lowest turns, near
// zero themselves, face charged ones above and take up charge of the other sign,
// so that on a short coil the current first rises: to 1.9 times that of the foot
// on 37 turns a third as long as wide. The same happens to the last turns under a
// wide top load.
type ProfileCurve struct {
	Height  []float64 // m over z = 0, ascending
	Voltage []float64 // V per volt of top crest, counted from the foot: 0 to 1
	Current []float64 // A per ampere of crest at the foot; the last entry flows into the top load
}

// profileCurve returns what the modes of l say along its winding.
func profileCurve(l *layout, m *resonance.Modes) ProfileCurve {
	p := &m.Profile
	n := len(p.Height)
	c := ProfileCurve{
		Height:  make([]float64, 0, n+2),
		Voltage: make([]float64, 0, n+2),
		Current: make([]float64, 0, n+2),
	}
	add := func(height, voltage, current float64) {
		c.Height = append(c.Height, height)
		c.Voltage = append(c.Voltage, voltage)
		c.Current = append(c.Current, current)
	}
	add(l.secondary.bottom, 0, 1)
	top := l.secondary.topEdge()
	for i, height := range p.Height {
		// The profile of a fraction of a turn is that of the whole one, whose
		// middle may lie beyond the end.
		if height < top {
			add(height, p.Voltage[i], p.Current[i]/m.FootCurrent)
		}
	}
	into := 0.0 // the charge on the top load came up through the last turn
	if len(m.TopAmplitude) > 0 {
		into = 2 * math.Pi * m.Frequency[0] * m.TopAmplitude[0]
	}
	add(top, 1, into/m.FootCurrent)
	return c
}
