package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"coilwright/physics/measurement"
	"coilwright/physics/sentence"
)

// fitted is what fit prints. What was not found is null.
type fitted struct {
	Kind               measurement.Kind `json:"kind"`
	FrequencyHz        *float64         `json:"frequency_hz"`
	FrequencySigmaHz   *float64         `json:"frequency_sigma_hz"`
	QualityFactor      *float64         `json:"quality_factor"`
	QualityFactorSigma *float64         `json:"quality_factor_sigma"`
	Coupling           *float64         `json:"coupling"`
	OtherFrequenciesHz []float64        `json:"other_frequencies_hz"`
	Points             int              `json:"points"`
	Message            string           `json:"message"`
}

// fit reads what an instrument saved and prints the resonance in it. Where
// something is missing it prints the rest and fails with the reason.
func fit(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("fit", flag.ContinueOnError)
	given := flags.String("kind", "", "what a CSV file holds: ringdown or sweep (default: by its heading)")
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	kind := measurement.Kind(*given)
	switch kind {
	case measurement.KindUnknown, measurement.KindRingDown, measurement.KindSweep:
	default:
		return c.wrong(flags, fmt.Sprintf("there is no kind %q", *given))
	}
	if kind != measurement.KindUnknown && isTouchstone(file) {
		return c.wrong(flags, "-kind is for CSV files; "+filepath.Base(file)+" is a Touchstone file by its name")
	}
	in, options, err := c.open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	buffered := bufio.NewReaderSize(in, measurement.HeadSize)
	if kind == measurement.KindUnknown {
		head, err := buffered.Peek(measurement.HeadSize)
		if err != nil && err != io.EOF {
			return named(c.label(file), err)
		}
		if kind, err = kindOfFile(file, head); err != nil {
			return named(c.label(file), err)
		}
	}
	result, err := fitFrom(ctx, kind, buffered, options)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil && !errors.Is(err, measurement.ErrFile) {
		return named(c.label(file), err) // it could not be read at all
	}
	if err != nil {
		result.Message = sentence.Of(err)
	}
	if err := printFit(c.stdout, kind, result); err != nil {
		return err
	}
	if !result.Complete() {
		return named(c.label(file), sentence.Error(nil, result.Message))
	}
	return nil
}

// open opens a file, or standard input for "-", and prepares what shows how
// far reading is.
func (c call) open(file string) (io.ReadCloser, measurement.ReadOptions, error) {
	if file == "-" {
		return io.NopCloser(c.stdin), measurement.ReadOptions{}, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, measurement.ReadOptions{}, err
	}
	info, err := f.Stat()
	if err == nil && info.IsDir() {
		err = &os.PathError{Op: "read", Path: file, Err: errors.New("is a directory")}
	}
	if err != nil {
		f.Close()
		return nil, measurement.ReadOptions{}, err
	}
	return f, measurement.ReadOptions{Size: info.Size(), Progress: c.progress(info.Size())}, nil
}

// progress returns what tells how far reading is, on one line that is
// overwritten: for large files and where somebody looks on.
func (c call) progress(size int64) func(done, size int64) {
	const large = 32 << 20 // bytes, a second of reading or so
	terminal, ok := c.stderr.(*os.File)
	if !ok || size < large {
		return nil
	}
	if info, err := terminal.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	told := int64(-1)
	return func(done, size int64) {
		percent := done * 100 / size
		if percent == told {
			return
		}
		told = percent
		fmt.Fprintf(terminal, "\rreading: %d %%", percent)
		if done >= size {
			fmt.Fprint(terminal, "\r\x1b[K") // wipes the line
		}
	}
}

// isTouchstone says whether a file is one of a network analyser by its name. One
// of more ports is refused by the reader.
func isTouchstone(file string) bool {
	ports, ok := strings.CutPrefix(strings.ToLower(filepath.Ext(file)), ".s")
	return ok && strings.HasSuffix(ports, "p")
}

// kindOfFile tells what a file holds by its name, else by how it begins.
func kindOfFile(file string, head []byte) (measurement.Kind, error) {
	if isTouchstone(file) {
		return measurement.KindReflection, nil
	}
	return measurement.KindOf(head)
}

// fitFrom reads a file of some kind and fits it.
func fitFrom(ctx context.Context, kind measurement.Kind, in io.Reader, options measurement.ReadOptions) (measurement.Fit, error) {
	switch kind {
	case measurement.KindReflection:
		r, err := measurement.ReadTouchstone(in)
		if err != nil {
			return measurement.Fit{}, err
		}
		return measurement.FitReflection(r, measurement.Range{}).Fit, nil
	case measurement.KindSweep:
		r, err := measurement.ReadSweep(ctx, in, options)
		if err != nil {
			return measurement.Fit{}, err
		}
		return measurement.FitSweep(r, measurement.Range{}).Fit, nil
	case measurement.KindRingDown:
		r, err := measurement.ReadRecord(ctx, in, options)
		if err != nil {
			return measurement.Fit{}, err
		}
		fit, err := measurement.FitRingDown(ctx, r, measurement.Range{})
		return fit.Fit, err
	}
	panic("fit: no kind")
}

// printFit prints a fit as JSON.
func printFit(to io.Writer, kind measurement.Kind, f measurement.Fit) error {
	out := fitted{Kind: kind, Points: f.Points, Message: f.Message.String(), OtherFrequenciesHz: f.OtherFrequencies}
	if out.OtherFrequenciesHz == nil {
		out.OtherFrequenciesHz = []float64{}
	}
	if e := f.Frequency; e != nil {
		out.FrequencyHz, out.FrequencySigmaHz = &e.Value, &e.Sigma
	}
	if e := f.QualityFactor; e != nil {
		out.QualityFactor, out.QualityFactorSigma = &e.Value, &e.Sigma
	}
	if e := f.Coupling; e != nil {
		out.Coupling = &e.Value
	}
	return printJSON(to, out)
}
