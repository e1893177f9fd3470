package design

import (
	"errors"
	"math"

	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/topload"
	"coilwright/physics/wire"
)

// layout is a design with its wires looked up and its lengths worked out, as
// everything that checks, computes or sweeps needs them. Heights are over
// z = 0.
type layout struct {
	secondary coil
	top       topBody
	primary   primaryCoil
	lead      leadWire
	rod       rod
}

// leadWire is the wire from winding to top load; the zero leadWire: none is stated.
type leadWire struct {
	place   string
	wire    conductor
	surface float64 // m, radius at which the air begins
}

// rod stands on the top load; the zero rod: none.
type rod struct {
	length, radius float64 // m
}

// leadSpan returns where the lead stands: its distance from the axis, its lower end and
// its length in m, which is not positive where the top load sits on or in the winding.
func (l *layout) leadSpan() (radius, bottom, length float64) {
	b, bottom := &l.top, l.secondary.topEdge()
	radius, reach := l.lead.wire.bare/2, 0.0 // on the axis
	if l.lead.place == Outside {
		radius, reach = l.secondary.diameter/2, l.secondary.diameter/2
	}
	// To the underside of what is there; in the hole of a ring or torus to its middle,
	// whatever holds it there.
	end := b.centre
	if across := max(b.inner-reach, reach-b.outer, 0); across < b.radius {
		end -= math.Sqrt(b.radius*b.radius - across*across)
	}
	return radius, bottom, end - bottom
}

// rodFoot returns the height in m of the rod's lower end.
func (l *layout) rodFoot() float64 {
	if l.top.inner > 0 {
		return l.top.centre
	}
	return l.top.topEdge()
}

// coil is the secondary.
type coil struct {
	wire     conductor
	diameter float64 // m, of the centreline
	pitch    float64 // m
	turns    float64
	bottom   float64 // m, half a pitch under the lowest turn's centre
	bore     float64 // m, inner radius of the former; 0: a solid rod

	permittivity float64 // of the former
	insulation   [2]resonance.Layer
}

func (c coil) height() float64  { return c.turns * c.pitch }                 // m, of the winding
func (c coil) topEdge() float64 { return c.bottom + c.height() }             // m
func (c coil) outer() float64   { return (c.diameter + c.wire.overall) / 2 } // m, outer radius
// length returns the length in m of the helix, without tails.
func (c coil) length() float64 { return wire.HelixLength(c.turns, c.diameter, c.pitch) }

// topBody is the top load as a body of revolution: what lies within radius of
// the flat ring from inner to outer at the height of its centre plane. A wire
// ring is the smooth torus round its wires.
type topBody struct {
	kind         string
	centre       float64 // m, height of the centre plane
	inner, outer float64 // m, of the flat ring
	radius       float64 // m
	wire         conductor
	ring         topload.Ring // wire ring only
}

// varied returns the dimension in m that the capacitance curve varies: the
// former or hub of a wire ring, the outer diameter of everything else.
func (b topBody) varied(vary SizeVariation) float64 {
	switch {
	case b.kind != WireRing:
		return b.outerDiameter()
	case vary == VaryHub:
		return b.ring.HubDiameter
	}
	return b.ring.FormerDiameter
}

// with returns the body with that dimension changed to x.
func (b topBody) with(vary SizeVariation, x float64) topBody {
	switch b.kind {
	case WireRing:
		if vary == VaryHub {
			b.ring.HubDiameter = x
		} else {
			b.ring.FormerDiameter = x
		}
		b.inner, b.radius = b.ring.SmoothRadii()
		b.outer = b.inner
	case Torus:
		b.inner = x/2 - b.radius
		b.outer = b.inner
	case Sphere:
		b.radius = x / 2
	case Disc:
		b.outer = x/2 - b.radius
	}
	return b
}

// leastDiameter returns the outer diameter in m below which a wire ring cannot
// be built while the dimension is varied; infinite if it cannot at all.
func (b topBody) leastDiameter(vary SizeVariation) float64 {
	least := b.ring
	least.FormerDiameter = leastFormer(least)
	if vary == VaryHub {
		if b.ring.FormerDiameter < least.FormerDiameter*(1-slack) {
			return math.Inf(1)
		}
		least.FormerDiameter = b.ring.FormerDiameter
		least.HubDiameter = b.ring.HubFor(b.ring.Turns)
	} else if b.ring.Turns > b.ring.MaxTurns() {
		return math.Inf(1)
	}
	return least.OuterDiameter()
}

// leastFormer returns the least former in m that the ring's wire bends round.
func leastFormer(ring topload.Ring) float64 {
	ring.FormerDiameter = math.SmallestNonzeroFloat64
	var unbuildable *topload.UnbuildableError
	if errors.As(ring.Check(""), &unbuildable) {
		return unbuildable.Nearest.FormerDiameter
	}
	return 0
}

