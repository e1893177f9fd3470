// Package session holds the design that is open: its undo history, its file,
// the background solve and the last result. It knows no widget.
//
// State goes down and wishes go up: a view calls [Session.Edit], the session
// changes a copy of the design, solves it on its worker and hands the [Result]
// to every listener of [Session.OnResult]. Start reading at [Session]; undo is
// in history.go, files are in file.go and saving.go, the worker is in worker.go.
package session

import (
	"context"
	"reflect"
	"sync"
	"time"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// Session is the open design, its history, its file and its last result.
//
// All methods run on one goroutine, the UI goroutine, and none of them waits
// for a solve unless [Options.Synchronous] is set, nor for a disk but
// [Session.ReadDocument], [Session.KeepNow] and [Session.Wait]. Listeners are
// called on that goroutine too.
type Session struct {
	opts    Options
	current design.Design // never changed in place: every edit replaces it
	curves  design.CurveOptions
	history history
	file    file
	worker  *worker
	drives  *drives
	keeper  *keeper
	watch   *watch

	document uint64 // number of the open one, which rises with each that is opened
	reading  uint64 // of files asked for, likewise
	wanted   string // path of the file asked for last; empty: it is there
	saves    uint64 // asked for
	lanes    map[string]*lane
	closed   bool
	closing  sync.WaitGroup

	opened       []func()
	busy         []func()
	changed      []func()
	resulted     []func(Result)
	driven       []func(DriveResult)
	fileChanged  []func()
	keepFailures []func(error)
}

// Options is what a session needs from the program around it.
type Options struct {
	// Dispatch runs a function on the UI goroutine and returns when it has run
	// (fyne.DoAndWait in the window), which paces the worker to the screen.
	// Nil calls it inline, on the worker.
	Dispatch func(func())

	// Synchronous solves inside the call that asked for it, for tests.
	Synchronous bool

	// Beside does work that may wait for a disk, and then runs what it returns
	// on the UI goroutine. Nil does it on a goroutine of its own, or inside the
	// call where Synchronous is set.
	Beside func(work func() (then func()))

	// Draw runs on the worker after every solve, and alone after
	// [Session.Redraw]; what it returns comes back in [Result.Drawn]. It may
	// stop early when the context is done: its value is then thrown away.
	Draw func(context.Context, *Result) any

	// DrawDrive draws what a driver does, beside Draw; see [DriveResult.Drawn].
	DrawDrive func(context.Context, *DriveResult) any

	// Now is the clock behind [Result.Elapsed]; nil: time.Now.
	Now func() time.Time

	// Recent keeps the list of recent files; nil keeps it in memory.
	// fyne.Preferences is one.
	Recent RecentStore

	// Disk is what files are written to; nil: the machine's.
	Disk disk.FileSystem

	// StateFolder is where the open design is kept against a crash, in files
	// for their owner alone; empty: nowhere.
	StateFolder string
}

// dispatch runs f on the UI goroutine.
func (o Options) dispatch(f func()) {
	if o.Synchronous || o.Dispatch == nil {
		f()
		return
	}
	o.Dispatch(f)
}

// beside is Options.Beside where that is nil.
func (o Options) beside(work func() func()) {
	if o.Synchronous {
		work()()
		return
	}
	go func() { o.dispatch(work()) }()
}

// Result is everything known about one design, and belongs to it alone: the
// curves, marks and numbers in it are of Design, never of a newer one. Listeners
// share it and must not change what it points to.
type Result struct {
	Design   design.Design
	Report   design.Report
	Curves   design.Curves
	Problems []design.Problem // what is wrong with the design, in plain words
	Err      error            // why Report is missing; nil: it is there

	// CurvesErr is why Curves is missing; nil: they are there. A top load that
	// cannot be built has no report, but curves that say where it could be.
	CurvesErr error

	// Drive is what the driver does, once that is known; Report then has its
	// keys. Nil: not yet, or there is none.
	Drive *design.Drive

	// Quick says that what takes long was left out of Report, because the hand
	// was still moving; a result with it follows.
	Quick bool

	Drawn   any           // what Options.Draw returned
	Number  uint64        // rises with every solve asked for; a redraw keeps it
	Elapsed time.Duration // from asking to ready
}

// Complete says whether both report and curves are there.
func (r *Result) Complete() bool { return r.Err == nil && r.CurvesErr == nil }

// New returns a session without a design: call [Session.New] or
// [Session.Open] before anything else.
func New(opts Options) *Session {
	if opts.Now == nil {
		opts.Now = time.Now
	}
	if opts.Recent == nil {
		opts.Recent = &memory{}
	}
	if opts.Disk == nil {
		opts.Disk = disk.OS
	}
	if opts.Beside == nil {
		opts.Beside = opts.beside
	}
	s := &Session{opts: opts, lanes: map[string]*lane{}}
	s.worker = newWorker(opts, solveWith(design.NewSolver()), s.show)
	s.drives = newDrives(opts, design.NewSolver().Drive, s.showDrive)
	s.drives.settled = s.worker.merge
	s.worker.drives = s.drives
	s.keeper = newKeeper(opts, s.keepFailed)
	s.watch = newWatch(opts, s.fileSeen)
	return s
}

// Design returns a copy of the open design.
func (s *Session) Design() design.Design { return clone(s.current) }

// CurveOptions returns what the user picked about the sweeps.
func (s *Session) CurveOptions() design.CurveOptions { return s.curves }

// SetCurveOptions solves again with other sweeps. It is no step of the history
// and does not mark the design as modified.
func (s *Session) SetCurveOptions(options design.CurveOptions) {
	if options == s.curves {
		return
	}
	s.curves = options
	s.solve()
}

// DriveOptions returns what the user picked about the driver's figures.
func (s *Session) DriveOptions() design.DriveOptions {
	s.drives.mu.Lock()
	defer s.drives.mu.Unlock()
	return s.drives.options
}

// SetDriveAgainst solves the driver again with another curve. It is no step of the
// history and does not mark the design as modified.
func (s *Session) SetDriveAgainst(against design.DriveVariation) {
	s.drives.again(func() bool {
		changed := s.drives.options.Against != against
		s.drives.options.Against = against
		return changed
	})
}

// WatchDrive says whether somebody looks at the driver. While nobody does, only
// what is in the report is solved, and nothing at all in a synchronous session.
func (s *Session) WatchDrive(watched bool) {
	s.drives.again(func() bool {
		changed := s.drives.shown != watched
		s.drives.shown = watched
		return changed && watched
	})
}

// RedrawDrive draws the driver's last result again, as [Session.Redraw] does the
// coil's.
func (s *Session) RedrawDrive() { s.drives.redraw() }

// Redraw draws the last result again without solving it, because sizes or the
// theme changed. Before the first result it does nothing.
func (s *Session) Redraw() { s.worker.redraw() }

// OnOpen adds a listener that is called when another document takes the place of
// the open one, before those of [Session.OnChange].
func (s *Session) OnOpen(listener func()) { s.opened = append(s.opened, listener) }

// OnBusy adds a listener that is called when a file begins to be read or written,
// and when none is any more: see [Session.Reading] and [Session.Saving].
func (s *Session) OnBusy(listener func()) { s.busy = append(s.busy, listener) }

// OnChange adds a listener that is called after the design, its file state or
// its history changed.
func (s *Session) OnChange(listener func()) { s.changed = append(s.changed, listener) }

// OnResult adds a listener that is called with every new result, in order.
// The last one is always that of the open design. Outside a gesture no result
// of an older design is shown; inside one (see [Session.Begin]) the figures
// follow the hand and may be one solve behind it.
func (s *Session) OnResult(listener func(Result)) { s.resulted = append(s.resulted, listener) }

// OnDrive adds a listener that is called with every answer about the driver, in
// order. The last one is always that of the open design.
func (s *Session) OnDrive(listener func(DriveResult)) { s.driven = append(s.driven, listener) }

// Solving reports whether the result of the open design is still to come.
func (s *Session) Solving() bool { return s.worker.solving() }

// Close ends the session as its user wants: the worker stops, no listener is
// called after it, and what was kept against a crash is removed. A design that is
// still being saved stays kept, because it may never get there. Close waits
// neither for the worker, which may itself be waiting for this goroutine, nor for
// a disk; [Session.Wait] does.
func (s *Session) Close() {
	s.closed = true
	s.worker.close()
	s.drives.close()
	s.watch.close()
	if leave := s.Saving() && s.Modified(); s.opts.Synchronous {
		s.keeper.close(leave)
	} else {
		s.closing.Go(func() { s.keeper.close(leave) })
	}
}

// Wait returns when what [Session.Close] left to do is done.
func (s *Session) Wait() { s.closing.Wait() }

// Beside does work that may wait for a disk where it holds nobody up, and then
// runs what it returns on the UI goroutine, unless the session is closed by then.
func (s *Session) Beside(work func() (then func())) {
	s.opts.Beside(func() func() {
		then := work()
		return func() {
			if !s.closed {
				then()
			}
		}
	})
}

// replace makes d the open design, tells the listeners and solves it.
func (s *Session) replace(d design.Design) {
	same := reflect.DeepEqual(d, s.current)
	s.current = d
	s.notify()
	if !same {
		s.solve()
	}
}

func (s *Session) solve() {
	moving := s.history.gesture != nil
	s.worker.solve(clone(s.current), s.curves, moving, moving)
}

func (s *Session) notify() {
	s.watch.follow(s.file.path, s.file.disk)
	s.keeper.keep(s.record())
	for _, listener := range s.changed {
		listener()
	}
}

func (s *Session) busyChanged() {
	for _, listener := range s.busy {
		listener()
	}
}

func (s *Session) show(r Result) {
	for _, listener := range s.resulted {
		listener(r)
	}
}

func (s *Session) showDrive(r DriveResult) {
	for _, listener := range s.driven {
		listener(r)
	}
}
