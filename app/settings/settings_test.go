package settings

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func open(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func closed(t testing.TB, s *Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

func TestOpen(t *testing.T) {
	for _, test := range []struct {
		name, content string
		damaged       bool
	}{
		{"none yet", "", false},
		{"sound", `{"units":1,"folder":"/a","recent files":["/a/b","/c"],"folded cards":[]}`, false},
		{"lists of mixed kinds", `{"recent files":["/a",1]}`, false},
		{"empty", " ", true},
		{"cut off", `{"units":1,"fol`, true},
		{"a list", `[1]`, true},
		{"null", `null`, true},
		{"too large", `{"folder":"` + strings.Repeat("x", maxSize) + `"}`, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "new", "settings.json")
			if test.content != "" {
				if err := os.Mkdir(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(test.content), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			for range 2 {
				s := open(t, path)
				s.SetInt("seen", 3)
				closed(t, s)
			}
			info, err := os.Stat(path)
			if err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != mode {
				t.Errorf("the settings have mode %v, %v, want %v", info.Mode(), err, fs.FileMode(mode))
			}
			again := open(t, path)
			if got := again.Int("seen"); got != 3 {
				t.Errorf("read again: %d, want 3", got)
			}
			if got := again.String("folder"); test.name == "sound" && got != "/a" {
				t.Errorf("the folder became %q", got)
			}
			aside, err := os.ReadFile(path + damagedSuffix)
			if test.damaged && string(aside) != test.content || !test.damaged && err == nil {
				t.Errorf("put aside: %d bytes, %v", len(aside), err)
			}
		})
	}
}

func TestPlaceless(t *testing.T) {
	s := open(t, "")
	s.SetString("a", "b")
	if got := s.String("a"); got != "b" {
		t.Errorf("in memory: %q, want b", got)
	}
	closed(t, s)
	if os.Getuid() == 0 {
		t.Skip("nothing is forbidden to this user")
	}
	folder := t.TempDir()
	if err := os.Chmod(folder, 0o500); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(filepath.Join(folder, "a", "settings.json")); err == nil {
		t.Error("settings in a folder that may not be written to")
	}
}

// A value survives the file, and one of another kind counts as none.
func TestKinds(t *testing.T) {
	path := filepath.Join(t.TempDir(), "settings.json")
	s := open(t, path)
	s.SetBool("bool", true)
	s.SetInt("int", -7)
	s.SetFloat("float", 0.1)
	s.SetFloat("no number", math.NaN())
	s.SetString("string", "ä\x00\"")
	s.SetBoolList("bools", []bool{false, true})
	s.SetIntList("ints", []int{1 << 40})
	s.SetFloatList("floats", []float64{1e-300})
	s.SetStringList("strings", []string{"", "a"})
	s.SetStringList("none", nil)
	s.SetInt("gone", 1)
	s.RemoveValue("gone")
	check := func(s *Store) {
		t.Helper()
		for _, test := range []struct {
			name      string
			got, want any
		}{
			{"bool", s.BoolWithFallback("bool", false), true},
			{"int", s.IntWithFallback("int", 1), -7},
			{"float", s.FloatWithFallback("float", 1), 0.1},
			{"no number", s.FloatWithFallback("no number", 1), 1.0},
			{"string", s.StringWithFallback("string", ""), "ä\x00\""},
			{"bools", s.BoolListWithFallback("bools", nil), []bool{false, true}},
			{"ints", s.IntListWithFallback("ints", nil), []int{1 << 40}},
			{"floats", s.FloatListWithFallback("floats", nil), []float64{1e-300}},
			{"strings", s.StringListWithFallback("strings", nil), []string{"", "a"}},
			{"an empty list", s.StringListWithFallback("none", []string{"fallback"}), []string{}},
			{"removed", s.IntWithFallback("gone", 5), 5},
			{"another kind", s.IntWithFallback("string", 5), 5},
			{"another list", s.BoolListWithFallback("strings", []bool{true}), []bool{true}},
			{"never set", s.String("never"), ""},
		} {
			if fmt.Sprintf("%T %#v", test.got, test.got) != fmt.Sprintf("%T %#v", test.want, test.want) {
				t.Errorf("%s: %#v, want %#v", test.name, test.got, test.want)
			}
		}
	}
	check(s)
	closed(t, s)
	check(open(t, path))
}

// Two windows keep what each of them changed.
func TestTwoStores(t *testing.T) {
	path := filepath.Join(t.TempDir(), "settings.json")
	first, second := open(t, path), open(t, path)
	first.SetInt("a", 1)
	second.SetInt("b", 2)
	first.SetInt("c", 1)
	closed(t, first)
	second.RemoveValue("c")
	closed(t, second)
	both := open(t, path)
	if a, b, c := both.Int("a"), both.Int("b"), both.Int("c"); a != 1 || b != 2 || c != 0 {
		t.Errorf("kept %d, %d, %d, want 1, 2, 0", a, b, c)
	}
}

// What could not be written is tried again.
func TestFailedSave(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "gone")
	path := filepath.Join(folder, "settings.json")
	s := open(t, path)
	if err := os.Remove(folder); err != nil {
		t.Fatal(err)
	}
	s.SetInt("a", 1)
	if err := s.Close(); err == nil {
		t.Error("saved into a folder that is gone")
	}
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	if got := open(t, path).Int("a"); got != 1 {
		t.Errorf("tried again: %d, want 1", got)
	}
}

func TestAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "settings.json")
	s := open(t, path)
	var wait sync.WaitGroup
	for i := range 4 {
		wait.Go(func() {
			for j := range 50 {
				s.SetInt(fmt.Sprint("key ", i), j)
				s.StringList("recent files")
				if j%10 == 0 {
					closed(t, s)
				}
			}
		})
	}
	wait.Wait()
	closed(t, s)
	again := open(t, path)
	for i := range 4 {
		if got := again.Int(fmt.Sprint("key ", i)); got != 49 {
			t.Errorf("key %d: %d, want 49", i, got)
		}
	}
}

