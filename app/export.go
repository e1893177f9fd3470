package app

import (
	"bytes"
	"io"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/app/disk"
	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/plotting"
)

// Sizes of an exported figure and of the drawing of the coil: across a page
// with margins, and upright.
var (
	exportFigure  = vg.Point{X: 7 * vg.Inch, Y: 4.5 * vg.Inch}
	exportDrawing = vg.Point{X: 4.5 * vg.Inch, Y: 7 * vg.Inch}
)

// exportFormats are the kinds of file, by their extension.
var exportFormats = []string{"png", "svg", "pdf", "csv"}

// exported is a figure, or the drawing of the coil, ready to be written.
type exported struct {
	name    string // ends the name of its file
	size    vg.Point
	drawing plotting.Drawing
	table   *plotting.Table // nil: there are no numbers behind it
}

// write writes it in a format; it reports whether the format can hold it.
func (e exported) write(to io.Writer, format, title string, now time.Time) (bool, error) {
	switch format {
	case "png":
		return true, plotting.WritePNG(to, e.drawing, e.size, plotting.PrintDPI)
	case "svg":
		return true, plotting.WriteSVG(to, e.drawing, e.size)
	case "pdf":
		return true, plotting.WritePDF(to, e.drawing, e.size, title, now)
	}
	if e.table == nil {
		return false, nil
	}
	return true, plotting.WriteCSV(to, *e.table)
}

// exportsOf returns everything that can be exported of a result, in the style
// for print: the three figures, that of the height where it is shown, the drawing
// of the coil and, where it is shown, the coil in its field.
func exportsOf(r *session.Result, units view.Units, now time.Time) ([]exported, error) {
	style, footer := inLanguage(plotting.Print()), footerOf(r, units, now)
	footed := func(d plotting.Drawing) plotting.Drawing { return plotting.Footed(d, footer, style) }
	var all []exported
	add := func(name string, p *plot.Plot, err error, table plotting.Table) error {
		if err == nil {
			all = append(all, exported{name, exportFigure, footed(plotting.Figure(p)), &table})
		}
		return err
	}
	tables := [figureCount]plotting.Table{
		figureTurns:        plotting.TurnsTable(r.Curves.Turns),
		figureSize:         plotting.SizeTable(r.Curves.Size),
		figureCountOfTurns: plotting.CountTable(r.Curves.Count),
	}
	names := [figureCount]string{"frequency", "capacitance", "count"}
	for i := range figureCount {
		p, err := figure(i, r, plottingUnits(units), style)
		if err := add(names[i], p, err, tables[i]); err != nil {
			return nil, err
		}
	}
	if r.Curves.Height.Kind != "" {
		p, err := heightFigure(0, r, plottingUnits(units), style)
		if err := add("height", p, err, plotting.HeightTable(r.Curves.Height)); err != nil {
			return nil, err
		}
	}
	geometry, err := r.Design.Geometry()
	if err != nil {
		return nil, err
	}
	section := plotting.Section(geometry, plotting.SectionOptions{Units: plottingUnits(units)}, style)
	all = append(all, exported{"coil", exportDrawing, footed(section), nil})
	if f := r.Curves.Field; f != nil {
		options := plotting.SectionOptions{Units: plottingUnits(units), Field: plotting.FieldOf(f, r.Report.Air, topVolts(r))}
		table := plotting.FieldTable(f, geometry)
		all = append(all, exported{"field", exportDrawing, footed(plotting.Section(geometry, options, style)), &table})
	}
	return all, nil
}

// export asks for formats and a folder and writes the figures there.
func (w *Window) export() {
	r := w.buildable()
	if r == nil {
		return
	}
	labels := make([]string, len(exportFormats))
	for i, format := range exportFormats {
		labels[i] = lang.L("export." + format)
	}
	formats := widget.NewCheckGroup(labels, nil)
	formats.SetSelected(labels[:1])
	question := dialog.NewCustomConfirm(lang.L("export.title"), lang.L("export.folder"), lang.L("ask.cancel"), formats, func(ok bool) {
		if !ok {
			return
		}
		var chosen []string
		for i, format := range exportFormats {
			for _, label := range formats.Selected {
				if label == labels[i] {
					chosen = append(chosen, format)
				}
			}
		}
		w.askFolder(w.folder(), func(folder string) { w.exportTo(folder, chosen, r) })
	}, w.window)
	w.show(question)
}

// buildable returns the result on screen, or says why there is nothing to put
// on paper.
func (w *Window) buildable() *session.Result {
	w.window.Canvas().Unfocus()
	if w.last == nil {
		return nil
	}
	if !w.last.Complete() {
		w.ask(lang.L("export.problem"), answer{"ask.close", widget.HighImportance, func() {}})
		return nil
	}
	return w.last
}

// exportTo writes the figures of a result into a folder.
func (w *Window) exportTo(folder string, formats []string, r *session.Result) {
	files, err := exportFiles(folder, formats, r, w.units, time.Now())
	if err != nil {
		w.fail(err)
		return
	}
	w.writeFiles(folder, files)
}

// writeFiles writes files into a folder and says that it did.
func (w *Window) writeFiles(folder string, files []exportFile) {
	w.put(folder, files, func() {
		w.ask(lang.N("export.done", len(files), map[string]any{"Count": len(files), "Folder": folder}),
			answer{"ask.close", widget.HighImportance, func() {}})
	})
}

// put writes files into a folder, beside the window, and then goes on. Those that
// are there already are written over only after asking; an error is shown.
func (w *Window) put(folder string, files []exportFile, then func()) {
	if len(files) == 0 {
		return
	}
	write := func() {
		w.writeBeside(func() func() {
			for _, f := range files {
				if err := disk.Replace(w.disk, f.path, f.content, disk.Options{Mode: exportMode}); err != nil {
					return func() { w.writeFailed(f.path, err) }
				}
			}
			return then
		})
	}
	w.writeBeside(func() func() {
		there := 0
		for _, f := range files {
			if _, err := w.disk.Stat(f.path); err == nil {
				there++
			}
		}
		if there == 0 {
			return write
		}
		return func() {
			w.ask(lang.N("export.exists", there, map[string]any{"Count": there, "Folder": folder}),
				answer{"ask.save_over", widget.DangerImportance, write},
				answer{"ask.cancel", widget.MediumImportance, func() {}},
			)
		}
	})
}

// exportMode is that of a new file, less what the user's mask takes away.
const exportMode = 0o666

// exportFile is a file that is drawn but not written yet.
type exportFile struct {
	path    string
	content []byte
}

// exportFiles draws everything before anything is written, so that an error
// leaves no half of an export.
func exportFiles(folder string, formats []string, r *session.Result, units view.Units, now time.Time) ([]exportFile, error) {
	all, err := exportsOf(r, units, now)
	if err != nil {
		return nil, err
	}
	name := bareFileName(r.Design.Name)
	var files []exportFile
	for _, format := range formats {
		for _, e := range all {
			var content bytes.Buffer
			written, err := e.write(&content, format, r.Design.Name, now)
			if err != nil {
				return nil, err
			}
			if written {
				files = append(files, exportFile{filepath.Join(folder, name+"-"+e.name+"."+format), content.Bytes()})
			}
		}
	}
	return files, nil
}
