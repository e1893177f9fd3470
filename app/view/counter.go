package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Counter shows how far a winding is, in digits to be read from two metres, and
// takes every key and every click for a turn. It counts nothing itself.
type Counter struct {
	widget.BaseWidget

	OnCount func() // a press: a key other than the ones below, or a mouse button
	OnBack  func() // Backspace or Delete
	OnLeave func() // Escape
	OnFocus func(has bool)

	shown   CounterShown
	focused bool
	held    map[fyne.KeyName]bool // keys that change others
}

// CounterShown is what a counter shows.
type CounterShown struct {
	Turns  string // done, the large number
	Of     string // "of 310 turns"
	Facts  [CounterFacts]Fact
	Line   string // one sentence below
	Marked bool   // a mark is due on this turn
	Done   bool   // all turns are on
}

// CounterFacts is how many facts a counter shows.
const CounterFacts = 4

// Fact is a number with its name.
type Fact struct{ Name, Value string }

// NewCounter returns a counter that shows nothing yet.
func NewCounter() *Counter {
	c := &Counter{held: map[fyne.KeyName]bool{}}
	c.ExtendBaseWidget(c)
	return c
}

// ShowCount replaces what is shown; the same again costs nothing.
func (c *Counter) ShowCount(s CounterShown) {
	if s == c.shown {
		return
	}
	c.shown = s
	c.Refresh()
}

// Shown returns what is shown.
func (c *Counter) Shown() CounterShown { return c.shown }

// KeyDown counts. The toolkit calls it once a press, whatever the keyboard
// repeats while a key is held.
func (c *Counter) KeyDown(e *fyne.KeyEvent) {
	switch e.Name {
	case desktop.KeyControlLeft, desktop.KeyControlRight, desktop.KeyAltLeft, desktop.KeyAltRight, desktop.KeySuperLeft, desktop.KeySuperRight:
		c.held[e.Name] = true
	case desktop.KeyShiftLeft, desktop.KeyShiftRight, desktop.KeyCapsLock, fyne.KeyTab:
	case fyne.KeyEscape:
		call(c.OnLeave)
	case fyne.KeyBackspace, fyne.KeyDelete:
		call(c.OnBack)
	default:
		if len(c.held) == 0 { // else it is a shortcut
			call(c.OnCount)
		}
	}
}

// KeyUp is part of desktop.Keyable.
func (c *Counter) KeyUp(e *fyne.KeyEvent) { delete(c.held, e.Name) }

// TypedKey is part of fyne.Focusable; KeyDown has counted already.
func (c *Counter) TypedKey(*fyne.KeyEvent) {}

// TypedRune is part of fyne.Focusable.
func (c *Counter) TypedRune(rune) {}

// MouseDown counts, or takes the keyboard back if it was elsewhere: that click
// was meant for the counter, not for a turn.
func (c *Counter) MouseDown(*desktop.MouseEvent) {
	if !c.focused {
		if window := fyne.CurrentApp().Driver().CanvasForObject(c); window != nil {
			window.Focus(c)
			return
		}
	}
	call(c.OnCount)
}

// MouseUp is part of desktop.Mouseable.
func (c *Counter) MouseUp(*desktop.MouseEvent) {}

// FocusGained is part of fyne.Focusable.
func (c *Counter) FocusGained() { c.setFocused(true) }

// FocusLost is part of fyne.Focusable.
func (c *Counter) FocusLost() { c.setFocused(false) }

func (c *Counter) setFocused(focused bool) {
	clear(c.held)
	if c.focused == focused {
		return
	}
	c.focused = focused
	c.Refresh()
	if c.OnFocus != nil {
		c.OnFocus(focused)
	}
}

func call(f func()) {
	if f != nil {
		f()
	}
}

// Shares of a counter's height.
const (
	counterDigits = 0.50 // the large number
	counterOf     = 0.08
	counterName   = 0.045
	counterValue  = 0.095
	counterLine   = 0.05
)

