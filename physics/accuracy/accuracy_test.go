package accuracy

import (
	"context"
	"errors"
	"math"
	"os"
	"path"
	"strings"
	"testing"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// TestValidationRows: the table is whole, and everything in it is within.
func TestValidationRows(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with reference cases")
	}
	rows, err := Rows(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, r := range rows {
		count[r.Group.String()]++
		if !r.Within {
			t.Errorf("%s of %s: %.7g, want %.7g within %.1g: off by %+.1e (%s)", r.Quantity, r.Case, r.Ours, r.Theirs, r.Allowed, r.Difference, r.Source)
		}
		if r.Quantity.Empty() || r.Case.Empty() || r.Source.Empty() || !(r.Allowed > 0) {
			t.Errorf("an incomplete row: %+v", r)
		}
		if r.Unit.Factor() != 1 {
			t.Errorf("%s of %s in %s, which is no SI unit", r.Quantity, r.Case, r.Unit)
		}
	}
	for _, want := range []struct {
		group string
		rows  int
		why   string
	}{
		{"Wire", 11 + 20, "entries of awg.csv"},
		{"Bodies with an exact answer", 14 + 2 + 2 + 3 + 3 + 3 + 4, "cases of bodies.json with an exact answer"},
		{"Bodies by boundary elements", 14 + 2 + 2 + 3 + 3, "the same but for spheroids and gradients"},
		{"Wire rings", 14 + 14, "rings of bodies.json"},
		{"Inductance", 10 + 16 + 9, "every tenth of Grover's 100 rows, windings and couplings of rings.json"},
		{"Resistance to alternating current", 2*9 + 11, "nine wires at two frequencies, windings of winding_resistance.csv"},
		{"Modes against full matrices of every turn", 51, "cases of coil_modes.json"},
		{"Modes against a full-wave solution", 2 * 7, "two modes of 7 cases"},
		{"Measured coils", 2, "readings of measured_coils.json"},
	} {
		if count[want.group] != want.rows {
			t.Errorf("%q has %d rows, want %d: %s", want.group, count[want.group], want.rows, want.why)
		}
	}
}

// TestAdd: what is beyond is told, and what is no number is beyond.
func TestAdd(t *testing.T) {
	var all table
	of := subject{sentence.New("capacitance"), si.Farad, sentence.Literal("a book"), 1e-3}
	for _, test := range []struct {
		theirs, ours float64
		within       bool
	}{
		{1e-12, 1.0009e-12, true}, {1e-12, 0.9991e-12, true}, {1e-12, 1e-12, true},
		{1e-12, 1.0011e-12, false}, {1e-12, 0.9989e-12, false}, {1e-12, -1e-12, false},
		{1e-12, math.NaN(), false}, {1e-12, math.Inf(1), false}, {0, 1, false},
	} {
		all.add(of, sentence.Literal("a body"), test.theirs, test.ours)
		if got := all.rows[len(all.rows)-1]; got.Within != test.within {
			t.Errorf("%g against %g: %+v", test.ours, test.theirs, got)
		}
	}
	if got := Beyond(all.rows); got != 6 {
		t.Errorf("%d rows beyond, want 6", got)
	}
}

func TestRowsStop(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Rows(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Rows: %v, want context.Canceled", err)
	}
}

// TestReferenceIsThatOfTheTests: the copies in the program are those that the
// packages are tested with.
func TestReferenceIsThatOfTheTests(t *testing.T) {
	entries, err := reference.ReadDir("reference")
	if err != nil {
		t.Fatal(err)
	}
	elsewhere := map[string]string{
		"fullwave.json":          "../../testdata/fullwave/cases.json",
		"nagaoka.csv":            "../inductance/testdata/nagaoka.csv",
		"rings.json":             "../inductance/testdata/rings.json",
		"round_wire.csv":         "../loss/testdata/round_wire.csv",
		"winding_resistance.csv": "../loss/testdata/coils.csv",
	}
	for _, entry := range entries {
		original, ok := elsewhere[entry.Name()]
		if !ok {
			original = path.Join("../../testdata", entry.Name())
		}
		copied, err1 := reference.ReadFile("reference/" + entry.Name())
		tested, err2 := os.ReadFile(original)
		if err := errors.Join(err1, err2); err != nil || string(copied) != string(tested) {
			t.Errorf("%s differs from %s (%v)", entry.Name(), original, err)
		}
	}
}

// TestGroupsStandTogether: a table in blocks has no block twice.
func TestGroupsStandTogether(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range groups() {
		name := g.name.String()
		if seen[name] || strings.TrimSpace(name) == "" {
			t.Errorf("the group %q comes twice or has no name", name)
		}
		seen[name] = true
	}
}

// BenchmarkRows is the whole table: a few seconds at most.
func BenchmarkRows(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Rows(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
