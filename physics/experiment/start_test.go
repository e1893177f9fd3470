package experiment

import (
	"math"
	"testing"

	"coilwright/physics/driver"
)

// TestStart holds what is said of the start of an exciter against its envelope.
func TestStart(t *testing.T) {
	o := run[*StartOutcome](t, bench(t, nil), StartUp, nil)
	crests, swings := o.Running.Envelope, int(o.Answer())
	if high := 0.9 * o.Running.TopCrest; crests[swings-1].Top < high || crests[swings-2].Top >= high {
		t.Errorf("swing %d is said to be the first of %g V, and is of %g V after %g V", swings, high, crests[swings-1].Top, crests[swings-2].Top)
	}
	n := len(crests)
	near(t, "time of all swings", o.TimeAfter(float64(n)), crests[n-1].Time, same, "the last of them")
	near(t, "full output from", o.FullFrom(), 5*9, same, "five times the nine volts")
	near(t, "growth e times", math.Exp(o.Start.Growth*o.GrowthTime()), math.E, same, "its name")
}

func TestReversedSenseNeverStarts(t *testing.T) {
	b := bench(t, nil)
	o := run[*StartOutcome](t, b, StartUp, Settings{"sense": -1})
	if o.Running.State != driver.StateNone || !math.IsNaN(o.Answer()) || o.Start.Grows() {
		t.Errorf("reversed: state %q, growth %g, answer %g; want none, below 0, none", o.Running.State, o.Start.Growth, o.Answer())
	}
}
