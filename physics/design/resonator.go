package design

import (
	"context"

	"coilwright/physics/breakdown"
	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
)

// resonator solves layouts as coils of package resonance. It keeps what one
// design shares with the next: the bodies here, the matrices in the solver.
type resonator struct {
	solver resonance.Solver
	rings  topload.RingSolver

	top     topload.Body
	topOf   topBody // whose body top is; the zero value: nobody's
	board   topload.Body
	boardOf float64 // m, diameter of the board that board is the body of

	lastOf modesKey
	last   *resonance.Modes // nil: none yet

	fillingOf modesKey
	filling   *resonance.Filling // nil: none yet
}

// modesKey is all that the modes depend on.
type modesKey struct {
	layout layout
	room   Room
	closed bool
}

// coil returns the layout as resonance takes it. It shares memory with r and
// holds until the next call.
func (r *resonator) coil(d *Design, l *layout) (*resonance.Coil, error) {
	s := l.secondary
	c := &resonance.Coil{
		Winding: resonance.Winding{
			Radius: s.diameter / 2, WireRadius: s.wire.bare / 2, Pitch: s.pitch,
			Turns: s.turns, Base: s.bottom + s.pitch/2, Insulation: s.insulation,
		},
		Former:  l.former(d),
		Primary: l.primary.woundLoops(),
	}
	switch plane := 0.0; d.Room.Ground {
	case Floor:
		plane = -d.Room.FloorDepth
		c.Room.Floor = &plane
	case MetalPlane:
		c.Room.Floor, c.Room.Metal = &plane, true
	}
	if d.Room.CeilingHeight > 0 {
		c.Room.Ceiling = &d.Room.CeilingHeight
	}
	if l.top.kind != NoTopLoad {
		if err := r.bodyOf(l.top); err != nil {
			return nil, err
		}
		c.Top, c.TopHeight = &r.top, l.top.centre
		c.Shorted = l.top.shortedLoops(d.TopLoad.Closed)
		if err := l.onTop(c); err != nil {
			return nil, err
		}
	}
	if d.Room.Foot == Circuit {
		if r.boardOf != d.Room.CircuitDiameter {
			r.boardOf = 0
			if err := topload.DiscBody(&r.board, d.Room.CircuitDiameter/2, 0); err != nil {
				return nil, err
			}
			r.boardOf = d.Room.CircuitDiameter
		}
		c.Board = &resonance.Board{Body: &r.board, EarthCapacitance: d.Room.EarthCapacitance}
	}
	return c, nil
}

// onTop adds what hangs on the top load: the lead up to it and the rod on it.
func (l *layout) onTop(c *resonance.Coil) error {
	if l.lead.place != "" {
		radius, bottom, length := l.leadSpan()
		like, err := breakdown.SleevedRadius(l.lead.wire.bare/2, l.lead.surface)
		if err != nil {
			return err
		}
		if length > 0 {
			c.TopLead = &resonance.Lead{Radius: radius, Bottom: bottom, Length: length, WireRadius: like}
			if l.lead.place == OnAxis {
				c.TopLead.Radius = like
			}
		}
	}
	if l.rod.length > 0 {
		c.Rod = &resonance.Lead{Radius: l.rod.radius, Bottom: l.rodFoot(), Length: l.rod.length, WireRadius: l.rod.radius}
	}
	return nil
}

// bodyOf makes r.top the body of b.
func (r *resonator) bodyOf(b topBody) error {
	b = b.alone()
	if r.topOf == b {
		return nil
	}
	r.topOf = topBody{}
	var err error
	switch b.kind {
	case WireRing:
		_, err = r.rings.Body(&r.top, b.ring)
	case Torus:
		err = topload.TorusBody(&r.top, electrostatics.Torus{Radius: b.inner, Tube: b.radius})
	case Sphere:
		err = topload.SphereBody(&r.top, b.radius)
	case Disc:
		err = topload.DiscBody(&r.top, b.outer+b.radius, 2*b.radius)
	}
	if err == nil {
		r.topOf = b
	}
	return err
}

// capacitance returns the capacitance in F of a body alone in free space: the
// wire ring turn by turn, torus, sphere and flat disc exactly, a disc with a
// rim by boundary elements.
func (r *resonator) capacitance(b topBody) (float64, error) {
	switch {
	case b.kind == WireRing && r.topOf != b.alone(): // else its body says the same
		return r.rings.Capacitance(b.ring)
	case b.kind == Torus:
		return electrostatics.Torus{Radius: b.inner, Tube: b.radius}.Capacitance()
	case b.kind == Sphere:
		return electrostatics.SphereCapacitance(b.radius)
	case b.radius == 0:
		return electrostatics.DiscCapacitance(b.outer)
	}
	if err := r.bodyOf(b); err != nil {
		return 0, err
	}
	return r.top.Capacitance(), nil
}

// alone returns the body without what does not change its field in free space,
// for comparing two.
func (b topBody) alone() topBody {
	b.centre = 0
	b.wire = conductor{}
	return b
}

// shortedLoops returns where currents can close round the axis, heights over
// the centre plane: on an unbroken body, or round the soldered hub of a wire
// ring, whose innermost wires and solder stand for a loop of the wire's section.
func (b topBody) shortedLoops(closed bool) []inductance.Loop {
	switch {
	case b.kind == WireRing:
		return resonance.ShortedHub((b.ring.HubDiameter+b.ring.WireDiameter)/2, b.ring.WireDiameter/2)
	case !closed || b.kind == NoTopLoad:
		return nil
	case b.kind == Torus:
		return resonance.ShortedTorus(b.inner, b.radius)
	case b.kind == Sphere:
		return resonance.ShortedSphere(b.radius)
	}
	return resonance.ShortedDisc(b.outer+b.radius, 2*b.radius)
}

// footMutual returns the mutual inductance in H of the turns in use of a tapped
// primary and the first mode, per ampere at the foot.
func footMutual(m *resonance.Modes, l *layout, metal bool) float64 {
	turns := l.primary.loops()
	var mirrored []inductance.Loop
	if metal {
		mirrored = inductance.Mirror(turns, 0)
	}
	radius := l.secondary.diameter / 2
	var sum float64
	for i, height := range m.Profile.Height {
		var flux float64
		for j, turn := range turns {
			flux += turn.Weight * inductance.MutualLoopsUnchecked(turn.Radius, radius, turn.Height-height)
			if metal {
				flux -= turn.Weight * inductance.MutualLoopsUnchecked(turn.Radius, radius, mirrored[j].Height-height)
			}
		}
		sum += m.Profile.Weight[i] * m.Profile.Current[i] * flux
	}
	return sum / m.FootCurrent
}

// modes solves the whole coil, once for a design that is asked about again.
func (r *resonator) modes(ctx context.Context, d *Design, l *layout) (*resonance.Modes, error) {
	key := modesKey{*l, d.Room, d.TopLoad.Closed}
	if r.last != nil && r.lastOf == key {
		return r.last, nil
	}
	c, err := r.coil(d, l)
	if err != nil {
		return nil, err
	}
	m, err := r.solver.Solve(ctx, c)
	if err != nil {
		return nil, err
	}
	r.lastOf, r.last = key, m
	return m, nil
}
