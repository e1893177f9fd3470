package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// The three live figures, from the top.
const (
	figureTurns = iota
	figureSize
	figureCountOfTurns
	figureCount
)

// Least sizes of the pictures, in density-independent pixels.
var (
	leastFigure  = fyne.NewSize(300, 110)
	leastDrawing = fyne.NewSize(230, 300)
)

func (w *Window) buildFigures() {
	w.varyRing = view.NewSegments(lang.L("vary.former"), lang.L("vary.hub"), lang.L("vary.height"))
	w.varyBody = view.NewSegments(lang.L("vary.size"), lang.L("vary.height"))
	w.varyRing.OnPick = func(i int) {
		options := w.session.CurveOptions()
		if options.Height = i == varyHeight; !options.Height {
			options.Vary = design.SizeVariation(i)
		}
		w.session.SetCurveOptions(options)
	}
	w.varyBody.OnPick = func(i int) {
		options := w.session.CurveOptions()
		options.Height = i > 0
		w.session.SetCurveOptions(options)
	}
	for _, s := range []*view.Segments{w.varyRing, w.varyBody} {
		s.OnHint = func() { w.hint.Show("vary") }
	}
	for i := range w.figures {
		var choice fyne.CanvasObject
		if i == figureSize {
			choice = container.NewStack(w.varyRing, w.varyBody)
		}
		w.figures[i] = view.NewFigure(leastFigure, choice)
		lens := &w.closeUps[i]
		lens.curve = func(r *session.Result) (x, y []float64) {
			c := curveOf(i, r)
			return c.x, c.y
		}
		lens.present = func(r *session.Result) float64 { return curveOf(i, r).present }
		w.plots[i] = w.paint(stageShape, w.figures[i], func(c *raster.Canvas, r *session.Result, l look) (any, bool) {
			return drawFigure(i, c, r, l, w.kept.curves(i, r), lens)
		})
		lens.over(w, w.figures[i], w.plots[i])
	}
	overlay := view.NewSegments(lang.L("overlay.none"), lang.L("overlay.voltage"), lang.L("overlay.current"), lang.L("overlay.field"))
	overlay.OnHint = func() { w.hint.Show("overlay") }
	overlay.OnPick = func(i int) {
		w.over.Store(int32(i))
		w.coil.stale()
		w.session.Redraw()
		options := w.session.CurveOptions()
		options.Field = i == overField
		w.session.SetCurveOptions(options) // solves again only for a field that is not there
	}
	w.overlay = overlay
	w.drawing = view.NewDrawing(leastDrawing, overlay)
	w.coil = w.paint(stageShape, w.drawing, func(c *raster.Canvas, r *session.Result, l look) (any, bool) {
		options := sectionOptions(r, l.units, int(w.over.Load()))
		options.Held = w.held.Load()
		return drawCoil(c, r, options, l.style)
	})
	w.buildPointer()
	w.buildHands()
}

// varyHeight is the place of the height behind the ways to vary a ring's size.
const varyHeight = 2

// showVary shows what can be varied of a kind of top load.
func (w *Window) showVary(kind string) {
	options := w.session.CurveOptions()
	ring, body := int(options.Vary), 0
	if options.Height {
		ring, body = varyHeight, 1
	}
	w.varyRing.SetPicked(ring)
	w.varyBody.SetPicked(body)
	changed := false
	for s, wanted := range map[*view.Segments]bool{
		w.varyRing: kind == design.WireRing,
		w.varyBody: kind != design.WireRing && kind != design.NoTopLoad,
	} {
		if s.Visible() == wanted {
			continue
		}
		changed = true
		if wanted {
			s.Show()
		} else {
			s.Hide()
		}
	}
	if changed {
		w.figures[figureSize].Object().Refresh()
	}
}

// drawFigure draws one figure over a whole canvas as its lens shows it, if there is
// anything to draw.
func drawFigure(i int, c *raster.Canvas, r *session.Result, l look, behind []plotting.Kept, lens *lens) (any, bool) {
	if r.CurvesErr != nil {
		return nil, false
	}
	build, title := figure, ""
	if i == figureSize && r.Design.TopLoad.Kind != design.NoTopLoad {
		title = lang.L("figure.size") // a short one, beside the switch
		if r.Curves.Height.Kind != "" {
			build, title = heightFigure, lang.L("figure.height")
		}
	}
	p, err := build(i, r, l.units, l.style, behind...)
	if err != nil {
		return nil, false
	}
	return lens.render(p, title, r, c), true
}

// switchAir keeps what a figure has on its right edge from the switch above, in
// points.
const switchAir = 4

// drawCoil draws the coil in section. Of a design that cannot be built it shows
// what there is of it, as long as that has a shape.
func drawCoil(c *raster.Canvas, r *session.Result, options plotting.SectionOptions, style plotting.Style) (any, bool) {
	geometry, err := r.Design.Geometry()
	if err != nil {
		return nil, false
	}
	c.Reset()
	frame, err := plotting.DrawSection(draw.New(c), geometry, options, style)
	if err != nil {
		return nil, false
	}
	return frame, true
}

// What can be drawn beside the winding.
const (
	overNothing = iota
	overVoltage
	overCurrent
	overField
)

// sectionOptions says what the drawing of the coil shows beside it.
func sectionOptions(r *session.Result, units plotting.Units, over int) plotting.SectionOptions {
	options := plotting.SectionOptions{Units: units}
	switch {
	case r.CurvesErr != nil:
	case over == overVoltage:
		options.Voltage = plotting.VoltageAlong(r.Curves.Profile)
	case over == overCurrent:
		options.Current = plotting.CurrentAlong(r.Curves.Profile)
	case over == overField && r.Curves.Field != nil:
		options.Field = plotting.FieldOf(r.Curves.Field, r.Report.Air, topVolts(r))
	}
	return options
}

func figure(i int, r *session.Result, units plotting.Units, style plotting.Style, behind ...plotting.Kept) (*plot.Plot, error) {
	switch i {
	case figureTurns:
		return plotting.TurnsFigure(r.Curves.Turns, units, style, behind...)
	case figureSize:
		return plotting.SizeFigure(r.Curves.Size, units, style, behind...)
	}
	return plotting.CountFigure(r.Curves.Count, units, style, behind...)
}

// heightFigure is shown in place of another where it was asked for.
func heightFigure(_ int, r *session.Result, units plotting.Units, style plotting.Style, behind ...plotting.Kept) (*plot.Plot, error) {
	return plotting.HeightFigure(r.Curves.Height, units, style, behind...)
}
