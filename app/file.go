package app

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// OpenPath opens a design file on the spot, before the window is shown. The error
// is one line; on one the open design stays as it was.
func (w *Window) OpenPath(path string) error {
	d, err := w.session.ReadDocument(path)
	if err == nil {
		w.session.Open(d)
	}
	return err
}

// openPath opens a design file that the user picked: what goes wrong is shown,
// what another window has open is asked about, and so are edits made while the disk
// let the window wait.
func (w *Window) openPath(path string) {
	w.session.Read(path, func(d session.Document, err error) {
		switch {
		case errors.Is(err, os.ErrNotExist):
			w.session.ForgetRecent(path)
			w.fail(err)
		case err != nil:
			w.fail(err)
		case d.Edited:
			w.leave(func() { w.openDocument(path, d) })
		default:
			w.openDocument(path, d)
		}
	})
}

func (w *Window) openDocument(path string, d session.Document) {
	if !d.Elsewhere {
		w.session.Open(d)
		return
	}
	w.ask(text("file.open_elsewhere", map[string]any{"File": filepath.Base(path)}),
		answer{"file.open_copy", widget.HighImportance, func() { w.session.New(d.Design) }},
		answer{"file.open_too", widget.MediumImportance, func() { w.session.Open(d) }},
		answer{"ask.cancel", widget.MediumImportance, func() {}},
	)
}

// fail shows an error.
func (w *Window) fail(err error) {
	w.ask(err.Error(), answer{"ask.close", widget.HighImportance, func() {}})
}

// leave does what closes the open design, after asking about a save that is under
// way and about changes that are not saved.
func (w *Window) leave(then func()) {
	if w.ended {
		return
	}
	w.errands.leaving = nil
	w.window.Canvas().Unfocus() // commits what is being typed
	switch {
	case w.writing():
		w.askToWait(then)
	case !w.session.Modified():
		then()
	default:
		w.ask(text("ask.unsaved", map[string]any{"Name": w.name()}),
			answer{"ask.save", widget.HighImportance, func() { w.save(func() { w.leave(then) }) }},
			answer{"ask.discard", widget.MediumImportance, then},
			answer{"ask.cancel", widget.MediumImportance, func() {}},
		)
	}
}

// close asks about changes and ends the program.
func (w *Window) close() {
	w.leave(func() {
		w.ended = true
		w.rememberSize()
		w.session.Close()
		w.window.SetCloseIntercept(nil)
		w.window.Close()
		w.app.Quit()
	})
}

// Wait returns when a window that was closed has left the disk in order.
func (w *Window) Wait() { w.session.Wait() }

func (w *Window) open() {
	w.leave(func() { w.askFile([]string{".json"}, w.openPath) })
}

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
	path := w.session.Path()
	w.session.Save(w.ownOutcome(path, then, func(err error) dialog.Dialog {
		switch {
		case errors.Is(err, session.ErrNoPath):
			w.saveAs(then)
			return nil
		case errors.Is(err, session.ErrChangedOnDisk):
			return w.ask(text("ask.changed_on_disk", map[string]any{"File": filepath.Base(path)}),
				answer{"ask.save_over", widget.DangerImportance, func() { w.saveOver(path, then) }},
				answer{"ask.save_as", widget.MediumImportance, func() { w.saveAs(then) }},
				answer{"ask.cancel", widget.MediumImportance, func() {}},
			)
		case errors.Is(err, session.ErrRemoved):
			return w.ask(text("file.removed", map[string]any{"File": path}),
				answer{"ask.save_as", widget.HighImportance, func() { w.saveAs(then) }},
				answer{"file.write_anew", widget.MediumImportance, func() { w.saveOver(path, then) }},
				answer{"ask.cancel", widget.MediumImportance, func() {}},
			)
		}
		return w.saveFailed(path, err, func() { w.save(then) }, func() { w.saveAs(then) })
	}))
}

// ownOutcome returns what the session is to call when a save has ended: it goes on
// with then, or with a question about what went wrong. One question is enough for
// all saves that failed for one reason, and for a design that is no longer open
// there is only the reason.
func (w *Window) ownOutcome(path string, then func(), ask func(error) dialog.Dialog) func(error) {
	document := w.document
	return func(err error) {
		switch {
		case w.ended:
		case err == nil && document == w.document:
			goOn(then)
		case err == nil:
		case document != w.document:
			w.writeFailed(path, err)
		case !slices.Contains(w.dialogs, w.saveQuestion):
			w.errands.leaving = nil
			w.saveQuestion = ask(err)
		}
	}
}

func goOn(then func()) {
	if then != nil {
		then()
	}
}

func (w *Window) saveOver(path string, then func()) {
	w.session.SaveOver(path, w.ownOutcome(path, then, func(err error) dialog.Dialog {
		return w.saveFailed(path, err, func() { w.saveOver(path, then) }, func() { w.saveAs(then) })
	}))
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
	notes := newLines(d.Notes)
	notes.onEscape = w.dismiss
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
