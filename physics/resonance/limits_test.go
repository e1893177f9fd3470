package resonance

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/topload"
)

// deskCoil is a coil of 450 turns over an earthed floor.
func deskCoil() Coil {
	return Coil{
		Winding: Winding{Radius: 0.01255, WireRadius: 0.00005, Pitch: 0.00014, Turns: 450, Base: 0.02},
		Room:    Room{Floor: height(0)},
	}
}

func primary(radius float64) []inductance.Loop {
	var loops []inductance.Loop
	for i := range 4 {
		loops = append(loops, inductance.Loop{Radius: radius, Height: 0.01 + 0.004*float64(i), WireRadius: 0.00065, Weight: 1})
	}
	return loops
}

// TestScaling doubles every length: L and C double, the frequency halves.
func TestScaling(t *testing.T) {
	coil := func(scale float64) Coil {
		c := Coil{
			Winding: Winding{Radius: 0.01255 * scale, WireRadius: 0.0001 * scale, Pitch: 0.00025 * scale, Turns: 200, Base: 0.02 * scale},
			Room:    Room{Floor: height(-0.001 * scale), Metal: true, Ceiling: height(0.3 * scale)},
		}
		c.Top, c.TopHeight = torus(t, 0.03*scale, 0.01*scale), c.Winding.Top()+0.014*scale
		c.Shorted = ShortedTorus(0.03*scale, 0.01*scale)
		c.TopLead = &Lead{Radius: 0.01255 * scale, Bottom: c.Winding.Top(), Length: 0.01 * scale, WireRadius: 0.0001 * scale}
		for _, l := range primary(0.023) {
			c.Primary = append(c.Primary, inductance.Loop{Radius: l.Radius * scale, Height: l.Height * scale, WireRadius: l.WireRadius * scale, Weight: 1})
		}
		return c
	}
	var s Solver
	one, two := solve(t, &s, coil(1)), solve(t, &s, coil(2))
	const tol = 1e-9
	const law = "scaling law"
	for i := range ModeCount {
		within(t, "frequency", two.Frequency[i], one.Frequency[i]/2, tol, law)
	}
	within(t, "bare frequency", two.Bare, one.Bare/2, tol, law)
	within(t, "foot inductance", two.FootInductance, 2*one.FootInductance, tol, law)
	within(t, "top capacitance", two.TopCapacitance, 2*one.TopCapacitance, tol, law)
	within(t, "foot mutual inductance", two.FootMutual, 2*one.FootMutual, tol, law)
	within(t, "gradient", two.Profile.Gradient[0], one.Profile.Gradient[0]/2, 1e-7, law)
}

// TestRefinement halves the spacing of the knots again and again.
func TestRefinement(t *testing.T) {
	for _, turns := range []float64{120, 1000} {
		c := deskCoil()
		c.Winding.Turns = turns
		c.Top, c.TopHeight = torus(t, 0.03, 0.01), c.Winding.Top()+0.014
		at := func(spacing float64) *Modes { return solve(t, &Solver{Spacing: spacing}, c) }
		fine := at(0.125)
		usual := at(1)
		for i, tol := range []float64{5e-5, 2e-4, 1e-3} {
			within(t, "mode at the usual spacing", usual.Frequency[i], fine.Frequency[i], tol, "an eighth of the spacing")
		}
		within(t, "top capacitance", usual.TopCapacitance, fine.TopCapacitance, 5e-4, "an eighth of the spacing")
		within(t, "foot inductance", usual.FootInductance, fine.FootInductance, 5e-4, "an eighth of the spacing")
	}
	// Polygons: the error of the third mode falls at least with the second
	// power of the spacing, in fact faster.
	c := deskCoil()
	c.Winding.Turns = 2000
	fine := solve(t, &Solver{Spacing: 0.125}, c).Frequency[2]
	coarse := solve(t, &Solver{Spacing: 2}, c).Frequency[2]/fine - 1
	half := solve(t, &Solver{Spacing: 1}, c).Frequency[2]/fine - 1
	quarter := solve(t, &Solver{Spacing: 0.5}, c).Frequency[2]/fine - 1
	t.Logf("third mode off by %.2e, %.2e, %.2e at spacing 2, 1, 1/2", coarse, half, quarter)
	if order := math.Log2(coarse/quarter) / 2; !(order > 2) || !(coarse > half && half > quarter && quarter > 0) {
		t.Errorf("errors %g, %g, %g at spacing 2, 1, 1/2: order %.1f, promised 2", coarse, half, quarter, order)
	}
}

