package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// StageBar names the stages of the job and marks the one on screen by a line,
// a colour and bold type. A click, or the left and right keys, picks one. With
// a single stage there is nothing to pick and the bar shows nothing.
type StageBar struct {
	widget.BaseWidget

	onPick func(index int)
	onHint func(key string)

	keys    []string
	words   []*Text
	picked  int
	hovered int // -1: none
	focused bool
}

func newStageBar(keys []string) *StageBar {
	s := &StageBar{keys: keys, hovered: -1}
	for _, key := range keys {
		word := NewText(lang.L("stage."+key), theme.ColorNameMuted, theme.SizeNameStageText)
		word.align = fyne.TextAlignCenter
		s.words = append(s.words, word)
	}
	s.ExtendBaseWidget(s)
	if len(keys) < 2 {
		s.Hide()
	}
	return s
}

func (s *StageBar) names() []string {
	var names []string
	for _, word := range s.words {
		names = append(names, word.Content())
	}
	return names
}

func (s *StageBar) setPicked(index int) {
	if index == s.picked {
		return
	}
	s.picked = index
	s.Refresh()
}

func (s *StageBar) pick(index int) {
	if index >= 0 && index < len(s.words) && index != s.picked && s.onPick != nil {
		s.onPick(index)
	}
}

// Tapped picks the stage under the pointer.
func (s *StageBar) Tapped(e *fyne.PointEvent) {
	s.pick(s.under(e.Position))
}

// under returns the stage at a place.
func (s *StageBar) under(at fyne.Position) int {
	left, width := s.places()
	for i := range left {
		if at.X < left[i]+width[i] {
			return i
		}
	}
	return len(left) - 1
}

// TypedKey picks the neighbour and keeps the keyboard.
func (s *StageBar) TypedKey(e *fyne.KeyEvent) {
	step := 0
	switch e.Name {
	case fyne.KeyLeft, fyne.KeyUp:
		step = -1
	case fyne.KeyRight, fyne.KeyDown:
		step = 1
	default:
		return
	}
	s.pick(s.picked + step)
	if c := fyne.CurrentApp().Driver().CanvasForObject(s); c != nil {
		c.Focus(s)
	}
}

// TypedRune is part of fyne.Focusable.
func (s *StageBar) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (s *StageBar) FocusGained() {
	s.focused = true
	s.Refresh()
	s.hint(s.picked)
}

// FocusLost is part of fyne.Focusable.
func (s *StageBar) FocusLost() {
	s.focused = false
	s.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (s *StageBar) MouseIn(e *desktop.MouseEvent) {
	s.MouseMoved(e)
}

// MouseMoved says what one does in the stage under the pointer.
func (s *StageBar) MouseMoved(e *desktop.MouseEvent) {
	over := s.under(e.Position)
	if over == s.hovered {
		return
	}
	s.hovered = over
	s.Refresh()
	s.hint(over)
}

// MouseOut is part of desktop.Hoverable.
func (s *StageBar) MouseOut() {
	s.hovered = -1
	s.Refresh()
}

// Cursor is part of desktop.Cursorable.
func (s *StageBar) Cursor() desktop.Cursor {
	return desktop.PointerCursor
}

func (s *StageBar) hint(index int) {
	if s.onHint != nil {
		s.onHint(s.keys[index])
	}
}

// places returns where each stage's place begins and how wide it is.
func (s *StageBar) places() (left, width []float32) {
	var x float32
	for _, word := range s.words {
		// Bold, as it is when picked, so that a pick moves nothing.
		bold := fyne.MeasureText(word.Content(), fynetheme.Size(theme.SizeNameStageText), fyne.TextStyle{Bold: true})
		w := bold.Width + 2*fynetheme.Size(theme.SizeNameStageAir)
		left, width = append(left, x), append(width, w)
		x += w
	}
	return left, width
}

// CreateRenderer is part of fyne.Widget.
func (s *StageBar) CreateRenderer() fyne.WidgetRenderer {
	r := &stageBarRenderer{bar: s, line: canvas.NewRectangle(nil), ring: canvas.NewRectangle(nil)}
	r.objects = []fyne.CanvasObject{r.ring, r.line}
	for _, word := range s.words {
		r.objects = append(r.objects, word)
	}
	r.paint()
	return r
}

type stageBarRenderer struct {
	bar     *StageBar
	line    *canvas.Rectangle // under the stage on screen
	ring    *canvas.Rectangle // round it while it has the keyboard
	objects []fyne.CanvasObject
}

func (r *stageBarRenderer) Destroy() {}

func (r *stageBarRenderer) Objects() []fyne.CanvasObject {
	return r.objects
}

func (r *stageBarRenderer) MinSize() fyne.Size {
	var size fyne.Size
	if len(r.bar.words) < 2 {
		return size
	}
	_, width := r.bar.places()
	for _, w := range width {
		size.Width += w
	}
	size.Height = fynetheme.Size(theme.SizeNameHeader)
	return size
}

func (r *stageBarRenderer) Layout(size fyne.Size) {
	left, width := r.bar.places()
	thick := fynetheme.Size(theme.SizeNameStageLine)
	air := fynetheme.Size(theme.SizeNameStageAir)
	for i, word := range r.bar.words {
		place(word, left[i], 0, width[i], size.Height)
	}
	at := r.bar.picked
	place(r.line, left[at]+air, size.Height-2*thick, width[at]-2*air, thick)
	place(r.ring, left[at]+air/2, thick, width[at]-air, size.Height-4*thick)
}

func (r *stageBarRenderer) paint() {
	r.line.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	r.ring.StrokeColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	r.ring.CornerRadius = fynetheme.Size(fynetheme.SizeNameInputRadius)
	r.ring.StrokeWidth = 0
	if r.bar.focused {
		r.ring.StrokeWidth = 2 * fynetheme.Size(fynetheme.SizeNameInputBorder)
	}
	for i, word := range r.bar.words {
		word.style.Bold = i == r.bar.picked
		color := theme.ColorNameMuted
		switch i {
		case r.bar.picked:
			color = fynetheme.ColorNamePrimary
		case r.bar.hovered:
			color = fynetheme.ColorNameForeground
		}
		word.color = color
		word.Refresh()
	}
}

func (r *stageBarRenderer) Refresh() {
	r.paint()
	r.Layout(r.bar.Size())
	for _, o := range r.objects {
		o.Refresh()
	}
}
