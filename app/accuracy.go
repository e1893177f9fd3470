package app

import (
	"context"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/accuracy"
)

// showAccuracy shows our numbers beside those of others. The comparison, which
// takes a second or two, runs beside the window.
func (w *Window) showAccuracy() {
	intro := widget.NewLabel(lang.L("accuracy.working"))
	intro.Wrapping = fyne.TextWrapWord
	table := view.NewComparison()
	w.showSheet(lang.L("menu.accuracy"), container.NewBorder(intro, nil, nil, nil, table.Object()), fynetheme.Size(theme.SizeNameDialogHeight))
	compare := func(dispatch func(func())) {
		rows, err := accuracy.Rows(context.Background())
		dispatch(func() {
			if err != nil {
				table.Say(err.Error())
				return
			}
			table.Show(rows)
			verdict := lang.L("accuracy.none")
			if beyond := accuracy.Beyond(rows); beyond > 0 {
				verdict = lang.N("accuracy.count", beyond, map[string]any{"Count": beyond})
			}
			intro.SetText(text("accuracy.intro", map[string]any{"Count": len(rows), "Verdict": verdict}))
		})
	}
	if w.synchronous {
		compare(func(f func()) { f() })
		return
	}
	go compare(fyne.Do)
}