// A primary close to the winding draws charge to a few turns, which the knots must
// follow wherever it stands.
func TestRefinementBesideAPrimary(t *testing.T) {
	const turns = 300
	every := 1.0 / turns                             // spacing at which each turn is a knot
	for _, away := range []float64{1.2, 5, 20, 60} { // pitches
		for _, place := range []float64{0.1, 0.5, 0.83} { // of the turns
			c := deskCoil()
			w := &c.Winding
			w.Turns = turns
			for i := range 3 {
				c.Primary = append(c.Primary, inductance.Loop{
					Radius: w.Radius + away*w.Pitch, Height: w.Base + (place*turns+float64(4*i))*w.Pitch, WireRadius: w.WireRadius, Weight: 1,
				})
			}
			fine, usual := solve(t, &Solver{Spacing: every}, c), solve(t, &Solver{}, c)
			what := fmt.Sprintf("%g pitches off at %g of the turns, ", away, place)
			within(t, what+"first mode", usual.Frequency[0], fine.Frequency[0], 2e-4, "every turn a knot")
			within(t, what+"second mode", usual.Frequency[1], fine.Frequency[1], 4e-4, "every turn a knot")
		}
	}
}

// A solver that has seen other primaries answers as a new one does.
func TestKnotsFollowThePrimary(t *testing.T) {
	var s Solver
	c := deskCoil()
	for _, away := range []float64{0.02, 3e-4, 3e-3, 3e-4} { // m
		c.Primary = []inductance.Loop{{Radius: c.Winding.Radius + away, Height: c.Winding.Base + 0.03, WireRadius: 1e-4, Weight: 1}}
		if got, want := solve(t, &s, c).Frequency[0], solve(t, &Solver{}, c).Frequency[0]; got != want {
			t.Errorf("a primary %g m off: %g Hz after others, %g Hz at once", away, got, want)
		}
	}
}

// TestLimits goes where the answer is known.
func TestLimits(t *testing.T) {
	var s Solver
	base := deskCoil()
	base.Top, base.TopHeight = torus(t, 0.03, 0.01), base.Winding.Top()+0.014
	alone := solve(t, &s, base)

	c := base
	c.Primary = primary(2)
	within(t, "primary far away", solve(t, &s, c).Frequency[0], alone.Frequency[0], 1e-4, "no primary")

	c = base
	c.Room.Ceiling = height(1e3)
	within(t, "ceiling far up", solve(t, &s, c).Frequency[0], alone.Frequency[0], 1e-5, "no ceiling")

	c = base
	c.Room = Room{}
	open := solve(t, &s, c).Frequency[0]
	c.Room.Floor = height(-100)
	within(t, "floor far down", solve(t, &s, c).Frequency[0], open, 1e-3, "no floor")
	c.Room.Metal = true
	within(t, "metal plane far down", solve(t, &s, c).Frequency[0], open, 1e-3, "no plane")
	c.Room = Room{Ceiling: height(100)}
	within(t, "ceiling alone, far up", solve(t, &s, c).Frequency[0], open, 1e-3, "no plane")

	c = base
	c.FootLead = &Lead{Radius: 0.0125, Bottom: 0.0199, Length: 1e-6, WireRadius: 1e-9}
	c.TopLead = &Lead{Radius: 0.0125, Bottom: c.Winding.Top() + 0.001, Length: 1e-6, WireRadius: 1e-9}
	within(t, "leads of no length", solve(t, &s, c).Frequency[0], alone.Frequency[0], 1e-5, "no leads")

	// Many turns act as the smooth torus that is set back by what the field
	// reaches between the wires, and ever more as the one around them.
	last := math.Inf(1)
	for _, turns := range []int{30, 60, 120} {
		c = base
		ring := topload.Ring{WireDiameter: 0.012 * math.Pi / float64(turns), FormerDiameter: 0.02, HubDiameter: 0.04, Turns: turns}
		c.Top = wireRing(t, ring)
		got := solve(t, &s, c).Frequency[0]
		set, err := ring.SetBackTorus()
		if err != nil {
			t.Fatal(err)
		}
		c.Top = torus(t, set.Radius, set.Tube)
		within(t, "wire ring of many turns", got, solve(t, &s, c).Frequency[0], 0.003, "set-back torus, good to 0.4 % rms of its capacitance")
		centre, tube := ring.SmoothRadii()
		c.Top = torus(t, centre, tube)
		off := got/solve(t, &s, c).Frequency[0] - 1
		if off < 0 || off >= last {
			t.Errorf("%d turns: %+.3f %% from the torus around them, with half the turns %+.3f %%", turns, 100*off, 100*last)
		}
		last = off
	}
}

