package app

import (
	"context"
	"sync"

	"fyne.io/fyne/v2"

	"coilwright/physics/design"
	"coilwright/physics/experiment"
)

// outcome is what a runner brings back.
type outcome struct {
	experiments []experiment.Experiment
	outcome     experiment.Outcome
	geometry    design.Geometry
	err         error
}

// runner makes experiments beside the UI goroutine, one at a time, the newest asked
// for next. It keeps the bench while the design stays.
type runner struct {
	synchronous bool

	mu      sync.Mutex
	busy    bool
	pending func(context.Context)
	cancel  context.CancelFunc

	bench  *experiment.Bench // of the goroutine that runs
	design string            // fingerprint of the bench's design
}

// ask has an experiment made and its outcome handed to done on the UI goroutine,
// unless something newer is asked for first.
func (r *runner) ask(d design.Design, kind experiment.Kind, settings experiment.Settings, done func(outcome)) {
	job := func(ctx context.Context) {
		o := r.make(ctx, d, kind, settings)
		if ctx.Err() != nil {
			return
		}
		if r.synchronous {
			done(o)
			return
		}
		fyne.DoAndWait(func() {
			if ctx.Err() == nil {
				done(o)
			}
		})
	}
	if r.synchronous {
		job(context.Background())
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.pending = job
	if !r.busy {
		r.busy = true
		go r.loop()
	}
}

// stop gives up what runs and what waits.
func (r *runner) stop() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.pending = nil
	if r.cancel != nil {
		r.cancel()
	}
}

func (r *runner) loop() {
	for {
		r.mu.Lock()
		job := r.pending
		r.pending = nil
		if job == nil {
			r.busy = false
			r.mu.Unlock()
			return
		}
		ctx, cancel := context.WithCancel(context.Background())
		r.cancel = cancel
		r.mu.Unlock()
		job(ctx)
		cancel()
	}
}

func (r *runner) make(ctx context.Context, d design.Design, kind experiment.Kind, settings experiment.Settings) outcome {
	if fingerprint := design.Fingerprint(d); r.bench == nil || fingerprint != r.design {
		b, err := experiment.NewBench(ctx, d)
		if err != nil {
			return outcome{err: err}
		}
		r.bench, r.design = b, fingerprint
	}
	o := outcome{experiments: experiment.All(r.bench)}
	x, ok := experiment.Find(r.bench, kind)
	if !ok {
		return o
	}
	within, _ := x.Within(settings)
	if o.geometry, o.err = d.Geometry(); o.err == nil {
		o.outcome, o.err = x.Run(ctx, r.bench, within)
	}
	if o.err != nil {
		o.outcome = nil
	}
	return o
}
