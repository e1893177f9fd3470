package design

import (
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

// benchmarkEvaluate evaluates a design that is changed before every step, by a
// fresh solver or by one that has seen the step before.
func benchmarkEvaluate(b *testing.B, d Design, fresh bool, change func(d *Design, step int)) {
	s := NewSolver()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if fresh {
			s = NewSolver()
		}
		change(&d, i)
		if _, err := s.Evaluate(b.Context(), d); err != nil {
			b.Fatal(err)
		}
	}
}

// moves is how many places a slider takes in turn, more than any solver keeps.
const moves = 7

func turnsMoved(from float64) func(*Design, int) {
	return func(d *Design, step int) { d.Secondary.Turns = from + float64(step%moves) }
}

func baseMoved(d *Design, step int) { d.Secondary.BaseHeight = 0.018 + 1e-4*float64(step%moves) }

// BenchmarkEvaluate450 begins with a solver that has kept nothing. Budget of the
// quick tier: 5 ms, aim 2.
func BenchmarkEvaluate450(b *testing.B) {
	benchmarkEvaluate(b, benchDesign(b), true, func(*Design, int) {})
}

// BenchmarkEvaluate450Turns moves the slider of the turns. Budget 5 ms, aim 2.
func BenchmarkEvaluate450Turns(b *testing.B) {
	benchmarkEvaluate(b, benchDesign(b), false, turnsMoved(450))
}

// BenchmarkEvaluate450Base moves the winding over the floor, which leaves of the
// matrices nothing as it was. Budget 5 ms, aim 2.
func BenchmarkEvaluate450Base(b *testing.B) {
	benchmarkEvaluate(b, benchDesign(b), false, baseMoved)
}

// BenchmarkEvaluate450Ring moves the former of the ring, which is solved anew.
// Budget 5 ms, aim 2.
func BenchmarkEvaluate450Ring(b *testing.B) {
	benchmarkEvaluate(b, benchDesign(b), false, func(d *Design, step int) { d.TopLoad.FormerDiameter = 0.014 + 1e-4*float64(step%moves) })
}

// BenchmarkEvaluate40 begins with nothing kept and pays for all memory. The
// budget of 1 ms is that of a slider's step, as in BenchmarkEvaluate40Turns.
func BenchmarkEvaluate40(b *testing.B) {
	d := benchDesign(b)
	d.Secondary.Turns = 40
	benchmarkEvaluate(b, d, true, func(*Design, int) {})
}

// BenchmarkEvaluate40Turns moves the slider of the turns: budget 1 ms.
func BenchmarkEvaluate40Turns(b *testing.B) {
	d := benchDesign(b)
	benchmarkEvaluate(b, d, false, turnsMoved(40))
}

// BenchmarkCurves450 begins with a solver that has kept nothing but the present
// modes, as after Evaluate. Budgets: 30 ms for frequency against turns and 15 ms
// for capacitance against size.
func BenchmarkCurves450(b *testing.B) {
	d := benchDesign(b)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		s := NewSolver()
		if _, err := s.Evaluate(b.Context(), d); err != nil {
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
		if _, err := s.Evaluate(b.Context(), d); err != nil {
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
// curve: one solution, as for Evaluate.
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
