package resonance

import (
	"math"
	"testing"
)

// TestOvertones holds the profiles of the higher modes against what any modes of
// one coil obey: each is orthogonal in energy to the others, all charge above a
// turn comes up through it, and a mode has one more node than the one before.
func TestOvertones(t *testing.T) {
	s := Solver{Overtones: true}
	c := deskCoil()
	c.Top, c.Primary, c.Room = nil, nil, Room{}
	m := solve(t, &s, c)
	profiles := append([]Profile{m.Profile}, m.Overtones...)
	if len(profiles) != ModeCount {
		t.Fatalf("%d profiles, want %d", len(profiles), ModeCount)
	}
	energy := func(a, b Profile) float64 {
		sum := 0.0
		for i, w := range a.Weight {
			sum += w * a.Charge[i] * b.Voltage[i]
		}
		return sum
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
		within(t, "foot current", p.Current[0], omega*(charge-p.Charge[0]/2), 2e-3, "continuity; the sampled turns stand for all")
		if nodes != k {
			t.Errorf("mode %d has %d nodes inside the winding, want %d", k+1, nodes, k)
		}
		for j := range k {
			cross := energy(profiles[j], p) / math.Sqrt(energy(profiles[j], profiles[j])*energy(p, p))
			if math.Abs(cross) > 2e-3 {
				t.Errorf("modes %d and %d share %.1e of their energy, want none", j+1, k+1, cross)
			}
		}
	}
}
