package design

import (
	"errors"
	"fmt"
	"math"
)

// ErrGeometry says that a design has no shape that could be drawn.
var ErrGeometry = errors.New("design: no shape")

// Geometry is where the parts of a coil stand, for drawings: radii in m from
// the coil's axis, heights in m over z = 0. Nothing in it is computed beyond
// the definitions of the design file.
type Geometry struct {
	Former  Tube
	Winding Winding
	TopLoad Body
	Primary Turns
	Room    Surroundings
	Lead    Bar // from winding to top load, where the design states it
	Rod     Bar // that stands on the top load, if one does
}

// Bar is a straight round piece along the axis; the zero Bar is none.
type Bar struct {
	At          float64 // m, from the axis
	Bottom, Top float64 // m
	Radius      float64 // m
}

// Tube is the former of the secondary.
type Tube struct {
	Inner, Outer float64 // m, radii; Inner 0: a solid rod
	Bottom, Top  float64 // m
}

// Winding is the secondary.
type Winding struct {
	Radius          float64 // m, of the centreline
	Bottom, Top     float64 // m, of the stretch that turns times pitch takes
	Turns           float64
	Pitch           float64 // m
	BareDiameter    float64 // m
	OverallDiameter float64 // m
}

// OuterRadius is the radius in m over the wire.
func (w Winding) OuterRadius() float64 { return w.Radius + w.OverallDiameter/2 }

// Body is the top load: a body of revolution, which is everything within
// TubeRadius of the flat ring from InnerRadius to OuterRadius at height Centre,
// or a ring of wire turns that fills the torus so described.
type Body struct {
	Kind       string  // NoTopLoad: the rest is zero
	Centre     float64 // m, height of the centre plane
	Inner      float64 // m, radius of the flat ring's inner edge
	Outer      float64 // m, radius of its outer edge
	TubeRadius float64 // m

	// Wire ring only: circles of TurnRadius in meridian planes, their centres
	// at Outer.
	Turns        int
	TurnRadius   float64 // m, of a turn's centreline
	WireDiameter float64 // m
	HubRadius    float64 // m
}

// OuterRadius is the radius in m over everything.
func (b Body) OuterRadius() float64 { return b.Outer + b.TubeRadius }

// Bottom and Top are the heights in m of the body's lowest and highest point.
func (b Body) Bottom() float64 { return b.Centre - b.TubeRadius }
func (b Body) Top() float64    { return b.Centre + b.TubeRadius }

// Turns is a winding of few turns, each at its own place.
type Turns struct {
	Places       []Spot  // of the wire's centre on one side, from the first turn on
	InUse        float64 // turns, counted from the first
	WireDiameter float64 // m, over the insulation
}

// Spot is a point of the half plane through the axis.
type Spot struct {
	R, Z float64 // m
}

// Surroundings are the planes round the coil.
type Surroundings struct {
	Ground        string
	FloorDepth    float64 // m, of the earthed plane below z = 0
	Ceiling       float64 // m over z = 0; 0: none
	CircuitRadius float64 // m, of the board the foot returns to; 0: the foot is earthed
}

// formerEnd is how far the former reaches beyond the winding at both ends, where
// nothing is in its way.
const formerEnd = 0.010 // m

// Geometry returns where the parts of the design stand.
//
// The error is [Problems] if a wire is unknown, and wraps [ErrGeometry] if a
// length that the drawing needs is not a positive finite number.
func (d Design) Geometry() (Geometry, error) {
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return Geometry{}, problems
	}
	s := l.secondary
	g := Geometry{
		Former: Tube{
			Inner: s.bore, Outer: d.Secondary.FormerDiameter / 2,
			Bottom: math.Max(0, s.bottom-formerEnd), Top: s.topEdge() + formerEnd,
		},
		Winding: Winding{
			Radius: s.diameter / 2, Bottom: s.bottom, Top: s.topEdge(), Turns: s.turns, Pitch: s.pitch,
			BareDiameter: s.wire.bare, OverallDiameter: s.wire.overall,
		},
		Room: Surroundings{Ground: d.Room.Ground, Ceiling: d.Room.CeilingHeight},
	}
	if f := l.former(&d); f != nil { // as it is solved
		g.Former.Bottom, g.Former.Top = f.Bottom, f.Top
	}
	if d.Room.Ground == Floor {
		g.Room.FloorDepth = d.Room.FloorDepth
	}
	if d.Room.Foot == Circuit {
		g.Room.CircuitRadius = d.Room.CircuitDiameter / 2
	}
	if t := l.top; t.kind != NoTopLoad {
		g.TopLoad = Body{Kind: t.kind, Centre: t.centre, Inner: t.inner, Outer: t.outer, TubeRadius: t.radius}
		if t.kind == WireRing {
			g.TopLoad.Turns, g.TopLoad.TurnRadius = t.ring.Turns, t.ring.TurnRadius()
			g.TopLoad.WireDiameter, g.TopLoad.HubRadius = t.ring.WireDiameter, t.ring.HubDiameter/2
		}
		if l.rod.length > 0 {
			g.Rod = Bar{Bottom: l.rodFoot(), Top: l.rodFoot() + l.rod.length, Radius: l.rod.radius}
		}
		if at, bottom, length := l.leadSpan(); l.lead.place != "" && length > 0 {
			g.Lead = Bar{Bottom: bottom, Top: bottom + length, Radius: l.lead.surface}
			if l.lead.place == Outside {
				g.Lead.At = at
			}
		}
	} else {
		g.TopLoad.Kind = NoTopLoad
	}
	if p := l.primary; p.kind != NoPrimary {
		g.Primary = Turns{InUse: p.turns, WireDiameter: p.wire.overall}
		for turn := 0.0; turn < p.wound; turn++ {
			r, z := p.at(turn)
			g.Primary.Places = append(g.Primary.Places, Spot{r, z})
		}
	}
	return g, g.check()
}

// check refuses a geometry that no drawing could show.
func (g Geometry) check() error {
	for _, n := range []struct {
		name     string
		value    float64
		positive bool
	}{
		{"former radius", g.Former.Outer, true},
		{"winding radius", g.Winding.Radius, true},
		{"winding height", g.Winding.Top - g.Winding.Bottom, true},
		{"turns", g.Winding.Turns, true},
		{"pitch", g.Winding.Pitch, true},
		{"wire diameter", g.Winding.OverallDiameter, true},
		{"winding foot", g.Winding.Bottom, false},
		{"top load height", g.TopLoad.Centre, false},
		{"top load size", g.TopLoad.OuterRadius(), false},
		{"top load thickness", g.TopLoad.TubeRadius, false},
		{"hub radius", g.TopLoad.HubRadius, false},
		{"floor depth", g.Room.FloorDepth, false},
		{"ceiling height", g.Room.Ceiling, false},
		{"board radius", g.Room.CircuitRadius, false},
		{"lead", g.Lead.At + g.Lead.Bottom + g.Lead.Top + g.Lead.Radius, false},
		{"breakout point", g.Rod.Bottom + g.Rod.Top + g.Rod.Radius, false},
	} {
		if math.IsNaN(n.value) || math.IsInf(n.value, 0) || n.positive && n.value <= 0 {
			return fmt.Errorf("%w: %s is %g", ErrGeometry, n.name, n.value)
		}
	}
	for i, at := range g.Primary.Places {
		if math.IsNaN(at.R+at.Z) || math.IsInf(at.R+at.Z, 0) {
			return fmt.Errorf("%w: turn %d of the primary is at %g, %g m", ErrGeometry, i+1, at.R, at.Z)
		}
	}
	return nil
}
