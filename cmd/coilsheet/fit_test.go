package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The coil of the files here, which are written in closed form.
const (
	fitFrequency = 1.3e6 // Hz
	fitQuality   = 150.
	fitCoupled   = 5. // Ω, what the coil reflects into a loop of 1 µH and 0.2 Ω
)

// ringDownFile is a trace of its decay, rounded to millivolts.
func ringDownFile() string {
	var b strings.Builder
	fmt.Fprintln(&b, "Time (us);CH1 (V)")
	alpha := math.Pi * fitFrequency / fitQuality
	omega := math.Sqrt(math.Pow(2*math.Pi*fitFrequency, 2) - alpha*alpha)
	for i := range 4000 {
		t := float64(i) * 50e-9
		fmt.Fprintf(&b, "%s\n", strings.ReplaceAll(fmt.Sprintf("%.2f;%.3f", t*1e6, math.Exp(-alpha*t)*math.Cos(omega*t)), ".", ","))
	}
	return b.String()
}

// reflectionFile is a sweep of its reflection, rounded to 10⁻⁴.
func reflectionFile() string {
	var b strings.Builder
	fmt.Fprintln(&b, "! a coil seen through a loop\n# kHz S RI R 50")
	for f := 1250; f <= 1350; f++ {
		w := float64(f) * 1e3 / fitFrequency
		z := complex(0.2, 2*math.Pi*float64(f)*1e3*1e-6) + complex(fitCoupled*w*w, 0)/complex(1, fitQuality*(w-1/w))
		g := (z - 50) / (z + 50)
		fmt.Fprintf(&b, "%d %.4f %.4f\n", f, real(g), imag(g))
	}
	return b.String()
}

// sweepFile is a sweep of its amplitude in dB.
func sweepFile() string {
	var b strings.Builder
	fmt.Fprintln(&b, "Frequency (kHz),Level (dB)")
	for f := 1250; f <= 1350; f++ {
		w := float64(f) * 1e3 / fitFrequency
		fmt.Fprintf(&b, "%d,%.3f\n", f, 20*math.Log10(cmplx.Abs(1/complex(1, fitQuality*(w-1/w)))))
	}
	return b.String()
}

func TestFit(t *testing.T) {
	keys := []string{"kind", "frequency_hz", "frequency_sigma_hz", "quality_factor", "quality_factor_sigma", "coupling", "other_frequencies_hz", "points", "message"}
	beta := real(fitCoupled / complex(50.2, 2*math.Pi*fitFrequency*1e-6))
	for _, test := range []struct {
		name, extension, content string
		args                     []string
		kind                     string
		points                   float64
	}{
		{"ring-down", "csv", ringDownFile(), nil, "ringdown", 4000},
		{"ring-down by its flag", "csv", ringDownFile(), []string{"-kind", "ringdown"}, "ringdown", 4000},
		{"reflection", "s1p", reflectionFile(), nil, "s1p", 101},
		{"reflection in capitals", "S1P", reflectionFile(), nil, "s1p", 101},
		{"reflection by its content", "txt", reflectionFile(), nil, "s1p", 101},
		{"sweep", "csv", sweepFile(), nil, "sweep", 101},
		{"sweep by its flag", "csv", sweepFile(), []string{"-kind", "sweep"}, "sweep", 101},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "coil."+test.extension)
			if err := os.WriteFile(path, []byte(test.content), 0o666); err != nil {
				t.Fatal(err)
			}
			code, out, errs := called(t, "", append(append([]string{"fit"}, test.args...), path)...)
			if code != exitDone || errs != "" {
				t.Fatalf("exit code %d, %s", code, errs)
			}
			// The keys, and their order.
			var got []string
			decoder := json.NewDecoder(strings.NewReader(out))
			for depth := 0; ; {
				token, err := decoder.Token()
				if err != nil {
					break
				}
				switch v := token.(type) {
				case json.Delim:
					if v == '{' || v == '[' {
						depth++
					} else {
						depth--
					}
				case string:
					if depth == 1 && slices.Contains(keys, v) {
						got = append(got, v)
					}
				}
			}
			if !slices.Equal(got, keys) {
				t.Errorf("keys %v, want %v", got, keys)
			}
			var f struct {
				Kind      string   `json:"kind"`
				Frequency float64  `json:"frequency_hz"`
				SigmaF    float64  `json:"frequency_sigma_hz"`
				Quality   float64  `json:"quality_factor"`
				SigmaQ    float64  `json:"quality_factor_sigma"`
				Coupling  *float64 `json:"coupling"`
				Others    []any    `json:"other_frequencies_hz"`
				Points    float64  `json:"points"`
			}
			if err := json.Unmarshal([]byte(out), &f); err != nil {
				t.Fatal(err)
			}
			if f.Kind != test.kind || f.Points != test.points || f.Others == nil || len(f.Others) > 0 {
				t.Errorf("printed %s", out)
			}
			const sigmas = 4
			if !(f.SigmaF > 0) || math.Abs(f.Frequency-fitFrequency) > sigmas*f.SigmaF || f.SigmaF > 1e-4*fitFrequency {
				t.Errorf("frequency %g ± %g Hz, want %g", f.Frequency, f.SigmaF, fitFrequency)
			}
			if !(f.SigmaQ > 0) || math.Abs(f.Quality-fitQuality) > sigmas*f.SigmaQ || f.SigmaQ > 0.01*fitQuality {
				t.Errorf("quality factor %g ± %g, want %g", f.Quality, f.SigmaQ, fitQuality)
			}
			switch {
			case test.kind != "s1p" && f.Coupling != nil:
				t.Errorf("coupling %g of a %s", *f.Coupling, test.kind)
			case test.kind == "s1p" && (f.Coupling == nil || math.Abs(*f.Coupling/beta-1) > 0.01):
				t.Errorf("coupling %v, want %g", f.Coupling, beta)
			}
			if test.extension == "csv" && test.args == nil {
				if _, piped, _ := called(t, test.content, "fit", "-"); piped != out {
					t.Errorf("from standard input %s, want %s", piped, out)
				}
			}
		})
	}
}