// TestMonotony holds what more of something must do.
func TestMonotony(t *testing.T) {
	var s Solver
	base := deskCoil()
	base.Top, base.TopHeight = torus(t, 0.03, 0.01), base.Winding.Top()+0.014
	alone := solve(t, &s, base)
	if !(alone.Frequency[0] < alone.Bare && alone.Frequency[0] < alone.Frequency[1] && alone.Frequency[1] < alone.Frequency[2]) {
		t.Errorf("modes %v, bare %g Hz", alone.Frequency, alone.Bare)
	}
	lower := func(what string, change func(c *Coil)) {
		t.Helper()
		c := base
		change(&c)
		if m := solve(t, &s, c); m.Frequency[0] >= alone.Frequency[0] {
			t.Errorf("%s raises the frequency from %g to %g Hz", what, alone.Frequency[0], m.Frequency[0])
		}
	}
	lower("a primary at zero", func(c *Coil) { c.Primary = primary(0.023) })
	lower("a ceiling", func(c *Coil) { c.Room.Ceiling = height(0.15) })
	lower("a larger torus", func(c *Coil) { c.Top = torus(t, 0.035, 0.01) })
	lower("one turn more", func(c *Coil) { *c = c.withTurns(451) })
	lower("a lead to the top", func(c *Coil) {
		c.TopLead = &Lead{Radius: 0.0125, Bottom: c.Winding.Top(), Length: 0.01, WireRadius: 0.0001}
	})
	lower("a raised floor", func(c *Coil) { c.Room.Floor = height(0.008) })
	c := base
	c.Room.Metal = true
	if m := solve(t, &s, c); m.Frequency[0] <= alone.Frequency[0] {
		t.Errorf("a metal plane lowers the frequency from %g to %g Hz", alone.Frequency[0], m.Frequency[0])
	}
}

