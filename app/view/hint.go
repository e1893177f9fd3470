package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Hint is the place that says in a sentence or two what the quantity or button
// under the pointer or the keyboard is. It never changes its size.
type Hint struct {
	text   *Paragraph
	object fyne.CanvasObject
}

// NewHint returns a hint that says how to get one.
func NewHint() *Hint {
	h := &Hint{text: NewParagraph()}
	h.object = newGround(container.New(fixedHeight{theme.SizeNameHint}, h.text), theme.SizeNameRowGap)
	h.Show("")
	return h
}

// Object returns what to put into the window.
func (h *Hint) Object() fyne.CanvasObject {
	return h.object
}

// Show says what the thing of a key is.
func (h *Hint) Show(key string) {
	text := lang.L("hint.none")
	if key != "" {
		text = lang.L("hint." + key)
	}
	h.Say(text)
}

// Say says anything else: why a text was refused.
func (h *Hint) Say(text string) {
	h.text.Set(text)
}

// Text returns what the hint says.
func (h *Hint) Text() string {
	return h.text.Content()
}

// Cut says whether the hint is too long for its place.
func (h *Hint) Cut() bool {
	return h.text.cut
}

// fixedHeight gives its objects a height by name, whatever they hold.
type fixedHeight struct {
	height fyne.ThemeSizeName
}

func (f fixedHeight) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var width float32
	for _, o := range objects {
		width = max(width, o.MinSize().Width)
	}
	return fyne.NewSize(width, fynetheme.Size(f.height))
}

func (f fixedHeight) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.Position{})
		o.Resize(size)
	}
}
