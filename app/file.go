package app

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// OpenPath opens a design file. The error is one line; on one the open design
// stays as it was.
func (w *Window) OpenPath(path string) error {
	if err := w.session.Open(path); err != nil {
		return err
	}
	w.documentOpened()
	return nil
}

// openPath is OpenPath for a file the user picked: what goes wrong is shown.
func (w *Window) openPath(path string) {
	if err := w.OpenPath(path); err != nil {
		if errors.Is(err, os.ErrNotExist) {
			w.session.ForgetRecent(path)
		}
		w.fail(err)
	}
}

// fail shows an error.
func (w *Window) fail(err error) {
	w.ask(err.Error(), answer{"ask.close", widget.HighImportance, func() {}})
}

// leave does what closes the open design, after asking about changes that are
// not saved.
func (w *Window) leave(then func()) {
	w.window.Canvas().Unfocus() // commits what is being typed
	if !w.session.Modified() {
		then()
		return
	}
	w.ask(text("ask.unsaved", map[string]any{"Name": w.name()}),
		answer{"ask.save", widget.HighImportance, func() { w.save(then) }},
		answer{"ask.discard", widget.MediumImportance, then},
		answer{"ask.cancel", widget.MediumImportance, func() {}},
	)
}

// close asks about changes and ends the program.
func (w *Window) close() {
	w.leave(func() {
		w.rememberSize()
		w.session.Close()
		w.window.SetCloseIntercept(nil)
		w.window.Close()
		w.app.Quit()
	})
}

func (w *Window) open() {
	w.leave(func() {
		d := dialog.NewFileOpen(func(r fyne.URIReadCloser, err error) {
			if err != nil {
				w.fail(err)
				return
			}
			if r == nil {
				return
			}
			path := r.URI().Path()
			if err := r.Close(); err != nil {
				w.fail(err)
				return
			}
			w.openPath(path)
		}, w.window)
		d.SetFilter(storage.NewExtensionFileFilter([]string{".json"}))
		w.showFileDialog(d)
	})
}

// showFileDialog opens a file dialog where the design's file lies.
func (w *Window) showFileDialog(d *dialog.FileDialog) {
	if path := w.session.Path(); path != "" {
		if folder, err := storage.ListerForURI(storage.NewFileURI(filepath.Dir(path))); err == nil {
			d.SetLocation(folder)
		}
	}
	d.Resize(w.window.Canvas().Size().Subtract(fyne.NewSquareSize(dialogMargin)))
	w.show(d)
}

// dialogMargin is what a large dialog leaves of the window, in
// density-independent pixels.
const dialogMargin = 160

// dropped opens the first file dropped on the window.
func (w *Window) dropped(_ fyne.Position, files []fyne.URI) {
	if len(files) == 0 {
		return
	}
	path := files[0].Path()
	w.leave(func() { w.openPath(path) })
}

// save writes the design to its file, asks for one if it has none, and then
// goes on; then may be nil.
func (w *Window) save(then func()) {
	w.window.Canvas().Unfocus()
	switch err := w.session.Save(); {
	case err == nil:
		goOn(then)
	case errors.Is(err, session.ErrNoPath):
		w.saveAs(then)
	case errors.Is(err, session.ErrChangedOnDisk):
		w.ask(text("ask.changed_on_disk", map[string]any{"File": filepath.Base(w.session.Path())}),
			answer{"ask.save_over", widget.DangerImportance, func() { w.saveOver(w.session.Path(), then) }},
			answer{"ask.save_as", widget.MediumImportance, func() { w.saveAs(then) }},
			answer{"ask.cancel", widget.MediumImportance, func() {}},
		)
	default:
		w.fail(err)
	}
}

func goOn(then func()) {
	if then != nil {
		then()
	}
}

func (w *Window) saveOver(path string, then func()) {
	if err := w.session.SaveOver(path); err != nil {
		w.fail(err)
		return
	}
	goOn(then)
}

// saveAs asks for a file and writes the design to it.
func (w *Window) saveAs(then func()) {
	w.window.Canvas().Unfocus()
	d := dialog.NewFileSave(func(file fyne.URIWriteCloser, err error) {
		if err != nil {
			w.fail(err)
			return
		}
		if file == nil {
			return
		}
		// The dialog has made the file empty, after asking where it was there.
		path := file.URI().Path()
		if err := file.Close(); err != nil {
			w.fail(err)
			return
		}
		if strings.HasSuffix(strings.ToLower(path), design.Extension) {
			w.saveOver(path, then)
			return
		}
		if err := removeEmpty(path); err != nil {
			w.fail(err)
			return
		}
		w.saveTo(path, then)
	}, w.window)
	d.SetFileName(fileName(w.name()))
	w.showFileDialog(d)
}

// saveTo writes to a path that may lack the extension and asks before it
// writes over another file.
func (w *Window) saveTo(path string, then func()) {
	err := w.session.SaveAs(path)
	switch {
	case err == nil:
		goOn(then)
	case errors.Is(err, session.ErrExists):
		w.ask(text("ask.exists", map[string]any{"File": filepath.Base(path) + design.Extension}),
			answer{"ask.save_over", widget.DangerImportance, func() { w.saveOver(path, then) }},
			answer{"ask.cancel", widget.MediumImportance, func() {}},
		)
	default:
		w.fail(err)
	}
}

// removeEmpty removes a file that holds nothing.
func removeEmpty(path string) error {
	info, err := os.Stat(path)
	if err != nil || info.Size() > 0 {
		return err
	}
	return os.Remove(path)
}

// fileName makes a file's name of a design's.
func fileName(name string) string {
	clean := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ' {
			return '-'
		}
		return r
	}, name)
	return clean + design.Extension
}

// editName asks for the design's name and notes.
func (w *Window) editName() {
	d := w.session.Design()
	name := widget.NewEntry()
	name.SetText(d.Name)
	notes := widget.NewMultiLineEntry()
	notes.SetText(d.Notes)
	notes.Wrapping = fyne.TextWrapWord
	form := dialog.NewForm(lang.L("ask.name"), lang.L("ask.take"), lang.L("ask.cancel"), []*widget.FormItem{
		widget.NewFormItem(lang.L("name.name"), name),
		widget.NewFormItem(lang.L("name.notes"), notes),
	}, func(ok bool) {
		if !ok {
			return
		}
		w.session.Edit(lang.L("edit.name"), func(d *design.Design) { d.Name, d.Notes = name.Text, notes.Text })
	}, w.window)
	form.Resize(fyne.NewSize(formWidth, 0))
	w.show(form)
	w.window.Canvas().Focus(name)
}

// formWidth is the width of a small form, in density-independent pixels.
const formWidth = 460
