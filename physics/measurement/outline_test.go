package measurement

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

func TestOutlineHoldsEverySample(t *testing.T) {
	r := Record{Start: 1e-6, Interval: 1e-8, Channels: []Channel{{Samples: make([]float32, 100_003)}}}
	random := rand.New(rand.NewPCG(8, 3))
	least, most := float32(math.Inf(1)), float32(math.Inf(-1))
	for i := range r.Channels[0].Samples {
		s := float32(random.NormFloat64())
		r.Channels[0].Samples[i] = s
		least, most = min(least, s), max(most, s)
	}
	o := r.Outline(0, Range{}, 500)
	low, high := math.Inf(1), math.Inf(-1)
	for i := range o.Time {
		low, high = min(low, o.Low[i]), max(high, o.High[i])
	}
	if len(o.Time) != 500 || o.Whole || low != float64(least) || high != float64(most) {
		t.Errorf("%d stretches from %g to %g, want 500 from %g to %g", len(o.Time), low, high, least, most)
	}
	part := r.Outline(0, Range{r.Start + 10e-8, r.Start + 20e-8}, 500)
	if len(part.Time) != 10 || !part.Whole || math.Abs(part.Time[0]-(r.Start+10e-8)) > 1e-12 || part.Low[3] != part.High[3] {
		t.Errorf("ten samples are %+v", part)
	}
	if empty := r.Outline(0, Range{5, 6}, 10); len(empty.Time) != 0 {
		t.Errorf("beyond the trace: %+v", empty)
	}
}

// TestEnvelopeHoldsTheFit: the fitted trace never leaves its envelope and comes
// within a part in 1000 of it in every cycle.
func TestEnvelopeHoldsTheFit(t *testing.T) {
	const f, q = 1.3e6, 150.0
	r := Record{Interval: 20e-9, Channels: []Channel{{Samples: make([]float32, 10_000)}}}
	alpha := math.Pi * f / q
	for i := range r.Channels[0].Samples {
		u := float64(i) * r.Interval
		r.Channels[0].Samples[i] = float32(0.1 + math.Exp(-alpha*u)*math.Cos(2*math.Pi*f*u))
	}
	fit, err := FitRingDown(context.Background(), r, Range{})
	if err != nil || !fit.Complete() {
		t.Fatal(fit.Message, err)
	}
	for at := fit.Fitted.From; at < fit.Fitted.To-1/f; at += 20 / f {
		nearest := math.Inf(1)
		for k := range 1000 {
			u := at + float64(k)/1000/f
			y, _ := fit.At(u)
			low, high, ok := fit.Envelope(u)
			if !ok || y > high+1e-9 || y < low-1e-9 {
				t.Fatalf("at %g s the fit is %g, its envelope %g to %g", u, y, low, high)
			}
			nearest = min(nearest, (high-y)/(high-low))
		}
		if nearest > 1e-3 {
			t.Errorf("from %g s on it keeps %g of its swing away from its envelope", at, nearest)
		}
	}
}
