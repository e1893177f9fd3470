package design

import (
	"context"
	"math"

	"coilwright/physics/inductance"
)

// Solver evaluates designs. It keeps what a design shares with the one before,
// so that moving one slider costs little; results do not depend on what was
// asked before. A Solver is not for concurrent use.
type Solver struct {
	top       topCache // by the handbook
	resonator resonator
	curves    curveCache
	airCache  airCache
	band      bandCache
	loss      lossCache
	beside    *Solver // for designs beside the one at hand; nil: none yet
	drives    driveCache
}

// NewSolver returns a solver that has kept nothing yet.
func NewSolver() *Solver { return &Solver{} }

// Evaluate is [Solver.Evaluate] for a single design.
func Evaluate(ctx context.Context, d Design) (Report, error) { return NewSolver().Evaluate(ctx, d) }

// Evaluate returns the report of d. A design that cannot be built has none:
// the error is then [Problems], the same as [Check] finds.
func (s *Solver) Evaluate(ctx context.Context, d Design) (Report, error) {
	return s.report(ctx, d, true)
}

// Quick is [Solver.Evaluate] for while a slider moves: what takes several times
// as long as the rest, the band of the frequency, the air and the losses, is nil; a
// measured quality factor is there.
func (s *Solver) Quick(ctx context.Context, d Design) (Report, error) {
	return s.report(ctx, d, false)
}

// report returns the report of d, with all that it has or what is quick.
func (s *Solver) report(ctx context.Context, d Design, full bool) (Report, error) {
	if err := ctx.Err(); err != nil {
		return Report{}, err
	}
	if problems := Check(d); len(problems) > 0 {
		return Report{}, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return Report{}, problems
	}
	h, err := s.byHandbook(&l)
	if err != nil {
		return Report{}, err
	}
	solved, err := s.solve(ctx, &d, &l)
	if err != nil {
		return Report{}, err
	}
	secondary, err := secondaryReport(&d, &l)
	if err != nil {
		return Report{}, err
	}
	primary, err := primaryReport(&d, &l)
	if err != nil {
		return Report{}, err
	}
	r := Report{
		Format: ReportFormat, Version: ReportVersion,
		Secondary: secondary,
		TopLoad:   topLoadReport(&l),
		Resonance: solved.resonance,
		Primary:   primary,
		Air:       AirReport{Places: []Place{}, Gaps: []Gap{}},
		Handbook:  h.report(),
		Cautions:  []Caution{},
	}
	r.TopLoad.Capacitance = solved.topCapacitance
	r.Cautions = append(r.Cautions, solved.cautions...)
	r.Cautions = append(r.Cautions, h.cautions...)
	r.Cautions = append(r.Cautions, cautions(&d, &l)...)
	addMeasuredQuality(&d, &r)
	if full {
		if err := s.addLosses(ctx, &d, &l, &r); err != nil {
			return Report{}, err
		}
		if err := s.addAir(ctx, &d, &l, &r); err != nil {
			return Report{}, err
		}
		if err := s.addBand(ctx, &d, &l, &r); err != nil {
			return Report{}, err
		}
	}
	r.Cautions = append(r.Cautions, driverCautions(&d.Driver)...)
	return r, nil
}

func secondaryReport(d *Design, l *layout) (SecondaryReport, error) {
	c := l.secondary
	length := c.length()
	uniform, err := c.winding().Inductance(inductance.Uniform)
	if err != nil {
		return SecondaryReport{}, err
	}
	return SecondaryReport{
		WindingHeight: known(c.height()),
		WireLength:    known(length),
		WireMass:      known(c.wire.mass(length)),
		Inductance:    known(uniform),
		ResistanceDC:  known(c.wire.resistance(length, d.Room.AirTemperature)),
	}, nil
}

// topLoadReport gives the dimensions; the capacitance is solved.
func topLoadReport(l *layout) TopLoadReport {
	b := l.top
	if b.kind == NoTopLoad {
		return TopLoadReport{}
	}
	r := TopLoadReport{OuterDiameter: known(b.outerDiameter())}
	switch b.kind {
	case Torus:
		r.HoleDiameter = known(2 * (b.inner - b.radius))
	case WireRing:
		most, length := b.ring.MaxTurns(), b.ring.WireLength()
		r.HoleDiameter = known(b.ring.HoleDiameter())
		r.MaxTurns = &most
		r.GapAtHub = known(b.ring.GapAtHub())
		r.WireLength = known(length)
		r.WireMass = known(b.wire.mass(length))
		if c, err := b.ring.SmoothTorus().Capacitance(); err == nil {
			r.SmoothCapacitance = known(c)
		}
	}
	return r
}

// known returns a pointer to x, nil if x is not a finite number and so does
// not apply.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
