package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// BenchParts are what stands on the bench.
type BenchParts struct {
	Header  fyne.CanvasObject   // across the top
	Cards   fyne.CanvasObject   // left
	Hint    fyne.CanvasObject   // under the cards
	Drawing fyne.CanvasObject   // middle
	Figures []fyne.CanvasObject // right, one over the other
	Results fyne.CanvasObject   // across the bottom
	Notice  fyne.CanvasObject   // at the right of the results
}

// drawingShare is the share of the drawing in the width that the cards leave.
const drawingShare = 0.42

// NewBench lays the parts of the window out. The order in which the keyboard
// walks is theirs: header, cards, drawing, figures, notice.
func NewBench(p BenchParts) fyne.CanvasObject {
	results := NewPanel(container.New(splitLayout{}, p.Results, widget.NewSeparator(), p.Notice), theme.SizeNameInset)
	objects := []fyne.CanvasObject{p.Header, widget.NewSeparator(), p.Cards, p.Hint, p.Drawing, results}
	bench := container.New(benchLayout{}, append(objects, p.Figures...)...)
	return container.NewStack(newGround(container.NewWithoutLayout(), theme.SizeNameGap), bench)
}

type benchLayout struct{}

func (benchLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameGap)
	header, cards, drawing, results := objects[0].MinSize(), objects[2].MinSize(), objects[4].MinSize(), objects[5].MinSize()
	var figures fyne.Size
	for _, o := range objects[6:] {
		least := o.MinSize()
		figures.Width = max(figures.Width, least.Width)
		figures.Height += least.Height + gap
	}
	return fyne.NewSize(
		max(cards.Width, fynetheme.Size(theme.SizeNameSide))+drawing.Width+figures.Width+4*gap+fynetheme.Padding(),
		header.Height+max(drawing.Height+gap, figures.Height)+results.Height+2*gap,
	)
}

func (benchLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	header, line, cards, hint, drawing, results, figures := objects[0], objects[1], objects[2], objects[3], objects[4], objects[5], objects[6:]
	put := func(o fyne.CanvasObject, x, y, width, height float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(width, height))
	}
	top := header.MinSize().Height
	thin := fynetheme.Size(fynetheme.SizeNameSeparatorThickness)
	put(header, 0, 0, size.Width, top)
	put(line, 0, top, size.Width, thin)
	top += thin + gap
	footer := results.MinSize().Height
	bottom := size.Height - gap - footer
	put(results, gap, bottom, size.Width-2*gap, footer)
	height := bottom - gap - top

	side := fynetheme.Size(theme.SizeNameSide)
	explained := hint.MinSize().Height
	put(cards, gap, top, side, height-explained-fynetheme.Padding())
	put(hint, gap, top+height-explained, side-fynetheme.ScrollBarSize(), explained)

	// The bar that scrolls the cards stands in the gap.
	x := gap + side + fynetheme.Padding()
	rest := size.Width - gap - x
	width := (rest - gap) * drawingShare
	put(drawing, x, top, width, height)
	x += width + gap
	each := (height - gap*float32(len(figures)-1)) / float32(len(figures))
	for i, o := range figures {
		put(o, x, top+float32(i)*(each+gap), size.Width-gap-x, each)
	}
}

// splitLayout gives the last object its least width at the right, with a line
// before it, and the first one the rest.
type splitLayout struct{}

func (splitLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	left, right := objects[0].MinSize(), objects[2].MinSize()
	return fyne.NewSize(left.Width+right.Width, max(left.Height, right.Height))
}

func (splitLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	thin := fynetheme.Size(fynetheme.SizeNameSeparatorThickness)
	right := objects[2].MinSize().Width
	objects[0].Move(fyne.Position{})
	objects[0].Resize(fyne.NewSize(size.Width-right-2*gap, size.Height))
	objects[1].Move(fyne.NewPos(size.Width-right-gap, 0))
	objects[1].Resize(fyne.NewSize(thin, size.Height))
	objects[2].Move(fyne.NewPos(size.Width-right, 0))
	objects[2].Resize(fyne.NewSize(right, size.Height))
}
