package design

import (
	"context"
	"math"
	"testing"
)

// TestLoadedEndsOfRange: a capacitance far above the coil's own turns it into a
// lumped circuit, whose frequency is 1/(2π√(L C)) with the inductance of a
// uniform current; one far below shifts it by what perturbation says,
// Δf/f = -C/(2 Ct) (Slater, Microwave Electronics, 1950, the theorem of cavity
// perturbation, from memory).
func TestLoadedEndsOfRange(t *testing.T) {
	ctx := context.Background()
	for _, kind := range []string{NoTopLoad, WireRing} {
		d := read(t, desk)
		d.TopLoad.Kind = kind
		d.Primary.Kind = NoPrimary
		var s Solver
		bare, err := s.Loaded(ctx, d, 0)
		if err != nil {
			t.Fatal(err)
		}
		const little = 1e-15
		m, err := s.Loaded(ctx, d, little)
		if err != nil {
			t.Fatal(err)
		}
		got, want := m.Frequency/bare.Frequency-1, -little/(2*bare.TopCapacitance)
		if math.Abs(got-want) > 2e-3*math.Abs(want) {
			t.Errorf("%s: 1 fF shifts by %g, want %g (perturbation)", kind, got, want)
		}
		const much = 10e-9
		m, err = s.Loaded(ctx, d, much)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Quick(ctx, d)
		if err != nil {
			t.Fatal(err)
		}
		// The modes have the self term of a current on the wire's surface, which
		// lies 0.1 to 0.3 % lower, half of which shows.
		want = 1 / (2 * math.Pi * math.Sqrt(*r.Secondary.Inductance*much))
		if math.Abs(m.Frequency/want-1) > 3e-3 {
			t.Errorf("%s: with 10 nF %g Hz, want %g (lumped circuit)", kind, m.Frequency, want)
		}
		again, err := s.Loaded(ctx, d, 0)
		if err != nil || again != bare {
			t.Errorf("%s: the unloaded coil is %+v after a loaded one, was %+v, %v", kind, again, bare, err)
		}
	}
}

func TestUncertainIsThatOfTheBand(t *testing.T) {
	d := read(t, desk)
	inputs, off, err := d.Uncertain()
	if err != nil {
		t.Fatal(err)
	}
	b, err := NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if len(inputs) != len(b.Contributions) || off != b.ModelError {
		t.Errorf("%d inputs and %g, the band has %d and %g", len(inputs), off, len(b.Contributions), b.ModelError)
	}
	for _, in := range inputs {
		x, err := Number(d, in.Key)
		if err != nil {
			t.Errorf("%s: %v", in.Key, err)
		}
		if err := Set(&d, in.Key, in.Value+in.HalfWidth); err != nil {
			t.Errorf("%s was %g: %v", in.Key, x, err)
		}
	}
}
