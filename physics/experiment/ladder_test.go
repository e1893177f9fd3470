package experiment

import (
	"testing"
)

func TestLadder(t *testing.T) {
	b := bench(t, nil)
	set, err := b.Ladder(t.Context(), "secondary.turns", 50, 60, 6)
	if err != nil {
		t.Fatal(err)
	}
	for i, rung := range set {
		if rung.Value != 50+2*float64(i) || rung.Design.Secondary.Turns != rung.Value {
			t.Errorf("coil %d has %g turns for %g", i+1, rung.Design.Secondary.Turns, rung.Value)
		}
		if i > 0 && rung.Frequency >= set[i-1].Frequency {
			t.Errorf("coil %d rings no lower than the one before with fewer turns", i+1)
		}
	}
	if _, err := b.Ladder(t.Context(), "secondary.colour", 1, 2, 3); err == nil {
		t.Error("a ladder of nothing is made")
	}
}
