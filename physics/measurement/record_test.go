package measurement

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

func readRecord(text string) (Record, error) {
	return ReadRecord(context.Background(), strings.NewReader(text), ReadOptions{})
}

// The same trace of two channels as different instruments write it.
func TestReadRecord(t *testing.T) {
	const numbers = "0.000,0.5,-1.25\n0.002,0.25,-1\n0.004,-0.125,3\n0.006,0.25,1e-3\n"
	semicolons := strings.ReplaceAll(numbers, ",", ";")
	commas := strings.ReplaceAll(semicolons, ".", ",")
	for _, test := range []struct {
		name, file string
		start      float64 // s
		interval   float64 // s
		names      string
	}{
		{"plain", numbers, 0, 2e-3, "column 2|column 3"},
		{"names", "Time,CH1,CH2\n" + numbers, 0, 2e-3, "CH1|CH2"},
		{"names and units", "Time (us),CH1 (V),CH2 (mV)\n" + numbers, 0, 2e-9, "CH1|CH2"},
		{"square brackets", "t [ms],a [V],b [V]\n" + numbers, 0, 2e-6, "a|b"},
		{"micro sign", "time in µs,a,b\n" + numbers, 0, 2e-9, "a|b"},
		{"micro sign in Latin-1", "time (\xb5s),a,b\n" + numbers, 0, 2e-9, "a|b"},
		{"units in a line of their own", "Time,Channel A,Channel B\n(ms),(V),(V)\n\n" + numbers, 0, 2e-6, "Channel A|Channel B"},
		{"seconds spelt out", "Second,Volt,Volt\n" + numbers, 0, 2e-3, "column 2|column 3"},
		{"long head", "Model,x\nFirmware,1.0\nDate,2026-01-02\nPoints,4\nTime(s),A(V),B(V)\n" + numbers, 0, 2e-3, "A|B"},
		{"semicolons", "Time (us);CH1;CH2\n" + semicolons, 0, 2e-9, "CH1|CH2"},
		{"decimal commas", "Zeit (us);CH1;CH2\n" + commas, 0, 2e-9, "CH1|CH2"},
		{"tabs and decimal commas", "Time\tCH1\tCH2\n" + strings.ReplaceAll(commas, ";", "\t"), 0, 2e-3, "CH1|CH2"},
		{"blanks", strings.ReplaceAll(semicolons, ";", "   "), 0, 2e-3, "column 2|column 3"},
		{"bars", "t|a|b\n" + strings.ReplaceAll(semicolons, ";", " | "), 0, 2e-3, "a|b"},
		{"quotes", "\"Time (ms)\",\"a\",\"b\"\n" + strings.ReplaceAll(numbers, ",", "\",\""), 0, 0, ""}, // broken quotes, see below
		{"Windows line ends", strings.ReplaceAll("Time,CH1,CH2\n"+numbers, "\n", "\r\n"), 0, 2e-3, "CH1|CH2"},
		{"old Macintosh line ends", strings.ReplaceAll("Time,CH1,CH2\n"+numbers, "\n", "\r"), 0, 2e-3, "CH1|CH2"},
		{"mark of UTF-8", "\ufeffTime,CH1,CH2\n" + numbers, 0, 2e-3, "CH1|CH2"},
		{"commas at line ends", strings.ReplaceAll("Time,CH1,CH2\n"+numbers, "\n", ",\n"), 0, 2e-3, "CH1|CH2"},
		{"comments", "# a coil\n% t,a,b\n" + numbers + "# the end\n\n", 0, 2e-3, "a|b"},
		{"interval", "Sample Interval,4e-9,s\nCH1,CH2\n0.5,-1.25\n0.25,-1\n-0.125,3\n0.25,0.001\n", 0, 4e-9, "CH1|CH2"},
		{"interval with a prefix", "Interval: 4 ns\nCH1,CH2\n0.5,-1.25\n0.25,-1\n-0.125,3\n0.25,0.001\n", 0, 4e-9, "CH1|CH2"},
		{"sampling rate", "Sample rate = 250 MSa/s\nCH1;CH2\n0.5;-1.25\n0.25;-1\n-0.125;3\n0.25;0.001\n", 0, 4e-9, "CH1|CH2"},
		{"count of samples", "X,CH1,CH2,Increment\nSequence,Volt,Volt,2e-9\n0,0.5,-1.25,\n1,0.25,-1,\n2,-0.125,3,\n3,0.25,0.001,\n", 0, 2e-9, "CH1|CH2"},
		{"head beside the numbers", "Points,4,0.000,0.5,-1.25\nInterval,2e-3,0.002,0.25,-1\nUnits,V,0.004,-0.125,3\n,,0.006,0.25,0.001\n", 0, 2e-3, "column 4|column 5"},
		{"begins before zero", "Time (s),a,b\n-2e-6,0.5,-1.25\n-1e-6,0.25,-1\n0,-0.125,3\n1e-6,0.25,0.001\n", -2e-6, 1e-6, "a|b"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r, err := readRecord(test.file)
			if test.interval == 0 {
				if !errors.Is(err, ErrFile) {
					t.Errorf("error %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(r.Interval/test.interval-1) > 1e-12 || math.Abs(r.Start-test.start) > 1e-12*test.interval {
				t.Errorf("interval %g s from %g s, want %g s from %g s", r.Interval, r.Start, test.interval, test.start)
			}
			var names []string
			for _, c := range r.Channels {
				names = append(names, c.Name)
			}
			if strings.Join(names, "|") != test.names {
				t.Errorf("channels %q, want %s", names, test.names)
			}
			if got, want := fmt.Sprint(r.Channels[0].Samples, r.Channels[1].Samples), "[0.5 0.25 -0.125 0.25] [-1.25 -1 3 0.001]"; got != want {
				t.Errorf("samples %s, want %s", got, want)
			}
		})
	}
}

func TestReadRecordOneColumn(t *testing.T) {
	for _, test := range []struct {
		name, file string
		want       string
	}{
		{"points", "dt = 1e-8\n0.5\n-0.25\n0.05\n", "[0.5 -0.25 0.05]"},
		{"decimal commas", "Increment;1e-8\n0,5\n-0,25\n0,05\n0,5\n-0,25\n0,05\n", "[0.5 -0.25 0.05 0.5 -0.25 0.05]"},
		{"decimal commas in quotes", "Interval;1e-8\n\"0,5\"\n\"-0,25\"\n\"0,05\"\n", "[0.5 -0.25 0.05]"},
	} {
		r, err := readRecord(test.file)
		if err != nil || r.Interval != 1e-8 || len(r.Channels) != 1 || fmt.Sprint(r.Channels[0].Samples) != test.want {
			t.Errorf("%s: %+v, %v", test.name, r, err)
		}
	}
}

// A time of few digits still has the right interval: it stands still and jumps.
func TestReadRecordRoundedTime(t *testing.T) {
	var file strings.Builder
	file.WriteString("Time (s),a (V)\n")
	const n, interval = 20000, 2e-9
	for i := range n {
		fmt.Fprintf(&file, "%.3e,%d\n", 1e-3+float64(i)*interval, i%7) // last digit 1 µs
	}
	r, err := readRecord(file.String())
	if err != nil || math.Abs(r.Interval/interval-1) > 0.01 { // 40 digits of 1 µs
		t.Errorf("interval %g s, %v", r.Interval, err)
	}
}

func TestReadRecordRefuses(t *testing.T) {
	lines := func(n int, line func(i int) string) string {
		var b strings.Builder
		b.WriteString("Time (s),a (V)\n")
		for i := range n {
			b.WriteString(line(i))
		}
		return b.String()
	}
	even := func(i int) string { return fmt.Sprintf("%d,%d\n", i, i%5) }
	for _, test := range []struct{ name, file, want string }{
		{"empty", "", "it is empty"},
		{"blank", "\n \n", "it is empty"},
		{"prose", "This is a letter.\nIt has no numbers.\n", "no columns of numbers"},
		{"binary", "PK\x03\x04\x00\x00", "it is not text"},
		{"UTF-16", "\xff\xfeT\x00", "UTF-16"},
		{"one sample", "dt = 1e-9\n1\n", "fewer than two"},
		{"no time", "0.5,1\n-0.25,0\n0.05,7\n", "neither a column of time nor a sample interval"},
		{"count without interval", "0,1.5\n1,0.5\n2,7\n3,7\n", "counts samples"},
		{"only time", "Time (s)\n0\n1\n2\n3\n", "none of a signal"},
		{"text among numbers", lines(100, func(i int) string {
			if i == 50 {
				return "50,oops\n"
			}
			return even(i)
		}), `line 52 cannot be read: column 2 is "oops", not a number`},
		{"gap in a line", lines(100, func(i int) string {
			if i == 50 {
				return "50,\n"
			}
			return even(i)
		}), "line 52 cannot be read: column 2 is empty"},
		{"cut off", lines(100, even) + "100", "line 102 cannot be read: it has 1 columns, not 2; the file seems cut off here"},
		{"off the screen", lines(100, func(i int) string {
			if i == 50 {
				return "50,9.9E+37\n"
			}
			return even(i)
		}), "off the screen"},
		{"backwards", lines(100, func(i int) string { return even(i % 60) }), "line 62 cannot be read: time goes back from 59 to 0"},
		{"missing samples", lines(100, func(i int) string { return even(i + i/50*7) }), "line 52 cannot be read: a gap of 8 s in steps of"},
		{"uneven", lines(100, func(i int) string { return fmt.Sprintf("%g,1\n", math.Pow(1.05, float64(i))) }), "not evenly spaced"},
		{"standing", lines(100, func(i int) string { return "1,1\n" }), "time does not advance"},
		{"commas for all", "0,000,0,5\n0,002,0,25\n0,004,0,05\n0,006,0,25\n", "the comma stands both between columns and in numbers"},
		{"endless line", "0.1,2\n0.2,3\n" + strings.Repeat("9", longestLine+1), "longer than"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := readRecord(test.file)
			if !errors.Is(err, ErrFile) || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want %q", err, test.want)
			}
		})
	}
}

