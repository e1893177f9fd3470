package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// StepList is a list of steps of which one is picked. A click, or the up and
// down keys, picks another.
type StepList struct {
	widget.BaseWidget

	OnPick func(index int)

	scroll  *container.Scroll
	rows    *fyne.Container
	steps   []*stepRow
	picked  int
	focused bool
}

// NewStepList returns an empty list.
func NewStepList() *StepList {
	l := &StepList{rows: container.New(rowsLayout{})}
	l.scroll = container.NewVScroll(l.rows)
	l.ExtendBaseWidget(l)
	return l
}

// SetSteps replaces the steps; the same titles again cost nothing.
func (l *StepList) SetSteps(titles []string) {
	same := len(titles) == len(l.steps)
	for i := 0; same && i < len(titles); i++ {
		same = l.steps[i].title.Content() == titles[i]
	}
	if same {
		return
	}
	if len(titles) != len(l.steps) {
		l.steps, l.rows.Objects = nil, nil
		for i := range titles {
			row := newStepRow(l, i)
			l.steps = append(l.steps, row)
			l.rows.Objects = append(l.rows.Objects, row)
		}
		l.picked = max(0, min(l.picked, len(titles)-1))
	}
	for i, title := range titles {
		l.steps[i].title.Set(title)
	}
	l.rows.Refresh()
	l.scroll.Refresh()
}

// Picked returns the step that is picked.
func (l *StepList) Picked() int { return l.picked }

// Pick picks a step, brings it into sight and reports it.
func (l *StepList) Pick(index int) {
	if index < 0 || index >= len(l.steps) {
		return
	}
	l.SetPicked(index)
	if l.OnPick != nil {
		l.OnPick(index)
	}
}

// SetPicked picks a step, brings it into sight and reports nothing.
func (l *StepList) SetPicked(index int) {
	if index < 0 || index >= len(l.steps) {
		return
	}
	before := l.picked
	l.picked = index
	if before < len(l.steps) {
		l.steps[before].Refresh()
	}
	row := l.steps[index]
	row.Refresh()
	top, bottom := row.Position().Y, row.Position().Y+row.Size().Height
	switch height := l.scroll.Size().Height; {
	case height <= 0:
	case top < l.scroll.Offset.Y:
		l.scroll.ScrollToOffset(fyne.NewPos(0, top))
	case bottom > l.scroll.Offset.Y+height:
		l.scroll.ScrollToOffset(fyne.NewPos(0, bottom-height))
	}
}

// TypedKey picks the neighbour.
func (l *StepList) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyUp:
		l.Pick(l.picked - 1)
	case fyne.KeyDown, fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		l.Pick(l.picked + 1)
	case fyne.KeyHome:
		l.Pick(0)
	case fyne.KeyEnd:
		l.Pick(len(l.steps) - 1)
	}
}

// TypedRune is part of fyne.Focusable.
func (l *StepList) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (l *StepList) FocusGained() { l.setFocused(true) }

// FocusLost is part of fyne.Focusable.
func (l *StepList) FocusLost() { l.setFocused(false) }

func (l *StepList) setFocused(focused bool) {
	l.focused = focused
	if l.picked < len(l.steps) {
		l.steps[l.picked].Refresh()
	}
}

// CreateRenderer is part of fyne.Widget.
func (l *StepList) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(l.scroll)
}

// stepRow is one step of a list.
type stepRow struct {
	widget.BaseWidget
	list    *StepList
	index   int
	title   *Text
	hovered bool
}

func newStepRow(l *StepList, index int) *stepRow {
	r := &stepRow{list: l, index: index, title: NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)}
	r.title.elastic = true
	r.ExtendBaseWidget(r)
	return r
}

// Tapped picks the step and gives the list the keyboard.
func (r *stepRow) Tapped(*fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(r); c != nil {
		c.Focus(r.list)
	}
	r.list.Pick(r.index)
}

// MouseIn is part of desktop.Hoverable.
func (r *stepRow) MouseIn(*desktop.MouseEvent) {
	r.hovered = true
	r.Refresh()
}

// MouseMoved is part of desktop.Hoverable.
func (r *stepRow) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (r *stepRow) MouseOut() {
	r.hovered = false
	r.Refresh()
}

// Cursor is part of desktop.Cursorable.
func (r *stepRow) Cursor() desktop.Cursor { return desktop.PointerCursor }

// CreateRenderer is part of fyne.Widget.
func (r *stepRow) CreateRenderer() fyne.WidgetRenderer {
	s := &stepRowRenderer{row: r, ground: canvas.NewRectangle(nil), mark: canvas.NewRectangle(nil)}
	s.paint()
	return s
}

type stepRowRenderer struct {
	row    *stepRow
	ground *canvas.Rectangle
	mark   *canvas.Rectangle // at the left of the one that is picked
}

func (s *stepRowRenderer) Destroy() {}

func (s *stepRowRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{s.ground, s.mark, s.row.title}
}

func (s *stepRowRenderer) MinSize() fyne.Size {
	return fyne.NewSize(0, fynetheme.Size(theme.SizeNameRow))
}

func (s *stepRowRenderer) Layout(size fyne.Size) {
	inset := fynetheme.Size(theme.SizeNameInset)
	s.ground.Resize(size)
	s.mark.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameStageLine), size.Height))
	height := s.row.title.MinSize().Height
	s.row.title.Move(fyne.NewPos(inset, (size.Height-height)/2))
	s.row.title.Resize(fyne.NewSize(size.Width-2*inset, height))
}

func (s *stepRowRenderer) paint() {
	s.ground.CornerRadius = fynetheme.Size(fynetheme.SizeNameInputRadius)
	picked := s.row.list.picked == s.row.index
	ground := theme.ColorNameCard
	switch {
	case picked && s.row.list.focused:
		ground = theme.ColorNameHalo
	case picked:
		ground = fynetheme.ColorNameSelection
	case s.row.hovered:
		ground = fynetheme.ColorNameHover
	}
	s.ground.FillColor = fynetheme.Color(ground)
	s.mark.FillColor = fynetheme.Color(theme.ColorNameCard)
	if picked {
		s.mark.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	}
}

func (s *stepRowRenderer) Refresh() {
	s.paint()
	s.row.title.style.Bold = s.row.list.picked == s.row.index
	s.ground.Refresh()
	s.mark.Refresh()
	s.row.title.Refresh()
}
