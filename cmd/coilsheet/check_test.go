package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"coilwright/physics/accuracy"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

func TestCheck(t *testing.T) {
	code, out, errs := called(t, "", "check")
	if code != exitDone || errs != "" {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	lines := strings.Split(strings.TrimRight(out, "\n"), "\n")
	var n int
	if _, err := fmt.Sscanf(lines[len(lines)-1], "%d rows, all within", &n); err != nil || n < 200 {
		t.Errorf("the last line is %q (%v)", lines[len(lines)-1], err)
	}
	code, out, errs = called(t, "", "check", "-json")
	if code != exitDone || errs != "" {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	var all struct {
		Rows []struct {
			Theirs, Ours, Difference float64
			Source                   string
		}
		Beyond *int
	}
	if err := json.Unmarshal([]byte(out), &all); err != nil || all.Beyond == nil || *all.Beyond != 0 || len(all.Rows) != n {
		t.Fatalf("%d rows as JSON, %d in the table, %v", len(all.Rows), n, err)
	}
	for _, r := range all.Rows {
		if got := r.Theirs * (1 + r.Difference); !(got > 0) || r.Source == "" {
			t.Errorf("an incomplete row: %+v", r)
		}
	}
}

// sampleRows are two good rows of two groups.
func sampleRows() []accuracy.Row {
	return []accuracy.Row{
		{
			Group: sentence.Literal("Bodies"), Quantity: sentence.Literal("capacitance"), Case: sentence.Literal("sphere 20 mm"), Source: sentence.Literal("a book"),
			Theirs: 1e-12, Ours: 1e-12, Unit: si.Farad, Difference: 0, Allowed: 1e-9, Within: true,
		},
		{
			Group: sentence.Literal("Coils"), Quantity: sentence.Literal("first mode"), Case: sentence.Literal("40 turns"), Source: sentence.Literal("a paper"),
			Theirs: 4e6, Ours: 3.999e6, Unit: si.Hertz, Difference: -2.5e-4, Allowed: 3e-3, Within: true,
		},
	}
}

func TestCheckBeyond(t *testing.T) {
	for _, asJSON := range []bool{false, true} {
		rows := sampleRows()
		var out, errs bytes.Buffer
		if code := exitCode(showRows(&out, rows, asJSON), &errs); code != exitDone || errs.Len() != 0 {
			t.Errorf("good rows give exit code %d, %s", code, errs.String())
		}
		rows[1].Ours, rows[1].Difference, rows[1].Within = 4.1e6, 0.025, false
		out.Reset()
		code := exitCode(showRows(&out, rows, asJSON), &errs)
		if want := "coilsheet: 1 of 2 rows beyond what is allowed\n"; code != exitRefused || errs.String() != want {
			t.Errorf("a row beyond gives exit code %d, %q, want %d, %q", code, errs.String(), exitRefused, want)
		}
		if !asJSON && (!strings.HasSuffix(out.String(), "\n2 rows, 1 beyond what is allowed\n") || !strings.Contains(out.String(), "BEYOND · a paper")) {
			t.Errorf("the table does not tell the row beyond:\n%s", out.String())
		}
	}
}

// TestTableStandsInLine: every column begins or ends at one place.
func TestTableStandsInLine(t *testing.T) {
	lines := strings.Split(rowTable(sampleRows()), "\n")
	column := func(line, text string) int {
		before, _, ok := strings.Cut(line, text)
		if !ok {
			t.Fatalf("%q lacks %q", line, text)
		}
		return utf8.RuneCountInString(before)
	}
	head, sphere, coil := lines[0], lines[3], lines[6]
	if lines[2] != "Bodies" || lines[5] != "Coils" {
		t.Errorf("headings %q and %q", lines[2], lines[5])
	}
	for _, pair := range [][2]int{
		{column(head, "case"), column(sphere, "sphere")},
		{column(head, "case"), column(coil, "40 turns")},
		{column(head, "source"), column(sphere, "a book")},
		{column(head, "source"), column(coil, "a paper")},
		{column(head, "theirs") + len("theirs"), column(coil, "4.000000\u202fMHz") + utf8.RuneCountInString("4.000000\u202fMHz")},
		{column(head, "allowed") + len("allowed"), column(coil, "0.3\u202f%") + utf8.RuneCountInString("0.3\u202f%")},
	} {
		if pair[0] != pair[1] {
			t.Errorf("columns at %d and %d in\n%s", pair[0], pair[1], strings.Join(lines, "\n"))
		}
	}
	if !strings.Contains(coil, "−0.0250\u202f%") || !strings.Contains(sphere, "+0e+00") || !strings.Contains(sphere, "1e−09") {
		t.Errorf("differences in\n%s\n%s", sphere, coil)
	}
}
