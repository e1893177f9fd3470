package view

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// Picture shows an image that was drawn for exactly its own pixels, and tells
// how many these are.
type Picture struct {
	widget.BaseWidget

	// OnResize is called when the picture needs other pixels.
	OnResize func()
	// OnPoint is called while the pointer is over the picture, with its place
	// from the upper left corner; nil: the picture does not care.
	OnPoint          func(fyne.Position)
	OnEnter, OnLeave func() // the pointer comes and goes; nil: the picture does not care
	// OnTap is called on a click; nil: there is nothing to click at.
	OnTap func(fyne.Position)

	image *canvas.Image
	least fyne.Size
	space Space
}

// Space is the place a picture has to fill.
type Space struct {
	Width, Height int     // pixels
	Scale         float64 // pixels per density-independent pixel
}

// Empty says whether there is nothing to draw on.
func (s Space) Empty() bool {
	return s.Width < 1 || s.Height < 1
}

// NewPicture returns a picture that is never smaller than least.
func NewPicture(least fyne.Size) *Picture {
	p := &Picture{least: least, image: canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))}
	p.image.FillMode = canvas.ImageFillStretch
	p.image.ScaleMode = canvas.ImageScaleFastest // any other way resamples on the processor at each refresh
	p.ExtendBaseWidget(p)
	return p
}

// Space returns the pixels the picture has now.
func (p *Picture) Space() Space {
	return p.space
}

// SetImage replaces the image.
func (p *Picture) SetImage(i *image.RGBA) {
	p.image.Image = i
	p.image.Refresh()
}

// Resize is part of fyne.CanvasObject.
func (p *Picture) Resize(size fyne.Size) {
	p.BaseWidget.Resize(size)
	p.measure()
}

// Refresh asks for the scale again, which changes when the window moves to
// another screen.
func (p *Picture) Refresh() {
	p.BaseWidget.Refresh()
	p.measure()
}

func (p *Picture) measure() {
	scale := float32(1)
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		scale = c.Scale()
	}
	pixels := func(length float32) int { return int(math.Round(float64(length * scale))) }
	space := Space{Width: pixels(p.Size().Width), Height: pixels(p.Size().Height), Scale: float64(scale)}
	if space == p.space {
		return
	}
	p.space = space
	if p.OnResize != nil {
		p.OnResize()
	}
}

// MouseIn is part of desktop.Hoverable.
func (p *Picture) MouseIn(e *desktop.MouseEvent) {
	if p.OnEnter != nil {
		p.OnEnter()
	}
	p.MouseMoved(e)
}

// MouseMoved is part of desktop.Hoverable.
func (p *Picture) MouseMoved(e *desktop.MouseEvent) {
	if p.OnPoint != nil {
		p.OnPoint(e.Position)
	}
}

// MouseOut is part of desktop.Hoverable.
func (p *Picture) MouseOut() {
	if p.OnLeave != nil {
		p.OnLeave()
	}
}

// Tapped is part of fyne.Tappable; the click commits what was being typed.
func (p *Picture) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		c.Unfocus()
	}
	if p.OnTap != nil {
		p.OnTap(e.Position)
	}
}

// Cursor is part of desktop.Cursorable.
func (p *Picture) Cursor() desktop.Cursor {
	if p.OnTap != nil {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// MinSize is part of fyne.CanvasObject.
func (p *Picture) MinSize() fyne.Size {
	return p.least
}

// CreateRenderer is part of fyne.Widget.
func (p *Picture) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(p.image)
}
