package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// show opens a dialog that Escape closes.
func (w *Window) show(d dialog.Dialog) {
	w.dialogs = append(w.dialogs, d)
	d.SetOnClosed(func() { w.closed(d) })
	d.Show()
}

// closed forgets a dialog that has gone.
func (w *Window) closed(d dialog.Dialog) {
	for i, open := range w.dialogs {
		if open == d {
			w.dialogs = append(w.dialogs[:i], w.dialogs[i+1:]...)
			return
		}
	}
}

// dismiss closes the dialog that was opened last, if there is one.
func (w *Window) dismiss() {
	if n := len(w.dialogs); n > 0 {
		w.dialogs[n-1].Hide()
	}
}

// answer is a button of a question.
type answer struct {
	key        string
	importance widget.Importance
	act        func()
}

// ask puts a question; the first answer has the keyboard, Escape gives none.
func (w *Window) ask(question string, answers ...answer) dialog.Dialog {
	text := widget.NewLabel(question)
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustomWithoutButtons(lang.L("app.name"), container.NewPadded(text), w.window)
	buttons := make([]fyne.CanvasObject, len(answers))
	for i, a := range answers {
		b := view.NewButton(lang.L(a.key), nil, func() {
			d.Hide()
			a.act()
		})
		b.Importance = a.importance
		b.OnEscape = w.dismiss
		buttons[len(answers)-1-i] = b
	}
	d.SetButtons(buttons)
	d.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameQuestionWidth), 0))
	w.show(d)
	w.window.Canvas().Focus(buttons[len(buttons)-1].(fyne.Focusable))
	return d
}

// showSheet shows something to read, with a button to close it; its height is
// that of the content as far as there is room.
func (w *Window) showSheet(title string, content fyne.CanvasObject, height float32) {
	d := dialog.NewCustomWithoutButtons(title, content, w.window)
	b := view.NewButton(lang.L("ask.close"), nil, w.dismiss)
	b.Importance = widget.MediumImportance
	b.OnEscape = w.dismiss
	d.SetButtons([]fyne.CanvasObject{b})
	around := d.MinSize().Height - content.MinSize().Height
	d.Resize(fyne.NewSize(
		fynetheme.Size(theme.SizeNameDialogWidth),
		min(height+around, fynetheme.Size(theme.SizeNameDialogHeight)),
	))
	w.show(d)
	w.window.Canvas().Focus(b)
}
