package inductance

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestNagaokaAgainstGrover(t *testing.T) {
	rows := readTable(t, "nagaoka.csv")
	if len(rows) != 101 {
		t.Fatalf("%d rows, want the 101 of the table", len(rows))
	}
	for _, row := range rows {
		if row[0] == 0 {
			continue // no length: the limit, not a value of the function
		}
		if got := Nagaoka(1 / row[0]); !scalar.EqualWithinAbs(got, row[1], 2e-6) {
			t.Errorf("Nagaoka at l/D = %g: %.7f, want %.6f (Grover, Table 36)", row[0], got, row[1])
		}
	}
}

func TestNagaokaLimits(t *testing.T) {
	if got := Nagaoka(1e-9); !scalar.EqualWithinAbs(got, 1, 1e-8) {
		t.Errorf("an endless coil has %v, want 1", got)
	}
	// A very short coil tends to a strip: K = (2/πx)(ln 4x - 1/2), error of the
	// order ln(x)/x² (Rayleigh and Niven 1881, from memory).
	const x = 300.
	if want := 2 / (math.Pi * x) * (math.Log(4*x) - 0.5); !scalar.EqualWithinRel(Nagaoka(x), want, 1e-4) {
		t.Errorf("Nagaoka(%g) = %v, want %v (Rayleigh and Niven)", x, Nagaoka(x), want)
	}
}

func TestValidationCurrentSheet(t *testing.T) {
	r := readReference(t)
	for _, test := range r.Sheets {
		got, err := CurrentSheet(test.Turns, test.Diameter, test.Length)
		if err != nil || !scalar.EqualWithinRel(got, test.Henry, 1e-12) {
			t.Errorf("CurrentSheet(%g, %g, %g) = %v H, %v, want %v H (%s)", test.Turns, test.Diameter, test.Length, got, err, test.Henry, r.Source)
		}
	}
	for _, bad := range [][3]float64{{0, 1, 1}, {1, 0, 1}, {1, 1, 0}, {math.NaN(), 1, 1}, {1, math.Inf(1), 1}, {1, 1, math.Inf(1)}, {math.Inf(1), 1, 1}, {1, 1e-200, 1}, {1, 1e200, 1}} {
		if _, err := CurrentSheet(bad[0], bad[1], bad[2]); !errors.Is(err, ErrGeometry) {
			t.Errorf("CurrentSheet(%v): %v, want ErrGeometry", bad, err)
		}
	}
}

func TestCountTermAgainstRosa(t *testing.T) {
	const lastDigit = 1e-4 // some entries are cut, not rounded
	rows := readTable(t, "rosa.csv")
	if len(rows) < 50 {
		t.Fatalf("only %d rows of the table", len(rows))
	}
	for _, row := range rows {
		if got := countTerm(row[0]); !scalar.EqualWithinAbs(got, row[1], lastDigit) {
			t.Errorf("km for %g turns: %.6f, want %.4f (Grover, p. 150)", row[0], got, row[1])
		}
	}
	if got := countTerm(1e6); !scalar.EqualWithinAbs(got, 0.3379, 0.5e-4) {
		t.Errorf("km for very many turns: %.6f, want 0.3379 (Rosa, from memory)", got)
	}
	if got := spacingTerm(1, 1); !scalar.EqualWithinAbs(got, 0.5568, lastDigit) {
		t.Errorf("ks for touching turns: %.6f, want 0.5568 (Grover, from memory)", got)
	}
}

// TestMeanDistanceSeries meets closed form and series where both are good.
func TestMeanDistanceSeries(t *testing.T) {
	const m = 8
	square := func(x float64) float64 { return x * x * math.Log(x) }
	closed := math.Log(m) - (square(m+1)/2 - square(m) + square(m-1)/2 - 1.5)
	if got := meanDistanceDeficit(m); !scalar.EqualWithinRel(got, closed, 1e-9) {
		t.Errorf("deficit at %d pitches: %v by series, %v in closed form", m, got, closed)
	}
}

// TestSheetAndRings holds the handbook's way against the ring sum, which knows
// nothing of sheets.
func TestSheetAndRings(t *testing.T) {
	for _, test := range []struct{ turns, diameter, pitch, wire float64 }{
		{20, 0.025, 0.00023, 0.0002}, {55, 0.06, 0.0012, 0.0008}, {310, 0.025, 0.00024, 0.0002}, {1000, 0.1, 0.0004, 0.00032},
	} {
		sheet, err1 := CurrentSheet(test.turns, test.diameter, test.turns*test.pitch)
		rings, err2 := Winding{test.turns, test.diameter / 2, test.pitch, test.wire / 2, 0}.Inductance(Uniform)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		if got := sheet - RoundWireCorrection(test.turns, test.diameter, test.pitch, test.wire); !scalar.EqualWithinRel(got, rings, 1e-3) {
			t.Errorf("%+v: %v H by sheet and correction, %v H by rings", test, got, rings)
		}
	}
}

func BenchmarkNagaoka(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Nagaoka(0.36)
	}
}
