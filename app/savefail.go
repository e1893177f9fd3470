package app

import (
	"errors"
	"path/filepath"

	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/disk"
)

// reason says in a sentence why a file could not be written.
func reason(err error) string {
	switch disk.ReasonOf(err) {
	case disk.NotAllowed:
		return lang.L("file.not_allowed")
	case disk.Full:
		return lang.L("file.full")
	case disk.Gone:
		return lang.L("file.gone")
	case disk.Unreachable:
		return lang.L("file.unreachable")
	case disk.TooLong:
		return lang.L("file.too_long")
	}
	return err.Error() + "."
}

// notSaved says which file could not be written, and why.
func notSaved(path string, err error) error {
	return errors.New(text("file.not_saved", map[string]any{"File": filepath.Base(path), "Reason": reason(err)}))
}

// writeFailed says that a file could not be written. A window that waited for it to
// be closed stays, for that to be read.
func (w *Window) writeFailed(path string, err error) {
	w.errands.leaving = nil
	w.fail(notSaved(path, err))
}

// saveFailed says why a file could not be saved and offers what can be done
// about it: another try, another place.
func (w *Window) saveFailed(path string, err error, again, elsewhere func()) dialog.Dialog {
	return w.ask(notSaved(path, err).Error(),
		answer{"ask.save_as", widget.HighImportance, elsewhere},
		answer{"file.again", widget.MediumImportance, again},
		answer{"ask.cancel", widget.MediumImportance, func() {}},
	)
}
