package app

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/plot/vg"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/measurement"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// benchReader is the view of an instrument's file: the data with the fit over
// them, of which a range can be drawn with the pointer.
type benchReader struct {
	bench    *benchStage
	object   fyne.CanvasObject
	figure   *view.Figure
	picture  *painting
	circle   *view.Figure
	round    *painting
	prose    *view.Prose
	progress *widget.ProgressBar
	takeBoth *view.Button
	whole    *view.Button
	zoom     *view.Button
	again    *view.Button
	buttons  []fyne.CanvasObject
	errand   errand
	busy     bool
	problem  string
	zoomed   bool
	from, at fyne.Position // where the pointer was pressed on the data, and is
	shown    shared[benchShown]
}

// benchShown is what the worker draws.
type benchShown struct {
	file *instrumentFile   // nil: none
	axis measurement.Range // of the horizontal axis
	mark measurement.Range // drawn with the pointer, not yet fitted
}

func newBenchReader(s *benchStage) *benchReader {
	f := &benchReader{bench: s, prose: view.NewProse(), progress: widget.NewProgressBar()}
	f.errand.synchronous = s.synchronous
	f.progress.Hide()
	f.figure = view.NewFigure(fyne.NewSize(260, 160), nil)
	f.circle = view.NewFigure(fyne.NewSize(160, 120), nil)
	f.picture = s.paint(stageBench, f.figure, f.draw)
	f.round = s.paint(stageBench, f.circle, func(c *raster.Canvas, _ *session.Result, l look) (any, bool) {
		file := f.shown.get().file
		if file == nil || file.kind != measurement.KindReflection {
			return nil, false
		}
		// Once to see how wide and high the frame comes out, once more with a
		// circle that is one.
		frame := plotting.Frame{Right: 1, Bottom: 1}
		for range 2 {
			aspect := float64((frame.Right - frame.Left) / (frame.Bottom - frame.Top))
			p, err := plotting.CircleFigure(file.reflection, file.circle, aspect, l.style)
			if err != nil {
				return nil, false
			}
			frame = plotting.Render(p, c)
		}
		return frame, true
	})
	data := f.figure.Pad()
	data.OnPress = func(at fyne.Position) { f.from, f.at = at, at }
	data.OnDrag = func(at fyne.Position) { f.drag(at, false) }
	data.OnRelease = func() { f.drag(f.at, true) }
	f.figure.Picture().OnPoint = func(fyne.Position) { s.hint.Show("bench.drag") }
	button := func(key string, tapped func()) *view.Button {
		b := view.NewButton(lang.L(key), nil, tapped)
		b.Importance = widget.MediumImportance
		b.OnHint = func() { s.hint.Show(key) }
		return b
	}
	f.takeBoth = button("bench.take_fit", f.take)
	f.whole = button("bench.whole", func() { f.refit(measurement.Range{}) })
	f.zoom = button("bench.zoom", f.toggleZoom)
	f.again = button("bench.import", f.choose)
	f.buttons = []fyne.CanvasObject{container.NewHBox(f.takeBoth, f.whole), container.NewHBox(f.zoom, f.again)}
	f.object = view.NewBeside(container.NewBorder(nil, nil, nil, nil, f.prose.Object()), f.figure.Object(), f.circle.Object())
	f.show()
	return f
}

// draw draws the data with the fit over them.
func (f *benchReader) draw(c *raster.Canvas, _ *session.Result, l look) (any, bool) {
	shown := f.shown.get()
	if shown.file == nil {
		return plotting.Render(plotting.EmptyFigure(lang.L("bench.data"), lang.L("bench.data_none"), l.style), c), true
	}
	p, err := dataFigure(shown.file, shown.axis, l.style)
	if err != nil {
		return nil, false
	}
	if shown.mark != (measurement.Range{}) {
		plotting.MarkStretch(p, shown.mark.From, shown.mark.To, l.style)
	}
	return plotting.Render(p, c), true
}

