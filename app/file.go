package app

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

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

// openPath is OpenPath for a file the user picked: what goes wrong is shown, and
// what another window has open is asked about.
func (w *Window) openPath(path string) {
	if w.session.OpenElsewhere(path) {
		w.ask(text("file.open_elsewhere", map[string]any{"File": filepath.Base(path)}),
			answer{"file.open_copy", widget.HighImportance, func() { w.openCopy(path) }},
			answer{"file.open_too", widget.MediumImportance, func() { w.openFile(path) }},
			answer{"ask.cancel", widget.MediumImportance, func() {}},
		)
		return
	}
	w.openFile(path)
}

func (w *Window) openFile(path string) {
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
		w.showFileDialog(d, w.folder())
	})
}

// showFileDialog opens a file dialog on a folder.
func (w *Window) showFileDialog(d *dialog.FileDialog, folder string) {
	if lister, err := storage.ListerForURI(storage.NewFileURI(folder)); err == nil {
		d.SetLocation(lister)
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
	if w.importDropped(path) {
		return
	}
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
	case errors.Is(err, session.ErrRemoved):
		w.ask(text("file.removed", map[string]any{"File": w.session.Path()}),
			answer{"ask.save_as", widget.HighImportance, func() { w.saveAs(then) }},
			answer{"file.write_anew", widget.MediumImportance, func() { w.saveOver(w.session.Path(), then) }},
			answer{"ask.cancel", widget.MediumImportance, func() {}},
		)
	default:
		w.saveFailed(w.session.Path(), err, func() { w.save(then) }, func() { w.saveAs(then) })
	}
}

func goOn(then func()) {
	if then != nil {
		then()
	}
}

func (w *Window) saveOver(path string, then func()) {
	if err := w.session.SaveOver(path); err != nil {
		w.saveFailed(path, err, func() { w.saveOver(path, then) }, func() { w.saveAs(then) })
		return
	}
	goOn(then)
}

// folder returns where a file dialog begins: where the design's file lies, or
// where the last file was put, or the user's own folder.
func (w *Window) folder() string {
	if path := w.session.Path(); path != "" {
		return filepath.Dir(path)
	}
	if kept := w.app.Preferences().String(preferFolder); kept != "" {
		return kept
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "." // the folder the program was started in
	}
	return home
}

// fileName makes a file's name of a design's: one that leads nowhere else, hides
// nothing and can be had on any system.
//
// Source: "Naming Files, Paths, and Namespaces" of the Windows documentation,
// for the characters and names that other systems do not mind.
func fileName(name string) string {
	const most = 120 // bytes; leaves room for endings on systems that take 255
	clean := strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`/\:*?"<>|`, r), r == unicode.ReplacementChar:
			return '-'
		case !unicode.IsPrint(r): // control characters, and those that turn the writing round
			return '-'
		}
		return r
	}, name)
	for len(clean) > most {
		_, size := utf8.DecodeLastRuneInString(clean)
		clean = clean[:len(clean)-size]
	}
	clean = strings.TrimLeft(clean, ". -~")
	clean = strings.TrimRight(clean, ". ")
	before, _, _ := strings.Cut(clean, ".")
	if clean == "" || deviceName.MatchString(strings.TrimSpace(before)) {
		clean = strings.TrimRight("coil "+clean, " ")
	}
	return clean + design.Extension
}

// deviceName matches the names that Windows keeps for devices, whatever follows
// a dot.
var deviceName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])$`)

// editName asks for the design's name and notes.
func (w *Window) editName() {
	d := w.session.Design()
	name := newLine(d.Name)
	name.onEscape = w.dismiss
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
