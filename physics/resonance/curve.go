package resonance

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// TurnsCurve is the frequency of a coil against the turns of its winding.
type TurnsCurve struct {
	Turns       []float64 // as asked for
	WithTopLoad []float64 // Hz, one per entry; nil without a top load
	Bare        []float64 // Hz, one per entry

	// Error is the largest part by which the interpolation missed where it
	// was checked by a solution.
	Error  float64
	Solved int // how many coils were solved
}

const (
	// firstGaps and mostGaps bound the number of intervals between solved
	// points; each refinement halves all of them.
	firstGaps = 4
	mostGaps  = 16

	// curveTolerance is where refinement stops. What is checked is the
	// interpolation before the new points went in; halving all intervals takes
	// about a sixteenth of that off.
	curveTolerance = 1e-3

	// everyTurn is up to where every whole number of turns is solved: there
	// the frequency falls by up to two thirds from one to the next.
	everyTurn = 16
)

// FrequencyAgainstTurns returns the first mode of c, with and without its top
// load, for windings of other numbers of turns and otherwise as they are: the foot
// stays, and the top load keeps its distance from the upper edge of the winding.
//
// The curve is solved at whole numbers of turns, spread evenly over the logarithm
// of the range, and interpolated by a cubic spline of ln f over ln turns. Points
// are put between all of them until those put in last were foretold within a part
// in 1000, so that the curve is good to about a part in 10000. turns must not be
// empty; the coil must be possible at the least and at the most of them.
func (s *Solver) FrequencyAgainstTurns(ctx context.Context, c *Coil, turns []float64) (*TurnsCurve, error) {
	if len(turns) == 0 {
		panic("resonance: no turns to solve for")
	}
	low, high := turns[0], turns[0]
	for _, n := range turns {
		low, high = math.Min(low, n), math.Max(high, n)
	}
	if c := c.withTurns(low); c.Winding.Turns < 1 {
		return nil, c.check()
	}
	nodes := curveNodes{coil: c, solver: s, low: math.Floor(low), high: math.Ceil(high)}
	for gaps := firstGaps; ; gaps *= 2 {
		missed, err := nodes.refine(ctx, gaps)
		if err != nil {
			return nil, err
		}
		nodes.missed = missed
		if gaps > firstGaps && missed <= curveTolerance || gaps >= mostGaps {
			break
		}
	}
	curve := &TurnsCurve{Turns: turns, Bare: make([]float64, len(turns)), Error: nodes.missed, Solved: len(nodes.x)}
	if c.Top != nil {
		curve.WithTopLoad = make([]float64, len(turns))
	}
	for i, n := range turns {
		with, bare := nodes.at(math.Log(n))
		curve.Bare[i] = math.Exp(bare)
		if c.Top != nil {
			curve.WithTopLoad[i] = math.Exp(with)
		}
	}
	return curve, nil
}

// curveNodes are the solved points of a curve, ascending.
type curveNodes struct {
	coil          *Coil
	solver        *Solver
	low, high     float64
	x, with, bare []float64 // ln turns, ln Hz

	splineWith, splineBare interp.NotAKnotCubic
	missed                 float64
}

// refine solves at the ends of so many equal gaps, as far as they are not yet
// solved, and returns by how much, in ln f, the points before foretold the new ones
// wrong at worst.
func (c *curveNodes) refine(ctx context.Context, gaps int) (missed float64, err error) {
	old := *c
	c.x, c.with, c.bare = nil, nil, nil
	for _, turns := range c.places(gaps) {
		x := math.Log(turns)
		c.x = append(c.x, x)
		if k, known := slices.BinarySearch(old.x, x); known {
			c.with, c.bare = append(c.with, old.with[k]), append(c.bare, old.bare[k])
			continue
		}
		coil := c.coil.withTurns(turns)
		m, err := c.solver.Solve(ctx, &coil)
		if err != nil {
			return 0, fmt.Errorf("at %g turns: %w", turns, err)
		}
		with, bare := math.Log(m.Frequency[0]), math.Log(m.Bare)
		if len(old.x) > 0 {
			foretold, foretoldBare := old.at(x)
			missed = max(missed, math.Abs(foretold-with), math.Abs(foretoldBare-bare))
		}
		c.with, c.bare = append(c.with, with), append(c.bare, bare)
	}
	for _, v := range [][]float64{c.x, c.with, c.bare} {
		slices.Reverse(v)
	}
	return missed, c.fit()
}

// places returns the numbers of turns to solve for, from the longest winding
// down: its kernels serve all others.
func (c *curveNodes) places(gaps int) []float64 {
	var turns []float64
	for i := range gaps + 1 {
		turns = append(turns, math.Round(c.low*math.Pow(c.high/c.low, float64(i)/float64(gaps))))
	}
	for n := c.low; n <= min(c.high, everyTurn); n++ {
		turns = append(turns, n)
	}
	slices.Sort(turns)
	turns = slices.Compact(turns)
	slices.Reverse(turns)
	return turns
}

// fewestForSpline is how many points a cubic without knots at the second and the
// last but one needs.
const fewestForSpline = 4

// fit prepares the splines.
func (c *curveNodes) fit() error {
	if len(c.x) < fewestForSpline {
		return nil
	}
	if err := c.splineWith.Fit(c.x, c.with); err != nil {
		return fmt.Errorf("%w: curve against turns: %w", ErrNotSolved, err)
	}
	if err := c.splineBare.Fit(c.x, c.bare); err != nil {
		return fmt.Errorf("%w: curve against turns: %w", ErrNotSolved, err)
	}
	return nil
}

// at interpolates. Between neighbouring whole numbers of turns it does what
// [Solver.Solve] does there.
func (c *curveNodes) at(x float64) (with, bare float64) {
	k, _ := slices.BinarySearch(c.x, x)
	if k > 0 && k < len(c.x) && math.Exp(c.x[k])-math.Exp(c.x[k-1]) < 1+leastFraction {
		share := (x - c.x[k-1]) / (c.x[k] - c.x[k-1])
		return c.with[k-1] + share*(c.with[k]-c.with[k-1]), c.bare[k-1] + share*(c.bare[k]-c.bare[k-1])
	}
	if len(c.x) >= fewestForSpline {
		return c.splineWith.Predict(x), c.splineBare.Predict(x)
	}
	// One to three points: the polynomial through all of them.
	for i, node := range c.x {
		weight := 1.0
		for j, other := range c.x {
			if j != i {
				weight *= (x - other) / (node - other)
			}
		}
		with += weight * c.with[i]
		bare += weight * c.bare[i]
	}
	return with, bare
}