// importDropped opens an instrument's file on the stage for it and says whether it
// is one by its name.
func (w *Window) importDropped(path string) bool {
	if !slices.Contains(instrumentEndings, strings.ToLower(filepath.Ext(path))) {
		return false
	}
	w.enterStage(stageBench)
	if s, ok := w.current().stage.(*benchStage); ok {
		s.file.open(path)
	}
	return true
}

// choose asks for a file.
func (f *benchReader) choose() {
	f.bench.askFile(instrumentEndings, f.open)
}

// open reads a file beside the window and shows the fit of it.
func (f *benchReader) open(path string) {
	f.bench.showView(benchFile)
	f.busy, f.problem, f.zoomed = true, "", false
	f.shown.set(benchShown{})
	f.progress.SetValue(0)
	f.show()
	f.errand.run(func(ctx context.Context, tell func(func())) func() {
		percent := int64(-1)
		file, err := readInstrument(ctx, path, func(done, size int64) {
			if size <= 0 {
				return
			}
			if now := done * 100 / size; now != percent {
				percent = now
				tell(func() { f.progress.SetValue(float64(now) / 100) })
			}
		})
		if err == nil {
			file, err = file.fitted(ctx, measurement.Range{})
		}
		return func() { f.opened(filepath.Base(path), file, err) }
	})
}

// opened shows what was read, or why it could not be.
func (f *benchReader) opened(name string, file *instrumentFile, err error) {
	f.busy = false
	var path *os.PathError
	switch {
	case errors.As(err, &path):
		f.problem = text("bench.unreadable", map[string]any{"File": name, "Reason": path.Err.Error()})
	case err != nil:
		f.problem = text("bench.unreadable", map[string]any{"File": name, "Reason": f.bench.units.Reason(err)})
	default:
		f.shown.set(benchShown{file: file})
		const little = 0.3 // of a trace, below which the ring cannot be seen in all of it
		span, fitted := file.record.Span(), file.fittedRange()
		f.zoomed = file.kind == measurement.KindRingDown && fitted.To > fitted.From && fitted.To-fitted.From < little*(span.To-span.From)
	}
	f.show()
}

// refit fits a range of the file anew; the zero range as the fit finds it.
func (f *benchReader) refit(within measurement.Range) {
	shown := f.shown.get()
	if shown.file == nil {
		return
	}
	f.busy = true
	f.errand.run(func(ctx context.Context, _ func(func())) func() {
		file, err := shown.file.fitted(ctx, within)
		return func() {
			f.busy = false
			if err == nil {
				now := f.shown.get()
				now.file, now.mark = file, measurement.Range{}
				f.shown.set(now)
			}
			f.show()
		}
	})
}

// drag marks a range while the pointer is drawn across the picture and fits it
// when that is let go.
func (f *benchReader) drag(to fyne.Position, done bool) {
	f.at = to
	shown := f.shown.get()
	frame, ok := f.picture.frame.(plotting.Frame)
	if shown.file == nil || !ok {
		return
	}
	at := func(p fyne.Position) float64 {
		x, _, _ := frame.At(vg.Length(p.X), vg.Length(p.Y))
		return min(max(x, frame.XMin), frame.XMax)
	}
	mark := measurement.Range{From: min(at(f.from), at(f.at)), To: max(at(f.from), at(f.at))}
	const least = 0.005 // of the axis, less is a slip of the hand
	if mark.To-mark.From < least*(frame.XMax-frame.XMin) {
		mark = measurement.Range{}
	}
	shown.mark = mark
	f.shown.set(shown)
	f.picture.stale()
	f.bench.session.Redraw()
	if done && mark != (measurement.Range{}) {
		f.refit(mark)
	}
}

// toggleZoom shows what was fitted alone, or all of the file.
func (f *benchReader) toggleZoom() {
	f.zoomed = !f.zoomed
	f.show()
}

