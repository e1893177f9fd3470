package design

import (
	"math"
	"testing"
)

// codes returns the codes and keys of what Check finds.
func found(d Design) map[string]string {
	out := map[string]string{}
	for _, p := range Check(d) {
		out[p.Code] = p.Key
	}
	return out
}

func TestCheckPassesTheDeskCoil(t *testing.T) {
	for _, d := range []Design{read(t, desk), read(t, smallest), New()} {
		if problems := Check(d); len(problems) > 0 {
			t.Errorf("Check(%s) = %v", d.Name, Problems(problems))
		}
	}
}

func TestCheckFinds(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*Design)
		code   string
		key    string
		text   string // empty: not compared
	}{
		{"too many turns for the hub", func(d *Design) { d.TopLoad.Turns = 23 }, CodeRingTurns, "top_load.turns",
			"23 turns of AWG 14 do not fit on a 10 mm hub: at most 22, or a hub of at least 10.4 mm"},
		{"too few turns for a ring", func(d *Design) { d.TopLoad.Turns = 2 }, CodeRingTurns, "top_load.turns", "2 turns make no ring: at least 3"},
		{"a former the wire does not bend round", func(d *Design) { d.TopLoad.FormerDiameter = 0.003 }, CodeRingFormer, "top_load.former_diameter_m", ""},
		{"a tube too thick for the torus", func(d *Design) {
			d.TopLoad = TopLoad{Kind: Torus, Height: 0.1, OuterDiameter: 0.06, TubeDiameter: 0.035}
		}, CodeTorusHole, "top_load.tube_diameter_m", ""},
		{"a disc thicker than wide", func(d *Design) {
			d.TopLoad = TopLoad{Kind: Disc, Height: 0.1, Diameter: 0.03, Thickness: 0.04}
		}, CodeDiscThickness, "top_load.thickness_m", ""},
		{"insulation thinner than the wire", func(d *Design) { d.Secondary.Wire.OverallDiameter = 1e-4 }, CodeInsulation, "secondary.wire.overall_diameter_m", ""},
		{"wires that overlap", func(d *Design) { d.Secondary.Pitch = 1e-4 }, CodePitch, "secondary.pitch_m", ""},
		{"primary wires that overlap", func(d *Design) { d.Primary.Pitch = 1e-3 }, CodePitch, "primary.pitch_m", ""},
		{"a wall thicker than the tube", func(d *Design) { d.Secondary.FormerWall = 0.013 }, CodeFormerWall, "secondary.former_wall_m",
			"a wall of 13 mm does not fit into a tube of 25 mm: at most 12.5 mm"},
		{"a winding in the metal plane", func(d *Design) { d.Room.Ground = MetalPlane; d.Secondary.BaseHeight = 0 }, CodeBelowPlane, "secondary.base_height_m", ""},
		{"a winding in the floor", func(d *Design) { d.Room.FloorDepth = 0; d.Secondary.BaseHeight = 0 }, CodeBelowPlane, "secondary.base_height_m", ""},
		{"a winding in its board", func(d *Design) {
			d.Room.Foot, d.Room.CircuitDiameter, d.Secondary.BaseHeight = Circuit, 0.06, 0
		}, CodeBelowPlane, "secondary.base_height_m", ""},
		{"a primary in the metal plane", func(d *Design) { d.Room.Ground = MetalPlane; d.Primary.BaseHeight = 0 }, CodeBelowPlane, "primary.base_height_m", ""},
		{"a torus hanging into the metal plane", func(d *Design) {
			d.Room.Ground, d.Primary.Kind = MetalPlane, NoPrimary
			d.TopLoad = TopLoad{Kind: Torus, Height: -0.085, OuterDiameter: 0.08, TubeDiameter: 0.02}
		}, CodeBelowPlane, "top_load.height_m", ""},
		{"a tap beyond the primary", func(d *Design) { d.Primary.TapTurns = 5 }, CodeTap, "primary.tap_turns", "a tap at turn 5 lies beyond the last turn, 4"},
		{"a primary in the secondary", func(d *Design) { d.Primary.InnerDiameter = 0.026 }, CodeCollision, "primary.inner_diameter_m", ""},
		{"a cone leaning into the secondary", func(d *Design) {
			d.Primary.Kind, d.Primary.ConeAngle, d.Primary.InnerDiameter, d.Primary.BaseHeight = Cone, 60, 0.026, 0.03
		}, CodeCollision, "primary.inner_diameter_m", ""},
		{"a spiral through the secondary between two turns", func(d *Design) {
			d.Primary.Kind, d.Primary.InnerDiameter, d.Primary.BaseHeight, d.Primary.Pitch = Spiral, 0.012, 0.05, 0.01
		}, CodeCollision, "primary.inner_diameter_m", ""},
		{"a primary as narrow as its wire", func(d *Design) { d.Primary.InnerDiameter = 2e-3 }, CodePrimaryBend, "primary.inner_diameter_m", ""},
		{"a torus that all but touches the metal plane", func(d *Design) {
			d.Room.Ground, d.Primary.Kind = MetalPlane, NoPrimary
			d.TopLoad = TopLoad{Kind: Torus, Height: -0.0785, OuterDiameter: 0.08, TubeDiameter: 0.02}
		}, CodeBelowPlane, "top_load.height_m", ""},
		{"a ring in the winding", func(d *Design) { d.TopLoad.Height = 0 }, CodeCollision, "top_load.height_m", ""},
		{"a sphere in the winding", func(d *Design) { d.TopLoad = TopLoad{Kind: Sphere, Diameter: 0.06, Height: 0.02} }, CodeCollision, "top_load.height_m", ""},
		{"a ceiling under the top", func(d *Design) { d.Room.CeilingHeight = 0.1 }, CodeCeiling, "room.ceiling_height_m", ""},
		{"a ceiling under a tall primary", func(d *Design) {
			d.TopLoad.Kind, d.Primary.Pitch, d.Room.CeilingHeight = NoTopLoad, 0.1, 0.2
		}, CodeCeiling, "room.ceiling_height_m", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := read(t, desk)
			test.change(&d)
			problems := Check(d)
			if len(problems) != 1 || problems[0].Code != test.code || problems[0].Key != test.key {
				t.Fatalf("Check = %v, want %s at %s", Problems(problems), test.code, test.key)
			}
			if test.text != "" && problems[0].Text.String() != test.text {
				t.Errorf("Check says %q, want %q", problems[0].Text, test.text)
			}
			// What Check gives as the nearest that can be built can be built.
			if problems[0].Nearest == nil {
				t.Fatal("no nearest value")
			}
			bad, err := Number(d, problems[0].Key)
			if err != nil {
				t.Fatal(err)
			}
			if err := Set(&d, problems[0].Key, *problems[0].Nearest); err != nil {
				t.Fatal(err)
			}
			if rest := Check(d); len(rest) > 0 {
				t.Errorf("with %s = %g Check still finds %v", problems[0].Key, *problems[0].Nearest, Problems(rest))
			}
			// And it is the nearest: a step back towards what was refused is
			// refused again.
			step := (bad - *problems[0].Nearest) / 100
			if problems[0].Code == CodeRingTurns {
				step = math.Copysign(1, step)
			}
			if err := Set(&d, problems[0].Key, *problems[0].Nearest+step); err == nil && len(Check(d)) == 0 {
				t.Errorf("with %s = %g, nearer than %g, it can be built", problems[0].Key, *problems[0].Nearest+step, *problems[0].Nearest)
			}
			// It can be saved and opened all the same.
			if test.code != CodeInsulation {
				test.change(&d)
				read(t, string(written(t, d)))
			}
		})
	}
}

