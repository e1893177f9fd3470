package design

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
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
	possible := l // the coil without a top load that cannot be built
	if len(problems) > 0 {
		d.TopLoad = TopLoad{Kind: NoTopLoad}
		possible.top = topBody{kind: NoTopLoad}
	}
	present, err := s.resonator.modes(ctx, &d, &possible)
	if err != nil {
		return Curves{}, err
	}
	turns, err := s.turnsCurve(ctx, d, &possible, present)
	if err != nil {
		return Curves{}, err
	}
	size, err := s.sizeCurve(ctx, &l, options.Vary)
	if err != nil {
		return Curves{}, err
	}
	count, err := countCurve(&l)
	if err != nil {
		return Curves{}, err
	}
	curves := Curves{Turns: turns, Size: size, Count: count, Profile: profileCurve(&possible, present)}
	if options.Height && len(problems) == 0 {
		if curves.Height, err = s.HeightCurve(ctx, d); err != nil {
			return curves, err
		}
	}
	if options.Field && len(problems) == 0 {
		curves.Field, err = s.Field(ctx, d)
	}
	return curves, err
}

// ofTopLoad reports whether a problem is about the top load alone.
func ofTopLoad(p Problem) bool {
	return p.Key == "top_load" || strings.HasPrefix(p.Key, "top_load.")
}

// turnsCurve sweeps the turns of the secondary of d, whose layout l is and whose
// modes are the present ones.
func (s *Solver) turnsCurve(ctx context.Context, d Design, l *layout, present *resonance.Modes) (TurnsCurve, error) {
	kept, err := s.keptTurns(ctx, d, l)
	if err != nil {
		return TurnsCurve{}, err
	}
	curve := TurnsCurve{
		PresentTurns: d.Secondary.Turns, Present: present.Frequency[0], PresentBare: present.Bare,
		Target: d.TargetFrequency,
	}
	// The mark is solved, not read off: the curve is made to run through it.
	at, on := slices.BinarySearch(kept.Turns, curve.PresentTurns)
	through := func(kept []float64, value float64) []float64 {
		if on {
			kept = slices.Clone(kept)
			kept[at] = value
			return kept
		}
		return slices.Insert(slices.Clone(kept), at, value)
	}
	curve.Turns = through(kept.Turns, curve.PresentTurns)
	curve.Bare = through(kept.Bare, curve.PresentBare)
	if kept.WithTopLoad != nil {
		curve.WithTopLoad = through(kept.WithTopLoad, curve.Present)
	}
	return curve, nil
}

// turnsKey is what a curve against turns depends on: the layout but for its
// turns, and the range.
type turnsKey struct {
	layout layout
	room   Room
	closed bool
	lo, hi float64
}

// sizeKey is what a curve against size depends on.
type sizeKey struct {
	body topBody
	vary SizeVariation
}

// curveCache keeps the last sweeps, which a change of something else leaves as
// they are: the curve against turns while the turns are changed, that against
// size while anything but the top load is, that against height while the height
// is.
type curveCache struct {
	turnsOf turnsKey
	turns   *resonance.TurnsCurve // nil: none yet
	sizeOf  sizeKey
	size    *SizeCurve // nil: none yet

	heightsOf heightKey
	heights   *keptHeights // nil: none yet
}

// keptTurns returns the curve against turns without the present design's mark.
func (s *Solver) keptTurns(ctx context.Context, d Design, l *layout) (*resonance.TurnsCurve, error) {
	hi := math.Min(stepAbove(1.15*d.Secondary.Turns), turnsOfCoil.max)
	lo := math.Max(math.Ceil(leastShare*hi), turnsOfCoil.min)
	key := turnsKey{layout: *l, room: d.Room, closed: d.TopLoad.Closed, lo: lo, hi: hi}
	key.layout.secondary.turns, key.layout.top.centre = 0, d.TopLoad.Height
	if s.curves.turns != nil && s.curves.turnsOf == key {
		return s.curves.turns, nil
	}
	swept := *l
	var turns []float64
	for _, n := range sweepPoints(lo, hi) {
		d.Secondary.Turns = n
		swept.setTurns(&d)
		if len(swept.check(&d)) == 0 { // else too tall for its ceiling, say
			turns = append(turns, n)
		}
	}
	if len(turns) == 0 {
		return &resonance.TurnsCurve{}, nil
	}
	c, err := s.resonator.coil(&d, l)
	if err != nil {
		return nil, err
	}
	curve, err := s.resonator.solver.FrequencyAgainstTurns(ctx, c, turns)
	if err != nil {
		return nil, err
	}
	s.curves.turnsOf, s.curves.turns = key, curve
	return curve, nil
}

// sizeCurve sweeps a dimension of the top load.
func (s *Solver) sizeCurve(ctx context.Context, l *layout, vary SizeVariation) (SizeCurve, error) {
	key := sizeKey{l.top.alone(), vary}
	if s.curves.size != nil && s.curves.sizeOf == key {
		return *s.curves.size, nil
	}
	curve, err := s.sweepSize(ctx, l.top, vary)
	if err != nil {
		return SizeCurve{}, err
	}
	s.curves.sizeOf, s.curves.size = key, &curve
	return curve, nil
}

func (s *Solver) sweepSize(ctx context.Context, present topBody, vary SizeVariation) (SizeCurve, error) {
	curve := SizeCurve{Kind: present.kind, Vary: vary, Turns: present.ring.Turns}
	if present.kind == NoTopLoad {
		return curve, nil
	}
	curve.PresentDiameter = present.outerDiameter()
	var err error
	var ok bool
	if curve.Present, ok, err = s.sizeCapacitance(present); err != nil || !ok {
		return curve, err // no shape at all: nothing to sweep
	}
	varied := present.varied(vary)
	hi := stepAbove(1.3 * varied)
	points := sweepPoints(leastShare*hi, hi)
	if at, on := slices.BinarySearch(points, varied); !on {
		points = slices.Insert(points, at, varied)
	}
	for _, x := range points {
		if err := ctx.Err(); err != nil {
			return SizeCurve{}, err
		}
		body := present.with(vary, x)
		c, ok, err := s.sizeCapacitance(body)
		if err != nil {
			return SizeCurve{}, err
		}
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

// sizeCapacitance returns the capacitance in F of a body of the sweep. A wire
// ring that cannot be built has no solution and is given that of the handbook's
// set-back torus, within 1 % of what it would be; ok is false where there is
// none either.
func (s *Solver) sizeCapacitance(b topBody) (value float64, ok bool, err error) {
	if b.kind == WireRing && b.ring.Check("") != nil {
		value, ok = s.top.capacitance(b)
		return value, ok, nil
	}
	value, err = s.resonator.capacitance(b)
	if errors.Is(err, electrostatics.ErrGeometry) || errors.Is(err, topload.ErrShape) {
		return 0, false, nil // a torus smaller than its tube, say
	}
	return value, err == nil, err
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

// sweepPoints returns the points of a sweep from lo to hi.
func sweepPoints(lo, hi float64) []float64 {
	points := make([]float64, sweepSteps+1)
	for i := range points {
		points[i] = lo + float64(i)*(hi-lo)/sweepSteps
	}
	points[sweepSteps] = hi
	return points
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
