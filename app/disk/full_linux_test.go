package disk

import (
	"bytes"
	"crypto/rand"
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A real disk of 64 kB that has no room for a second version keeps the first,
// and takes the second as soon as there is room.
func TestFullDiskKeepsTheOldFile(t *testing.T) {
	folder := t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("no small disk can be mounted without privilege:", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(folder, 0); err != nil {
			t.Error(err)
		}
	})
	path, filler := filepath.Join(folder, "coil"), filepath.Join(folder, "filler")
	old, next := make([]byte, 20<<10), make([]byte, 24<<10)
	_, _ = rand.Read(old) // never fails
	_, _ = rand.Read(next)
	if err := Replace(OS, path, old, Options{Mode: 0o600}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filler, make([]byte, 30<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	err := Replace(OS, path, next, Options{Backup: true})
	if !errors.Is(err, syscall.ENOSPC) || ReasonOf(err) != Full {
		t.Errorf("Replace on a full disk = %v, reason %d", err, ReasonOf(err))
	}
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, old) {
		t.Errorf("on the full disk the old file reads %d bytes, %v", len(got), err)
	}
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != 2 {
		t.Errorf("the full disk holds %v, %v, want the file and the filler", entries, err)
	}
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if err := Replace(OS, path, next, Options{Backup: true}); err != nil {
		t.Fatal(err)
	}
	got, _ := os.ReadFile(path)
	backup, _ := os.ReadFile(BackupOf(path))
	if !bytes.Equal(got, next) || !bytes.Equal(backup, old) {
		t.Error("with room again the file or its backup is not what it should be")
	}
}
