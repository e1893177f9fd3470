package measurement

import (
	"context"
	"fmt"
	"io"
	"math"

	"coilwright/physics/sentence"
)

// Record is a trace of an oscilloscope: one or more channels, sampled evenly.
// Samples are kept in single precision, 24 bits, which is more than an
// oscilloscope's converter has.
type Record struct {
	Start    float64 // s, time of the first sample as the file counts it
	Interval float64 // s, between samples, > 0
	Channels []Channel
}

// Channel is one trace of a [Record].
type Channel struct {
	Name    string // as the file has it, or "column 2"
	Unit    string // as the file has it; may be empty
	Samples []float32
}

// maxSamples bounds the samples of all channels together, 1 GiB of them.
const maxSamples = 1 << 28

// roomier is by how much more samples room is made than the first lines of a
// file suggest.
const roomier = 1.05

// ReadRecord reads an oscilloscope's text file. It finds out by itself what
// stands between columns (tab, semicolon, comma, bar or blanks), whether
// decimals have a point or a comma, where the lines of heading end and what
// they say: names, units and the sample interval. Time is the first column, or
// the heading's sample interval where there is none.
//
// It reads in one pass and keeps four bytes for a sample. An error wraps
// [ErrFile] and names the line, unless reading itself failed or the context
// ended.
func ReadRecord(ctx context.Context, from io.Reader, options ReadOptions) (Record, error) {
	var record Record
	var axis timeAxis
	var first int // of the columns that is a channel
	err := readTable(ctx, from, options, func(t *table) error {
		var err error
		axis, err = newTimeAxis(t)
		if err != nil {
			return err
		}
		if axis.column {
			first = 1
		}
		// Room for all samples at once keeps a large file from being copied
		// over and over as it grows.
		expected := 0
		if t.bytes > 0 {
			expected = int(min(roomier*float64(options.Size)/t.bytes, maxSamples/float64(len(t.columns))))
		}
		if len(t.columns) <= first {
			return lineError(t.first, sentence.New("there is a column of time and none of a signal"))
		}
		for i := first; i < len(t.columns); i++ {
			name := t.names[i]
			if name == "" {
				name = fmt.Sprintf("column %d", t.columns[i]+1)
			}
			record.Channels = append(record.Channels, Channel{Name: name, Unit: t.units[i], Samples: make([]float32, 0, expected)})
		}
		return nil
	}, func(line int, values []float64) error {
		if axis.column {
			if err := axis.add(values[0], line); err != nil {
				return err
			}
		}
		for i := range record.Channels {
			c := &record.Channels[i]
			c.Samples = append(c.Samples, float32(values[first+i]))
		}
		if len(record.Channels[0].Samples)*len(record.Channels) > maxSamples {
			return lineError(line, sentence.New("more than %d samples; export a shorter stretch", maxSamples))
		}
		return nil
	})
	if err != nil {
		return Record{}, err
	}
	if len(record.Channels[0].Samples) < 2 {
		return Record{}, fileError(sentence.New("it has fewer than two samples"))
	}
	record.Start, record.Interval, err = axis.result()
	if err != nil {
		return Record{}, err
	}
	return record, nil
}

// timeAxis finds the sample interval while the times stream by.
type timeAxis struct {
	column bool    // the first column is time; else a count of samples, or a channel
	scale  float64 // s per unit of the column
	stated float64 // s, interval the heading states; 0: none

	count       int
	last        float64
	largestStep float64
	smallest    float64
	still       int // steps of zero: the column has fewer digits than it needs
	largestLine int
	stride      int         // samples between two marks
	marks       []sampleAge // thinned out as they get many
}

// sampleAge is the time of a sample.
type sampleAge struct {
	n int
	t float64 // in units of the column
}

