package design

import (
	"cmp"
	"context"
	"math"
	"slices"

	"coilwright/physics/breakdown"
	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/topload"
)

// airCache is what the air's numbers share from one design to the next.
type airCache struct {
	end breakdown.EndWire

	rings  topload.RingSolver
	ringOf topload.Ring // whose gradient ring is; the zero value: nobody's
	ring   float64      // 1/m
}

// airy is a solved coil on the way to its numbers about the air.
type airy struct {
	d       *Design
	l       *layout
	coil    *resonance.Coil // with its last turn completed
	modes   *resonance.Modes
	field   *resonance.Field
	density float64 // of the air, relative
	top     float64 // V, of the top against earth, per volt from foot to top
}

// airOf solves d for its field.
func (s *Solver) airOf(ctx context.Context, d *Design, l *layout) (*airy, error) {
	m, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return nil, err
	}
	c, err := s.resonator.coil(d, l)
	if err != nil {
		return nil, err
	}
	a := &airy{d: d, l: l, coil: completed(c), modes: m, top: 1 - m.CircuitRatio}
	if a.density, err = breakdown.RelativeDensity(d.Room.AirTemperature, d.Room.AirPressure); err != nil {
		return nil, err
	}
	a.field, err = resonance.NewField(a.coil, m)
	return a, err
}

// addAir puts into r where the air gives way first, and what the numbers rest on.
//
// The top load is looked at in place, the turns of winding and primary with their
// neighbours resolved as round wires; a lead, a breakout point and a wire end where the
// design states them.
func (s *Solver) addAir(ctx context.Context, d *Design, l *layout, report *Report) error {
	r := &report.Air
	if l.top.kind == Disc && l.top.radius == 0 {
		return nil // the field at its edge has no bound
	}
	a, err := s.airOf(ctx, d, l)
	if err != nil {
		return err
	}
	places, err := s.places(a, r)
	if err != nil {
		return err
	}
	slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(*a.CoronaOnset, *b.CoronaOnset) })
	r.Places = places
	r.CoronaOnset = places[0].CoronaOnset
	low, high := math.Inf(1), math.Inf(1)
	for _, p := range places {
		low, high = math.Min(low, *p.CoronaOnsetLow), math.Min(high, *p.CoronaOnsetHigh)
	}
	r.CoronaOnsetLow, r.CoronaOnsetHigh = known(low), known(high)
	if err := a.addGaps(r); err != nil {
		return err
	}
	report.Cautions = append(report.Cautions, gapCautions(r, 0)...)
	report.Cautions = append(report.Cautions, airCaution)
	f := a.exported()
	return f.addSparks(r, *r.CoronaOnset)
}

// places returns the spots of the coil that may glow, and puts the gradients of the
// top load into r.
func (s *Solver) places(a *airy, r *AirReport) ([]Place, error) {
	var all []Place
	add := func(name PlaceName, gradient, curvature float64, at Spot, rests sentence.Text) error {
		if !(gradient > 0) {
			return nil // no such part, or nothing on it
		}
		onset, err := breakdown.Onset(gradient, curvature, a.density)
		if err != nil {
			return err
		}
		all = append(all, Place{
			Name: name, SurfaceGradientPerVolt: known(gradient),
			CoronaOnset: known(onset.Middle), CoronaOnsetLow: known(onset.Low), CoronaOnsetHigh: known(onset.High),
			Curvature: known(curvature), Radius: known(at.R), Height: known(at.Z), RestsOn: rests,
		})
		return nil
	}
	w := a.coil.Winding
	last, err := s.airCache.end.Gradient(a.coil, a.modes)
	if err != nil {
		return nil, err
	}
	first, err := s.airCache.end.First(a.coil, a.modes)
	if err != nil {
		return nil, err
	}
	r.SurfaceGradientPerVolt = known(last)
	if a.coil.Top != nil {
		if err := s.placesOnTop(a, r, add); err != nil {
			return nil, err
		}
	}
	edge := w.Radius + w.WireRadius
	if err := add(PlaceLastTurn, last, w.WireRadius, Spot{edge, w.Base + (w.Turns-1)*w.Pitch}, restsOnWires); err != nil {
		return nil, err
	}
	if err := add(PlaceFirstTurn, first, w.WireRadius, Spot{edge, w.Base}, restsOnWires); err != nil {
		return nil, err
	}
	if len(a.coil.Primary) == 0 {
		return all, nil
	}
	primary, turn, err := breakdown.Primary(a.coil, a.modes, a.field)
	if err != nil {
		return nil, err
	}
	loop := a.coil.Primary[turn]
	return all, add(PlacePrimary, primary, loop.WireRadius, Spot{loop.Radius - loop.WireRadius, loop.Height}, restsOnWires)
}

