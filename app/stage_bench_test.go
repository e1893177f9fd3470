package app

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"coilwright/assets"
	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/measurement"
	"coilwright/plotting"
)

// newBench opens the window on the stage for measuring.
func newBench(t *testing.T) (*Window, *benchStage) {
	t.Helper()
	w := newWindow(t)
	w.enterStage(stageBench)
	s, ok := w.current().stage.(*benchStage)
	if !ok {
		t.Fatal("there is no stage for measuring")
	}
	return w, s
}

// read adds a reading of the frequency with everything in place.
func (s *benchStage) read(value float64) {
	s.addReadings(design.Measurement{Quantity: "frequency", Value: value, Uncertainty: 3e3, Setup: comparison.SetupOf(s.session.Design()), ProbePlace: "none", Date: "2026-03-01"})
}

// saveIn writes a file into a folder.
func saveIn(t *testing.T, folder, name, content string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// ringDownFile is a trace in closed form of 1.3 MHz and a quality factor of 150.
func ringDownFile() string {
	var b strings.Builder
	fmt.Fprintln(&b, "Time (us),CH1 (V)")
	alpha := math.Pi * 1.3e6 / 150
	for i := range 6000 {
		t := float64(i) * 40e-9
		fmt.Fprintf(&b, "%.3f,%.4f\n", t*1e6, math.Exp(-alpha*t)*math.Sin(2*math.Pi*1.3e6*t))
	}
	return b.String()
}

func TestReadingsAreTypedAndUndone(t *testing.T) {
	w, s := newBench(t)
	test.Tap(findButton(t, w, "Add a reading"))
	d := w.session.Design()
	if len(d.Measurements) != 1 || s.readings.Picked() != 0 || d.Measurements[0].Date == "" {
		t.Fatalf("a new reading is %+v, picked %d", d.Measurements, s.readings.Picked())
	}
	if !strings.Contains(s.compare.prose.Text(), "predicted") {
		t.Errorf("the reading is not compared: %s", s.compare.prose.Text())
	}
	if rows := s.compare.shown.get(); len(rows) != 1 || math.Abs(rows[0].Measured-d.Measurements[0].Value) > 1e-6 {
		t.Errorf("the figure has %+v", rows)
	}
	w.undo()
	if n := len(w.session.Design().Measurements); n != 0 {
		t.Errorf("after undo there are %d readings", n)
	}
	if len(s.compare.shown.get()) != 0 {
		t.Error("the figure keeps a reading that is gone")
	}
}

func TestReadingsAreExplainedAndTakenOver(t *testing.T) {
	w, s := newBench(t)
	f := *w.last.Report.Resonance.Frequency
	s.read(0.985 * f)
	if !strings.Contains(s.compare.prose.Text(), "cannot tell") {
		t.Errorf("one frequency tells causes apart: %s", s.compare.prose.Text())
	}
	test.Tap(s.compare.keep)
	test.Tap(s.compare.keep)
	d := w.session.Design()
	if len(d.Variants) != 1 || !strings.HasSuffix(d.Variants[0].Name, "as measured") {
		t.Fatalf("kept twice there are %d variants", len(d.Variants))
	}
	if problems := design.Check(d); len(problems) > 0 {
		t.Errorf("with the variant: %v", problems)
	}
	test.Tap(s.compare.take)
	if got := *w.last.Report.Resonance.Frequency; math.Abs(got/(0.985*f)-1) > 0.004 {
		t.Errorf("taken over the coil rings at %g Hz, read was %g", got, 0.985*f)
	}
	if len(w.session.Design().Measurements) != 1 {
		t.Error("the readings are gone with it")
	}
	w.undo()
	if got := *w.last.Report.Resonance.Frequency; got != f {
		t.Errorf("after undo %g Hz, before %g", got, f)
	}
}

func TestTargetBringsAdvice(t *testing.T) {
	w, s := newBench(t)
	s.read(*w.last.Report.Resonance.Frequency)
	if err := s.compare.setTarget("1.1 MHz"); err != nil {
		t.Fatal(err)
	}
	if w.session.Design().TargetFrequency != 1.1e6 || !strings.Contains(s.compare.prose.Text(), "at the top") {
		t.Errorf("no advice: %s", s.compare.prose.Text())
	}
	if err := s.compare.setTarget("five"); err == nil {
		t.Error("a word is taken for a frequency")
	}
}

func TestAFileIsReadFittedAndTaken(t *testing.T) {
	w, s := newBench(t)
	path := saveIn(t, t.TempDir(), "ring.csv", ringDownFile())
	w.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(path)})
	if s.switcher.Picked() != benchFile || !s.views[benchFile].Visible() || s.views[benchComparison].Visible() {
		t.Error("a dropped file is not shown")
	}
	file := s.file.shown.get().file
	if file == nil || file.kind != measurement.KindRingDown || !file.fit().Complete() {
		t.Fatalf("read as %+v: %s", file, s.file.prose.Text())
	}
	if f := file.fit().Frequency.Value; math.Abs(f/1.3e6-1) > 1e-5 {
		t.Errorf("fitted %g Hz, want 1.3 MHz (closed form)", f)
	}
	test.Tap(s.file.takeBoth)
	m := w.session.Design().Measurements
	if len(m) != 2 || m[0].Quantity != "frequency" || m[1].Quantity != "quality_factor" || m[0].Note != "ring.csv" || math.Abs(m[1].Value/150-1) > 1e-3 {
		t.Errorf("taken are %+v", m)
	}
}

