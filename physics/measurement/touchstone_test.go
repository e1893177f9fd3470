package measurement

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"
)

// One point, Γ = 0.6 + 0.3j at 2 MHz, in all ways that an option line allows.
func TestTouchstoneOptionLines(t *testing.T) {
	const f = 2e6
	gamma := complex(0.6, 0.3)
	one := complex(1, 0)
	parameters := map[string]complex128{"S": gamma, "Z": (one + gamma) / (one - gamma), "Y": (one - gamma) / (one + gamma)}
	formats := map[string]func(p complex128) string{
		"RI": func(p complex128) string { return fmt.Sprintf("%.12g %.12g", real(p), imag(p)) },
		"MA": func(p complex128) string {
			return fmt.Sprintf("%.12g %.12g", cmplx.Abs(p), cmplx.Phase(p)*180/math.Pi)
		},
		"DB": func(p complex128) string {
			return fmt.Sprintf("%.12g %.12g", 20*math.Log10(cmplx.Abs(p)), cmplx.Phase(p)*180/math.Pi)
		},
	}
	units := map[string]float64{"Hz": 1, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9, "": 1e9}
	check := func(file string, impedance float64) {
		t.Helper()
		r, err := ReadTouchstone(strings.NewReader(file))
		if err != nil {
			t.Errorf("%q: %v", file, err)
			return
		}
		const tol = 1e-10 // of twelve digits
		if len(r.Frequency) != 1 || math.Abs(r.Frequency[0]/f-1) > tol || cmplx.Abs(r.Coefficient[0]-gamma) > tol || r.Impedance != impedance {
			t.Errorf("%q: %v, %v, %g Ω; want %g Hz, %v, %g Ω", file, r.Frequency, r.Coefficient, r.Impedance, f, gamma, impedance)
		}
	}
	for unit, hertz := range units {
		for parameter, p := range parameters {
			for format, number := range formats {
				for _, impedance := range []string{"", "R 50", "R 75", "R 0.5"} {
					want := 50.0
					if impedance != "" {
						fmt.Sscanf(impedance, "R %g", &want)
					}
					data := fmt.Sprintf("%.12g %s\n", f/hertz, number(p))
					check("# "+unit+" "+parameter+" "+format+" "+impedance+"\n"+data, want)
					check("# "+impedance+" "+format+" "+parameter+" "+unit+"\r\n"+data, want) // any order
					check(strings.ToLower("# "+unit+" "+parameter+" "+format+" "+impedance+"\n"+data), want)
				}
			}
		}
	}
	// The defaults: GHz, S, MA, R 50.
	check("#\n0.002 "+formats["MA"](gamma), 50)
}

func TestTouchstoneFiles(t *testing.T) {
	for _, test := range []struct {
		name, file string
		points     int
		comments   string
	}{
		{"comments", "! a coil\n!\n# Hz S RI R 50 ! option\n! between\n1 0 0 ! first\n\n2 0 0\n", 2, "a coil|option|between|first"},
		{"later option lines are ignored", "# Hz S RI R 50\n1 0 0\n# GHz Z MA R 75\n2 0 0\n", 2, ""},
		{"old Macintosh line ends", "# Hz S RI R 50\r1 0 0\r2 0 0\r", 2, ""},
		{"tabs and blanks", " #\tHz  S RI\tR   50\n\t1   0\t0\n", 1, ""},
		{"mark of UTF-8", "\ufeff# Hz S RI R 50\n1 0 0\n", 1, ""},
		{"no line end", "# Hz S RI R 50\n1 0 0\n2 0 0", 2, ""},
		{"R without a blank", "# Hz S RI R50\n1 0 0\n", 1, ""},
	} {
		r, err := ReadTouchstone(strings.NewReader(test.file))
		if err != nil || len(r.Frequency) != test.points || len(r.Coefficient) != test.points || strings.Join(r.Comments, "|") != test.comments {
			t.Errorf("%s: %d points, comments %q, %v", test.name, len(r.Frequency), r.Comments, err)
		}
	}
}

