package design

import (
	"context"
	"math"

	"coilwright/physics/resonance"
)

const (
	// mostPermittivity is the relative permittivity that a former is solved with at
	// most: so far its panels were compared with finer ones. Plastics, wood, paper, glass
	// lie below, steatite (6) and alumina (9.8) too; titanates do not. From memory.
	mostPermittivity = 20

	// usualVarnish is the relative permittivity of a varnish for which none is
	// stated; common practice, no source.
	usualVarnish = 3
)

// insulationOf returns the enamel of a wire and the varnish over it.
func insulationOf(s *Secondary, wire conductor) [2]resonance.Layer {
	var layers [2]resonance.Layer
	if enamel := (wire.overall - wire.bare) / 2; enamel > 0 && s.EnamelRelativePermittivity > 1 {
		layers[0] = resonance.Layer{Thickness: enamel, RelativePermittivity: s.EnamelRelativePermittivity}
	}
	if s.VarnishThickness > 0 {
		layers[1] = resonance.Layer{Thickness: s.VarnishThickness, RelativePermittivity: s.VarnishRelativePermittivity}
		if s.VarnishRelativePermittivity == 0 {
			layers[1].RelativePermittivity = usualVarnish
		}
		if enamel := (wire.overall - wire.bare) / 2; layers[0].Thickness == 0 && enamel > 0 {
			// The varnish lies on the enamel even where that is left out.
			layers[0] = resonance.Layer{Thickness: enamel, RelativePermittivity: 1}
		}
	}
	return layers
}

// former returns the secondary's tube or rod, or nil if it is like air. It is as long
// as the winding and sticks out formerEnd at both ends, but not below z = 0, no
// further than half way to what stands above or below it, and not at all where a lead
// climbs out of a solid rod.
func (l *layout) former(d *Design) *resonance.Former {
	s := &l.secondary
	if s.permittivity <= 1 {
		return nil
	}
	f := &resonance.Former{
		Inner: s.bore, Outer: d.Secondary.FormerDiameter / 2, RelativePermittivity: math.Min(s.permittivity, mostPermittivity),
		Bottom: math.Min(s.bottom, math.Max(0, s.bottom-formerEnd)), Top: s.topEdge() + formerEnd,
	}
	edge := s.topEdge()
	lower := func(to float64) { f.Top = math.Max(edge, math.Min(f.Top, to)) }
	raise := func(to float64) { f.Bottom = math.Min(s.bottom, math.Max(f.Bottom, to)) }
	if l.top.kind != NoTopLoad {
		lower((edge + l.top.centre - l.top.radius) / 2)
	}
	if l.lead.place != "" && (f.Inner == 0 || l.lead.place == Outside) {
		lower(edge)
	}
	if d.Room.CeilingHeight > 0 {
		lower((edge + d.Room.CeilingHeight) / 2)
	}
	if d.Room.Foot == Circuit {
		raise(s.bottom / 2) // the board lies at z = 0
	}
	for _, turn := range l.primary.woundLoops() {
		reach := turn.WireRadius
		if turn.Radius-reach < f.Outer && turn.Radius+reach > f.Inner {
			if turn.Height < s.bottom {
				raise((turn.Height + reach + s.bottom) / 2)
			} else if turn.Height > edge {
				lower((turn.Height - reach + edge) / 2)
			}
		}
	}
	return f
}

// fillings returns how much of the electric energy of the first mode lies in former,
// enamel and varnish.
func (r *resonator) fillings(ctx context.Context, d *Design, l *layout) (resonance.Filling, error) {
	m, err := r.modes(ctx, d, l)
	if err != nil {
		return resonance.Filling{}, err
	}
	if r.filling != nil && r.fillingOf == r.lastOf {
		return *r.filling, nil
	}
	c, err := r.coil(d, l)
	if err != nil {
		return resonance.Filling{}, err
	}
	f, err := r.solver.Filling(ctx, c, m.Frequency[0])
	if err != nil {
		return resonance.Filling{}, err
	}
	r.fillingOf, r.filling = r.lastOf, &f
	return f, nil
}

// dielectricLoss returns what former, enamel and varnish lose, as 1/Q: the part of the
// energy inside times the loss tangent.
func (r *resonator) dielectricLoss(ctx context.Context, d *Design, l *layout) (former, insulation float64, err error) {
	s := &d.Secondary
	if s.FormerLossTangent == 0 && s.EnamelLossTangent == 0 && s.VarnishLossTangent == 0 {
		return 0, 0, nil
	}
	f, err := r.fillings(ctx, d, l)
	return f.Former * s.FormerLossTangent, f.Insulation[0]*s.EnamelLossTangent + f.Insulation[1]*s.VarnishLossTangent, err
}