// A body may reach round the winding or into it as long as it cuts no wire.
func TestCheckLetsBodiesPassTheWinding(t *testing.T) {
	for _, test := range []struct {
		name string
		top  TopLoad
	}{
		{"a wide torus round the winding", TopLoad{Kind: Torus, Height: -0.02, OuterDiameter: 0.08, TubeDiameter: 0.02}},
		{"a ball in the mouth of the tube", TopLoad{Kind: Sphere, Height: -0.001, Diameter: 0.02}},
		{"a ball on the rim", TopLoad{Kind: Sphere, Height: math.Sqrt(0.03*0.03-0.0125*0.0125) + 1e-6, Diameter: 0.06}},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := read(t, desk)
			d.Primary.Kind = NoPrimary
			d.TopLoad = test.top
			if problems := Check(d); len(problems) > 0 {
				t.Errorf("Check = %v", Problems(problems))
			}
		})
	}
}

func TestCheckNamesAWireThatDoesNotExist(t *testing.T) {
	d := read(t, desk)
	d.Secondary.Wire.Gauge = "AWG 99"
	if got := found(d); got[CodeUnknownValue] != "secondary.wire.gauge" {
		t.Errorf("Check finds %v", got)
	}
}

func TestStartKindsCanBeBuilt(t *testing.T) {
	for _, top := range []string{NoTopLoad, WireRing, Torus, Sphere, Disc} {
		for _, primary := range []string{NoPrimary, Cylinder, Spiral, Cone} {
			for _, driver := range []string{NoDriver, FeedbackExciter, HalfBridge, SparkGap} {
				d := New()
				d.SetTopLoadKind(top)
				d.SetPrimaryKind(primary)
				d.SetDriverKind(driver)
				if problems := Check(d); len(problems) > 0 {
					t.Errorf("%s, %s, %s: %v", top, primary, driver, Problems(problems))
				}
			}
		}
	}
}

func TestSetKindLosesNothing(t *testing.T) {
	d := New()
	d.TopLoad.Turns, d.Primary.InnerDiameter = 17, 0.05
	d.SetTopLoadKind(Sphere)
	d.SetTopLoadKind(WireRing)
	d.SetPrimaryKind(NoPrimary)
	d.SetPrimaryKind(Spiral)
	if d.TopLoad.Turns != 17 || d.Primary.InnerDiameter != 0.05 {
		t.Errorf("turns %d, inner diameter %g m, want 17 and 0.05", d.TopLoad.Turns, d.Primary.InnerDiameter)
	}
}
