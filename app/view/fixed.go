package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"
)

// NewFixed gives an object a height by name, whatever it holds.
func NewFixed(height fyne.ThemeSizeName, o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(fixedHeight{height}, o)
}

// NewSized gives an object a width and a height by name, whatever it holds.
func NewSized(width, height fyne.ThemeSizeName, o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(sizedLayout{width, height}, o)
}

type sizedLayout struct{ width, height fyne.ThemeSizeName }

func (s sizedLayout) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(fynetheme.Size(s.width), fynetheme.Size(s.height))
}

func (s sizedLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	height := fynetheme.Size(s.height)
	for _, o := range objects {
		o.Move(fyne.NewPos(0, (size.Height-height)/2))
		o.Resize(fyne.NewSize(size.Width, height))
	}
}

// NewLine returns an empty line of text that asks for no width of its own: where
// it is too long it ends in an ellipsis.
func NewLine(color fyne.ThemeColorName, size fyne.ThemeSizeName) *Text {
	t := NewText("", color, size)
	t.elastic = true
	return t
}
