package app

import (
	"io"
	"os"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
)

// askFile has a file picked, of those whose names have one of the endings in capital
// or small letters, and goes on with its path.
func (w *Window) askFile(endings []string, then func(path string)) {
	d := dialog.NewFileOpen(func(file fyne.URIReadCloser, err error) {
		if file == nil {
			w.picked("", err, then)
			return
		}
		w.picked(file.URI().Path(), file.Close(), then)
	}, w.window)
	d.SetFilter(storage.NewExtensionFileFilter(endings))
	w.showFileDialog(d, w.folder())
}

// pickFolder has a folder picked with the toolkit's dialog, beginning at one.
func (w *Window) pickFolder(begin string, then func(folder string)) {
	d := dialog.NewFolderOpen(func(folder fyne.ListableURI, err error) {
		if folder == nil {
			w.picked("", err, then)
			return
		}
		w.picked(folder.Path(), err, then)
	}, w.window)
	w.showFileDialog(d, begin)
}

// picked goes on with what a dialog of the toolkit gave; no path: it was left.
func (w *Window) picked(path string, err error, then func(string)) {
	switch {
	case err != nil:
		w.fail(err)
	case path != "":
		then(path)
	}
}

// showFileDialog opens a dialog of the toolkit on a folder.
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

// askToRead has a file picked, reads it beside the window and goes on with what is
// in it.
func askToRead[T any](w *Window, endings []string, read func(io.Reader) (T, error), then func(T)) {
	w.askFile(endings, func(path string) {
		w.session.Beside(func() func() {
			content, err := readFrom(path, read)
			return func() {
				if err != nil {
					w.fail(err)
					return
				}
				then(content)
			}
		})
	})
}

// readFrom returns what read makes of a file.
func readFrom[T any](path string, read func(io.Reader) (T, error)) (T, error) {
	file, err := os.Open(path)
	if err != nil {
		var none T
		return none, err
	}
	defer file.Close()
	return read(file)
}
