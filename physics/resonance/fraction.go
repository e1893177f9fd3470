package resonance

import "math"

// leastFraction is the part of a turn below which it is left out.
const leastFraction = 1e-9

// withTurns returns the coil with another number of turns, everything on top of
// the winding moved along with its edge.
func (c *Coil) withTurns(turns float64) Coil {
	changed := *c
	changed.Winding.Turns = turns
	rise := changed.Winding.Top() - c.Winding.Top()
	changed.TopHeight += rise
	if c.Former != nil {
		former := *c.Former
		former.Top += rise
		changed.Former = &former
	}
	for _, lead := range []**Lead{&changed.TopLead, &changed.Rod} {
		if *lead != nil {
			risen := **lead
			risen.Bottom += rise
			*lead = &risen
		}
	}
	return changed
}

// between returns the modes of a coil between two whole numbers of turns. share
// is how far it is from below to above in the logarithm of the turns; quantities
// that are ratios of powers of the turns go evenly in their own logarithms, the
// rest evenly. fraction is the part of the last turn that is there.
//
// An actual part of a turn does worse: as a ring in the middle of its stretch it
// comes within half a pitch of the last turn, which screens it until it is almost
// complete, so that the frequency falls in steps (0.4 % off at 40.5 turns); as an arc
// of the next turn it carries the product of two small numbers, its charge and its
// flux, and is 1 % off below 7 turns.
func between(below, above *Modes, share, fraction float64) *Modes {
	even := func(a, b float64) float64 { return a + share*(b-a) }
	power := func(a, b float64) float64 {
		if a > 0 && b > 0 {
			return a * math.Pow(b/a, share)
		}
		return even(a, b)
	}
	out := *above
	for i := range out.Frequency {
		if i >= below.Found {
			out.Frequency[i] = 0
			continue
		}
		out.Frequency[i] = power(below.Frequency[i], above.Frequency[i])
	}
	out.Found = min(below.Found, above.Found)
	for _, q := range []struct{ to, a, b *float64 }{
		{&out.Bare, &below.Bare, &above.Bare},
		{&out.Energy, &below.Energy, &above.Energy},
		{&out.FootCurrent, &below.FootCurrent, &above.FootCurrent},
		{&out.FootMutual, &below.FootMutual, &above.FootMutual},
		{&out.CircuitRatio, &below.CircuitRatio, &above.CircuitRatio},
	} {
		*q.to = power(*q.a, *q.b)
	}
	out.effective()
	for i, a := range below.TopAmplitude {
		out.TopAmplitude[i] = even(a, above.TopAmplitude[i])
	}
	out.Residual = math.Max(below.Residual, above.Residual)
	// The profile is that of the completed turn, which counts in part.
	last := len(out.Profile.Weight) - 1
	out.Profile.Weight[last] = fraction
	out.Profile.Turn[last] = math.Floor(out.Profile.Turn[last]) + fraction/2
	return &out
}

// effective derives what follows from frequency, energy and foot current at a top
// voltage of 1 V.
func (m *Modes) effective() {
	omega := 2 * math.Pi * m.Frequency[0]
	m.FootInductance = 2 * m.Energy / (m.FootCurrent * m.FootCurrent)
	m.FootCapacitance = 1 / (omega * omega * m.FootInductance)
	m.TopCapacitance = 2 * m.Energy
	m.TopInductance = 1 / (omega * omega * m.TopCapacitance)
	m.TopToFootRatio = omega * m.FootCapacitance / m.FootCurrent
}
