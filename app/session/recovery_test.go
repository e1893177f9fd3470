package session

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// windowOn returns a session that keeps its design in a state folder, whenever
// the test flushes it.
func windowOn(state string) *Session {
	s := New(Options{Synchronous: true, StateFolder: state})
	s.New(sample())
	return s
}

func flush(t *testing.T, s *Session) {
	t.Helper()
	if err := s.keeper.flush(); err != nil {
		t.Fatal(err)
	}
}

// crash ends a window without closing it: the system takes its lock away.
func crash(t *testing.T, s *Session) {
	t.Helper()
	if err := s.keeper.lock.Release(); err != nil {
		t.Fatal(err)
	}
}

func left(t *testing.T, s *Session, want int) []Left {
	t.Helper()
	var all []Left
	s.Left(func(found []Left) { all = found })
	if len(all) != want {
		t.Fatalf("%d designs were left, want %d", len(all), want)
	}
	return all
}

func TestCrashIsRecovered(t *testing.T) {
	state := filepath.Join(t.TempDir(), "state")
	path := filepath.Join(t.TempDir(), "club.coil.json")
	s := windowOn(state)
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	setTurns(s, "a", 130)
	flush(t, s)

	other := windowOn(state)
	left(t, other, 0) // while its window lives
	crash(t, s)
	l := left(t, other, 1)[0]
	if l.Name != "Club coil" || l.Path != path || time.Since(l.Kept) > time.Hour {
		t.Errorf("left: %q of %q, kept %v", l.Name, l.Path, l.Kept)
	}
	left(t, windowOn(state), 0) // while somebody is asked about it
	other.Leave(l)
	l = left(t, other, 1)[0]
	if err := recovered(other, l); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, other, 130)
	if other.Path() != path || !other.Modified() {
		t.Errorf("path %q, modified %v after recovery", other.Path(), other.Modified())
	}
	left(t, windowOn(state), 0)
	crash(t, other) // it was kept again before the first record was removed
	third := windowOn(state)
	if err := recovered(third, left(t, third, 1)[0]); err != nil {
		t.Fatal(err)
	}
	wantTurns(t, third, 130)
	if err := save(third); err != nil {
		t.Errorf("Save() of the recovered design = %v", err)
	}
	third.Close()
	left(t, windowOn(state), 0)
	if entries, err := os.ReadDir(state); err != nil || len(entries) != 0 {
		t.Errorf("a clean close leaves %v, %v", entries, err)
	}
}

func TestRecoveryMindsAChangedFile(t *testing.T) {
	state := t.TempDir()
	path := filepath.Join(t.TempDir(), "club.coil.json")
	s := windowOn(state)
	if err := saveAs(s, path); err != nil {
		t.Fatal(err)
	}
	setTurns(s, "a", 130)
	flush(t, s)
	crash(t, s)
	theirs := sample()
	theirs.Secondary.Turns = 77
	writeDesign(t, path, theirs)
	next := windowOn(state)
	if err := recovered(next, left(t, next, 1)[0]); err != nil {
		t.Fatal(err)
	}
	if err := save(next); !errors.Is(err, ErrChangedOnDisk) {
		t.Errorf("Save() over a file that changed after the crash = %v, want ErrChangedOnDisk", err)
	}
}

func TestNothingIsLeftWithoutAChange(t *testing.T) {
	state := t.TempDir()
	s := windowOn(state)
	flush(t, s)
	crash(t, s)
	left(t, windowOn(state), 0)
	if entries, err := os.ReadDir(state); err != nil || len(entries) != 0 {
		t.Errorf("what holds no change stays: %v, %v", entries, err)
	}
}

func TestDiscardRemovesForGood(t *testing.T) {
	state := t.TempDir()
	s := windowOn(state)
	setTurns(s, "a", 130)
	flush(t, s)
	crash(t, s)
	next := windowOn(state)
	next.Discard(left(t, next, 1)[0])
	left(t, next, 0)
}

func TestRecordIsTheOwnersAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("this system has no modes")
	}
	state := filepath.Join(t.TempDir(), "state")
	s := windowOn(state)
	flush(t, s)
	check := func(path string, want fs.FileMode) {
		t.Helper()
		info, err := os.Stat(path)
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("%s has mode %v, %v, want %o", path, info.Mode(), err, want)
		}
	}
	check(state, 0o700)
	check(s.keeper.name+recordSuffix, 0o600)
	check(s.keeper.name+lockSuffix, 0o600)
}

func elsewhere(s *Session, path string) (open bool) {
	s.OpenElsewhere(path, func(is bool) { open = is })
	return open
}

func TestFileOpenInAnotherWindow(t *testing.T) {
	state, folder := t.TempDir(), t.TempDir()
	path := filepath.Join(folder, "club.coil.json")
	a, b := windowOn(state), windowOn(state)
	if err := saveAs(a, path); err != nil {
		t.Fatal(err)
	}
	flush(t, a)
	link := filepath.Join(folder, "link.coil.json")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here:", err)
	}
	for _, test := range []struct {
		what string
		s    *Session
		path string
		want bool
	}{
		{"its own", a, path, false},
		{"the other's", b, path, true},
		{"the other's by a link", b, link, true},
		{"nobody's", b, filepath.Join(folder, "other.coil.json"), false},
	} {
		if got := elsewhere(test.s, test.path); got != test.want {
			t.Errorf("%s: OpenElsewhere = %v, want %v", test.what, got, test.want)
		}
	}
	crash(t, a)
	if elsewhere(b, path) {
		t.Error("a window that crashed still has the file open")
	}
}

// The records of a living window are written beside the UI goroutine.
func TestEveryChangeIsKept(t *testing.T) {
	s := New(Options{StateFolder: t.TempDir()})
	s.worker.close()
	s.New(sample())
	for turns := 100.0; turns <= 110; turns++ {
		setTurns(s, "a", turns)
	}
	for began := time.Now(); ; time.Sleep(10 * time.Millisecond) {
		r, _, err := readRecord(disk.OS, s.keeper.ownName())
		if err == nil && r.design.Secondary.Turns == 110 && r.modified {
			break
		}
		if time.Since(began) > patience {
			t.Fatalf("the record holds %g turns, %v, want 110", r.design.Secondary.Turns, err)
		}
	}
	s.Close()
	s.Wait()
	if names := s.records(); len(names) != 0 {
		t.Errorf("after Close there are records %q", names)
	}
}

func TestKeepFailureIsToldOnce(t *testing.T) {
	state := filepath.Join(t.TempDir(), "state")
	if err := os.WriteFile(state, nil, 0o600); err != nil { // where a folder should be
		t.Fatal(err)
	}
	s := New(Options{Synchronous: true, StateFolder: state})
	var told []error
	s.OnKeepFailed(func(err error) { told = append(told, err) })
	s.New(sample())
	s.keeper.write()
	setTurns(s, "a", 130)
	s.keeper.write()
	if len(told) != 1 || !errors.Is(told[0], syscall.ENOTDIR) {
		t.Errorf("told %v, want one error that there is no folder", told)
	}
	if err := os.Remove(state); err != nil {
		t.Fatal(err)
	}
	flush(t, s) // what could not be written has not been forgotten
	if r, _, err := readRecord(disk.OS, s.keeper.name); err != nil || r.design.Secondary.Turns != 130 {
		t.Errorf("the record holds %g turns, %v", r.design.Secondary.Turns, err)
	}
	s.Close()
}

func TestRecordRoundTrip(t *testing.T) {
	read, err := decode("sample", designFile(t, sample())) // with the keys of a reader
	if err != nil {
		t.Fatal(err)
	}
	want := record{design: read, path: "/home/club/coil.coil.json", modified: true}
	want.disk[3] = 7
	at := time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)
	content, err := encodeRecord(want, at)
	if err != nil {
		t.Fatal(err)
	}
	got, kept, err := decodeRecord(content)
	if err != nil || !reflect.DeepEqual(got, want) || !kept.Equal(at) {
		t.Errorf("decodeRecord = %+v, %v, %v, want %+v", got, kept, err, want)
	}
}

