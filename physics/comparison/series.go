package comparison

import (
	"context"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Series is how several coils come to one frequency.
type Series struct {
	Target float64 // Hz
	Coils  []Coil  // in the order of the designs
	Before float64 // Hz, standard deviation of the coils from the target as they are
	After  float64 // Hz, the same once each has followed its first step, what is left open included
	Text   sentence.Text
}

// Coil is one coil of a series.
type Coil struct {
	Name       string
	Comparison Comparison
	Advice     Advice
}

// AdviseSeries returns how the coils come to one frequency by whole turns: to the
// target in Hz or, for 0, to the highest of theirs, since turns come off more easily
// than they go on. The spread that remains is that of whole turns and of what the
// readings leave open.
func AdviseSeries(ctx context.Context, solver *design.Solver, designs []design.Design, target float64) (Series, error) {
	s := Series{Target: target}
	if len(designs) == 0 {
		return s, sentence.Error(nil, sentence.New("a series needs coils"))
	}
	now := make([]Estimate, len(designs))
	for i, d := range designs {
		c, err := Compare(ctx, solver, d, Driven{})
		if err != nil {
			return Series{}, sentence.Error(err, sentence.Join(": ", sentence.Literal(d.Name), sentence.Of(err)))
		}
		b, err := newBelief(ctx, solver, d, &c)
		if err != nil {
			return Series{}, err
		}
		if now[i], err = b.frequency(ctx, b.coil); err != nil {
			return Series{}, sentence.Error(err, sentence.Join(": ", sentence.Literal(d.Name), sentence.Of(err)))
		}
		s.Coils = append(s.Coils, Coil{Name: d.Name, Comparison: c})
		if target == 0 {
			s.Target = math.Max(s.Target, now[i].Value)
		}
	}
	var before, after float64
	for i, d := range designs {
		a, err := Advise(ctx, solver, d, &s.Coils[i].Comparison, s.Target)
		if err != nil {
			return Series{}, sentence.Error(err, sentence.Join(": ", sentence.Literal(d.Name), sentence.Of(err)))
		}
		s.Coils[i].Advice = a
		reached := now[i]
		if len(a.Steps) > 0 && a.Steps[0].Key == keyTurns {
			reached = a.Steps[0].Reached
		}
		before += square(now[i].Value - s.Target)
		after += square(reached.Value-s.Target) + square(reached.Sigma)
	}
	n := float64(len(designs))
	s.Before, s.After = math.Sqrt(before/n), math.Sqrt(after/n)
	s.Text = sentence.New("%d coils to %s: they lie %s from it as they are, and %s once each has its turns, what the readings leave open included.",
		len(designs), si.FormatPrefixed(s.Target, si.Hertz, shown), si.FormatPrefixed(s.Before, si.Hertz, 2), si.FormatPrefixed(s.After, si.Hertz, 2))
	return s, nil
}

func square(x float64) float64 { return x * x }
