package design

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// TargetQuantity says what a search is to meet.
type TargetQuantity int

const (
	TargetFrequency   TargetQuantity = iota // of the first mode, Hz
	TargetCapacitance                       // of the top load alone, F
)

// Target is what a design shall reach.
type Target struct {
	Quantity TargetQuantity
	Value    float64 // SI, > 0
}

// unit is that of the target's value.
func (t Target) unit() si.Unit {
	if t.Quantity == TargetCapacitance {
		return si.Farad
	}
	return si.Hertz
}

// Found is a design changed in one number to meet a target.
type Found struct {
	Design     Design
	Key        string
	Value      float64 // SI, of the key
	Reached    float64 // SI, of the target's quantity
	Difference float64 // of Reached from the target, relative
	Whole      bool    // the key takes whole numbers only, so that the nearest one is as near as it comes
}

// Errors of a search.
var (
	ErrNoTarget    = errors.New("design: no target")    // one that is no positive number, or nothing to have it
	ErrUnreachable = errors.New("design: out of reach") // see [UnreachableError]
)

// UnreachableError says that no buildable value of the key meets the target.
// It wraps [ErrUnreachable]; its text is a sentence for the user.
type UnreachableError struct {
	Nearest   Found   // what comes nearest
	Low, High float64 // SI, least and largest that the key can give
	text      string
}

// Fixed reports whether the key changes nothing of what was to be reached.
func (e *UnreachableError) Fixed() bool { return e.High-e.Low <= findTolerance*e.High }

func (e *UnreachableError) Error() string { return e.text }
func (e *UnreachableError) Unwrap() error { return ErrUnreachable }

const (
	// findTolerance is how near to a target a search goes, relative. A tenth
	// of what the program promises.
	findTolerance = 1e-5

	// findStep is the ratio of two neighbouring values tried while a search
	// walks away from the present one. A frequency that turned round within
	// one would be missed.
	findStep = 1.25

	// findLeast is the first step from a value of 0, in the key's unit.
	findLeast = 1e-3

	// findEdge is how near to the last value that can be built a search
	// goes, relative.
	findEdge = 1e-6

	// tallest is the tallest winding in m that a search takes for one that
	// can be built.
	tallest = 10.0

	// mostSteps and mostHalvings bound a walk and a narrowing; 45 steps go
	// from 25 mm to 1 µm.
	mostSteps    = 80
	mostHalvings = 60
)

// Find is [Solver.Find] for a single design.
func Find(ctx context.Context, d Design, target Target, key string) (Found, error) {
	return NewSolver().Find(ctx, d, target, key)
}

// Find returns d with the number at a key, which [KeyOf] knows, changed so that
// the target is met: to a part in 10 000 where the key takes any number, as near
// as a whole number comes where it does not. Of several solutions it is the one
// nearest to the present value. The found design carries a frequency that was
// asked for as its target.
//
// The error wraps [ErrNoNumber], [ErrNoTarget], is [Problems] if d cannot be
// built whatever the key, or is an [UnreachableError].
func (s *Solver) Find(ctx context.Context, d Design, target Target, key string) (Found, error) {
	if !(target.Value > 0) || math.IsInf(target.Value, 0) {
		return Found{}, fmt.Errorf("%w: the target must be above 0, not %g", ErrNoTarget, target.Value)
	}
	key, err := KeyOf(d, key)
	if err != nil {
		return Found{}, err
	}
	if target.Quantity == TargetCapacitance && d.TopLoad.Kind == NoTopLoad {
		return Found{}, fmt.Errorf("%w: without a top load there is no capacitance to reach", ErrNoTarget)
	}
	v := search{ctx: ctx, solver: s, design: d, target: target, key: key}
	if err := v.prepare(); err != nil {
		return Found{}, err
	}
	return v.run()
}

// search is a search on its way.
type search struct {
	ctx    context.Context
	solver *Solver
	design Design
	target Target
	key    string

	least, most float64 // of the key
	whole       bool
	start       trial
	nearest     trial
	lowest      trial // least and largest of what was reached
	highest     trial
}

// trial is a value of the key and what it gives.
type trial struct {
	x       float64
	reached float64 // SI
	miss    float64 // ln of reached over target
	ok      bool    // it can be built
	why     Problem // what keeps it from being built
}