// A record that was cut off anywhere is refused, and the others are found.
func TestRecordCutAtEveryByte(t *testing.T) {
	content, err := encodeRecord(record{design: sample(), modified: true}, time.Unix(0, 0))
	if err != nil {
		t.Fatal(err)
	}
	for n := range content {
		if _, _, err := decodeRecord(content[:n]); !errors.Is(err, errRecord) {
			t.Fatalf("the first %d of %d bytes: %v, want errRecord", n, len(content), err)
		}
	}
	state := t.TempDir()
	s := windowOn(state)
	setTurns(s, "a", 130)
	flush(t, s)
	crash(t, s)
	cut := filepath.Join(state, "window-CUT"+recordSuffix)
	if err := os.WriteFile(cut, content[:len(content)/2], 0o600); err != nil {
		t.Fatal(err)
	}
	left(t, windowOn(state), 1)
	if _, err := os.Stat(cut); err != nil {
		t.Errorf("a record that cannot be read was removed: %v", err)
	}
}

func TestRecordsOfOthersAreRefused(t *testing.T) {
	content, err := encodeRecord(record{design: sample()}, time.Unix(0, 0))
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ name, old, new string }{
		{"another format", recordFormat, "a shopping list"},
		{"a newer version", `"version": 1,`, `"version": 2,`},
		{"an unknown key", `"kept"`, `"colour": 1, "kept"`},
		{"a short checksum", strings.Repeat("0", 64), "00"},
		{"a path of no folder", `"path": ""`, `"path": "../club.coil.json"`},
		{"no design", design.Format, "other"},
	} {
		changed := strings.Replace(string(content), test.old, test.new, 1)
		if changed == string(content) {
			t.Fatalf("%s: nothing to change", test.name)
		}
		if _, _, err := decodeRecord([]byte(changed)); !errors.Is(err, errRecord) {
			t.Errorf("%s: %v, want errRecord", test.name, err)
		}
	}
}

func FuzzRecord(f *testing.F) {
	content, err := encodeRecord(record{design: sample(), path: "/a", modified: true}, time.Unix(0, 0))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(content)
	f.Add([]byte(`{"format": "coilwright-recovery", "version": 1, "design": {}}`))
	f.Fuzz(func(t *testing.T, content []byte) {
		r, kept, err := decodeRecord(content)
		if err != nil {
			return
		}
		again, err := encodeRecord(r, kept)
		if err != nil {
			t.Fatalf("a record that was read cannot be written: %v", err)
		}
		if got, at, err := decodeRecord(again); err != nil || !reflect.DeepEqual(got, r) || !at.Equal(kept) {
			t.Errorf("written and read again %+v, %v, %v, want %+v", got, at, err, r)
		}
	})
}

func TestLocksWithoutRecordAreRemoved(t *testing.T) {
	state := t.TempDir()
	for name, age := range map[string]time.Duration{"window-OLD": 2 * unusedAfter, "window-NEW": 0, "window-HELD": 2 * unusedAfter} {
		path := filepath.Join(state, name+lockSuffix)
		at := time.Now().Add(-age)
		if err := errors.Join(os.WriteFile(path, nil, 0o600), os.Chtimes(path, at, at)); err != nil {
			t.Fatal(err)
		}
	}
	held, err := disk.NewLock(filepath.Join(state, "window-HELD"+lockSuffix))
	if err != nil {
		t.Fatal(err)
	}
	defer held.Release()
	left(t, windowOn(state), 0)
	entries, err := os.ReadDir(state)
	if err != nil || len(entries) != 2 || entries[0].Name() != "window-HELD"+lockSuffix || entries[1].Name() != "window-NEW"+lockSuffix {
		t.Errorf("the state folder holds %v, %v, want the lock held and the new one", entries, err)
	}
}
