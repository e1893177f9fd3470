package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/design"
	"coilwright/release"
)

// called runs coilsheet and returns what it printed.
func called(t *testing.T, stdin string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &out, &errs)
	return code, out.String(), errs.String()
}

// example returns the content of the first example.
func example() string { return string(assets.Examples()[0].Content) }

// saved writes content to a file and returns its path.
func saved(t *testing.T, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.coil.json")
	if err := os.WriteFile(path, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReportOfEveryExample(t *testing.T) {
	for _, e := range assets.Examples() {
		path := saved(t, string(e.Content))
		code, out, errs := called(t, "", "report", path)
		if code != exitDone || errs != "" {
			t.Errorf("report %s: code %d, %s", e.Name, code, errs)
			continue
		}
		var report map[string]any
		if err := json.Unmarshal([]byte(out), &report); err != nil {
			t.Errorf("report %s: %v", e.Name, err)
		}
		for _, key := range []string{"format", "version", "secondary", "top_load", "resonance", "primary", "driver", "air", "handbook", "cautions"} {
			if _, ok := report[key]; !ok {
				t.Errorf("report %s lacks %s", e.Name, key)
			}
		}
		if _, piped, _ := called(t, string(e.Content), "report", "-"); piped != out {
			t.Errorf("report %s differs when it comes from standard input", e.Name)
		}
	}
}

func TestVersion(t *testing.T) {
	code, out, errs := called(t, "", "-version")
	if want := "coilsheet " + release.Version() + "\n"; code != exitDone || out != want || errs != "" {
		t.Errorf("-version: code %d, says %q and %q, want %q", code, out, errs, want)
	}
}

func TestExitCodes(t *testing.T) {
	good := saved(t, example())
	unbuildable := saved(t, strings.Replace(example(), `"turns": 19`, `"turns": 40`, 1))
	for _, test := range []struct {
		name  string
		stdin string
		args  []string
		code  int
		want  string // in standard error
	}{
		{"no command", "", nil, exitUsage, "Usage:"},
		{"help", "", []string{"help"}, exitDone, ""},
		{"help of a command", "", []string{"report", "-h"}, exitDone, "coilsheet report FILE"},
		{"unknown command", "", []string{"reprot"}, exitUsage, `there is no command "reprot"`},
		{"no file", "", []string{"report"}, exitUsage, "exactly one FILE"},
		{"two files", "", []string{"report", good, good}, exitUsage, "exactly one FILE"},
		{"flag behind the file", "", []string{"plots", good, "-dpi", "100"}, exitUsage, "exactly one FILE"},
		{"unknown flag", "", []string{"report", "-colour", good}, exitUsage, "-colour"},
		{"unknown format", "", []string{"plots", "-format", "gif", good}, exitUsage, `there is no format "gif"`},
		{"no resolution", "", []string{"plots", "-dpi", "0", good}, exitUsage, "-dpi must be from 36 to 1200"},
		{"resolution beyond sense", "", []string{"plots", "-dpi", "5000", good}, exitUsage, "-dpi must be"},
		{"not a number", "", []string{"plots", "-dpi", "NaN", good}, exitUsage, "-dpi must be"},
		{"check of a file", "", []string{"check", good}, exitUsage, "no FILE is needed"},
		{"unknown flag of check", "", []string{"check", "-xml"}, exitUsage, "-xml"},
		{"missing file", "", []string{"report", "nowhere.coil.json"}, exitRefused, "nowhere.coil.json"},
		{"folder", "", []string{"report", t.TempDir()}, exitRefused, "is a directory"},
		{"malformed", "{", []string{"report", "-"}, exitRefused, "standard input: malformed JSON at line 1, column 2"},
		{"unknown gauge", strings.Replace(example(), "AWG 32", "AWG 99", 1), []string{"report", "-"}, exitRefused,
			`standard input: secondary.wire.gauge: there is no "AWG 99"`},
		{"two problems", strings.NewReplacer(`"AWG 32"`, `"AWG 99"`, `"turns": 19`, `"turns": -1`).Replace(example()), []string{"report", "-"}, exitRefused,
			"\ncoilsheet: standard input: top_load.turns: must be from 1 to 5000, not -1\n"},
		{"ring too tight", "", []string{"report", unbuildable}, exitRefused, "top_load.turns: 40 turns of AWG 14 do not fit on a 10 mm hub: at most 22"},
		{"figures of a ring too tight", "", []string{"plots", unbuildable}, exitRefused, "top_load.turns: 40 turns of AWG 14 do not fit"},
	} {
		t.Run(test.name, func(t *testing.T) {
			code, out, errs := called(t, test.stdin, test.args...)
			if code != test.code {
				t.Errorf("exit code %d, want %d; %s", code, test.code, errs)
			}
			if !strings.Contains(errs, test.want) {
				t.Errorf("standard error %q lacks %q", errs, test.want)
			}
			if code != exitDone && out != "" {
				t.Errorf("standard output %q", out)
			}
		})
	}
}

func TestPlotsWritesTheFigures(t *testing.T) {
	signatures := map[string]string{"png": "\x89PNG\r\n", "svg": "<?xml", "pdf": "%PDF-", "csv": "turns,"}
	for format, signature := range signatures {
		t.Run(format, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "made", "here")
			code, out, errs := called(t, example(), "plots", "-out", folder, "-format", format, "-dpi", "72", "-")
			if code != exitDone || errs != "" {
				t.Fatalf("exit code %d, %s", code, errs)
			}
			for _, figure := range []string{"frequency", "capacitance", "count", "field"} {
				path := filepath.Join(folder, "Desk-coil-"+figure+"."+format)
				content, err := os.ReadFile(path)
				if err != nil {
					t.Fatal(err)
				}
				if figure == "frequency" && !strings.HasPrefix(string(content), signature) {
					t.Errorf("%s begins with %q, want %q", path, content[:min(8, len(content))], signature)
				}
				if len(content) < 200 {
					t.Errorf("%s has %d bytes", path, len(content))
				}
				if !strings.Contains(out, path+"\n") {
					t.Errorf("standard output %q does not name %s", out, path)
				}
			}
		})
	}
}

