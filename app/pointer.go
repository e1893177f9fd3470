package app

import (
	"math"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg"

	"coilwright/plotting"
)

// buildPointer makes the figure of turns and the drawing of the coil answer to
// the pointer.
func (w *Window) buildPointer() {
	turns := w.figures[figureTurns].Picture()
	turns.OnPoint = func(fyne.Position) { w.hint.Show("figure_turns") }
	turns.OnTap = w.tapTurns
	coil := w.drawing.Picture()
	coil.OnPoint = func(at fyne.Position) { w.hint.Show(partHint(w.partAt(at))) }
	coil.OnTap = func(at fyne.Position) {
		if card := partCard(w.partAt(at)); card != "" {
			w.cards.Reveal(card)
		}
	}
}

// tapTurns takes the number of turns under the pointer.
func (w *Window) tapTurns(at fyne.Position) {
	if w.last == nil || w.last.CurvesErr != nil {
		return
	}
	turns, _, inside := w.frames.figures[figureTurns].At(vg.Length(at.X), vg.Length(at.Y))
	if !inside {
		return
	}
	w.cards.Apply("secondary.turns", math.Max(1, math.Round(turns)))
}

// partAt returns the part of the coil under the pointer.
func (w *Window) partAt(at fyne.Position) plotting.Part {
	return w.frames.coil.Part(vg.Length(at.X), vg.Length(at.Y))
}

// partCard returns the card that a part of the drawing is changed in, empty
// for none.
func partCard(p plotting.Part) string {
	switch p {
	case plotting.TopLoadPart, plotting.HubPart:
		return "top_load"
	case plotting.WindingPart, plotting.FormerPart:
		return "secondary"
	case plotting.PrimaryPart:
		return "primary"
	case plotting.BenchPart:
		return "room"
	}
	return ""
}

// partHint returns the key of the hint about a part.
func partHint(p plotting.Part) string {
	switch p {
	case plotting.TopLoadPart:
		return "part_top_load"
	case plotting.HubPart:
		return "part_hub"
	case plotting.WindingPart:
		return "part_winding"
	case plotting.FormerPart:
		return "part_former"
	case plotting.PrimaryPart:
		return "part_primary"
	case plotting.BenchPart:
		return "part_bench"
	}
	return "drawing"
}

// frames are where things stand in the pictures on screen.
type frames struct {
	figures [figureCount]plotting.Frame
	coil    plotting.SectionFrame
}
