package resonance

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/inductance"
	"coilwright/physics/topload"
)

// TestSolverKeepsNothingStale sends one solver through changes of every kind and
// compares with a fresh one each time.
func TestSolverKeepsNothingStale(t *testing.T) {
	bodies := []*topload.Body{nil, thinRing(0.02, 0.004), thinRing(0.03, 0.004), torus(t, 0.03, 0.01)}
	random := rand.New(rand.NewSource(7))
	var s Solver
	c := deskCoil()
	c.Winding.Turns = 60
	for range 120 {
		switch random.Intn(9) {
		case 0:
			c.Winding.Turns = 30 + float64(random.Intn(60))
		case 1:
			c.Winding.WireRadius = 0.00004 + 0.00002*random.Float64()
		case 2:
			c.Winding.Base = 0.02 + 0.01*random.Float64()
		case 3:
			c.Room = []Room{{}, {Floor: height(0)}, {Floor: height(0), Metal: true}, {Floor: height(-0.1), Ceiling: height(0.4)}, {Ceiling: height(0.4)}}[random.Intn(5)]
		case 4:
			c.Top = bodies[random.Intn(len(bodies))]
		case 5:
			c.Primary = [][]inductance.Loop{nil, primary(0.02), primary(0.025)}[random.Intn(3)]
		case 6:
			c.Board = []*Board{nil, {Body: bodies[2], Height: 0.005}, {Body: bodies[1], Height: 0.005, EarthCapacitance: 3e-12}}[random.Intn(3)]
		case 7:
			c.TopLead = []*Lead{nil, {Radius: 0.0125, Bottom: 0.045, Length: 0.01, WireRadius: 0.0001}}[random.Intn(2)]
		case 8:
			c.Shorted = [][]inductance.Loop{nil, ShortedTorus(0.03, 0.01)}[random.Intn(2)]
		}
		c.TopHeight = 0.06 + 0.01*random.Float64()
		got, want := solve(t, &s, c), solve(t, &Solver{}, c)
		for i := range ModeCount {
			within(t, "frequency", got.Frequency[i], want.Frequency[i], 1e-8, "fresh solver")
		}
		within(t, "bare", got.Bare, want.Bare, 1e-8, "fresh solver")
		within(t, "gradient", got.Profile.Gradient[0], want.Profile.Gradient[0], 1e-5, "fresh solver")
		if len(c.Primary) > 0 {
			within(t, "foot mutual", got.FootMutual, want.FootMutual, 1e-6, "fresh solver")
		}
		if t.Failed() {
			t.Fatalf("with %+v", c)
		}
	}
}

// TestBodyUsedAgain changes the contents of a body between two solves.
func TestBodyUsedAgain(t *testing.T) {
	var s Solver
	c := deskCoil()
	c.Top, c.TopHeight = thinRing(0.02, 0.004), c.Winding.Top()+0.014
	solve(t, &s, c)
	*c.Top = *thinRing(0.03, 0.004)
	within(t, "frequency", solve(t, &s, c).Frequency[0], solve(t, &Solver{}, c).Frequency[0], 1e-9, "fresh solver")
}

func TestSolveStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var s Solver
	c := deskCoil()
	if _, err := s.Solve(ctx, &c); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled solve returns %v", err)
	}
	// And the solver is as good as new.
	within(t, "frequency", solve(t, &s, c).Frequency[0], solve(t, &Solver{}, c).Frequency[0], 1e-9, "fresh solver")
}

func TestSolveRefuses(t *testing.T) {
	for name, change := range map[string]func(c *Coil){
		"no radius":         func(c *Coil) { c.Winding.Radius = 0 },
		"radius not number": func(c *Coil) { c.Winding.Radius = math.NaN() },
		"wire too thick":    func(c *Coil) { c.Winding.WireRadius = 0.02 },
		"pitch too small":   func(c *Coil) { c.Winding.Pitch = 0.00009 },
		"no turns":          func(c *Coil) { c.Winding.Turns = 0 },
		"too many turns":    func(c *Coil) { c.Winding.Turns = 5001 },
		"turns not number":  func(c *Coil) { c.Winding.Turns = math.NaN() },
		"below the floor":   func(c *Coil) { c.Winding.Base = -0.01 },
		"above the ceiling": func(c *Coil) { c.Room.Ceiling = height(0.05) },
		"primary too deep":  func(c *Coil) { c.Primary = []inductance.Loop{{Radius: 0.02, Height: -1, WireRadius: 0.001, Weight: 1}} },
		"primary of none":   func(c *Coil) { c.Primary = []inductance.Loop{{Radius: 0.02, Height: 1, WireRadius: 0.001}} },
	} {
		c := deskCoil()
		change(&c)
		var s Solver
		if _, err := s.Solve(t.Context(), &c); !errors.Is(err, ErrGeometry) {
			t.Errorf("%s: error %v, want ErrGeometry", name, err)
		}
	}
}

// TestLanczos compares with the full decomposition.
func TestLanczos(t *testing.T) {
	var s Solver
	c := deskCoil()
	c.Top, c.TopHeight = torus(t, 0.03, 0.01), c.Winding.Top()+0.014
	c.Primary = primary(0.023)
	got := solve(t, &s, c)
	m := &s.matrices
	n := m.count
	p, l := mat.NewSymDense(n, nil), mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			if j >= i {
				p.SetSym(i, j, m.elastance[i*n+j])
			}
			l.Set(i, j, m.inductance[i*n+j])
		}
	}
	var factor mat.Cholesky
	if !factor.Factorize(p) {
		t.Fatal("elastance not positive")
	}
	var product mat.Dense
	if err := factor.SolveTo(&product, l); err != nil {
		t.Fatal(err)
	}
	for i, mu := range largestThree(t, &product) {
		within(t, "mode", got.Frequency[i], 1/(2*math.Pi*math.Sqrt(mu)), 1e-9, "full decomposition")
	}
}

func TestNodeSpacing(t *testing.T) {
	c := deskCoil()
	c.Top, c.TopHeight = wireRing(t, topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19}), c.Winding.Top()+0.0095
	c.Primary = primary(0.0145)
	var s Solver
	coarse := solve(t, &s, c)
	var exact Solver
	exact.nodes = 1e-9
	fine := solve(t, &exact, c)
	if len(exact.top.nodes) <= len(s.top.nodes) {
		t.Fatalf("%d nodes against %d", len(exact.top.nodes), len(s.top.nodes))
	}
	within(t, "first mode", coarse.Frequency[0], fine.Frequency[0], 1e-5, "every sample evaluated")
	within(t, "third mode", coarse.Frequency[2], fine.Frequency[2], 1e-4, "every sample evaluated")
}
