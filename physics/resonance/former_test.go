package resonance

import (
	"errors"
	"math"
	"testing"

	"coilwright/physics/inductance"
)

// onFormer puts the winding of c on a tube of the given wall, or a rod with a wall of
// 0, that ends 10 mm beyond it; the enamel is a tenth of the wire's radius.
func onFormer(c Coil, wall, permittivity float64) Coil {
	outer := c.Winding.Radius - 1.1*c.Winding.WireRadius
	inner := 0.0
	if wall > 0 {
		inner = outer - wall
	}
	c.Former = &Former{Inner: inner, Outer: outer, Bottom: c.Winding.Base - 0.01, Top: c.Winding.Top() + 0.01, RelativePermittivity: permittivity}
	return c
}

// TestFormerOfAir: permittivity 1 changes nothing, and little more little.
func TestFormerOfAir(t *testing.T) {
	var s Solver
	bare := solve(t, &s, deskCoil())
	air := solve(t, &s, onFormer(deskCoil(), 0.0015, 1))
	if bare.Frequency != air.Frequency {
		t.Errorf("with a former of air %v Hz, without %v Hz", air.Frequency, bare.Frequency)
	}
	within(t, "frequency at permittivity 1.000001", solve(t, &s, onFormer(deskCoil(), 0.0015, 1.000001)).Frequency[0], bare.Frequency[0], 1e-7, "limit")
}

// TestFormerLowers: more permittivity and more wall lower every mode.
func TestFormerLowers(t *testing.T) {
	var s Solver
	coil := deskCoil()
	coil.Winding.Turns, coil.Winding.Pitch, coil.Winding.WireRadius = 60, 0.001, 0.0004
	last := solve(t, &s, coil).Frequency
	lower := func(wall, permittivity float64) {
		m := solve(t, &s, onFormer(coil, wall, permittivity))
		for i, f := range m.Frequency {
			if !(f < last[i]) {
				t.Errorf("wall %g m, permittivity %g: mode %d at %g Hz, with less %g Hz", wall, permittivity, i, f, last[i])
			}
		}
		last = m.Frequency
	}
	for _, e := range []float64{1.5, 2.55, 4} {
		lower(0.001, e)
	}
	lower(0.002, 4)
	lower(0.005, 4)
	lower(0, 4)
	lower(0, 8)
}

func TestFormerRefused(t *testing.T) {
	var s Solver
	for name, change := range map[string]func(f *Former){
		"permittivity below 1":     func(f *Former) { f.RelativePermittivity = 0.5 },
		"no number":                func(f *Former) { f.RelativePermittivity = math.NaN() },
		"wider than the coil":      func(f *Former) { f.Outer = 0.0126 },
		"inside out":               func(f *Former) { f.Inner = 0.0125 },
		"upside down":              func(f *Former) { f.Top = f.Bottom },
		"through the floor":        func(f *Former) { f.Bottom = -0.001 },
		"of negative inner radius": func(f *Former) { f.Inner = -0.001 },
	} {
		c := onFormer(deskCoil(), 0.0015, 2)
		change(c.Former)
		if _, err := s.Solve(t.Context(), &c); !errors.Is(err, ErrGeometry) {
			t.Errorf("%s: %v, want ErrGeometry", name, err)
		}
	}
}

// TestFormerIsKept: what is kept from coil to coil is of that coil.
func TestFormerIsKept(t *testing.T) {
	var s Solver
	a, b := onFormer(deskCoil(), 0.0015, 2.5), deskCoil()
	b.Winding.Base += 0.001
	want := solve(t, &s, a).Frequency[0]
	solve(t, &s, b)
	solve(t, &s, onFormer(b, 0.0015, 4))
	within(t, "frequency asked for again", solve(t, &s, a).Frequency[0], want, 1e-12, "the first time")
}

