package design

import (
	"context"
	"math"
	"slices"

	"coilwright/physics/resonance"
)

// HeightCurve is the frequency of the coil while the height of its top load over
// the winding is varied and all else stays, and what of the top load counts.
//
// Near the winding both hold less charge than alone: each is in the shade of
// the other. Shading says how much of the capacitance that the top load has
// alone in free space it adds to the coil,
//
//	(Ct - C0)/C,
//
// with Ct = 2 We/Vt² the capacitance of the whole coil as its top sees it, C0
// the same without the top load and C that of the top load alone. It rises with
// the height but stays under 1 even far up, where the charge on the top load is
// that of its free-space capacitance: with a load the voltage along the winding
// rises more evenly, so that the winding itself holds less than it did without.
// The bare 310-turn coil with a 44 mm ring ends at 0.93, with a 4 mm ball, which
// hardly shades anything, at 0.85; a uniform line with a vanishing load would
// at 1/2.
type HeightCurve struct {
	Kind           string    // of top load; NoTopLoad: the slices are nil
	Height         []float64 // m, from the winding's upper edge to the centre plane, ascending
	Frequency      []float64 // Hz, first mode
	Shading        []float64 // added over isolated capacitance
	PresentHeight  float64   // m
	Present        float64   // Hz
	PresentShading float64
}

// ComputeHeightCurve is [Solver.HeightCurve] for a single design.
func ComputeHeightCurve(ctx context.Context, d Design) (HeightCurve, error) {
	return NewSolver().HeightCurve(ctx, d)
}

// HeightCurve returns frequency and shading against the height of the top load.
// Its range goes in steps, as those of [Solver.Curves] do; heights at which the
// coil cannot be built are left out. A design that cannot be built has no
// curve: the error is then [Problems].
func (s *Solver) HeightCurve(ctx context.Context, d Design) (HeightCurve, error) {
	if err := ctx.Err(); err != nil {
		return HeightCurve{}, err
	}
	if problems := Check(d); len(problems) > 0 {
		return HeightCurve{}, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return HeightCurve{}, problems
	}
	if l.top.kind == NoTopLoad {
		return HeightCurve{Kind: NoTopLoad}, nil
	}
	kept, err := s.keptHeights(ctx, d, l)
	if err != nil {
		return HeightCurve{}, err
	}
	present, err := s.resonator.modes(ctx, &d, &l)
	if err != nil {
		return HeightCurve{}, err
	}
	curve := HeightCurve{
		Kind: l.top.kind, PresentHeight: d.TopLoad.Height,
		Present: present.Frequency[0], PresentShading: kept.shading(present),
	}
	// The curve runs through the mark.
	at, on := slices.BinarySearch(kept.height, curve.PresentHeight)
	through := func(column []float64, value float64) []float64 {
		column = slices.Clone(column)
		if on {
			column[at] = value
			return column
		}
		return slices.Insert(column, at, value)
	}
	curve.Height = through(kept.height, curve.PresentHeight)
	curve.Frequency = through(kept.frequency, curve.Present)
	curve.Shading = through(kept.share, curve.PresentShading)
	return curve, nil
}

// heightKey is what a curve against height depends on: the layout but for the
// height, and the range.
type heightKey struct {
	layout layout
	room   Room
	closed bool
	lo, hi float64
}

// keptHeights is a sweep without the mark of the present design.
type keptHeights struct {
	height, frequency, share []float64

	bare     float64 // F, top capacitance of the coil without top load
	isolated float64 // F, of the top load alone
}

// shading returns the part of the isolated capacitance that a top load adds.
func (k *keptHeights) shading(with *resonance.Modes) float64 {
	return (with.TopCapacitance - k.bare) / k.isolated
}

// heightSteps is the number of stretches of a sweep: each costs a solution, and
// the curves are smooth.
const heightSteps = 24

// keptHeights returns the sweep of the design, whose layout l is.
func (s *Solver) keptHeights(ctx context.Context, d Design, l layout) (*keptHeights, error) {
	lo, hi := heightRange(d.TopLoad.Height, l.top.outerDiameter())
	key := heightKey{layout: l, room: d.Room, closed: d.TopLoad.Closed, lo: lo, hi: hi}
	key.layout.top.centre = 0
	if s.curves.heights != nil && s.curves.heightsOf == key {
		return s.curves.heights, nil
	}
	kept := &keptHeights{}
	var err error
	if kept.isolated, err = s.resonator.capacitance(l.top); err != nil {
		return nil, err
	}
	bare, err := s.bareModes(ctx, d, l)
	if err != nil {
		return nil, err
	}
	kept.bare = bare.TopCapacitance
	coil, err := s.resonator.coil(&d, &l)
	if err != nil {
		return nil, err
	}
	for i := range heightSteps + 1 {
		d.TopLoad.Height = lo + float64(i)*(hi-lo)/heightSteps
		l.setTurns(&d)
		if len(l.check(&d)) > 0 {
			continue
		}
		coil.TopHeight = l.top.centre
		with, err := s.resonator.solver.Solve(ctx, coil)
		if err != nil {
			return nil, err
		}
		kept.height = append(kept.height, d.TopLoad.Height)
		kept.frequency = append(kept.frequency, with.Frequency[0])
		kept.share = append(kept.share, kept.shading(with))
	}
	s.curves.heightsOf, s.curves.heights = key, kept
	return kept, nil
}

// bareModes solves the coil without its top load.
func (s *Solver) bareModes(ctx context.Context, d Design, l layout) (*resonance.Modes, error) {
	d.TopLoad = TopLoad{Kind: NoTopLoad}
	l.top = topBody{kind: NoTopLoad}
	coil, err := s.resonator.coil(&d, &l)
	if err != nil {
		return nil, err
	}
	return s.resonator.solver.Solve(ctx, coil)
}

// heightRange returns where a sweep of the height runs in m: up from the edge of
// the winding to about the width of the top load and beyond the present height,
// and down as far for a body that hangs below the edge.
func heightRange(present, outer float64) (lo, hi float64) {
	const beyond = 1.3 // times the present height
	hi = stepAbove(math.Max(beyond*present, outer))
	if present < 0 {
		lo = -stepAbove(-beyond * present)
	}
	return lo, hi
}
