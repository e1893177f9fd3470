package design

import (
	"math"
	"testing"
)

// TestFormerOfAir: permittivity 1 leaves every digit, whatever the wall.
func TestFormerOfAir(t *testing.T) {
	d := read(t, desk)
	want := *evaluated(t, d).Resonance.Frequency
	d.Secondary.FormerWall = 0.004
	if got := *evaluated(t, d).Resonance.Frequency; got != want {
		t.Errorf("%g Hz with another wall of air, %g Hz before", got, want)
	}
}

// TestFormerLowers: material, wall, enamel and varnish lower the frequency, each a
// little more.
func TestFormerLowers(t *testing.T) {
	d := read(t, desk)
	last := *evaluated(t, d).Resonance.Frequency
	for _, step := range []struct {
		name   string
		change func(s *Secondary)
	}{
		{"tube of PVC", func(s *Secondary) { s.FormerRelativePermittivity = 3 }},
		{"thicker wall", func(s *Secondary) { s.FormerWall = 0.003 }},
		{"solid rod", func(s *Secondary) { s.FormerWall = 0 }},
		{"glass", func(s *Secondary) { s.FormerRelativePermittivity = 6 }},
		{"enamel", func(s *Secondary) { s.EnamelRelativePermittivity = 3.5 }},
		{"varnish", func(s *Secondary) { s.VarnishThickness = 5e-5 }},
	} {
		step.change(&d.Secondary)
		f := *evaluated(t, d).Resonance.Frequency
		if !(f < last) || f < last/2 {
			t.Errorf("%s: %g Hz, before %g Hz", step.name, f, last)
		}
		last = f
	}
}

// TestFormerOfMuch: a permittivity beyond what the method bears is solved as the most it
// does, and said.
func TestFormerOfMuch(t *testing.T) {
	d := read(t, desk)
	d.Secondary.FormerRelativePermittivity = mostPermittivity
	most := evaluated(t, d)
	d.Secondary.FormerRelativePermittivity = 1000
	more := evaluated(t, d)
	if *more.Resonance.Frequency != *most.Resonance.Frequency || cautionOf(more, "former_permittivity") == "" || cautionOf(most, "former_permittivity") != "" {
		t.Errorf("%g Hz at 1000, %g Hz at the most, caution %q", *more.Resonance.Frequency, *most.Resonance.Frequency, cautionOf(more, "former_permittivity"))
	}
}

// TestFormerLoss: 1/Q of the former alone is its part of the energy, which the change of
// the frequency with permittivity shows, times its loss tangent.
func TestFormerLoss(t *testing.T) {
	d := read(t, desk)
	d.Secondary.FormerRelativePermittivity = 3
	without := evaluated(t, d)
	d.Secondary.FormerLossTangent = 0.02
	with := evaluated(t, d)
	if without.Losses.Former != nil || with.Losses.Former == nil {
		t.Fatalf("shares of the former %v without loss tangent, %v with", without.Losses.Former, with.Losses.Former)
	}
	const step = 0.01
	d.Secondary.FormerRelativePermittivity = 3 * (1 + step)
	up := *evaluated(t, d).Resonance.Frequency
	d.Secondary.FormerRelativePermittivity = 3 / (1 + step)
	down := *evaluated(t, d).Resonance.Frequency
	part := -math.Log(up/down) / math.Log1p(step)
	got := 1 / *with.Resonance.QualityFactor - 1 / *without.Resonance.QualityFactor
	within(t, "1/Q of the former", got, 0.02*part, 1e-3)                                     // Rayleigh's principle
	within(t, "its share", *with.Losses.Former*1 / *with.Resonance.QualityFactor, got, 1e-6) // the parts add up
}

// TestFormerBand: the slope by the permittivity is that of two coils.
func TestFormerBand(t *testing.T) {
	d := read(t, desk)
	d.Secondary.FormerRelativePermittivity = 3
	b, err := NewSolver().Band(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	const step = 0.01
	d.Secondary.FormerRelativePermittivity = 3 + step
	up := *evaluated(t, d).Resonance.Frequency
	d.Secondary.FormerRelativePermittivity = 3 - step
	down := *evaluated(t, d).Resonance.Frequency
	for _, c := range b.Contributions {
		if c.Key == keyPermittivity {
			within(t, "slope by permittivity", c.Change, (up-down)/(2*step), 1e-3) // difference of two coils
			return
		}
	}
	t.Error("the permittivity is not among the inputs")
}

// TestFormerEnds: the former keeps off what is in its way.
func TestFormerEnds(t *testing.T) {
	d := read(t, desk)
	d.Secondary.FormerRelativePermittivity = 3
	for name, change := range map[string]func(d *Design){
		"as it is":     func(*Design) {},
		"on the floor": func(d *Design) { d.Secondary.BaseHeight = 0.001 },
		"ring near":    func(d *Design) { d.TopLoad.Height = 0.009 },
		"low ceiling":  func(d *Design) { d.Room.CeilingHeight = 0.2 },
		"on a board":   func(d *Design) { d.Room.Foot, d.Room.CircuitDiameter = Circuit, 0.06 },
		"a lead in a rod": func(d *Design) {
			d.Secondary.FormerWall = 0
			d.TopLoad.Lead = Lead{Place: OnAxis, Wire: Wire{Gauge: "AWG 20", Insulation: Bare}}
		},
		"metal plane": func(d *Design) { d.Room.Ground = MetalPlane },
	} {
		d := d
		change(&d)
		g, err := d.Geometry()
		if err != nil {
			t.Fatal(name, err)
		}
		if g.Former.Bottom < 0 || g.Former.Bottom > g.Winding.Bottom || g.Former.Top < g.Winding.Top || g.Former.Top > g.TopLoad.Centre-g.TopLoad.TubeRadius+1e-12 {
			t.Errorf("%s: former from %g to %g m, winding from %g to %g m, ring at %g m", name, g.Former.Bottom, g.Former.Top, g.Winding.Bottom, g.Winding.Top, g.TopLoad.Centre)
		}
		air := d
		air.Secondary.FormerRelativePermittivity = 1
		if f, bare := *evaluated(t, d).Resonance.Frequency, *evaluated(t, air).Resonance.Frequency; !(f < bare && f > 0.8*bare) {
			t.Errorf("%s: %g Hz, in air %g Hz", name, f, bare)
		}
	}
}
