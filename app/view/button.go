package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Button is the toolkit's button, which also takes the keyboard from an entry
// when it is clicked, so that what was typed is committed first, and can tell
// what it does before it is clicked.
type Button struct {
	widget.Button

	OnHint   func()
	OnEscape func()

	whole string // the text of one that may be narrower than it; empty: of another
}

// NewButton returns a button with a text, or with an icon if the text is empty.
func NewButton(text string, icon fyne.Resource, tapped func()) *Button {
	b := &Button{}
	b.Text, b.Icon, b.OnTapped = text, icon, tapped
	b.Importance = widget.LowImportance
	b.ExtendBaseWidget(b)
	return b
}

// shorten lets the button be narrower than its text, which then ends in an
// ellipsis.
func (b *Button) shorten() {
	b.whole = b.Text
}

// MinSize is part of fyne.CanvasObject.
func (b *Button) MinSize() fyne.Size {
	least := b.Button.MinSize()
	if b.whole != "" {
		least.Width = least.Height
	}
	return least
}

// Resize is part of fyne.CanvasObject.
func (b *Button) Resize(size fyne.Size) {
	b.Button.Resize(size)
	if b.whole == "" {
		return
	}
	text, style := fynetheme.TextSize(), fyne.TextStyle{Bold: true}
	around := b.Button.MinSize().Width - fyne.MeasureText(b.Text, text, style).Width
	if fits := shortened(b.whole, size.Width-around, text, style); fits != b.Text {
		b.SetText(fits)
	}
}

// Tapped is part of fyne.Tappable.
func (b *Button) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Unfocus()
	}
	b.Button.Tapped(e)
}

// TypedKey clicks on Enter as on Space.
func (b *Button) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		if b.OnTapped != nil && !b.Disabled() {
			b.OnTapped()
		}
	case fyne.KeyEscape:
		if b.OnEscape == nil {
			passOn(b, e)
			return
		}
		b.OnEscape()
	default:
		b.Button.TypedKey(e)
	}
}

// FocusGained is part of fyne.Focusable.
func (b *Button) FocusGained() {
	b.Button.FocusGained()
	b.hint()
}

// MouseIn is part of desktop.Hoverable.
func (b *Button) MouseIn(e *desktop.MouseEvent) {
	b.Button.MouseIn(e)
	b.hint()
}

func (b *Button) hint() {
	if b.OnHint != nil {
		b.OnHint()
	}
}

// SetEnabled enables or disables; the same again costs nothing.
func (b *Button) SetEnabled(enabled bool) {
	if enabled == !b.Disabled() {
		return
	}
	if enabled {
		b.Enable()
	} else {
		b.Disable()
	}
}
