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
	Tight  bool // asks for little air, for a place that gives it more if it can

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
	left, _ := s.places()
	at := len(left) - 1
	for at > 0 && e.Position.X < left[at] {
		at--
	}
	s.pick(at)
}

// TypedKey picks the neighbour.
func (s *Segments) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyEscape:
		passOn(s, e)
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

// natural returns how wide the place of each word wants to be: the same air
// round every word, however long.
func (s *Segments) natural() []float32 {
	widths := make([]float32, len(s.words))
	for i, word := range s.words {
		// Bold, as it is when picked, so that a pick moves nothing.
		bold := fyne.MeasureText(word.Content(), fynetheme.CaptionTextSize(), fyne.TextStyle{Bold: true})
		air := float32(wordAir)
		if s.Tight {
			air = tightAir
		}
		widths[i] = bold.Width + fynetheme.Size(theme.SizeNameSegment)*air
	}
	return widths
}

// Air beside a word, both sides together, as a share of the height of a switch.
const (
	wordAir  = 0.8
	tightAir = 0.4
)

// places returns where each word's place begins and how wide it is.
func (s *Segments) places() (left, width []float32) {
	width = s.natural()
	var total float32
	for _, w := range width {
		total += w
	}
	left = make([]float32, len(width))
	var x float32
	for i := range width {
		width[i] += (s.Size().Width - total) / float32(len(width))
		left[i] = x
		x += width[i]
	}
	return left, width
}

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
	var width float32
	for _, w := range r.segments.natural() {
		width += w
	}
	return fyne.NewSize(width, fynetheme.Size(theme.SizeNameSegment))
}

func (r *segmentsRenderer) Layout(size fyne.Size) {
	height := fynetheme.Size(theme.SizeNameSegment)
	top := (size.Height - height) / 2
	margin := fynetheme.Size(theme.SizeNameRowGap)
	left, width := r.segments.places()
	picked := r.segments.picked
	r.ground.Move(fyne.NewPos(0, top))
	r.ground.Resize(fyne.NewSize(size.Width, height))
	r.mark.Move(fyne.NewPos(left[picked]+margin, top+margin))
	r.mark.Resize(fyne.NewSize(width[picked]-2*margin, height-2*margin))
	for i, word := range r.segments.words {
		word.Move(fyne.NewPos(left[i], top))
		word.Resize(fyne.NewSize(width[i], height))
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
