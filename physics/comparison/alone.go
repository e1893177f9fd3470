package comparison

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
)

const (
	aloneSteps = 3 // solutions of the coil until an input alone is found

	mostHidden = 20e-12 // F, more than hands and probes hang on a top
)

// alone finds for each input what it would have to be if nothing else were
// off, and which of them the readings cannot tell apart.
func (q *problem) alone(ctx context.Context, e *Explanation, modelOff float64) error {
	all := append(slices.Clone(q.inputs), suspects(q.drawn.design)...)
	for i, in := range all {
		if in.Key == KeyModel {
			continue
		}
		slope := make([]float64, len(q.readings))
		if i < len(q.inputs) {
			for k := range slope {
				slope[k] = q.slope[k][i]
			}
		} else {
			var err error
			slope, err = q.p.slope(ctx, q.drawn, in, in.Value, q.readings, q.at)
			if errors.Is(err, ErrNoPrediction) {
				continue
			}
			if err != nil {
				return err
			}
		}
		a, ok, err := q.single(ctx, in, slope, modelOff)
		if err != nil {
			return err
		}
		if ok {
			e.Alone = append(e.Alone, a)
		}
	}
	slices.SortStableFunc(e.Alone, func(a, b Alone) int {
		if a.Plausible != b.Plausible {
			if a.Plausible {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.Misfit, b.Misfit)
	})
	for _, a := range e.Alone {
		if a.Plausible && a.Misfit-e.Alone[0].Misfit < likely {
			e.Alike = append(e.Alike, a.Key)
		}
	}
	return nil
}

// single finds one input by least squares, the coil solved anew at each step; ok
// is false where the readings do not depend on it or it leads to no coil.
func (q *problem) single(ctx context.Context, in Input, slope []float64, modelOff float64) (a Alone, ok bool, err error) {
	a = Alone{Key: in.Key, From: in.Value, To: in.Value}
	weight := 0.0
	for k := range slope {
		x := slope[k] / q.sigmaWith(k, modelOff)
		weight += x * x
	}
	if weight == 0 {
		return a, false, nil
	}
	a.Sigma = 1 / math.Sqrt(weight)
	if in.HalfWidth > 0 && a.Sigma > 1/blind*in.HalfWidth {
		return a, false, nil // it would have to be off by many times its tolerance to show
	}
	values := q.at
	for range aloneSteps {
		step := 0.0
		for k := range slope {
			s := q.sigmaWith(k, modelOff)
			step += slope[k] * (q.measured[k] - values[k]) / (s * s)
		}
		moved := q.drawn
		to := a.To + step/weight
		if in.Key == KeyHidden {
			to = math.Max(to, 0)
		}
		if err := in.set(&moved, to); err != nil {
			return a, false, nil
		}
		values, err = q.p.values(ctx, moved, q.readings)
		if errors.Is(err, ErrNoPrediction) {
			return a, false, nil
		}
		if err != nil {
			return a, false, err
		}
		a.To = to
	}
	left := q.misfit(values, modelOff)
	a.Misfit = left
	within := sensible(a)
	if in.HalfWidth > 0 {
		z := (a.To - in.Value) / in.sigma()
		a.Misfit += z * z
		within = math.Abs(a.To-in.Value) <= in.HalfWidth+a.Sigma
	} else {
		a.Misfit++ // a suspect without a tolerance is as good as one a standard deviation off
	}
	a.Plausible = within && left <= expected(len(q.readings))
	return a, true, nil
}

// sensible says whether a number without a tolerance is one that happens.
func sensible(a Alone) bool {
	return a.To > 0 && (a.Key != KeyHidden || a.To <= mostHidden)
}
