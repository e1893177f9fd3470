package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// FrameParts are what stays in the window whatever else it shows.
type FrameParts struct {
	Header  fyne.CanvasObject // across the top
	Hint    fyne.CanvasObject // under the column on the left
	Results fyne.CanvasObject // across the bottom
	Notice  fyne.CanvasObject // at the right of the results
}

// Frame is the content of the window: header above, results below, and between
// them a column on the left and the rest, which are exchanged. The order in
// which the keyboard walks is header, column, rest, notice.
type Frame struct {
	object    fyne.CanvasObject
	container *fyne.Container
	layout    *frameLayout
	parts     FrameParts
	line      fyne.CanvasObject
	results   fyne.CanvasObject
}

// NewFrame returns a frame with nothing between header and results.
func NewFrame(parts FrameParts) *Frame {
	f := &Frame{parts: parts, layout: &frameLayout{}, line: widget.NewSeparator()}
	f.results = NewPanel(container.New(splitLayout{}, parts.Results, widget.NewSeparator(), parts.Notice), theme.SizeNameInset)
	f.container = container.New(f.layout)
	f.object = container.NewStack(newGround(container.NewWithoutLayout(), theme.SizeNameGap), f.container)
	f.arrange()
	return f
}

// Object returns what to put into the window.
func (f *Frame) Object() fyne.CanvasObject {
	return f.object
}

// Show puts a column on the left, above the hint, and the rest beside it. A
// column of nil leaves the whole width to the rest and shows no hint.
func (f *Frame) Show(side, rest fyne.CanvasObject) {
	if f.layout.side == side && f.layout.rest == rest {
		return
	}
	f.layout.side, f.layout.rest = side, rest
	f.arrange()
}

// Fill gives the rest the whole window, or takes it back.
func (f *Frame) Fill(whole bool) {
	if whole == f.layout.whole {
		return
	}
	f.layout.whole = whole
	f.arrange()
}

// Filled says whether the rest has the whole window.
func (f *Frame) Filled() bool {
	return f.layout.whole
}

// arrange names the objects of the window in the order of the keyboard.
func (f *Frame) arrange() {
	l := f.layout
	l.header, l.line, l.hint, l.results = f.parts.Header, f.line, f.parts.Hint, f.results
	var objects []fyne.CanvasObject
	add := func(o fyne.CanvasObject) {
		if o != nil {
			objects = append(objects, o)
		}
	}
	if l.whole {
		add(l.rest)
	} else {
		add(l.header)
		add(l.line)
		if l.side != nil {
			add(l.side)
			add(l.hint)
		}
		add(l.rest)
		add(l.results)
	}
	f.container.Objects = objects
	f.container.Refresh()
}

// frameLayout knows its objects by name, because not all of them are always
// there.
type frameLayout struct {
	header, line, side, hint, rest, results fyne.CanvasObject
	whole                                   bool
}

func (l *frameLayout) MinSize([]fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameGap)
	var rest, side fyne.Size
	if l.rest != nil {
		rest = l.rest.MinSize()
	}
	if l.whole {
		return rest.AddWidthHeight(2*gap, 2*gap)
	}
	if l.side != nil {
		side = l.side.MinSize()
		side.Width = max(side.Width, fynetheme.Size(theme.SizeNameSide)) + gap + fynetheme.Padding()
		side.Height = min(side.Height, rest.Height) // it scrolls
	}
	return fyne.NewSize(
		side.Width+rest.Width+2*gap,
		l.header.MinSize().Height+max(side.Height, rest.Height)+l.results.MinSize().Height+4*gap,
	)
}

func (l *frameLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	if l.whole {
		place(l.rest, gap, gap, size.Width-2*gap, size.Height-2*gap)
		return
	}
	top := l.header.MinSize().Height
	thin := fynetheme.Size(fynetheme.SizeNameSeparatorThickness)
	place(l.header, 0, 0, size.Width, top)
	place(l.line, 0, top, size.Width, thin)
	top += thin + gap
	footer := l.results.MinSize().Height
	bottom := size.Height - gap - footer
	place(l.results, gap, bottom, size.Width-2*gap, footer)
	height := bottom - gap - top

	x := gap
	if l.side != nil {
		side := fynetheme.Size(theme.SizeNameSide)
		explained := l.hint.MinSize().Height
		place(l.side, x, top, side, height-explained-fynetheme.Padding())
		place(l.hint, x, top+height-explained, side-fynetheme.ScrollBarSize(), explained)
		x += side + fynetheme.Padding() // the bar that scrolls the column stands in the gap
	}
	place(l.rest, x, top, size.Width-gap-x, height)
}

// place moves and resizes an object; nil is none.
func place(o fyne.CanvasObject, x, y, width, height float32) {
	if o == nil {
		return
	}
	o.Move(fyne.NewPos(x, y))
	o.Resize(fyne.NewSize(width, height))
}

// drawingShare is the share of what stands left in the width that is parted.
const drawingShare = 0.42

// NewBeside puts one object at the left and any number, one over the other and
// equally high, at its right.
func NewBeside(left fyne.CanvasObject, right ...fyne.CanvasObject) fyne.CanvasObject {
	return container.New(besideLayout{}, append([]fyne.CanvasObject{left}, right...)...)
}

type besideLayout struct{}

func (besideLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameGap)
	left := objects[0].MinSize()
	var right fyne.Size
	for i, o := range objects[1:] {
		least := o.MinSize()
		right.Width = max(right.Width, least.Width)
		right.Height += least.Height
		if i > 0 {
			right.Height += gap
		}
	}
	return fyne.NewSize(left.Width+gap+right.Width, max(left.Height, right.Height))
}

func (besideLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	left := objects[0]
	var right []fyne.CanvasObject // those that are shown part the height
	for _, o := range objects[1:] {
		if o.Visible() {
			right = append(right, o)
		}
	}
	width := (size.Width - gap) * drawingShare
	place(left, 0, 0, width, size.Height)
	each := (size.Height - gap*float32(len(right)-1)) / float32(len(right))
	for i, o := range right {
		place(o, width+gap, float32(i)*(each+gap), size.Width-width-gap, each)
	}
}

// NewEven stacks what is visible of some objects, equally high.
func NewEven(objects ...fyne.CanvasObject) *fyne.Container {
	return container.New(evenLayout{}, objects...)
}

type evenLayout struct{}

func (evenLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameGap)
	var size fyne.Size
	for _, o := range objects { // what is hidden too: its coming must not resize the window
		least := o.MinSize()
		size.Width = max(size.Width, least.Width)
		if size.Height > 0 {
			size.Height += gap
		}
		size.Height += least.Height
	}
	return size
}

func (evenLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	var seen []fyne.CanvasObject
	for _, o := range objects {
		if o.Visible() {
			seen = append(seen, o)
		}
	}
	each := (size.Height - gap*float32(len(seen)-1)) / float32(max(len(seen), 1))
	for i, o := range seen {
		place(o, 0, float32(i)*(each+gap), size.Width, each)
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
