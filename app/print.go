package app

import (
	"os"
	"path/filepath"
	"strings"
	"time"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/plotting"
)

// print writes the sheet of the coil as a PDF and shows it in the system's
// viewer, which prints.
func (w *Window) print() {
	r := w.buildable()
	if r == nil {
		return
	}
	units, now := w.units, time.Now()
	w.writeBeside(func() func() {
		path, err := writeSheet(r, units, now)
		return func() {
			if err != nil {
				w.fail(err)
				return
			}
			w.openFileOutside(path)
		}
	})
}

// writeSheet writes the sheet of a result into a new folder for temporary
// files, which the system empties, and returns its path.
func writeSheet(r *session.Result, units view.Units, now time.Time) (string, error) {
	geometry, err := r.Design.Geometry()
	if err != nil {
		return "", err
	}
	folder, err := os.MkdirTemp("", "coilwright-")
	if err != nil {
		return "", err
	}
	file, err := os.Create(filepath.Join(folder, bareFileName(r.Design.Name)+".pdf"))
	if err != nil {
		return "", err
	}
	err = plotting.WriteSheet(file, plotting.Sheet{
		Title:    r.Design.Name,
		Curves:   r.Curves,
		Geometry: geometry,
		Units:    plottingUnits(units),
		Footer:   footerOf(r, units, now),
	})
	if closing := file.Close(); err == nil {
		err = closing
	}
	return file.Name(), err
}

// footerOf returns what stands under everything printed of a result.
func footerOf(r *session.Result, units view.Units, now time.Time) plotting.Footer {
	return plotting.Footer{
		Name:        r.Design.Name,
		Date:        now,
		Inputs:      view.MainInputs(&r.Design, units),
		Fingerprint: design.Fingerprint(r.Design),
	}
}

// plottingUnits returns the units of the window as figures take them.
func plottingUnits(u view.Units) plotting.Units { return plotting.Units{Inch: u == view.Inches} }

// bareFileName makes the beginning of a file's name of a design's.
func bareFileName(name string) string {
	if strings.TrimSpace(name) == "" {
		name = lang.L("app.unnamed")
	}
	return strings.TrimSuffix(fileName(name), design.Extension)
}
