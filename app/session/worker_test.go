package session

import (
	"context"
	"errors"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"coilwright/physics/design"
)

// bench is a session whose solves wait for the test, with the test's goroutine
// as the UI goroutine.
type bench struct {
	*Session
	ui      chan func()
	started chan context.Context // one per solve that began
	release chan struct{}        // one lets one solve end
	shown   []Result
}

func newBench(t *testing.T, draw func(context.Context, *Result) any) *bench {
	t.Helper()
	b := &bench{
		ui:      make(chan func()),
		started: make(chan context.Context),
		release: make(chan struct{}),
	}
	b.Session = New(Options{
		Dispatch: func(f func()) {
			done := make(chan struct{})
			b.ui <- func() { f(); close(done) }
			<-done
		},
		Draw: draw,
	})
	b.worker.drives = nil // its answers would come between the solver's
	b.worker.compute = func(ctx context.Context, j *job) Result {
		b.started <- ctx
		select {
		case <-b.release:
		case <-ctx.Done():
		}
		return Result{Design: j.design, Err: ctx.Err()}
	}
	b.OnResult(func(r Result) { b.shown = append(b.shown, r) })
	t.Cleanup(b.Close)
	return b
}

// newest waits for a solve to begin that no edit has overtaken yet. The worker
// may have begun one between two edits.
func (b *bench) newest(t *testing.T) context.Context {
	t.Helper()
	for {
		if ctx := receive(t, b.started); ctx.Err() == nil {
			return ctx
		}
	}
}

// finish lets the running solve end.
func (b *bench) finish(t *testing.T) {
	t.Helper()
	select {
	case b.release <- struct{}{}:
	case <-time.After(patience):
		t.Fatal("no solve runs")
	}
}

// showNext runs the next function that the worker sends to the UI goroutine.
func (b *bench) showNext(t *testing.T) {
	t.Helper()
	receive(t, b.ui)()
}

// patience ends a test that would hang; no passing test comes near it.
const patience = 10 * time.Second

func receive[T any](t *testing.T, from <-chan T) T {
	t.Helper()
	select {
	case x := <-from:
		return x
	case <-time.After(patience):
		t.Fatal("the worker stands still")
		panic("unreachable")
	}
}

func (b *bench) turns(n float64) {
	b.Edit("turns", func(d *design.Design) { d.Secondary.Turns = n })
}

func shownTurns(results []Result) []float64 {
	var turns []float64
	for _, r := range results {
		turns = append(turns, r.Design.Secondary.Turns)
	}
	return turns
}

func TestLatestEditIsShownLast(t *testing.T) {
	const edits = 1000
	for _, gesture := range []bool{false, true} {
		var computed atomic.Int64
		ui := make(chan func(), 1)
		s := New(Options{Dispatch: func(f func()) {
			done := make(chan struct{})
			ui <- func() { f(); close(done) }
			<-done
		}})
		s.worker.compute = func(_ context.Context, j *job) Result {
			computed.Add(1)
			return Result{Design: j.design}
		}
		var shown []Result
		s.OnResult(func(r Result) { shown = append(shown, r) })
		if gesture {
			s.Begin("turns")
		}
		for i := range edits {
			s.Edit("turns", func(d *design.Design) { d.Secondary.Turns = float64(i + 1) })
			select { // a frame: what the worker has finished comes on screen
			case f := <-ui:
				f()
			default:
			}
		}
		s.End()
		for s.Solving() {
			receive(t, ui)()
		}
		turns := shownTurns(shown)
		if !slices.IsSorted(turns) || turns[len(turns)-1] != edits {
			t.Errorf("gesture %v: shown %v, want a rising list that ends in %d", gesture, turns, edits)
		}
		if n := computed.Load(); n > edits {
			t.Errorf("gesture %v: %d solves for %d edits", gesture, n, edits)
		}
		s.Close()
	}
}

func TestNewerEditCancelsOlderSolve(t *testing.T) {
	b := newBench(t, nil)
	b.turns(1)
	first := b.newest(t)
	b.turns(2)
	b.turns(3)
	if first.Err() == nil {
		t.Error("the solve of the first edit still runs after the second")
	}
	b.newest(t) // the worker gave the first one up without being released
	b.finish(t)
	b.showNext(t)
	if got := shownTurns(b.shown); !slices.Equal(got, []float64{3}) {
		t.Errorf("shown %v, want the last edit alone", got)
	}
	if b.Solving() {
		t.Error("Solving() = true after the last result")
	}
}

// A result that is ready but waits for the UI goroutine is stale as soon as
// that goroutine makes an edit.
func TestEditBeforeShowDropsResult(t *testing.T) {
	b := newBench(t, nil)
	b.turns(1)
	b.newest(t)
	b.finish(t)
	waiting := receive(t, b.ui) // ready to be shown
	b.turns(2)
	waiting()
	if len(b.shown) != 0 {
		t.Errorf("shown %v, want nothing: the design has 2 turns by now", shownTurns(b.shown))
	}
	b.newest(t)
	b.finish(t)
	b.showNext(t)
	if got := shownTurns(b.shown); !slices.Equal(got, []float64{2}) {
		t.Errorf("shown %v, want 2 alone", got)
	}
}

