package design

import "coilwright/physics/winding"

// countCurve returns how the wire adds up while the ring is wound or, without
// one, the secondary.
func countCurve(l *layout) (CountCurve, error) {
	if l.top.kind == WireRing && l.top.ring.Turns >= leastRingTurns {
		return ringCount(l.top)
	}
	s := l.secondary
	tallies, err := winding.Secondary{
		WireName: s.wire.name, BareDiameter: s.wire.bare, OverallDiameter: s.wire.overall,
		FormerDiameter: s.diameter - s.wire.overall, Turns: s.turns, Pitch: s.pitch,
		Tail: winding.SecondaryTail, MarkEvery: winding.SecondaryMarkEvery,
	}.Count()
	if err != nil {
		return CountCurve{}, err
	}
	curve := CountCurve{
		Closing: s.turns, MarkEvery: winding.SecondaryMarkEvery,
		Turn: []float64{0}, WireUsed: []float64{winding.SecondaryTail}, // the line begins with the tail
	}
	for _, t := range tallies {
		curve.Turn = append(curve.Turn, t.Turn)
		curve.WireUsed = append(curve.WireUsed, t.WireUsed)
	}
	return curve, nil
}

// ringCount returns the count of a ring. One of too many turns for its hub can
// be wound and only not be closed, so it is counted without the hub.
func ringCount(b topBody) (CountCurve, error) {
	ring := b.ring
	tallies, err := winding.Ring{
		WireName: b.wire.name, WireDiameter: b.wire.overall, FormerDiameter: ring.FormerDiameter, Turns: ring.Turns,
		SpareTurns: winding.RingSpareTurns, Tail: winding.RingTail, MarkEvery: winding.RingMarkEvery,
		HubDiameter: ring.HubDiameter, OuterDiameter: ring.OuterDiameter(),
	}.Count()
	if err != nil {
		return CountCurve{}, err
	}
	curve := CountCurve{
		OfRing: true, Closing: float64(ring.Turns), Spare: winding.RingSpareTurns,
		MarkEvery: winding.RingMarkEvery, HubLimit: ring.TurnLimit(),
	}
	for _, t := range tallies {
		curve.Turn = append(curve.Turn, t.Turn)
		curve.WireUsed = append(curve.WireUsed, t.WireUsed)
		curve.Fill = append(curve.Fill, t.RingAngle)
	}
	return curve, nil
}
