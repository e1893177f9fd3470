package session

import (
	"context"
	"errors"
	"testing"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// driveBench is a session whose driver tier is the test's, with the UI goroutine
// being the test's too.
type driveBench struct {
	*Session
	ui      chan func()
	started chan driveCall
	shown   []DriveResult
	results []Result
}

// driveCall is one driver that began to be solved; the test tells progress and
// ends it.
type driveCall struct {
	ctx     context.Context
	options design.DriveOptions
	design  design.Design
	end     chan design.Drive
}

func newDriveBench(t *testing.T) *driveBench {
	t.Helper()
	b := &driveBench{ui: make(chan func()), started: make(chan driveCall)}
	b.Session = New(Options{Dispatch: func(f func()) {
		done := make(chan struct{})
		b.ui <- func() { f(); close(done) }
		<-done
	}})
	b.worker.compute = func(_ context.Context, j *job) Result { return Result{Design: j.design} }
	b.drives.compute = func(ctx context.Context, d design.Design, _ design.Report, o design.DriveOptions) (design.Drive, error) {
		c := driveCall{ctx, o, d, make(chan design.Drive)}
		b.started <- c
		select {
		case v := <-c.end:
			return v, nil
		case <-ctx.Done():
			return design.Drive{}, ctx.Err()
		}
	}
	b.OnDrive(func(r DriveResult) { b.shown = append(b.shown, r) })
	b.OnResult(func(r Result) { b.results = append(b.results, r) })
	t.Cleanup(b.Close)
	return b
}

// exciter is a design with a driver.
func exciter() design.Design {
	d := design.New()
	d.SetDriverKind(design.FeedbackExciter)
	return d
}

func (b *driveBench) supply(v float64) {
	b.Edit("supply", func(d *design.Design) { d.Driver.Supply = v })
}

// pump runs what is sent to the UI goroutine until a driver begins.
func (b *driveBench) pump(t *testing.T) driveCall {
	t.Helper()
	for {
		select {
		case f := <-b.ui:
			f()
		case c := <-b.started:
			return c
		}
	}
}

func full(top float64) design.Drive {
	return design.Drive{Share: 1, Report: design.DriverReport{TopVoltage: &top, BeyondPart: []string{}}}
}

// The driver is solved after the coil, its answers come one by one, and the last
// is merged into the result.
func TestDriverFollowsTheCoil(t *testing.T) {
	b := newDriveBench(t)
	b.WatchDrive(true)
	b.New(exciter())
	c := b.pump(t)
	if len(b.results) != 1 || b.results[0].Drive != nil {
		t.Fatalf("%d results before the driver's", len(b.results))
	}
	go c.options.Progress(design.Drive{Share: 0.05})
	receive(t, b.ui)()
	c.end <- full(700)
	for len(b.shown) < 2 || len(b.results) < 2 {
		receive(t, b.ui)()
	}
	if first, last := b.shown[0], b.shown[1]; first.Done || first.Drive.Share != 0.05 || !last.Done || *last.Report.Driver.TopVoltage != 700 {
		t.Errorf("shown %+v", b.shown)
	}
	if r := b.results[1]; r.Drive == nil || *r.Report.Driver.TopVoltage != 700 || r.Number != b.results[0].Number {
		t.Errorf("merged %+v", r)
	}
}

// A newer edit cancels the driver of an older design: nothing of it is shown.
func TestEditCancelsTheDriver(t *testing.T) {
	b := newDriveBench(t)
	b.New(exciter())
	c := b.pump(t)
	b.supply(5)
	<-c.ctx.Done()
	c = b.pump(t)
	if c.design.Driver.Supply != 5 || len(b.shown) != 0 {
		t.Errorf("supply %g V, shown %d", c.design.Driver.Supply, len(b.shown))
	}
	if !c.options.Bare {
		t.Error("nobody watches, and all of it is solved")
	}
	c.end <- full(300)
	for len(b.shown) == 0 {
		receive(t, b.ui)()
	}
	if got := b.shown[0].Design.Driver.Supply; got != 5 {
		t.Errorf("shown is the driver at %g V", got)
	}
}

// While the hand moves, the first answer is shown before the next step takes
// over.
func TestMovingHandSeesAnswers(t *testing.T) {
	b := newDriveBench(t)
	b.WatchDrive(true)
	b.New(exciter())
	b.pump(t).end <- full(700)
	for len(b.results) < 2 || len(b.shown) == 0 || !b.shown[len(b.shown)-1].Done {
		receive(t, b.ui)()
	}
	b.shown = nil
	b.Begin("supply")
	b.supply(8)
	c := b.pump(t)
	b.supply(7)
	for !b.drives.waits() {
		receive(t, b.ui)()
	}
	if c.ctx.Err() != nil {
		t.Fatal("the driver was cancelled before it answered")
	}
	progress := make(chan struct{})
	go func() { c.options.Progress(design.Drive{Share: answered}); close(progress) }()
	receive(t, b.ui)()
	<-progress
	if len(b.shown) != 1 || b.shown[0].Design.Driver.Supply != 8 || c.ctx.Err() == nil {
		t.Errorf("shown %+v, error %v", b.shown, c.ctx.Err())
	}
	if c = b.pump(t); c.design.Driver.Supply != 7 {
		t.Errorf("then the driver at %g V", c.design.Driver.Supply)
	}
	b.End()
	<-c.ctx.Done()
}

// What cannot be solved says why; without a driver nothing stays on screen.
func TestDriverErrorsAndNone(t *testing.T) {
	b := newDriveBench(t)
	b.drives.compute = func(context.Context, design.Design, design.Report, design.DriveOptions) (design.Drive, error) {
		return design.Drive{}, driver.ErrNotSettled
	}
	b.New(exciter())
	for len(b.shown) == 0 {
		receive(t, b.ui)()
	}
	if r := b.shown[0]; !errors.Is(r.Err, driver.ErrNotSettled) || !r.Done || len(r.Report.Cautions) != 1 {
		t.Errorf("%+v", r)
	}
	b.Edit("none", func(d *design.Design) { d.SetDriverKind(design.NoDriver) })
	for len(b.shown) < 2 {
		receive(t, b.ui)()
	}
	if r := b.shown[1]; r.Design.Driver.Kind != design.NoDriver || !r.Done {
		t.Errorf("%+v", r)
	}
}

// Another curve solves the driver again and not the coil.
func TestAgainstSolvesTheDriverAlone(t *testing.T) {
	b := newDriveBench(t)
	b.WatchDrive(true)
	b.New(exciter())
	c := b.pump(t)
	number := b.results[0].Number
	b.SetDriveAgainst(design.AgainstCoupling)
	<-c.ctx.Done()
	c = b.pump(t)
	if c.options.Against != design.AgainstCoupling || b.DriveOptions().Against != design.AgainstCoupling || b.results[len(b.results)-1].Number != number {
		t.Errorf("against %d", c.options.Against)
	}
	b.WatchDrive(false)
	c.end <- full(1)
}

// With only the driver changed the coil is not solved again: the report is that
// of the last full solution, to the last digit, and as complete.
func TestDriverEditKeepsTheCoil(t *testing.T) {
	solve := solveWith(design.NewSolver())
	d := exciter()
	first := solve(context.Background(), &job{design: d})
	d.Driver.Supply = 5
	second := solve(context.Background(), &job{design: d, quick: true})
	if first.Err != nil || second.Err != nil {
		t.Fatal(first.Err, second.Err)
	}
	if second.Design.Driver.Supply != 5 || second.Report.Resonance.QualityFactor != first.Report.Resonance.QualityFactor {
		t.Error("the coil was solved again")
	}
	d.Secondary.Turns++
	third := solve(context.Background(), &job{design: d})
	if *third.Report.Resonance.Frequency == *first.Report.Resonance.Frequency {
		t.Error("another coil was not solved")
	}
}
