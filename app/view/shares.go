package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Share is one line of what something is made up of: a name, a bar and a number.
type Share struct {
	widget.BaseWidget
	name, number *Text
	part         float64 // length of the bar, 0 to 1
}

// newShare returns a line whose bar takes the given part of its place.
func newShare(name string, part float64, number string) *Share {
	s := &Share{
		name:   NewText(name, fynetheme.ColorNameForeground, fynetheme.SizeNameText),
		number: NewText(number, fynetheme.ColorNameForeground, fynetheme.SizeNameText),
		part:   min(max(part, 0), 1),
	}
	s.name.elastic = true
	s.number.align = fyne.TextAlignTrailing
	s.ExtendBaseWidget(s)
	return s
}

// CreateRenderer is part of fyne.Widget.
func (s *Share) CreateRenderer() fyne.WidgetRenderer {
	r := &shareRenderer{share: s, track: canvas.NewRectangle(nil), bar: canvas.NewRectangle(nil)}
	r.paint()
	return r
}

type shareRenderer struct {
	share      *Share
	track, bar *canvas.Rectangle
}

func (r *shareRenderer) Destroy() {}

func (r *shareRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.share.name, r.track, r.bar, r.share.number}
}

func (r *shareRenderer) MinSize() fyne.Size {
	number := fynetheme.Size(theme.SizeNameShareNumber)
	return fyne.NewSize(2*number, r.share.name.MinSize().Height)
}

// Layout gives name and bar a half each of what the number leaves.
func (r *shareRenderer) Layout(size fyne.Size) {
	gap, thick := fynetheme.Size(theme.SizeNameGap), fynetheme.Size(theme.SizeNameShareBar)
	number := fynetheme.Size(theme.SizeNameShareNumber)
	name := (size.Width - number) / 2
	r.share.name.Resize(fyne.NewSize(name-gap, size.Height))
	length := size.Width - name - number
	r.track.Move(fyne.NewPos(name, (size.Height-thick)/2))
	r.track.Resize(fyne.NewSize(length, thick))
	r.bar.Move(r.track.Position())
	r.bar.Resize(fyne.NewSize(length*float32(r.share.part), thick))
	r.share.number.Move(fyne.NewPos(size.Width-number, 0))
	r.share.number.Resize(fyne.NewSize(number, size.Height))
}

func (r *shareRenderer) paint() {
	r.track.FillColor = fynetheme.Color(theme.ColorNameTrack)
	r.bar.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	for _, c := range []*canvas.Rectangle{r.track, r.bar} {
		c.CornerRadius = fynetheme.Size(theme.SizeNameShareBar) / 2
	}
}

func (r *shareRenderer) Refresh() {
	r.paint()
	r.Layout(r.share.Size())
	for _, o := range r.Objects() {
		o.Refresh()
	}
}
