package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Readout reads a curve at the pointer: an upright line, a dot on the curve and
// words beside it.
type Readout struct {
	object *fyne.Container
	line   *canvas.Rectangle
	dot    *canvas.Circle
	words  *Text
	ground *Panel
}

// NewReadout returns a readout that shows nothing.
func NewReadout() *Readout {
	r := &Readout{
		line:  canvas.NewRectangle(nil),
		dot:   canvas.NewCircle(nil),
		words: NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameCaptionText),
	}
	r.ground = NewPanel(r.words, theme.SizeNameGripLabel)
	r.object = container.NewWithoutLayout(r.line, r.dot, r.ground)
	r.object.Hide()
	return r
}

// Object returns what to lay over the figure.
func (r *Readout) Object() fyne.CanvasObject {
	return r.object
}

// Words returns what the readout says, empty while it shows nothing.
func (r *Readout) Words() string {
	if r.object.Hidden {
		return ""
	}
	return r.words.Content()
}

// Show reads a point of a curve; the line runs from top to bottom of the axes.
func (r *Readout) Show(point fyne.Position, top, bottom float32, words string) {
	r.words.Set(words)
	thin := fynetheme.Size(fynetheme.SizeNameSeparatorThickness)
	dot := fynetheme.Size(theme.SizeNameGrip) / 2
	r.line.FillColor = fynetheme.Color(theme.ColorNameMuted)
	r.dot.FillColor = fynetheme.Color(theme.ColorNameSlate)
	place(r.line, point.X, top, thin, bottom-top)
	place(r.dot, point.X-dot/2, point.Y-dot/2, dot, dot)
	size, all := r.ground.MinSize(), r.object.Size()
	away := fynetheme.Size(theme.SizeNameGap)
	x := point.X + away
	if x+size.Width > all.Width {
		x = max(point.X-away-size.Width, 0)
	}
	y := min(max(point.Y-away-size.Height, top), bottom-size.Height)
	place(r.ground, x, y, size.Width, size.Height)
	if r.object.Hidden {
		r.object.Show()
		return
	}
	r.object.Refresh()
}

// Hide takes the readout away.
func (r *Readout) Hide() {
	setVisible(r.object, false)
}
