package loss

import (
	"math"
	"testing"
)

// deskCurrent is a quarter wave from foot to top.
func deskCurrent(turns int) []float64 {
	current := make([]float64, turns)
	for i := range current {
		current[i] = math.Cos(math.Pi / 2 * (float64(i) + 0.5) / float64(turns))
	}
	return current
}

// deskWinding is close-wound enamelled wire of 0.2 mm on a tube of 25 mm.
var deskWinding = Winding{Radius: 0.0126, WireRadius: 1e-4, Pitch: 0.00024, Conductivity: 58e6}

func benchmarkWinding(b *testing.B, w Winding, turns int) {
	var s Solver
	current := deskCurrent(turns)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Winding(w, 1.4e6, current); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWinding450: budget 5 ms.
func BenchmarkWinding450(b *testing.B) { benchmarkWinding(b, deskWinding, 450) }

// BenchmarkWinding450Plane has a metal plane below.
func BenchmarkWinding450Plane(b *testing.B) {
	w := deskWinding
	w.PlaneDistance = 0.02
	benchmarkWinding(b, w, 450)
}

// BenchmarkWinding450Touching has bare wires that touch: 24 harmonics.
func BenchmarkWinding450Touching(b *testing.B) {
	w := deskWinding
	w.Pitch = 2 * w.WireRadius
	benchmarkWinding(b, w, 450)
}

// BenchmarkWinding5000 is the longest winding.
func BenchmarkWinding5000(b *testing.B) { benchmarkWinding(b, deskWinding, 5000) }

func benchmarkSources() []RingCurrent {
	sources := make([]RingCurrent, 60)
	for i := range sources {
		sources[i] = RingCurrent{Radius: 0.0126, Height: 0.02 + 0.0018*float64(i), Current: 7}
	}
	return sources
}

func BenchmarkPlaneLoss(b *testing.B) {
	sources := benchmarkSources()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := PlaneLoss(sources, 0, 1.4e6, Metal{Conductivity: 37e6}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkShellLoss(b *testing.B) {
	sources := benchmarkSources()
	strips := sphereStrips(0.03, 32)
	for i := range strips {
		strips[i].Height += 0.17
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ShellLoss(strips, sources, nil, 1.4e6, Metal{Conductivity: 37e6}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRing(b *testing.B) {
	sources := benchmarkSources()
	r := Ring{Radius: 0.0127, TurnRadius: 0.0076, WireRadius: 0.00065, Turns: 19, Height: 0.145, Conductivity: 58e6}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := RingChargingLoss(r, 1e-11, 1.4e6, func(theta float64) float64 { return 1 + math.Cos(theta)/2 }); err != nil {
			b.Fatal(err)
		}
		if _, err := RingEddyLoss(r, sources, nil, 1.4e6); err != nil {
			b.Fatal(err)
		}
	}
}
