package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"
)

// contents returns what the files of a folder hold, by name.
func contents(t *testing.T, folder string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		content, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(content)
	}
	return all
}

func replace(t *testing.T, path, content string, options Options) {
	t.Helper()
	if err := Replace(OS, path, []byte(content), options); err != nil {
		t.Fatal(err)
	}
}

func TestReplaceKeepsThePreviousVersion(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "coil")
	for _, test := range []struct {
		content string
		backup  bool
		want    map[string]string
	}{
		{"one", true, map[string]string{"coil": "one"}},
		{"two", true, map[string]string{"coil": "two", "coil~": "one"}},
		{"three", true, map[string]string{"coil": "three", "coil~": "two"}},
		{"four", false, map[string]string{"coil": "four", "coil~": "two"}},
	} {
		replace(t, path, test.content, Options{Mode: 0o600, Backup: test.backup})
		if got := contents(t, folder); !reflect.DeepEqual(got, test.want) {
			t.Errorf("after writing %q the folder holds %q, want %q", test.content, got, test.want)
		}
	}
}

func TestReplaceKeepsTheMode(t *testing.T) {
	const given, usual = 0o666, 0o600 // more than the mask leaves a new file
	path := filepath.Join(t.TempDir(), "coil")
	replace(t, path, "one", Options{Mode: usual})
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != usual {
		t.Errorf("mode of a new file %v, %v, want %o", info.Mode(), err, usual)
	}
	if err := os.Chmod(path, given); err != nil {
		t.Fatal(err)
	}
	replace(t, path, "two", Options{Mode: usual})
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != given {
		t.Errorf("mode %v, %v, want that of the old file, %o", info.Mode(), err, given)
	}
}

func TestReplaceFollowsALink(t *testing.T) {
	folder := t.TempDir()
	target, link := filepath.Join(folder, "target"), filepath.Join(folder, "link")
	replace(t, target, "one", Options{Mode: 0o600})
	if err := os.Symlink("target", link); err != nil {
		t.Skip("no links here:", err)
	}
	replace(t, link, "two", Options{Backup: true})
	if to, err := os.Readlink(link); err != nil || to != "target" {
		t.Errorf("the link leads to %q, %v", to, err)
	}
	want := map[string]string{"link": "two", "target": "two", "target~": "one"}
	if got := contents(t, folder); !reflect.DeepEqual(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

func TestReplaceRefuses(t *testing.T) {
	folder := t.TempDir()
	locked := filepath.Join(folder, "locked")
	replace(t, locked, "mine", Options{Mode: 0o400})
	for _, test := range []struct {
		name, path string
		want       error
		reason     Reason
	}{
		{"a folder", folder, ErrNotFile, Other},
		{"a file set to read-only", locked, ErrReadOnly, NotAllowed},
		{"no folder", filepath.Join(folder, "none", "coil"), fs.ErrNotExist, Gone},
		{"a name too long", filepath.Join(folder, string(make256())), nil, TooLong},
	} {
		err := Replace(OS, test.path, []byte("x"), Options{Mode: 0o600, Backup: true})
		if err == nil || test.want != nil && !errors.Is(err, test.want) {
			t.Errorf("%s: %v, want %v", test.name, err, test.want)
		}
		if got := ReasonOf(err); got != test.reason {
			t.Errorf("%s: reason %d, want %d", test.name, got, test.reason)
		}
	}
	if got, want := contents(t, folder), map[string]string{"locked": "mine"}; !reflect.DeepEqual(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

// make256 returns a name one byte longer than common file systems take.
func make256() []byte { return slices.Repeat([]byte{'x'}, 256) }

func TestReplaceRemovesWhatIsAbandoned(t *testing.T) {
	folder := t.TempDir()
	old := time.Now().Add(-2 * abandonedAfter)
	for name, at := range map[string]time.Time{
		".coilwright-ABCDEFGHIJ":  old,        // a save that was killed
		".coilwright-ABCDEFGHIK":  time.Now(), // one that runs in another window
		".coilwright-notes":       old,        // none of ours
		".coilwright-ABCDEFGHIJK": old,
	} {
		path := filepath.Join(folder, name)
		if err := errors.Join(os.WriteFile(path, nil, 0o600), os.Chtimes(path, at, at)); err != nil {
			t.Fatal(err)
		}
	}
	replace(t, filepath.Join(folder, "coil"), "x", Options{Mode: 0o600})
	want := map[string]string{"coil": "x", ".coilwright-ABCDEFGHIK": "", ".coilwright-notes": "", ".coilwright-ABCDEFGHIJK": ""}
	if got := contents(t, folder); !reflect.DeepEqual(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}
