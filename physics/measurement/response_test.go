package measurement

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
)

func readSweep(text string) (Response, error) {
	return ReadSweep(context.Background(), strings.NewReader(text), ReadOptions{})
}

func TestReadSweep(t *testing.T) {
	for _, test := range []struct {
		name, file string
		frequency  string
		amplitude  string
		decibel    bool
	}{
		{"plain", "1000,1\n2000,3\n3000,2\n", "[1000 2000 3000]", "[1 3 2]", false},
		{"units", "Frequency (kHz),Amplitude (mV)\n1,1\n2,3\n3,2\n", "[1000 2000 3000]", "[1 3 2]", false},
		{"dB", "Freq [MHz];Level [dBm]\n0,001;1\n0,002;3\n0,003;2\n", "[1000 2000 3000]", "[1 3 2]", true},
		{"dB by its sign", "1000,-1\n2000,-3\n3000,-2\n", "[1000 2000 3000]", "[-1 -3 -2]", true},
		{"phase beside", "f (Hz),phase (deg),gain (dB)\n1000,90,1\n2000,0,3\n3000,-90,2\n", "[1000 2000 3000]", "[1 3 2]", true},
		{"downwards", "3000,2\n2000,3\n1000,1\n", "[1000 2000 3000]", "[1 3 2]", false},
	} {
		r, err := readSweep(test.file)
		if err != nil || fmt.Sprint(r.Frequency) != test.frequency || fmt.Sprint(r.Amplitude) != test.amplitude || r.Decibel != test.decibel {
			t.Errorf("%s: %+v, %v", test.name, r, err)
		}
	}
}

func TestReadSweepRefuses(t *testing.T) {
	for _, test := range []struct{ name, file, want string }{
		{"one column", "1000\n2000\n3000\n", "a column of frequency and one of amplitude"},
		{"time", "Time (s),a\n1,2\n2,3\n3,4\n", "column 1 is time"},
		{"phase only", "f (Hz),phase (deg)\n1,2\n2,3\n3,4\n", "no column of amplitude"},
		{"zero", "0,1\n1000,2\n2000,1\n", "line 1 cannot be read: frequency 0 Hz"},
		{"two sweeps", "1000,1\n2000,2\n3000,2\n1000,1\n", "line 4 cannot be read: frequency goes from 3000 to 1000 Hz"},
		{"text", "f,a\n1000,1\n2000,2\n3000,x\n4000,2\n5000,2\n6000,3\n7000,4\n8000,5\n9000,5\n10000,6\n11000,7\n", "line 4"},
	} {
		_, err := readSweep(test.file)
		if !errors.Is(err, ErrFile) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
}

func TestKindOf(t *testing.T) {
	for _, test := range []struct {
		name, head string
		want       Kind
	}{
		{"option line", "! x\n# MHz S DB R 50\n1 2 3\n", KindReflection},
		{"version 2", "[Version] 2.0\n", KindReflection},
		{"time", "Time (us),CH1\n0,1\n1,2\n2,0\n", KindRingDown},
		{"comment before time", "# my coil\nt,CH1\n0,1\n1,2\n2,0\n", KindRingDown},
		{"interval", "Interval,1e-9\n1\n2\n3\n", KindRingDown},
		{"small steps", "0,1\n1e-8,2\n2e-8,0\n", KindRingDown},
		{"frequency", "Frequency;dB\n1000;-1\n2000;-2\n", KindSweep},
		{"unit of frequency", "x (MHz),y\n1,1\n2,2\n", KindSweep},
		{"large numbers", "1000000,1\n1001000,2\n1002000,1\n", KindSweep},
		{"neither", "1,1\n2,2\n3,1\n", KindUnknown},
		{"prose", "a letter", KindUnknown},
	} {
		got, err := KindOf([]byte(test.head))
		if got != test.want || (err != nil) != (test.want == KindUnknown) {
			t.Errorf("%s: %q, %v; want %q", test.name, got, err, test.want)
		}
	}
}

// FuzzSweep reads anything without panic; what it takes it can fit.
func FuzzSweep(f *testing.F) {
	for _, seed := range []string{
		"Frequency (kHz),Amplitude\n1,1\n2,3\n3,2\n",
		"1000,-1\n2000,-3\n3000,-2\n",
		"f|p (deg)|a\n3|1|2\n2|1|2\n",
	} {
		f.Add([]byte(seed))
	}
	var peak strings.Builder
	peak.WriteString("f (kHz),a\n")
	h := hump{1.3e6, 50, 1, 0.1i}
	for i := range 41 {
		fmt.Fprintf(&peak, "%d,%.3f\n", 1200+5*i, h.amplitude(1.2e6+5e3*float64(i)))
	}
	f.Add([]byte(peak.String()))
	f.Fuzz(func(t *testing.T, file []byte) {
		if kind, err := KindOf(file); (kind == KindUnknown) != (err != nil) {
			t.Fatalf("kind %q, %v", kind, err)
		}
		r, err := readSweep(string(file))
		if err != nil {
			if !errors.Is(err, ErrFile) {
				t.Fatalf("error %v", err)
			}
			return
		}
		for i, v := range r.Frequency {
			if !(v > 0) || i > 0 && v <= r.Frequency[i-1] {
				t.Fatalf("frequencies %v", r.Frequency)
			}
		}
		checkFit(t, FitSweep(r, Range{}).Fit)
	})
}