// TestFewAndManyTurns solves the ends of the range.
func TestFewAndManyTurns(t *testing.T) {
	var s Solver
	for _, turns := range []float64{1, 1.5, 2, 3, 5, 3000, 5000} {
		c := deskCoil()
		c.Winding.Turns = turns
		if turns < 10 {
			c.Winding.Pitch, c.Winding.WireRadius = 0.003, 0.0005
		}
		bare := solve(t, &s, c)
		c.Top, c.TopHeight = torus(t, 0.03, 0.01), c.Winding.Top()+0.014
		with := solve(t, &s, c)
		within(t, "bare frequency", with.Bare, bare.Frequency[0], 1e-9, "the coil without its top load")
		if with.Found < 1 || with.Frequency[0] >= bare.Frequency[0] {
			t.Errorf("%g turns: modes %v with top load, %v without", turns, with.Frequency, bare.Frequency)
		}
		if turns >= 3000 {
			fine := solve(t, &Solver{Spacing: 0.3}, c)
			within(t, "many turns", with.Frequency[0], fine.Frequency[0], 1e-3, "finer spacing")
		}
	}
	// One turn with a top load is one L and one C: the coil's matrices by hand.
	c := Coil{Winding: Winding{Radius: 0.03, WireRadius: 0.0005, Pitch: 0.003, Turns: 1, Base: 0}, Top: thinRing(0.06, 0.001), TopHeight: 0.08}
	got := solve(t, &s, c)
	p := mat.NewDense(2, 2, []float64{
		s.matrices.elastance[0], electrostatics.RingPotentialUnchecked(0.03, 0.06, 0.08),
		electrostatics.RingPotentialUnchecked(0.03, 0.06, 0.08), selfElastance(0.06, 0.001),
	})
	l := inductance.SelfLoopUnchecked(0.03, 0.0005, inductance.Surface)
	// Half of the turn's charge comes up through it, all of the ring's.
	var c2 mat.Dense
	if err := c2.Inverse(p); err != nil {
		t.Fatal(err)
	}
	sum := 0.25*c2.At(0, 0) + c2.At(0, 1) + c2.At(1, 1)
	within(t, "one turn", got.Frequency[0], 1/(2*math.Pi*math.Sqrt(l*sum)), 1e-3, "one L, one C; the wire's dipole in the ring's field is left out")
}

func TestFractionalTurns(t *testing.T) {
	var s Solver
	at := func(turns float64) *Modes {
		c := deskCoil()
		c.Winding.Pitch = 0.0002
		c.Top, c.TopHeight = thinRing(0.02, 0.004), c.Winding.Top()+0.01
		c = c.withTurns(turns)
		return solve(t, &s, c)
	}
	const tiny = 1e-6
	for _, n := range []float64{2, 40, 301} {
		for _, q := range []func(m *Modes) float64{
			func(m *Modes) float64 { return m.Frequency[0] },
			func(m *Modes) float64 { return m.Bare },
			func(m *Modes) float64 { return m.FootInductance },
			func(m *Modes) float64 { return m.TopToFootRatio },
			func(m *Modes) float64 { return m.FootCurrent },
		} {
			within(t, "just above", q(at(n+tiny)), q(at(n)), 2*tiny, "continuity")
			within(t, "just below", q(at(n-tiny)), q(at(n)), 2*tiny, "continuity")
		}
		below, half, above := at(n).Frequency[0], at(n + 0.5).Frequency[0], at(n + 1).Frequency[0]
		if !(below > half && half > above) {
			t.Errorf("%g turns: %g, %g, %g Hz at the half turns", n, below, half, above)
		}
	}
	m := at(40.25)
	sum := 0.0
	for _, w := range m.Profile.Weight {
		sum += w
	}
	within(t, "weights of the profile", sum, 40.25, 1e-12, "turns")
}

// TestFootMutual makes the top load so large that the current is the same all
// along.
func TestFootMutual(t *testing.T) {
	for _, metal := range []bool{false, true} {
		c := deskCoil()
		c.Room.Metal = metal
		c.Top, c.TopHeight = thinRing(0.03, 0.004), c.Winding.Top()+0.02
		c.Top.Elastance[0], c.Top.Weight[0] = 1e-5*c.Top.Elastance[0], 0
		c.Primary = primary(0.023)
		want := 0.0
		for i := range 450 {
			z := c.Winding.Base + float64(i)*c.Winding.Pitch
			for _, l := range c.Primary {
				want += inductance.MutualLoopsUnchecked(l.Radius, c.Winding.Radius, l.Height-z)
				if metal {
					want -= inductance.MutualLoopsUnchecked(l.Radius, c.Winding.Radius, l.Height+z)
				}
			}
		}
		var s Solver
		within(t, "foot mutual inductance", solve(t, &s, c).FootMutual, want, 1e-3, "sum over all pairs of turns")
	}
}

