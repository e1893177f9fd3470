package app

import (
	"context"
	"slices"
	"sync"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/comparison"
	"coilwright/physics/design"
)

// stageBench is the key of the stage in which the coil is measured.
const stageBench = "bench"

// What the stage shows beside the readings.
const (
	benchComparison = iota
	benchFile
	benchLogbook
	benchViews
)

// benchStage shows what was measured of the coil: the readings on the left, and
// beside them what they say, what an instrument's file holds, or the logbook.
type benchStage struct {
	*Window

	readings *view.Readings
	switcher *view.Segments
	views    [benchViews]fyne.CanvasObject
	compare  *benchCompare
	file     *benchReader
	book     *benchBook
}

func newBenchStage(w *Window) stage {
	return &benchStage{Window: w}
}

func (s *benchStage) objects() (side, rest fyne.CanvasObject) {
	s.readings = view.NewReadings(s.session)
	s.readings.OnHint = s.hint.Show
	s.readings.OnSay = s.hint.Say
	s.readings.OnAdd = s.addReading
	s.readings.OnImport = func() { s.file.choose() }
	s.switcher = view.NewSegments(lang.L("bench.view.comparison"), lang.L("bench.view.file"), lang.L("bench.view.logbook"))
	s.switcher.OnPick = s.showView
	s.switcher.OnHint = func() { s.hint.Show("bench.views") }
	s.compare = newBenchCompare(s)
	s.file = newBenchReader(s)
	s.book = newBenchBook(s)
	s.views = [benchViews]fyne.CanvasObject{s.compare.object, s.file.object, s.book.object}
	for _, o := range s.views[1:] {
		o.Hide()
	}
	s.session.OnDrive(func(r session.DriveResult) {
		if r.Done && r.Err == nil && s.current().stage == stage(s) {
			s.compare.run(r.Design, &r.Report)
		}
	})
	head := container.NewHBox(s.switcher)
	return s.readings.Object(), container.NewBorder(head, nil, nil, nil, container.NewStack(s.views[:]...))
}

// showView shows one of the views.
func (s *benchStage) showView(at int) {
	s.switcher.SetPicked(at)
	for i, o := range s.views {
		if i == at {
			o.Show()
		} else {
			o.Hide()
		}
	}
	if at == benchLogbook {
		s.book.entered()
	}
	s.session.Redraw()
}

func (s *benchStage) changed(d design.Design) {
	s.readings.Show(d, s.units)
	s.book.show()
}

func (s *benchStage) show(r *session.Result) {
	if r != nil && !r.Quick {
		s.compare.run(r.Design, &r.Report)
	}
}

func (s *benchStage) typedKey(e *fyne.KeyEvent) bool {
	at := s.readings.Picked()
	switch e.Name {
	case fyne.KeyUp:
		at--
	case fyne.KeyDown:
		at++
	default:
		return false
	}
	if at >= 0 && at < len(s.session.Design().Measurements) {
		s.readings.Pick(at)
	}
	return true
}

func (s *benchStage) leave() {
	s.compare.stop()
	s.file.stop()
	s.book.stop()
}

// today is the date of a new reading.
func today() string { return time.Now().Format(time.DateOnly) }

// newReading adds a reading to type in, on the stage it belongs to.
func (w *Window) newReading() {
	w.enterStage(stageBench)
	if s, ok := w.current().stage.(*benchStage); ok {
		s.addReading()
	}
}

// addReading adds a reading of the frequency to begin from, and gives its value
// the keyboard.
func (s *benchStage) addReading() {
	d := s.session.Design()
	m := design.Measurement{Quantity: comparison.Frequency, Value: 1e6, Setup: comparison.SetupOf(d), ProbePlace: comparison.NoProbe, Date: today()}
	if s.last != nil && s.last.Err == nil && s.last.Report.Resonance.Frequency != nil {
		const roundTo = 1e4 // Hz: a place to type over, no reading
		m.Value = max(roundTo, float64(int(*s.last.Report.Resonance.Frequency/roundTo))*roundTo)
	}
	s.addReadings(m)
	s.window.Canvas().Focus(s.readings.RevealValue())
}

// addReadings puts readings behind those there are, as one step, and picks the
// first of them.
func (s *benchStage) addReadings(readings ...design.Measurement) {
	at := len(s.session.Design().Measurements)
	s.session.Edit(lang.L("bench.edit_add"), func(d *design.Design) {
		d.Measurements = append(slices.Clone(d.Measurements), readings...)
	})
	s.readings.Pick(at)
}

// errand is work beside the window of which only the newest counts.
type errand struct {
	synchronous bool
	cancel      context.CancelFunc
}

// run does work on a goroutine of its own and then hands what it returns to the
// window, unless another errand has begun or stop was called. Within work, tell
// runs a function on the UI goroutine under the same condition.
func (e *errand) run(work func(ctx context.Context, tell func(func())) func()) {
	e.stop()
	ctx, cancel := context.WithCancel(context.Background())
	e.cancel = cancel
	dispatch := fyne.Do
	if e.synchronous {
		dispatch = func(f func()) { f() }
	}
	tell := func(f func()) {
		dispatch(func() {
			if ctx.Err() == nil {
				f()
			}
		})
	}
	do := func() {
		if done := work(ctx, tell); done != nil {
			tell(done)
		}
	}
	if e.synchronous {
		do()
		return
	}
	go do()
}

// stop ends what runs; its result is not shown.
func (e *errand) stop() {
	if e.cancel != nil {
		e.cancel()
	}
}

// shared is a value that the UI goroutine sets and the worker draws.
type shared[T any] struct {
	mu    sync.Mutex
	value T
}

func (s *shared[T]) set(v T) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.value = v
}

func (s *shared[T]) get() T {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.value
}
