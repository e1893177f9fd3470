package resonance

import (
	"context"
	"math"
	"testing"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// torusCoil is a close-wound coil with a torus on top, four turns of primary and
// an earthed plane below.
func torusCoil(t testing.TB, turns int) *Coil {
	t.Helper()
	var body topload.Body
	if err := topload.TorusBody(&body, electrostatics.Torus{Radius: 0.022, Tube: 0.008}); err != nil {
		t.Fatal(err)
	}
	floor := -0.1
	c := &Coil{
		Winding: Winding{Radius: 0.0125, WireRadius: 0.0001, Pitch: 0.00025, Turns: float64(turns), Base: 0.02},
		Room:    Room{Floor: &floor},
		Top:     &body,
	}
	c.TopHeight = c.Winding.Top() + 0.014
	for i := range 4 {
		c.Primary = append(c.Primary, inductance.Loop{Radius: 0.023, Height: 0.02 + 0.004*float64(i), WireRadius: 0.0006, Weight: 1})
	}
	return c
}

func fieldOf(t testing.TB, c *Coil) (*Modes, *Field) {
	t.Helper()
	var s Solver
	m, err := s.Solve(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	f, err := NewField(c, m)
	if err != nil {
		t.Fatal(err)
	}
	return m, f
}

// The conductors of the coil have the potentials they were solved for: the charges
// are all there and at their places.
func TestFieldOnTheConductors(t *testing.T) {
	c := torusCoil(t, 300)
	lead := &Lead{Radius: 0.0125, Bottom: c.Winding.Top(), Length: 0.005, WireRadius: 0.0003}
	c.TopLead = lead
	c.Rod = &Lead{Radius: 0.0005, Bottom: c.TopHeight, Length: 0.03, WireRadius: 0.0005}
	m, f := fieldOf(t, c)
	if got := f.Potential(0, c.TopHeight); math.Abs(got-1) > 0.03 {
		t.Errorf("potential in the middle of the torus %.5g V, want about 1: no charge lies between", got)
	}
	for i, turn := range []int{40, 150, 260} {
		// Inside the winding the potential is about that of the wires round it.
		z := c.Winding.Base + float64(turn)*c.Winding.Pitch
		want := curveAt(m.Profile.Height, m.Profile.Voltage, z)
		if got := f.Potential(c.Winding.Radius-0.001, z); math.Abs(got-want) > 0.01 {
			t.Errorf("point %d: potential %.5g V inside turn %d, want %.5g V (voltage of the turn)", i, got, turn, want)
		}
	}
	if got := f.Potential(0.05, -0.1+1e-9); math.Abs(got) > 1e-6 {
		t.Errorf("potential on the earthed plane %.3g V, want 0", got)
	}
	if got := f.Potential(0.05, -0.2); got != 0 {
		t.Errorf("potential under the earthed plane %g V, want 0", got)
	}
}

func curveAt(x, y []float64, at float64) float64 {
	for i := 1; i < len(x); i++ {
		if at <= x[i] {
			return y[i-1] + (y[i]-y[i-1])*(at-x[i-1])/(x[i]-x[i-1])
		}
	}
	return y[len(y)-1]
}

// Clusters against every turn by itself, down to one wire's diameter off the metal;
// with one plane, none and two.
func TestFieldMeetsTheSum(t *testing.T) {
	for _, room := range []string{"floor", "open", "floor and ceiling"} {
		c := torusCoil(t, 450)
		ceiling := 0.35
		switch room {
		case "open":
			c.Room = Room{}
		case "floor and ceiling":
			c.Room.Ceiling = &ceiling
		}
		_, f := fieldOf(t, c)
		exact := f.Exact()
		w := c.Winding
		off := w.WireRadius * 3 // one diameter off the surface
		worst := 0.0
		for _, r := range []float64{0, 0.004, w.Radius - off, w.Radius + off, w.Radius + 3*off, 0.02, 0.035, 0.1, 0.3} {
			for z := 0.0; z < 0.17; z += 0.0037 {
				if math.Hypot(r-0.022, z-c.TopHeight) < 0.010 {
					continue
				}
				p, er, ez := f.At(r, z)
				q, xr, xz := exact.At(r, z)
				if d := math.Abs(p - q); d > 1e-3 {
					t.Errorf("%s: potential at (%g, %g) %.6g V, every turn by itself %.6g V", room, r, z, p, q)
				}
				if size := math.Hypot(xr, xz); size > 1 {
					worst = math.Max(worst, math.Hypot(er-xr, ez-xz)/size)
				}
			}
		}
		t.Logf("%s: field within %.2g", room, worst)
		if worst > 0.01 {
			t.Errorf("%s: field differs from that of every turn by %.2g", room, worst)
		}
	}
}

// The images between two planes against both planes' own zero.
func TestFieldBetweenPlanes(t *testing.T) {
	c := torusCoil(t, 200)
	ceiling := 0.2
	c.Room.Ceiling = &ceiling
	_, f := fieldOf(t, c)
	for _, r := range []float64{0, 0.02, 0.1, 0.3} {
		for _, z := range []float64{-0.1 + 1e-7, 0.2 - 1e-7} {
			if got := f.Potential(r, z); math.Abs(got) > 1e-4 {
				t.Errorf("potential at (%g, %g), on a plane, %.3g V, want 0", r, z, got)
			}
		}
	}
}

// Gauss's law: the flux through a cylinder about a part of the coil is its charge.
func TestFieldFlux(t *testing.T) {
	c := torusCoil(t, 300)
	m, f := fieldOf(t, c)
	for _, test := range []struct {
		name              string
		radius, low, high float64 // m
	}{
		{"top load", 0.034, c.TopHeight - 0.0105, c.TopHeight + 0.02},
		{"upper half of the winding", c.Winding.Radius + 3*c.Winding.WireRadius, 0.05 + 0.000125, c.Winding.Top() + 0.002},
		{"all", 0.05, 0.0, 0.2},
	} {
		want := 0.0
		for _, r := range m.Rings {
			for i, q := range r.Charge {
				if r.Radius[i] < test.radius && r.Height[i] > test.low && r.Height[i] < test.high {
					want += q
				}
			}
		}
		flux := 0.0
		const steps = 1000
		for i := range steps {
			u := (float64(i) + 0.5) / steps
			z := test.low + u*(test.high-test.low)
			_, outward, _ := f.At(test.radius, z)
			flux += outward * 2 * math.Pi * test.radius * (test.high - test.low) / steps
			r := u * test.radius
			for _, lid := range []struct{ z, sign float64 }{{test.low, -1}, {test.high, 1}} {
				_, _, up := f.At(r, lid.z)
				flux += lid.sign * up * 2 * math.Pi * r * test.radius / steps
			}
		}
		if got := flux * si.Epsilon0; math.Abs(got/want-1) > 0.01 {
			t.Errorf("%s: flux %.5g C, charge inside %.5g C", test.name, got, want)
		}
	}
}

// TestValidationFieldNearWires compares with boundary elements round every wire,
// one wire's diameter off the metal.
func TestValidationFieldNearWires(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	const pitch = 0.001
	for _, test := range []struct {
		turns int
		ratio float64 // wire radius over pitch
		end   float64 // what Field's comment says of the last turns
	}{{24, 0.2, 0.03}, {16, 0.35, 0.03}, {16, 0.47, 0.12}} {
		c := &Coil{Winding: Winding{Radius: 0.0125, WireRadius: test.ratio * pitch, Pitch: pitch, Turns: float64(test.turns)}}
		var conductors []electrostatics.Conductor
		for i := range test.turns {
			conductors = append(conductors, electrostatics.TorusConductor(float64(i)*pitch, electrostatics.Torus{Radius: c.Winding.Radius, Tube: c.Winding.WireRadius}))
		}
		m, f := fieldOf(t, c)
		system, err := electrostatics.NewSystem(conductors, nil, electrostatics.Refinement{Order: 6, Panels: 2, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		solution, err := system.Solve(m.Profile.Voltage)
		if err != nil {
			t.Fatal(err)
		}
		const h = 1e-6
		middle, end := 0.0, 0.0
		off := 3 * c.Winding.WireRadius
		for i := range test.turns {
			z := float64(i) * pitch
			for _, at := range [][2]float64{{c.Winding.Radius + off, z}, {c.Winding.Radius + off, z + pitch/2}} {
				phi := func(r, z float64) float64 { return system.Potential(solution.Charge, r, z) }
				er := -(phi(at[0]+h, at[1]) - phi(at[0]-h, at[1])) / (2 * h)
				ez := -(phi(at[0], at[1]+h) - phi(at[0], at[1]-h)) / (2 * h)
				_, r, up := f.At(at[0], at[1])
				to := &middle
				if min(i, test.turns-1-i) < endTurns {
					to = &end
				}
				*to = math.Max(*to, math.Hypot(r-er, up-ez)/math.Hypot(er, ez))
			}
		}
		t.Logf("%d turns, wire %g of the pitch: within %.2g, at the ends %.2g", test.turns, 2*test.ratio, middle, end)
		// The last turns have the dipoles of a row that does not end.
		if middle > 0.01 || end > test.end {
			t.Errorf("%d turns, wire %g of the pitch: field off by %.2g one diameter from the wires, by %.2g at the ends (boundary elements)", test.turns, 2*test.ratio, middle, end)
		}
	}
}

// endTurns at either end of a winding are not held to the accuracy of the rest.
const endTurns = 4

func BenchmarkField(b *testing.B) {
	c := torusCoil(b, 450)
	_, f := fieldOf(b, c)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		f.At(0.001*float64(i%60), 0.002*float64(i%97))
		i++
	}
}
