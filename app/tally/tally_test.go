package tally

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"coilwright/app/disk"
)

var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

var clubJob = Job{
	Coil: "Club coil", Fingerprint: "a9a37258", Part: "secondary", Total: 310,
	Pitch: 0.223e-3, TurnLength: 0.0792, Tail: 0.1, Marks: []int{50, 100, 150, 200, 250, 300}, AskEvery: 50,
}

func started(t testing.TB) *Log {
	t.Helper()
	l, err := Start(t.TempDir(), clubJob, noon)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	return l
}

func do(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestCountIsThereWhenOpenedAgain(t *testing.T) {
	l := started(t)
	do(t, l.Count(1, noon))
	do(t, l.Count(10, noon))
	do(t, l.Back(1, noon))
	do(t, l.Measure(2.23e-3, noon))
	do(t, l.Correct(42, noon))
	do(t, l.Back(1, noon))
	if l.Turns() != 41 {
		t.Errorf("%d turns, want 41", l.Turns())
	}
	do(t, l.Close())
	again, err := Open(l.Path())
	do(t, err)
	want := clubJob
	want.Started = noon
	if again.Turns() != 41 || !reflect.DeepEqual(again.Job(), want) || again.Finished() {
		t.Errorf("opened again: %d turns of %+v, want 41 of %+v", again.Turns(), again.Job(), want)
	}
	if _, err := Open(l.Path()); !errors.Is(err, disk.ErrLocked) {
		t.Errorf("a second window gets %v, want disk.ErrLocked", err)
	}
	do(t, again.Count(1, noon))
	do(t, again.Finish(noon))
	if err := again.Count(1, noon); !errors.Is(err, ErrClosed) {
		t.Errorf("counting on a finished log gives %v, want ErrClosed", err)
	}
	left, err := Unfinished(filepath.Dir(l.Path()))
	if err != nil || len(left) != 0 {
		t.Errorf("a finished count is offered: %+v, %v", left, err)
	}
}

// TestHeightTellsTurns: 11.6 mm at 0.223 mm a turn are 52 turns; once 50 turns
// were measured to be 11.6 mm long, they are 50.
func TestHeightTellsTurns(t *testing.T) {
	l := started(t)
	do(t, l.Count(50, noon))
	if got := l.TurnsAt(11.6e-3); got != 52 {
		t.Errorf("11.6 mm are %d turns, want 52", got)
	}
	do(t, l.Measure(11.6e-3, noon))
	if got := l.TurnsAt(23.2e-3); got != 100 {
		t.Errorf("by the pitch measured 23.2 mm are %d turns, want 100", got)
	}
	do(t, l.Count(10, noon))
	do(t, l.Close())
	again, err := Open(l.Path())
	do(t, err)
	defer again.Close()
	if got := again.Length(); math.Abs(got-60*11.6e-3/50) > 1e-12 {
		t.Errorf("60 turns are %g m long, want %g m", got, 60*11.6e-3/50)
	}
	for _, height := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if err := again.Measure(height, noon); !errors.Is(err, ErrRange) {
			t.Errorf("Measure(%g) = %v, want ErrRange", height, err)
		}
	}
	if next, ok := clubJob.NextMark(50); next != 100 || !ok || !clubJob.Marked(50) || clubJob.Marked(51) || !clubJob.Asks(100) || clubJob.Asks(0) || clubJob.Asks(51) {
		t.Errorf("after 50 turns the next mark is %d", next)
	}
	if _, ok := clubJob.NextMark(300); ok {
		t.Error("after the last mark there is another")
	}
}

func TestBackStopsAtNone(t *testing.T) {
	l := started(t)
	do(t, l.Count(2, noon))
	do(t, l.Back(5, noon))
	do(t, l.Back(1, noon))
	if l.Turns() != 0 {
		t.Errorf("%d turns, want 0", l.Turns())
	}
	for _, turns := range []int{-1, MaxTurns + 1} {
		if err := l.Correct(turns, noon); !errors.Is(err, ErrRange) || l.Turns() != 0 {
			t.Errorf("Correct(%d) = %v, want ErrRange", turns, err)
		}
	}
}

