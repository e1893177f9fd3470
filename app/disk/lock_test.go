package disk

import (
	"bufio"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

const lockVariable = "COILWRIGHT_TEST_LOCK" // tells a child which lock to take

// TestMain is a program that holds a lock when a test starts it as one.
func TestMain(m *testing.M) {
	path := os.Getenv(lockVariable)
	if path == "" {
		os.Exit(m.Run())
	}
	if _, err := NewLock(path); err != nil {
		os.Exit(1)
	}
	os.Stdout.WriteString("locked\n")
	io.Copy(io.Discard, os.Stdin) // until killed
}

func TestLockEndsWithItsHolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	child := exec.Command(self)
	child.Env = append(os.Environ(), lockVariable+"="+path)
	input, err := child.StdinPipe() // keeps it waiting
	if err != nil {
		t.Fatal(err)
	}
	defer input.Close()
	output, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(output).ReadString('\n'); err != nil {
		t.Fatalf("the child says %q, %v", line, err)
	}
	if _, err := NewLock(path); !errors.Is(err, ErrLocked) {
		t.Errorf("NewLock() = %v while another program holds it, want ErrLocked", err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait() // it was killed
	lock, err := NewLock(path)
	if err != nil {
		t.Fatalf("NewLock() = %v after its holder was killed", err)
	}
	if _, err := NewLock(path); !errors.Is(err, ErrLocked) {
		t.Errorf("NewLock() = %v for a second window, want ErrLocked", err)
	}
	if err := lock.Release(); err != nil {
		t.Fatal(err)
	}
	again, err := NewLock(path)
	if err != nil {
		t.Fatalf("NewLock() = %v after Release", err)
	}
	if err := again.Release(); err != nil {
		t.Fatal(err)
	}
}
