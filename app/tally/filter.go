package tally

import "time"

// Filter keeps out the second of two presses that come too soon after each
// other: a contact that bounces, a foot that trembles. The zero Filter lets
// everything through.
type Filter struct {
	Least time.Duration // between two presses that both count

	last time.Time // of the last press let through
}

// Accept reports whether a press counts. Time that goes back, as when a clock is
// set, lets it through.
func (f *Filter) Accept(at time.Time) bool {
	if passed := at.Sub(f.last); !f.last.IsZero() && passed >= 0 && passed < f.Least {
		return false
	}
	f.last = at
	return true
}

// Input is how turns come in.
type Input int

// Inputs.
const (
	Hand   Input = iota // space bar, mouse, any key
	Pedal               // a foot switch that sends a key
	Magnet              // a switch on the spindle, closed once a turn
	Inputs              // how many there are
)

// DefaultLeast returns the usual least time between two presses. A hand presses
// at most eight times a second and a foot five; a magnet counter closes up to
// twenty times a second, and a reed contact bounces for a few milliseconds at
// most (common practice, no source).
func DefaultLeast(i Input) time.Duration {
	switch i {
	case Pedal:
		return 200 * time.Millisecond
	case Magnet:
		return 20 * time.Millisecond
	}
	return 120 * time.Millisecond
}
