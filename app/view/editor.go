package view

import "coilwright/physics/design"

// Editor is where a part sends what its user asks for; the session is one.
type Editor interface {
	// Design returns a copy of the open design.
	Design() design.Design
	// Edit changes the open design as one undo step called name.
	Edit(name string, change func(*design.Design))
	// Begin opens a gesture: all edits until End are one undo step.
	Begin(name string)
	// End closes it.
	End()
	// Cancel closes it and brings back what was before.
	Cancel()
}