func TestUnfinished(t *testing.T) {
	folder := t.TempDir()
	if left, err := Unfinished(filepath.Join(folder, "none")); err != nil || left != nil {
		t.Errorf("a folder that is not there has %v, %v", left, err)
	}
	for i, part := range []string{"ring", "secondary"} {
		job := clubJob
		job.Part = part
		l, err := Start(folder, job, noon.Add(time.Duration(i)*time.Minute))
		do(t, err)
		do(t, l.Count(i+1, noon.Add(time.Hour)))
		do(t, l.Close())
	}
	do(t, os.WriteFile(filepath.Join(folder, "junk"+Extension), []byte("junk\n"), 0o600))
	left, err := Unfinished(folder)
	if err != nil || len(left) != 2 || left[0].Job.Part != "secondary" || left[0].Turns != 2 || left[1].Turns != 1 || !left[0].At.Equal(noon.Add(time.Hour)) {
		t.Errorf("Unfinished() = %+v, %v, want secondary with 2 turns, then ring with 1", left, err)
	}
	if _, err := Open(filepath.Join(folder, "junk"+Extension)); !errors.Is(err, ErrDamaged) {
		t.Errorf("junk opens with %v, want ErrDamaged", err)
	}
}

// TestCutAtEveryByte cuts a log after every byte, as a power cut may: what is
// left says exactly what the lines say that are whole, and counting goes on.
func TestCutAtEveryByte(t *testing.T) {
	l := started(t)
	sizes, turns := []int64{l.size}, []int{0}
	for i := range 12 {
		switch i % 4 {
		case 3:
			do(t, l.Back(1, noon))
		case 2:
			do(t, l.Count(10, noon))
		default:
			do(t, l.Count(1, noon))
		}
		sizes, turns = append(sizes, l.size), append(turns, l.Turns())
	}
	do(t, l.Close())
	content, err := os.ReadFile(l.Path())
	do(t, err)
	path := filepath.Join(t.TempDir(), "cut"+Extension)
	for cut := range len(content) + 1 {
		do(t, os.WriteFile(path, content[:cut], 0o600))
		whole := -1
		for i, size := range sizes {
			if int64(cut) >= size {
				whole = i
			}
		}
		s, ok := parse(content[:cut])
		if ok != (whole >= 0) || ok && (s.last.Turns != turns[whole] || s.size != sizes[whole]) {
			t.Fatalf("cut at %d of %d: %+v, %v, want %d whole lines", cut, len(content), s, ok, whole+1)
		}
		// Going on waits for the disk: at the ends of lines and now and then.
		if cut%37 > 0 && !(whole >= 0 && int64(cut)-sizes[whole] < 2) {
			continue
		}
		again, err := Open(path)
		if whole < 0 {
			if !errors.Is(err, ErrDamaged) {
				t.Fatalf("cut at %d, in the first line: %v, want ErrDamaged", cut, err)
			}
			continue
		}
		if err != nil || again.Turns() != turns[whole] {
			t.Fatalf("cut at %d of %d: %v, want %d turns", cut, len(content), err, turns[whole])
		}
		do(t, again.Count(1, noon))
		do(t, again.Close())
		if s, err := read(path); err != nil || s.last.Turns != turns[whole]+1 || s.last.Number != whole+2 {
			t.Fatalf("cut at %d: then %+v, %v, want %d turns", cut, s.last, err, turns[whole]+1)
		}
	}
}

// TestDamageIsNoticed changes every byte of a log in turn: the count is that of
// some whole line, never one that was not written.
func TestDamageIsNoticed(t *testing.T) {
	l := started(t)
	written := map[int]bool{0: true}
	for range 6 {
		do(t, l.Count(7, noon))
		written[l.Turns()] = true
	}
	content, err := os.ReadFile(l.Path())
	do(t, err)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range content {
		damaged := append([]byte(nil), content...)
		damaged[i] ^= byte(1 + random.IntN(255))
		s, ok := parse(damaged)
		if ok && !written[s.last.Turns] {
			t.Fatalf("byte %d changed: %d turns, which were never counted", i, s.last.Turns)
		}
		if int64(i) < l.size-int64(len(content))/8 && ok && s.last.Turns != 42 {
			t.Fatalf("byte %d changed: %d turns, want 42 of the last line", i, s.last.Turns)
		}
	}
}

// broken is a file whose disk fails.
type broken struct {
	*os.File
	write, sync bool
}

var errDisk = errors.New("the disk fails")

func (b *broken) Write(p []byte) (int, error) {
	if b.write {
		n, _ := b.File.Write(p[:len(p)/2])
		return n, errDisk
	}
	return b.File.Write(p)
}

func (b *broken) Sync() error {
	if b.sync {
		return errDisk
	}
	return b.File.Sync()
}

