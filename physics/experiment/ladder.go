package experiment

import (
	"context"
	"fmt"

	"coilwright/physics/design"
)

// Rung is one coil of a class's set.
type Rung struct {
	Design    design.Design
	Value     float64 // of the number that is varied, SI
	Frequency float64 // Hz
}

// Ladder returns n coils of which the number at key goes in even steps from least to
// most; with least and most the same they are n like ones. The coils are named after
// d and numbered.
//
// The error is that of [design.Set] or, for a coil that cannot be built, of
// [design.Solver.Evaluate].
func (b *Bench) Ladder(ctx context.Context, key string, least, most float64, n int) ([]Rung, error) {
	if n < 2 {
		return nil, fmt.Errorf("%w: a set of %d coils", ErrSetting, n)
	}
	set := make([]Rung, n)
	for i, value := range even(least, most, n) {
		d := b.design
		d.Name = fmt.Sprintf("%s %d", b.design.Name, i+1)
		if err := design.Set(&d, key, value); err != nil {
			return nil, err
		}
		r, err := b.solver.Quick(ctx, d)
		if err != nil {
			return nil, err
		}
		set[i] = Rung{d, value, *r.Resonance.Frequency}
	}
	return set, nil
}
