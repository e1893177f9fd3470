// Package logbook reads the built coils of a folder of design files and says how
// well their predictions have held.
//
// Start reading at [Read], which makes an [Entry] of every file, and [Held],
// which says what all of them together teach: how many lie within their
// uncertainty, and by which ratio the maker's coils come out other than drawn.
//
// Frequencies are in Hz, uncertainties one standard deviation.
//
// Source of the mean of results that scatter by more than their uncertainties:
// R. DerSimonian, N. Laird, Controlled Clinical Trials 7 (1986) 177.
package logbook

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

// Entry is one coil of the logbook. What is not known is nil.
type Entry struct {
	File          string // path
	Name          string
	Notes         string
	Date          string // of the reading
	Setup         string // of the reading; of the prediction where there is none
	Predicted     *float64
	Sigma         float64 // Hz, of the prediction, from tolerances
	ModelError    float64 // Hz
	Measured      *float64
	MeasuredSigma float64       // Hz
	Deviation     *float64      // of measured from predicted, relative
	QualityFactor *float64      // measured
	Problem       sentence.Text // why there is no prediction; a sentence
}

// Beyond says whether the reading lies outside of what tolerances, model and
// reading leave open.
func (e *Entry) Beyond() bool {
	if e.Deviation == nil {
		return false
	}
	return math.Abs(*e.Measured-*e.Predicted) > 2*math.Hypot(e.Sigma, e.MeasuredSigma)+e.ModelError
}

// ErrEmpty says that a folder holds no design files.
var ErrEmpty = errors.New("logbook: the folder holds no design files (*" + design.Extension + ")")

// Read makes an entry of every design file in a folder and below, in the order of
// their paths. A file that cannot be read or solved has an entry that says why.
// progress, unless nil, is told how many files are done of how many.
func Read(ctx context.Context, folder string, progress func(done, of int)) ([]Entry, error) {
	var files []string
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil && path == folder:
			return err
		case err != nil:
			return nil // a folder that may not be read holds no coils of ours
		case entry.IsDir() && path != folder && strings.HasPrefix(entry.Name(), "."):
			return filepath.SkipDir
		case !entry.IsDir() && strings.HasSuffix(path, design.Extension):
			files = append(files, path)
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, ErrEmpty
	}
	var entries []Entry
	solver := design.NewSolver()
	for i, path := range files {
		if progress != nil {
			progress(i, len(files))
		}
		e := entryOf(ctx, solver, path)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		entries = append(entries, e)
	}
	if progress != nil {
		progress(len(files), len(files))
	}
	return entries, nil
}

// entryOf reads one file.
func entryOf(ctx context.Context, solver *design.Solver, path string) Entry {
	e := Entry{File: path, Name: strings.TrimSuffix(filepath.Base(path), design.Extension)}
	d, err := design.ReadFile(path)
	if err != nil {
		if p := new(os.PathError); errors.As(err, &p) {
			err = p.Err
		}
		e.Problem = problemOf(err)
		return e
	}
	if d.Name != "" {
		e.Name = d.Name
	}
	e.Notes = d.Notes
	m, measured := latest(d.Measurements)
	if !measured {
		m = design.Measurement{Quantity: comparison.Frequency, Setup: comparison.SetupOf(d), ProbePlace: comparison.NoProbe}
	}
	e.Setup, e.Date = m.Setup, m.Date
	predict := comparison.RowOf
	if !measured {
		predict = comparison.Predict
	}
	row, err := predict(ctx, solver, d, comparison.Driven{}, m)
	if err != nil {
		e.Problem = problemOf(err)
		return e
	}
	if measured {
		e.Measured, e.MeasuredSigma = &m.Value, row.Sigma
	}
	if q := d.MeasuredQuality(); q != nil {
		e.QualityFactor = &q.Value
	}
	if row.Verdict == comparison.NotPredicted {
		e.Problem = row.Text
		return e
	}
	e.Predicted, e.Sigma, e.ModelError = &row.Predicted, row.PredictedSigma, row.ModelError
	if measured {
		e.Deviation = &row.Deviation
	}
	return e
}

// problemOf says what is wrong with a file: of several problems the first.
func problemOf(err error) sentence.Text {
	var problems design.Problems
	if errors.As(err, &problems) && len(problems) > 0 {
		return problems[0].Words()
	}
	return sentence.Of(err)
}

// latest returns the newest reading of a resonance; of two of the same day, or
// without a date, the one that stands later.
func latest(readings []design.Measurement) (found design.Measurement, ok bool) {
	for _, m := range readings {
		if m.Quantity != comparison.Frequency || m.Setup == comparison.Running || !(m.Value > 0) {
			continue
		}
		if !ok || m.Date >= found.Date {
			found, ok = m, true
		}
	}
	return found, ok
}

// Column is what a logbook is sorted by.
type Column int

// The columns.
const (
	ByName Column = iota
	ByPredicted
	ByMeasured
	ByDeviation
	ByQuality
	ByDate
)

// Sort sorts entries by a column, those without a value last either way.
func Sort(entries []Entry, by Column, descending bool) {
	value := func(e *Entry) *float64 {
		switch by {
		case ByPredicted:
			return e.Predicted
		case ByMeasured:
			return e.Measured
		case ByDeviation:
			return e.Deviation
		}
		return e.QualityFactor
	}
	slices.SortStableFunc(entries, func(a, b Entry) int {
		var order int
		switch by {
		case ByName:
			order = cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
		case ByDate:
			if missing := boolean(a.Date == "") - boolean(b.Date == ""); missing != 0 {
				return missing
			}
			order = cmp.Compare(a.Date, b.Date)
		default:
			x, y := value(&a), value(&b)
			if x == nil || y == nil {
				return boolean(x == nil) - boolean(y == nil)
			}
			order = cmp.Compare(*x, *y)
		}
		if descending {
			order = -order
		}
		return order
	})
}

func boolean(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Filter returns the entries whose name, notes, date or file name hold all words
// of a text, whatever their case.
func Filter(entries []Entry, text string) []Entry {
	words := strings.Fields(strings.ToLower(text))
	var out []Entry
	for _, e := range entries {
		all := strings.ToLower(strings.Join([]string{e.Name, e.Notes, e.Date, filepath.Base(e.File)}, " "))
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(all, w) }) {
			out = append(out, e)
		}
	}
	return out
}
