package app

import (
	"time"

	"fyne.io/fyne/v2"
)

// pulse measures how long the passes of the window's loop take, in which it
// learns of presses. A nil pulse measures nothing.
type pulse struct {
	done  chan struct{}
	last  time.Time                 // of the UI goroutine alone, as all below
	beats [pulseBeats]time.Duration // the latest intervals, in a circle
	at    int
}

const (
	pulseEvery = 5 * time.Millisecond
	pulseBeats = 128 // more than half a second of them
)

// newPulse begins to measure.
func newPulse() *pulse {
	p := &pulse{done: make(chan struct{}), last: time.Now()}
	go func() {
		tick := time.NewTicker(pulseEvery)
		defer tick.Stop()
		for {
			select {
			case <-p.done:
				return
			case <-tick.C:
				fyne.DoAndWait(p.beat)
			}
		}
	}()
	return p
}

// beat notes how long ago the loop was last here.
func (p *pulse) beat() {
	now := time.Now()
	p.beats[p.at] = now.Sub(p.last)
	p.at = (p.at + 1) % pulseBeats
	p.last = now
}

// longest returns the longest pass of late, the one under way included.
func (p *pulse) longest() time.Duration {
	if p == nil {
		return 0
	}
	longest := time.Since(p.last)
	for _, b := range p.beats {
		longest = max(longest, b)
	}
	return longest
}

// stop ends the measuring.
func (p *pulse) stop() {
	if p != nil {
		close(p.done)
	}
}
