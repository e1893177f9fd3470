package resonance

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/inductance"
)

// TestMedhurstRows reads every row of the printed table.
func TestMedhurstRows(t *testing.T) {
	file, err := os.Open("../../testdata/medhurst_c.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if rows = rows[1:]; len(rows) != 33 {
		t.Fatalf("%d rows, want the 33 of the table", len(rows))
	}
	for _, row := range rows {
		x, err1 := strconv.ParseFloat(row[0], 64)
		h, err2 := strconv.ParseFloat(row[1], 64)
		got, err3 := MedhurstCapacitance(0.01, 0.01*x)
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		if want := h * 1e-12; !scalar.EqualWithinRel(got.Value, want, 1e-12) {
			t.Errorf("MedhurstCapacitance(1 cm, %g cm) = %g F, want %g F (Medhurst 1947, table of H)", x, got.Value, want)
		}
	}
}

func TestMedhurstCapacitance(t *testing.T) {
	for _, test := range []struct {
		name             string
		diameter, length float64 // m
		want             float64 // F
		tol              float64 // relative
		inRange          bool
		source           string
	}{
		{"between rows, short", 0.1, 0.0125, 8.6e-12, 0.01, true, "fit 0.1126 x + 0.08 + 0.27/√x of Medhurst's table (from memory), 0.858 pF/cm at 0.125"},
		{"between rows, long", 0.02, 0.25, 2 * 1.59e-12, 0.01, true, "Medhurst 1947: 1.32 at 10 and 1.86 at 15, nearly straight"},
		{"80 turns on a plane", 0.1, 0.1, 4.55e-12, 0.05, true, "ring turns over an earthed plane, computed independently of this program; Medhurst's 5 %"},
		{"80 turns on a plane, long", 0.1, 0.2, 5.12e-12, 0.05, true, "as above"},
		{"shorter than tried", 0.1, 0.005, 10 * 0.96e-12 * math.Sqrt2, 0.05, false, "grows as the root of D/l, as the first rows do"},
		{"longer than tried", 0.01, 1, 2 * 5.8e-12, 0.05, false, "grows as the length, as the last rows do"},
	} {
		got, err := MedhurstCapacitance(test.diameter, test.length)
		if err != nil || !scalar.EqualWithinRel(got.Value, test.want, test.tol) || got.InRange != test.inRange {
			t.Errorf("%s: MedhurstCapacitance(%g, %g) = %+v, %v, want %g F, in range %v (%s)",
				test.name, test.diameter, test.length, got, err, test.want, test.inRange, test.source)
		}
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {-1, -1}, {math.NaN(), 1}, {1, math.NaN()}, {math.Inf(1), 1}, {1, math.Inf(1)}, {1e300, 1e-300}} {
		if got, err := MedhurstCapacitance(bad[0], bad[1]); !errors.Is(err, ErrGeometry) {
			t.Errorf("MedhurstCapacitance(%v) = %+v, %v, want ErrGeometry", bad, got, err)
		}
	}
}

// TestMedhurstIsContinuous walks over the rows and the ends of the table.
func TestMedhurstIsContinuous(t *testing.T) {
	const step = 1.001 // of length; C grows or falls at most as the length
	var before float64
	for length := 0.001; length < 1; length *= step {
		got, err := MedhurstCapacitance(0.01, length)
		if err != nil {
			t.Fatal(err)
		}
		if before > 0 && math.Abs(got.Value/before-1) > 1.2*(step-1) {
			t.Errorf("the self-capacitance jumps from %g F to %g F at a length of %g m", before, got.Value, length)
		}
		before = got.Value
	}
}

// TestMedhurstScales: double every length, and the capacitance doubles.
func TestMedhurstScales(t *testing.T) {
	one, err1 := MedhurstCapacitance(0.025, 0.08)
	two, err2 := MedhurstCapacitance(0.05, 0.16)
	if err := errors.Join(err1, err2); err != nil || !scalar.EqualWithinRel(two.Value, 2*one.Value, 1e-14) {
		t.Errorf("twice the size: %g F, want twice %g F (%v)", two.Value, one.Value, err)
	}
}

// TestValidationHandbookFrequency holds the handbook's way, the current sheet
// with Medhurst's capacitance, against two coils that were built and measured.
func TestValidationHandbookFrequency(t *testing.T) {
	const source = "P. Nicholson, mailing-list post of February 2001, foot earthed, no top load"
	for _, test := range []struct {
		turns, diameter, height, wire float64 // lengths in m
		want                          float64 // Hz
		tol                           float64 // relative: half of Medhurst's 5 % and 3 % of the reading
	}{
		{725, 0.58, 1.6, 2.053e-3, 90900, 0.055},
		{1001, 0.2606, 0.762, 0.5106e-3, 148400, 0.055},
	} {
		l, err1 := inductance.CurrentSheet(test.turns, test.diameter, test.height)
		c, err2 := MedhurstCapacitance(test.diameter, test.height)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		l -= inductance.RoundWireCorrection(test.turns, test.diameter, test.height/test.turns, test.wire)
		if got := HandbookFrequency(l, c.Value, 0); !scalar.EqualWithinRel(got, test.want, test.tol) {
			t.Errorf("%g turns, %g m across: %.0f Hz, measured %.0f Hz (%s)", test.turns, test.diameter, got, test.want, source)
		}
	}
}

func TestHandbookFrequency(t *testing.T) {
	// 1 mH and 25.33 pF ring at 1 MHz: 1/(4π² · 10¹² · 10⁻³) F.
	const want = 1e6
	c := 1 / (4 * math.Pi * math.Pi * want * want * 1e-3)
	if got := HandbookFrequency(1e-3, c/4, 3*c/4); !scalar.EqualWithinRel(got, want, 1e-14) {
		t.Errorf("HandbookFrequency(1 mH, %g F in two parts) = %g Hz, want %g Hz (Thomson's formula)", c, got, want)
	}
	if got := HandbookFrequency(1e-3, 4*c, 0); !scalar.EqualWithinRel(got, want/2, 1e-14) {
		t.Errorf("four times the capacitance: %g Hz, want %g Hz", got, want/2)
	}
}
