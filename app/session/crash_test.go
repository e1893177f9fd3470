package session

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// Names of variables of the environment: one turns the test into a program that
// saves for ever, the other asks for the long form of a test.
const (
	victimVariable = "COILWRIGHT_TEST_VICTIM"
	longVariable   = "COILWRIGHT_LONG"
)

func TestMain(m *testing.M) {
	if folder := os.Getenv(victimVariable); folder != "" {
		saveForEver(folder)
	}
	os.Exit(m.Run())
}

// saveForEver changes a design, saves it and keeps it against a crash, one turn
// more each time, and prints the turns that are on the disk for sure.
func saveForEver(folder string) {
	s := New(Options{Synchronous: true, StateFolder: filepath.Join(folder, "state")})
	s.worker.close()
	s.New(sample())
	must := func(err error) {
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
	}
	must(saveAs(s, filepath.Join(folder, "club")))
	for turns := 1; turns < 5000; turns++ {
		s.Edit("turns", func(d *design.Design) {
			d.Secondary.Turns = float64(turns)
			d.Notes = strings.Repeat("x", turns%7*3000) // files of different lengths
		})
		must(s.keeper.flush())
		fmt.Println("kept", turns)
		must(save(s))
		fmt.Println("saved", turns)
	}
	os.Exit(0)
}

// A program that is killed while it saves leaves the old design or the new one,
// whole, and a record of the one that was open.
func TestKillLeavesTheOldOrTheNewDesign(t *testing.T) {
	kills := 20
	if os.Getenv(longVariable) != "" {
		kills = 500
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	var saves int
	for range kills {
		folder := t.TempDir()
		kept, saved := killed(t, self, folder, time.Duration(random.Int64N(int64(30*time.Millisecond))))
		saves += saved
		path := filepath.Join(folder, "club"+design.Extension)
		if got := turnsIn(t, path); got != saved && got != saved+1 {
			t.Errorf("killed after saving %d turns: the file holds %d", saved, got)
		}
		if got := turnsIn(t, disk.BackupOf(path)); got != saved-1 && got != saved && !(saved == 1 && got == 120) {
			t.Errorf("killed after saving %d turns: the backup holds %d", saved, got)
		}
		s := New(Options{Synchronous: true, StateFolder: filepath.Join(folder, "state")})
		s.worker.close()
		names := s.records()
		if len(names) != 1 {
			t.Fatalf("killed after keeping %d turns: %d records", kept, len(names))
		}
		r, _, err := readRecord(disk.OS, names[0])
		if got := int(r.design.Secondary.Turns); err != nil || got != kept && got != kept+1 {
			t.Errorf("killed after keeping %d turns: the record holds %d, %v", kept, got, err)
		}
	}
	t.Logf("%d kills, %d saves before them", kills, saves)
	if saves < kills {
		t.Errorf("only %d saves before %d kills", saves, kills)
	}
}

// killed runs a program that saves in folder, kills it some time after its first
// save, and returns what it had kept and saved for sure.
func killed(t *testing.T, self, folder string, after time.Duration) (kept, saved int) {
	t.Helper()
	victim := exec.Command(self)
	victim.Env = append(os.Environ(), victimVariable+"="+folder)
	output, err := victim.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := victim.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(output)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			break // a line that was cut off is not sure
		}
		if err != nil {
			t.Fatal(err)
		}
		what, count, _ := strings.Cut(strings.TrimSpace(line), " ")
		n, err := strconv.Atoi(count)
		switch {
		case err != nil:
			t.Fatalf("the program says %q", line)
		case what == "kept":
			kept = n
		case saved == 0:
			time.AfterFunc(after, func() { _ = victim.Process.Kill() })
			fallthrough
		default:
			saved = n
		}
	}
	_ = victim.Wait() // it was killed
	return kept, saved
}

// turnsIn reads the turns of a design file that must be whole.
func turnsIn(t *testing.T, path string) int {
	t.Helper()
	d, err := design.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return int(d.Secondary.Turns)
}
