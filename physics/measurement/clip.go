package measurement

import "math"

// clipping is a stretch in which a trace hits the edge of what its instrument
// shows.
type clipping struct {
	last  int     // sample, the last one at the edge
	level float64 // in the unit of the samples
}

// findClipping looks for peaks cut flat: the largest or smallest value of the
// trace, held for longer than the rounded top of an oscillation is, in several
// cycles. perCycle is the samples in a cycle.
func findClipping(samples []float32, perCycle float64) *clipping {
	low, high := samples[0], samples[0]
	for _, v := range samples {
		low, high = min(low, v), max(high, v)
	}
	var found *clipping
	for _, edge := range []float32{low, high} {
		last, cut := cutFlat(samples, edge, float64(high-low), perCycle)
		if cut && (found == nil || last > found.last) {
			found = &clipping{last, float64(edge)}
		}
	}
	return found
}

// cutFlat says whether the samples that reach edge are flat tops, and where the
// last one is. A sine of crest A rounded to steps of q is within one step of
// its top for a share acos(1 − q/A)/π of its cycle.
func cutFlat(samples []float32, edge float32, span, perCycle float64) (last int, cut bool) {
	const (
		fewestCycles = 3   // at the edge
		beyondSine   = 1.5 // × the share of a rounded sine
		restOfCycle  = 0.5 // of a cycle, between tops of two cycles
	)
	first, count, tops := -1, 0, 0
	step := math.Inf(1) // of the converter
	for i, v := range samples {
		if i > 0 {
			if d := math.Abs(float64(v - samples[i-1])); d > 0 {
				step = min(step, d)
			}
		}
		if v != edge {
			continue
		}
		if first < 0 {
			first = i
		}
		if tops == 0 || float64(i-last) > restOfCycle*perCycle {
			tops++
		}
		count++
		last = i
	}
	if tops < fewestCycles || span <= 0 {
		return last, false
	}
	share := float64(count) / (float64(last-first) + restOfCycle*perCycle)
	sine := math.Acos(max(1-2*step/span, -1)) / math.Pi
	return last, float64(count) >= 2*float64(tops) && share > beyondSine*sine
}
