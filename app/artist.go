package app

import (
	"context"
	"image"
	"sync"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// sketch draws a result over a whole canvas, which has the window's background
// already, and returns what the picture must know to answer to the pointer,
// such as a [plotting.Frame]. It returns false where there is nothing to draw.
//
// It runs on the session's worker, beside other sketches: it reads its
// arguments and nothing of the window that is not made for two goroutines.
type sketch func(c *raster.Canvas, r *session.Result, l look) (frame any, ok bool)

// look is how a picture is to be drawn.
type look struct {
	units plotting.Units
	style plotting.Style
}

// painting is a picture in the window that is drawn anew with every result and
// every change of size, units and colours, as long as its stage is shown.
type painting struct {
	figure *view.Figure
	frame  any // what the sketch returned with what is on screen; UI goroutine

	magnified float64 // how much larger lines and letters are than usual; UI goroutine

	stage  string
	driver bool // drawn with what is known of the driver, on the driver's goroutine
	sketch sketch
	artist *artist
	easel  easel // of the worker alone

	// Guarded by the artist's mutex.
	space   view.Space
	version uint64
	onView  *image.RGBA // on screen: not to be drawn on
	done    mark        // of what is on screen
}

// mark tells one state of a painting from every other: with the same mark the
// picture on screen is still right.
type mark struct {
	number  uint64        // of the result, or step of the driver's; 0: nothing drawn yet
	drive   *design.Drive // comes later, under the same number
	version uint64
	space   view.Space
	dark    bool
	large   bool
	units   view.Units
}

// paint lets the artist draw into a figure of a stage. The figure is to be
// painted by nobody else.
func (w *Window) paint(stage string, figure *view.Figure, s sketch) *painting {
	return w.hang(&painting{figure: figure, magnified: 1, stage: stage, sketch: s, artist: w.artist})
}

// paintDriver is [Window.paint] for what is known of the driver: the sketch gets a
// result whose report and drive are as far as they are solved.
func (w *Window) paintDriver(stage string, figure *view.Figure, s sketch) *painting {
	return w.hang(&painting{figure: figure, magnified: 1, stage: stage, driver: true, sketch: s, artist: w.artist})
}

func (w *Window) hang(p *painting) *painting {
	p.figure.Picture().OnResize = func() {
		w.artist.setSpace(p, p.spaceOf(p.figure.Picture()))
		if p.driver {
			w.session.RedrawDrive()
		} else {
			w.session.Redraw()
		}
	}
	w.artist.add(p)
	return p
}

// stale says that a sketch would now draw something else from the same result;
// a redraw of the session then does it.
func (p *painting) stale() {
	p.artist.mu.Lock()
	defer p.artist.mu.Unlock()
	p.version++
}

// artist draws the paintings of the stage that is shown on the session's
// worker. What it must know of the window is handed over by the UI goroutine.
type artist struct {
	mu        sync.Mutex
	paintings []*painting
	stage     string
	dark      bool
	large     bool // texts are larger than usual
	units     view.Units
}

// drawn is one painting as the worker drew it; without an image there was
// nothing to draw.
type drawn struct {
	painting *painting
	image    *image.RGBA
	frame    any
	mark     mark
}

func (a *artist) add(p *painting) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.paintings = append(a.paintings, p)
}

func (a *artist) setSpace(p *painting, space view.Space) {
	a.mu.Lock()
	defer a.mu.Unlock()
	p.space = space
}

func (a *artist) setStage(key string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.stage = key
}

func (a *artist) setDark(dark bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.dark = dark
}

func (a *artist) setLarge(large bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.large = large
}

func (a *artist) setUnits(u view.Units) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.units = u
}

// draw draws a result at the sizes, in the units and colours of the window, as
// far as what is on screen is not right any more.
func (a *artist) draw(ctx context.Context, r *session.Result) any {
	return a.drawAll(ctx, r, r.Number, false)
}

// drawDriver draws what is known of a driver.
func (a *artist) drawDriver(ctx context.Context, d *session.DriveResult) any {
	r := &session.Result{Design: d.Design, Report: d.Report, Err: d.Err, Drive: &d.Drive, Number: d.Number}
	return a.drawAll(ctx, r, d.Step, true)
}

func (a *artist) drawAll(ctx context.Context, r *session.Result, number uint64, driver bool) any {
	l, todo, onView := a.todo(r, number, driver)
	var wait sync.WaitGroup
	for i := range todo {
		if ctx.Err() != nil {
			break
		}
		d := &todo[i]
		wait.Go(func() {
			c := d.painting.easel.canvas(d.mark.space, onView[i])
			c.Clear(l.style.Background)
			if frame, ok := d.painting.sketch(c, r, l); ok {
				d.image, d.frame = c.Image(), frame
			}
		})
	}
	wait.Wait()
	return todo
}

// todo returns what is to be drawn of a result and how, and for each painting
// the image that must not be drawn on.
func (a *artist) todo(r *session.Result, number uint64, driver bool) (look, []drawn, []*image.RGBA) {
	a.mu.Lock()
	defer a.mu.Unlock()
	l := look{units: plottingUnits(a.units), style: inLanguage(plotting.Light())}
	if a.dark {
		l.style = inLanguage(plotting.Dark())
	}
	if a.large {
		l.style = l.style.Scaled(theme.LargeText)
	}
	var todo []drawn
	var onView []*image.RGBA
	for _, p := range a.paintings {
		m := mark{number, r.Drive, p.version, p.space, a.dark, a.large, a.units}
		if driver {
			m.drive = nil // the step tells
		}
		if p.driver != driver || p.stage != a.stage || p.space.Empty() || m == p.done {
			continue
		}
		todo = append(todo, drawn{painting: p, mark: m})
		onView = append(onView, p.onView)
	}
	return l, todo, onView
}

// hung notes that what was drawn is on screen now.
func (a *artist) hung(d drawn) {
	a.mu.Lock()
	defer a.mu.Unlock()
	d.painting.done = d.mark
	if d.image != nil {
		d.painting.onView = d.image
	}
}

// showDrawn puts on screen what an artist has drawn.
func (w *Window) showDrawn(pictures any) {
	all, ok := pictures.([]drawn)
	if !ok {
		return
	}
	defer w.readAgain()
	defer w.placeHands()
	if len(all) > 0 {
		w.meter.shown()
	}
	for _, d := range all {
		missing := lang.L("figure.missing")
		if d.painting.driver {
			missing = lang.L("figure.later")
		}
		d.painting.figure.Show(d.image, missing)
		w.artist.hung(d)
		if d.image != nil {
			d.painting.frame = d.frame
		}
	}
}

// easel is the two canvases of one picture: one is on screen while the other
// is drawn on.
type easel [2]*raster.Canvas

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
