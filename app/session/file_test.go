package session

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"coilwright/physics/design"
)

// sample is a design that a reader accepts.
func sample() design.Design {
	return design.Design{
		Name: "Club coil",
		Secondary: design.Secondary{
			FormerDiameter: 0.03, FormerWall: 0.0015, FormerRelativePermittivity: 1,
			Turns: 120, Wire: design.Wire{Gauge: "AWG 30", Insulation: design.Single}, BaseHeight: 0.02,
		},
		TopLoad: design.TopLoad{Kind: design.NoTopLoad},
		Primary: design.Primary{Kind: design.NoPrimary},
		Driver:  design.Driver{Kind: design.NoDriver},
		Room: design.Room{
			Ground: design.Floor, FloorDepth: 0.75, Foot: design.Earthed,
			AirTemperature: 20, AirPressure: 101325,
		},
	}
}

func opened(t *testing.T) *Session {
	t.Helper()
	s := quiet(t)
	s.New(sample())
	return s
}

func TestSaveAndOpen(t *testing.T) {
	s := opened(t)
	if err := s.Save(); !errors.Is(err, ErrNoPath) {
		t.Errorf("Save() of a new design = %v, want ErrNoPath", err)
	}
	path := filepath.Join(t.TempDir(), "club")
	if err := s.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	if want := path + ".coil.json"; s.Path() != want {
		t.Errorf("Path() = %q, want %q", s.Path(), want)
	}
	setTurns(s, "a", 130)
	if !s.Modified() {
		t.Error("not modified after an edit")
	}
	if err := s.Save(); err != nil {
		t.Fatal(err)
	}
	if s.Modified() {
		t.Error("modified after Save")
	}
	s.Undo()
	if !s.Modified() {
		t.Error("not modified after undoing past the saved state")
	}

	again := opened(t)
	setTurns(again, "b", 5)
	if err := again.Open(s.Path()); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, again, 130)
	wantNames(t, again, "", "")
	if again.Modified() || again.Path() != s.Path() {
		t.Errorf("modified %v, path %q after Open", again.Modified(), again.Path())
	}
}

func TestBadFileLeavesTheDesignAlone(t *testing.T) {
	dir := t.TempDir()
	write := func(name, content string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for _, test := range []struct {
		name, path string
		want       error // nil: any
	}{
		{"missing", filepath.Join(dir, "missing.coil.json"), fs.ErrNotExist},
		{"folder", dir, ErrNotFile},
		{"device", os.DevNull, ErrNotFile},
		{"empty", write("empty.coil.json", ""), nil},
		{"malformed", write("malformed.coil.json", "{"), nil},
		{"no design", write("other.coil.json", `{"format": "a shopping list"}`), nil},
		{"many faults", write("faults.coil.json", `{"format": "coilwright-design", "version": 1, "a": 1, "b": 2, "c": 3}`), nil},
		{"too large", write("large.coil.json", strings.Repeat(" ", maxFile+1)), ErrTooLarge},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := opened(t)
			setTurns(s, "a", 130)
			changes, results := 0, 0
			s.OnChange(func() { changes++ })
			s.OnResult(func(Result) { results++ })
			err := s.Open(test.path)
			if err == nil {
				t.Fatal("Open succeeded")
			}
			if test.want != nil && !errors.Is(err, test.want) {
				t.Errorf("Open() = %v, want %v", err, test.want)
			}
			if text := err.Error(); strings.Contains(text, "\n") || !strings.Contains(text, filepath.Base(test.path)) {
				t.Errorf("Open() = %q, want one line that names the file", text)
			}
			wantTurns(t, s, 130)
			wantNames(t, s, "a", "")
			if !s.Modified() || s.Path() != "" || len(s.Recent()) != 0 {
				t.Errorf("modified %v, path %q, recent %q after a refused file", s.Modified(), s.Path(), s.Recent())
			}
			if changes != 0 || results != 0 {
				t.Errorf("%d changes and %d results after a refused file", changes, results)
			}
		})
	}
}

func TestRefusalIsOneLine(t *testing.T) {
	for _, test := range []struct{ in, want string }{
		{"a", "f: a"},
		{"a\nb\nc", "f: a; b; c"},
		{"a\nb\nc\nd\ne", "f: a; b; c; and 2 more"},
	} {
		if got := (&refusal{"f", errors.New(test.in)}).Error(); got != test.want {
			t.Errorf("refusal of %q = %q, want %q", test.in, got, test.want)
		}
	}
}

