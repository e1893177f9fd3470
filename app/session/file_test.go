package session

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"coilwright/app/disk"
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

// writeDesign writes a design as another program would.
func writeDesign(t *testing.T, path string, d design.Design) {
	t.Helper()
	if err := os.WriteFile(path, designFile(t, d), 0o600); err != nil {
		t.Fatal(err)
	}
}

func designFile(t *testing.T, d design.Design) []byte {
	t.Helper()
	var content bytes.Buffer
	if err := design.Write(&content, d); err != nil {
		t.Fatal(err)
	}
	return content.Bytes()
}

// save, saveAs, saveOver, open, recovered and told return what a synchronous
// session says about an errand.
func save(s *Session) (err error) {
	s.Save(func(e error) { err = e })
	return err
}

func saveAs(s *Session, path string) error { return told(s.SaveAs, path) }

func saveOver(s *Session, path string) error { return told(s.SaveOver, path) }

func open(s *Session, path string) (err error) {
	s.Read(path, func(d Document, e error) {
		if err = e; err == nil {
			s.Open(d)
		}
	})
	return err
}

func recovered(s *Session, l Left) (err error) {
	s.Recover(l, func(e error) { err = e })
	return err
}

func told(errand func(string, func(error)), argument string) (err error) {
	errand(argument, func(e error) { err = e })
	return err
}

func TestSaveAndOpen(t *testing.T) {
	s := opened(t)
	if err := save(s); !errors.Is(err, ErrNoPath) {
		t.Errorf("Save() of a new design = %v, want ErrNoPath", err)
	}
	path := filepath.Join(t.TempDir(), "club")
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	if want := path + ".coil.json"; s.Path() != want {
		t.Errorf("Path() = %q, want %q", s.Path(), want)
	}
	setTurns(s, "a", 130)
	if !s.Modified() {
		t.Error("not modified after an edit")
	}
	if err := save(s); err != nil {
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
	if err := open(again, s.Path()); err != nil {
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
		{"folder", dir, disk.ErrNotFile},
		{"device", os.DevNull, disk.ErrNotFile},
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
			err := open(s, test.path)
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
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	other := sample()
	other.Name = "Of another program"
	writeDesign(t, path, other)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	setTurns(s, "a", 130)
	for name, save := range map[string]func() error{
		"Save":                 func() error { return save(s) },
		"SaveAs the same name": func() error { return saveAs(s, path) },
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
	if err := saveOver(s, path); err != nil {
		t.Fatal(err)
	}
	if err := save(s); err != nil {
		t.Errorf("Save() after SaveOver = %v", err)
	}
}

func TestSaveAsksAboutARemovedFile(t *testing.T) {
	for _, test := range []struct {
		name   string
		remove func(folder, path string) error
		over   error // from SaveOver
	}{
		{"the file", func(_, path string) error { return os.Remove(path) }, nil},
		{"its folder", func(folder, _ string) error { return os.RemoveAll(folder) }, fs.ErrNotExist},
	} {
		s := opened(t)
		folder := filepath.Join(t.TempDir(), "share")
		path := filepath.Join(folder, "club.coil.json")
		if err := errors.Join(os.Mkdir(folder, 0o700), saveAs(s, path)); err != nil {
			t.Fatal(err)
		}
		setTurns(s, "a", 130)
		if err := test.remove(folder, path); err != nil {
			t.Fatal(err)
		}
		if err := save(s); !errors.Is(err, ErrRemoved) {
			t.Errorf("%s removed: Save() = %v, want ErrRemoved", test.name, err)
		}
		if err := saveOver(s, path); !errors.Is(err, test.over) {
			t.Errorf("%s removed: SaveOver() = %v, want %v", test.name, err, test.over)
		}
		wantTurns(t, s, 130)
		if s.Modified() != (test.over != nil) {
			t.Errorf("%s removed: modified %v after SaveOver", test.name, s.Modified())
		}
	}
}

func TestBackupIsOneStep(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "club.coil.json")
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	if err := told(s.TakeBackup, "previous"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("TakeBackup of a new file = %v, want ErrNotExist", err)
	}
	setTurns(s, "a", 130)
	if err := save(s); err != nil {
		t.Fatal(err)
	}
	setTurns(s, "b", 140)
	if err := told(s.TakeBackup, "previous"); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, s, 120)
	wantNames(t, s, "previous", "")
	if s.Path() != path || !s.Modified() {
		t.Errorf("path %q, modified %v after taking the backup", s.Path(), s.Modified())
	}
	s.Undo()
	wantTurns(t, s, 140)
}

// What was written over becomes the backup, another program's version too.
func TestSaveOverKeepsAnothersVersion(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "club.coil.json")
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	other := sample()
	other.Secondary.Turns = 77
	writeDesign(t, path, other)
	if err := saveOver(s, path); err != nil {
		t.Fatal(err)
	}
	if err := told(s.TakeBackup, "previous"); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, s, 77)
}

