package app

import (
	"math"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// figureCurve is the present design's own curve in a figure.
type figureCurve struct {
	of      string    // what is drawn against what; curves of the same can be compared
	key     string    // of the quantity of the design that the x axis stands for
	x, y    []float64 // ascending in x; none: there is no curve
	present float64   // where the design stands on the x axis
}

// curveOf returns the curve in a figure of a result.
func curveOf(i int, r *session.Result) figureCurve {
	c, kind := r.Curves, r.Design.TopLoad.Kind
	switch {
	case i == figureTurns:
		y := c.Turns.WithTopLoad
		if y == nil {
			y = c.Turns.Bare
		}
		return figureCurve{"turns", "secondary.turns", c.Turns.Turns, y, c.Turns.PresentTurns}
	case i == figureCountOfTurns && c.Count.OfRing:
		return figureCurve{"ring", "top_load.turns", c.Count.Turn, c.Count.WireUsed, c.Count.Closing}
	case i == figureCountOfTurns:
		return figureCurve{"secondary", "secondary.turns", c.Count.Turn, c.Count.WireUsed, c.Count.Closing}
	case kind == design.NoTopLoad:
		return figureCurve{}
	case c.Height.Kind != "":
		return figureCurve{"height", "top_load.height_m", c.Height.Height, c.Height.Frequency, c.Height.PresentHeight}
	}
	key := outsideKey(kind)
	if kind == design.WireRing && c.Size.Vary == design.VaryHub {
		key = "top_load.hub_diameter_m"
	}
	return figureCurve{kind, key, c.Size.OuterDiameter, c.Size.Capacitance, c.Size.PresentDiameter}
}

// input is a figure as something to change the design with.
type input struct {
	figureCurve
	// length is what x is of a design, where x is not the quantity itself.
	length func(design.Geometry) float64
	whole  bool // x counts turns
	words  func(x, y float64) string
}

// inputOf returns what a figure of a result changes; false where there is
// nothing to change.
func (w *Window) inputOf(i int, r *session.Result) (input, bool) {
	if r == nil || r.CurvesErr != nil {
		return input{}, false
	}
	in := input{figureCurve: curveOf(i, r)}
	small, long := si.Millimetre, si.Metre
	if w.units == view.Inches {
		small, long = si.Inch, si.Foot
	}
	turns := func(x float64) string {
		return text("figure.turns", map[string]any{"Turns": si.FormatNumber(x, si.Shortest)})
	}
	length := func(x float64) string { return si.Format(x, small, 3) }
	hertz := func(y float64) string { return si.FormatPrefixed(y, si.Hertz, 4) }
	x, y := turns, hertz
	in.whole = i != figureSize
	switch {
	case i == figureCountOfTurns:
		y = func(y float64) string { return si.Format(y, long, 3) }
	case i == figureSize && r.Curves.Height.Kind != "":
		x = length
	case i == figureSize:
		in.length = func(g design.Geometry) float64 { return 2 * g.TopLoad.OuterRadius() }
		x, y = length, func(y float64) string { return si.Format(y, si.Picofarad, 3) }
	}
	in.words = func(atX, atY float64) string { return text("figure.reading", map[string]any{"X": x(atX), "Y": y(atY)}) }
	return in, len(in.x) > 1
}

// pressed is a figure that the pointer is pressed on.
type pressed struct {
	figure int
	input  input
	frame  plotting.Frame // when it was pressed: the axes may move under the hand
}

// buildInput makes a figure read its curve at the pointer, and set its quantity
// by a press or a drag.
func (w *Window) buildInput(i int) {
	readout := view.NewReadout()
	w.readouts[i] = readout
	w.figures[i].Cover(readout.Object())
	lens := &w.closeUps[i]
	picture := w.figures[i].Picture()
	picture.OnPoint = func(at fyne.Position) {
		w.pointed = i
		lens.point(at)
		w.hint.Show(figureHints[i])
		w.read(i, at)
	}
	picture.OnLeave = func() {
		lens.leave()
		readout.Hide()
	}
	pad := w.figures[i].Pad()
	pad.OnPress = func(at fyne.Position) { w.press(i, at) }
	pad.OnDrag = func(at fyne.Position) {
		w.pull(at)
		w.read(i, at)
	}
	pad.OnRelease = w.release
	pad.OnDouble = func() {
		if lens.whole() {
			w.takeClicksBack()
		}
	}
}

// takeClicksBack undoes what the two presses of a double click have set: it was
// meant for the axes.
func (w *Window) takeClicksBack() {
	for w.session.Steps() > w.clicks[0] {
		w.session.Undo()
	}
}

// figureHints are the keys of what is said about the figures.
var figureHints = [figureCount]string{"figure_turns", "figure_size", "figure_count"}

// read shows what the curve of a figure is at the pointer.
func (w *Window) read(i int, at fyne.Position) {
	w.readAt[i] = at
	in, ok := w.inputOf(i, w.last)
	frame := w.figureFrame(i)
	p := w.plots[i]
	on := p.onPaper(at)
	x, _, inside := frame.At(vg.Length(on.X), vg.Length(on.Y))
	if !ok || !inside || w.last.Err != nil && w.figures[i].Missing() != "" {
		w.readouts[i].Hide()
		return
	}
	if in.whole {
		x = math.Round(x)
	}
	x = min(max(x, in.x[0]), in.x[len(in.x)-1])
	y := between(in.x, in.y, x)
	px, py := frame.Place(x, min(max(y, frame.YMin), frame.YMax))
	top, bottom := p.onScreen(0, float64(frame.Top)).Y, p.onScreen(0, float64(frame.Bottom)).Y
	w.readouts[i].Show(p.onScreen(float64(px), float64(py)), top, bottom, in.words(x, y))
}

// readAgain reads the figures under the pointer again after they were drawn:
// axes and curves may have moved.
func (w *Window) readAgain() {
	for i, r := range w.readouts {
		if r.Words() != "" {
			w.read(i, w.readAt[i])
		}
	}
}

// press begins a step of the design at a place of a figure.
func (w *Window) press(i int, at fyne.Position) {
	w.clicks = [2]int{w.clicks[1], w.session.Steps()}
	in, ok := w.inputOf(i, w.last)
	frame := w.figureFrame(i)
	on := w.plots[i].onPaper(at)
	if _, _, inside := frame.At(vg.Length(on.X), vg.Length(on.Y)); !ok || !inside || w.cards.Quantity(in.key) == nil {
		return
	}
	w.pressed = &pressed{figure: i, input: in, frame: frame}
	w.cards.Quantity(in.key).Begin()
	w.pull(at)
}

// pull gives the quantity of the pressed figure the value at a place.
func (w *Window) pull(at fyne.Position) {
	p := w.pressed
	if p == nil {
		return
	}
	on := w.plots[p.figure].onPaper(at)
	x, _, _ := p.frame.At(vg.Length(on.X), vg.Length(on.Y))
	x = min(max(x, p.frame.XMin), p.frame.XMax)
	q := w.cards.Quantity(p.input.key)
	if p.input.length == nil {
		q.Set(x)
		return
	}
	if value, ok := reach(q, w.session.Design(), x, p.input.length); ok {
		q.Set(value)
	}
}

// release ends the step.
func (w *Window) release() {
	if p := w.pressed; p != nil {
		w.pressed = nil
		w.cards.Quantity(p.input.key).End()
	}
}

// giveUp takes back what the hand on a figure has done so far and reports
// whether there was one.
func (w *Window) giveUp() bool {
	p := w.pressed
	if p == nil {
		return false
	}
	w.pressed = nil
	w.cards.Quantity(p.input.key).Cancel()
	return true
}
