package disk

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// witness is the machine's file system that writes down what it is asked to
// change, in order, and fails at one of the steps.
type witness struct {
	FileSystem
	steps   []string
	failAt  int // number of the step that fails; -1: none
	failure error
	noLinks bool // as on a memory stick's file system
}

func newWitness() *witness { return &witness{FileSystem: OS, failAt: -1} }

var randomPart = regexp.MustCompile(`(\.coilwright[-~])[A-Z2-7]{10}`)

// step writes a step down and returns its failure.
func (w *witness) step(verb string, paths ...string) error {
	for i := range paths {
		paths[i] = randomPart.ReplaceAllString(filepath.Base(paths[i]), "${1}X")
	}
	w.steps = append(w.steps, strings.Join(append([]string{verb}, paths...), " "))
	if len(w.steps)-1 == w.failAt {
		return w.failure
	}
	return nil
}

func (w *witness) Create(path string, mode fs.FileMode) (File, error) {
	if err := w.step("create", path); err != nil {
		return nil, err
	}
	f, err := w.FileSystem.Create(path, mode)
	return &witnessFile{w, f, path}, err
}

type witnessFile struct {
	witness *witness
	File
	path string
}

// Write fails after half of the content, as on a disk that fills up.
func (f *witnessFile) Write(content []byte) (int, error) {
	if err := f.witness.step("write", f.path); err != nil {
		n, _ := f.File.Write(content[:len(content)/2])
		return n, err
	}
	return f.File.Write(content)
}

func (f *witnessFile) Sync() error {
	return errors.Join(f.witness.step("sync", f.path), f.File.Sync())
}

func (f *witnessFile) Close() error {
	return errors.Join(f.File.Close(), f.witness.step("close", f.path))
}

func (w *witness) Link(path, name string) error {
	if w.noLinks {
		return &os.LinkError{Op: "link", Old: path, New: name, Err: syscall.EPERM}
	}
	if err := w.step("link", path, name); err != nil {
		return err
	}
	return w.FileSystem.Link(path, name)
}

func (w *witness) Rename(from, to string) error {
	if err := w.step("rename", from, to); err != nil {
		return err
	}
	return w.FileSystem.Rename(from, to)
}

func (w *witness) SyncFolder(folder string) error {
	return errors.Join(w.step("sync folder"), w.FileSystem.SyncFolder(folder))
}

// A power cut cannot be tested with a kill: what counts is that nothing gets a
// name before it is on the disk, and that the name is on the disk at the end.
func TestReplaceGoesInOrder(t *testing.T) {
	for _, test := range []struct {
		name    string
		there   bool
		noLinks bool
		options Options
		want    []string
	}{
		{"new file", false, false, Options{Mode: 0o600, Backup: true}, []string{
			"create .coilwright-X", "write .coilwright-X", "sync .coilwright-X", "close .coilwright-X",
			"rename .coilwright-X coil", "sync folder",
		}},
		{"without a backup", true, false, Options{}, []string{
			"create .coilwright-X", "write .coilwright-X", "sync .coilwright-X", "close .coilwright-X",
			"rename .coilwright-X coil", "sync folder",
		}},
		{"with a backup", true, false, Options{Backup: true}, []string{
			"create .coilwright-X", "write .coilwright-X", "sync .coilwright-X", "close .coilwright-X",
			"link coil .coilwright~X", "rename .coilwright~X coil~",
			"rename .coilwright-X coil", "sync folder",
		}},
		{"with a backup, where a file has one name only", true, true, Options{Backup: true}, []string{
			"create .coilwright-X", "write .coilwright-X", "sync .coilwright-X", "close .coilwright-X",
			"create .coilwright~X", "write .coilwright~X", "sync .coilwright~X", "close .coilwright~X",
			"rename .coilwright~X coil~", "rename .coilwright-X coil", "sync folder",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "coil")
			if test.there {
				replace(t, path, "old", Options{Mode: 0o600})
			}
			w := newWitness()
			w.noLinks = test.noLinks
			if err := Replace(w, path, []byte("new"), test.options); err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(w.steps, test.want) {
				t.Errorf("steps\n%s\nwant\n%s", strings.Join(w.steps, "\n"), strings.Join(test.want, "\n"))
			}
		})
	}
}

// Whatever step fails, the old content is there and nothing else is left
// behind; only after the last, when the file has its name, it is the new one.
func TestFailureLeavesTheOldFile(t *testing.T) {
	for _, noLinks := range []bool{false, true} {
		for _, failure := range []struct {
			err    error
			reason Reason
		}{{syscall.ENOSPC, Full}, {syscall.EROFS, NotAllowed}, {syscall.EACCES, NotAllowed}, {syscall.EIO, Unreachable}, {io.ErrShortWrite, Other}} {
			for at := 0; ; at++ {
				folder := t.TempDir()
				path := filepath.Join(folder, "coil")
				replace(t, path, "old", Options{Mode: 0o600})
				replace(t, BackupOf(path), "older", Options{Mode: 0o600})
				w := newWitness()
				w.noLinks, w.failAt, w.failure = noLinks, at, failure.err
				err := Replace(w, path, []byte("new"), Options{Backup: true})
				if at == len(w.steps) {
					break
				}
				what := fmt.Sprintf("%v at %q", failure.err, w.steps[at])
				got := contents(t, folder)
				if strings.HasPrefix(w.steps[at], "link") { // it has another way
					if err != nil {
						t.Errorf("%s: %v, want a copy instead", what, err)
					}
					continue
				}
				if !errors.Is(err, failure.err) || ReasonOf(err) != failure.reason {
					t.Errorf("%s: Replace = %v, reason %d, want reason %d", what, err, ReasonOf(err), failure.reason)
				}
				want := "old"
				if w.steps[at] == "sync folder" {
					want = "new"
				}
				if got["coil"] != want || len(got) != 2 || got["coil~"] != "old" && got["coil~"] != "older" {
					t.Errorf("%s: the folder holds %q, want %q under the old name", what, got, want)
				}
			}
		}
	}
}