// TestFailingDiskCountsNothing holds that a turn that did not reach the disk is
// not counted, and that counting goes on when the disk does.
func TestFailingDiskCountsNothing(t *testing.T) {
	l := started(t)
	do(t, l.Count(3, noon))
	b := &broken{File: l.file.(*os.File)}
	l.file = b
	want := 3
	for name, fail := range map[string]func(){"write": func() { b.write = true }, "sync": func() { b.sync = true }} {
		fail()
		if err := l.Count(1, noon); !errors.Is(err, errDisk) || l.Turns() != want {
			t.Errorf("a %s that fails gives %v and %d turns, want errDisk and %d", name, err, l.Turns(), want)
		}
		if s, err := read(l.Path()); err != nil || s.last.Turns != want {
			t.Errorf("after a %s that fails the log says %d turns, %v, want %d", name, s.last.Turns, err, want)
		}
		b.write, b.sync = false, false
		do(t, l.Count(1, noon))
		want++
		if s, err := read(l.Path()); err != nil || s.last.Turns != want {
			t.Errorf("then the log says %d turns, %v, want %d", s.last.Turns, err, want)
		}
	}
}

func TestFilter(t *testing.T) {
	for _, test := range []struct {
		name    string
		least   time.Duration
		presses []time.Duration // after noon
		want    int
	}{
		{"a hand that trembles", DefaultLeast(Hand), []time.Duration{0, 30e6, 80e6, 300e6, 390e6, 600e6}, 3},
		{"a pedal", DefaultLeast(Pedal), []time.Duration{0, 120e6, 210e6}, 2},
		{"off", 0, []time.Duration{0, 0, 1}, 3},
		{"a clock that is set back", DefaultLeast(Hand), []time.Duration{1e9, 0}, 2},
	} {
		f := Filter{Least: test.least}
		got := 0
		for _, p := range test.presses {
			if f.Accept(noon.Add(p), 0) {
				got++
			}
		}
		if got != test.want {
			t.Errorf("%s: %d presses count, want %d", test.name, got, test.want)
		}
	}
	// A magnet counter at 20 a second with contacts that bounce for 5 ms: every
	// turn counts, no bounce does.
	f := Filter{Least: DefaultLeast(Magnet)}
	got := 0
	for turn := range 200 {
		at := noon.Add(time.Duration(turn) * 50 * time.Millisecond)
		for bounce := range 4 {
			if f.Accept(at.Add(time.Duration(bounce)*1600*time.Microsecond), 0) {
				got++
			}
		}
	}
	if got != 200 {
		t.Errorf("a magnet counter counts %d of 200 turns", got)
	}
}

// TestSlowWindowLosesNoTurn learns of presses only at the ends of passes of a
// loop that stalls at random: presses as fast as each input sends them all
// count.
func TestSlowWindowLosesNoTurn(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for input, interval := range map[Input]time.Duration{Hand: 125e6, Pedal: 200e6, Magnet: 50e6} {
		for _, slowest := range []int64{17e6, 60e6, 150e6, 400e6} {
			f := Filter{Least: DefaultLeast(input)}
			const presses = 400
			accepted, due := 0, noon
			var before time.Duration // the pass before this one
			for now := noon; accepted < presses && due.Before(noon.Add(presses*interval)); {
				pass := time.Duration(random.Int64N(slowest)) + time.Millisecond
				now = now.Add(pass)
				for ; !due.After(now) && due.Before(noon.Add(presses*interval)); due = due.Add(interval) {
					if f.Accept(now, max(pass, before)) {
						accepted++
					}
				}
				before = pass
			}
			if accepted != presses {
				t.Errorf("input %d, passes up to %v: %d of %d presses count", input, time.Duration(slowest), accepted, presses)
			}
		}
	}
}

func BenchmarkCount(b *testing.B) {
	l := started(b)
	b.ReportAllocs()
	for b.Loop() {
		if l.Turns() == MaxTurns {
			b.StopTimer()
			do(b, l.Correct(0, noon))
			b.StartTimer()
		}
		do(b, l.Count(1, noon))
	}
}

// FuzzParse checks that a log of any bytes is read or refused, that no count beyond
// the bounds is read, and that what lies behind the last whole line changes nothing.
func FuzzParse(f *testing.F) {
	l := started(f)
	do(f, l.Count(10, noon))
	do(f, l.Measure(2.23e-3, noon))
	content, err := os.ReadFile(l.Path())
	do(f, err)
	f.Add(content)
	f.Add(content[:len(content)-5])
	f.Add([]byte("\n\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		s, ok := parse(content)
		if !ok {
			return
		}
		if s.last.Turns < 0 || s.last.Turns > MaxTurns || s.size > int64(len(content)) {
			t.Fatalf("%q: %+v", content, s)
		}
		if again, ok := parse(content[:s.size]); !ok || !reflect.DeepEqual(again, s) {
			t.Errorf("%q up to its last whole line: %+v, %v, want %+v", content, again, ok, s)
		}
	})
}
