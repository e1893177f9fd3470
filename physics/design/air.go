package design

import (
	"context"
	"math"
	"sort"

	"coilwright/physics/breakdown"
	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
)

// airCache is what the air's numbers share from one design to the next.
type airCache struct {
	end breakdown.EndWire

	rings  topload.RingSolver
	ringOf topload.Ring // whose gradient ring is; the zero value: nobody's
	ring   float64      // 1/m
}

// addAir puts into r where the air gives way first, and what the numbers rest on.
//
// The top load is looked at in place, the last turn of the winding with its
// neighbours resolved as round wires. The first turn and the primary are left out:
// they stand near zero, and the charges of a primary and of a board at the foot are
// not in the modes. So are leads and points, which are not part of a design.
func (s *Solver) addAir(ctx context.Context, d *Design, l *layout, report *Report) error {
	r := &report.Air
	if l.top.kind == Disc && l.top.radius == 0 {
		return nil // the field at its edge has no bound
	}
	m, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return err
	}
	c, err := s.resonator.coil(d, l)
	if err != nil {
		return err
	}
	density, err := breakdown.RelativeDensity(d.Room.AirTemperature, d.Room.AirPressure)
	if err != nil {
		return err
	}
	var bands []breakdown.Band
	add := func(name string, gradient, curvature float64) error {
		onset, err := breakdown.Onset(gradient, curvature, density)
		if err != nil {
			return err
		}
		bands = append(bands, onset)
		r.Places = append(r.Places, Place{
			Name: name, SurfaceGradientPerVolt: known(gradient),
			CoronaOnset: known(onset.Middle), CoronaOnsetLow: known(onset.Low), CoronaOnsetHigh: known(onset.High),
		})
		return nil
	}
	last, err := s.airCache.end.Gradient(completed(c), m)
	if err != nil {
		return err
	}
	r.SurfaceGradientPerVolt = known(last)
	if c.Top != nil {
		isolated, err := s.isolatedGradient(l.top)
		if err != nil {
			return err
		}
		inPlace := inPlaceGradient(c.Top, m.TopAmplitude, isolated)
		r.SurfaceGradientPerVolt, r.IsolatedGradientPerVolt = known(inPlace), known(isolated)
		if err := add(PlaceTopLoad, inPlace, c.Top.Curvature); err != nil {
			return err
		}
	}
	if err := add(PlaceLastTurn, last, l.secondary.wire.bare/2); err != nil {
		return err
	}
	sort.SliceStable(r.Places, func(i, j int) bool { return *r.Places[i].CoronaOnset < *r.Places[j].CoronaOnset })
	first := bands[0]
	for _, b := range bands {
		first = breakdown.Band{Low: math.Min(first.Low, b.Low), Middle: math.Min(first.Middle, b.Middle), High: math.Min(first.High, b.High)}
	}
	r.CoronaOnset, r.CoronaOnsetLow, r.CoronaOnsetHigh = known(first.Middle), known(first.Low), known(first.High)
	report.Cautions = append(report.Cautions, airCaution)
	return nil
}

// completed returns the coil with its last turn completed, as the profile of a
// fractional one is.
func completed(c *resonance.Coil) *resonance.Coil {
	whole := *c
	whole.Winding.Turns = math.Ceil(c.Winding.Turns - slack)
	whole.TopHeight += whole.Winding.Top() - c.Winding.Top()
	return &whole
}

// inPlaceGradient returns the largest surface gradient in 1/m of a body with the
// given amplitudes per volt. isolated is what it is alone: the body's own points
// may lie beside the peak, by the same part in place and alone.
func inPlaceGradient(b *topload.Body, amplitude []float64, isolated float64) float64 {
	alone := make([]float64, b.Modes())
	alone[0] = b.Capacitance()
	unscaled, _ := b.PeakGradient(alone)
	gradient, _ := b.PeakGradient(amplitude)
	return gradient * isolated / unscaled
}

// isolatedGradient returns the largest surface gradient in 1/m of a body alone in
// free space: the wire ring turn by turn within 0.25 %, torus and sphere exactly, a disc
// with a rim by boundary elements.
func (s *Solver) isolatedGradient(b topBody) (float64, error) {
	switch b.kind {
	case WireRing:
		return s.airCache.ringGradient(b.ring)
	case Torus:
		return electrostatics.Torus{Radius: b.inner, Tube: b.radius}.PeakGradient()
	case Sphere:
		return 1 / b.radius, nil
	}
	if err := s.resonator.bodyOf(b); err != nil {
		return 0, err
	}
	alone := make([]float64, s.resonator.top.Modes())
	alone[0] = s.resonator.top.Capacitance()
	gradient, _ := s.resonator.top.PeakGradient(alone)
	return gradient, nil
}

// ringGradient solves a ring once as long as it stays the same.
func (a *airCache) ringGradient(ring topload.Ring) (float64, error) {
	if a.ringOf == ring {
		return a.ring, nil
	}
	a.rings.Resolution = topload.Fine
	solution, err := a.rings.Solve(ring)
	if err != nil {
		return 0, err
	}
	a.ringOf, a.ring = ring, solution.PeakGradient
	return a.ring, nil
}

// airCaution is what every onset is to be read with.
var airCaution = Caution{Code: "corona_onset", Text: "The voltages at which metal begins to glow rest on Peek's law for clean, smooth metal: the constants of wires were read in texts that quote it, those of spheres and the loss at radio frequency are from memory or estimates, hence the range. " +
	"Dust, damp, wire ends, solder spikes and the lead to the top load, none of which is looked at here, glow much earlier. " +
	"Glowing metal makes ozone, and a voltage below the range can still burn: keep hands, implants and electronics away, and follow local rules."}