// Reading tells how far it is and stops when asked to.
func TestReadRecordProgress(t *testing.T) {
	var file strings.Builder
	for i := range 200000 {
		fmt.Fprintf(&file, "%d,%d\n", i, i%5)
	}
	text := "Time (us),a\n" + file.String()
	size := int64(len(text))
	ctx, cancel := context.WithCancel(context.Background())
	var told []int64
	_, err := ReadRecord(ctx, strings.NewReader(text), ReadOptions{Size: size, Progress: func(done, of int64) {
		if of != size {
			t.Errorf("size %d, want %d", of, size)
		}
		told = append(told, done)
	}})
	if err != nil || len(told) < 10 || told[len(told)-1] != size {
		t.Errorf("told %v of %d, %v", told, size, err)
	}
	told = nil
	_, err = ReadRecord(ctx, strings.NewReader(text), ReadOptions{Progress: func(done, _ int64) {
		told = append(told, done)
		cancel()
	}})
	if !errors.Is(err, context.Canceled) || len(told) != 1 {
		t.Errorf("after giving up: %v, told %v", err, told)
	}
}

// FuzzRecord reads anything without panic; what it takes it can fit.
func FuzzRecord(f *testing.F) {
	for _, seed := range []string{
		"Time (us),CH1\n0,1\n1,2\n2,0\n3,1\n",
		"t;a\n0,1;2\n0,2;3\n",
		"Interval,1e-9\n1\n2\n-3\n",
		"0 1\n1 2\n2 3\n",
		"\"a\",\"b\"\n\"0,1\",\"1\"\n",
		"X,CH1,Increment\n,V,2e-9\n0,1,\n1,2,\n",
		"0,05\n0,1\n",
	} {
		f.Add([]byte(seed))
	}
	var ring strings.Builder
	ring.WriteString("Time (us);a\n")
	for i := range 100 {
		fmt.Fprintf(&ring, "%.1f;%.2f\n", float64(i)/10, deskCoil.value(deskCoil.begin+float64(i)*1e-7))
	}
	f.Add([]byte(ring.String()))
	f.Fuzz(func(t *testing.T, file []byte) {
		r, err := readRecord(string(file))
		if err != nil {
			if !errors.Is(err, ErrFile) {
				t.Fatalf("error %v", err)
			}
			return
		}
		if !(r.Interval > 0) || len(r.Channels) == 0 {
			t.Fatalf("interval %g s, %d channels", r.Interval, len(r.Channels))
		}
		for _, c := range r.Channels {
			if len(c.Samples) != len(r.Channels[0].Samples) || len(c.Samples) < 2 {
				t.Fatalf("%d samples of %d", len(c.Samples), len(r.Channels[0].Samples))
			}
		}
		fit, err := FitRingDown(context.Background(), r, Range{})
		if err != nil {
			t.Fatal(err)
		}
		checkFit(t, fit.Fit)
	})
}
