package design

const (
	ringMark      = 5    // turns between the marks of a ring
	ringSpare     = 2    // turns wound beyond the ring and dropped: common practice, no source
	secondaryMark = 50   // turns between the marks of a secondary
	tail          = 0.05 // m of wire left free before the first turn: common practice, no source
)

// countCurve returns how the wire adds up while the ring is wound or, without
// one, the secondary.
func countCurve(l *layout) CountCurve {
	if l.top.kind == WireRing {
		ring := l.top.ring
		curve := CountCurve{
			OfRing: true, Closing: float64(ring.Turns), Spare: ringSpare, MarkEvery: ringMark, HubLimit: ring.TurnLimit(),
		}
		each := ring.WireLength() / float64(ring.Turns)
		for i := range ring.Turns + ringSpare + 1 {
			turn := float64(i)
			curve.Turn = append(curve.Turn, turn)
			curve.WireUsed = append(curve.WireUsed, tail+turn*each)
			curve.Fill = append(curve.Fill, turn*ring.TurnAngle())
		}
		return curve
	}
	s := l.secondary
	curve := CountCurve{Closing: s.turns, MarkEvery: secondaryMark}
	for turn := 0.0; turn < s.turns; turn += secondaryMark {
		curve.Turn = append(curve.Turn, turn)
	}
	curve.Turn = append(curve.Turn, s.turns)
	for _, turn := range curve.Turn {
		curve.WireUsed = append(curve.WireUsed, tail+turn/s.turns*s.length())
	}
	return curve
}