// A disk that fails leaves the design open, the file old and the next attempt
// free.
func TestFailedSaveCanBeTriedAgain(t *testing.T) {
	for _, late := range []bool{false, true} {
		broken := &broken{FileSystem: disk.OS}
		s := New(Options{Synchronous: true, Disk: broken})
		s.New(sample())
		path := filepath.Join(t.TempDir(), "club.coil.json")
		if err := saveAs(s, path); err != nil {
			t.Fatal(err)
		}
		setTurns(s, "a", 130)
		broken.early, broken.late = !late, late
		if err := save(s); !errors.Is(err, syscall.EIO) || disk.ReasonOf(err) != disk.Unreachable {
			t.Errorf("late %v: Save() = %v on a broken disk, want EIO", late, err)
		}
		if !s.Modified() {
			t.Errorf("late %v: unmodified after a failed save", late)
		}
		wantTurns(t, s, 130)
		broken.early, broken.late = false, false
		if err := save(s); err != nil {
			t.Errorf("late %v: Save() = %v on the mended disk", late, err)
		}
	}
}

// broken is a disk that fails before or after a file has its name.
type broken struct {
	disk.FileSystem
	early, late bool
}

func (b *broken) Create(path string, mode fs.FileMode) (disk.File, error) {
	if b.early {
		return nil, &fs.PathError{Op: "open", Path: path, Err: syscall.EIO}
	}
	return b.FileSystem.Create(path, mode)
}

func (b *broken) SyncFolder(folder string) error {
	if b.late {
		return &fs.PathError{Op: "sync", Path: folder, Err: syscall.EIO}
	}
	return b.FileSystem.SyncFolder(folder)
}

func TestFileChangedByAnotherIsNoticedOnce(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "club.coil.json")
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	noticed := 0
	s.OnFileChanged(func() { noticed++ })
	look := func(what string, want int) {
		t.Helper()
		s.watch.look()
		s.watch.look()
		if noticed != want {
			t.Errorf("%s: noticed %d times, want %d", what, noticed, want)
		}
	}
	look("nothing happened", 0)
	setTurns(s, "a", 125)
	if err := save(s); err != nil {
		t.Fatal(err)
	}
	look("saved", 0)
	now := time.Now()
	if err := os.Chtimes(path, now, now); err != nil {
		t.Fatal(err)
	}
	look("touched", 0)
	other := sample()
	other.Secondary.Turns = 77
	writeDesign(t, path, other)
	look("written by another", 1)
	if err := told(s.TakeFromDisk, "theirs"); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, s, 77)
	wantNames(t, s, "theirs", "")
	if s.Modified() {
		t.Error("modified after taking what the file holds")
	}
	look("taken", 1)
	s.Undo()
	wantTurns(t, s, 125)
	if err := save(s); err != nil {
		t.Errorf("Save() = %v of one's own version after looking at theirs", err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	look("removed", 1)
}

func TestSaveAsRefusesAnotherFile(t *testing.T) {
	dir := t.TempDir()
	s := opened(t)
	taken := filepath.Join(dir, "taken.coil.json")
	writeDesign(t, taken, sample())
	if err := saveAs(s, filepath.Join(dir, "taken")); !errors.Is(err, ErrExists) {
		t.Errorf("SaveAs over another file = %v, want ErrExists", err)
	}
	if s.Path() != "" {
		t.Errorf("Path() = %q after a refused save", s.Path())
	}
}

func TestFailedSaveKeepsTheOldFile(t *testing.T) {
	s := opened(t)
	path := filepath.Join(t.TempDir(), "no such folder", "club.coil.json")
	err := saveAs(s, path)
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

func TestRecent(t *testing.T) {
	s := opened(t)
	dir := t.TempDir()
	var paths []string
	for _, name := range []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k"} {
		path := filepath.Join(dir, name+".coil.json")
		if err := saveAs(s, path); err != nil {
			t.Fatal(err)
		}
		paths = append([]string{path}, paths...)
	}
	if want := paths[:maxRecent]; !slices.Equal(s.Recent(), want) {
		t.Errorf("Recent() = %q, want %q", s.Recent(), want)
	}
	if err := open(s, paths[3]); err != nil {
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