// TestBoard returns the foot to a free board.
func TestBoard(t *testing.T) {
	var s Solver
	c := Coil{
		Winding: Winding{Radius: 0.01262, WireRadius: 0.000101, Pitch: 0.000236, Turns: 310, Base: 0.018},
		Room:    Room{Floor: height(-0.75)},
	}
	ring := topload.Ring{WireDiameter: 0.001628, FormerDiameter: 0.014, HubDiameter: 0.0102, Turns: 19}
	c.Top, c.TopHeight = wireRing(t, ring), c.Winding.Top()+0.014
	earthed := solve(t, &s, c)
	c.Board = &Board{Body: disc(t, 0.03, 0.001)}
	small := solve(t, &s, c)
	if r := small.Frequency[0] / earthed.Frequency[0]; r < 1.01 || r > 1.3 {
		t.Errorf("a 60 mm board changes the frequency by %+.1f %%, expected +1 to +30 %%", 100*(r-1))
	}
	t.Logf("60 mm board: %+.2f %%, voltage ratio %.3f", 100*(small.Frequency[0]/earthed.Frequency[0]-1), small.CircuitRatio)
	// It tends to the earthed coil as its hold on earth grows.
	last := small
	for _, farads := range []float64{3e-12, 30e-12, 3e-9} {
		c.Board.EarthCapacitance = farads
		m := solve(t, &s, c)
		if m.Frequency[0] >= last.Frequency[0] || m.CircuitRatio >= last.CircuitRatio {
			t.Errorf("%g F to earth: %g Hz, ratio %g; with less %g Hz, ratio %g", farads, m.Frequency[0], m.CircuitRatio, last.Frequency[0], last.CircuitRatio)
		}
		last = m
	}
	within(t, "board held at earth", last.Frequency[0], func() float64 {
		// An earthed board is a zero conductor under the coil.
		c.Board.EarthCapacitance = 1
		return solve(t, &s, c).Frequency[0]
	}(), 1e-3, "1 F to earth")
	// So it does as it comes near the floor, and on it.
	near := c
	near.Board = &Board{Body: disc(t, 0.03, 0.001)}
	last = small
	for _, gap := range []float64{0.1, 0.01, 0.001, 0.0001} {
		near.Room.Floor = height(-0.0005 - gap)
		m := solve(t, &s, near)
		if m.CircuitRatio >= last.CircuitRatio {
			t.Errorf("board %g m over the floor: ratio %g, farther %g", gap, m.CircuitRatio, last.CircuitRatio)
		}
		last = m
	}
	near.Room.Floor = height(-0.0005)
	lying := solve(t, &s, near)
	if lying.CircuitRatio != 0 {
		t.Errorf("a board on the floor swings by %g", lying.CircuitRatio)
	}
	within(t, "board almost on the floor", last.Frequency[0], lying.Frequency[0], 0.02, "board on the floor")
	near.Board = nil
	within(t, "board on the floor", lying.Frequency[0], solve(t, &s, near).Frequency[0], 1e-9, "earthed foot")
	// Coil, board and earth capacitance hold no charge together.
	c.Board.EarthCapacitance = 2e-12
	m := solve(t, &s, c)
	total := m.FootCurrent / (2 * math.Pi * m.Frequency[0])
	onCoil := m.TopAmplitude[0]
	for i, q := range m.Profile.Charge {
		onCoil += q * m.Profile.Weight[i]
	}
	within(t, "charge of the coil", onCoil, total, 1e-6, "foot current over ω")
	// Its energy is half of charge times voltage, node by node.
	energy := 0.0
	for i, q := range m.Profile.Charge {
		energy += q * m.Profile.Weight[i] * m.Profile.Voltage[i] / 2
	}
	energy += m.TopAmplitude[0] / 2
	within(t, "energy", m.Energy, energy, 1e-3, "half the sum of charge times voltage from the foot")
}

