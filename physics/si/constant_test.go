package si

import (
	"math"
	"testing"
)

// The digits of the constants are right when they satisfy laws that the table
// they were copied from was not used for here.
func TestConstants(t *testing.T) {
	for _, test := range []struct {
		name      string
		got, want float64
		tol       float64 // relative
		source    string
	}{
		{"mu0 epsilon0 c²", Mu0 * Epsilon0 * SpeedOfLight * SpeedOfLight, 1, 1e-11, "Maxwell; 12 digits printed"},
		{"mu0 by the former ampere", Mu0, 4e-7 * math.Pi, 6e-10, "SI before 2019: exact; CODATA 2018 says 1 + 5.5e-10"},
		{"impedance of free space", Mu0 * SpeedOfLight, 376.730313668, 1e-11, "CODATA 2018, from memory"},
	} {
		if e := math.Abs(test.got/test.want - 1); !(e <= test.tol) {
			t.Errorf("%s = %.12g, want %.12g within %g (%s)", test.name, test.got, test.want, test.tol, test.source)
		}
	}
}
