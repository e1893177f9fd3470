package design

import (
	"context"
	"errors"
	"math"

	"coilwright/physics/loss"
	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/topload"
	"coilwright/physics/wire"
)

// What the metals of a coil other than its copper conduct, at room temperature.
const (
	brassConductivity     = 16e6 // S/m, hub and solder, 28 % of copper; common practice, no source
	aluminiumConductivity = 37e6 // S/m, unbroken bodies and the metal plane; common practice, no source
)

// lossCache is what the losses share from one design to the next.
type lossCache struct {
	solver  loss.Solver
	rings   topload.RingSolver
	ringOf  topload.Ring // solved by rings; the zero value: none
	current []float64    // A, of every turn
	sources []loss.RingCurrent

	open    resonance.Solver // coils without what shorts their flux
	of      modesKey
	celsius float64    // of the copper of last
	lossy   [3]float64 // loss tangents of former, enamel and varnish of last
	last    *dissipation
}

// dissipation is what the first mode of a coil loses. Each part of the loss is given as
// 1/Q, what the quality factor would be one over if nothing else lost anything: P/(ωW). They
// add up.
type dissipation struct {
	direct    float64 // copper of the winding, as it would be with direct current
	skin      float64 // what the skin effect adds to it
	proximity float64 // what the neighbouring turns add to it
	ring      float64 // wire of a ring
	shorted   float64 // hub or unbroken body
	plane     float64 // metal plane

	former     float64
	insulation float64 // of the wire: enamel and varnish

	resistance float64 // Ω, of winding and ring at the foot

	shortedShift float64 // what the shorted currents raise the frequency by, relative
	planeShift   float64 // what the currents on the metal plane do, relative
}

// total returns 1/Q.
func (p dissipation) total() float64 {
	return p.direct + p.skin + p.proximity + p.ring + p.shorted + p.plane + p.former + p.insulation
}

// addLosses puts into r what the coil loses and how well it rings. A coil whose losses
// cannot be told goes without, and its report says so.
func (s *Solver) addLosses(ctx context.Context, d *Design, l *layout, r *Report) error {
	p, err := s.losses(ctx, d, l)
	switch {
	case errors.Is(err, loss.ErrInput), errors.Is(err, loss.ErrNotSolved), errors.Is(err, topload.ErrShape):
		r.Cautions = append(r.Cautions, Caution{Code: "no_quality_factor", Text: sentence.New("What the coil loses cannot be told: %s.", sentence.Of(err))})
		return nil
	case err != nil:
		return err
	}
	total := p.total()
	at := &r.Losses
	at.QualityFactorComputed = known(1 / total)
	at.Direct, at.Skin, at.Proximity = known(p.direct/total), known(p.skin/total), known(p.proximity/total)
	if l.top.kind == WireRing {
		at.Ring = known(p.ring / total)
	}
	if l.top.shortedLoops(d.TopLoad.Closed) != nil {
		at.Shorted, at.ShortedShift = known(p.shorted/total), known(p.shortedShift)
	}
	if s := &d.Secondary; s.FormerLossTangent > 0 && s.FormerRelativePermittivity > 1 {
		at.Former = known(p.former / total)
	}
	if p.insulation > 0 {
		at.Insulation = known(p.insulation / total)
	}
	if d.Room.Ground == MetalPlane {
		at.Plane, at.PlaneShift = known(p.plane/total), known(p.planeShift)
	}
	r.Secondary.ResistanceAC = known(p.resistance)
	if r.Resonance.QualityFactor == nil {
		r.Resonance.QualityFactor = at.QualityFactorComputed
	}
	// The power that keeps it ringing is ωW/Q, and W = Ct V²/2.
	if q, f, c := r.Resonance.QualityFactor, r.Resonance.Frequency, r.Resonance.TopCapacitance; q != nil && f != nil && c != nil {
		at.TopVoltagePerRootWatt = known(math.Sqrt(*q / (math.Pi * *f * *c)))
	}
	r.Cautions = append(r.Cautions, lossCautions(l, at)...)
	r.Cautions = append(r.Cautions, measuredQualityCaution(at)...)
	return nil
}