func TestARangeIsDrawnAndFitted(t *testing.T) {
	w, s := newBench(t)
	s.file.open(saveIn(t, t.TempDir(), "ring.csv", ringDownFile()))
	frame, ok := s.file.picture.frame.(plotting.Frame)
	if !ok {
		t.Fatal("the data are not drawn")
	}
	place := func(at float64) fyne.Position {
		x, y := frame.Place(at, 0)
		return fyne.NewPos(float32(x), float32(y))
	}
	s.file.from = place(50e-6)
	s.file.drag(place(120e-6), false)
	if s.file.shown.get().file.within != (measurement.Range{}) {
		t.Error("a range is fitted before it is let go")
	}
	s.file.drag(place(120e-6), true)
	file := s.file.shown.get().file
	if r := file.ringDown.Fitted; r.From < 49e-6 || r.To > 122e-6 || !file.fit().Complete() {
		t.Errorf("fitted from %g to %g s: %s", r.From, r.To, file.fit().Message)
	}
	test.Tap(s.file.whole)
	if s.file.shown.get().file.within != (measurement.Range{}) {
		t.Error("the range is not forgotten")
	}
	w.undo() // what was drawn is no step of the design
	if w.session.Modified() {
		t.Error("a drawn range changes the design")
	}
}

func TestABrokenFileIsSaid(t *testing.T) {
	_, s := newBench(t)
	for name, test := range map[string]struct{ content, word string }{
		"torn.csv":  {strings.Join(append(strings.Split(ringDownFile(), "\n")[:2000], "80.000,x1"), "\n"), "line 2001"},
		"two.s1p":   {"[Version] 2.0\n# MHz S RI R 50\n1 0 0\n", "version"},
		"noise.csv": {"Time (s),CH1 (V)\n" + strings.Repeat("0,0.1\n", 100), ""},
	} {
		s.file.open(saveIn(t, t.TempDir(), name, test.content))
		said := s.file.prose.Text()
		if !strings.Contains(strings.ToLower(said), test.word) || s.file.shown.get().file != nil && s.file.shown.get().file.fit().Complete() {
			t.Errorf("%s: %s", name, said)
		}
		if !s.file.takeBoth.Disabled() {
			t.Errorf("%s can be taken", name)
		}
	}
}

func TestTheLogbook(t *testing.T) {
	w, s := newBench(t)
	folder := t.TempDir()
	for _, e := range assets.Examples()[:3] {
		d, err := design.Read(bytes.NewReader(e.Content))
		if err != nil {
			t.Fatal(err)
		}
		report, err := design.NewSolver().Quick(t.Context(), d)
		if err != nil {
			t.Fatal(err)
		}
		d.Measurements = []design.Measurement{{Quantity: "frequency", Value: 0.99 * *report.Resonance.Frequency, Uncertainty: 3e3, Setup: comparison.SetupOf(d), ProbePlace: "none", Date: "2026-03-01"}}
		var b bytes.Buffer
		if err := design.Write(&b, d); err != nil {
			t.Fatal(err)
		}
		saveIn(t, folder, e.Name, b.String())
	}
	s.showView(benchLogbook)
	s.book.open(folder)
	if n := len(s.book.table.Rows()); n != 3 {
		t.Fatalf("%d rows", n)
	}
	s.book.sortBy(0)
	first := s.book.table.Rows()[0][0]
	s.book.sortBy(0)
	if last := s.book.table.Rows()[2][0]; last != first {
		t.Errorf("sorted the other way round %q is last, want %q", last, first)
	}
	test.Type(s.book.filter, "desk")
	if n := len(s.book.table.Rows()); n != 1 {
		t.Errorf("filtered for desk there are %d rows", n)
	}
	s.book.filter.SetText("")
	if !s.book.opener.Disabled() {
		t.Error("nothing is picked and could be opened")
	}
	test.Tap(rowOf(t, w, "Desk coil"))
	if s.book.opener.Disabled() || s.book.table.Rows()[s.book.table.Picked()][0] != "Desk coil" {
		t.Errorf("row %d is picked", s.book.table.Picked())
	}
	if !s.book.record.Usable() || s.book.correct.Disabled() {
		t.Errorf("three coils teach nothing: %s", s.book.record.Text)
	}
	s.read(*w.last.Report.Resonance.Frequency)
	if strings.Contains(s.compare.prose.Text(), "By your logbook") {
		t.Error("predictions are corrected without having been asked")
	}
	s.book.correct.SetChecked(true)
	if !strings.Contains(s.compare.prose.Text(), "By your logbook") {
		t.Errorf("no correction: %s", s.compare.prose.Text())
	}
	s.book.adviseSeries()
	if len(w.dialogs) != 1 {
		t.Error("a series gets no advice")
	}
}

// rowOf returns the row of the table that begins with a name.
func rowOf(t *testing.T, w *Window, name string) fyne.Tappable {
	t.Helper()
	for _, o := range test.LaidOutObjects(w.window.Content()) {
		if r, ok := o.(interface {
			fyne.Tappable
			Name() string
		}); ok && r.Name() == name {
			return r
		}
	}
	t.Fatalf("no row %q", name)
	return nil
}