// CreateRenderer is part of fyne.Widget.
func (c *Counter) CreateRenderer() fyne.WidgetRenderer {
	r := &counterRenderer{counter: c, ground: canvas.NewRectangle(nil)}
	text := func(bold bool) *canvas.Text {
		t := canvas.NewText("", nil)
		t.TextStyle.Bold = bold
		t.Alignment = fyne.TextAlignCenter
		return t
	}
	r.turns, r.of, r.line = text(true), text(false), text(false)
	for i := range r.names {
		r.names[i], r.values[i] = text(false), text(true)
	}
	r.fill()
	return r
}

type counterRenderer struct {
	counter         *Counter
	ground          *canvas.Rectangle
	turns, of, line *canvas.Text
	names, values   [CounterFacts]*canvas.Text
}

func (r *counterRenderer) Destroy() {}

func (r *counterRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.ground, r.turns, r.of, r.line}
	for i := range r.names {
		objects = append(objects, r.names[i], r.values[i])
	}
	return objects
}

func (r *counterRenderer) MinSize() fyne.Size {
	return fyne.NewSquareSize(fynetheme.Size(theme.SizeNameSide))
}

// fill sets texts and colours.
func (r *counterRenderer) fill() {
	s := r.counter.shown
	r.ground.FillColor = fynetheme.Color(theme.ColorNameCard)
	r.ground.CornerRadius = fynetheme.Size(theme.SizeNameCardRadius)
	r.ground.StrokeWidth = fynetheme.Size(theme.SizeNameStageLine)
	r.ground.StrokeColor = fynetheme.Color(theme.ColorNameCardBorder)
	if r.counter.focused {
		r.ground.StrokeColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	}
	set := func(t *canvas.Text, text string, color fyne.ThemeColorName) {
		t.Text, t.Color = text, fynetheme.Color(color)
	}
	digits := fynetheme.ColorNameForeground
	switch {
	case s.Done:
		digits = fynetheme.ColorNameSuccess
	case s.Marked:
		digits = fynetheme.ColorNamePrimary
	}
	set(r.turns, s.Turns, digits)
	set(r.of, s.Of, theme.ColorNameMuted)
	set(r.line, s.Line, fynetheme.ColorNameForeground)
	for i, f := range s.Facts {
		set(r.names[i], f.Name, theme.ColorNameMuted)
		set(r.values[i], f.Value, fynetheme.ColorNameForeground)
	}
}

// place sets a text of a height at a place, smaller if it is too wide.
func (r *counterRenderer) place(t *canvas.Text, x, y, width, height float32) {
	const measured, ofHeight = 100, 0.82 // a line is higher than its type
	t.TextSize = height * ofHeight
	if wide := fyne.MeasureText(t.Text, measured, t.TextStyle).Width; wide > 0 {
		t.TextSize = min(t.TextSize, measured*width/wide)
	}
	t.Move(fyne.NewPos(x, y))
	t.Resize(fyne.NewSize(width, height))
}

func (r *counterRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	inset := fynetheme.Size(theme.SizeNameInset)
	width, height := size.Width-2*inset, size.Height-2*inset
	y := inset
	put := func(t *canvas.Text, share float32) {
		r.place(t, inset, y, width, share*height)
		y += share * height
	}
	put(r.turns, counterDigits)
	put(r.of, counterOf)
	y += height * (1 - counterDigits - counterOf - counterName - counterValue - counterLine) / 2
	each := width / CounterFacts
	for i := range r.names {
		x := inset + float32(i)*each
		r.place(r.names[i], x, y, each-inset, counterName*height)
		r.place(r.values[i], x, y+counterName*height, each-inset, counterValue*height)
	}
	y = inset + height*(1-counterLine)
	put(r.line, counterLine)
}

func (r *counterRenderer) Refresh() {
	r.fill()
	r.Layout(r.counter.Size())
	for _, o := range r.Objects() {
		o.Refresh()
	}
}