func TestSaveRefusesAFileChangedByAnother(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "club.coil.json")
	if err := s.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	other := sample()
	other.Name = "Of another program"
	if err := design.WriteFile(path, other); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	setTurns(s, "a", 130)
	for name, save := range map[string]func() error{
		"Save":                 s.Save,
		"SaveAs the same name": func() error { return s.SaveAs(path) },
	} {
		if err := save(); !errors.Is(err, ErrChangedOnDisk) {
			t.Errorf("%s = %v, want ErrChangedOnDisk", name, err)
		}
	}
	if after, _ := os.ReadFile(path); !slices.Equal(after, before) {
		t.Error("the other program's file was written over")
	}
	if !s.Modified() {
		t.Error("unmodified after a refused save")
	}
	if err := s.SaveOver(path); err != nil {
		t.Fatal(err)
	}
	if err := s.Save(); err != nil {
		t.Errorf("Save() after SaveOver = %v", err)
	}
}

func TestSaveWritesARemovedFileAnew(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "club.coil.json")
	if err := s.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := s.Save(); err != nil {
		t.Errorf("Save() = %v", err)
	}
}

func TestSaveAsRefusesAnotherFile(t *testing.T) {
	dir := t.TempDir()
	s := opened(t)
	taken := filepath.Join(dir, "taken.coil.json")
	if err := design.WriteFile(taken, sample()); err != nil {
		t.Fatal(err)
	}
	if err := s.SaveAs(filepath.Join(dir, "taken")); !errors.Is(err, ErrExists) {
		t.Errorf("SaveAs over another file = %v, want ErrExists", err)
	}
	if s.Path() != "" {
		t.Errorf("Path() = %q after a refused save", s.Path())
	}
}

func TestFailedSaveKeepsTheOldFile(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "no such folder", "club.coil.json")
	err := s.SaveAs(path)
	if err == nil || strings.Contains(err.Error(), "\n") {
		t.Errorf("SaveAs into a missing folder = %v, want one line", err)
	}
	if s.Path() != "" || len(s.Recent()) != 0 {
		t.Errorf("path %q, recent %q after a failed save", s.Path(), s.Recent())
	}
}

func TestExtension(t *testing.T) {
	for in, want := range map[string]string{
		"/a/club":           "/a/club.coil.json",
		"/a/club.json":      "/a/club.coil.json",
		"/a/club.coil":      "/a/club.coil.json",
		"/a/club.coil.json": "/a/club.coil.json",
		"/a/CLUB.COIL.JSON": "/a/CLUB.COIL.JSON",
		"/a/v1.2":           "/a/v1.2.coil.json",
	} {
		if got := WithExtension(in); got != want {
			t.Errorf("WithExtension(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestOpenReader(t *testing.T) {
	var text strings.Builder
	if err := design.Write(&text, sample()); err != nil {
		t.Fatal(err)
	}
	s := quiet(t)
	if err := s.OpenReader("dropped", strings.NewReader(text.String())); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, s, 120)
	if s.Path() != "" || s.Modified() {
		t.Errorf("path %q, modified %v", s.Path(), s.Modified())
	}
	err := s.OpenReader("dropped", strings.NewReader("["))
	if err == nil || !strings.Contains(err.Error(), "dropped") {
		t.Errorf("OpenReader of nonsense = %v, want an error that names it", err)
	}
	wantTurns(t, s, 120)
}

func TestRecent(t *testing.T) {
	s := opened(t)
	dir := t.TempDir()
	var paths []string
	for _, name := range []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k"} {
		path := filepath.Join(dir, name+".coil.json")
		if err := s.SaveAs(path); err != nil {
			t.Fatal(err)
		}
		paths = append([]string{path}, paths...)
	}
	if want := paths[:maxRecent]; !slices.Equal(s.Recent(), want) {
		t.Errorf("Recent() = %q, want %q", s.Recent(), want)
	}
	if err := s.Open(paths[3]); err != nil {
		t.Fatal(err)
	}
	if got := s.Recent(); got[0] != paths[3] || len(got) != maxRecent {
		t.Errorf("Recent() = %q, want %q first", got, paths[3])
	}
	s.ForgetRecent(paths[3])
	if slices.Contains(s.Recent(), paths[3]) {
		t.Errorf("Recent() = %q, still holds %q", s.Recent(), paths[3])
	}
	s.ClearRecent()
	if len(s.Recent()) != 0 {
		t.Errorf("Recent() = %q after ClearRecent", s.Recent())
	}
}
