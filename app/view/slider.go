package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// coarseSteps is how many of the smallest steps the page keys take.
const coarseSteps = 10

// Slider is a handle on a track. It knows only how far along the track it
// stands, 0 to 1; what that means is its owner's business. The toolkit's own
// slider tells neither when a drag begins nor of a double click, and the owner
// needs the first to undo a drag in one step.
//
// It takes no wheel, so that the wheel always scrolls the column of cards.
type Slider struct {
	widget.BaseWidget

	OnBegin  func()                 // before the first change by hand or key
	OnMove   func(position float64) // dragged or clicked to a place of the track
	OnStep   func(steps int)        // arrow and page keys, in smallest steps
	OnEnd    func()                 // the hand or the key is lifted
	OnCancel func()                 // Escape in the middle of a drag
	OnReset  func()                 // double click
	OnFocus  func()                 // the keyboard arrives
	OnHover  func()                 // the pointer arrives

	position float64
	pressed  bool // a change has begun and not ended
	focused  bool
	hovered  bool
	grip     float32 // px, from the handle's centre to where it was seized
}

// NewSlider returns a slider at the left end.
func NewSlider() *Slider {
	s := &Slider{}
	s.ExtendBaseWidget(s)
	return s
}

// Place moves the handle and reports nothing.
func (s *Slider) Place(position float64) {
	position = min(max(position, 0), 1)
	if s.position == position {
		return
	}
	s.position = position
	s.Refresh()
}

// At returns where the handle stands, 0 to 1.
func (s *Slider) At() float64 {
	return s.position
}

func (s *Slider) begin() {
	if s.pressed {
		return
	}
	s.pressed = true
	if s.OnBegin != nil {
		s.OnBegin()
	}
}

func (s *Slider) end() {
	if !s.pressed {
		return
	}
	s.pressed = false
	if s.OnEnd != nil {
		s.OnEnd()
	}
}

// track returns where the track begins and how long it is, in px.
func (s *Slider) track() (start, length float32) {
	inset := fynetheme.Size(theme.SizeNameHalo) / 2
	return inset, max(s.Size().Width-2*inset, 1)
}

// knob returns where the centre of the handle is, in px.
func (s *Slider) knob() float32 {
	start, length := s.track()
	return start + float32(s.position)*length
}

func (s *Slider) moveTo(x float32) {
	start, length := s.track()
	position := float64(min(max((x-start)/length, 0), 1))
	if s.OnMove != nil {
		s.OnMove(position)
	}
}

// MouseDown seizes the handle, or brings it to the pointer.
func (s *Slider) MouseDown(e *desktop.MouseEvent) {
	if e.Button != desktop.MouseButtonPrimary {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(s); c != nil {
		c.Focus(s)
	}
	s.grip = e.Position.X - s.knob()
	if half := fynetheme.Size(theme.SizeNameHalo) / 2; s.grip < -half || s.grip > half {
		s.grip = 0
		s.begin()
		s.moveTo(e.Position.X)
	}
}

// MouseUp lets the handle go.
func (s *Slider) MouseUp(*desktop.MouseEvent) {
	s.end()
	s.grip = 0
}

// Dragged moves the handle with the pointer.
func (s *Slider) Dragged(e *fyne.DragEvent) {
	s.begin()
	s.moveTo(e.Position.X - s.grip)
}

// DragEnd lets the handle go.
func (s *Slider) DragEnd() {
	s.end()
	s.grip = 0
}

// DoubleTapped asks for the value the design had when it was opened.
func (s *Slider) DoubleTapped(*fyne.PointEvent) {
	s.end()
	if s.OnReset != nil {
		s.OnReset()
	}
}

// KeyDown begins a change that lasts until the key is lifted, so that holding
// an arrow down is undone in one step.
func (s *Slider) KeyDown(e *fyne.KeyEvent) {
	if sliderSteps(e.Name) != 0 {
		s.begin()
	}
}

// KeyUp ends it.
func (s *Slider) KeyUp(e *fyne.KeyEvent) {
	if sliderSteps(e.Name) != 0 {
		s.end()
	}
}

// TypedKey steps by the arrow and page keys; Escape gives a drag up.
func (s *Slider) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyEscape && s.pressed {
		s.pressed = false
		if s.OnCancel != nil {
			s.OnCancel()
		}
		return
	}
	if e.Name == fyne.KeyEscape {
		passOn(s, e)
		return
	}
	steps := sliderSteps(e.Name)
	if steps == 0 || s.OnStep == nil {
		return
	}
	if s.pressed {
		s.OnStep(steps)
		return
	}
	s.begin()
	s.OnStep(steps)
	s.end()
}

