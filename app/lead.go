package app

import (
	"strings"

	"fyne.io/fyne/v2"

	"coilwright/app/view"
)

// homes are the stages in which the parts of a design are changed, by the first
// name of their keys.
var homes = map[string]string{
	"target_frequency_hz": stageShape,
	"secondary":           stageShape,
	"top_load":            stageShape,
	"primary":             stageShape,
	"room":                stageShape,
	"tolerances":          stageShape,
	"driver":              stageDrive,
	"measurements":        stageBench,
}

// homeOf returns the stage in which a key of the design is changed; empty: in
// none. The primary is changed in two, so that one stays where one is.
func (w *Window) homeOf(key string) string {
	part, _, _ := strings.Cut(key, ".")
	part, _, _ = strings.Cut(part, "[")
	if part == "primary" && w.current().key == stageDrive {
		return stageDrive
	}
	return homes[part]
}

// leads says whether there is a control to change a key of the design with.
func (w *Window) leads(key string) bool {
	return w.homeOf(key) != ""
}

// lead goes to the control that changes a key of the design: to its stage, to its
// row in an unfolded card, which gets the keyboard.
func (w *Window) lead(key string) {
	home := w.homeOf(key)
	if home == "" {
		return
	}
	w.dismiss()
	w.window.Canvas().Unfocus() // commits what is being typed
	w.shrink()
	w.enterStage(home)
	r, ok := w.current().stage.(revealer)
	if !ok {
		return
	}
	if f := r.reveal(key); f != nil {
		w.window.Canvas().Focus(f)
	}
}

// leadToDriver goes to what is to be changed about the driver first.
func (w *Window) leadToDriver() {
	key := "driver"
	if items := view.DriveItems(w.last.Drive); len(items) > 0 {
		key = items[0].Key
	}
	w.lead(key)
}

// revealer is a stage with rows for keys of the design.
type revealer interface {
	// reveal brings the row of a key into sight and returns what of it takes the
	// keyboard; nil: nothing does.
	reveal(key string) fyne.Focusable
}

func (s shapeStage) reveal(key string) fyne.Focusable { return s.Window.cards.RevealKey(key) }

func (s *driveStage) reveal(key string) fyne.Focusable { return s.cards.RevealKey(key) }
