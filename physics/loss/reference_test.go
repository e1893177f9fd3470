package loss

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// readReference returns the rows of a table of testdata without its head.
func readReference(t *testing.T, name string) [][]string {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(data)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// testWire is a winding of wire of radius 1 mm whose skin depth at 1 MHz is such that
// the diameter is the given number of them.
func testWire(radius, pitchOverDiameter, diameterOverSkinDepth float64) Winding {
	const a = 1e-3
	skin := 2 * a / diameterOverSkinDepth
	return Winding{Radius: radius, WireRadius: a, Pitch: 2 * a * pitchOverDiameter, Conductivity: SkinDepth(testFrequency, 1) * SkinDepth(testFrequency, 1) / (skin * skin)}
}

const testFrequency = 1e6 // Hz

// ratioOf returns the resistance over that to direct current.
func ratioOf(t *testing.T, s *Solver, w Winding, current []float64) float64 {
	t.Helper()
	l, err := s.Winding(w, testFrequency, current)
	if err != nil {
		t.Fatal(err)
	}
	squares := 0.0
	for _, c := range current {
		squares += c * c
	}
	return 2 * l.Power / (l.ResistanceDC * squares / float64(len(current)))
}

func uniform(turns int) []float64 {
	current := make([]float64, turns)
	for i := range current {
		current[i] = 1
	}
	return current
}

func TestValidationParallelWires(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with a field solver")
	}
	const allowed = 0.005 // required of two wires and of rows
	var s Solver
	worst := 0.0
	for _, row := range readReference(t, "wires.csv") {
		pitch, thick, want := number(t, row[1]), number(t, row[2]), number(t, row[3])
		var got float64
		switch row[0] {
		case "pair_same":
			got = ratioOf(t, &s, testWire(math.Inf(1), pitch, thick), []float64{1, 1})
		case "pair_opposite":
			got = ratioOf(t, &s, testWire(math.Inf(1), pitch, thick), []float64{1, -1})
		case "row_plane", "row_lopsided":
			lopsided := 0.0
			if row[0] == "row_lopsided" {
				lopsided = 1
			}
			factor, err := EndlessRow(1/pitch, thick/2, lopsided)
			if err != nil {
				t.Fatal(err)
			}
			got = factor * (1 + real(skinExcess(thick/2)))
		}
		worst = math.Max(worst, math.Abs(got/want-1))
		if math.Abs(got/want-1) > allowed {
			t.Errorf("%s: pitch %g d, d %g skin depths: R/R0 = %.5f, want %.5f (finite elements)", row[0], pitch, thick, got, want)
		}
	}
	t.Logf("largest deviation %.2g", worst)
}

func TestValidationCoils(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with a field solver")
	}
	// What is left out is of the second order in the wire's radius over the coil's,
	// times what the turns do to each other; the factor is measured.
	const allowed = 0.005
	const bend = 0.9
	var s Solver
	for _, row := range readReference(t, "coils.csv") {
		turns, pitch, radius, thick, want := number(t, row[0]), number(t, row[1]), number(t, row[2]), number(t, row[3]), number(t, row[4])
		got := ratioOf(t, &s, testWire(radius*1e-3, pitch, thick), uniform(int(turns)))
		off := got/want - 1
		t.Logf("%g turns of radius %g a, pitch %g d, d %g skin depths: %+.2f %%", turns, radius, pitch, thick, 100*off)
		if math.Abs(off) > allowed+bend/(radius*radius) {
			t.Errorf("%g turns of radius %g a, pitch %g d, d %g skin depths: R/R0 = %.5f, want %.5f (finite elements)", turns, radius, pitch, thick, got, want)
		}
	}
}