// show puts the state of the file on screen.
func (f *benchReader) show() {
	shown := f.shown.get()
	shown.axis = measurement.Range{}
	if shown.file != nil && f.zoomed {
		shown.axis = shown.file.fittedRange()
	}
	f.shown.set(shown)
	var s view.Section
	switch {
	case shown.file != nil:
		s = f.words(shown.file)
		s.Objects = f.buttons
	case f.problem != "":
		s = view.Section{Title: lang.L("bench.file_problem"), Lines: []string{f.problem}, Objects: []fyne.CanvasObject{container.NewHBox(f.again)}}
	case f.busy:
		s = view.Section{Title: lang.L("bench.reading"), Objects: []fyne.CanvasObject{f.progress}}
	default:
		s = view.Section{Title: lang.L("bench.no_file"), Lines: []string{lang.L("bench.no_file_text")}, Objects: []fyne.CanvasObject{container.NewHBox(f.again)}}
	}
	if f.busy {
		f.progress.Show()
	}
	complete := shown.file != nil && shown.file.fit().Frequency != nil
	f.takeBoth.SetEnabled(complete)
	f.whole.SetEnabled(shown.file != nil && shown.file.within != (measurement.Range{}))
	f.zoom.SetEnabled(shown.file != nil && shown.file.fittedRange() != (measurement.Range{}))
	zoom := "bench.zoom"
	if f.zoomed {
		zoom = "bench.zoom_out"
	}
	f.zoom.SetText(lang.L(zoom))
	f.prose.Set([]view.Section{s})
	if shown.file != nil && shown.file.kind == measurement.KindReflection {
		f.circle.Object().Show()
	} else {
		f.circle.Object().Hide()
	}
	f.picture.stale()
	f.round.stale()
	f.object.Refresh()
	f.bench.session.Redraw()
}

// words tells what is in a file.
func (f *benchReader) words(file *instrumentFile) view.Section {
	fit := file.fit()
	s := view.Section{Title: file.name}
	say := func(key string, e *measurement.Estimate, unit si.Unit, digits int) {
		if e == nil {
			return
		}
		value := si.FormatNumber(e.Value, digits)
		sigma := si.FormatNumber(2*e.Sigma, 2)
		if unit != si.Plain {
			value, sigma = si.FormatPrefixed(e.Value, unit, digits), si.FormatPrefixed(2*e.Sigma, unit, 2)
		}
		s.Lines = append(s.Lines, text(key, map[string]any{"Value": value, "Sigma": sigma}))
	}
	const fine = 6 // digits: an instrument's frequency is better than a coil's
	say("bench.fit_frequency", fit.Frequency, si.Hertz, fine)
	say("bench.fit_quality", fit.QualityFactor, si.Plain, 3)
	say("bench.fit_coupling", fit.Coupling, si.Plain, 2)
	if !fit.Message.Empty() {
		s.Lines = append(s.Lines, f.bench.units.Say(fit.Message))
	}
	s.Lines = append(s.Lines, text("bench.points", map[string]any{"Points": fit.Points}))
	return s
}

// take puts what was fitted among the readings.
func (f *benchReader) take() {
	file := f.shown.get().file
	if file == nil || file.fit().Frequency == nil {
		return
	}
	fit := file.fit()
	d := f.bench.session.Design()
	m := design.Measurement{
		Quantity: comparison.Frequency, Value: fit.Frequency.Value, Uncertainty: fit.Frequency.Sigma,
		Setup: comparison.SetupOf(d), ProbePlace: comparison.NoProbe, Date: today(), Instrument: lang.L(instrumentNames[file.kind]), Note: file.name,
	}
	readings := []design.Measurement{m}
	if q := fit.QualityFactor; q != nil {
		m.Quantity, m.Value, m.Uncertainty = comparison.QualityFactor, q.Value, q.Sigma
		readings = append(readings, m)
	}
	f.bench.addReadings(readings...)
	f.bench.hint.Say(lang.L("bench.taken"))
}

func (f *benchReader) stop() {
	f.errand.stop()
	f.busy = false
}
