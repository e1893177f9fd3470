package session

import (
	"reflect"

	"coilwright/physics/design"
)

// history is every state before and after the present one. It has no limit: a
// design is a few kilobytes.
type history struct {
	past    []step // oldest first
	future  []step // nearest last
	gesture *step  // open between Begin and End: its name and the state before
}

// step is a named change and the state on its far side: before it in the past,
// after it in the future.
type step struct {
	name  string
	state design.Design
}

// Edit changes the open design as one undo step called name, which a menu
// shows after "Undo". Inside a gesture it becomes part of the gesture's step.
// A change that leaves everything as it was is none. name must not be empty.
func (s *Session) Edit(name string, change func(*design.Design)) {
	if name == "" {
		panic("session: an edit needs a name")
	}
	next := clone(s.current)
	change(&next)
	if reflect.DeepEqual(next, s.current) {
		return
	}
	if s.history.gesture == nil {
		s.history.push(name, s.current)
	} else {
		s.history.gesture.name = name
	}
	s.replace(next)
}

// Begin opens a gesture, such as the drag of a slider: every edit until
// [Session.End] is one undo step, called name until an edit names it. While it is open a running solve
// is finished and shown even though a newer edit waits, because cancelling it
// each time would show nothing until the hand rests. A gesture that is already
// open ends first. name must not be empty.
func (s *Session) Begin(name string) {
	if name == "" {
		panic("session: a gesture needs a name")
	}
	s.End()
	s.history.gesture = &step{name, s.current}
}

// End closes the gesture, if one is open, cancels a solve that is behind, and
// asks for what the solves of the moving hand left out.
func (s *Session) End() {
	g := s.history.gesture
	if g == nil {
		return
	}
	s.history.gesture = nil
	s.worker.cancelOld()
	if reflect.DeepEqual(g.state, s.current) {
		return
	}
	s.history.push(g.name, g.state)
	s.notify()
	s.worker.solve(clone(s.current), s.curves, true, false)
}

// Cancel closes the gesture, if one is open, and restores the design as it was
// at [Session.Begin]; what could be redone then can be redone again.
func (s *Session) Cancel() {
	g := s.history.gesture
	if g == nil {
		return
	}
	s.history.gesture = nil
	if reflect.DeepEqual(g.state, s.current) {
		s.worker.cancelOld()
		return
	}
	s.replace(g.state)
}

// Undo takes back the last step; an open gesture ends first. Without a step it
// does nothing.
func (s *Session) Undo() {
	s.End()
	if state, ok := move(&s.history.past, &s.history.future, s.current); ok {
		s.replace(state)
	}
}

// Redo does the last undone step again; an open gesture ends first. Without
// such a step it does nothing.
func (s *Session) Redo() {
	s.End()
	if state, ok := move(&s.history.future, &s.history.past, s.current); ok {
		s.replace(state)
	}
}

// Steps returns how many steps [Session.Undo] could take back, one after the
// other.
func (s *Session) Steps() int {
	if s.gestureChanged() {
		return len(s.history.past) + 1
	}
	return len(s.history.past)
}

// UndoName returns the name of the step [Session.Undo] would take back, empty
// if there is none.
func (s *Session) UndoName() string {
	if s.gestureChanged() {
		return s.history.gesture.name
	}
	return lastName(s.history.past)
}

// RedoName returns the name of the step [Session.Redo] would do again, empty
// if there is none.
func (s *Session) RedoName() string {
	if s.gestureChanged() {
		return ""
	}
	return lastName(s.history.future)
}

func (s *Session) gestureChanged() bool {
	g := s.history.gesture
	return g != nil && !reflect.DeepEqual(g.state, s.current)
}

// push records a new step from the state before it; what was undone is gone.
func (h *history) push(name string, before design.Design) {
	h.past = append(h.past, step{name, before})
	h.future = nil
}

// move takes the last step of from, files the present state under its name in
// to, and returns the state on the step's far side.
func move(from, to *[]step, present design.Design) (design.Design, bool) {
	n := len(*from)
	if n == 0 {
		return design.Design{}, false
	}
	last := (*from)[n-1]
	*from = (*from)[:n-1]
	*to = append(*to, step{last.name, present})
	return last.state, true
}

func lastName(steps []step) string {
	if len(steps) == 0 {
		return ""
	}
	return steps[len(steps)-1].name
}
