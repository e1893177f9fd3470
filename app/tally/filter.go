package tally

import "time"

// Filter keeps out the second of two presses that come too soon after each
// other: a contact that bounces, a foot that trembles. The zero Filter lets
// everything through.
//
// A window learns of a press late, by up to one pass of its loop, and of two
// presses within a slow pass at the same moment. So that no turn is lost on a
// slow machine, a press is kept out only if it comes sooner than
//
//	Least − (pass − usualPass),
//
// pass being the longest pass of late. Presses that are at least Least +
// usualPass apart are then let through whatever the machine does.
type Filter struct {
	Least time.Duration // between two presses that both count

	last time.Time     // when the last press let through was learned of
	pass time.Duration // the longest pass then
}

// usualPass is how late a press is learned of on a machine that keeps up with a
// screen of 60 pictures a second.
const usualPass = 25 * time.Millisecond

// Accept reports whether a press counts that is learned of at a time; pass is
// the longest pass of the window's loop of late. Time that goes back, as when a
// clock is set, lets it through.
func (f *Filter) Accept(at time.Time, pass time.Duration) bool {
	least := f.Least - max(0, max(pass, f.pass)-usualPass)
	if passed := at.Sub(f.last); !f.last.IsZero() && passed >= 0 && passed < least {
		return false
	}
	f.last, f.pass = at, pass
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
// most (common practice, no source). With the pass of a window added, all of
// these are let through.
func DefaultLeast(i Input) time.Duration {
	switch i {
	case Pedal:
		return 150 * time.Millisecond
	case Magnet:
		return 20 * time.Millisecond
	}
	return 100 * time.Millisecond
}
