package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Segments is a switch between a few words that are all in sight. A click, or
// the left and right keys, picks one.
type Segments struct {
	widget.BaseWidget

	OnPick func(index int)
	OnHint func()

	words   []*Text
	picked  int
	focused bool
}

// NewSegments returns a switch with the first word picked.
func NewSegments(words ...string) *Segments {
	s := &Segments{}
	for _, word := range words {
		t := NewText(word, theme.ColorNameMuted, fynetheme.SizeNameCaptionText)
		t.align = fyne.TextAlignCenter
		s.words = append(s.words, t)
	}
	s.ExtendBaseWidget(s)
	return s
}

// Picked returns the index of the word that is picked.
func (s *Segments) Picked() int {
	return s.picked
}

// SetPicked picks and reports nothing.
func (s *Segments) SetPicked(index int) {
	if index == s.picked {
		return
	}
	s.picked = index
	s.Refresh()
}

func (s *Segments) pick(index int) {
	if index < 0 || index >= len(s.words) || index == s.picked {
		return
	}
	s.SetPicked(index)
	if s.OnPick != nil {
		s.OnPick(index)
	}
}

// Tapped picks the word under the pointer.
func (s *Segments) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(s); c != nil {
		c.Focus(s)
	}
	s.pick(int(e.Position.X / s.Size().Width * float32(len(s.words))))
}

// TypedKey picks the neighbour.
func (s *Segments) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyLeft, fyne.KeyUp:
		s.pick(s.picked - 1)
	case fyne.KeyRight, fyne.KeyDown:
		s.pick(s.picked + 1)
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		s.pick((s.picked + 1) % len(s.words))
	}
}

// TypedRune is part of fyne.Focusable.
func (s *Segments) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (s *Segments) FocusGained() {
	s.focused = true
	s.Refresh()
	s.hint()
}

// FocusLost is part of fyne.Focusable.
func (s *Segments) FocusLost() {
	s.focused = false
	s.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (s *Segments) MouseIn(*desktop.MouseEvent) {
	s.hint()
}

// MouseMoved is part of desktop.Hoverable.
func (s *Segments) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (s *Segments) MouseOut() {}

func (s *Segments) hint() {
	if s.OnHint != nil {
		s.OnHint()
	}
}

// CreateRenderer is part of fyne.Widget.
func (s *Segments) CreateRenderer() fyne.WidgetRenderer {
	r := &segmentsRenderer{segments: s, ground: canvas.NewRectangle(nil), mark: canvas.NewRectangle(nil)}
	r.objects = []fyne.CanvasObject{r.ground, r.mark}
	for _, word := range s.words {
		r.objects = append(r.objects, word)
	}
	r.paint()
	return r
}

type segmentsRenderer struct {
	segments     *Segments
	ground, mark *canvas.Rectangle
	objects      []fyne.CanvasObject
}

func (r *segmentsRenderer) Destroy() {}

func (r *segmentsRenderer) Objects() []fyne.CanvasObject {
	return r.objects
}

func (r *segmentsRenderer) MinSize() fyne.Size {
	height := fynetheme.Size(theme.SizeNameSegment)
	var width float32
	for _, word := range r.segments.words {
		width = max(width, word.MinSize().Width)
	}
	return fyne.NewSize((width+height)*float32(len(r.segments.words)), height)
}

func (r *segmentsRenderer) Layout(size fyne.Size) {
	height := fynetheme.Size(theme.SizeNameSegment)
	top := (size.Height - height) / 2
	margin := fynetheme.Size(theme.SizeNameRowGap)
	width := size.Width / float32(len(r.segments.words))
	r.ground.Move(fyne.NewPos(0, top))
	r.ground.Resize(fyne.NewSize(size.Width, height))
	r.mark.Move(fyne.NewPos(float32(r.segments.picked)*width+margin, top+margin))
	r.mark.Resize(fyne.NewSize(width-2*margin, height-2*margin))
	for i, word := range r.segments.words {
		word.Move(fyne.NewPos(float32(i)*width, top))
		word.Resize(fyne.NewSize(width, height))
	}
}

func (r *segmentsRenderer) paint() {
	height := fynetheme.Size(theme.SizeNameSegment)
	r.ground.CornerRadius = height / 2
	r.mark.CornerRadius = height/2 - fynetheme.Size(theme.SizeNameRowGap)
	r.ground.FillColor = fynetheme.Color(fynetheme.ColorNameInputBackground)
	r.ground.StrokeColor = fynetheme.Color(theme.ColorNameCardBorder)
	r.ground.StrokeWidth = fynetheme.Size(fynetheme.SizeNameInputBorder)
	if r.segments.focused {
		r.ground.StrokeColor = fynetheme.Color(fynetheme.ColorNamePrimary)
		r.ground.StrokeWidth *= 2
	}
	r.mark.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	for i, word := range r.segments.words {
		color := theme.ColorNameMuted
		if i == r.segments.picked {
			color = fynetheme.ColorNameForegroundOnPrimary
		}
		word.style.Bold = i == r.segments.picked
		word.Paint(color)
	}
}

func (r *segmentsRenderer) Refresh() {
	r.paint()
	r.Layout(r.segments.Size())
	for _, o := range r.objects {
		o.Refresh()
	}
}
