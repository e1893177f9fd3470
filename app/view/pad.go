package view

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// Pad lies over a picture and is pressed, dragged across, turned at with the
// wheel and clicked twice. It shows nothing and leaves it to the picture to
// notice the pointer.
//
// It is apart from [Picture] because the toolkit keeps a click back from
// whatever can be clicked twice until it is sure that it was only one.
type Pad struct {
	widget.BaseWidget

	// OnPress is called when the pointer is pressed, OnDrag while it then moves,
	// wherever to, and OnRelease at the end; nil: pressing does nothing of its own.
	OnPress   func(fyne.Position)
	OnDrag    func(fyne.Position)
	OnRelease func()
	// OnWheel is called with the place of the pointer and how far the wheel was
	// turned: away from the hand and to the right positive; nil: nothing.
	OnWheel func(at fyne.Position, turned fyne.Delta)
	// OnDouble is called after the second of two quick presses; nil: nothing.
	OnDouble func()

	pressed bool
}

func newPad() *Pad {
	p := &Pad{}
	p.ExtendBaseWidget(p)
	return p
}

// MouseDown is part of desktop.Mouseable; it commits what was being typed.
func (p *Pad) MouseDown(e *desktop.MouseEvent) {
	if p.OnPress == nil || e.Button != desktop.MouseButtonPrimary {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		c.Unfocus()
	}
	p.pressed = true
	p.OnPress(e.Position)
}

// MouseUp is part of desktop.Mouseable.
func (p *Pad) MouseUp(*desktop.MouseEvent) {
	p.release()
}

// Dragged is part of fyne.Draggable.
func (p *Pad) Dragged(e *fyne.DragEvent) {
	if p.pressed && p.OnDrag != nil {
		p.OnDrag(e.Position)
	}
}

// DragEnd is part of fyne.Draggable.
func (p *Pad) DragEnd() {
	p.release()
}

func (p *Pad) release() {
	if p.pressed && p.OnRelease != nil {
		p.pressed = false
		p.OnRelease()
	}
}

// Scrolled is part of fyne.Scrollable.
func (p *Pad) Scrolled(e *fyne.ScrollEvent) {
	if p.OnWheel != nil {
		p.OnWheel(e.Position, e.Scrolled)
	}
}

// DoubleTapped is part of fyne.DoubleTappable.
func (p *Pad) DoubleTapped(*fyne.PointEvent) {
	if p.OnDouble != nil {
		p.OnDouble()
	}
}

// Cursor is part of desktop.Cursorable.
func (p *Pad) Cursor() desktop.Cursor {
	if p.OnPress != nil {
		return desktop.CrosshairCursor
	}
	return desktop.DefaultCursor
}

// CreateRenderer is part of fyne.Widget.
func (p *Pad) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(canvas.NewRectangle(color.Transparent))
}
