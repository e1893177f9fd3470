package app

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/logbook"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// Preferences of the logbook.
const (
	preferBook    = "bench.logbook" // its folder
	preferCorrect = "bench.correct" // predictions are corrected by it
)

// benchBook is the view of the built coils: a folder of design files as a list, how
// well their predictions have held, and what they teach.
type benchBook struct {
	bench   *benchStage
	object  fyne.CanvasObject
	table   *view.Table
	filter  *view.Entry
	figure  *view.Figure
	picture *painting
	prose   *view.Prose
	correct *widget.Check
	folder  *view.Button
	series  *view.Button
	opener  *view.Button
	rows    []fyne.CanvasObject
	errand  errand
	advise  errand

	entries    []logbook.Entry // all
	listed     []logbook.Entry // as filtered and sorted
	record     logbook.Record
	by         logbook.Column
	descending bool
	read       bool
	state      string // what is going on, or went wrong
	shown      shared[bookShown]
}

// bookShown is what the worker draws.
type bookShown struct {
	coils   []plotting.Reading
	learned *plotting.Learned
}

func newBenchBook(s *benchStage) *benchBook {
	b := &benchBook{bench: s, prose: view.NewProse(), by: logbook.ByDate, descending: true}
	b.errand.synchronous, b.advise.synchronous = s.synchronous, s.synchronous
	columns := []view.Column{
		{Title: lang.L("bench.column.name"), Share: 0.24}, {Title: lang.L("bench.column.predicted"), Share: 0.13},
		{Title: lang.L("bench.column.measured"), Share: 0.13}, {Title: lang.L("bench.column.deviation"), Share: 0.12},
		{Title: lang.L("bench.column.quality"), Share: 0.08}, {Title: lang.L("bench.column.date"), Share: 0.12},
		{Title: lang.L("bench.column.notes"), Share: 0.18, Fixed: true},
	}
	b.table = view.NewTable(columns)
	b.table.OnSort = b.sortBy
	b.table.OnOpen = b.openCoil
	b.table.OnPick = func(row int) { b.opener.SetEnabled(row >= 0) }
	b.filter = view.NewEntry(false)
	b.filter.PlaceHolder = lang.L("bench.filter")
	b.filter.OnChanged = func(string) { b.show() }
	b.figure = view.NewFigure(fyne.NewSize(220, 120), nil)
	b.picture = s.paint(stageBench, b.figure, func(c *raster.Canvas, _ *session.Result, l look) (any, bool) {
		shown := b.shown.get()
		p, err := plotting.LogbookFigure(shown.coils, shown.learned, l.style)
		if err != nil {
			return nil, false
		}
		return plotting.Render(p, c), true
	})
	button := func(key string, tapped func()) *view.Button {
		button := view.NewButton(lang.L(key), nil, tapped)
		button.Importance = widget.MediumImportance
		button.OnHint = func() { s.hint.Show(key) }
		return button
	}
	b.folder = button("bench.folder", b.choose)
	b.series = button("bench.series", b.adviseSeries)
	b.opener = button("bench.open_coil", func() { b.openCoil(b.table.Picked()) })
	b.opener.SetEnabled(false)
	b.correct = widget.NewCheck(lang.L("bench.correct"), func(on bool) {
		s.app.Preferences().SetBool(preferCorrect, on)
		s.compare.refresh()
	})
	b.correct.Checked = s.app.Preferences().Bool(preferCorrect)
	b.rows = []fyne.CanvasObject{b.correct, container.NewHBox(b.opener, b.folder), container.NewHBox(b.series)}
	top := container.NewBorder(b.filter, nil, nil, nil, b.table.Object())
	b.object = view.NewOver(view.NewPanelOf(top), view.NewBeside(b.prose.Object(), b.figure.Object()))
	b.show()
	return b
}

// correction returns what the logbook teaches, if the user wants it used.
func (b *benchBook) correction() *logbook.Record {
	if !b.correct.Checked {
		return nil
	}
	b.entered()
	if !b.record.Usable() {
		return nil
	}
	return &b.record
}

// entered reads the folder of the last time, once.
func (b *benchBook) entered() {
	if folder := b.bench.app.Preferences().String(preferBook); !b.read && folder != "" {
		b.open(folder)
	}
}

// choose asks for the folder.
func (b *benchBook) choose() {
	w := b.bench.Window
	begin := w.app.Preferences().String(preferBook)
	if begin == "" {
		begin = w.folder()
	}
	w.pickFolder(begin, b.open)
}

// open reads a folder beside the window.
func (b *benchBook) open(folder string) {
	b.read = true
	b.bench.app.Preferences().SetString(preferBook, folder)
	b.state = text("bench.book_reading", map[string]any{"Done": 0, "Of": "…"})
	b.show()
	b.errand.run(func(ctx context.Context, tell func(func())) func() {
		entries, err := logbook.Read(ctx, folder, func(done, of int) {
			tell(func() {
				b.state = text("bench.book_reading", map[string]any{"Done": done, "Of": of})
				b.show()
			})
		})
		return func() {
			b.entries, b.state = entries, text("bench.book_of", map[string]any{"Folder": folder, "Coils": len(entries)})
			switch {
			case errors.Is(err, logbook.ErrEmpty):
				b.state = text("bench.book_empty", map[string]any{"Folder": folder})
			case err != nil:
				b.state = text("bench.unreadable", map[string]any{"File": filepath.Base(folder), "Reason": b.bench.units.Reason(err)})
			}
			b.record = logbook.Held(entries)
			b.show()
			b.bench.compare.refresh()
		}
	})
}