// prepare finds out about the key and a value to start from.
func (v *search) prepare() error {
	var err error
	if v.least, v.most, err = Range(v.design, v.key); err != nil {
		return err
	}
	_, v.whole = find(&v.design, v.key).(whole)
	x, err := Number(v.design, v.key)
	if err != nil {
		return err
	}
	if x == 0 { // perhaps a pitch by the wire, which has to be stated to be changed
		if l, problems := layOut(&v.design); len(problems) == 0 {
			switch v.key {
			case keyPitch:
				x = l.secondary.pitch
			case "primary.pitch_m":
				x = l.primary.pitch
			case keyOverall:
				x = l.secondary.wire.overall
			}
		}
	}
	problems := Problems(Check(v.design))
	for _, p := range problems {
		if p.Key == v.key && p.Nearest != nil {
			x = *p.Nearest
		}
	}
	if v.start, err = v.try(x); err != nil {
		return err
	}
	switch {
	case v.start.ok:
		return nil
	case len(problems) > 0:
		return problems
	}
	return Problems{v.start.why}
}

// try finds out what a value gives.
func (v *search) try(x float64) (trial, error) {
	t := trial{x: x}
	d := v.design
	if err := Set(&d, v.key, x); err != nil {
		var problems Problems
		if errors.As(err, &problems) {
			t.why = problems[0]
			return t, nil
		}
		return t, err
	}
	if problems := Check(d); len(problems) > 0 {
		t.why = problems[0]
		return t, nil
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		t.why = problems[0]
		return t, nil
	}
	if l.secondary.height() > tallest {
		t.why = Problem{Key: v.key, Text: sentence.New("the winding would be taller than %g m", tallest)}
		return t, nil
	}
	reached, err := v.solver.reached(v.ctx, &d, &l, v.target.Quantity)
	if cannot := errors.Is(err, resonance.ErrGeometry) || errors.Is(err, resonance.ErrNotSolved) ||
		errors.Is(err, electrostatics.ErrGeometry) || errors.Is(err, topload.ErrShape); cannot {
		t.why = Problem{Key: v.key, Text: sentence.Of(err)}
		return t, nil
	}
	if err != nil {
		return t, err
	}
	t.reached, t.miss, t.ok = reached, math.Log(reached/v.target.Value), true
	for _, kept := range []struct {
		at     *trial
		better bool
	}{
		{&v.nearest, math.Abs(t.miss) < math.Abs(v.nearest.miss)},
		{&v.lowest, t.reached < v.lowest.reached},
		{&v.highest, t.reached > v.highest.reached},
	} {
		if !kept.at.ok || kept.better {
			*kept.at = t
		}
	}
	return t, nil
}

// reached returns what a design that can be built has of a quantity.
func (s *Solver) reached(ctx context.Context, d *Design, l *layout, quantity TargetQuantity) (float64, error) {
	if quantity == TargetCapacitance {
		return s.resonator.capacitance(l.top)
	}
	m, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return 0, err
	}
	return m.Frequency[0], nil
}

// run walks away from the start on both sides, a step on either in turn, until
// the target lies between two neighbours, and narrows that down.
func (v *search) run() (Found, error) {
	type walk struct {
		last trial
		up   bool
		done bool
		why  Problem
	}
	walks := [2]walk{{last: v.start, up: true}, {last: v.start}}
	for step := 0; step < mostSteps && !(walks[0].done && walks[1].done); step++ {
		for i := range walks {
			w := &walks[i]
			if math.Abs(v.nearest.miss) <= findTolerance {
				return v.found(v.nearest)
			}
			if w.done {
				continue
			}
			x := v.next(w.last.x, w.up)
			if x == w.last.x {
				w.done = true
				continue
			}
			t, err := v.try(x)
			if err != nil {
				return Found{}, err
			}
			if !t.ok {
				w.done, w.why = true, t.why
				if t, err = v.edge(w.last, x); err != nil {
					return Found{}, err
				}
			}
			if t.miss*w.last.miss < 0 {
				return v.narrow(w.last, t)
			}
			w.last = t
		}
	}
	if math.Abs(v.nearest.miss) <= findTolerance {
		return v.found(v.nearest)
	}
	bounds := make([]string, 0, 2)
	for _, w := range walks {
		if !w.why.Text.Empty() {
			bounds = append(bounds, w.why.String())
		}
	}
	return Found{}, v.unreachable(bounds)
}

