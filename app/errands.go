package app

import (
	"slices"
	"time"

	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// Files are read and written beside the window. What takes longer than a moment is
// told, and closing asks whether to wait for it.

// errandMoment is how long the disk may take before the window says so: a save that
// is quicker needs no words.
const errandMoment = time.Second

// underWay is what happens to a file.
type underWay int

const (
	noFile underWay = iota
	savingFile
	readingFile
)

// errands is what the window knows about files on their way.
type errands struct {
	writes int         // files of the window's own that are being written; designs are the session's
	told   underWay    // what the window says
	timer  *time.Timer // until it does; nil: nothing is under way

	question dialog.Dialog // whether to wait; nil: never asked
	agreed   bool          // to wait
	leaving  func()        // what waits; nil: nothing
}

// writeBeside does work that writes files of the window's own beside it, and then
// runs what work returns.
func (w *Window) writeBeside(work func() (then func())) {
	w.errands.writes++
	w.busyChanged()
	w.session.Beside(func() func() {
		then := work()
		return func() {
			w.errands.writes--
			then()
			w.busyChanged()
		}
	})
}

// writing reports whether anything is being written.
func (w *Window) writing() bool { return w.session.Saving() || w.errands.writes > 0 }

// errand returns what is under way.
func (w *Window) errand() underWay {
	switch {
	case w.writing():
		return savingFile
	case w.session.Reading() != "":
		return readingFile
	}
	return noFile
}

// busyChanged is called when something begins to be read or written, or has been.
func (w *Window) busyChanged() {
	e := &w.errands
	now := w.errand()
	switch {
	case now == noFile && e.timer != nil:
		e.timer.Stop()
		e.timer = nil
	case now != noFile && e.timer == nil && !w.synchronous:
		e.timer = time.AfterFunc(errandMoment, func() { w.dispatch(w.tellErrand) })
	}
	if e.told != noFile && e.told != now {
		e.told = now
		w.showTitle()
	}
	if !w.writing() {
		w.leaveNow()
	}
}

// tellErrand says in the title what is under way; a moment has passed.
func (w *Window) tellErrand() {
	w.errands.told = w.errand()
	w.showTitle()
}

// askToWait asks whether to wait for what is being written, and then leaves the open
// design.
func (w *Window) askToWait(then func()) {
	e := &w.errands
	e.leaving, e.agreed = then, false
	e.question = w.ask(text("ask.still_saving", map[string]any{"Name": w.name()}),
		answer{"ask.wait", widget.HighImportance, func() {
			e.leaving, e.agreed = then, true
			w.busyChanged()
		}},
		answer{"ask.no_wait", widget.DangerImportance, func() {
			e.leaving = nil
			then()
		}},
		answer{"ask.cancel", widget.MediumImportance, func() { e.leaving = nil }},
	)
}

// leaveNow does what waited until everything was written. A question whether to
// wait has answered itself.
func (w *Window) leaveNow() {
	e := &w.errands
	then, asking := e.leaving, slices.Contains(w.dialogs, e.question)
	if then == nil || !asking && !e.agreed {
		return
	}
	e.leaving = nil
	if asking {
		e.question.Hide()
	}
	w.leave(then)
}
