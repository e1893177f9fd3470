package session

import (
	"testing"

	"coilwright/physics/design"
)

// The session with the real solver: what a view is given.
func TestResultOfTheSolver(t *testing.T) {
	s := New(Options{Synchronous: true})
	var last Result
	s.OnResult(func(r Result) { last = r })
	s.New(sample())
	if last.Err != nil || len(last.Problems) > 0 {
		t.Fatalf("err %v, problems %v for a sound design", last.Err, last.Problems)
	}
	if f := last.Report.Resonance.Frequency; f == nil || *f != last.Curves.Turns.Present {
		t.Errorf("the report rings at %v, the mark of the curve stands at %g", f, last.Curves.Turns.Present)
	}
	sound := *last.Report.Resonance.Frequency

	s.Edit("ceiling", func(d *design.Design) { d.Room.CeilingHeight = 0.01 })
	if last.Err == nil || len(last.Problems) == 0 {
		t.Fatalf("err %v, problems %v for a ceiling inside the coil", last.Err, last.Problems)
	}
	if f := last.Report.Resonance.Frequency; f != nil {
		t.Errorf("a coil that cannot be built rings at %g Hz", *f)
	}

	s.Undo()
	if f := last.Report.Resonance.Frequency; f == nil || *f != sound {
		t.Errorf("after undo the coil rings at %v, want %g Hz again", f, sound)
	}
}

// A ring that cannot be built has no report, but curves that say where it could.
func TestRingThatCannotBeBuiltKeepsItsCurves(t *testing.T) {
	s := New(Options{Synchronous: true})
	var last Result
	s.OnResult(func(r Result) { last = r })
	d := sample()
	d.TopLoad = design.TopLoad{
		Kind: design.WireRing, Height: 0.014, Wire: design.Wire{Gauge: "AWG 14", Insulation: design.Bare},
		FormerDiameter: 0.014, Turns: 40, HubDiameter: 0.010,
	}
	s.New(d)
	if last.Err == nil || last.CurvesErr != nil || len(last.Curves.Size.OuterDiameter) == 0 {
		t.Errorf("report error %v, curves error %v, %d sizes", last.Err, last.CurvesErr, len(last.Curves.Size.OuterDiameter))
	}
}

func TestCurveOptionsSolveAgain(t *testing.T) {
	s := New(Options{Synchronous: true})
	var last Result
	s.OnResult(func(r Result) { last = r })
	d := sample()
	d.TopLoad = design.TopLoad{
		Kind: design.WireRing, Height: 0.014, Wire: design.Wire{Gauge: "AWG 14", Insulation: design.Bare},
		FormerDiameter: 0.014, Turns: 19, HubDiameter: 0.010,
	}
	s.New(d)
	before := last.Number
	s.SetCurveOptions(design.CurveOptions{Vary: design.VaryHub})
	if last.Curves.Size.Vary != design.VaryHub || s.CurveOptions().Vary != design.VaryHub {
		t.Errorf("the curve varies %v after asking for the hub (err %v)", last.Curves.Size.Vary, last.Err)
	}
	if s.Modified() || s.UndoName() != "" {
		t.Error("a choice of curve counts as a change of the design")
	}
	asked := last.Number
	s.SetCurveOptions(design.CurveOptions{Vary: design.VaryHub})
	if asked == before || last.Number != asked {
		t.Errorf("numbers %d, %d, %d: want one more solve for a new choice, none for the same", before, asked, last.Number)
	}
}