func (b topBody) outerDiameter() float64 { return 2 * (b.outer + b.radius) }
func (b topBody) topEdge() float64       { return b.centre + b.radius }

// primaryCoil is the primary; turns is how many of it are in use.
type primaryCoil struct {
	kind     string
	wire     conductor
	pitch    float64 // m, along the slant
	wound    float64 // turns that are there
	turns    float64 // turns in use
	diameter float64 // m, centreline of the first turn
	base     float64 // m, centre of the first turn
	slope    float64 // rad, over the horizontal: 0 for a spiral, pi/2 for a cylinder
}

// at returns radius and height in m of the centreline after so many turns from
// the middle of the first.
func (p primaryCoil) at(turns float64) (r, z float64) {
	sin, cos := math.Sincos(p.slope)
	return p.diameter/2 + turns*p.pitch*cos, p.base + turns*p.pitch*sin
}

// layOut looks up the wires of d and works out its lengths. Wires that do not
// exist are the only problem it finds; d is otherwise taken as it is.
func layOut(d *Design) (layout, Problems) {
	var l layout
	var problems Problems
	look := func(key string, w Wire) conductor {
		c, err := lookUp(w)
		if err != nil {
			problems = append(problems, Problem{Code: CodeUnknownValue, Key: key, Text: sentence.Of(err)})
		}
		return c
	}
	s := &d.Secondary
	l.secondary = coil{wire: look("secondary.wire.gauge", s.Wire), turns: s.Turns}
	c := &l.secondary
	c.diameter = s.FormerDiameter + c.wire.overall
	c.pitch = pitchOf(s.Pitch, s.Packing, c.wire)
	c.bottom = s.BaseHeight - c.pitch/2
	c.permittivity, c.insulation = s.FormerRelativePermittivity, insulationOf(s, c.wire)
	if s.FormerWall > 0 || s.FormerRelativePermittivity == 1 {
		c.bore = s.FormerDiameter/2 - s.FormerWall
	}

	t := &d.TopLoad
	l.top = topBody{kind: t.Kind, centre: c.topEdge() + t.Height}
	b := &l.top
	switch t.Kind {
	case WireRing:
		b.wire = look("top_load.wire.gauge", t.Wire)
		// Insulation takes room at the hub but is no metal: the ring is laid
		// out with the bare wire, as the format has it.
		b.ring = topload.Ring{WireDiameter: b.wire.bare, FormerDiameter: t.FormerDiameter, HubDiameter: t.HubDiameter, Turns: t.Turns}
		b.inner, b.radius = b.ring.SmoothRadii()
		b.outer = b.inner
	case Torus:
		b.radius = t.TubeDiameter / 2
		b.inner = t.OuterDiameter/2 - b.radius
		b.outer = b.inner
	case Sphere:
		b.radius = t.Diameter / 2
	case Disc:
		b.radius = t.Thickness / 2
		b.outer = t.Diameter/2 - b.radius
	}

	if t.Kind != NoTopLoad {
		l.rod = rod{t.Breakout.Length, t.Breakout.TipRadius}
		if t.Lead.Place != "" {
			l.lead = leadWire{place: t.Lead.Place, wire: look("top_load.lead.wire.gauge", t.Lead.Wire)}
			l.lead.surface = l.lead.wire.overall/2 + t.Lead.Sleeve
		}
	}

	p := &d.Primary
	l.primary = primaryCoil{kind: p.Kind}
	if p.Kind == NoPrimary {
		return l, problems
	}
	q := &l.primary
	q.wire = look("primary.wire.gauge", p.Wire)
	q.pitch = pitchOf(p.Pitch, 0, q.wire)
	q.wound, q.turns = p.Turns, p.Turns
	if p.TapTurns > 0 {
		q.turns = p.TapTurns
	}
	q.diameter, q.base = p.InnerDiameter, p.BaseHeight
	switch p.Kind {
	case Cylinder:
		q.slope = math.Pi / 2
	case Cone:
		q.slope = p.ConeAngle * math.Pi / 180
	}
	return l, problems
}

// setTurns changes the turns of the secondary to those of d, which is the design
// laid out but for them.
func (l *layout) setTurns(d *Design) {
	l.secondary.turns = d.Secondary.Turns
	l.top.centre = l.secondary.topEdge() + d.TopLoad.Height
}

// pitchOf returns the pitch in m: the one stated or, for 0, that of a close
// winding.
func pitchOf(stated, packing float64, c conductor) float64 {
	if stated > 0 {
		return stated
	}
	return c.overall * packingOf(packing)
}

// packingOf returns the packing stated or, for 0, the usual one.
func packingOf(stated float64) float64 {
	if stated == 0 {
		return DefaultPacking
	}
	return stated
}
