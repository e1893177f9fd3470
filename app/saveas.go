package app

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
)

// saveForm asks for a name and a folder. The toolkit's own dialog would empty a
// file that is there before anything of ours is written; this one opens nothing,
// and the session then writes the whole file beside the old one and swaps them.
type saveForm struct {
	window *Window
	then   func()
	dialog dialog.Dialog
	name   *line
	folder *widget.Label
}

// saveAs asks for a file and writes the design to it; then may be nil.
func (w *Window) saveAs(then func()) {
	w.window.Canvas().Unfocus()
	f := &saveForm{window: w, then: then, name: newLine(fileName(w.name())), folder: widget.NewLabel(w.folder())}
	f.name.onEscape = w.dismiss
	f.name.OnSubmitted = func(string) { f.save() }
	f.folder.Truncation = fyne.TextTruncateEllipsis
	other := view.NewButton(lang.L("save.other_folder"), nil, func() {
		w.pickFolder(f.folder.Text, f.folder.SetText)
	})
	other.Importance = widget.MediumImportance
	form := container.New(layout.NewFormLayout(),
		widget.NewLabel(lang.L("save.name")), f.name,
		widget.NewLabel(lang.L("save.folder")), container.NewBorder(nil, nil, nil, other, f.folder),
	)
	d := dialog.NewCustomWithoutButtons(lang.L("menu.save_as"), form, w.window)
	f.dialog = d
	cancel := view.NewButton(lang.L("ask.cancel"), nil, w.dismiss)
	cancel.Importance = widget.MediumImportance
	save := view.NewButton(lang.L("ask.save"), nil, f.save)
	save.Importance = widget.HighImportance
	for _, b := range []*view.Button{other, cancel, save} {
		b.OnEscape = w.dismiss
	}
	d.SetButtons([]fyne.CanvasObject{cancel, save})
	d.Resize(fyne.NewSize(formWidth, 0))
	f.show()
}

// path returns what was asked for; a whole path may be typed as the name. It is
// empty without a name.
func (f *saveForm) path() string {
	name := strings.TrimSpace(f.name.Text)
	if name == "" || filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(f.folder.Text, name)
}

// save writes the file, after asking where another one is there. The form makes
// room for the window meanwhile, because a disk may take long, and comes back when
// something is in the way.
func (f *saveForm) save() {
	w, path := f.window, f.path()
	if path == "" {
		w.window.Canvas().Focus(f.name)
		return
	}
	f.dialog.Hide()
	path = session.WithExtension(path)
	saved := func() { f.saved(path) }
	w.session.SaveAs(path, w.ownOutcome(path, saved, func(err error) dialog.Dialog {
		switch {
		case errors.Is(err, session.ErrExists), errors.Is(err, session.ErrChangedOnDisk):
			f.show()
			return w.ask(text("ask.exists", map[string]any{"File": filepath.Base(path)}),
				answer{"ask.save_over", widget.DangerImportance, func() { f.saveOver(path) }},
				answer{"ask.cancel", widget.MediumImportance, func() {}},
			)
		case errors.Is(err, session.ErrRemoved):
			f.saveOver(path)
			return nil
		}
		return f.failed(path, err)
	}))
}

// saveOver writes over what is there.
func (f *saveForm) saveOver(path string) {
	f.dialog.Hide()
	saved := func() { f.saved(path) }
	f.window.session.SaveOver(path, f.window.ownOutcome(path, saved, func(err error) dialog.Dialog { return f.failed(path, err) }))
}

func (f *saveForm) failed(path string, err error) dialog.Dialog {
	f.show()
	return f.window.saveFailed(path, err, f.save, func() { f.window.window.Canvas().Focus(f.name) })
}

// show opens the form.
func (f *saveForm) show() {
	f.window.show(f.dialog)
	f.window.window.Canvas().Focus(f.name)
}

// saved remembers the folder and goes on.
func (f *saveForm) saved(path string) {
	f.window.app.Preferences().SetString(preferFolder, filepath.Dir(path))
	goOn(f.then)
}

// askFolder asks for a folder, with one to begin from: another can be typed or
// picked. One that is not there is refused.
func (w *Window) askFolder(begin string, then func(folder string)) {
	w.window.Canvas().Unfocus()
	folder := newLine(begin)
	folder.CursorColumn = utf8.RuneCountInString(begin)
	refusal := view.NewText("", fynetheme.ColorNameError, fynetheme.SizeNameText)
	var d *dialog.CustomDialog
	write := func() {
		path := strings.TrimSpace(folder.Text)
		if info, err := os.Stat(path); err != nil || !info.IsDir() {
			refusal.Set(text("save.no_folder", map[string]any{"Folder": path}))
			w.window.Canvas().Focus(folder)
			return
		}
		d.Hide()
		then(path)
	}
	folder.onEscape = w.dismiss
	folder.OnSubmitted = func(string) { write() }
	button := func(key string, importance widget.Importance, tapped func()) *view.Button {
		b := view.NewButton(lang.L(key), nil, tapped)
		b.Importance = importance
		b.OnEscape = w.dismiss
		return b
	}
	other := button("save.other_folder", widget.MediumImportance, func() { w.pickFolder(folder.Text, folder.SetText) })
	form := container.New(layout.NewFormLayout(), widget.NewLabel(lang.L("save.folder")), container.NewBorder(nil, nil, nil, other, folder))
	d = dialog.NewCustomWithoutButtons(lang.L("save.where"), container.NewBorder(nil, refusal, nil, nil, form), w.window)
	d.SetButtons([]fyne.CanvasObject{
		button("ask.cancel", widget.MediumImportance, w.dismiss),
		button("save.here", widget.HighImportance, write),
	})
	d.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth), 0))
	w.show(d)
	w.window.Canvas().Focus(folder)
}

// line is an entry of one line that Escape leaves.
type line struct {
	widget.Entry
	onEscape func()
	onStep   func(steps int) // up and down keys; nil: the text takes them
}

// newLines returns an entry of several lines.
func newLines(text string) *line {
	l := &line{}
	l.MultiLine, l.Wrapping = true, fyne.TextWrap(fyne.TextTruncateClip)
	l.ExtendBaseWidget(l)
	l.SetText(text)
	return l
}

func newLine(text string) *line {
	l := &line{}
	l.ExtendBaseWidget(l)
	l.SetText(text)
	return l
}

// TypedKey is part of fyne.Focusable.
func (l *line) TypedKey(e *fyne.KeyEvent) {
	switch {
	case e.Name == fyne.KeyEscape && l.onEscape != nil:
		l.onEscape()
	case e.Name == fyne.KeyUp && l.onStep != nil:
		l.onStep(-1)
	case e.Name == fyne.KeyDown && l.onStep != nil:
		l.onStep(1)
	default:
		l.Entry.TypedKey(e)
	}
}
