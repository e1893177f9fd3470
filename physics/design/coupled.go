package design

import (
	"coilwright/physics/inductance"
)

// winding returns the secondary as rings of wire.
func (c coil) winding() inductance.Winding {
	return inductance.Winding{
		Turns: c.turns, Radius: c.diameter / 2, Pitch: c.pitch, WireRadius: c.wire.bare / 2,
		BaseHeight: c.bottom + c.pitch/2,
	}
}

// loops returns the turns of the primary that are in use.
func (p primaryCoil) loops() []inductance.Loop { return p.firstLoops(p.turns) }

// woundLoops returns all turns of the primary; nil without one.
func (p primaryCoil) woundLoops() []inductance.Loop {
	if p.kind == NoPrimary {
		return nil
	}
	return p.firstLoops(p.wound)
}

func (p primaryCoil) firstLoops(turns float64) []inductance.Loop {
	return inductance.Primary{
		Turns: turns, InnerRadius: p.diameter / 2, Pitch: p.pitch, Slant: p.slope,
		WireRadius: p.wire.bare / 2, BaseHeight: p.base,
	}.Loops()
}

// primaryReport returns the primary at low frequency, uniform currents, over
// the mirror of a metal plane if there is one.
func primaryReport(d *Design, l *layout) (PrimaryReport, error) {
	if l.primary.kind == NoPrimary {
		return PrimaryReport{}, nil
	}
	turns, winding := l.primary.loops(), l.secondary.winding()
	secondary := winding.Loops()
	own, err := inductance.Inductance(turns, inductance.Uniform)
	if err != nil {
		return PrimaryReport{}, err
	}
	mutual, err := inductance.MutualInductance(turns, secondary)
	if err != nil {
		return PrimaryReport{}, err
	}
	whole, err := winding.Inductance(inductance.Uniform)
	if err != nil {
		return PrimaryReport{}, err
	}
	if d.Room.Ground == MetalPlane {
		mirrored := inductance.Mirror(turns, 0)
		less, err := inductance.MutualInductance(turns, mirrored)
		if err != nil {
			return PrimaryReport{}, err
		}
		own -= less
		less, err = inductance.MutualInductance(secondary, mirrored)
		if err != nil {
			return PrimaryReport{}, err
		}
		mutual -= less
		whole -= winding.MirrorMutual(0)
	}
	return PrimaryReport{
		Inductance:       known(own),
		MutualInductance: known(mutual),
		Coupling:         known(inductance.Coupling(own, whole, mutual)),
	}, nil
}
