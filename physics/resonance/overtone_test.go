package resonance

import (
	"fmt"
	"math"
	"testing"
)

// TestOvertones holds the profiles of the higher modes against what any modes of
// one coil obey: each is orthogonal in energy to the others, all charge above a
// turn comes up through it, and a mode has one more node than the one before. With 24
// turns every turn is sampled and this holds to rounding; a long coil is sampled, which
// may cost as much of the energy as the knots do.
func TestOvertones(t *testing.T) {
	const rounding = 1e-12
	for _, test := range []struct {
		turns float64
		cross float64 // of the energy that two modes may share
	}{{24, rounding}, {450, knotsThird}} {
		s := Solver{Overtones: true}
		c := deskCoil()
		c.Winding.Turns = test.turns
		c.Top, c.Primary, c.Room = nil, nil, Room{}
		m := solve(t, &s, c)
		profiles := append([]Profile{m.Profile}, m.Overtones...)
		if len(profiles) != ModeCount {
			t.Fatalf("%g turns: %d profiles, want %d", test.turns, len(profiles), ModeCount)
		}
		for k, p := range profiles {
			omega := 2 * math.Pi * m.Frequency[k]
			charge, nodes := 0.0, 0
			for i, w := range p.Weight {
				charge += w * p.Charge[i]
				if i > 0 && p.Voltage[i]*p.Voltage[i-1] < 0 {
					nodes++
				}
			}
			// The foot's own turn is half below its middle.
			within(t, fmt.Sprintf("%g turns: foot current of mode %d", test.turns, k+1), p.Current[0], omega*(charge-p.Charge[0]/2), rounding, "continuity")
			if nodes != k {
				t.Errorf("%g turns: mode %d has %d nodes inside the winding, want %d", test.turns, k+1, nodes, k)
			}
			for j := range k {
				cross := sharedEnergy(profiles[j], p) / math.Sqrt(sharedEnergy(profiles[j], profiles[j])*sharedEnergy(p, p))
				if math.Abs(cross) > test.cross {
					t.Errorf("%g turns: modes %d and %d share %.1e of their energy, want none", test.turns, j+1, k+1, cross)
				}
			}
		}
	}
}

// knotsThird is what knots in place of every turn cost the third mode.
const knotsThird = 1e-3

// sharedEnergy returns Σ q V with the charges of one mode and the voltages of another.
func sharedEnergy(a, b Profile) float64 {
	sum := 0.0
	for i, w := range a.Weight {
		sum += w * a.Charge[i] * b.Voltage[i]
	}
	return sum
}