// TestFormerUnderMedhurst says, with -v, how much of the difference to Medhurst's table his
// rods of polystyrene explain: self-capacitance by frequency and current sheet, over his.
func TestFormerUnderMedhurst(t *testing.T) {
	var s Solver
	for _, x := range []float64{0.5, 1, 2, 4, 5, 10} {
		c := Coil{Winding: Winding{Radius: 0.05, Turns: 80, Base: 0.001}, Room: Room{Floor: height(0)}}
		c.Winding.Pitch = 0.1 * x / 80
		c.Winding.WireRadius = c.Winding.Pitch / 4
		c.Winding.Base = c.Winding.Pitch
		rod := c
		rod.Former = &Former{Outer: 0.05 - 1.001*c.Winding.WireRadius, Bottom: 0, Top: c.Winding.Top() + c.Winding.Pitch, RelativePermittivity: 2.56}
		l, err1 := inductance.CurrentSheet(80, 0.1, 0.1*x)
		table, err2 := MedhurstCapacitance(0.1, 0.1*x)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		over := func(c Coil) float64 {
			omega := 2 * math.Pi * solve(t, &s, c).Frequency[0]
			return 1 / (omega * omega * l * table.Value)
		}
		air, solid := over(c), over(rod)
		t.Logf("length %g diameters: %.3f of his in air, %.3f on a rod", x, air, solid)
		if !(air < solid && solid < 2.56*air) {
			t.Errorf("length %g diameters: %.3f of Medhurst's in air, %.3f on a rod of permittivity 2.56", x, air, solid)
		}
	}
}

// TestFormerPanels holds what the usual panels cost against panels a fifth as large: on
// a long coil, 400 turns on a tube of 50 mm, and on one close wound with 450, from a film to
// a rod and from plastics to alumina.
func TestFormerPanels(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand panels and more")
	}
	long := Coil{Winding: Winding{Radius: 0.02525, WireRadius: 0.0002, Pitch: 0.0005, Turns: 400, Base: 0.02}, Room: Room{Floor: height(0)}}
	for _, test := range []struct {
		name         string
		coil         Coil
		wall         float64 // m; 0: a rod
		permittivity float64
	}{
		{"long, film", long, 0.0001, 3},
		{"long, card", long, 0.0005, 3},
		{"long, tube", long, 0.002, 3},
		{"long, rod", long, 0, 3},
		{"long, alumina", long, 0.002, 9.8},
		{"close, film", deskCoil(), 0.0001, 3},
		{"close, tube", deskCoil(), 0.002, 3},
		{"close, card of much", deskCoil(), 0.0005, 9.8},
		{"long, rod of most", long, 0, 20},
	} {
		shift := func(s Solver) float64 {
			return 1 - solve(t, &s, onFormer(test.coil, test.wall, test.permittivity)).Frequency[0]/solve(t, &s, test.coil).Frequency[0]
		}
		got, want := shift(Solver{}), shift(Solver{Spacing: 0.2})
		t.Logf("%s: the frequency falls by %.4f %%, on fine panels by %.4f %%", test.name, 100*got, 100*want)
		most := 5e-4
		if test.permittivity > 10 {
			most = 1e-3
		}
		if math.Abs(got-want) > most {
			t.Errorf("%s: the frequency falls by %.4f %%, on fine panels by %.4f %%, want within %g %% of the frequency", test.name, 100*got, 100*want, 100*most)
		}
	}
}

// TestFormerFollowsTheKnots: a primary that comes closer makes the knots closer, and what
// is kept of the former follows them.
func TestFormerFollowsTheKnots(t *testing.T) {
	coil := func(radius float64) Coil {
		c := onFormer(deskCoil(), 0.0015, 2.5)
		c.Primary = primary(radius)
		return c
	}
	var s, fresh Solver
	solve(t, &s, coil(0.06))
	before := s.winding.grid.unknowns()
	got := solve(t, &s, coil(0.0135))
	if after := s.winding.grid.unknowns(); after == before {
		t.Fatalf("%d knots with the primary far off and near, want more when it is near", after)
	}
	within(t, "frequency after the primary came close", got.Frequency[0], solve(t, &fresh, coil(0.0135)).Frequency[0], 1e-12, "a new solver")
}

// TestFillingKeepsThePanels: where a little more permittivity asks for one panel more,
// the part of the energy inside is no other than beside it.
func TestFillingKeepsThePanels(t *testing.T) {
	var s Solver
	part := func(permittivity float64) float64 {
		c := deskCoil()
		c.Winding.Turns, c.Winding.Pitch, c.Winding.WireRadius = 60, 0.001, 0.0004
		c = onFormer(c, 0.002, permittivity)
		f, err := s.Filling(t.Context(), &c, solve(t, &s, c).Frequency[0])
		if err != nil {
			t.Fatal(err)
		}
		return f.Former
	}
	within(t, "part of the energy in the former", part(4.356), part(4.35), 2e-3, "permittivity 0.14 % less; the part grows slower than that")
}
