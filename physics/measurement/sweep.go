package measurement

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"coilwright/physics/sentence"
)

// Limits of a sweep that says something. Common practice, no source, but for
// fewestPerBandwidth: with two points the fit still holds its intervals
// (TestCircleTrials).
const (
	fewestPerBandwidth = 2.   // points in a bandwidth that tell a quality factor
	advisedPoints      = 201  // of a sweep
	advisedBandwidths  = 10.  // that a sweep should cover
	leastSignificance  = 60.  // fall of the sum of squares over the noise's variance
	smallestNoise      = 1e-4 // of full scale, taken for noise where a file shows less
	fittedBandwidths   = 10.  // to either side of a resonance
	firstBandwidths    = 3.   // to either side, as long as others have not been looked for
	besides            = 1.5  // bandwidths from a resonance, where another may be told from it
	smallestQuality    = 4.
)

// candidate is a place in a sweep where a resonance fits.
type candidate struct {
	center  float64 // Hz
	quality float64 // loaded
	rise    float64 // fall of the sum of squares that it brings
	score   float64 // rise over what is left
	size    float64 // of a fitted one: diameter of the circle, or height
}

// bandwidth returns the distance of the half-power points in Hz.
func (c candidate) bandwidth() float64 { return c.center / c.quality }

// trial returns what a resonance at a place brings over the points [from, to)
// of a sweep: the fall of the sum of squares, and what is left of it.
type trial func(from, to int, center, quality float64) (rise, rest float64)

// search tries resonances of all widths at all places of a sweep and returns
// the distinct ones whose rise is at least significant, the best first.
func search(frequency []float64, significant float64, try trial) []candidate {
	const (
		qualityStep = 1.5
		placeStep   = 0.4 // bandwidths
		halfWindow  = 3.  // bandwidths
		fewest      = 9   // points of a window
		sharpest    = 2e5 // quality factor
		apart       = 2.  // bandwidths between two that are not the same
	)
	n := len(frequency)
	step := medianStep(frequency)
	var all []candidate
	for quality := smallestQuality; quality < sharpest && frequency[n-1]/quality >= step/2; quality *= qualityStep {
		half := 1 / (2 * quality) // of a bandwidth, relative
		for center := frequency[0] * (1 + half); center <= frequency[n-1]*(1-half); {
			width := center / quality
			from := sort.SearchFloat64s(frequency, center-halfWindow*width)
			to := sort.SearchFloat64s(frequency, center+halfWindow*width)
			from, to = widened(from, to, fewest, n)
			if rise, rest := try(from, to, center, quality); rise >= significant {
				all = append(all, candidate{center: center, quality: quality, rise: rise, score: rise / rest})
			}
			center += max(placeStep*width, stepNear(frequency, center)/4)
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(b.score, a.score) })
	var distinct []candidate
	for _, c := range all {
		if len(distinct) > mostCompanions {
			break
		}
		if !slices.ContainsFunc(distinct, func(d candidate) bool {
			return math.Abs(c.center-d.center) < apart*max(c.bandwidth(), d.bandwidth())
		}) {
			distinct = append(distinct, c)
		}
	}
	return distinct
}

// strongest returns the resonance that stands out most from the noise of a sweep, or
// the problem to tell: that none does, or that it lies between the points.
func strongest(frequency []float64, noise float64, try trial) (best candidate, problem sentence.Text) {
	found := search(frequency, leastSignificance*noise*noise, try)
	if len(found) == 0 {
		return candidate{}, nothingFound(frequency)
	}
	best = found[0]
	if step := stepNear(frequency, best.center); best.bandwidth() < fewestPerBandwidth*step {
		return candidate{}, tooCoarse(frequency, best.center, unresolved*step)
	}
	return best, sentence.Text{}
}

// largest returns the candidate of the largest size.
func largest(candidates []candidate) candidate {
	return slices.MaxFunc(candidates, func(a, b candidate) int { return cmp.Compare(a.size, b.size) })
}

// medianStep returns the median distance of neighbouring frequencies.
func medianStep(frequency []float64) float64 {
	steps := make([]float64, len(frequency)-1)
	for i := range steps {
		steps[i] = frequency[i+1] - frequency[i]
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

// stepNear returns the distance of the points around a frequency.
func stepNear(frequency []float64, f float64) float64 {
	i := min(max(sort.SearchFloat64s(frequency, f), 1), len(frequency)-1)
	return frequency[i] - frequency[i-1]
}

// carries says what quality factor a sweep can show near a frequency.
func carries(frequency []float64, near float64) float64 {
	return near / (fewestPerBandwidth * stepNear(frequency, near))
}

// unresolved is the bandwidth, in steps, that a resonance between the points
// is taken to have: the new sweep then covers three steps.
const unresolved = 0.3

// nothingFound says that a sweep shows no resonance and what it could have
// shown.
func nothingFound(frequency []float64) sentence.Text {
	n := len(frequency)
	middle := (frequency[0] + frequency[n-1]) / 2
	return sentence.New("No resonance stands out between %s and %s. Steps of %s cannot show a quality factor above %.0f near %s: take a smaller range or more points, or couple closer.",
		hertz(frequency[0]), hertz(frequency[n-1]), hertz(stepNear(frequency, middle)), carries(frequency, middle), hertz(middle))
}

// tooCoarse says that a resonance lies between the points of a sweep.
func tooCoarse(frequency []float64, center, bandwidth float64) sentence.Text {
	return sentence.New("Something rings near %s, but steps of %s cannot show a quality factor above %.0f there: %s.",
		hertz(center), hertz(stepNear(frequency, center)), carries(frequency, center), advice(center, bandwidth))
}

// advice returns what to sweep to see a resonance of some bandwidth: "sweep
// again from x to y with n points".
func advice(center, bandwidth float64) sentence.Text {
	from, to := center-advisedBandwidths/2*bandwidth, center+advisedBandwidths/2*bandwidth
	from = max(from, center/10)
	unit := math.Pow(10, math.Floor(math.Log10(bandwidth/2)))
	from, to = math.Floor(from/unit)*unit, math.Ceil(to/unit)*unit
	if from <= 0 {
		from = center / 10
	}
	return sentence.New("sweep again from %s to %s with %d points", hertz(from), hertz(to), advisedPoints)
}

// window returns the points of a candidate: some bandwidths to either side,
// but no farther than half way to another one.
func window(frequency []float64, c candidate, others []candidate, bandwidths float64) (from, to int) {
	low, high := c.center-bandwidths*c.bandwidth(), c.center+bandwidths*c.bandwidth()
	for _, o := range others {
		switch middle := (c.center*o.bandwidth() + o.center*c.bandwidth()) / (c.bandwidth() + o.bandwidth()); {
		case o.center < c.center:
			low = max(low, middle)
		case o.center > c.center:
			high = min(high, middle)
		}
	}
	return sort.SearchFloat64s(frequency, low), sort.SearchFloat64s(frequency, math.Nextafter(high, math.Inf(1)))
}

// widened returns points [from, to) widened to at least fewest of n.
func widened(from, to, fewest, n int) (int, int) {
	if to-from >= fewest {
		return from, to
	}
	from = min(max((from+to-fewest)/2, 0), n-fewest)
	return from, from + fewest
}

// limits returns the points of a range that the user chose.
func (r Range) limits(frequency []float64) (from, to int) {
	if r.isAll() {
		return 0, len(frequency)
	}
	from = sort.SearchFloat64s(frequency, r.From)
	to = sort.SearchFloat64s(frequency, math.Nextafter(r.To, math.Inf(1)))
	return from, max(from, to)
}