// TestPlotsOfDriversAndReadings: each kind of driver has the figures that the window
// shows of it, and readings have theirs, with numbers behind all but the circuit.
func TestPlotsOfDriversAndReadings(t *testing.T) {
	read := measuredCoil(t,
		design.Measurement{Quantity: "frequency", Value: 4.6e6, Setup: "with_primary", ProbePlace: "none"},
		design.Measurement{Quantity: "supply_current", Key: "9 V", Value: 0.07, Setup: "running", ProbePlace: "none"})
	kept := filepath.Join("testdata", "version1")
	for _, test := range []struct {
		file  string
		wants []string
	}{
		{read, []string{"waveforms", "start-up", "voltage-against-supply", "voltage-against-coupling", "voltage-against-base-resistor", "voltage-against-primary-turns", "readings"}},
		{filepath.Join(kept, "bridge.coil.json"), []string{"sweep"}},
		{filepath.Join(kept, "gap.coil.json"), []string{"energy"}},
	} {
		pictures, numbers := t.TempDir(), t.TempDir()
		for folder, format := range map[string]string{pictures: "svg", numbers: "csv"} {
			if code, _, errs := called(t, "", "plots", "-out", folder, "-format", format, test.file); code != exitDone || errs != "" {
				t.Fatalf("plots %s as %s: code %d, %s", test.file, format, code, errs)
			}
		}
		one := func(folder, ending string) []byte {
			found, err := filepath.Glob(filepath.Join(folder, "*-"+ending))
			if err != nil || len(found) != 1 {
				t.Fatalf("%s: %d files end in %s", test.file, len(found), ending)
			}
			content, err := os.ReadFile(found[0])
			if err != nil {
				t.Fatal(err)
			}
			return content
		}
		one(pictures, "circuit.svg")
		for _, want := range test.wants {
			one(pictures, want+".svg")
			if rows := strings.Count(string(one(numbers, want+".csv")), "\n"); rows < 3 {
				t.Errorf("%s: %s.csv has %d lines", test.file, want, rows)
			}
		}
		if found, _ := filepath.Glob(filepath.Join(numbers, "*-circuit.csv")); len(found) > 0 {
			t.Errorf("%s: a circuit has no table", test.file)
		}
	}
}

func TestPlotsOfEveryExample(t *testing.T) {
	for _, e := range assets.Examples() {
		folder := t.TempDir()
		if code, _, errs := called(t, string(e.Content), "plots", "-out", folder, "-format", "svg", "-"); code != exitDone {
			t.Errorf("plots %s: code %d, %s", e.Name, code, errs)
		}
	}
}

// The name of a design never leads out of the folder.
func TestFileName(t *testing.T) {
	for _, test := range []struct{ name, want string }{
		{"Desk coil", "Desk-coil"},
		{"", "coil"},
		{"..", "coil"},
		{"../../etc/passwd", "etc-passwd"},
		{`C:\coil.json`, "C-coil-json"},
		{"a\x00b\nc", "a-b-c"},
		{"Grün  ½ & größer", "Grün-größer"},
		{strings.Repeat("long ", 50), "long-long-long-long-long-long-long-long-long-long-long-long"},
		{".hidden", "hidden"},
		{"-flag", "flag"},
	} {
		got := fileName(test.name)
		if got != test.want {
			t.Errorf("fileName(%q) = %q, want %q", test.name, got, test.want)
		}
		if filepath.Base(got) != got {
			t.Errorf("fileName(%q) = %q leads elsewhere", test.name, got)
		}
	}
}
