package resonance

import (
	"math"
	"testing"

	"coilwright/physics/topload"
)

// benchCoil is the coil that the budgets of the quick tier speak of: 450 turns,
// a ring of 19 wire turns, a primary and a floor.
func benchCoil(b *testing.B) Coil {
	c := deskCoil()
	c.Top = wireRing(b, topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19})
	c.TopHeight = c.Winding.Top() + 0.014
	c.Primary = primary(0.023)
	return c
}

func benchmarkSolve(b *testing.B, c Coil, change func(s *Solver, c *Coil, i int)) {
	var s Solver
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		change(&s, &c, i)
		if _, err := s.Solve(b.Context(), &c); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolve450 changes the base height, so that nothing is kept but memory.
// Budget with the ring's own solution: 5 ms, aim 2.
func BenchmarkSolve450(b *testing.B) {
	benchmarkSolve(b, benchCoil(b), func(_ *Solver, c *Coil, i int) { c.Winding.Base = 0.02 + 1e-4*float64(i%2) })
}

// BenchmarkSolve450Turns moves the slider of the turns.
func BenchmarkSolve450Turns(b *testing.B) {
	c := benchCoil(b)
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { *c = c.withTurns(450 + float64(i%2)) })
}

// BenchmarkSolve450Top moves the top load alone.
func BenchmarkSolve450Top(b *testing.B) {
	benchmarkSolve(b, benchCoil(b), func(_ *Solver, c *Coil, i int) { c.TopHeight = c.Winding.Top() + 0.014 + 1e-4*float64(i%2) })
}

// BenchmarkSolve450Gauge changes the wire, and with it the row.
func BenchmarkSolve450Gauge(b *testing.B) {
	benchmarkSolve(b, benchCoil(b), func(_ *Solver, c *Coil, i int) { c.Winding.WireRadius = 0.00005 + 1e-6*float64(i%2) })
}

// BenchmarkSolve450Closed has an unbroken torus and a board at its foot.
func BenchmarkSolve450Closed(b *testing.B) {
	c := benchCoil(b)
	c.Top, c.Shorted = torus(b, 0.03, 0.01), ShortedTorus(0.03, 0.01)
	c.Board = &Board{Body: thinRing(0.03, 0.004), Height: 0.005}
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { c.Winding.Base = 0.02 + 1e-4*float64(i%2) })
}

// BenchmarkSolve450TwoPlanes has a floor and a ceiling.
func BenchmarkSolve450TwoPlanes(b *testing.B) {
	c := benchCoil(b)
	c.Room.Ceiling = height(0.5)
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { c.Winding.Base = 0.02 + 1e-4*float64(i%2) })
}

// BenchmarkSolve40: budget 1 ms.
func BenchmarkSolve40(b *testing.B) {
	c := benchCoil(b)
	c.Winding.Pitch, c.Winding.WireRadius, c.Winding.Turns = 0.0015, 0.0004, 40
	c.TopHeight = c.Winding.Top() + 0.014
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { c.Winding.Base = 0.02 + 1e-4*float64(i%2) })
}

// BenchmarkSolve5000 is the longest winding.
func BenchmarkSolve5000(b *testing.B) {
	c := benchCoil(b)
	c = c.withTurns(5000)
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { c.Winding.Base = 0.02 + 1e-4*float64(i%2) })
}

// BenchmarkFrequencyAgainstTurns is the whole curve: budget 30 ms.
func BenchmarkFrequencyAgainstTurns(b *testing.B) {
	var s Solver
	c := benchCoil(b)
	turns := make([]float64, 200)
	for i := range turns {
		turns[i] = 100 * math.Pow(10, float64(i)/float64(len(turns)-1))
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		c.Winding.Base = 0.02 + 1e-4*float64(i%2)
		if _, err := s.FrequencyAgainstTurns(b.Context(), &c, turns); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolve450Former is BenchmarkSolve450 on a tube of 1.5 mm, nothing kept.
// Budget 5 ms.
func BenchmarkSolve450Former(b *testing.B) {
	c := onFormer(benchCoil(b), 0.0015, 2.55)
	c.Former.Top = c.Winding.Top() + 0.003 // the ring stands in the way
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) {
		c.Winding.Base = 0.02 + 1e-4*float64(i%3) // one more than are kept
		c.Former.Bottom = c.Winding.Base - 0.01
	})
}

// BenchmarkSolve450FormerFraction ends the winding within a turn, so that two formers
// are answered, which are kept, as the permittivity moves.
func BenchmarkSolve450FormerFraction(b *testing.B) {
	c := benchCoil(b)
	c = onFormer(c.withTurns(450.5), 0.0015, 2.55)
	c.Former.Top = c.Winding.Top() + 0.003
	benchmarkSolve(b, c, func(_ *Solver, c *Coil, i int) { c.Former.RelativePermittivity = 2.55 + 0.01*float64(i%2) })
}