// losses returns what the first mode of a coil loses. Whole numbers of turns are
// computed; between them every part goes evenly in the logarithm of the turns, as the
// modes do.
func (s *Solver) losses(ctx context.Context, d *Design, l *layout) (dissipation, error) {
	c, key := &s.loss, modesKey{*l, d.Room, d.TopLoad.Closed}
	lossy := [3]float64{d.Secondary.FormerLossTangent, d.Secondary.EnamelLossTangent, d.Secondary.VarnishLossTangent}
	if c.last != nil && c.of == key && c.celsius == d.Room.AirTemperature && c.lossy == lossy {
		return *c.last, nil
	}
	c.last = nil
	turns := l.secondary.turns
	whole := math.Floor(turns + slack)
	var out dissipation
	var err error
	if turns-whole < slack {
		out, err = s.wholeLosses(ctx, &s.resonator, d, l)
	} else {
		var ends [2]dissipation
		for i := range ends {
			near, at := *d, *l
			near.Secondary.Turns = whole + float64(i)
			at.setTurns(&near)
			if ends[i], err = s.wholeLosses(ctx, &s.band.resonator, &near, &at); err != nil {
				return dissipation{}, err
			}
		}
		out = ends[0].towards(ends[1], math.Log(turns/whole)/math.Log1p(1/whole))
	}
	if err == nil {
		err = s.addShifts(ctx, d, l, &out)
	}
	if err == nil {
		out.former, out.insulation, err = s.resonator.dielectricLoss(ctx, d, l)
	}
	if err != nil {
		return dissipation{}, err
	}
	c.of, c.celsius, c.lossy, c.last = key, d.Room.AirTemperature, lossy, &out
	return out, nil
}

// towards returns what lies the given share of the way from p to q.
func (p dissipation) towards(q dissipation, share float64) dissipation {
	even := func(a, b float64) float64 { return a + share*(b-a) }
	return dissipation{
		direct: even(p.direct, q.direct), skin: even(p.skin, q.skin), proximity: even(p.proximity, q.proximity),
		ring: even(p.ring, q.ring), shorted: even(p.shorted, q.shorted), plane: even(p.plane, q.plane),
		resistance: even(p.resistance, q.resistance),
	}
}

// wholeLosses returns the losses of a coil with a whole number of turns, whose modes
// the resonator given solves.
func (s *Solver) wholeLosses(ctx context.Context, by *resonator, d *Design, l *layout) (dissipation, error) {
	m, err := by.modes(ctx, d, l)
	if err != nil {
		return dissipation{}, err
	}
	coil, err := by.coil(d, l)
	if err != nil {
		return dissipation{}, err
	}
	c, f := &s.loss, m.Frequency[0]
	copper := 1 / wire.Resistivity(d.Room.AirTemperature)
	if c.current, err = loss.PerTurn(c.current, m.Profile.Turn, m.Profile.Current); err != nil {
		return dissipation{}, err
	}
	c.sources = c.sources[:0]
	for i, current := range m.Profile.Current {
		c.sources = append(c.sources, loss.RingCurrent{Radius: coil.Winding.Radius, Height: m.Profile.Height[i], Current: current * m.Profile.Weight[i]})
	}
	winding := loss.Winding{Radius: coil.Winding.Radius, WireRadius: coil.Winding.WireRadius, Pitch: coil.Winding.Pitch, Conductivity: copper}
	var mirror *float64
	if coil.Room.Metal {
		mirror = coil.Room.Floor
		winding.PlaneDistance = coil.Winding.Base - *mirror
	}
	turns, err := c.solver.Winding(winding, f, c.current)
	if err != nil {
		return dissipation{}, err
	}
	lone, err := loss.NewRoundWire(f, winding.WireRadius, copper)
	if err != nil {
		return dissipation{}, err
	}
	parts := loss.Parts{Winding: turns.Power}
	if l.top.kind == WireRing {
		if parts.Ring, err = c.ringLoss(coil, l.top.ring, m, copper, mirror); err != nil {
			return dissipation{}, err
		}
	}
	if parts.Shorted, err = c.shortedLoss(coil, l.top.kind, f, mirror); err != nil {
		return dissipation{}, err
	}
	if mirror != nil {
		if parts.Plane, err = loss.PlaneLoss(c.sources, *mirror, f, loss.Metal{Conductivity: aluminiumConductivity}); err != nil {
			return dissipation{}, err
		}
	}
	if _, err := loss.QualityFactor(f, m.Energy, parts); err != nil {
		return dissipation{}, err
	}
	reactive := 2 * math.Pi * f * m.Energy
	direct := turns.SkinOnly / lone.Ratio()
	return dissipation{
		direct: direct / reactive, skin: (turns.SkinOnly - direct) / reactive, proximity: (turns.Power - turns.SkinOnly) / reactive,
		ring: parts.Ring / reactive, shorted: parts.Shorted / reactive, plane: parts.Plane / reactive,
		resistance: parts.Resistance(m.FootCurrent),
	}, nil
}