func TestGestureFollowsTheHand(t *testing.T) {
	b := newBench(t, nil)
	b.Begin("turns")
	b.turns(1)
	first := b.newest(t)
	b.turns(2)
	b.turns(3)
	if first.Err() != nil {
		t.Error("a drag cancelled the running solve: nothing would be shown until the hand rests")
	}
	b.finish(t)
	b.showNext(t)
	b.newest(t)
	b.turns(4)
	b.End()
	b.newest(t) // End gave the solve of 3 up
	b.finish(t)
	b.showNext(t)
	if got := shownTurns(b.shown); !slices.Equal(got, []float64{1, 4}) {
		t.Errorf("shown %v, want 1 while dragging and 4 at its end", got)
	}
}

func TestEndKeepsTheNewestSolve(t *testing.T) {
	b := newBench(t, nil)
	b.Begin("turns")
	b.turns(1)
	only := b.newest(t)
	b.End()
	if only.Err() != nil {
		t.Error("End cancelled the solve of the open design")
	}
}

// What takes long is left out while the hand moves, and asked for when it rests.
func TestOnlyAMovingHandIsSolvedQuickly(t *testing.T) {
	s := New(Options{Synchronous: true})
	var quick []bool
	s.worker.compute = func(_ context.Context, j *job) Result {
		quick = append(quick, j.quick)
		return Result{Design: j.design}
	}
	turns := func(n float64) { s.Edit("turns", func(d *design.Design) { d.Secondary.Turns = n }) }
	turns(1)
	s.Begin("turns")
	turns(2)
	turns(3)
	s.End()
	s.Begin("turns")
	s.End() // nothing changed
	if want := []bool{false, true, true, false}; !slices.Equal(quick, want) {
		t.Errorf("solved quickly: %v, want %v", quick, want)
	}
}

func TestRedrawDrawsWithoutSolving(t *testing.T) {
	var drawn atomic.Int64
	b := newBench(t, func(_ context.Context, r *Result) any { return drawn.Add(1) })
	b.Redraw() // nothing solved, nothing to draw
	b.turns(1)
	b.newest(t)
	b.finish(t)
	b.showNext(t)
	b.Redraw()
	b.showNext(t)
	if len(b.shown) != 2 {
		t.Fatalf("%d results shown, want 2", len(b.shown))
	}
	if first, again := b.shown[0], b.shown[1]; again.Number != first.Number || first.Drawn != int64(1) || again.Drawn != int64(2) {
		t.Errorf("redrawn result is number %d drawn %v, want number %d drawn 2", again.Number, again.Drawn, first.Number)
	}
}

// The newest design must not lose its place in the queue to a redraw.
func TestRedrawLeavesTheWaitingSolve(t *testing.T) {
	b := newBench(t, nil)
	b.Begin("turns")
	b.turns(1)
	b.newest(t)
	b.turns(2)
	b.Redraw()
	b.finish(t)
	b.showNext(t)
	b.newest(t)
	b.finish(t)
	b.showNext(t)
	if got := shownTurns(b.shown); !slices.Equal(got, []float64{1, 2}) {
		t.Errorf("shown %v, want 1 and 2", got)
	}
}

func TestCloseShowsNothingMore(t *testing.T) {
	b := newBench(t, nil)
	b.turns(1)
	b.newest(t)
	b.finish(t)
	waiting := receive(t, b.ui)
	b.Close()
	waiting()
	b.turns(2)
	if len(b.shown) != 0 {
		t.Errorf("shown %v after Close", shownTurns(b.shown))
	}
	if b.Solving() {
		t.Error("Solving() = true after Close")
	}
}

func TestSynchronousShowsInsideTheCall(t *testing.T) {
	s := New(Options{Synchronous: true})
	refused := errors.New("refused")
	s.worker.compute = func(_ context.Context, j *job) Result {
		return Result{Design: j.design, Err: refused}
	}
	var shown []Result
	s.OnResult(func(r Result) {
		shown = append(shown, r)
		if r.Design.Secondary.Turns == 1 { // a listener may edit again
			s.Edit("more", func(d *design.Design) { d.Secondary.Turns = 2 })
		}
	})
	s.Edit("turns", func(d *design.Design) { d.Secondary.Turns = 1 })
	if got := shownTurns(shown); !slices.Equal(got, []float64{1, 2}) {
		t.Errorf("shown %v, want 1 then 2", got)
	}
	if shown[1].Err != refused {
		t.Errorf("Err = %v, want the solver's", shown[1].Err)
	}
}

func TestElapsedIsByTheGivenClock(t *testing.T) {
	now := time.Unix(0, 0)
	s := New(Options{Synchronous: true, Now: func() time.Time { now = now.Add(time.Second); return now }})
	var got time.Duration
	s.OnResult(func(r Result) { got = r.Elapsed })
	s.Edit("turns", func(d *design.Design) { d.Secondary.Turns = 1 })
	if got != time.Second {
		t.Errorf("Elapsed = %v, want 1s", got)
	}
}
