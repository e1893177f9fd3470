package app

import (
	"fyne.io/fyne/v2"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
)

// stageShape is the key of the stage in which the coil takes shape.
const stageShape = "shape"

// shapeStage shows the cards of the coil, the coil in section and the three
// live figures. Its views are the window's: problems lead to its cards from
// every stage.
type shapeStage struct {
	*Window
}

func newShapeStage(w *Window) stage {
	return shapeStage{w}
}

func (s shapeStage) objects() (side, rest fyne.CanvasObject) {
	figures := make([]fyne.CanvasObject, figureCount)
	for i, f := range s.figures {
		figures[i] = f.Object()
	}
	return s.cards.Object(), view.NewBeside(s.drawing.Object(), figures...)
}

func (s shapeStage) changed(d design.Design) {
	s.cards.Show(d)
}

func (s shapeStage) show(r *session.Result) {
	s.cards.ShowResult(r)
	s.showVary(r.Design.TopLoad.Kind)
}

func (s shapeStage) typedKey(e *fyne.KeyEvent) bool {
	if e.Name == fyne.KeyEscape {
		return s.giveUp() || s.shrink()
	}
	l := s.lens()
	return l != nil && l.key(e)
}

// lens is that of the figure that the pointer was on last.
func (s shapeStage) lens() *lens {
	if s.pointed == figureCount {
		return nil // the drawing of the coil
	}
	return &s.closeUps[s.pointed]
}

func (s shapeStage) leave() { s.shrink() }
