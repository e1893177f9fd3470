package session

import (
	"context"
	"testing"

	"coilwright/physics/design"

	"pgregory.net/rapid"
)

// quiet returns a session that solves nothing, with a design in it.
func quiet(t testing.TB) *Session {
	t.Helper()
	s := New(Options{Synchronous: true})
	s.worker.compute = func(_ context.Context, j *job) Result {
		return Result{Design: j.design}
	}
	var d design.Design
	d.Secondary.Turns = 100
	s.New(d)
	return s
}

func setTurns(s *Session, name string, turns float64) {
	s.Edit(name, func(d *design.Design) { d.Secondary.Turns = turns })
}

func wantTurns(t *testing.T, s *Session, want float64) {
	t.Helper()
	if got := s.Design().Secondary.Turns; got != want {
		t.Errorf("turns = %g, want %g", got, want)
	}
}

func wantNames(t *testing.T, s *Session, undo, redo string) {
	t.Helper()
	if s.UndoName() != undo || s.RedoName() != redo {
		t.Errorf("undo %q redo %q, want %q and %q", s.UndoName(), s.RedoName(), undo, redo)
	}
}

func TestUndoRedo(t *testing.T) {
	s := quiet(t)
	s.Undo() // nothing to undo
	wantNames(t, s, "", "")
	setTurns(s, "a", 101)
	setTurns(s, "b", 102)
	wantNames(t, s, "b", "")
	s.Undo()
	wantTurns(t, s, 101)
	wantNames(t, s, "a", "b")
	s.Undo()
	wantTurns(t, s, 100)
	wantNames(t, s, "", "a")
	s.Redo()
	wantTurns(t, s, 101)
	wantNames(t, s, "a", "b")
	setTurns(s, "c", 103) // clears the redo
	wantNames(t, s, "c", "")
	s.Redo()
	wantTurns(t, s, 103)
}

func TestEditThatChangesNothingIsNoStep(t *testing.T) {
	s := quiet(t)
	calls := 0
	s.OnChange(func() { calls++ })
	setTurns(s, "a", 100)
	wantNames(t, s, "", "")
	if calls != 0 || s.Modified() {
		t.Errorf("%d calls, modified %v; want none and false", calls, s.Modified())
	}
}

func TestGestureIsOneStep(t *testing.T) {
	s := quiet(t)
	setTurns(s, "before", 101)
	s.Undo()
	s.Begin("drag")
	wantNames(t, s, "", "before") // nothing moved yet
	for turns := 102.0; turns < 150; turns++ {
		setTurns(s, "drag", turns)
	}
	wantNames(t, s, "drag", "")
	s.End()
	wantNames(t, s, "drag", "")
	s.Undo()
	wantTurns(t, s, 100)
	s.Redo()
	wantTurns(t, s, 149)
	s.End() // none open
	wantNames(t, s, "drag", "")
}

func TestGestureBackToItsStartIsNoStep(t *testing.T) {
	s := quiet(t)
	setTurns(s, "a", 101)
	s.Undo()
	s.Begin("drag")
	setTurns(s, "drag", 120)
	setTurns(s, "drag", 100)
	s.End()
	wantNames(t, s, "", "a")
}

func TestCancelRestores(t *testing.T) {
	s := quiet(t)
	setTurns(s, "a", 101)
	setTurns(s, "b", 102)
	s.Undo()
	s.Begin("drag")
	setTurns(s, "drag", 120)
	s.Cancel()
	wantTurns(t, s, 101)
	wantNames(t, s, "a", "b")
	setTurns(s, "c", 103) // a step of its own again
	wantNames(t, s, "c", "")
	s.Cancel() // none open
	wantTurns(t, s, 103)
}

func TestUndoInsideGestureTakesTheGestureBack(t *testing.T) {
	s := quiet(t)
	s.Begin("drag")
	setTurns(s, "drag", 120)
	s.Undo()
	wantTurns(t, s, 100)
	wantNames(t, s, "", "drag")
	setTurns(s, "a", 130)
	wantNames(t, s, "a", "")
}

func TestModifiedComparesWithTheOpenedState(t *testing.T) {
	s := quiet(t)
	if s.Modified() {
		t.Error("a new design is modified")
	}
	setTurns(s, "a", 101)
	if !s.Modified() {
		t.Error("not modified after an edit")
	}
	s.Undo()
	if s.Modified() {
		t.Error("modified after undoing to the start")
	}
	s.Redo()
	setTurns(s, "b", 100)
	if s.Modified() {
		t.Error("modified after typing the old value back")
	}
}

func TestEverySolveFollowsTheDesign(t *testing.T) {
	s := quiet(t)
	var shown float64
	s.OnResult(func(r Result) { shown = r.Design.Secondary.Turns })
	for _, step := range []struct {
		name  string
		act   func()
		turns float64
	}{
		{"edit", func() { setTurns(s, "a", 107) }, 107},
		{"undo", s.Undo, 100},
		{"redo", s.Redo, 107},
		{"begin", func() { s.Begin("drag"); setTurns(s, "drag", 110) }, 110},
		{"cancel", s.Cancel, 107},
		{"new", func() { s.New(design.Design{Secondary: design.Secondary{Turns: 55}}) }, 55},
	} {
		step.act()
		wantTurns(t, s, step.turns)
		if shown != step.turns {
			t.Errorf("%s: result for %g turns, want %g", step.name, shown, step.turns)
		}
	}
}

// A random walk over the history is compared with a plain list of states.
func TestHistoryAgainstModel(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := quiet(t)
		states, at := []float64{100}, 0
		dragFrom, dragging := 0.0, false
		now := 100.0
		end := func() {
			if dragging && now != dragFrom {
				states = append(states[:at+1], now)
				at++
			}
			dragging = false
		}
		rt.Repeat(map[string]func(*rapid.T){
			"edit": func(rt *rapid.T) {
				turns := float64(rapid.IntRange(100, 104).Draw(rt, "turns"))
				if turns != now && !dragging {
					states = append(states[:at+1], turns)
					at++
				}
				now = turns
				setTurns(s, "edit", turns)
			},
			"begin": func(*rapid.T) { end(); dragFrom, dragging = now, true; s.Begin("drag") },
			"end":   func(*rapid.T) { end(); s.End() },
			"cancel": func(*rapid.T) {
				if dragging {
					now, dragging = dragFrom, false
				}
				s.Cancel()
			},
			"undo": func(*rapid.T) {
				end()
				at = max(at-1, 0)
				now = states[at]
				s.Undo()
			},
			"redo": func(*rapid.T) {
				end()
				at = min(at+1, len(states)-1)
				now = states[at]
				s.Redo()
			},
			"": func(rt *rapid.T) {
				if got := s.Design().Secondary.Turns; got != now {
					rt.Fatalf("turns = %g, want %g", got, now)
				}
				if got, want := s.Modified(), now != 100; got != want {
					rt.Fatalf("modified = %v with %g turns", got, now)
				}
			},
		})
	})
}
