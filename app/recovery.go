package app

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
)

// StateFolder returns the user's folder for what a program keeps between runs
// and nobody else reads; empty if the system names none.
//
// Source: XDG Base Directory Specification 0.8, "$XDG_STATE_HOME"; on macOS and
// Windows the folders of [os.UserConfigDir] and [os.UserCacheDir].
func StateFolder() string {
	var folder string
	var err error
	switch runtime.GOOS {
	case "darwin":
		folder, err = os.UserConfigDir()
	case "windows":
		folder, err = os.UserCacheDir()
	default:
		if folder = os.Getenv("XDG_STATE_HOME"); !filepath.IsAbs(folder) {
			folder, err = os.UserHomeDir()
			folder = filepath.Join(folder, ".local", "state")
		}
	}
	if err != nil {
		return ""
	}
	return filepath.Join(folder, folderName)
}

// Welcome asks what is to be asked when the program starts: about designs that
// a crash left, about a file that another window has open and, under that
// question, about turns that were being counted.
func (w *Window) Welcome() {
	w.offerCount()
	w.session.Left(func(left []session.Left) {
		if len(left) > 0 {
			w.offer(left)
			return
		}
		w.askElsewhere()
	})
}

// askElsewhere asks about the open design's file if another window has it open.
func (w *Window) askElsewhere() {
	path, document := w.session.Path(), w.document
	if path == "" {
		return
	}
	w.session.OpenElsewhere(path, func(elsewhere bool) {
		if elsewhere && document == w.document {
			w.ask(text("file.open_elsewhere", map[string]any{"File": filepath.Base(path)}),
				answer{"file.open_copy", widget.HighImportance, w.detach},
				answer{"file.open_too", widget.MediumImportance, func() {}},
			)
		}
	})
}

// offer asks about the first of what crashes left. The others wait for the
// next start as soon as one is opened.
func (w *Window) offer(left []session.Left) {
	if len(left) == 0 {
		return
	}
	first, others := left[0], left[1:]
	leave := func() {
		for _, l := range left {
			w.session.Leave(l)
		}
	}
	name := first.Name
	if name == "" {
		name = lang.L("app.unnamed")
	}
	w.ask(text("recovery.offer", map[string]any{"Name": name, "Time": first.Kept.Local().Format("2006-01-02 15:04")}),
		answer{"recovery.open", widget.HighImportance, func() {
			for _, l := range others {
				w.session.Leave(l)
			}
			w.session.Recover(first, func(err error) {
				if err != nil {
					w.keepFailed(err)
				}
			})
		}},
		answer{"recovery.later", widget.MediumImportance, leave},
		answer{"recovery.discard", widget.DangerImportance, func() {
			w.session.Discard(first)
			w.offer(others)
		}},
	)
}

// keepFailed says that the open design is not kept against a crash.
func (w *Window) keepFailed(err error) {
	w.ask(text("recovery.failed", map[string]any{"Reason": reason(err)}), answer{"ask.close", widget.HighImportance, func() {}})
}

// fileChanged asks what to do about a file that another program has written to,
// unless it is asking already.
func (w *Window) fileChanged() {
	if slices.Contains(w.dialogs, w.fileQuestion) {
		return
	}
	w.fileQuestion = w.ask(text("file.changed", map[string]any{"File": filepath.Base(w.session.Path())}),
		answer{"file.keep_mine", widget.HighImportance, func() {}},
		answer{"file.take_theirs", widget.MediumImportance, func() {
			w.session.TakeFromDisk(lang.L("edit.file_changed"), func(err error) {
				if err != nil {
					w.fail(err)
				}
			})
		}},
	)
}

// previousVersion goes back to the version before the one in the file, as a
// step that can be undone.
func (w *Window) previousVersion() {
	w.window.Canvas().Unfocus()
	w.session.TakeBackup(lang.L("edit.previous"), func(err error) {
		switch {
		case errors.Is(err, session.ErrNoPath), errors.Is(err, fs.ErrNotExist):
			w.ask(text("file.no_previous", map[string]any{"Name": w.name()}), answer{"ask.close", widget.HighImportance, func() {}})
		case err != nil:
			w.fail(err)
		}
	})
}

// detach goes on with the open design as one that has no file.
func (w *Window) detach() {
	w.session.New(w.session.Design())
}
