package main

import (
	"context"
	"math"
	"strings"
	"testing"

	"coilwright/physics/design"
)

func TestFind(t *testing.T) {
	for _, key := range []string{"turns", "secondary.turns", "pitch"} {
		code, out, errs := called(t, example(), "find", "-frequency", "4.2 MHz", "-vary", key, "-")
		if code != exitDone || errs != "" {
			t.Fatalf("%s: exit code %d, %s", key, code, errs)
		}
		d, err := design.Read(strings.NewReader(out))
		if err != nil {
			t.Fatal(err)
		}
		r, err := design.Evaluate(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		const promised = 1e-4
		if got := *r.Resonance.Frequency; math.Abs(got/4.2e6-1) > promised {
			t.Errorf("varying %s it rings at %g Hz, want 4.2 MHz within %g", key, got, promised)
		}
	}
	// By the report of the same design, 13 turns have 1.893 pF and 14 have
	// 1.909 pF: 13 are nearer.
	code, out, errs := called(t, example(), "find", "-capacitance", "1.9pF", "-vary", "ring turns", "-")
	if code != exitDone || !strings.Contains(out, `"turns": 13`) || !strings.Contains(errs, "whole numbers only: with 13") {
		t.Errorf("exit code %d, %s", code, errs)
	}
}

func TestFindRefuses(t *testing.T) {
	for _, test := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"no target", []string{"-vary", "turns", "-"}, exitUsage, "-frequency or -capacitance is needed"},
		{"two targets", []string{"-frequency", "1MHz", "-capacitance", "1pF", "-vary", "turns", "-"}, exitUsage, "-frequency or -capacitance is needed"},
		{"nothing to vary", []string{"-frequency", "1MHz", "-"}, exitUsage, "-vary is needed"},
		{"no frequency", []string{"-frequency", "fast", "-vary", "turns", "-"}, exitUsage, "fast"},
		{"another quantity", []string{"-frequency", "3 mm", "-vary", "turns", "-"}, exitUsage, "mm"},
		{"zero", []string{"-frequency", "0", "-vary", "turns", "-"}, exitUsage, "above 0"},
		{"unknown key", []string{"-frequency", "1MHz", "-vary", "colour", "-"}, exitRefused, `"colour"`},
		{"out of reach", []string{"-frequency", "400 MHz", "-vary", "turns", "-"}, exitRefused, "cannot be reached by secondary.turns alone"},
	} {
		code, out, errs := called(t, example(), append([]string{"find"}, test.args...)...)
		if code != test.code || out != "" || !strings.Contains(errs, test.want) {
			t.Errorf("%s: exit code %d, %q, %q, want %d and %q", test.name, code, out, errs, test.code, test.want)
		}
		if code == exitRefused && strings.Count(errs, "\n") != 1 {
			t.Errorf("%s: %q is no single line", test.name, errs)
		}
	}
}
