package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// showBehind shows what lies behind frequency and quality factor of the result on
// screen.
func (w *Window) showBehind() {
	if w.last == nil || w.last.Err != nil {
		note := widget.NewLabel(lang.L("behind.none"))
		note.Wrapping = fyne.TextWrapWord
		w.showSheet(lang.L("menu.behind"), note, note.MinSize().Height)
		return
	}
	rows := view.NewBehind(w.last, w.units)
	rows.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth)-sheetEdges, 0))
	beside := layout.NewCustomPaddedLayout(0, 0, 0, fynetheme.ScrollBarSize())
	w.showSheet(lang.L("menu.behind"), container.NewVScroll(container.New(beside, rows)), rows.MinSize().Height)
}