func TestTouchstoneRefuses(t *testing.T) {
	for _, test := range []struct{ name, file, want string }{
		{"empty", "", "no option line"},
		{"comments only", "! nothing\n", "no option line"},
		{"no data", "# Hz S RI R 50\n! nothing\n", "no data"},
		{"data first", "! x\n1 0 0\n# Hz\n", `line 2 cannot be read: "1 0 0" stands before the option line`},
		{"version 2", "! x\n[Version] 2.0\n# Hz S RI R 50\n", "line 2 cannot be read: this is a Touchstone file of version 2"},
		{"version 2, below the option line", "# Hz S RI R 50\n[Number of Ports] 1\n", "version 2"},
		{"two ports", "# Hz S RI R 50\n1 0 0 1 0 1 0 0 0\n", "line 2 cannot be read: 9 numbers where a one-port has 3; nine is a file of two ports"},
		{"cut off", "# Hz S RI R 50\n1 0 0\n2 0\n", "line 3 cannot be read: 2 numbers where a one-port has 3"},
		{"no number", "# Hz S RI R 50\n1 0 x\n", `line 2 cannot be read: "x" is not a number`},
		{"decimal comma", "# Hz S RI R 50\n1 0,5 0\n", `"0,5" is not a number`},
		{"NaN", "# Hz S RI R 50\n1 NaN 0\n", `"NaN" is not a number`},
		{"backwards", "# Hz S RI R 50\n2 0 0\n1 0 0\n", "line 3 cannot be read: frequency 1 Hz does not lie above the one before, 2 Hz"},
		{"twice", "# Hz S RI R 50\n2 0 0\n2 0 0\n", "line 3"},
		{"negative", "# Hz S RI R 50\n-2 0 0\n", "frequency -2 Hz"},
		{"hybrid", "# Hz H RI R 50\n", "H parameters are those of two ports"},
		{"unknown word", "# Hz S XY R 50\n", `"XY" is no word of an option line`},
		{"R alone", "# Hz S RI R\n", "no reference impedance after R"},
		{"R of zero", "# Hz S RI R 0\n", "not a positive number of ohms"},
		{"short of an active port", "# Hz Z RI R 50\n1 -1 0\n", "no finite reflection coefficient"},
		{"UTF-16", "\xff\xfe#\x00", "UTF-16"},
		{"endless line", "# Hz S RI R 50\n" + strings.Repeat("1 ", longestLine), "longer than"},
	} {
		_, err := ReadTouchstone(strings.NewReader(test.file))
		if !errors.Is(err, ErrFile) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
}

// FuzzTouchstone reads anything without panic; what it takes it can fit.
func FuzzTouchstone(f *testing.F) {
	for _, seed := range []string{
		"# Hz S RI R 50\n1 0 0\n2 0.5 0.5\n",
		"! c\n#\n0.1 1 90\n",
		"# MHz Z DB R 75\n1 -3 10\n# x\n",
		"[Version] 2.0\n",
	} {
		f.Add([]byte(seed))
	}
	var circle strings.Builder
	circle.WriteString("# kHz S RI R 50\n")
	low := deskLoop
	low.quality = 50
	sweep := span{1.2e6, 1.4e6, 41}
	for i, g := range sweep.reflected(50, 0, nil, low.impedance).Coefficient {
		fmt.Fprintf(&circle, "%d %.3f %.3f\n", 1200+5*i, real(g), imag(g))
	}
	f.Add([]byte(circle.String()))
	f.Fuzz(func(t *testing.T, file []byte) {
		r, err := ReadTouchstone(strings.NewReader(string(file)))
		if err != nil {
			if !errors.Is(err, ErrFile) {
				t.Fatalf("error %v", err)
			}
			return
		}
		if len(r.Frequency) == 0 || len(r.Frequency) != len(r.Coefficient) || !(r.Impedance > 0) {
			t.Fatalf("%d frequencies, %d coefficients, %g Ω", len(r.Frequency), len(r.Coefficient), r.Impedance)
		}
		for i, g := range r.Coefficient {
			if cmplx.IsNaN(g) || cmplx.IsInf(g) || i > 0 && r.Frequency[i] <= r.Frequency[i-1] {
				t.Fatalf("point %d: %g Hz, %v", i, r.Frequency[i], g)
			}
		}
		checkFit(t, FitReflection(r, Range{}).Fit)
	})
}

// checkFit checks what holds of every fit: finite numbers, and a reason for
// what is missing.
func checkFit(t *testing.T, f Fit) {
	t.Helper()
	for _, e := range []*Estimate{f.Frequency, f.QualityFactor, f.Coupling} {
		if e != nil && (math.IsNaN(e.Value) || math.IsInf(e.Value, 0) || math.IsNaN(e.Sigma) || math.IsInf(e.Sigma, 0) || e.Sigma < 0) {
			t.Fatalf("estimate %+v", *e)
		}
	}
	if f.Frequency != nil && !(f.Frequency.Value > 0) || f.QualityFactor != nil && !(f.QualityFactor.Value > 0) {
		t.Fatalf("frequency %v, quality factor %v", f.Frequency, f.QualityFactor)
	}
	if !f.Complete() && f.Message.Empty() {
		t.Fatal("something is missing and no reason is given")
	}
}
