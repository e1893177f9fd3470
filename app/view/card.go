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

// Card is a panel that folds: a head with a title and one line that sums up
// what it holds, and rows below.
type Card struct {
	*Panel
	head *cardHead
	rows *fyne.Container
}

func newCard(title string, rows ...fyne.CanvasObject) *Card {
	c := &Card{rows: container.New(rowsLayout{}, rows...)}
	c.head = newCardHead(title)
	c.head.onToggle = func() { c.SetFolded(!c.Folded()) }
	c.Panel = NewPanel(container.New(rowsLayout{}, c.head, c.rows), theme.SizeNameInset)
	return c
}

// Folded says whether only the head shows.
func (c *Card) Folded() bool {
	return !c.rows.Visible()
}

// SetFolded folds or unfolds.
func (c *Card) SetFolded(folded bool) {
	if folded == c.Folded() {
		return
	}
	if folded {
		c.rows.Hide()
	} else {
		c.rows.Show()
	}
	c.head.folded = folded
	c.head.Refresh()
	c.Panel.Refresh()
	if c.head.onFolded != nil {
		c.head.onFolded()
	}
}

// top returns how far below the top of its column a part of the card begins: its
// head, a row or all of it. What has just been unfolded was never on the screen,
// and the toolkit cannot say yet where that is.
func (c *Card) top(part fyne.CanvasObject) float32 {
	y := c.Panel.Position().Y
	switch part {
	case c.Panel:
		return y
	case c.head:
		return y + fynetheme.Size(c.Panel.inset)
	}
	return y + fynetheme.Size(c.Panel.inset) + c.rows.Position().Y + part.Position().Y
}

// sumUp replaces the line under the title.
func (c *Card) sumUp(text string) {
	c.head.summary.Set(text)
}

// rowsLayout stacks what is visible, each as tall as it must be.
type rowsLayout struct{}

func (rowsLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameRowGap)
	var size fyne.Size
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		if size.Height > 0 {
			size.Height += gap
		}
		least := o.MinSize()
		size.Width = max(size.Width, least.Width)
		size.Height += least.Height
	}
	return size
}

func (rowsLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	stack(objects, size.Width, fynetheme.Size(theme.SizeNameRowGap))
}

// stack places what is visible one below the other, each as tall as it must be.
func stack(objects []fyne.CanvasObject, width, gap float32) {
	var y float32
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		height := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(width, height))
		y += height + gap
	}
}

// cardHead is the part of a card that is always there; a click, Space or Enter
// folds the card.
type cardHead struct {
	widget.BaseWidget
	title    *Text
	summary  *Text
	folded   bool
	focused  bool
	hovered  bool
	onToggle func()
	onFolded func()
	onFocus  func()
}

func newCardHead(title string) *cardHead {
	h := &cardHead{
		title:   NewText(title, fynetheme.ColorNameForeground, theme.SizeNameTitleText),
		summary: NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
	}
	h.title.style.Bold = true
	h.summary.elastic = true
	h.ExtendBaseWidget(h)
	return h
}

// Tapped folds or unfolds, and commits what was being typed elsewhere.
func (h *cardHead) Tapped(*fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(h); c != nil {
		c.Unfocus()
	}
	h.toggle()
}

func (h *cardHead) toggle() {
	if h.onToggle != nil {
		h.onToggle()
	}
}

// TypedKey folds or unfolds on Space and Enter.
func (h *cardHead) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		h.toggle()
	}
}

// TypedRune is part of fyne.Focusable.
func (h *cardHead) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (h *cardHead) FocusGained() {
	h.focused = true
	h.Refresh()
	if h.onFocus != nil {
		h.onFocus()
	}
}

// FocusLost is part of fyne.Focusable.
func (h *cardHead) FocusLost() {
	h.focused = false
	h.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (h *cardHead) MouseIn(*desktop.MouseEvent) {
	h.hovered = true
	h.Refresh()
}

// MouseMoved is part of desktop.Hoverable.
func (h *cardHead) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (h *cardHead) MouseOut() {
	h.hovered = false
	h.Refresh()
}

// Cursor is part of desktop.Cursorable.
func (h *cardHead) Cursor() desktop.Cursor {
	return desktop.PointerCursor
}

// CreateRenderer is part of fyne.Widget.
func (h *cardHead) CreateRenderer() fyne.WidgetRenderer {
	r := &cardHeadRenderer{head: h, ground: canvas.NewRectangle(nil), arrow: widget.NewIcon(nil)}
	r.paint()
	return r
}

type cardHeadRenderer struct {
	head   *cardHead
	ground *canvas.Rectangle
	arrow  *widget.Icon
}

func (r *cardHeadRenderer) Destroy() {}

func (r *cardHeadRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.head.title, r.head.summary, r.arrow}
}

func (r *cardHeadRenderer) MinSize() fyne.Size {
	title, summary := r.head.title.MinSize(), r.head.summary.MinSize()
	return fyne.NewSize(title.Width+fynetheme.IconInlineSize(), title.Height+summary.Height+fynetheme.Padding())
}

func (r *cardHeadRenderer) Layout(size fyne.Size) {
	icon := fynetheme.IconInlineSize()
	title := r.head.title.MinSize().Height
	outset := fynetheme.Padding()
	r.ground.Move(fyne.NewSquareOffsetPos(-outset))
	r.ground.Resize(size.AddWidthHeight(2*outset, outset))
	r.head.title.Resize(fyne.NewSize(size.Width-icon, title))
	r.head.summary.Move(fyne.NewPos(0, title))
	r.head.summary.Resize(fyne.NewSize(size.Width, r.head.summary.MinSize().Height))
	r.arrow.Move(fyne.NewPos(size.Width-icon, 0))
	r.arrow.Resize(fyne.NewSquareSize(icon))
}

func (r *cardHeadRenderer) paint() {
	name := theme.IconNameUnfolded
	if r.head.folded {
		name = theme.IconNameFolded
	}
	r.arrow.SetResource(fynetheme.Current().Icon(name))
	r.ground.CornerRadius = fynetheme.Size(fynetheme.SizeNameInputRadius)
	switch {
	case r.head.focused:
		r.ground.FillColor = fynetheme.Color(theme.ColorNameHalo)
	case r.head.hovered:
		r.ground.FillColor = fynetheme.Color(fynetheme.ColorNameHover)
	default:
		r.ground.FillColor = fynetheme.Color(theme.ColorNameCard)
	}
}

func (r *cardHeadRenderer) Refresh() {
	r.paint()
	r.Layout(r.head.Size())
	r.ground.Refresh()
	r.head.title.Refresh()
	r.head.summary.Refresh()
	r.arrow.Refresh()
}
