//go:build unix

package tally

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// childVariable tells a copy of the test program to count, and where.
const childVariable = "COILWRIGHT_TALLY_CHILD"

// Kills of the short form, for every run, and of the long one.
const (
	fewKills  = 12
	manyKills = 200
)

func TestMain(m *testing.M) {
	if path := os.Getenv(childVariable); path != "" {
		if err := countForever(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	os.Exit(m.Run())
}

// countForever counts as fast as it can and shows every count only once it is
// kept.
func countForever(path string) error {
	l, err := Open(path)
	if err != nil {
		return err
	}
	fmt.Println(l.Turns())
	for i := 1; ; i++ {
		if i%17 == 0 {
			err = l.Back(1, time.Now())
		} else {
			err = l.Count(1, time.Now())
		}
		if err != nil {
			return err
		}
		fmt.Println(l.Turns())
	}
}

// TestKilledWhileCounting kills a counting program at any moment, again and
// again: the log then says what was last shown, or one more step, the one in the
// hand. COILWRIGHT_LONG=1 kills it 200 times.
func TestKilledWhileCounting(t *testing.T) {
	kills := fewKills
	if os.Getenv("COILWRIGHT_LONG") != "" {
		kills = manyKills
	}
	program, err := os.Executable()
	do(t, err)
	l, err := Start(t.TempDir(), clubJob, noon)
	do(t, err)
	path := l.Path()
	do(t, l.Close())
	turns, beyond := 0, 0
	for kill := range kills {
		child := exec.Command(program)
		child.Env = append(os.Environ(), childVariable+"="+path)
		child.Stderr = os.Stderr
		out, err := child.StdoutPipe()
		do(t, err)
		do(t, child.Start())
		go func() {
			time.Sleep(time.Duration(5+rand.IntN(60)) * time.Millisecond)
			child.Process.Signal(syscall.SIGKILL) // it may have gone already
		}()
		shown, first := -1, -1
		reader := bufio.NewReader(out)
		for {
			line, err := reader.ReadString('\n')
			if err != nil {
				break // what is not a whole line was not shown
			}
			n, err := strconv.Atoi(strings.TrimSpace(line))
			do(t, err)
			if first < 0 {
				first = n
			}
			shown = n
		}
		child.Wait()
		s, err := read(path)
		do(t, err)
		if first >= 0 && first != turns {
			t.Fatalf("kill %d: it began at %d turns, want %d as kept", kill, first, turns)
		}
		if shown >= 0 {
			if d := s.last.Turns - shown; d < -1 || d > 1 {
				t.Fatalf("kill %d: %d turns were shown and %d are kept", kill, shown, s.last.Turns)
			} else if d != 0 {
				beyond++
			}
		}
		turns = s.last.Turns
	}
	t.Logf("%d kills, %d turns, %d times one step in the hand", kills, turns, beyond)
	if turns == 0 {
		t.Error("it never counted")
	}
	left, err := Unfinished(filepath.Dir(path))
	if err != nil || len(left) != 1 || left[0].Turns != turns {
		t.Errorf("what can be gone on with: %+v, %v, want %d turns", left, err, turns)
	}
}