// ringLoss returns the power in W that a wire ring on the coil loses in the first
// mode m: by its charging currents and by the field of the winding.
func (c *lossCache) ringLoss(coil *resonance.Coil, ring topload.Ring, m *resonance.Modes, conductivity float64, mirror *float64) (float64, error) {
	if c.ringOf != ring {
		c.ringOf = topload.Ring{}
		if _, err := c.rings.Solve(ring); err != nil {
			return 0, err
		}
		c.ringOf = ring
	}
	wires := loss.Ring{
		Radius: ring.Radius(), TurnRadius: ring.TurnRadius(), WireRadius: ring.WireDiameter / 2,
		Turns: ring.Turns, Height: coil.TopHeight, Conductivity: conductivity,
	}
	charge := 0.0
	for i, amplitude := range m.TopAmplitude {
		charge += coil.Top.Charge[i] * amplitude
	}
	charging, err := loss.RingChargingLoss(wires, charge, m.Frequency[0], c.rings.LineCharge)
	if err != nil {
		return 0, err
	}
	eddy, err := loss.RingEddyLoss(wires, c.sources, mirror, m.Frequency[0])
	return charging + eddy, err
}

// shortedLoss returns the power in W of the currents round the hub of a ring or round
// an unbroken body.
func (c *lossCache) shortedLoss(coil *resonance.Coil, kind string, frequency float64, mirror *float64) (float64, error) {
	if kind == WireRing {
		sum := 0.0
		for _, l := range coil.Shorted {
			hub := loss.ClosedLoop{Radius: l.Radius, Height: coil.TopHeight + l.Height, WireRadius: l.WireRadius, Conductivity: brassConductivity}
			out, err := loss.LoopLoss(hub, c.sources, mirror, frequency)
			if err != nil {
				return 0, err
			}
			sum += out.Power
		}
		return sum, nil
	}
	var strips []loss.Strip
	for _, l := range coil.Shorted {
		// A strip stands there as a wire of its width over 2π.
		strips = append(strips, loss.Strip{Radius: l.Radius, Height: coil.TopHeight + l.Height, Width: 2 * math.Pi * l.WireRadius})
	}
	out, err := loss.ShellLoss(strips, c.sources, mirror, frequency, loss.Metal{Conductivity: aluminiumConductivity})
	return out.Power, err
}

// addShifts puts into p what the currents in hub, body and plane do to the frequency,
// by solving the coil once more with each of them left out.
func (s *Solver) addShifts(ctx context.Context, d *Design, l *layout, p *dissipation) error {
	m, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return err
	}
	c, err := s.resonator.coil(d, l)
	if err != nil {
		return err
	}
	if len(c.Shorted) > 0 {
		slotted := *c
		slotted.Shorted = nil
		// The winding is the same, so that its matrices are kept.
		without, err := s.resonator.solver.Solve(ctx, &slotted)
		if err != nil {
			return err
		}
		p.shortedShift = m.Frequency[0]/without.Frequency[0] - 1
	}
	if c.Room.Metal {
		free := *c
		free.Room.Metal = false
		without, err := s.loss.open.Solve(ctx, &free)
		if err != nil {
			return err
		}
		p.planeShift = m.Frequency[0]/without.Frequency[0] - 1
	}
	return nil
}

// What a shorted turn has to do to be worth a caution.
const (
	shortedLossMatters  = 0.02  // of all losses
	shortedShiftMatters = 0.005 // of the frequency
)

// lossCautions returns what a maker should know about the losses.
func lossCautions(l *layout, r *LossReport) []Caution {
	var all []Caution
	say := func(code, key string, text sentence.Text) {
		all = append(all, Caution{Code: code, Key: key, Text: text})
	}
	say("quality_factor", "", sentence.New("The quality factor %.3g is the most that clean copper of this shape can have. "+
		"A damp former, varnish, joints, the bench and people near the coil are not in it and take more; a measured quality factor, once typed in, takes its place. "+
		"Hub and solder are taken as brass, unbroken bodies and a metal plane as thick aluminium; iron and steel cost several times as much.", *r.QualityFactorComputed))
	if r.Shorted != nil && (*r.Shorted > shortedLossMatters || math.Abs(*r.ShortedShift) > shortedShiftMatters) {
		what := sentence.New("The unbroken top load")
		if l.top.kind == WireRing {
			what = sentence.New("The soldered hub of the ring")
		}
		say("shorted_turn", "top_load.kind", sentence.New("%s is a shorted turn to the winding: it takes %.2g %% of the loss and changes the frequency by %+.2g %%.",
			what, 100**r.Shorted, 100**r.ShortedShift))
	}
	return all
}
