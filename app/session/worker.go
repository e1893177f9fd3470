package session

import (
	"context"
	"reflect"
	"sync"
	"time"

	"coilwright/physics/design"
)

// solveFunc turns the design of a job into a result, its drawing, number and
// time aside. It may return anything once the context is done.
type solveFunc func(context.Context, *job) Result

// solveWith returns the solveFunc of a solver, which must not be used
// elsewhere: it is not shared between goroutines, and the worker runs one job
// at a time.
//
// While only the driver changes, the coil is the same and its last full solution
// is taken again, with what is to be known about the driver.
func solveWith(solver *design.Solver) solveFunc {
	var kept *Result
	var keptFor design.CurveOptions
	return func(ctx context.Context, j *job) Result {
		r := Result{Design: j.design, Problems: design.Check(j.design)}
		if kept != nil && len(r.Problems) == 0 && keptFor == j.options && sameCoil(kept.Design, r.Design) {
			r.Report, r.Curves = kept.Report, kept.Curves
			r.Report.SetDriver(j.design.Driver)
			return r
		}
		evaluate := solver.Evaluate
		if j.quick {
			evaluate = solver.Quick
		}
		r.Quick = j.quick
		r.Report, r.Err = evaluate(ctx, j.design)
		r.Curves, r.CurvesErr = solver.Curves(ctx, j.design, j.options)
		r.Curves.SetBand(r.Report)
		if !j.quick && r.Complete() && ctx.Err() == nil {
			solved := r
			kept, keptFor = &solved, j.options
		}
		return r
	}
}

// sameCoil reports whether two designs differ in their drivers at most.
func sameCoil(a, b design.Design) bool {
	a.Driver, b.Driver = design.Driver{}, design.Driver{}
	return reflect.DeepEqual(a, b)
}

// worker runs one job at a time beside the UI goroutine and keeps one more, the
// newest, waiting. Its goroutine lives only as long as there is work.
type worker struct {
	opts    Options
	compute solveFunc
	deliver func(Result) // on the UI goroutine
	drives  *drives      // what goes on after a result; nil: nothing

	mu      sync.Mutex
	number  uint64 // of the newest solve asked for
	shown   uint64 // of the newest result delivered
	busy    bool   // a goroutine is in loop
	running uint64 // number of the job in hand
	cancel  context.CancelFunc
	pending *job
	last    *Result // newest solved, not drawn; nil: none yet
	closed  bool
}

// job is one design to solve and draw, or only the last result to draw again.
type job struct {
	number  uint64
	redraw  bool
	quick   bool // leave out what takes long: the hand has not come to rest
	design  design.Design
	options design.CurveOptions
	asked   time.Time
}

func newWorker(opts Options, compute solveFunc, deliver func(Result)) *worker {
	return &worker{opts: opts, compute: compute, deliver: deliver, cancel: func() {}}
}

// solve asks for the result of d, which the caller gives away. It takes the
// place of whatever waits and, unless follow is set, cancels what runs. quick
// leaves out what takes long.
func (w *worker) solve(d design.Design, options design.CurveOptions, follow, quick bool) {
	w.mu.Lock()
	w.number++
	if !follow {
		w.cancel()
	}
	if w.drives != nil {
		w.drives.edited(quick)
	}
	w.start(&job{number: w.number, quick: quick, design: d, options: options, asked: w.opts.Now()})
}

// redraw asks for the last result to be drawn again. A solve that waits will
// draw anyway.
func (w *worker) redraw() {
	w.mu.Lock()
	if w.pending != nil && !w.pending.redraw {
		w.mu.Unlock()
		return
	}
	w.start(&job{number: w.number, redraw: true, asked: w.opts.Now()})
}

// start makes j the job that waits and sees to it that someone takes it. The
// caller holds the lock; start gives it back.
func (w *worker) start(j *job) {
	w.pending = j
	idle := !w.busy
	w.busy = true
	w.mu.Unlock()
	switch {
	case !idle: // the loop takes it when the job in hand is done
	case w.opts.Synchronous:
		w.loop()
	default:
		go w.loop()
	}
}

// cancelOld cancels what runs if a newer design waits.
func (w *worker) cancelOld() {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.running < w.number {
		w.cancel()
	}
}

func (w *worker) solving() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.shown < w.number && !w.closed
}

func (w *worker) close() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.closed = true
	w.pending = nil
	w.cancel()
}

// loop takes jobs until none waits.
func (w *worker) loop() {
	for {
		w.mu.Lock()
		j := w.pending
		w.pending = nil
		if j == nil || w.closed {
			w.busy = false
			w.mu.Unlock()
			return
		}
		ctx, cancel := context.WithCancel(context.Background())
		w.running, w.cancel = j.number, cancel
		last := w.last
		w.mu.Unlock()
		w.run(ctx, j, last)
		cancel()
	}
}

// run does one job and delivers its result, unless it was cancelled meanwhile.
func (w *worker) run(ctx context.Context, j *job, last *Result) {
	var r Result
	switch {
	case !j.redraw:
		r = w.compute(ctx, j)
		r.Number = j.number
	case last != nil:
		r = *last
	default:
		return
	}
	if ctx.Err() != nil {
		return
	}
	if !j.redraw {
		solved := r
		w.mu.Lock()
		w.last = &solved
		w.mu.Unlock()
	}
	if w.opts.Draw != nil {
		r.Drawn = w.opts.Draw(ctx, &r)
	}
	r.Elapsed = w.opts.Now().Sub(j.asked)
	w.opts.dispatch(func() {
		w.mu.Lock()
		stale := ctx.Err() != nil
		if !stale {
			w.shown = r.Number
		}
		w.mu.Unlock()
		if !stale {
			w.deliver(r)
			if w.drives != nil && !j.redraw {
				w.drives.solve(r, j.quick)
			}
		}
	})
}

// merge puts a driver's last answer into the result it belongs to, if that is
// still the newest, and shows it.
func (w *worker) merge(number uint64, d DriveResult) {
	w.mu.Lock()
	if w.last == nil || w.last.Number != number || w.number != number {
		w.mu.Unlock()
		return
	}
	merged := *w.last
	merged.Report, merged.Drive = d.Report, &d.Drive
	w.last = &merged
	w.mu.Unlock()
	w.redraw()
}
