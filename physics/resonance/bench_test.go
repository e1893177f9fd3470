package resonance

import (
	"testing"

	"coilwright/physics/topload"
)

func benchmarkSolve(b *testing.B, change func(s *Solver, c *Coil, i int)) {
	var s Solver
	c := Coil{Winding: Winding{Radius: 0.01255, WireRadius: 0.00005, Pitch: 0.00014, Turns: 450, Base: 0.02}, Room: Room{Floor: new(float64)}}
	top := wireRing(b, topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19})
	c.Top, c.TopHeight = top, c.Winding.Top()+0.014
	for i := range 4 {
		c.Primary = append(c.Primary, Loop{Radius: 0.023, Height: 0.01 + 0.004*float64(i), WireRadius: 0.00065, Weight: 1})
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		change(&s, &c, i)
		if _, err := s.Solve(b.Context(), &c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolve450Cold(b *testing.B) {
	benchmarkSolve(b, func(s *Solver, c *Coil, i int) { s.kernels.turns, s.winding.wound, s.primaryTurns = 0, Winding{}, nil })
}

func BenchmarkSolve450Turns(b *testing.B) {
	benchmarkSolve(b, func(s *Solver, c *Coil, i int) { c.Winding.Turns = 450 + float64(i%2) })
}

func BenchmarkSolve450TopMoved(b *testing.B) {
	benchmarkSolve(b, func(s *Solver, c *Coil, i int) { c.TopHeight = c.Winding.Top() + 0.014 + 1e-4*float64(i%2) })
}

func BenchmarkRingBody(b *testing.B) {
	var s topload.RingSolver
	body := &topload.Body{}
	for b.Loop() {
		if _, err := s.Body(body, topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19}); err != nil {
			b.Fatal(err)
		}
	}
}
