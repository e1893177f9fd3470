package design

import (
	"context"
	"math"
	"slices"
	"strings"
)

const (
	// sweepSteps is the number of stretches of a sweep. Figures draw the
	// points as a smooth curve, so that few are enough.
	sweepSteps = 48

	// leastShare is where a sweep begins, as a share of where it ends.
	leastShare = 0.25
)

// ComputeCurves is [Solver.Curves] for a single design.
func ComputeCurves(ctx context.Context, d Design, options CurveOptions) (Curves, error) {
	return NewSolver().Curves(ctx, d, options)
}

// Curves returns the sweeps behind the figures of d. Their ranges go in steps,
// so that the axes of a figure stand still while a slider moves, and jump only
// now and then.
//
// A top load that cannot be built does not stop them: the turns are swept
// without it, and its size says where it could be built. Any other problem
// that [Check] finds in the winding or the primary is the error, as
// [Problems].
func (s *Solver) Curves(ctx context.Context, d Design, options CurveOptions) (Curves, error) {
	problems := Problems(Check(d))
	if slices.ContainsFunc(problems, func(p Problem) bool { return !ofTopLoad(p) }) {
		return Curves{}, problems
	}
	l, missing := layOut(&d)
	if len(missing) > 0 {
		return Curves{}, missing
	}
	turns, err := s.turnsCurve(ctx, d, len(problems) > 0)
	if err != nil {
		return Curves{}, err
	}
	size, err := s.sizeCurve(ctx, &l, options.Vary)
	if err != nil {
		return Curves{}, err
	}
	count, err := countCurve(&l)
	return Curves{Turns: turns, Size: size, Count: count}, err
}

// ofTopLoad reports whether a problem is about the top load alone.
func ofTopLoad(p Problem) bool {
	return p.Key == "top_load" || strings.HasPrefix(p.Key, "top_load.")
}

// turnsCurve sweeps the turns of the secondary. bare leaves the top load out.
func (s *Solver) turnsCurve(ctx context.Context, d Design, bare bool) (TurnsCurve, error) {
	curve := TurnsCurve{PresentTurns: d.Secondary.Turns, Target: d.TargetFrequency}
	if bare {
		d.TopLoad = TopLoad{Kind: NoTopLoad}
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return TurnsCurve{}, problems
	}
	at := func(turns float64) (loaded, unloaded float64, buildable bool, err error) {
		if err := ctx.Err(); err != nil {
			return 0, 0, false, err
		}
		d.Secondary.Turns = turns
		l.setTurns(&d)
		if len(l.check(&d)) > 0 {
			return 0, 0, false, nil
		}
		loaded, unloaded, err = s.frequencies(ctx, &l)
		return loaded, unloaded, true, err
	}
	var err error
	curve.Present, curve.PresentBare, _, err = at(curve.PresentTurns)
	if err != nil {
		return TurnsCurve{}, err
	}
	if math.IsNaN(curve.Present) { // no frequency is known with this top load
		d.TopLoad = TopLoad{Kind: NoTopLoad}
		l.top = topBody{kind: NoTopLoad}
		curve.Present = curve.PresentBare
	}
	hi := math.Min(stepAbove(1.15*curve.PresentTurns), turnsOfCoil.max)
	lo := math.Max(leastShare*hi, turnsOfCoil.min)
	for _, turns := range sweepPoints(lo, hi, curve.PresentTurns) {
		loaded, unloaded, buildable, err := at(turns)
		if err != nil {
			return TurnsCurve{}, err
		}
		if !buildable { // too tall for its ceiling, say
			continue
		}
		curve.Turns = append(curve.Turns, turns)
		curve.Bare = append(curve.Bare, unloaded)
		if d.TopLoad.Kind != NoTopLoad {
			curve.WithTopLoad = append(curve.WithTopLoad, loaded)
		}
	}
	return curve, nil
}

// sizeCurve sweeps a dimension of the top load.
func (s *Solver) sizeCurve(ctx context.Context, l *layout, vary SizeVariation) (SizeCurve, error) {
	present := l.top
	curve := SizeCurve{Kind: present.kind, Vary: vary, Turns: present.ring.Turns}
	if present.kind == NoTopLoad {
		return curve, nil
	}
	curve.PresentDiameter = present.outerDiameter()
	var ok bool
	if curve.Present, ok = s.top.capacitance(present); !ok {
		return curve, nil // no shape at all: nothing to sweep
	}
	varied := present.varied(vary)
	hi := stepAbove(1.3 * varied)
	for _, x := range sweepPoints(leastShare*hi, hi, varied) {
		if err := ctx.Err(); err != nil {
			return SizeCurve{}, err
		}
		body := present.with(vary, x)
		c, ok := s.top.capacitance(body)
		if !ok {
			continue
		}
		curve.OuterDiameter = append(curve.OuterDiameter, body.outerDiameter())
		curve.Capacitance = append(curve.Capacitance, c)
		if present.kind == WireRing {
			smooth, err := body.ring.SmoothTorus().Capacitance()
			if err != nil {
				return SizeCurve{}, err
			}
			curve.Smooth = append(curve.Smooth, smooth)
		}
	}
	if present.kind == WireRing {
		smooth, err := present.ring.SmoothTorus().Capacitance()
		if err != nil {
			return SizeCurve{}, err
		}
		curve.PresentSmooth = smooth
		curve.bound(present)
	}
	return curve, nil
}

// bound sets where the wire ring can be built.
func (c *SizeCurve) bound(b topBody) {
	if len(c.OuterDiameter) == 0 {
		return
	}
	first, last := c.OuterDiameter[0], c.OuterDiameter[len(c.OuterDiameter)-1]
	least := b.leastDiameter(c.Vary)
	if least > first {
		c.BuildableFrom = math.Min(least, last)
	}
}

// sweepPoints returns the points of a sweep from lo to hi with the present
// value among them.
func sweepPoints(lo, hi, present float64) []float64 {
	points := make([]float64, 0, sweepSteps+2)
	step := (hi - lo) / sweepSteps
	for i := range sweepSteps + 1 {
		points = append(points, lo+float64(i)*step)
	}
	points[sweepSteps] = hi
	if present <= lo || present >= hi {
		return points
	}
	at, _ := slices.BinarySearch(points, present)
	// A point that all but coincides is moved; the curve then runs through
	// the mark of the present design.
	for _, i := range []int{at - 1, at} {
		if i > 0 && i < sweepSteps && math.Abs(points[i]-present) < step/10 {
			points[i] = present
			return points
		}
	}
	return slices.Insert(points, at, present)
}

// stepAbove returns the least step of a 1-2-5 scale, refined by 1.5, 3, 4 and
// 7, that is at least x, which is positive.
func stepAbove(x float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 1.5, 2, 3, 4, 5, 7} {
		if step := m * decade; step >= x*(1-slack) {
			return step
		}
	}
	return 10 * decade
}
