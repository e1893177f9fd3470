package design

import (
	"context"

	"coilwright/physics/resonance"
)

// StandingWaves are the lowest modes of a coil along its winding.
type StandingWaves struct {
	Frequency []float64      // Hz, ascending
	Mode      []ProfileCurve // as long as Frequency
}

// StandingWaves returns the lowest modes of d, the first with a top voltage of
// one. A higher mode, whose top may be nearly at zero, has one as its largest
// voltage, and its current is per ampere at the foot like that of the first.
//
// The error is that of [Solver.Evaluate].
func (s *Solver) StandingWaves(ctx context.Context, d Design) (StandingWaves, error) {
	if problems := Check(d); len(problems) > 0 {
		return StandingWaves{}, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return StandingWaves{}, problems
	}
	r := resonator{solver: resonance.Solver{Overtones: true}}
	m, err := r.modes(ctx, &d, &l)
	if err != nil {
		return StandingWaves{}, err
	}
	waves := StandingWaves{Frequency: m.Frequency[:1+len(m.Overtones)]}
	waves.Mode = append(waves.Mode, profileCurve(&l, m))
	for _, p := range m.Overtones {
		waves.Mode = append(waves.Mode, overtoneCurve(&l, p))
	}
	return waves, nil
}

// overtoneCurve returns a higher mode along the winding of l. At either end of
// the winding it runs on as it did between the last two turns.
func overtoneCurve(l *layout, p resonance.Profile) ProfileCurve {
	n := len(p.Height)
	c := ProfileCurve{Height: []float64{l.secondary.bottom}, Voltage: []float64{0}}
	top := l.secondary.topEdge()
	onward := func(v []float64, a, b int, at float64) float64 {
		if a == b {
			return v[b]
		}
		return v[b] + (v[b]-v[a])*(at-p.Height[b])/(p.Height[b]-p.Height[a])
	}
	next := min(1, n-1)
	c.Current = []float64{onward(p.Current, next, 0, l.secondary.bottom)}
	for i, height := range p.Height {
		if height < top {
			c.Height = append(c.Height, height)
			c.Voltage = append(c.Voltage, p.Voltage[i])
			c.Current = append(c.Current, p.Current[i])
		}
	}
	c.Height = append(c.Height, top)
	c.Voltage = append(c.Voltage, onward(p.Voltage, max(0, n-2), n-1, top))
	c.Current = append(c.Current, onward(p.Current, max(0, n-2), n-1, top))
	foot := c.Current[0]
	for i := range c.Current {
		c.Current[i] /= foot
	}
	return c
}
