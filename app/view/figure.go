package view

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Figure is a panel with a picture and, where there is something to choose
// about it, a switch in a corner on the right.
type Figure struct {
	panel   *Panel
	picture *Picture
	missing *Text
	cover   *fyne.Container // lies over the picture
	pad     *Pad            // in it; nil: nobody has asked for one
}

// NewFigure returns a figure that shows nothing yet; choice, in the upper
// corner, may be nil.
func NewFigure(least fyne.Size, choice fyne.CanvasObject) *Figure {
	return newFigure(least, choice, figureLayout{})
}

// NewDrawing is [NewFigure] with the choice in the lower corner.
func NewDrawing(least fyne.Size, choice fyne.CanvasObject) *Figure {
	return newFigure(least, choice, figureLayout{low: true})
}

func newFigure(least fyne.Size, choice fyne.CanvasObject, layout figureLayout) *Figure {
	f := &Figure{
		picture: NewPicture(least),
		missing: NewText("", theme.ColorNameMuted, fynetheme.SizeNameText),
	}
	f.missing.align = fyne.TextAlignCenter
	f.missing.elastic = true
	f.missing.Hide()
	f.cover = container.NewStack()
	objects := []fyne.CanvasObject{f.picture, f.missing, f.cover}
	if choice != nil {
		objects = append(objects, choice)
	}
	f.panel = NewPanel(container.New(layout, objects...), theme.SizeNameFigureInset)
	return f
}

// Object returns what to put into the window.
func (f *Figure) Object() fyne.CanvasObject {
	return f.panel
}

// Picture returns the place the figure is drawn in.
func (f *Figure) Picture() *Picture {
	return f.picture
}

// Cover lays something over the whole picture.
func (f *Figure) Cover(o fyne.CanvasObject) {
	f.cover.Add(o)
}

// Pad returns what lies over the picture to be pressed, dragged across and turned
// at with the wheel.
func (f *Figure) Pad() *Pad {
	if f.pad == nil {
		f.pad = newPad()
		f.Cover(f.pad)
	}
	return f.pad
}

// Show replaces the picture; nil says why there is none.
func (f *Figure) Show(i *image.RGBA, missing string) {
	if i == nil {
		f.missing.Set(missing)
		setVisible(f.picture, false)
		setVisible(f.missing, true)
		return
	}
	f.missing.Set("")
	f.picture.SetImage(i)
	if !f.picture.Visible() {
		setVisible(f.missing, false)
		setVisible(f.picture, true)
	}
}

// Missing returns why there is no picture, empty if there is one.
func (f *Figure) Missing() string {
	return f.missing.Content()
}

// figureLayout gives the picture the whole place and the switch its corner.
type figureLayout struct {
	low bool // the corner is the lower one
}

func (figureLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[0].MinSize()
}

func (l figureLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects[:3] {
		o.Move(fyne.Position{})
		o.Resize(size)
	}
	if len(objects) > 3 {
		least := objects[3].MinSize()
		top := float32(0)
		if l.low {
			top = size.Height - least.Height
		}
		objects[3].Move(fyne.NewPos(size.Width-least.Width, top))
		objects[3].Resize(least)
	}
}