// What is not found is null, with the reason in the object and on standard
// error.
func TestFitFindsNothing(t *testing.T) {
	for _, test := range []struct{ name, content, kind, reason string }{
		{"flat trace", "Time (us),a\n" + flat(100), "ringdown", "The trace is flat"},
		{"half written", "# Hz S RI R 50\n1000 0.5 0.5\n2000 0.5", "s1p", "line 3 cannot be read: 2 numbers"},
		{"version 2", "[Version] 2.0\n# Hz S RI R 50\n", "s1p", "Touchstone file of version 2"},
		{"wrong number", strings.Replace(sweepFile(), "\n1300,", "\n13oo,", 1), "sweep", `line 52 cannot be read: column 1 is "13oo"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			code, out, errs := called(t, test.content, "fit", "-")
			var f map[string]any
			if err := json.Unmarshal([]byte(out), &f); err != nil {
				t.Fatalf("%v in %q; %s", err, out, errs)
			}
			if code != exitRefused || f["kind"] != test.kind || f["frequency_hz"] != nil || f["quality_factor"] != nil || f["coupling"] != nil {
				t.Errorf("exit code %d, %s", code, out)
			}
			if message, _ := f["message"].(string); !strings.Contains(message, test.reason) || !strings.Contains(errs, "coilsheet: standard input: "+message) {
				t.Errorf("message %q, standard error %q, want %q", f["message"], errs, test.reason)
			}
		})
	}
}

// flat is n samples of one.
func flat(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%d,1\n", i)
	}
	return b.String()
}

func TestFitRefuses(t *testing.T) {
	for _, test := range []struct {
		name, stdin string
		args        []string
		code        int
		want        string
	}{
		{"no file", "", []string{"fit"}, exitUsage, "exactly one FILE"},
		{"unknown kind", "", []string{"fit", "-kind", "s2p", "-"}, exitUsage, `there is no kind "s2p"`},
		{"kind of a Touchstone file", "", []string{"fit", "-kind", "sweep", "coil.s1p"}, exitUsage, "-kind is for CSV files"},
		{"missing file", "", []string{"fit", "nowhere.csv"}, exitRefused, "nowhere.csv"},
		{"folder", "", []string{"fit", t.TempDir()}, exitRefused, "is a directory"},
		{"empty", "", []string{"fit", "-"}, exitRefused, "standard input: the file cannot be read: it is empty"},
		{"prose", "a letter\n", []string{"fit", "-"}, exitRefused, "no columns of numbers"},
		{"neither", "1,1\n2,3\n3,1\n", []string{"fit", "-"}, exitRefused, "nothing in it tells a trace against time from a sweep"},
	} {
		code, out, errs := called(t, test.stdin, test.args...)
		if code != test.code || out != "" || !strings.Contains(errs, test.want) {
			t.Errorf("%s: exit code %d, %q, %q; want %d, %q", test.name, code, out, errs, test.code, test.want)
		}
	}
}
