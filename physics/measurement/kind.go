package measurement

import (
	"bytes"
	"strings"

	"coilwright/physics/sentence"
)

// Kind is what a file holds.
type Kind string

// The kinds of files.
const (
	KindUnknown    Kind = ""
	KindReflection Kind = "s1p"      // a Touchstone file
	KindRingDown   Kind = "ringdown" // a trace against time
	KindSweep      Kind = "sweep"    // amplitude against frequency
)

// errNoKind says that a file may be a trace as well as a sweep.
var errNoKind = fileError(sentence.New("nothing in it tells a trace against time from a sweep of frequency"))

// HeadSize is how many bytes of a file tell its kind.
const HeadSize = sniffed

// KindOf tells what a file holds from its first bytes, [HeadSize] of them or
// all: an option line of Touchstone, a heading or unit of time or frequency, or
// a sample interval. Where nothing tells, the error wraps [ErrFile] and says
// what is wrong.
func KindOf(head []byte) (Kind, error) {
	for line := range bytes.Lines(head) {
		line = bytes.TrimSpace(bytes.TrimPrefix(line, []byte("\ufeff")))
		if len(line) == 0 || line[0] == '!' {
			continue
		}
		if bytes.HasPrefix(bytes.ToLower(line), []byte("[version]")) {
			return KindReflection, nil
		}
		if line[0] == '#' {
			if _, err := parseOptions(string(line[1:])); err == nil {
				return KindReflection, nil
			}
			continue
		}
		break
	}
	t, err := sniff(head, len(head) < HeadSize)
	if err != nil {
		return KindUnknown, err
	}
	_, isTime := secondsOf(t.units[0])
	_, isFrequency := hertzOf(t.units[0])
	_, hasInterval := t.interval()
	name := strings.ToLower(t.names[0])
	switch {
	case isFrequency || mentions(name, frequencyWords...):
		return KindSweep, nil
	case isTime || mentions(name, timeWords...) || hasInterval:
		return KindRingDown, nil
	case len(t.columns) < 2 || len(t.rows) < 2:
		return KindUnknown, errNoKind
	}
	const (
		longestTrace     = 100 // s: a first column beyond is no time
		lowestResonance  = 1e3 // Hz
		shortestInterval = 1   // s: samples of a coil's trace are closer
	)
	first, second, last := t.rows[0][0], t.rows[1][0], t.rows[len(t.rows)-1][0]
	switch step := second - first; {
	case first >= lowestResonance && step > 0 && last > first:
		return KindSweep, nil
	case step >= 0 && step < shortestInterval && first > -longestTrace && last < longestTrace && last > first:
		return KindRingDown, nil
	}
	return KindUnknown, errNoKind
}