func (b *benchBook) stop() {
	b.errand.stop()
	b.advise.stop()
}

// columnsBy is what the columns of the table sort by.
var columnsBy = []logbook.Column{logbook.ByName, logbook.ByPredicted, logbook.ByMeasured, logbook.ByDeviation, logbook.ByQuality, logbook.ByDate}

// sortBy sorts by a column; by the same one again, the other way round.
func (b *benchBook) sortBy(column int) {
	by := columnsBy[column]
	b.descending = b.by == by && !b.descending
	b.by = by
	b.show()
}

// openCoil opens the design of a row.
func (b *benchBook) openCoil(row int) {
	if row >= 0 && row < len(b.listed) {
		path := b.listed[row].File
		b.bench.Window.leave(func() { b.bench.openPath(path) })
	}
}

// show puts the list and what it teaches on screen.
func (b *benchBook) show() {
	b.listed = logbook.Filter(b.entries, b.filter.Text)
	logbook.Sort(b.listed, b.by, b.descending)
	rows := make([][]string, len(b.listed))
	var coils []plotting.Reading
	const mostDrawn = 24 // rows that can be told from each other
	for i := range b.listed {
		e := &b.listed[i]
		rows[i] = bookRow(e, b.bench.units)
		if e.Deviation != nil && len(coils) < mostDrawn {
			coils = append(coils, plotting.Reading{Name: e.Name, Predicted: *e.Predicted, Half: 2*e.Sigma + e.ModelError, Measured: *e.Measured, Sigma: e.MeasuredSigma})
		}
	}
	b.table.Show(rows, slices.Index(columnsBy, b.by), b.descending)
	shown := bookShown{coils: coils}
	lines := []string{lang.L("bench.book_none")}
	if b.state != "" {
		lines = []string{b.state}
	}
	if len(b.entries) > 0 {
		lines = append(lines, b.bench.units.Say(b.record.Text))
		if b.record.Usable() {
			shown.learned = &plotting.Learned{Ratio: b.record.Ratio, Sigma: b.record.Sigma}
		}
	}
	b.shown.set(shown)
	b.picture.stale()
	if b.record.Usable() || b.correct.Checked {
		b.correct.Enable()
	} else {
		b.correct.Disable()
	}
	b.series.SetEnabled(len(b.listed) > 1)
	b.prose.Set([]view.Section{{Title: lang.L("bench.view.logbook"), Lines: lines, Objects: b.rows}})
	b.bench.session.Redraw()
}

// bookRow is a coil as the columns of the table have it.
func bookRow(e *logbook.Entry, units view.Units) []string {
	frequency := func(f *float64) string {
		if f == nil {
			return "–"
		}
		return si.FormatPrefixed(*f, si.Hertz, digitsRead)
	}
	deviation, quality, notes := "–", "–", e.Notes
	if e.Deviation != nil {
		deviation = strings.Replace(fmt.Sprintf("%+.1f %%", 100**e.Deviation), "-", "−", 1)
		if e.Beyond() {
			deviation += " !"
		}
	}
	if e.QualityFactor != nil {
		quality = si.FormatNumber(*e.QualityFactor, 3)
	}
	if !e.Problem.Empty() {
		notes = units.Say(e.Problem)
	}
	return []string{e.Name, frequency(e.Predicted), frequency(e.Measured), deviation, quality, e.Date, notes}
}

// adviseSeries says how the listed coils come to one frequency: the target of the
// open design, else the highest of theirs.
func (b *benchBook) adviseSeries() {
	listed := b.listed
	target := b.bench.session.Design().TargetFrequency
	b.advise.run(func(ctx context.Context, _ func(func())) func() {
		var designs []design.Design
		for i := range listed {
			d, err := design.ReadFile(listed[i].File)
			if err != nil || len(design.Check(d)) > 0 {
				continue // the list says what is wrong with it
			}
			designs = append(designs, d)
		}
		series, err := comparison.AdviseSeries(ctx, design.NewSolver(), designs, target)
		return func() { b.showSeries(series, err) }
	})
}

func (b *benchBook) showSeries(s comparison.Series, err error) {
	if err != nil {
		b.bench.fail(err)
		return
	}
	column := container.NewVBox()
	add := func(line string, bold bool) {
		label := widget.NewLabel(line)
		label.Wrapping = fyne.TextWrapWord
		label.TextStyle.Bold = bold
		column.Add(label)
	}
	add(b.bench.units.Say(s.Text), false)
	for _, c := range s.Coils {
		add(c.Name, true)
		add(b.bench.units.Say(c.Advice.Text), false)
		if len(c.Advice.Steps) > 0 {
			add(b.bench.units.Say(c.Advice.Steps[0].Text), false)
		}
	}
	b.bench.showSheet(lang.L("bench.series"), container.NewVScroll(column), fynetheme.Size(theme.SizeNameDialogHeight))
}
