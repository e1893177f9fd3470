package app

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// formRow is a line of a form: a label and an entry, or a choice of a few words.
type formRow struct {
	label   string // key of the text before it
	title   string // that text itself, where it has no key
	text    string // what the entry holds at first
	options []string
	picked  int
	set     func(text string) error // takes what was typed
	pick    func(option int)        // takes what was picked
}

// askForm shows a form. The last button takes what was typed, row by row, and
// then calls then; the first reason against it is shown and the form stays.
func (w *Window) askForm(titleKey, acceptKey string, rows []formRow, then func() error) {
	w.window.Canvas().Unfocus()
	refusal := view.NewText("", fynetheme.ColorNameError, fynetheme.SizeNameText)
	form := container.New(layout.NewFormLayout())
	title := func(r formRow) string {
		if r.label == "" {
			return r.title
		}
		return lang.L(r.label)
	}
	entries := make([]*line, len(rows))
	picks := make([]*view.Picker, len(rows))
	var d dialog.Dialog
	accept := func() {
		for i, row := range rows {
			if entries[i] == nil {
				row.pick(picks[i].SelectedIndex())
				continue
			}
			if err := row.set(entries[i].Text); err != nil {
				refusal.Set(text("wind.refused", map[string]any{"Row": title(row), "Reason": w.units.Reason(err)}))
				w.window.Canvas().Focus(entries[i])
				return
			}
		}
		if err := then(); err != nil {
			refusal.Set(w.units.Reason(err))
			return
		}
		d.Hide()
	}
	for i, row := range rows {
		form.Add(widget.NewLabel(title(row)))
		if row.options != nil {
			picks[i] = view.NewPicker(row.options)
			picks[i].SetSelectedIndex(row.picked)
			form.Add(picks[i])
			continue
		}
		e := newLine(row.text)
		e.onEscape = w.dismiss
		e.OnSubmitted = func(string) { accept() }
		entries[i] = e
		form.Add(e)
	}
	least := form.MinSize()
	scroll := container.NewVScroll(form)
	scroll.SetMinSize(fyne.NewSize(least.Width, min(least.Height, fynetheme.Size(theme.SizeNameDialogHeight)-2*fynetheme.Size(theme.SizeNameHint))))
	d = dialog.NewCustomWithoutButtons(strings.TrimSuffix(lang.L(titleKey), "…"), container.NewBorder(nil, refusal, nil, nil, scroll), w.window)
	cancel := view.NewButton(lang.L("ask.cancel"), nil, w.dismiss)
	cancel.Importance = widget.MediumImportance
	take := view.NewButton(lang.L(acceptKey), nil, accept)
	take.Importance = widget.HighImportance
	for _, b := range []*view.Button{cancel, take} {
		b.OnEscape = w.dismiss
	}
	d.(*dialog.CustomDialog).SetButtons([]fyne.CanvasObject{cancel, take})
	d.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth), 0))
	w.show(d)
	for _, e := range entries {
		if e != nil {
			w.window.Canvas().Focus(e)
			return
		}
	}
	w.window.Canvas().Focus(take)
}
