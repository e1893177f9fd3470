package design

import (
	"errors"
	"math"
	"testing"
)

// drawn is a coil with round numbers: bare wires, so that no table of
// insulation enters.
func drawn() Design {
	return Design{
		Secondary: Secondary{
			FormerDiameter: 0.025, FormerWall: 0.0015, FormerRelativePermittivity: 1,
			Turns: 100, Wire: Wire{Gauge: "0.50 mm", Insulation: Bare}, Pitch: 0.0006, BaseHeight: 0.018,
		},
		TopLoad: TopLoad{
			Kind: WireRing, Height: 0.014, Wire: Wire{Gauge: "1.60 mm", Insulation: Bare},
			FormerDiameter: 0.014, Turns: 19, HubDiameter: 0.010,
		},
		Primary: Primary{
			Kind: Cylinder, Turns: 3.5, TapTurns: 3, InnerDiameter: 0.046, Pitch: 0.004,
			Wire: Wire{Gauge: "1.20 mm", Insulation: Bare}, BaseHeight: 0.010,
		},
		Room: Room{Ground: Floor, FloorDepth: 0.75, Foot: Circuit, CircuitDiameter: 0.06},
	}
}

func TestGeometry(t *testing.T) {
	const source = "definitions of the design file"
	g, err := drawn().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name      string
		got, want float64 // m, unless a count
		why       string
	}{
		{"former outside", g.Former.Outer, 0.0125, "half the diameter"},
		{"former bore", g.Former.Inner, 0.0110, "less the wall"},
		{"winding radius", g.Winding.Radius, 0.01275, "former and half a wire"},
		{"winding outside", g.Winding.OuterRadius(), 0.0130, "former and a wire"},
		{"winding bottom", g.Winding.Bottom, 0.0177, "half a pitch under the lowest turn"},
		{"winding top", g.Winding.Top, 0.0777, "100 pitches higher"},
		{"former bottom", g.Former.Bottom, 0.0077, "10 mm lower than the winding"},
		{"former top", g.Former.Top, 0.0877, "10 mm higher than the winding"},
		{"ring centre", g.TopLoad.Centre, 0.0917, "14 mm over the winding's edge"},
		{"ring outside diameter", 2 * g.TopLoad.OuterRadius(), 0.0444, "hub + 2 former + 4 d"},
		{"ring radius", g.TopLoad.Outer, 0.0136, "hub/2 + d + former/2"},
		{"turn radius", g.TopLoad.TurnRadius, 0.0078, "(former + d)/2"},
		{"ring bottom", g.TopLoad.Bottom(), 0.0831, "centre less former/2 + d"},
		{"hub", g.TopLoad.HubRadius, 0.005, "half the diameter"},
		{"primary turns drawn", float64(len(g.Primary.Places)), 4, "3.5 turns end in a fourth"},
		{"primary turns in use", g.Primary.InUse, 3, "the tap"},
		{"second primary turn", g.Primary.Places[1].Z, 0.014, "one pitch higher"},
		{"second primary radius", g.Primary.Places[1].R, 0.023, "a cylinder keeps its radius"},
		{"board", g.Room.CircuitRadius, 0.03, "half the diameter"},
	} {
		if math.Abs(test.got-test.want) > 1e-12 {
			t.Errorf("%s = %g, want %g (%s: %s)", test.name, test.got, test.want, source, test.why)
		}
	}
}

func TestGeometryOfOtherBodies(t *testing.T) {
	const top = 0.0777 + 0.014 // m, height of the centre plane
	for _, test := range []struct {
		name                 string
		load                 TopLoad
		radius, bottom, high float64 // m
	}{
		{"torus", TopLoad{Kind: Torus, Height: 0.014, OuterDiameter: 0.12, TubeDiameter: 0.03}, 0.06, top - 0.015, top + 0.015},
		{"sphere", TopLoad{Kind: Sphere, Height: 0.014, Diameter: 0.05}, 0.025, top - 0.025, top + 0.025},
		{"disc", TopLoad{Kind: Disc, Height: 0.014, Diameter: 0.10, Thickness: 0.002}, 0.05, top - 0.001, top + 0.001},
	} {
		d := drawn()
		d.TopLoad = test.load
		g, err := d.Geometry()
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		b := g.TopLoad
		if math.Abs(b.OuterRadius()-test.radius)+math.Abs(b.Bottom()-test.bottom)+math.Abs(b.Top()-test.high) > 1e-12 {
			t.Errorf("%s: radius %g, from %g to %g m, want %g, %g, %g (definitions of the design file)",
				test.name, b.OuterRadius(), b.Bottom(), b.Top(), test.radius, test.bottom, test.high)
		}
	}
}

func TestGeometryRefuses(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*Design)
		want   func(error) bool
	}{
		{"no such gauge", func(d *Design) { d.Secondary.Wire.Gauge = "AWG 99" }, func(err error) bool {
			var p Problems
			return errors.As(err, &p)
		}},
		{"no turns", func(d *Design) { d.Secondary.Turns = 0 }, isGeometry},
		{"former is no number", func(d *Design) { d.Secondary.FormerDiameter = math.NaN() }, isGeometry},
		{"endless height", func(d *Design) { d.TopLoad.Height = math.Inf(1) }, isGeometry},
		{"primary is no number", func(d *Design) { d.Primary.InnerDiameter = math.NaN() }, isGeometry},
	} {
		d := drawn()
		test.change(&d)
		if _, err := d.Geometry(); err == nil || !test.want(err) {
			t.Errorf("%s: error %v, want one of its kind", test.name, err)
		}
	}
}

func isGeometry(err error) bool { return errors.Is(err, ErrGeometry) }
