package resonance

import (
	"testing"
)

func desk(n float64) Coil {
	c := Coil{Winding: Winding{Radius: 0.01255, WireRadius: 0.00005, Pitch: 0.00014, Turns: n, Base: 0.02}, Room: Room{Floor: new(float64)}}
	return c
}

func BenchmarkSolve450Bare(b *testing.B) {
	var s Solver
	c := desk(450)
	b.ReportAllocs()
	for b.Loop() {
		s.kernels.turns = 0
		s.winding.wound = Winding{}
		if _, err := s.Solve(b.Context(), &c); err != nil {
			b.Fatal(err)
		}
	}
}
