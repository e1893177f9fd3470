package app

import (
	"bufio"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"

	"gonum.org/v1/plot"

	"coilwright/physics/measurement"
	"coilwright/plotting"
)

// instrumentFile is what an instrument saved, with the fit of a range of it. One
// of the three kinds is there.
type instrumentFile struct {
	name string
	kind measurement.Kind

	reflection measurement.Reflection
	circle     measurement.Circle
	record     measurement.Record
	ringDown   measurement.RingDown
	response   measurement.Response
	peak       measurement.Peak

	within measurement.Range // that was fitted; the zero range: as the fit finds it
}

// instrumentEndings are those of files that instruments save.
var instrumentEndings = []string{".s1p", ".csv", ".txt", ".dat"}

// instrumentNames are the keys of what a kind of file comes from.
var instrumentNames = map[measurement.Kind]string{
	measurement.KindReflection: "bench.kind.s1p",
	measurement.KindRingDown:   "bench.kind.ringdown",
	measurement.KindSweep:      "bench.kind.sweep",
}

// readInstrument reads a file; progress is told how much of it is done.
func readInstrument(ctx context.Context, path string, progress func(done, size int64)) (*instrumentFile, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return nil, err
	}
	f := &instrumentFile{name: filepath.Base(path)}
	buffered := bufio.NewReaderSize(in, measurement.HeadSize)
	if ports, ok := strings.CutPrefix(strings.ToLower(filepath.Ext(path)), ".s"); ok && strings.HasSuffix(ports, "p") {
		f.kind = measurement.KindReflection
	} else {
		head, err := buffered.Peek(measurement.HeadSize)
		if err != nil && err != io.EOF {
			return nil, err
		}
		if f.kind, err = measurement.KindOf(head); err != nil {
			return nil, err
		}
	}
	options := measurement.ReadOptions{Size: info.Size(), Progress: progress}
	switch f.kind {
	case measurement.KindReflection:
		f.reflection, err = measurement.ReadTouchstone(buffered)
	case measurement.KindRingDown:
		f.record, err = measurement.ReadRecord(ctx, buffered, options)
	default:
		f.response, err = measurement.ReadSweep(ctx, buffered, options)
	}
	return f, err
}

// fitted returns the file with the fit of a range; what was read is shared.
func (f *instrumentFile) fitted(ctx context.Context, within measurement.Range) (*instrumentFile, error) {
	g := *f
	g.within = within
	var err error
	switch f.kind {
	case measurement.KindReflection:
		g.circle = measurement.FitReflection(f.reflection, within)
	case measurement.KindRingDown:
		g.ringDown, err = measurement.FitRingDown(ctx, f.record, within)
	default:
		g.peak = measurement.FitSweep(f.response, within)
	}
	return &g, err
}

// fit is the part that all kinds have.
func (f *instrumentFile) fit() measurement.Fit {
	switch f.kind {
	case measurement.KindReflection:
		return f.circle.Fit
	case measurement.KindRingDown:
		return f.ringDown.Fit
	}
	return f.peak.Fit
}

// fittedRange is the stretch that was fitted.
func (f *instrumentFile) fittedRange() measurement.Range {
	switch f.kind {
	case measurement.KindReflection:
		return f.circle.Fitted
	case measurement.KindRingDown:
		return f.ringDown.Fitted
	}
	return f.peak.Fitted
}

// dataFigure is the figure of what an instrument saved.
func dataFigure(f *instrumentFile, axis measurement.Range, style plotting.Style) (*plot.Plot, error) {
	switch f.kind {
	case measurement.KindReflection:
		return plotting.ReflectionFigure(f.reflection, f.circle, axis, style)
	case measurement.KindRingDown:
		return plotting.RingDownFigure(f.record, f.ringDown, axis, style)
	}
	return plotting.SweepFigure(f.response, f.peak, axis, style)
}
