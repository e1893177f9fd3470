package comparison

import (
	"context"
	"errors"
	"math"

	"coilwright/physics/design"
)

// TopCapacitance is the capacitance that a coil shows at its top, from two
// readings of its frequency that differ by a known capacitance there.
type TopCapacitance struct {
	Setup        string
	Value, Sigma float64 // F, measured
	Predicted    float64 // F, of the solved coil
	Added        float64 // F, by which the two readings differ
	Less, More   int     // the two readings, by their place in the design
}

// topCapacitance finds two readings of the frequency in one setup with different
// capacitances on top and returns what they say. With frequencies f_0 and f_1 a
// circuit of one coil and one capacitor has
//
//	C = ΔC / ((f_0/f_1)² - 1);
//
// the coil's current distributes itself anew under the load, which the ratio of
// what the solved coil gives by the same formula to its own Ct takes out.
func topCapacitance(ctx context.Context, p *predictor, s state) (*TopCapacitance, error) {
	readings := s.design.Measurements
	for i, less := range readings {
		for j, more := range readings {
			if less.Quantity != Frequency || more.Quantity != Frequency || less.Setup != more.Setup || less.Setup == Running ||
				less.Key != "" || more.Key != "" { // something else stood near
				continue
			}
			lessOn, _ := hung(less)
			moreOn, _ := hung(more)
			if moreOn <= lessOn || more.Value >= less.Value || !(more.Value > 0) || less.Value/more.Value > mostRatio {
				continue
			}
			t, err := s.between(ctx, p, less, more)
			if errors.Is(err, ErrNoPrediction) {
				continue
			}
			if err != nil {
				return nil, err
			}
			t.Less, t.More = i, j
			return t, nil
		}
	}
	return nil, nil
}

// mostRatio of two frequencies by a capacitor on the top is that of one so large
// that the coil's own cannot be told beside it.
const mostRatio = 100

// between works out the capacitance from two readings.
func (s state) between(ctx context.Context, p *predictor, less, more design.Measurement) (*TopCapacitance, error) {
	d, err := setUp(s.design, less.Setup)
	if err != nil {
		return nil, err
	}
	lessOn, _ := hung(less)
	moreOn, _ := hung(more)
	added := moreOn - lessOn
	a, err := p.solver.Loaded(ctx, d, lessOn)
	if err != nil {
		return nil, unbuildable(err)
	}
	b, err := p.solver.Loaded(ctx, d, moreOn)
	if err != nil {
		return nil, unbuildable(err)
	}
	lumped := func(ratio float64) float64 { return added / (ratio*ratio - 1) }
	shape := a.TopCapacitance / lumped(a.Frequency/b.Frequency)
	ratio := less.Value / more.Value
	value := shape*lumped(ratio) - lessOn
	off := math.Hypot(sigmaOf(less)/less.Value, sigmaOf(more)/more.Value)
	slope := 2 * ratio * ratio / (ratio*ratio - 1) // of ln C by ln ratio
	probe := probeOnTop / math.Sqrt(3)
	if more.ProbePlace == NearTop {
		probe = probeNearTop / math.Sqrt(3)
	}
	return &TopCapacitance{
		Setup: less.Setup, Value: value, Sigma: (value + lessOn) * math.Hypot(slope*off, probe),
		Predicted: a.TopCapacitance - lessOn, Added: added,
	}, nil
}

// sigmaOf returns the standard deviation of a reading, what is usual where none
// is stated.
func sigmaOf(m design.Measurement) float64 {
	switch {
	case m.Quantity == Temperature && m.Uncertainty == 0:
		return usualKelvin
	case m.Quantity == Temperature:
		return math.Max(m.Uncertainty, surestKelvin)
	case m.Uncertainty == 0:
		return usualSigma[m.Quantity] * math.Abs(m.Value)
	}
	return math.Max(m.Uncertainty, surest*math.Abs(m.Value))
}
