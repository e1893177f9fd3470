package design

import (
	"errors"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/physics/wire"
)

// WindingPlan returns how the parts of a coil are made, with lengths in the
// texts in millimetres, or in inches if that is the unit. A design that cannot
// be built has no plan: the error is then [Problems]. Settings that do not go
// with it give one that wraps [winding.ErrPlan].
func WindingPlan(d Design, settings winding.Settings, unit si.Unit) (winding.Plan, error) {
	if problems := Check(d); len(problems) > 0 {
		return winding.Plan{}, Problems(problems)
	}
	if err := settings.Check(); err != nil {
		return winding.Plan{}, err
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return winding.Plan{}, problems
	}
	p := winding.Plan{Wiring: winding.Wiring(circuitOf(&d))}
	var errs []error
	failed := func(name sentence.Text, err error) {
		errs = append(errs, sentence.Error(err, sentence.Join(": ", name, sentence.Of(err))))
	}
	part := func(name sentence.Text, c conductor, turns float64, spare int, cut float64, w interface {
		Steps(si.Unit) ([]winding.Step, error)
		Count() ([]winding.Tally, error)
	}) *winding.Part {
		steps, err := w.Steps(unit)
		if err != nil {
			failed(name, err)
			return nil
		}
		count, err := w.Count()
		if err != nil {
			failed(name, err)
			return nil
		}
		return &winding.Part{WireName: c.name, Turns: turns, Spare: spare, CutLength: cut, Mass: wire.Mass(cut, c.bare), Steps: steps, Count: count}
	}
	if l.top.kind == WireRing && l.top.ring.Turns >= leastRingTurns {
		r := ringOf(l.top, settings)
		p.Ring = part(sentence.New("ring"), l.top.wire, float64(r.Turns), r.SpareTurns, r.CutLength(), r)
	}
	s := secondaryOf(&l, settings)
	p.Secondary = part(sentence.New("secondary"), l.secondary.wire, s.Turns, 0, s.CutLength(), s)
	if l.primary.kind != NoPrimary {
		q := primaryOf(&l, settings)
		p.Primary = part(sentence.New("primary"), l.primary.wire, q.Turns, 0, q.CutLength(), q)
	}
	return p, errors.Join(errs...)
}

// ringOf returns the ring as its maker meets it.
func ringOf(b topBody, s winding.Settings) winding.Ring {
	ring := b.ring
	return winding.Ring{
		WireName: b.wire.name, WireDiameter: ring.WireDiameter, FormerDiameter: ring.FormerDiameter, Turns: ring.Turns,
		SpareTurns: s.RingSpareTurns, Tail: s.RingTail, MarkEvery: s.RingMarkEvery,
		HubDiameter: ring.HubDiameter, OuterDiameter: ring.OuterDiameter(), GapAtHub: ring.GapAtHub(), HubLimit: ring.TurnLimit(),
		Yield: s.Yield, MeasuredLoop: s.MeasuredLoop, SolderMelts: s.SolderMelts, IronPower: s.IronPower,
	}
}

func secondaryOf(l *layout, s winding.Settings) winding.Secondary {
	c := l.secondary
	return winding.Secondary{
		WireName: c.wire.name, BareDiameter: c.wire.bare, OverallDiameter: c.wire.overall,
		FormerDiameter: c.diameter - c.wire.overall, Turns: c.turns, Pitch: c.pitch,
		Tail: s.Tail, MarkEvery: s.MarkEvery, MarkLength: s.MarkLength, Spool: s.Spool, Speed: s.Speed, Yield: s.Yield,
	}
}

func primaryOf(l *layout, s winding.Settings) winding.Primary {
	q := l.primary
	tap := q.turns
	if tap == q.wound {
		tap = 0
	}
	return winding.Primary{
		WireName: q.wire.name, BareDiameter: q.wire.bare, OverallDiameter: q.wire.overall,
		InnerDiameter: q.diameter, Turns: q.wound, TapTurns: tap, Pitch: q.pitch, Slope: q.slope, Tail: s.PrimaryTail,
	}
}

// circuitOf returns what the wires are joined to.
func circuitOf(d *Design) winding.Circuit {
	c := winding.Circuit{
		Primary: d.Primary.Kind != NoPrimary, TopLoad: d.TopLoad.Kind != NoTopLoad, Board: d.Room.Foot == Circuit,
	}
	if d.Primary.TapTurns < d.Primary.Turns {
		c.Tap = d.Primary.TapTurns
	}
	switch d.Driver.Kind {
	case FeedbackExciter:
		c.Driver, c.Reversed = winding.Exciter, d.Driver.Sense < 0
		switch clamp := d.Driver.Clamp; {
		case clamp.Name != "":
			c.Clamp = sentence.Literal(clamp.Name)
		case clamp.Model != nil:
			c.Clamp = sentence.New("clamping diode")
		}
	case HalfBridge:
		c.Driver, c.Base = winding.HalfBridge, d.Driver.Feed == FeedBase
	case SparkGap:
		c.Driver = winding.SparkGap
	}
	return c
}
