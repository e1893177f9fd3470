package app

import (
	"path/filepath"

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

// saveFailed says why a file could not be saved and offers what can be done
// about it: another try, another place.
func (w *Window) saveFailed(path string, err error, again, elsewhere func()) {
	w.ask(text("file.not_saved", map[string]any{"File": filepath.Base(path), "Reason": reason(err)}),
		answer{"ask.save_as", widget.HighImportance, elsewhere},
		answer{"file.again", widget.MediumImportance, again},
		answer{"ask.cancel", widget.MediumImportance, func() {}},
	)
}