// TestFreeCoil leaves the foot almost free: a board of next to no capacitance far
// away. The coil then rings as half a wave, open at both ends.
func TestFreeCoil(t *testing.T) {
	var s Solver
	// A wire of 3.561 m and 1.83 mm wound 37.1 mm wide and drawn out to 158.8
	// and 323.9 mm: frequency by a quasi-static model of the true helix (computed
	// independently for this comparison), and as measured by A. Pettit (D. W. Knight,
	// g3ynh.info, kk4vb_srf), the first on a polyethylene rod, which lowers it.
	for _, test := range []struct{ turns, length, helix, measured, tol float64 }{
		{30.52, 0.1588, 58028978, 57.4e6, 0.03},
		{30.42, 0.3239, 68318386, 67.8e6, 0.03},
	} {
		pitch := test.length / test.turns
		c := Coil{
			Winding: Winding{Radius: 0.0371 / 2, WireRadius: 0.000915, Pitch: pitch, Turns: test.turns, Base: pitch / 2},
			Board:   &Board{Body: thinRing(1e-4, 1e-6), Height: -10},
		}
		m := solve(t, &s, c)
		// The turns are rings: the wire's slope is left out, 1 in 22 of its
		// length at the shorter coil and 1 in 11 at the longer.
		within(t, "free coil", m.Frequency[0], test.helix, 0.025, "quasi-static model of the helix")
		within(t, "free coil", m.Frequency[0], test.measured, test.tol, "A. Pettit")
		t.Logf("%.2f MHz, helix %.2f MHz, measured %.1f MHz", m.Frequency[0]/1e6, test.helix/1e6, test.measured/1e6)
	}
}

// TestProfile checks the first mode along the winding against itself.
func TestProfile(t *testing.T) {
	var s Solver
	for _, metal := range []bool{false, true} {
		c := deskCoil()
		c.Room.Metal = metal
		c.Top, c.TopHeight = torus(t, 0.03, 0.01), c.Winding.Top()+0.014
		m := solve(t, &s, c)
		p := m.Profile
		n := len(p.Turn)
		charge, energy := m.TopAmplitude[0], m.TopAmplitude[0]/2
		for i := range n {
			charge += p.Weight[i] * p.Charge[i]
			energy += p.Weight[i] * p.Charge[i] * p.Voltage[i] / 2
			if i > 0 && p.Voltage[i] <= p.Voltage[i-1] {
				t.Errorf("voltage falls from turn %g to %g", p.Turn[i-1], p.Turn[i])
			}
		}
		omega := 2 * math.Pi * m.Frequency[0]
		within(t, "foot current", m.FootCurrent, omega*charge, 1e-6, "ω times charge")
		within(t, "energy", m.Energy, energy, 1e-3, "half the sum of charge times voltage")
		if p.Voltage[n-1] > 1 || p.Voltage[n-1] < 0.99 || p.Voltage[0] < 0 || p.Voltage[0] > 0.01 {
			t.Errorf("voltage from %g to %g V, want nearly 0 to 1", p.Voltage[0], p.Voltage[n-1])
		}
		within(t, "resonance", m.TopInductance*m.TopCapacitance, 1/(omega*omega), 1e-9, "definition")
		// Current against the charge above.
		above := m.TopAmplitude[0]
		for i := n - 1; i >= 0; i-- {
			here := p.Weight[i] * p.Charge[i]
			within(t, "current", p.Current[i], omega*(above+here/2), 2e-3, "charge above")
			above += here
		}
	}
}

// TestGradientOfOneTurn compares the gradient on a lone turn with that of a thin ring.
func TestGradientOfOneTurn(t *testing.T) {
	var s Solver
	const a, b = 0.05, 0.0002
	m := solve(t, &s, Coil{Winding: Winding{Radius: a, WireRadius: b, Pitch: 0.02, Turns: 1}})
	// Mean field q/(2πb · 2πa ε₀), the curvature adds (b/2a)(2 ln(8a/b) - 2) of it;
	// half a volt on the turn per volt on its end.
	want := 0.5 / (b * (math.Log(8 * a / b))) * (1 + b/a*(math.Log(8*a/b)-1))
	within(t, "gradient", m.Profile.Gradient[0], want, 1e-3, "thin ring with its curvature")
}