// newTimeAxis decides from the beginning of a file where its time is.
func newTimeAxis(t *table) (timeAxis, error) {
	a := timeAxis{scale: 1, stride: 1, smallest: math.Inf(1)}
	a.stated, _ = t.interval()
	increasing := len(t.rows) > 1
	counts := increasing // by one
	for i := 1; i < len(t.rows); i++ {
		step := t.rows[i][0] - t.rows[i-1][0]
		increasing = increasing && step >= 0
		counts = counts && step == 1
	}
	increasing = increasing && t.rows[len(t.rows)-1][0] > t.rows[0][0]
	factor, isTime := secondsOf(t.units[0])
	if isTime {
		a.scale = factor
	}
	isTime = isTime || mentions(t.names[0], timeWords...)
	isIndex := mentions(t.names[0], indexWords...) || counts && t.names[0] == ""
	switch {
	case isTime:
		a.column = true
	case increasing && isIndex && a.stated > 0:
		a.column, a.scale = true, a.stated
	case increasing && isIndex && counts:
		return a, lineError(t.first, sentence.New("column %d counts samples and the heading states no sample interval; export it with a column of time", t.columns[0]+1))
	case a.stated > 0 && (len(t.columns) == 1 || !increasing || t.names[0] != ""):
		a.column = false
	case increasing && len(t.columns) > 1:
		a.column = true
	default:
		return a, lineError(t.first, sentence.New("there is neither a column of time nor a sample interval in the heading; export it with a column of time"))
	}
	return a, nil
}

// add takes the next time.
func (a *timeAxis) add(t float64, line int) error {
	const marksKept = 4096
	if a.count > 0 {
		step := t - a.last
		switch {
		case step < 0:
			return lineError(line, sentence.New("time goes back from %g to %g; export one trace only", a.last, t))
		case step == 0:
			a.still++
		case step > a.largestStep:
			a.largestStep, a.largestLine = step, line
		}
		a.smallest = min(a.smallest, step)
	}
	if a.count%a.stride == 0 {
		a.marks = append(a.marks, sampleAge{a.count, t})
		if len(a.marks) == marksKept {
			for i := range marksKept / 2 {
				a.marks[i] = a.marks[2*i]
			}
			a.marks = a.marks[:marksKept/2]
			a.stride *= 2
		}
	}
	a.last = t
	a.count++
	return nil
}

// result returns the time of the first sample and the interval in s. The
// interval is the slope of the straight line through all times, which their
// rounding in the file hardly touches.
func (a *timeAxis) result() (start, interval float64, err error) {
	if !a.column {
		return 0, a.stated, nil
	}
	marks := a.marks
	if marks[len(marks)-1].n != a.count-1 {
		marks = append(marks, sampleAge{a.count - 1, a.last})
	}
	var n, t, nn, nt float64
	for _, m := range marks {
		n += float64(m.n)
		t += m.t
	}
	n /= float64(len(marks))
	t /= float64(len(marks))
	for _, m := range marks {
		nn += (float64(m.n) - n) * (float64(m.n) - n)
		nt += (float64(m.n) - n) * (m.t - t)
	}
	step := nt / nn
	if !(step > 0) || math.IsInf(step, 0) {
		return 0, 0, fileError(sentence.New("its time does not advance"))
	}
	off := 0.0 // farthest from the line
	for _, m := range marks {
		off = max(off, math.Abs(m.t-t-step*(float64(m.n)-n)))
	}
	if reason := a.uneven(step, off); !reason.Empty() {
		return 0, 0, lineError(a.largestLine, sentence.New("%s; export it with even steps of time", reason))
	}
	return (t - step*n) * a.scale, step * a.scale, nil
}

// uneven returns what speaks against even steps, or nothing. Steps may differ by
// what rounding does: where the file's last digit is larger than a step, steps
// are zero or one such digit, and there are just so many zeros.
func (a *timeAxis) uneven(step, off float64) sentence.Text {
	const (
		roundedStep = 2.2 // × step, largest step that rounding to under a step explains
		roundedOff  = 1.1 // × the largest step, how far times may lie off the line
		zeros       = 0.5 // of the zeros that rounding brings must be there
	)
	if off > roundedOff*a.largestStep {
		return sentence.New("times are not evenly spaced")
	}
	expected := float64(a.count-1) * (1 - step/a.largestStep)
	if a.largestStep > roundedStep*step && float64(a.still) < zeros*expected {
		return sentence.New("a gap of %.3g s in steps of %.3g s", a.largestStep*a.scale, step*a.scale)
	}
	if a.still == 0 && a.smallest < step/4 {
		return sentence.New("times are not evenly spaced")
	}
	return sentence.Text{}
}
