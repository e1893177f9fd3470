package design

import (
	"coilwright/physics/sentence"
	"coilwright/physics/wire"
)

// closePitch is the pitch over the overall diameter up to which a winding is
// taken for wound turn against turn.
const closePitch = 1.1

// cautions returns what a maker should know about a design that can be built,
// apart from what its results rest on.
func cautions(d *Design, l *layout) []Caution {
	var all []Caution
	say := func(code, key string, text sentence.Text) {
		all = append(all, Caution{Code: code, Key: key, Text: text})
	}
	for _, part := range []struct {
		key   string
		wire  conductor
		there bool
	}{
		{"secondary.wire", l.secondary.wire, true},
		{"top_load.wire", l.top.wire, l.top.kind == WireRing},
		{"primary.wire", l.primary.wire, l.primary.kind != NoPrimary},
	} {
		if part.there && part.wire.status == wire.Interpolated {
			say("enamel_interpolated", part.key+".gauge", sentence.New("No table states the insulation of %s: its overall diameter, %s, lies between its neighbours'. A measured one is better.",
				part.wire.name, sentence.Length(part.wire.overall)))
		}
	}
	s := l.secondary
	if s.permittivity > mostPermittivity {
		say("former_permittivity", "secondary.former_relative_permittivity", sentence.New("The former is solved with a permittivity of %d, the most that the method bears; with %.3g the coil rings lower than it says.", mostPermittivity, s.permittivity))
	}
	if s.permittivity > 1 && d.Secondary.Wire.Insulation != Bare && d.Secondary.EnamelRelativePermittivity == 0 {
		say("enamel_left_out", "secondary.enamel_relative_permittivity", sentence.New("The permittivity of the former is in the frequency, that of the wire's enamel is not: close wound, the coil rings a little lower."))
	}
	if d.Secondary.Wire.Insulation == Bare && s.pitch < closePitch*s.wire.bare {
		say("bare_close_wound", "secondary.wire.insulation", sentence.New("The secondary is wound close with bare wire: where neighbouring turns touch they are shorted."))
	}
	if l.top.kind == WireRing && l.top.wire.overall > l.top.wire.bare*(1+slack) {
		say("insulated_ring", "top_load.wire.insulation", sentence.New("The ring is laid out with the bare wire: insulation takes more room at the hub, and must come off where the ring is soldered."))
	}
	if d.Room.Ground != Floor && d.Room.FloorDepth > 0 {
		say("floor_depth_unused", "room.floor_depth_m", sentence.New("The depth counts only with a floor; the ground here is %q.", d.Room.Ground))
	}
	if d.Room.Foot == Circuit && (d.Room.Ground == MetalPlane || d.Room.Ground == Floor && d.Room.FloorDepth == 0) {
		say("board_on_plane", "room.circuit_diameter_m", sentence.New("The board lies on the earthed plane, so that it is as good as earthed. On a wooden table the plane is the floor, 0.75 m down."))
	}
	return all
}
