package app

import (
	"sort"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg"

	"coilwright/physics/si"
	"coilwright/plotting"
)

// buildPointer makes the figures and the drawing of the coil answer to the
// pointer.
func (w *Window) buildPointer() {
	for i := range w.figures {
		w.buildInput(i)
	}
	coil := w.drawing.Picture()
	coil.OnPoint = w.pointCoil
	coil.OnTap = func(at fyne.Position) {
		if card := partCard(w.partAt(at)); card != "" {
			w.cards.Reveal(card)
		}
	}
}

// pointCoil says what the part under the pointer is or, on the winding with
// voltage or current beside it, reads both.
func (w *Window) pointCoil(at fyne.Position) {
	w.pointed = figureCount
	part := w.partAt(at)
	if w.overlay.Picked() == overField && w.readField(at, part) {
		return
	}
	if part != plotting.WindingPart || w.overlay.Picked() == overNothing || w.last == nil || w.last.CurvesErr != nil {
		w.hint.Show(partHint(part))
		return
	}
	_, height := w.coilFrame().At(vg.Length(at.X), vg.Length(at.Y))
	p := w.last.Curves.Profile
	w.hint.Say(text("hint.reading", map[string]any{
		"Voltage": si.Format(between(p.Height, p.Voltage, height), si.Percent, 2),
		"Current": si.Format(between(p.Height, p.Current, height), si.Percent, 2),
	}))
}

// between returns the value at a place of a curve, ascending in x and at least
// one point long; beyond its ends that of the nearer end.
func between(x, y []float64, at float64) float64 {
	i := sort.SearchFloat64s(x, at)
	switch {
	case i == 0:
		return y[0]
	case i == len(x):
		return y[i-1]
	}
	return y[i-1] + (y[i]-y[i-1])*(at-x[i-1])/(x[i]-x[i-1])
}

// partAt returns the part of the coil under the pointer.
func (w *Window) partAt(at fyne.Position) plotting.Part {
	return w.coilFrame().Part(vg.Length(at.X), vg.Length(at.Y))
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

// figureFrame is where things stand in a figure on screen.
func (w *Window) figureFrame(i int) plotting.Frame {
	frame, _ := w.plots[i].frame.(lensFrame)
	return frame.Frame
}

// coilFrame is where things stand in the drawing of the coil on screen.
func (w *Window) coilFrame() plotting.SectionFrame {
	frame, _ := w.coil.frame.(plotting.SectionFrame)
	return frame
}
