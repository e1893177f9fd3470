package plotting

import (
	"math"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
)

// SectionFrame is where a coil stands in its drawing: for the pointer, which
// counts from the top left corner in points (logical pixels on a screen).
type SectionFrame struct {
	Scale   vg.Length // points to the metre
	AxisX   vg.Length // of the coil's axis
	GroundY vg.Length // of z = 0, downwards

	page     vg.Rectangle
	geometry design.Geometry
}

// on returns the frame on a page that reaches higher.
func (f SectionFrame) on(page vg.Rectangle) SectionFrame {
	f.GroundY += page.Max.Y - f.page.Max.Y
	f.page = page
	return f
}

// Place returns where a radius, negative on the left, and a height stand.
func (f SectionFrame) Place(r, z float64) (x, y vg.Length) {
	return f.AxisX + vg.Length(r)*f.Scale, f.GroundY - vg.Length(z)*f.Scale
}

// At returns the radius, negative on the left, and the height at a place.
func (f SectionFrame) At(x, y vg.Length) (r, z float64) {
	return float64((x - f.AxisX) / f.Scale), float64((f.GroundY - y) / f.Scale)
}

// Part is a part of the coil.
type Part int

// Parts of a coil.
const (
	NoPart Part = iota
	TopLoadPart
	HubPart
	WindingPart
	PrimaryPart
	FormerPart
	BenchPart
)

// touch is how far from a thin part the pointer may be and still mean it.
const touch = 4 // points

// Part returns the part at a place, the frontmost if several.
func (f SectionFrame) Part(x, y vg.Length) Part {
	r, z := f.At(x, y)
	r = math.Abs(r)
	slack := float64(touch / f.Scale)
	g := f.geometry
	for _, at := range g.Primary.Places {
		if math.Hypot(r-at.R, z-at.Z) <= g.Primary.WireDiameter/2+slack {
			return PrimaryPart
		}
	}
	if t := g.TopLoad; t.Kind != design.NoTopLoad {
		if t.Kind == design.WireRing && r <= t.HubRadius && math.Abs(z-t.Centre) <= hubHalfHeight(t)+slack {
			return HubPart
		}
		// What lies behind the section, between the two cuts, belongs to it too.
		if outside := math.Hypot(math.Max(0, r-t.Outer), z-t.Centre); outside <= t.TubeRadius+slack {
			return TopLoadPart
		}
	}
	switch {
	case r <= g.Winding.OuterRadius()+slack && z >= g.Winding.Bottom && z <= g.Winding.Top:
		return WindingPart
	case r <= g.Former.Outer+slack && z >= g.Former.Bottom && z <= g.Former.Top:
		return FormerPart
	case math.Abs(z) <= slack:
		return BenchPart
	}
	return NoPart
}
