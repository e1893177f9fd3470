package app

import (
	"math"
	"sync/atomic"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// lens looks closer at one figure: the wheel and keys bring a part of its axes to
// the whole frame, a double click shows all again. It changes neither the design
// nor what is exported.
type lens struct {
	w        *Window
	figure   *view.Figure
	painting *painting

	// curve is what must never be out of sight, ascending in x, and present where
	// the present design stands on it; nil: the upright axis stays whole. Both run
	// on the worker too.
	curve   func(*session.Result) (x, y []float64)
	present func(*session.Result) (x float64)

	shown atomic.Pointer[closeUp] // nil: all
	at    *fyne.Position          // of the pointer over the figure; nil: elsewhere
}

// closeUp is the part that is looked at of the figure with a title; another figure
// in its place is shown whole.
type closeUp struct {
	title string
	part  plotting.Axes
}

// lensFrame is what a figure under a lens answers the pointer with.
type lensFrame struct {
	plotting.Frame
	whole plotting.Axes
	title string // in full, whatever is written over the figure
}

// over puts a lens over a figure that is painted by p. Until then it shows all.
func (l *lens) over(w *Window, figure *view.Figure, p *painting) {
	l.w, l.figure, l.painting = w, figure, p
	w.lenses = append(w.lenses, l)
	pad := figure.Pad()
	pad.OnWheel = l.wheel
	pad.OnDouble = func() { l.whole() }
}

// point tells where the pointer is on the figure.
func (l *lens) point(at fyne.Position) { l.at = &at }

// leave tells that the pointer is elsewhere.
func (l *lens) leave() { l.at = nil }

// render draws a plot as far as the lens shows it. It runs on the worker.
func (l *lens) render(p *plot.Plot, short string, r *session.Result, c *raster.Canvas) lensFrame {
	f := lensFrame{whole: plotting.AxesOf(p), title: p.Title.Text}
	if short != "" {
		p.Title.Text = short
		p.Title.Padding += switchAir
	}
	if part, ok := l.part(f, r); ok {
		plotting.Zoom(p, part)
	}
	f.Frame = plotting.Render(p, c)
	return f
}

// part returns what the lens shows of a figure, and whether that is less than all.
func (l *lens) part(f lensFrame, r *session.Result) (plotting.Axes, bool) {
	s := l.shown.Load()
	if s == nil || s.title != f.title {
		return f.whole, false
	}
	part := s.part.Within(f.whole)
	if l.curve == nil {
		part.YMin, part.YMax = f.whole.YMin, f.whole.YMax
		return part, true
	}
	x, y := l.curve(r)
	return part.Following(f.whole, x, y), true
}

// look shows a part of the figure that is on screen.
func (l *lens) look(f lensFrame, part plotting.Axes) {
	if part == f.whole {
		l.shown.Store(nil)
	} else {
		l.shown.Store(&closeUp{f.title, part})
	}
	l.redraw()
}

func (l *lens) redraw() {
	l.painting.stale()
	if l.painting.driver {
		l.w.session.RedrawDrive()
	} else {
		l.w.session.Redraw()
	}
}

// frame returns what is on screen, and false where there is nothing to look at.
func (l *lens) frame() (lensFrame, bool) {
	f, ok := l.painting.frame.(lensFrame)
	return f, ok && l.figure.Missing() == "" && f.whole.XMax > f.whole.XMin
}

// Steps of the hand.
const (
	notch    = 25   // what the toolkit calls one notch of a wheel
	mostTurn = 4    // notches that are taken at once
	perNotch = 1.25 // times closer
	perKey   = 1.5  // likewise, of a key
	pace     = 0.2  // of what is shown, that an arrow key or a notch sidewards moves
)

// wheel goes closer or farther about the curve under the pointer, or sidewards.
func (l *lens) wheel(at fyne.Position, turned fyne.Delta) {
	l.point(at)
	notches := func(v float32) float64 { return math.Max(-mostTurn, math.Min(mostTurn, float64(v)/notch)) }
	if turned.DY != 0 {
		l.closer(math.Pow(perNotch, notches(turned.DY)))
	}
	if turned.DX != 0 {
		l.move(-pace*notches(turned.DX), 0)
	}
}

// closer goes so many times closer: about the curve at the pointer or, with that
// elsewhere, at the present design.
func (l *lens) closer(times float64) {
	f, ok := l.frame()
	r := l.w.last
	if !ok || r == nil {
		return
	}
	axes, _ := l.part(f, r)
	now := f.Frame
	now.Axes = axes // the wheel may be ahead of the picture
	right, up := 0.5, 0.5
	if l.at != nil {
		on := l.painting.onPaper(*l.at)
		right, _ = now.Shares(vg.Length(on.X), vg.Length(on.Y))
	} else if l.present != nil {
		x, y := now.Place(l.present(r), axes.YMin)
		if share, _ := now.Shares(x, y); share >= 0 && share <= 1 {
			right = share
		}
	}
	right = min(max(right, 0), 1)
	if l.curve != nil {
		x, y := l.curve(r)
		here, _, _ := now.At(now.Left+(now.Right-now.Left)*vg.Length(right), now.Top)
		_, up = now.Shares(now.Place(here, between(x, y, here)))
		up = min(max(up, 0), 1)
	}
	l.look(f, axes.Closer(f.whole, right, up, times, l.curve == nil))
}

// move shifts what is shown by shares of it, if that is not all.
func (l *lens) move(right, up float64) bool {
	f, ok := l.frame()
	if !ok {
		return false
	}
	part, zoomed := l.part(f, l.w.last)
	if zoomed {
		l.look(f, part.Moved(f.whole, right, up))
	}
	return zoomed
}

// whole shows all again and reports whether less was shown.
func (l *lens) whole() bool {
	if l.shown.Load() == nil {
		return false
	}
	l.shown.Store(nil)
	l.redraw()
	return true
}

// key takes the arrow keys, which move a figure that is zoomed.
func (l *lens) key(e *fyne.KeyEvent) bool {
	switch e.Name {
	case fyne.KeyLeft:
		return l.move(-pace, 0)
	case fyne.KeyRight:
		return l.move(pace, 0)
	case fyne.KeyUp:
		return l.move(0, pace)
	case fyne.KeyDown:
		return l.move(0, -pace)
	}
	return false
}

// zoomable is a stage with figures under a lens.
type zoomable interface {
	lens() *lens // of the figure that the pointer was on last; nil: none
}

// underLens does something with the figure that the pointer was on last.
func (w *Window) underLens(do func(*lens)) {
	if s, ok := w.current().stage.(zoomable); ok && len(w.dialogs) == 0 {
		if l := s.lens(); l != nil {
			do(l)
		}
	}
}

func (w *Window) closer()      { w.underLens(func(l *lens) { l.closer(perKey) }) }
func (w *Window) farther()     { w.underLens(func(l *lens) { l.closer(1 / perKey) }) }
func (w *Window) wholeFigure() { w.underLens(func(l *lens) { l.whole() }) }

// typedRune takes the signs that nothing has the keyboard for. They are taken as
// signs rather than keys because plus and minus lie elsewhere on other keyboards.
func (w *Window) typedRune(sign rune) {
	switch sign {
	case '+', '=':
		w.closer()
	case '-', '−':
		w.farther()
	case '0':
		w.wholeFigure()
	}
}

// lensItems are the entries of the menu that look closer at a figure.
func (w *Window) lensItems() []*fyne.MenuItem {
	return []*fyne.MenuItem{
		item("menu.closer", control(fyne.KeyEqual), w.closer),
		item("menu.farther", control(fyne.KeyMinus), w.farther),
		item("menu.whole_figure", control(fyne.Key0), w.wholeFigure),
	}
}

// addLensKeys adds the shortcuts that mean the same on other keyboards.
func (w *Window) addLensKeys() {
	c := w.window.Canvas()
	c.SetOnTypedRune(w.typedRune)
	for _, s := range []fyne.Shortcut{control(fyne.KeyPlus), controlShift(fyne.KeyEqual), controlShift(fyne.KeyPlus)} {
		c.AddShortcut(s, func(fyne.Shortcut) { w.closer() })
	}
}
