package app

import (
	"bytes"
	"context"
	"errors"
	"image"
	"math"
	"path/filepath"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/lesson"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// classKeys are what a set of coils can vary, by their names in a file.
var classKeys = []string{"secondary.turns", "secondary.former_diameter_m", "top_load.height_m"}

// classSize is how many coils a set has at first.
const classSize = 8

// askClassSet asks what the set is to be and writes its coils and its table.
func (s *showStage) askClassSet() {
	w := s.window
	d := w.session.Design()
	present, err := design.Number(d, classKeys[0])
	if err != nil {
		w.fail(err)
		return
	}
	names := make([]string, len(classKeys))
	for i, key := range classKeys {
		names[i] = lang.L("edit." + key)
	}
	key := view.NewPicker(names)
	key.SetSelectedIndex(0)
	count, least, most := newLine(strconv.Itoa(classSize)), newLine(si.FormatNumber(math.Round(0.9*present), si.Shortest)), newLine(si.FormatNumber(math.Round(1.1*present), si.Shortest))
	key.OnChanged = func(string) {
		if now, err := design.Number(d, classKeys[key.SelectedIndex()]); err == nil {
			unit := classUnit(classKeys[key.SelectedIndex()])
			least.SetText(si.Format(0.9*now, unit, 4))
			most.SetText(si.Format(1.1*now, unit, 4))
		}
	}
	form := container.New(layout.NewFormLayout(),
		widget.NewLabel(lang.L("show.class.vary")), key,
		widget.NewLabel(lang.L("show.class.count")), count,
		widget.NewLabel(lang.L("show.class.from")), least,
		widget.NewLabel(lang.L("show.class.to")), most,
	)
	question := dialog.NewCustomConfirm(lang.L("show.class.title"), lang.L("export.folder"), lang.L("ask.cancel"), form, func(ok bool) {
		if !ok {
			return
		}
		chosen := classKeys[key.SelectedIndex()]
		files, err := classFiles(d, chosen, count.Text, least.Text, most.Text)
		if err != nil {
			w.fail(errors.New(plainProblem(err, w.units)))
			return
		}
		w.askFolder(w.folder(), func(folder string) {
			for i := range files {
				files[i].path = filepath.Join(folder, files[i].path)
			}
			w.writeFiles(folder, files)
		})
	}, w.window)
	w.show(question)
}

func classUnit(key string) si.Unit {
	if key == "secondary.turns" {
		return si.Plain
	}
	return si.Millimetre
}

// mostClass bounds a set.
const mostClass = 100

// classFiles returns the designs of a set, numbered, and its table to fill in.
func classFiles(d design.Design, key, count, least, most string) ([]exportFile, error) {
	n, err := strconv.Atoi(count)
	if err != nil || n < 2 || n > mostClass {
		return nil, errors.New(text("show.class.bad_count", map[string]any{"Most": mostClass}))
	}
	from, err := si.ParseIn(least, classUnit(key))
	if err != nil {
		return nil, err
	}
	to, err := si.ParseIn(most, classUnit(key))
	if err != nil {
		return nil, err
	}
	ctx := context.Background()
	b, err := experiment.NewBench(ctx, d)
	if err != nil {
		return nil, err
	}
	set, err := b.Ladder(ctx, key, from, to, n)
	if err != nil {
		return nil, err
	}
	name := bareFileName(d.Name)
	var files []exportFile
	table := lesson.Results{Varied: key}
	for i, rung := range set {
		var content bytes.Buffer
		if err := design.Write(&content, rung.Design); err != nil {
			return nil, err
		}
		files = append(files, exportFile{name + "-" + strconv.Itoa(i+1) + design.Extension, content.Bytes()})
		table.Coils = append(table.Coils, lesson.Result{Coil: i + 1, Value: rung.Value, Predicted: rung.Frequency, Measured: math.NaN(), Uncertainty: math.NaN()})
	}
	var content bytes.Buffer
	if err := lesson.WriteResults(&content, table); err != nil {
		return nil, err
	}
	return append(files, exportFile{name + "-results.csv", content.Bytes()}), nil
}

// askResults asks for a table that a class has filled in and shows its figure.
func (s *showStage) askResults() {
	askToRead(s.window, []string{".csv", ".txt", ".tsv"}, lesson.ReadResults, s.showResults)
}

// classFigureSize is the size of the figure of a class, in density-independent
// pixels.
var classFigureSize = fyne.NewSize(640, 400)

// showResults shows the points of a class on the curve of its set.
func (s *showStage) showResults(results lesson.Results) {
	w := s.window
	value, predicted, points := classCurve(results.Coils)
	name, unit := classAxis(results.Varied, value, w.units)
	figure, err := plotting.ClassFigure(value, predicted, points, name, unit, s.style())
	if err != nil {
		w.fail(err)
		return
	}
	scale := w.window.Canvas().Scale()
	c := raster.New(image.NewRGBA(image.Rect(0, 0, int(classFigureSize.Width*scale), int(classFigureSize.Height*scale))), pointsPerInch*float64(scale))
	c.Clear(s.style().Background)
	plotting.Render(figure, c)
	picture := canvas.NewImageFromImage(c.Image())
	picture.SetMinSize(classFigureSize)
	picture.FillMode = canvas.ImageFillContain
	w.showSheet(lang.L("show.class.results"), picture, classFigureSize.Height)
}

// classAxis returns the name and the unit of what a set varies. A table that does not
// say may be of turns or of a length: nobody winds less than a turn.
func classAxis(key string, value []float64, units view.Units) (string, si.Unit) {
	if !slices.Contains(classKeys, key) {
		if len(value) > 0 && value[len(value)-1] < 1 {
			return lang.L("show.column.value"), plottingUnit(units)
		}
		return lang.L("show.column.value"), si.Plain
	}
	unit := classUnit(key)
	if unit != si.Plain {
		unit = plottingUnit(units)
	}
	return lang.L("edit." + key), unit
}

func plottingUnit(u view.Units) si.Unit {
	if u == view.Inches {
		return si.Inch
	}
	return si.Millimetre
}

// classCurve takes a class's table apart: the curve that was predicted, by ascending
// value, and what was measured.
func classCurve(results []lesson.Result) (value, predicted []float64, points []plotting.ClassPoint) {
	for _, r := range results {
		if math.IsNaN(r.Value) {
			continue
		}
		if !math.IsNaN(r.Predicted) {
			at := len(value)
			for at > 0 && value[at-1] > r.Value {
				at--
			}
			if at > 0 && value[at-1] == r.Value {
				continue // like coils
			}
			value = append(value[:at], append([]float64{r.Value}, value[at:]...)...)
			predicted = append(predicted[:at], append([]float64{r.Predicted}, predicted[at:]...)...)
		}
		if !math.IsNaN(r.Measured) {
			points = append(points, plotting.ClassPoint{Value: r.Value, Frequency: r.Measured, Uncertainty: r.Uncertainty})
		}
	}
	return value, predicted, points
}