func TestListeners(t *testing.T) {
	s := open(t, "")
	told := 0
	s.AddChangeListener(func() { told++ })
	s.SetBool("a", true)
	s.RemoveValue("a")
	if told != 2 || len(s.ChangeListeners()) != 1 {
		t.Errorf("told %d times, %d listeners; want 2 and 1", told, len(s.ChangeListeners()))
	}
}

// An application keeps its preferences in the store.
func TestProvider(t *testing.T) {
	s := open(t, "")
	a := test.NewTempApp(t)
	preferences := s.Provider().(fyne.CloudProviderPreferences).CloudPreferences(a)
	preferences.SetStringList("recent files", []string{"/a"})
	if got := s.StringList("recent files"); !slices.Equal(got, []string{"/a"}) {
		t.Errorf("the store holds %q", got)
	}
}

// FuzzOpen checks that whatever the file holds, the store opens, can be read
// for every kind of value, and leaves a file that opens again.
func FuzzOpen(f *testing.F) {
	for _, content := range []string{`{}`, `{"a":[1,2]}`, `{"a":[1,"b"]}`, `[`, `{"a":{"b":[null]}}`, "\x00", `{"a":null}`, `{"a":1e999}`} {
		f.Add([]byte(content))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		path := filepath.Join(t.TempDir(), "settings.json")
		if err := os.WriteFile(path, content, 0o644); err != nil {
			t.Fatal(err)
		}
		s := open(t, path)
		for key := range s.values {
			s.Bool(key)
			s.Int(key)
			s.Float(key)
			_ = s.String(key)
			s.BoolList(key)
			s.IntList(key)
			s.FloatList(key)
			s.StringList(key)
		}
		s.SetInt("b", 1)
		closed(t, s)
		if info, err := os.Stat(path); err != nil || info.Mode()&fs.ModePerm != mode {
			t.Errorf("mode %v, %v", info.Mode(), err)
		}
		if got := open(t, path).Int("b"); got != 1 {
			t.Errorf("%q lost what was set: %d", content, got)
		}
	})
}