// placesOnTop adds the top load and what hangs on it.
func (s *Solver) placesOnTop(a *airy, r *AirReport, add func(PlaceName, float64, float64, Spot, sentence.Text) error) error {
	isolated, err := s.isolatedGradient(a.l.top)
	if err != nil {
		return err
	}
	inPlace, point := inPlaceGradient(a.coil.Top, a.modes.TopAmplitude, isolated)
	r.SurfaceGradientPerVolt, r.IsolatedGradientPerVolt = known(inPlace), known(isolated)
	crest := Spot{a.coil.Top.PointRadius[point], a.l.top.centre + a.coil.Top.PointHeight[point]}
	rests := restsOnWires
	if a.l.top.kind != WireRing {
		rests = restsOnTube
	}
	if err := add(PlaceTopLoad, inPlace, a.coil.Top.Curvature, crest, rests); err != nil {
		return err
	}
	if t := a.d.TopLoad.Tip; t != (Tip{}) {
		g, err := breakdown.Tip(inPlace, a.coil.Top.Curvature, t.Length, t.Radius)
		if err != nil {
			return err
		}
		if err := add(PlaceTip, g, t.Radius, crest, restsOnTip); err != nil {
			return err
		}
	}
	if lead := a.coil.TopLead; lead != nil {
		g, height, err := breakdown.Lead(a.coil, a.field, a.top, a.l.lead.surface)
		if err != nil {
			return err
		}
		radius, _, _ := a.l.leadSpan()
		if a.l.lead.place == OnAxis {
			radius = 0
		}
		if err := add(PlaceLead, g, a.l.lead.surface, Spot{radius + a.l.lead.surface, height}, restsOnWires); err != nil {
			return err
		}
	}
	if rod := a.coil.Rod; rod != nil {
		g, err := breakdown.Rod(a.coil, a.field, a.top)
		if err != nil {
			return err
		}
		return add(PlaceBreakout, g, rod.WireRadius, Spot{0, rod.Bottom + rod.Length}, restsOnTube)
	}
	return nil
}

// What an onset rests on beside the solved gradient, with the standing of its
// constants.
var (
	restsOnWires = sentence.New("Peek's law for wires (read in texts that quote it); loss at radio frequency and bench-made surface: estimates")
	restsOnTube  = sentence.New("Peek's law for wires (read in texts that quote it) taken for a round body, its high end with constants of a sphere (from memory); loss at radio frequency and bench-made surface: estimates")
	restsOnTip   = sentence.New("half a spheroid on the surface (closed form) in a falling field (estimate); Peek's law for wires at the radius of its point, which overstates below 0.1 mm; loss at radio frequency: estimate")
)

// completed returns the coil with its last turn completed, as the profile of a
// fractional one is.
func completed(c *resonance.Coil) *resonance.Coil {
	whole := *c
	whole.Winding.Turns = math.Ceil(c.Winding.Turns - slack)
	rise := whole.Winding.Top() - c.Winding.Top()
	whole.TopHeight += rise
	for _, lead := range []**resonance.Lead{&whole.TopLead, &whole.Rod} {
		if *lead != nil {
			risen := **lead
			risen.Bottom += rise
			*lead = &risen
		}
	}
	return &whole
}

// inPlaceGradient returns the largest surface gradient in 1/m of a body with the
// given amplitudes per volt, and which of the body's points has it. isolated is
// what it is alone: the body's own points may lie beside the peak, by the same part in
// place and alone.
func inPlaceGradient(b *topload.Body, amplitude []float64, isolated float64) (gradient float64, point int) {
	alone := make([]float64, b.Modes())
	alone[0] = b.Capacitance()
	unscaled, _ := b.PeakGradient(alone)
	gradient, point = b.PeakGradient(amplitude)
	return gradient * isolated / unscaled, point
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
var airCaution = Caution{Code: "corona_onset", Text: sentence.New("The voltages at which metal begins to glow rest on Peek's law for clean, smooth metal: the constants of wires were read in texts that quote it, those of spheres and the loss at radio frequency are from memory or estimates, hence the range. " +
	"Dust, damp and whatever the design does not state, wire ends, solder spikes or the lead to the top load, glow much earlier. " +
	"Glowing metal makes ozone, and a voltage below the range can still burn: keep hands, implants and electronics away, and follow local rules.")}
