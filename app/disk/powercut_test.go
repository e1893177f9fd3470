package disk

import (
	"bytes"
	"io"
	"io/fs"
	"maps"
	"path/filepath"
	"testing"
	"time"
)

// fragile is one folder in memory on a disk that loses power: what a file holds
// is sure only when the file was synced, what a name leads to only when the
// folder was. Before that a disk may have done any of it, in any order, which
// is more than any real one may do.
type fragile struct {
	now     map[string]*inode // as programs see it
	sure    map[string]*inode // as of the last sync of the folder
	pending []func(map[string]*inode)
	cut     func() // called before every step and after the last
}

// inode is a file apart from its names.
type inode struct {
	content []byte
	synced  bool
	mode    fs.FileMode
}

// name does something to the names of the folder.
func (d *fragile) name(change func(map[string]*inode)) {
	d.cut()
	change(d.now)
	d.pending = append(d.pending, change)
}

func (d *fragile) Create(path string, mode fs.FileMode) (File, error) {
	if d.now[path] != nil {
		return nil, fs.ErrExist
	}
	n := &inode{mode: mode}
	d.name(func(names map[string]*inode) { names[path] = n })
	return &fragileFile{d, n}, nil
}

type fragileFile struct {
	disk *fragile
	*inode
}

func (f *fragileFile) Write(content []byte) (int, error) {
	f.disk.cut()
	f.content, f.synced = append(f.content, content...), false
	return len(content), nil
}

func (f *fragileFile) Sync() error {
	f.disk.cut()
	f.synced = true
	return nil
}

func (f *fragileFile) Close() error { return nil }

func (d *fragile) Open(path string) (io.ReadCloser, error) {
	if d.now[path] == nil {
		return nil, fs.ErrNotExist
	}
	return io.NopCloser(bytes.NewReader(d.now[path].content)), nil
}

func (d *fragile) Stat(path string) (fs.FileInfo, error) {
	if d.now[path] == nil {
		return nil, fs.ErrNotExist
	}
	return fileInfo{d.now[path]}, nil
}

type fileInfo struct{ *inode }

func (i fileInfo) Name() string       { return "" }
func (i fileInfo) Size() int64        { return int64(len(i.content)) }
func (i fileInfo) Mode() fs.FileMode  { return i.mode }
func (i fileInfo) ModTime() time.Time { return time.Time{} }
func (i fileInfo) IsDir() bool        { return false }
func (i fileInfo) Sys() any           { return nil }

func (d *fragile) Resolve(path string) (string, error) {
	if d.now[path] == nil {
		return "", fs.ErrNotExist
	}
	return path, nil
}

func (d *fragile) Link(path, name string) error {
	n := d.now[path]
	d.name(func(names map[string]*inode) { names[name] = n })
	return nil
}

func (d *fragile) Rename(from, to string) error {
	n := d.now[from]
	d.name(func(names map[string]*inode) {
		if names[to] != n { // two names of one file: nothing is done
			names[to] = n
			delete(names, from)
		}
	})
	return nil
}

func (d *fragile) Remove(path string) error {
	if d.now[path] == nil {
		return fs.ErrNotExist
	}
	d.name(func(names map[string]*inode) { delete(names, path) })
	return nil
}

func (d *fragile) Chmod(path string, mode fs.FileMode) error {
	d.now[path].mode = mode
	return nil
}

func (d *fragile) Names(string) ([]string, error) { return nil, nil }

func (d *fragile) SyncFolder(string) error {
	d.cut()
	d.sure, d.pending = maps.Clone(d.now), nil
	return nil
}

// outcomes calls visit with every state the folder may be found in after a
// power cut, as the contents under the names.
func (d *fragile) outcomes(visit func(map[string]string)) {
	for done := range 1 << len(d.pending) {
		names := maps.Clone(d.sure)
		for i, change := range d.pending {
			if done>>i&1 == 1 {
				change(names)
			}
		}
		for _, share := range []int{0, 1, 2} { // halves of what was not synced
			found := map[string]string{}
			for name, n := range names {
				content := n.content
				if !n.synced {
					content = content[:len(content)*share/2]
				}
				found[name] = string(content)
			}
			visit(found)
		}
	}
}

func TestPowerCutLeavesAWholeFile(t *testing.T) {
	path := filepath.Join("folder", "coil")
	for _, there := range []bool{false, true} {
		names := map[string]*inode{}
		if there {
			names[path] = &inode{[]byte("old"), true, 0o600}
			names[BackupOf(path)] = &inode{[]byte("older"), true, 0o600}
		}
		d := &fragile{now: names, sure: maps.Clone(names)}
		seen := 0
		d.cut = func() {
			d.outcomes(func(found map[string]string) {
				seen++
				content, exists := found[path]
				if exists != there && content != "new" || there && content != "old" && content != "new" {
					t.Errorf("a power cut leaves %q, want the old or the new file", found)
				}
				if backup := found[BackupOf(path)]; there && backup != "older" && backup != "old" {
					t.Errorf("a power cut leaves %q, want a whole backup", found)
				}
			})
		}
		if err := Replace(d, path, []byte("new"), Options{Mode: 0o600, Backup: true}); err != nil {
			t.Fatal(err)
		}
		d.outcomes(func(found map[string]string) {
			if found[path] != "new" || there && found[BackupOf(path)] != "old" {
				t.Errorf("a power cut after Replace returned leaves %q", found)
			}
		})
		if least := 10; seen < least {
			t.Errorf("only %d power cuts tried", seen)
		}
	}
}
