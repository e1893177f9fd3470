package design

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/electrostatics"
	"coilwright/physics/loss"
	"coilwright/physics/resonance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
	"coilwright/physics/winding"
)

// solve solves the most promising combinations.
func (w *drawer) solve() (DrawerResult, error) {
	out := DrawerResult{Tried: w.at.Tried, Fitting: len(w.fitting)}
	promising := w.promising()
	w.at.ToSolve = min(len(promising), w.search.Most)
	var nearest *Buildable
	var limit string
	distance := math.Inf(1)
	for i, c := range promising {
		if i >= w.search.Most && len(out.Coils) > 0 {
			break
		}
		w.at.ToSolve = max(w.at.ToSolve, i+1)
		w.progress(w.at)
		b, off, err := w.settle(c)
		if err != nil {
			return DrawerResult{}, err
		}
		w.at.Solved++
		switch off = math.Abs(off); {
		case off <= drawerMiss:
			out.Coils = append(out.Coils, b)
		case off < distance:
			nearest, limit, distance = &b, c.limit, off
		}
	}
	w.progress(w.at)
	if len(out.Coils) == 0 && nearest != nil {
		return out, w.unreached(nearest, limit)
	}
	if len(out.Coils) == 0 {
		return out, w.nothing()
	}
	slices.SortStableFunc(out.Coils, func(a, b Buildable) int { return cmp.Compare(b.VoltsPerWatt, a.VoltsPerWatt) })
	return out, nil
}

// promising returns the combinations to solve: the best of every wire on every former,
// then the second best of each, and so on.
func (w *drawer) promising() []combination {
	slices.SortStableFunc(w.fitting, func(a, b combination) int { return cmp.Compare(b.merit, a.merit) })
	rank, count := make([]int, len(w.fitting)), map[[2]int]int{}
	order := make([]int, len(w.fitting))
	for i, c := range w.fitting {
		pair := [2]int{c.coil.Wire, c.coil.Former}
		rank[i], order[i] = count[pair], i
		count[pair]++
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank[a] - rank[b] })
	var all []combination
	for _, i := range order {
		all = append(all, w.fitting[i])
	}
	return all
}

// settle finds the whole number of turns that comes nearest to the frequency. off is how
// far that stays from it, relative; +Inf if it cannot be built.
func (w *drawer) settle(c combination) (b Buildable, off float64, err error) {
	target := w.search.Frequency
	best, at, f0, n0 := math.Inf(1), 0.0, 0.0, 0.0
	tried := map[float64]bool{}
	turns, slope := c.turns, 0.8 // of the frequency against the turns, both in logarithms
	for range mostSettling {
		f, err := w.frequency(&c, turns)
		if err != nil {
			return c.coil, math.Inf(1), ignoreUnsolved(err)
		}
		tried[turns] = true
		if miss := math.Abs(math.Log(f / target)); miss < best {
			best, at = miss, turns
		}
		if n0 > 0 {
			if p := -math.Log(f/f0) / math.Log(turns/n0); p > 0.2 && p < 3 {
				slope = p
			}
		}
		f0, n0 = f, turns
		turns = math.Min(math.Max(math.Round(turns*math.Pow(f/target, 1/slope)), leastTurns), c.most)
		if tried[turns] {
			break
		}
	}
	b, err = w.finished(&c, at)
	if err != nil {
		return b, math.Inf(1), ignoreUnsolved(err)
	}
	return b, b.Frequency/target - 1, nil
}

// ignoreUnsolved drops the errors of a coil for which there is no answer.
func ignoreUnsolved(err error) error {
	var problems Problems
	for _, unsolved := range []error{
		resonance.ErrGeometry, resonance.ErrNotSolved, electrostatics.ErrGeometry, topload.ErrShape, loss.ErrInput, loss.ErrNotSolved,
	} {
		if errors.Is(err, unsolved) {
			return nil
		}
	}
	if errors.As(err, &problems) {
		return nil
	}
	return err
}

// laidOut gives a combination its turns. The error is [Problems].
func (c *combination) laidOut(turns float64) (layout, error) {
	c.coil.Design.Secondary.Turns = turns
	l, problems := layOut(&c.coil.Design)
	if len(problems) == 0 {
		problems = l.check(&c.coil.Design)
	}
	if len(problems) > 0 {
		return l, problems
	}
	return l, nil
}

func (w *drawer) frequency(c *combination, turns float64) (float64, error) {
	l, err := c.laidOut(turns)
	if err != nil {
		return 0, err
	}
	m, err := w.solver.resonator.modes(w.ctx, &c.coil.Design, &l)
	if err != nil {
		return 0, err
	}
	return m.Frequency[0], nil
}

// finished returns the coil with a number of turns and all that is said of it.
func (w *drawer) finished(c *combination, turns float64) (Buildable, error) {
	l, err := c.laidOut(turns)
	if err != nil {
		return c.coil, err
	}
	b := c.coil
	m, err := w.solver.resonator.modes(w.ctx, &b.Design, &l)
	if err != nil {
		return b, err
	}
	lost, err := w.solver.losses(w.ctx, &b.Design, &l)
	if err != nil {
		return b, err
	}
	b.Frequency, b.QualityFactor = m.Frequency[0], 1/lost.total()
	b.VoltsPerWatt = math.Sqrt(b.QualityFactor / (math.Pi * b.Frequency * m.TopCapacitance))
	b.WindingHeight, b.Height = l.secondary.height(), l.secondary.height()+c.over
	b.WireNeeded, b.WireLeft = secondaryOf(&l, winding.DefaultSettings()).CutLength(), c.left
	return b, nil
}

// nothing words that nothing can be built, with what comes nearest.
func (w *drawer) nothing() error {
	wanted := si.FormatPrefixed(w.search.Frequency, si.Hertz, 4)
	if w.missed == nil {
		return &DrawerError{text: fmt.Sprintf("Nothing in the drawer can be wound to ring at %s: no wire goes %d times round a former.", wanted, leastTurns)}
	}
	c := *w.missed
	b, err := w.finished(&c, c.turns)
	if err != nil {
		if ignoreUnsolved(err) != nil {
			return err
		}
		return &DrawerError{text: fmt.Sprintf("Nothing in the drawer can be built to ring at %s.", wanted)}
	}
	return w.unreached(&b, c.limit)
}

// unreached words that nothing can be built, with what comes nearest and what keeps that
// from ringing as wanted.
func (w *drawer) unreached(b *Buildable, limit string) error {
	if b.Frequency < w.search.Frequency {
		limit = fmt.Sprintf("fewer than %d turns are not tried", leastTurns)
	}
	return &DrawerError{Nearest: b, text: fmt.Sprintf("Nothing in the drawer can be built to ring at %s: the nearest is %s, which rings at %s; %s.",
		si.FormatPrefixed(w.search.Frequency, si.Hertz, 4), b.Words(&w.search.Stock), si.FormatPrefixed(b.Frequency, si.Hertz, 4), limit)}
}