// sliderSteps returns how many smallest steps a key means, 0 for other keys.
func sliderSteps(key fyne.KeyName) int {
	switch key {
	case fyne.KeyRight, fyne.KeyUp:
		return 1
	case fyne.KeyLeft, fyne.KeyDown:
		return -1
	case fyne.KeyPageUp:
		return coarseSteps
	case fyne.KeyPageDown:
		return -coarseSteps
	}
	return 0
}

// TypedRune is part of fyne.Focusable.
func (s *Slider) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (s *Slider) FocusGained() {
	s.focused = true
	s.Refresh()
	if s.OnFocus != nil {
		s.OnFocus()
	}
}

// FocusLost is part of fyne.Focusable.
func (s *Slider) FocusLost() {
	s.end()
	s.focused = false
	s.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (s *Slider) MouseIn(*desktop.MouseEvent) {
	s.hovered = true
	s.Refresh()
	if s.OnHover != nil {
		s.OnHover()
	}
}

// MouseMoved is part of desktop.Hoverable.
func (s *Slider) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (s *Slider) MouseOut() {
	s.hovered = false
	s.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (s *Slider) CreateRenderer() fyne.WidgetRenderer {
	r := &sliderRenderer{
		slider:  s,
		rest:    canvas.NewRectangle(nil),
		reached: canvas.NewRectangle(nil),
		halo:    canvas.NewCircle(nil),
		knob:    canvas.NewCircle(nil),
	}
	r.Refresh()
	return r
}

type sliderRenderer struct {
	slider        *Slider
	rest, reached *canvas.Rectangle
	halo, knob    *canvas.Circle
}

func (r *sliderRenderer) Destroy() {}

func (r *sliderRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.rest, r.reached, r.halo, r.knob}
}

func (r *sliderRenderer) MinSize() fyne.Size {
	halo := fynetheme.Size(theme.SizeNameHalo)
	return fyne.NewSize(3*halo, halo)
}

func (r *sliderRenderer) Layout(size fyne.Size) {
	start, length := r.slider.track()
	thickness := fynetheme.Size(theme.SizeNameTrack)
	x, y := r.slider.knob(), size.Height/2
	r.rest.Move(fyne.NewPos(start, y-thickness/2))
	r.rest.Resize(fyne.NewSize(length, thickness))
	r.reached.Move(fyne.NewPos(start, y-thickness/2))
	r.reached.Resize(fyne.NewSize(max(x-start, 0), thickness))
	place := func(c *canvas.Circle, diameter float32) {
		c.Move(fyne.NewPos(x-diameter/2, y-diameter/2))
		c.Resize(fyne.NewSquareSize(diameter))
	}
	place(r.halo, fynetheme.Size(theme.SizeNameHalo))
	place(r.knob, fynetheme.Size(theme.SizeNameKnob))
}

func (r *sliderRenderer) Refresh() {
	thickness := fynetheme.Size(theme.SizeNameTrack)
	r.rest.CornerRadius, r.reached.CornerRadius = thickness/2, thickness/2
	r.rest.FillColor = fynetheme.Color(theme.ColorNameTrack)
	r.reached.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	r.knob.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	r.knob.StrokeColor = fynetheme.Color(theme.ColorNameKnob)
	r.knob.StrokeWidth = fynetheme.Size(theme.SizeNameRowGap)
	r.halo.Hidden = !r.slider.focused && !r.slider.hovered
	r.halo.FillColor = fynetheme.Color(theme.ColorNameHalo)
	if !r.slider.focused {
		r.halo.FillColor = fynetheme.Color(fynetheme.ColorNameHover)
	}
	r.Layout(r.slider.Size())
	canvas.Refresh(r.slider)
}
