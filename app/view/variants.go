package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Variants is the table of a design and its variants side by side. A cell that
// differs from the present design's is bold and marked.
type Variants struct {
	OnTake func(i int) // make a variant the present design
	OnDrop func(i int) // forget it

	object *fyne.Container
}

// differs marks a cell that is not as in the present design.
const differs = "≠ "

// NewVariants returns the table. The first row is the heads, the first cell of
// each row its name, the second what the present design has.
func NewVariants(rows [][]string, variants int) *Variants {
	v := &Variants{object: container.NewVBox()}
	line := func(cells []fyne.CanvasObject) {
		v.object.Add(container.New(layout.NewGridLayoutWithColumns(variants+2), cells...))
	}
	for i, row := range rows {
		var cells []fyne.CanvasObject
		for j, words := range row {
			cell := NewText(words, fynetheme.ColorNameForeground, fynetheme.SizeNameCaptionText)
			cell.elastic = true
			switch {
			case i == 0:
				cell.style.Bold = true
			case j == 0:
				cell.color = theme.ColorNameMuted
			case j > 1 && words != row[1]:
				cell.content = differs + words
				cell.style.Bold = true
			}
			cells = append(cells, cell)
		}
		line(cells)
		if i == 0 {
			v.object.Add(widget.NewSeparator())
		}
	}
	var buttons []fyne.CanvasObject
	for j := range variants + 2 {
		if j < 2 {
			buttons = append(buttons, layout.NewSpacer())
			continue
		}
		take := NewButton(lang.L("variant.take"), nil, func() { v.OnTake(j - 2) })
		drop := NewButton(lang.L("variant.drop"), nil, func() { v.OnDrop(j - 2) })
		take.Importance, drop.Importance = widget.MediumImportance, widget.MediumImportance
		buttons = append(buttons, container.NewHBox(container.NewVBox(take, drop)))
	}
	line(buttons)
	return v
}

// Object returns what to put into the window.
func (v *Variants) Object() fyne.CanvasObject {
	return v.object
}
