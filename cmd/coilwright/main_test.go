package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"coilwright/app"
	"coilwright/release"
)

func TestRunRefusesInOneLine(t *testing.T) {
	t.Setenv("DISPLAY", "")
	t.Setenv("WAYLAND_DISPLAY", "")
	for _, test := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no display", nil, 1, "coilwright: no display to open a window on: DISPLAY is not set\n"},
		{"two files", []string{"a.coil.json", "b.coil.json"}, 2, "usage: coilwright [-version] [FILE.coil.json | FILE.lesson.json]\n"},
		{"help", []string{"-h"}, 0, "usage: coilwright [-version] [FILE.coil.json | FILE.lesson.json]\n"},
	} {
		var stderr strings.Builder
		if code := run(test.args, io.Discard, &stderr); code != test.code || stderr.String() != test.says {
			t.Errorf("%s: run(%q) = %d and says %q, want %d and %q",
				test.name, test.args, code, stderr.String(), test.code, test.says)
		}
	}
}

func TestRunRefusesAnUnknownFlag(t *testing.T) {
	var stderr strings.Builder
	if code := run([]string{"-nonsense"}, io.Discard, &stderr); code != 2 {
		t.Errorf("run(-nonsense) = %d, want 2", code)
	}
}

func TestVersion(t *testing.T) {
	var stdout strings.Builder
	if code := run([]string{"-version"}, &stdout, io.Discard); code != 0 || stdout.String() != "coilwright "+release.Version()+"\n" {
		t.Errorf("run(-version) = %d and says %q", code, stdout.String())
	}
}

func TestShowRefusesABadFile(t *testing.T) {
	home := t.TempDir() // for the settings
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("AppData", home)
	err := show("testdata/no such file.coil.json")
	if err == nil || strings.Contains(err.Error(), "\n") {
		t.Errorf("show of a missing file = %v, want one line", err)
	}
}

// The packager and the program must name the same application, or its
// preferences are lost when it is installed.
func TestPackagerKnowsTheProgram(t *testing.T) {
	content, err := os.ReadFile("../../FyneApp.toml")
	if err != nil {
		t.Fatal(err)
	}
	if line := fmt.Sprintf("\nID = %q\n", app.ID); !strings.Contains(string(content), line) {
		t.Errorf("FyneApp.toml lacks the line %q", strings.TrimSpace(line))
	}
}

// TestNoLocaleComplaint starts this test program again, without a test to run,
// in the environment of a container: initialising the toolkit must print
// nothing.
func TestNoLocaleComplaint(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, locale := range []string{"", "C", "C.UTF-8", "POSIX"} {
		c := exec.Command(program, "-test.run=^$")
		c.Env = append(os.Environ(), "LC_ALL="+locale, "LC_MESSAGES=", "LANG=", "LANGUAGE=")
		out, err := c.CombinedOutput()
		if err != nil {
			t.Fatalf("LC_ALL=%s: %v: %s", locale, err, out)
		}
		if strings.Contains(string(out), "locale") {
			t.Errorf("LC_ALL=%s: printed %q", locale, out)
		}
	}
}

// The version stands in three places besides the tag; packaging/build compares
// them with that.
func TestPackagersAgreeOnTheVersion(t *testing.T) {
	toml, err := os.ReadFile("../../FyneApp.toml")
	if err != nil {
		t.Fatal(err)
	}
	stated := regexp.MustCompile(`(?m)^Version = "([0-9.]+)"$`).FindSubmatch(toml)
	if stated == nil {
		t.Fatal("FyneApp.toml states no version")
	}
	for file, line := range map[string]string{
		"../../packaging/linux/org.coilwright.Coilwright.metainfo.xml": `<release version="` + string(stated[1]) + `"`,
		"../../packaging/linux/org.coilwright.Coilwright.desktop":      "Icon=" + app.ID,
		"../../CHANGELOG.md": "## " + string(stated[1]),
	} {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(content), line) {
			t.Errorf("%s lacks %q", file, line)
		}
	}
}