// next returns the value after x, within the range of the key.
func (v *search) next(x float64, up bool) float64 {
	by := 1 / findStep
	if up {
		by = findStep
	}
	var y float64
	switch {
	case x > 0:
		y = x * by
		if v.least <= 0 && !up && y < findLeast { // on to 0 and beyond
			y = x - findLeast
		}
	case x < 0:
		y = x / by
		if up && y > -findLeast {
			y = x + findLeast
		}
	case up:
		y = findLeast
	default:
		y = -findLeast
	}
	if v.whole {
		if y = math.Round(y); y == x {
			y = x + math.Copysign(1, by-1)
		}
	}
	return min(max(y, v.least), v.most)
}

// edge returns the trial nearest to one that cannot be built, between it and
// the last that can.
func (v *search) edge(last trial, beyond float64) (trial, error) {
	for range mostHalvings {
		if math.Abs(beyond-last.x) <= findEdge*math.Abs(last.x) || v.whole && math.Abs(beyond-last.x) <= 1 {
			break
		}
		x := (last.x + beyond) / 2
		if v.whole {
			x = math.Round(x)
			if x == beyond {
				x = last.x + math.Copysign(1, beyond-last.x)
			}
		}
		t, err := v.try(x)
		if err != nil {
			return last, err
		}
		if t.ok {
			last = t
		} else {
			beyond = x
		}
	}
	return last, nil
}

// narrow closes in on the target between two trials on either side of it, by
// regula falsi in the logarithm of what is reached, the end that stays weighed
// half (Dowell and Jarratt, BIT 11 (1971) 168, call that the Illinois method).
func (v *search) narrow(a, b trial) (Found, error) {
	missA, missB := a.miss, b.miss
	for range mostHalvings {
		if v.whole && math.Abs(b.x-a.x) <= 1 || !v.whole && math.Abs(v.nearest.miss) <= findTolerance {
			break
		}
		x := (a.x*missB - b.x*missA) / (missB - missA)
		if v.whole {
			lo, hi := min(a.x, b.x), max(a.x, b.x)
			x = min(max(math.Round(x), lo+1), hi-1)
		}
		t, err := v.try(x)
		if err != nil {
			return Found{}, err
		}
		if !t.ok {
			return Found{}, v.unreachable([]string{t.why.String()})
		}
		if t.miss*b.miss < 0 {
			a, missA = b, missB
		} else {
			missA /= 2
		}
		b, missB = t, t.miss
	}
	if !v.whole && math.Abs(v.nearest.miss) > findTolerance {
		return Found{}, v.unreachable(nil)
	}
	return v.found(v.nearest)
}

// found returns the design with the value of a trial.
func (v *search) found(t trial) (Found, error) {
	f := Found{Design: v.design, Key: v.key, Value: t.x, Reached: t.reached, Difference: t.reached/v.target.Value - 1, Whole: v.whole}
	if v.target.Quantity == TargetFrequency {
		f.Design.TargetFrequency = v.target.Value
	}
	return f, Set(&f.Design, v.key, t.x)
}

// unreachable words why there is no solution and what comes nearest.
func (v *search) unreachable(bounds []string) error {
	nearest, err := v.found(v.nearest)
	if err != nil {
		return err
	}
	quantity := func(x float64) string { return si.FormatPrefixed(x, v.target.unit(), 5) }
	text := fmt.Sprintf("%s cannot be reached by %s alone: it gives %s to %s, nearest with %s", quantity(v.target.Value), v.key,
		quantity(v.lowest.reached), quantity(v.highest.reached), v.value(v.nearest.x))
	out := &UnreachableError{Nearest: nearest, Low: v.lowest.reached, High: v.highest.reached}
	if out.Fixed() {
		text = fmt.Sprintf("%s cannot be reached by %s, which leaves it at %s", quantity(v.target.Value), v.key, quantity(v.nearest.reached))
	}
	if len(bounds) > 0 {
		text += " (" + strings.Join(bounds, "; ") + ")"
	}
	out.text = text
	return out
}

// value words a value of the key.
func (v *search) value(x float64) string {
	if strings.HasSuffix(v.key, "_m") {
		return si.Format(x, si.Millimetre, 5)
	}
	return fmt.Sprintf("%.5g", x)
}
