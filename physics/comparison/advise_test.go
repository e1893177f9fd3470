package comparison

import (
	"context"
	"math"
	"strings"
	"testing"

	"coilwright/physics/design"
)

func TestAdviceReachesTheTarget(t *testing.T) {
	for _, up := range []float64{1.03, 0.97} {
		d := desk(t)
		truth := desk(t)
		truth.Secondary.FormerDiameter *= 1.004
		readOf(t, &d, truth, reading(Frequency, WithPrimary))
		c := compared(t, d)
		target := up * d.Measurements[0].Value
		a, err := Advise(context.Background(), design.NewSolver(), d, &c, target)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(a.Now.Value/d.Measurements[0].Value-1) > 1e-3 {
			t.Errorf("it is said to ring at %g Hz and was read at %g", a.Now.Value, d.Measurements[0].Value)
		}
		if len(a.Steps) < 3 {
			t.Errorf("only %d steps to %g Hz: %+v", len(a.Steps), target, a.Steps)
		}
		for _, s := range a.Steps {
			if math.Abs(s.Reached.Value/target-1) > math.Abs(a.Now.Value/target-1) {
				t.Errorf("%s leads away", s.Text)
			}
			if s.Key != keyTurns {
				continue
			}
			if math.Abs(s.Reached.Value-target) > 0.6*math.Abs(s.PerUnit) {
				t.Errorf("%s: a turn nearer would be nearer", s.Text)
			}
			if s.Irrevocable != (up > 1) || s.Irrevocable != strings.Contains(s.Text.String(), "cannot be put back") {
				t.Errorf("turns off or on: %s", s.Text)
			}
			// What it says of the drawn coil must hold of the true one.
			truth.Secondary.Turns += s.To - s.From
			f, err := design.NewSolver().Loaded(context.Background(), truth, 0)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(f.Frequency-s.Reached.Value) > sigmas*s.Reached.Sigma {
				t.Errorf("the true coil then rings at %g Hz, said was %g ± %g", f.Frequency, s.Reached.Value, sigmas*s.Reached.Sigma)
			}
		}
	}
}

func TestAdviceWithNothingToDo(t *testing.T) {
	d := desk(t)
	readOf(t, &d, d, reading(Frequency, WithPrimary))
	c := compared(t, d)
	a, err := Advise(context.Background(), design.NewSolver(), d, &c, c.Explanation.Posterior.Value)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Steps) > 0 || !strings.Contains(a.Text.String(), "leave it") {
		t.Errorf("%s, %d steps", a.Text, len(a.Steps))
	}
}

func TestAdviceLeavesTheProbeOut(t *testing.T) {
	d := desk(t)
	probed := reading(Frequency, WithPrimary)
	probed.ProbePlace, probed.ProbeCapacitance = OnTop, 2e-12
	readOf(t, &d, d, probed)
	c := compared(t, d)
	a, err := Advise(context.Background(), design.NewSolver(), d, &c, 1.02*c.Explanation.Posterior.Value)
	if err != nil {
		t.Fatal(err)
	}
	last := a.Steps[len(a.Steps)-1]
	if last.Key != KeyHidden || math.Abs(last.From-2e-12) > 1e-20 || last.PerUnit >= 0 {
		t.Errorf("the last step is %+v", last)
	}
}

// TestSeries: four coils of a class set, each wound a little otherwise.
func TestSeries(t *testing.T) {
	var coils []design.Design
	for _, off := range []float64{0.995, 1.0, 1.004, 1.008} {
		d, truth := handSized(t), handSized(t)
		truth.Secondary.FormerDiameter *= off
		readOf(t, &d, truth, reading(Frequency, WithPrimary))
		coils = append(coils, d)
	}
	s, err := AdviseSeries(context.Background(), design.NewSolver(), coils, 0)
	if err != nil {
		t.Fatal(err)
	}
	highest := 0.0
	for _, c := range s.Coils {
		highest = math.Max(highest, c.Advice.Now.Value)
		for _, step := range c.Advice.Steps {
			if step.Key == keyTurns && step.To > step.From {
				t.Errorf("%s: turns are to go on: %s", c.Name, step.Text)
			}
		}
	}
	if math.Abs(s.Target/highest-1) > 1e-12 {
		t.Errorf("the target is %g Hz, the highest coil %g", s.Target, highest)
	}
	if s.After > s.Before {
		t.Errorf("the spread grows from %g to %g Hz", s.Before, s.After)
	}
}

// TestTargetOf: only what is set from outside is a target; an exciter follows its
// coil.
func TestTargetOf(t *testing.T) {
	d := desk(t)
	d.TargetFrequency = 0
	if f := TargetOf(d); f != 0 {
		t.Errorf("without any target it is %g Hz", f)
	}
	d.Driver = design.Driver{Kind: design.HalfBridge, Frequency: 3.9e6}
	if f := TargetOf(d); f != 3.9e6 {
		t.Errorf("for a bridge set to 3.9 MHz it is %g Hz", f)
	}
	d.TargetFrequency = 4e6
	if f := TargetOf(d); f != 4e6 {
		t.Errorf("the design's own target of 4 MHz becomes %g Hz", f)
	}
}
