package app

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
)

func TestSettingsAreTheOwnersAlone(t *testing.T) {
	for _, test := range []struct {
		name, content string
		damaged       bool
	}{
		{"none yet", "", false},
		{"sound", `{"units":1,"folder":"/a","recent files":["/a/b","/c"],"folded cards":[]}`, false},
		{"empty", " ", true},
		{"cut off", `{"units":1,"fol`, true},
		{"a list", `[1]`, true},
		{"null", `null`, true},
		{"lists of mixed kinds", `{"recent files":["/a",1]}`, true},
		{"lists of lists", `{"recent files":[["/a"]]}`, true},
		{"too large", `{"folder":"` + strings.Repeat("x", maxSettings) + `"}`, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "new", "preferences.json")
			if test.content != "" {
				if err := os.Mkdir(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(test.content), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			for range 2 {
				if err := PrepareSettings(path); err != nil {
					t.Fatal(err)
				}
			}
			info, err := os.Stat(path)
			if err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
				t.Errorf("the settings have mode %v, %v, want 600", info.Mode(), err)
			}
			content, err := os.ReadFile(path)
			if err != nil || !soundSettings(content) {
				t.Errorf("the settings are %q, %v", content, err)
			}
			if !test.damaged && test.content != "" && string(content) != test.content {
				t.Errorf("sound settings became %q", content)
			}
			aside, err := os.ReadFile(path + ".damaged")
			if test.damaged && string(aside) != test.content || !test.damaged && err == nil {
				t.Errorf("put aside: %d bytes, %v", len(aside), err)
			}
		})
	}
}

func TestSettingsWithoutAPlace(t *testing.T) {
	if err := PrepareSettings(""); err != nil {
		t.Error(err)
	}
	if os.Getuid() == 0 {
		t.Skip("nothing is forbidden to this user")
	}
	folder := t.TempDir()
	if err := os.Chmod(folder, 0o500); err != nil {
		t.Fatal(err)
	}
	if err := PrepareSettings(filepath.Join(folder, "a", "preferences.json")); err == nil {
		t.Error("settings in a folder that may not be written to")
	}
}

// Whatever the settings hold, the window opens.
func FuzzSettings(f *testing.F) {
	f.Add(1, "dark", "/a/b", 1280.0, "top_load")
	f.Add(-7, "purple", "../..", -1.0, "")
	f.Add(1<<40, "\xff", "\x00", 1e300, "nothing")
	f.Fuzz(func(t *testing.T, units int, appearance, path string, width float64, folded string) {
		a := test.NewTempApp(t)
		p := a.Preferences()
		p.SetInt(preferUnits, units)
		p.SetString(preferAppearance, appearance)
		p.SetString(preferFolder, path)
		p.SetFloat(preferWidth, width)
		p.SetFloat(preferHeight, -width)
		p.SetStringList(preferFolded, []string{folded})
		p.SetStringList("recent files", []string{path})
		w, err := New(a, Options{Synchronous: true})
		if err != nil {
			t.Fatal(err)
		}
		defer w.session.Close()
		size := w.preferredSize()
		if !(size.Width >= leastSize.Width && size.Width <= largestSize.Width && size.Height >= leastSize.Height && size.Height <= largestSize.Height) {
			t.Errorf("the window is %v", size)
		}
		if frequency(w) == "" {
			t.Error("the window shows no frequency")
		}
		switch w.appearance {
		case theme.System, theme.Light, theme.Dark:
		default:
			t.Errorf("the appearance is %q", w.appearance)
		}
	})
}

// FuzzSettingsFile checks that what counts as sound is what the toolkit takes:
// an object whose lists hold one kind of value.
func FuzzSettingsFile(f *testing.F) {
	for _, content := range []string{`{}`, `{"a":[1,2]}`, `{"a":[1,"b"]}`, `[`, `{"a":{"b":[null]}}`, "\x00"} {
		f.Add([]byte(content))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		path := filepath.Join(t.TempDir(), "preferences.json")
		if err := os.WriteFile(path, content, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := PrepareSettings(path); err != nil {
			t.Fatal(err)
		}
		after, err := os.ReadFile(path)
		if err != nil || !soundSettings(after) {
			t.Errorf("%q became %q, %v", content, after, err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode()&fs.ModePerm != 0o600 {
			t.Errorf("mode %v, %v", info.Mode(), err)
		}
	})
}
