package app

import (
	"sync/atomic"
	"time"

	"fyne.io/fyne/v2"
)

// Measured is what a scripted drag of one slider took.
type Measured struct {
	Key      string
	Steps    int
	Pictures int           // sets of pictures that reached the screen
	Elapsed  time.Duration // from the first step to the last picture
	UI       time.Duration // of the UI goroutine in our own code, painting aside
	Slowest  time.Duration // the longest that one step or one picture held it
	Widest   time.Duration // the longest wait for the next set of pictures
}

// meter counts what the UI goroutine does. It is always on: two readings of a
// clock a picture cost nothing that can be seen.
type meter struct {
	pictures atomic.Int64
	ui       atomic.Int64 // ns
	slowest  atomic.Int64 // ns
	last     atomic.Int64 // ns since 1970, of the last set of pictures
	widest   atomic.Int64 // ns
}

// time runs f, on the UI goroutine, and notes how long it took.
func (m *meter) time(f func()) {
	start := time.Now()
	f()
	took := int64(time.Since(start))
	m.ui.Add(took)
	m.slowest.Store(max(m.slowest.Load(), took))
}

// shown notes that a set of pictures reached the screen.
func (m *meter) shown() {
	now := time.Now().UnixNano()
	m.pictures.Add(1)
	if last := m.last.Swap(now); last > 0 {
		m.widest.Store(max(m.widest.Load(), now-last))
	}
}

// dispatch is how the session reaches the UI goroutine.
func (w *Window) dispatch(f func()) {
	fyne.DoAndWait(func() { w.meter.time(f) })
}

// Sliders returns the keys of the sliders in sight.
func (w *Window) Sliders() []string {
	return w.cards.Keys()
}

// Drag drags the slider of a key to and fro over the middle of its track, a
// step every pause, and waits for the last picture. It is called beside the UI
// goroutine while the window runs, to measure what a hand would see.
func (w *Window) Drag(key string, steps int, pause time.Duration) Measured {
	const sweeps = 2 // there and back
	w.meter.ui.Store(0)
	w.meter.slowest.Store(0)
	w.meter.widest.Store(0)
	before := w.meter.pictures.Load()
	w.meter.last.Store(0)
	start := time.Now()
	for i := range steps {
		share := float64(i%(steps/sweeps)) / float64(steps/sweeps)
		if i/(steps/sweeps)%2 == 1 {
			share = 1 - share
		}
		next := start.Add(time.Duration(i) * pause)
		time.Sleep(time.Until(next))
		fyne.DoAndWait(func() {
			w.meter.time(func() { w.cards.Quantity(key).Pull(dragFrom + share*(dragTo-dragFrom)) })
		})
	}
	fyne.DoAndWait(func() { w.meter.time(w.cards.Quantity(key).LetGo) })
	for solving := true; solving; {
		time.Sleep(time.Millisecond)
		fyne.DoAndWait(func() { solving = w.session.Solving() })
	}
	return Measured{
		Key:      key,
		Steps:    steps,
		Pictures: int(w.meter.pictures.Load() - before),
		Elapsed:  time.Since(start),
		UI:       time.Duration(w.meter.ui.Load()),
		Slowest:  time.Duration(w.meter.slowest.Load()),
		Widest:   time.Duration(w.meter.widest.Load()),
	}
}

// Between these shares of its track a slider is dragged.
const (
	dragFrom = 0.35
	dragTo   = 0.65
)

// Drawn says whether the window has shown a complete set of pictures.
func (w *Window) Drawn() bool {
	return w.meter.pictures.Load() > 0
}
