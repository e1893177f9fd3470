package app

import (
	"context"
	"image"
	"sync"

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

// The drawing of the coil follows the figures in what is drawn.
const (
	pictureCoil = figureCount
	pictures    = figureCount + 1
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
		w.figures[i].Picture().OnResize = w.resized
	}
	overlay := view.NewSegments(lang.L("overlay.none"), lang.L("overlay.voltage"), lang.L("overlay.current"))
	overlay.OnHint = func() { w.hint.Show("overlay") }
	overlay.OnPick = func(i int) {
		w.artist.setOver(i)
		w.session.Redraw()
	}
	w.overlay = overlay
	w.drawing = view.NewDrawing(leastDrawing, overlay)
	w.drawing.Picture().OnResize = w.resized
	w.buildPointer()
}

// resized draws again for the pixels there are now.
func (w *Window) resized() {
	var spaces [pictures]view.Space
	for i, f := range w.figures {
		spaces[i] = f.Picture().Space()
	}
	spaces[pictureCoil] = w.drawing.Picture().Space()
	w.artist.setSpaces(spaces)
	w.session.Redraw()
}

// showDrawn puts on screen what was drawn of a result.
func (w *Window) showDrawn(r *session.Result) {
	drawn, ok := r.Drawn.(*[pictures]drawn)
	if !ok {
		return
	}
	for i, d := range drawn {
		f := w.drawing
		if i < figureCount {
			f = w.figures[i]
		}
		f.Show(d.image, lang.L("figure.missing"))
		if d.image == nil {
			continue
		}
		w.artist.setShown(i, d.image)
		if i < figureCount {
			w.frames.figures[i] = d.frame
		} else {
			w.frames.coil = d.coil
		}
	}
	w.showVary(r.Design.TopLoad.Kind)
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

// artist draws figures and coil on the session's worker. What it must know of
// the window is handed over by the UI goroutine.
type artist struct {
	mu     sync.Mutex
	spaces [pictures]view.Space
	dark   bool
	units  view.Units

	over int // what is drawn beside the winding

	shown  [pictures]*image.RGBA // on screen: not to be drawn on
	easels [pictures]easel       // of the worker alone
}

// easel is the two canvases of one picture: one is on screen while the other
// is drawn on.
type easel [2]*raster.Canvas

// drawn is one picture; without an image there was nothing to draw.
type drawn struct {
	image *image.RGBA
	frame plotting.Frame        // of a figure
	coil  plotting.SectionFrame // of the drawing of the coil
}

func newArtist() *artist {
	return &artist{}
}

func (a *artist) setSpaces(spaces [pictures]view.Space) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.spaces = spaces
}

func (a *artist) setDark(dark bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.dark = dark
}

func (a *artist) setShown(i int, shown *image.RGBA) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.shown[i] = shown
}

func (a *artist) setUnits(u view.Units) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.units = u
}

func (a *artist) setOver(over int) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.over = over
}

// draw draws a result at the sizes, in the units and colours of the window.
func (a *artist) draw(ctx context.Context, r *session.Result) any {
	a.mu.Lock()
	spaces, dark, shown, over := a.spaces, a.dark, a.shown, a.over
	units := plottingUnits(a.units)
	a.mu.Unlock()
	style := plotting.Light()
	if dark {
		style = plotting.Dark()
	}
	var all [pictures]drawn
	var wait sync.WaitGroup
	for i := range all {
		if spaces[i].Empty() || ctx.Err() != nil {
			continue
		}
		wait.Go(func() {
			c := a.easels[i].canvas(spaces[i], shown[i])
			c.Clear(style.Background)
			if i == pictureCoil {
				all[i] = drawCoil(c, r, sectionOptions(r, units, over), style)
			} else {
				all[i] = drawFigure(i, c, r, units, style)
			}
		})
	}
	wait.Wait()
	return &all
}

// drawFigure draws one figure over a whole canvas, if there is anything to
// draw.
func drawFigure(i int, c *raster.Canvas, r *session.Result, units plotting.Units, style plotting.Style) drawn {
	if r.CurvesErr != nil {
		return drawn{}
	}
	build, title := figure, ""
	if i == figureSize && r.Design.TopLoad.Kind != design.NoTopLoad {
		title = lang.L("figure.size") // a short one, beside the switch
		if r.Curves.Height.Kind != "" {
			build, title = heightFigure, lang.L("figure.height")
		}
	}
	p, err := build(i, r, units, style)
	if err != nil {
		return drawn{}
	}
	if title != "" {
		p.Title.Text = title
		p.Title.Padding += switchAir
	}
	return drawn{image: c.Image(), frame: plotting.Render(p, c)}
}

// switchAir keeps what a figure has on its right edge from the switch above, in
// points.
const switchAir = 4

// drawCoil draws the coil in section. Of a design that cannot be built it shows
// what there is of it, as long as that has a shape.
func drawCoil(c *raster.Canvas, r *session.Result, options plotting.SectionOptions, style plotting.Style) drawn {
	geometry, err := r.Design.Geometry()
	if err != nil {
		return drawn{}
	}
	c.Reset()
	frame, err := plotting.DrawSection(draw.New(c), geometry, options, style)
	if err != nil {
		return drawn{}
	}
	return drawn{image: c.Image(), coil: frame}
}

// What can be drawn beside the winding.
const (
	overNothing = iota
	overVoltage
	overCurrent
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
	}
	return options
}

func figure(i int, r *session.Result, units plotting.Units, style plotting.Style) (*plot.Plot, error) {
	switch i {
	case figureTurns:
		return plotting.TurnsFigure(r.Curves.Turns, units, style)
	case figureSize:
		return plotting.SizeFigure(r.Curves.Size, units, style)
	}
	return plotting.CountFigure(r.Curves.Count, units, style)
}

// heightFigure is shown in place of another where it was asked for.
func heightFigure(_ int, r *session.Result, units plotting.Units, style plotting.Style) (*plot.Plot, error) {
	return plotting.HeightFigure(r.Curves.Height, units, style)
}

// pointsPerInch makes one point of a drawing one density-independent pixel.
const pointsPerInch = 72

// canvas returns a canvas of the size asked for whose image is not on screen.
func (e *easel) canvas(space view.Space, shown *image.RGBA) *raster.Canvas {
	at := 0
	if e[at] != nil && e[at].Image() == shown {
		at = 1
	}
	size := image.Rect(0, 0, space.Width, space.Height)
	if e[at] == nil || e[at].Image().Rect != size {
		e[at] = raster.New(image.NewRGBA(size), pointsPerInch*space.Scale)
	}
	return e[at]
}
