package session

import (
	"context"
	"sync"

	"coilwright/physics/design"
)

// DriveResult is what the driver does with the coil of one design, as far as it
// is known: a driver takes longer than the coil itself, and its answers come one
// by one. Listeners share it and must not change what it points to.
type DriveResult struct {
	Design design.Design
	Report design.Report // of the coil, with the driver's keys as far as they are known
	Drive  design.Drive
	Err    error  // why there is no more; nil: nothing is wrong
	Done   bool   // nothing more comes for this design
	Drawn  any    // what Options.DrawDrive returned
	Number uint64 // of the result that it goes on from
	Step   uint64 // rises with every answer; a redraw keeps it
}

// driveFunc solves a driver; see [design.Solver.Drive].
type driveFunc func(context.Context, design.Design, design.Report, design.DriveOptions) (design.Drive, error)

// drives solves drivers beside the worker, one at a time, the newest result of
// the worker waiting. Every newer edit cancels what runs; while the hand moves
// the first answers are let through, so that something is seen to follow it.
type drives struct {
	opts    Options
	compute driveFunc
	deliver func(DriveResult)         // on the UI goroutine
	settled func(uint64, DriveResult) // the last answer of a design, on the tier's goroutine

	mu      sync.Mutex
	options design.DriveOptions
	shown   bool // somebody looks at the driver: solve all of it
	busy    bool
	cancel  context.CancelFunc
	pending *driveJob
	source  *driveJob    // newest, for solving again
	last    *DriveResult // newest delivered, without its drawing; nil: none, or of no driver
	steps   uint64       // answers so far
	closed  bool
}

// driveJob is one driver to solve, or only the last result to draw again.
type driveJob struct {
	result Result
	moving bool // the hand has not come to rest
	redraw bool
}

func newDrives(opts Options, compute driveFunc, deliver func(DriveResult)) *drives {
	return &drives{opts: opts, compute: compute, deliver: deliver, cancel: func() {}}
}

// edited is called when a newer design is being solved: unless the hand moves,
// nothing of the older one is shown any more.
func (t *drives) edited(moving bool) {
	if moving {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.pending = nil
	t.cancel()
}

// solve asks for the driver of a result.
func (t *drives) solve(r Result, moving bool) {
	t.mu.Lock()
	j := &driveJob{result: r, moving: moving}
	t.source = j
	if !moving {
		t.cancel()
	}
	t.start(j)
}

// again solves the newest result's driver once more, because what is wanted of
// it has changed. change is called under the lock and says whether it has.
func (t *drives) again(change func() bool) {
	t.mu.Lock()
	if !change() || t.source == nil {
		t.mu.Unlock()
		return
	}
	t.cancel()
	t.start(t.source)
}

// redraw draws the last result again, unless a new one is on its way.
func (t *drives) redraw() {
	t.mu.Lock()
	if t.last == nil || t.pending != nil {
		t.mu.Unlock()
		return
	}
	t.start(&driveJob{redraw: true})
}

// start makes j the job that waits and sees to it that someone takes it. The
// caller holds the lock; start gives it back.
func (t *drives) start(j *driveJob) {
	if t.closed || t.opts.Synchronous && !t.shown {
		t.mu.Unlock()
		return
	}
	t.pending = j
	idle := !t.busy
	t.busy = true
	t.mu.Unlock()
	switch {
	case !idle:
	case t.opts.Synchronous:
		t.loop()
	default:
		go t.loop()
	}
}

func (t *drives) close() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.closed = true
	t.pending = nil
	t.cancel()
}

// waits reports whether a newer driver waits.
func (t *drives) waits() bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.pending != nil && !t.pending.redraw
}

func (t *drives) loop() {
	for {
		t.mu.Lock()
		j := t.pending
		t.pending = nil
		if j == nil || t.closed {
			t.busy = false
			t.mu.Unlock()
			return
		}
		ctx, cancel := context.WithCancel(context.Background())
		t.cancel = cancel
		options := t.options
		options.Bare = !t.shown
		last := t.last
		t.mu.Unlock()
		switch {
		case !j.redraw:
			t.run(ctx, cancel, j, options)
		case last != nil:
			t.draw(ctx, *last)
		}
		cancel()
	}
}

// answered is the share of the work after which a moving hand's next step may
// take over: the settled state is there.
const answered = 0.1

// run solves one driver and delivers its answers as they come.
func (t *drives) run(ctx context.Context, cancel context.CancelFunc, j *driveJob, options design.DriveOptions) {
	r := &j.result
	base := DriveResult{Design: r.Design, Report: r.Report, Err: r.Err, Number: r.Number}
	if r.Err != nil || r.Design.Driver.Kind == design.NoDriver {
		base.Done = true
		t.mu.Lock()
		nothing := t.last == nil
		t.last = nil
		t.mu.Unlock()
		if !nothing { // else it is gone already
			t.show(ctx, base)
		}
		return
	}
	answer := func(v design.Drive, err error, done bool) {
		out := base
		out.Drive, out.Done = v, done
		if out.Err = out.Report.TakeDrive(v, err); out.Err == nil {
			out.Err = err
		}
		if ctx.Err() != nil {
			return
		}
		if done {
			t.settled(r.Number, out)
		}
		t.show(ctx, out)
	}
	options.Progress = func(v design.Drive) {
		answer(v, nil, false)
		if j.moving && v.Share >= answered && t.waits() {
			cancel()
		}
	}
	v, err := t.compute(ctx, r.Design, r.Report, options)
	answer(v, err, true)
}

// show draws and delivers a new answer.
func (t *drives) show(ctx context.Context, r DriveResult) {
	t.mu.Lock()
	t.steps++
	r.Step = t.steps
	t.mu.Unlock()
	t.draw(ctx, r)
}

// draw draws a result and delivers it, unless it was cancelled meanwhile.
func (t *drives) draw(ctx context.Context, r DriveResult) {
	kept := r
	if t.opts.DrawDrive != nil {
		r.Drawn = t.opts.DrawDrive(ctx, &r)
	}
	t.opts.dispatch(func() {
		t.mu.Lock()
		stale := ctx.Err() != nil || t.closed
		if !stale && kept.Design.Driver.Kind != design.NoDriver {
			t.last = &kept
		}
		t.mu.Unlock()
		if !stale {
			t.deliver(r)
		}
	})
}
