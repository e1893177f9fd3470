package design

import (
	"context"
	"strings"
	"testing"
)

// benchDesign is the coil that the budgets speak of: 450 turns, a ring of 19
// wire turns, a primary and a floor.
func benchDesign(b *testing.B) Design {
	d, err := Read(strings.NewReader(desk))
	if err != nil {
		b.Fatal(err)
	}
	d.Secondary.Turns = 450
	return d
}

// tier is how much of a report is computed: [Solver.Quick] or [Solver.Evaluate].
type tier func(*Solver, context.Context, Design) (Report, error)

// benchmarkReport reports on a design that is changed before every step, by a
// fresh solver or by one that has seen the step before.
func benchmarkReport(b *testing.B, report tier, d Design, fresh bool, change func(d *Design, step int)) {
	s := NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if fresh {
			s = NewSolver()
		}
		change(&d, i)
		if _, err := report(s, b.Context(), d); err != nil {
			b.Fatal(err)
		}
	}
}

// moves is how many places a slider takes in turn, more than any solver keeps.
const moves = 7

func turnsMoved(from float64) func(*Design, int) {
	return func(d *Design, step int) { d.Secondary.Turns = from + float64(step%moves) }
}

// onTube puts a design's winding on a tube of acrylic.
func onTube(d Design) Design {
	d.Secondary.FormerRelativePermittivity = 2.7
	return d
}

func baseMoved(d *Design, step int) { d.Secondary.BaseHeight = 0.018 + 1e-4*float64(step%moves) }

// BenchmarkQuick450 begins with a solver that has kept nothing. Budget of the
// quick tier: 5 ms, aim 2.
func BenchmarkQuick450(b *testing.B) {
	benchmarkReport(b, (*Solver).Quick, benchDesign(b), true, func(*Design, int) {})
}

// BenchmarkQuick450Turns moves the slider of the turns. Budget 5 ms, aim 2.
func BenchmarkQuick450Turns(b *testing.B) {
	benchmarkReport(b, (*Solver).Quick, benchDesign(b), false, turnsMoved(450))
}

// BenchmarkQuick450Base moves the winding over the floor, which leaves of the
// matrices nothing as it was. Budget 5 ms, aim 2.
func BenchmarkQuick450Base(b *testing.B) {
	benchmarkReport(b, (*Solver).Quick, benchDesign(b), false, baseMoved)
}

// BenchmarkQuick450Ring moves the former of the ring, which is solved anew.
// Budget 5 ms, aim 2.
func BenchmarkQuick450Ring(b *testing.B) {
	benchmarkReport(b, (*Solver).Quick, benchDesign(b), false, func(d *Design, step int) { d.TopLoad.FormerDiameter = 0.014 + 1e-4*float64(step%moves) })
}

// BenchmarkQuick40 begins with nothing kept and pays for all memory. The
// budget of 1 ms is that of a slider's step, as in BenchmarkQuick40Turns.
func BenchmarkQuick40(b *testing.B) {
	d := benchDesign(b)
	d.Secondary.Turns = 40
	benchmarkReport(b, (*Solver).Quick, d, true, func(*Design, int) {})
}

// BenchmarkQuick40Turns moves the slider of the turns: budget 1 ms.
func BenchmarkQuick40Turns(b *testing.B) {
	d := benchDesign(b)
	benchmarkReport(b, (*Solver).Quick, d, false, turnsMoved(40))
}

// BenchmarkEvaluate450 is the whole report by a solver that has kept nothing.
// Budget of the full tier: 30 ms.
func BenchmarkEvaluate450(b *testing.B) {
	benchmarkReport(b, (*Solver).Evaluate, benchDesign(b), true, func(*Design, int) {})
}

// BenchmarkEvaluate450Turns is the whole report after the slider of the turns was
// moved. Budget 30 ms.
func BenchmarkEvaluate450Turns(b *testing.B) {
	benchmarkReport(b, (*Solver).Evaluate, benchDesign(b), false, turnsMoved(450))
}

// BenchmarkEvaluate450Tube is BenchmarkEvaluate450 on a tube: budget twice its time.
func BenchmarkEvaluate450Tube(b *testing.B) {
	benchmarkReport(b, (*Solver).Evaluate, onTube(benchDesign(b)), true, func(*Design, int) {})
}

// BenchmarkEvaluate450TubeTurns is BenchmarkEvaluate450Turns on a tube: budget twice
// its time.
func BenchmarkEvaluate450TubeTurns(b *testing.B) {
	benchmarkReport(b, (*Solver).Evaluate, onTube(benchDesign(b)), false, turnsMoved(450))
}

// BenchmarkEvaluate450TubeFraction loses energy in a tube whose winding ends within a
// turn: each of its solutions stands between two. The top load moves.
func BenchmarkEvaluate450TubeFraction(b *testing.B) {
	d := onTube(benchDesign(b))
	d.Secondary.Turns, d.Secondary.FormerLossTangent = 450.5, 0.01
	benchmarkReport(b, (*Solver).Evaluate, d, false, func(d *Design, step int) { d.TopLoad.Height = 0.014 + 1e-4*float64(step%moves) })
}

// BenchmarkQuick450TubeTurns is BenchmarkQuick450Turns on a tube. Budget 5 ms.
func BenchmarkQuick450TubeTurns(b *testing.B) {
	benchmarkReport(b, (*Solver).Quick, onTube(benchDesign(b)), false, turnsMoved(450))
}

// BenchmarkCurves450 begins with a solver that has kept nothing but the present
// modes, as after Quick. Budgets: 30 ms for frequency against turns and 15 ms
// for capacitance against size.
func BenchmarkCurves450(b *testing.B) {
	d := benchDesign(b)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		s := NewSolver()
		if _, err := s.Quick(b.Context(), d); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if _, err := s.Curves(b.Context(), d, CurveOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCurves450Turns moves the slider of the turns and reads the kept
// curves once the report is there: budget 1 ms.
func BenchmarkCurves450Turns(b *testing.B) {
	d, s := benchDesign(b), NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		turnsMoved(450)(&d, i)
		if _, err := s.Quick(b.Context(), d); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if _, err := s.Curves(b.Context(), d, CurveOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCurves450Base moves the winding over the floor: every frequency is
// solved anew, the size curve is kept. Budget 30 ms.
func BenchmarkCurves450Base(b *testing.B) {
	d, s := benchDesign(b), NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		baseMoved(&d, i)
		if _, err := s.Curves(b.Context(), d, CurveOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCurves450Ring moves the former of the ring: both curves are solved
// anew. Budget 45 ms.
func BenchmarkCurves450Ring(b *testing.B) {
	d, s := benchDesign(b), NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		d.TopLoad.FormerDiameter = 0.014 + 1e-4*float64(i%moves)
		if _, err := s.Curves(b.Context(), d, CurveOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHeightCurve450 begins with nothing kept. It is drawn on request; 30 ms
// as for the curve against turns.
func BenchmarkHeightCurve450(b *testing.B) {
	d := benchDesign(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ComputeHeightCurve(b.Context(), d); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHeightCurve450Height moves the slider of the height, which keeps the
// curve: one solution, as for Quick.
func BenchmarkHeightCurve450Height(b *testing.B) {
	d, s := benchDesign(b), NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		d.TopLoad.Height = 0.014 + 1e-4*float64(i%moves)
		if _, err := s.HeightCurve(b.Context(), d); err != nil {
			b.Fatal(err)
		}
	}
}
