package breakdown

import (
	"context"
	"errors"
	"math"
	"testing"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
)

// ballCoil is a short winding with a ball of radius 2 cm far above it: what stands on
// the ball is alone with it.
func ballCoil(t *testing.T) *resonance.Coil {
	t.Helper()
	var body topload.Body
	if err := topload.SphereBody(&body, 0.02); err != nil {
		t.Fatal(err)
	}
	return &resonance.Coil{
		Winding: resonance.Winding{Radius: 0.005, WireRadius: 0.0002, Pitch: 0.001, Turns: 10},
		Top:     &body, TopHeight: 2,
	}
}

func solve(t *testing.T, c *resonance.Coil) (*resonance.Modes, *resonance.Field) {
	t.Helper()
	var s resonance.Solver
	m, err := s.Solve(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	f, err := resonance.NewField(c, m)
	if err != nil {
		t.Fatal(err)
	}
	return m, f
}

// A rod on a ball against boundary elements of both together.
func TestRodMeetsBoundaryElements(t *testing.T) {
	for _, test := range []struct{ length, radius float64 }{{0.03, 0.0005}, {0.01, 0.001}} {
		c := ballCoil(t)
		foot := c.TopHeight + 0.02
		c.Rod = &resonance.Lead{Radius: test.radius, WireRadius: test.radius, Bottom: foot, Length: test.length}
		_, f := solve(t, c)
		got, err := Rod(c, f, 1)
		if err != nil {
			t.Fatal(err)
		}
		b, tip := test.radius, 0.02+test.length
		const gap = 5e-5 // what touches cannot be told apart
		rod := electrostatics.Conductor{
			electrostatics.Circle(0, 0.02+gap+b, b, -math.Pi/2, 0),
			electrostatics.Line(b, 0.02+gap+b, b, tip-b),
			electrostatics.Circle(0, tip-b, b, 0, math.Pi/2),
		}
		system, err := electrostatics.NewSystem([]electrostatics.Conductor{electrostatics.SphereConductor(0, 0.02), rod}, nil, electrostatics.Refinement{Order: 6, Panels: 2, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		solution, err := system.Solve([]float64{1, 1})
		if err != nil {
			t.Fatal(err)
		}
		want, _, z := system.PeakGradient(solution.Charge)
		if z < tip-b {
			t.Fatalf("the peak lies at %g m, not at the tip", z)
		}
		t.Logf("rod of %g m, radius %g m: %.5g 1/m, want %.5g, %+.2f %%", test.length, test.radius, got, want, 100*(got/want-1))
		if math.Abs(got/want-1) > 0.03 {
			t.Errorf("rod of %g m, radius %g m: %.5g 1/m at the tip, want %.5g (boundary elements of ball and rod)", test.length, test.radius, got, want)
		}
	}
	c := ballCoil(t)
	c.Rod = &resonance.Lead{Radius: 0.001, WireRadius: 0.001, Bottom: c.TopHeight + 0.02, Length: 0.002}
	_, f := solve(t, c)
	if _, err := Rod(c, f, 1); !errors.Is(err, ErrRange) {
		t.Errorf("a rod as long as thick: %v, want it refused", err)
	}
}

// A lead under a ball against boundary elements of both together: it hides near the
// ball and has most charge at its free lower end, so that it is compared along
// its middle.
func TestLeadMeetsBoundaryElements(t *testing.T) {
	const length, radius = 0.05, 0.0005
	c := ballCoil(t)
	c.TopLead = &resonance.Lead{Radius: radius, WireRadius: radius, Bottom: c.TopHeight - 0.02 - length, Length: length}
	_, f := solve(t, c)
	line, err := lineCharge(c.TopLead, f.Without(resonance.OfTopLead), 1, leadPieces)
	if err != nil {
		t.Fatal(err)
	}
	const gap = 5e-5
	wire := electrostatics.Conductor{
		electrostatics.Circle(0, -0.02-length+radius, radius, -math.Pi/2, 0),
		electrostatics.Line(radius, -0.02-length+radius, radius, -0.02-gap-radius),
		electrostatics.Circle(0, -0.02-gap-radius, radius, 0, math.Pi/2),
	}
	system, err := electrostatics.NewSystem([]electrostatics.Conductor{electrostatics.SphereConductor(0, 0.02), wire}, nil, electrostatics.Refinement{Order: 6, Panels: 2, Gap: 2})
	if err != nil {
		t.Fatal(err)
	}
	solution, err := system.Solve([]float64{1, 1})
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for p := range system.Panels() {
		r, z := system.At(p, 0.5)
		at := (z + 0.02 + length) / length
		if math.Abs(r-radius) > 1e-9 || at < 0.15 || at > 0.85 {
			continue
		}
		compared++
		want := system.Gradient(solution.Charge, p, 0.5)
		place := at*leadPieces - 0.5
		i := int(place)
		got := (line[i] + (place-float64(i))*(line[i+1]-line[i])) * lineField / radius
		if math.Abs(got/want-1) > 0.03 {
			t.Errorf("lead at %.2f of its length: %.5g 1/m, want %.5g (boundary elements)", at, got, want)
		}
	}
	if compared < 5 {
		t.Errorf("only %d places compared", compared)
	}
	bare, _, err := Lead(c, f, 1, radius)
	if err != nil {
		t.Fatal(err)
	}
	sleeved, _, err := Lead(c, f, 1, 3*radius)
	if err != nil || !(sleeved < 0.35*bare) {
		t.Errorf("field on a sleeve three times as thick: %g 1/m, %v, want a third of %g", sleeved, err, bare)
	}
}

// The primary and the first turn against boundary elements round every wire.
func TestValidationPrimaryAndFirstTurn(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	const pitch = 0.001
	for _, test := range []struct {
		name  string
		loops []inductance.Loop
	}{
		{"cylinder", []inductance.Loop{
			{Radius: 0.02, Height: 0, WireRadius: 0.0006, Weight: 1}, {Radius: 0.02, Height: 0.003, WireRadius: 0.0006, Weight: 1},
			{Radius: 0.02, Height: 0.006, WireRadius: 0.0006, Weight: 1}}},
		{"spiral", []inductance.Loop{
			{Radius: 0.018, Height: 0.002, WireRadius: 0.0006, Weight: 1}, {Radius: 0.021, Height: 0.002, WireRadius: 0.0006, Weight: 1}}},
		{"one turn", []inductance.Loop{{Radius: 0.02, Height: 0.01, WireRadius: 0.0006, Weight: 1}}},
	} {
		const turns = 20
		c := &resonance.Coil{Winding: resonance.Winding{Radius: 0.0125, WireRadius: 0.35 * pitch, Pitch: pitch, Turns: turns}, Primary: test.loops}
		var conductors []electrostatics.Conductor
		for i := range turns {
			conductors = append(conductors, electrostatics.TorusConductor(float64(i)*pitch, electrostatics.Torus{Radius: c.Winding.Radius, Tube: c.Winding.WireRadius}))
		}
		for _, l := range test.loops {
			conductors = append(conductors, electrostatics.TorusConductor(l.Height, electrostatics.Torus{Radius: l.Radius, Tube: l.WireRadius}))
		}
		m, f := solve(t, c)
		system, err := electrostatics.NewSystem(conductors, nil, electrostatics.Refinement{Order: 6, Panels: 2, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		volts := append([]float64(nil), m.Profile.Voltage...)
		for range test.loops {
			volts = append(volts, 0)
		}
		solution, err := system.Solve(volts)
		if err != nil {
			t.Fatal(err)
		}
		wantFirst, wantPrimary := 0.0, 0.0
		nodes := system.Nodes() / system.Panels()
		for p := range system.Panels() {
			_, _, wire := system.Node(p * nodes)
			for i := range 65 {
				g := math.Abs(system.Gradient(solution.Charge, p, float64(i)/64))
				switch {
				case wire == 0:
					if _, z := system.At(p, float64(i)/64); z/c.Winding.WireRadius > facing {
						continue // in the gap to the turn above
					}
					wantFirst = math.Max(wantFirst, g)
				case wire >= turns:
					wantPrimary = math.Max(wantPrimary, g)
				}
			}
		}
		primary, turn, err := Primary(c, m, f)
		if err != nil {
			t.Fatal(err)
		}
		if test.loops[turn].Radius > test.loops[0].Radius || test.loops[turn].Height < test.loops[0].Height {
			t.Errorf("%s: largest on turn %d, want the inner or upper one, nearest to the top", test.name, turn)
		}
		var end EndWire
		first, err := end.First(c, m)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: primary %.4g 1/m (%+.1f %%), first turn %.4g 1/m (%+.1f %%)", test.name, wantPrimary, 100*(primary/wantPrimary-1), wantFirst, 100*(first/wantFirst-1))
		if math.Abs(primary/wantPrimary-1) > 0.05 || math.Abs(first/wantFirst-1) > 0.05 {
			t.Errorf("%s: primary %.4g 1/m, want %.4g; first turn %.4g, want %.4g (boundary elements)", test.name, primary, wantPrimary, first, wantFirst)
		}
	}
}

func TestTip(t *testing.T) {
	// Small against the wire: the half spheroid on a plane; a half ball has 3.
	got, err := Tip(1000, 1, 1e-4, 1e-4)
	if err != nil || math.Abs(got/3000-1) > 1e-4 {
		t.Errorf("half ball of 0.1 mm on a tube of 1 m: %g V/m, %v, want 3000 (three times the field)", got, err)
	}
	// Long against it: the potential lost along the spike is that of a wire,
	// E₀ a ln(1 + l/a), over the length.
	long, err := Tip(1000, 1e-3, 1e-2, 1e-4)
	factor, _ := Spheroid(1e-2, 1e-4)
	if err != nil || math.Abs(long/(1000*factor*0.1*math.Log(11))-1) > 1e-12 {
		t.Errorf("spike of 10 mm on a wire of 1 mm: %g V/m, %v", long, err)
	}
	for name, f := range map[string]func() (float64, error){
		"no radius":  func() (float64, error) { return Tip(1, 1, 1, 0) },
		"no surface": func() (float64, error) { return Tip(1, 0, 1, 1) },
		"no field":   func() (float64, error) { return Tip(math.NaN(), 1, 1, 1) },
		"sleeve":     func() (float64, error) { return SleevedRadius(2, 1) },
	} {
		if _, err := f(); !errors.Is(err, ErrRange) {
			t.Errorf("%s: %v, want it refused", name, err)
		}
	}
}
