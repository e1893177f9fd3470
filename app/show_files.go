package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/gif"
	"math"
	"path/filepath"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/lesson"
	"coilwright/assets"
	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// menu offers what can be written, and the lessons.
func (s *showStage) menu(at fyne.CanvasObject) {
	prepared := fyne.NewMenuItem(lang.L("show.prepared"), nil)
	prepared.ChildMenu = fyne.NewMenu("")
	for _, e := range assets.Lessons() {
		l, err := lesson.Read(bytes.NewReader(e.Content))
		if err != nil {
			continue // a test reads them all
		}
		prepared.ChildMenu.Items = append(prepared.ChildMenu.Items, fyne.NewMenuItem(l.Name+" – "+l.Audience, func() { s.open(l) }))
	}
	entry := func(key string, act func()) *fyne.MenuItem { return fyne.NewMenuItem(lang.L(key), act) }
	stop := entry("show.close_lesson", func() { s.lesson = nil; s.refresh() })
	stop.Disabled = s.lesson == nil
	teacher := entry("show.teacher", s.saveTeachersPage)
	teacher.Disabled = s.lesson == nil
	menu := fyne.NewMenu("",
		prepared,
		entry("show.open_lesson", s.askLesson),
		entry("show.save_lesson", s.saveLesson),
		stop,
		fyne.NewMenuItemSeparator(),
		entry("show.handout", s.saveHandout),
		teacher,
		entry("show.card", s.saveCard),
		fyne.NewMenuItemSeparator(),
		entry("show.class_set", s.askClassSet),
		entry("show.class_results", s.askResults),
		fyne.NewMenuItemSeparator(),
		entry("show.still", s.saveStill),
		entry("show.moving", s.saveMoving),
	)
	place := fyne.CurrentApp().Driver().AbsolutePositionForObject(at).Add(fyne.NewPos(0, at.Size().Height))
	widget.ShowPopUpMenuAtPosition(menu, s.window.window.Canvas(), place)
}

// open begins a lesson.
func (s *showStage) open(l lesson.Lesson) {
	if len(l.Experiments()) == 0 {
		s.window.fail(errors.New(lang.L("show.no_experiments")))
		return
	}
	s.lesson, s.step = &l, 0
	first := l.Experiments()[0]
	s.settings[first.Experiment] = first.Settings
	clear(s.answered)
	s.pick(first.Experiment)
}

// IsLesson reports whether a path is that of a lesson, by its name.
func IsLesson(path string) bool { return strings.HasSuffix(path, lesson.Extension) }

// OpenLesson opens a lesson file and goes to the stage that shows it. The error is
// one line.
func (w *Window) OpenLesson(path string) error {
	l, err := readFrom(path, lesson.Read)
	if err != nil {
		return err
	}
	w.enterStage(stageShow)
	w.current().stage.(*showStage).open(l)
	return nil
}

func (s *showStage) askLesson() {
	askToRead(s.window, []string{".json"}, lesson.Read, s.open)
}

// saveLesson writes the lesson that is open, or one of all experiments as they are
// set now.
func (s *showStage) saveLesson() {
	l := lesson.Lesson{Name: s.window.name(), Audience: "", Before: []string{}}
	if s.lesson != nil {
		l = *s.lesson
	} else {
		const minutes = 12 // for each experiment of a lesson that nobody has timed
		for _, x := range s.experiments {
			l.Steps = append(l.Steps, lesson.Step{Experiment: x.Kind, Settings: s.settings[x.Kind], Minutes: minutes})
		}
	}
	var content bytes.Buffer
	if err := lesson.Write(&content, l); err != nil {
		s.window.fail(err)
		return
	}
	s.write("lesson", lesson.Extension, content.Bytes())
}

// write asks for a folder and writes a file named after the design there.
func (s *showStage) write(name, extension string, content []byte) {
	w := s.window
	w.askFolder(w.folder(), func(folder string) {
		path := filepath.Join(folder, bareFileName(w.session.Design().Name)+"-"+name+extension)
		w.writeFiles(folder, []exportFile{{path, content}})
	})
}

// chosen returns the experiments of the open lesson, or all, with their outcomes.
func (s *showStage) chosen(ctx context.Context) ([]lessonItem, error) {
	d := s.window.session.Design()
	b, err := experiment.NewBench(ctx, d)
	if err != nil {
		return nil, err
	}
	geometry, err := d.Geometry()
	if err != nil {
		return nil, err
	}
	var steps []lesson.Step
	if s.lesson != nil {
		steps = s.lesson.Experiments()
	} else {
		for _, x := range experiment.All(b) {
			steps = append(steps, lesson.Step{Experiment: x.Kind, Settings: s.settings[x.Kind]})
		}
	}
	var items []lessonItem
	for _, step := range steps {
		x, ok := experiment.Find(b, step.Experiment)
		if !ok {
			continue
		}
		within, _ := x.Within(step.Settings)
		o, err := x.Run(ctx, b, within)
		if errors.Is(err, experiment.ErrNothing) {
			continue
		}
		if err != nil {
			return nil, err
		}
		items = append(items, lessonItem{step, o, geometry, wordsOf(x.Kind, o, s.window.units)})
	}
	return items, nil
}

// lessonItem is an experiment of a lesson with what it showed.
type lessonItem struct {
	step     lesson.Step
	outcome  experiment.Outcome
	geometry design.Geometry
	words    showWords
}

func (s *showStage) footer() plotting.Footer {
	d := s.window.session.Design()
	return plotting.Footer{Name: s.window.name(), Date: time.Now(), Fingerprint: design.Fingerprint(d)}
}

// handoutRows is how many coils a class's table has room for.
const handoutRows = 10

func (s *showStage) saveHandout() {
	items, err := s.chosen(context.Background())
	if err != nil {
		s.window.fail(errors.New(plainProblem(err, s.window.units)))
		return
	}
	h := plotting.Handout{
		Title: s.window.name(), Intro: lang.L("show.handout_intro"), Answers: lang.L("show.handout_answers"), Footer: s.footer(), Rows: handoutRows,
		Table:    []string{lang.L("show.column.coil"), lang.L("show.column.value"), lang.L("show.column.predicted"), lang.L("show.column.measured"), lang.L("show.column.note")},
		Cautions: cardLines(),
	}
	if s.lesson != nil {
		h.Title = s.lesson.Name
	}
	units, style := plottingUnits(s.window.units), inLanguage(plotting.Print())
	for _, item := range items {
		figure, err := plotting.ExperimentFigure(item.outcome, nil, false, units, style)
		if err != nil {
			s.window.fail(err)
			return
		}
		h.Items = append(h.Items, plotting.HandoutItem{
			Title: item.words.title, Question: item.words.question, Answer: item.words.answer, How: item.words.how, Figure: figure,
			Picture: func(c draw.Canvas) error {
				return plotting.DrawExperiment(c, item.outcome, item.geometry, stillPhase, false, units, style)
			},
		})
	}
	var content bytes.Buffer
	if err := plotting.WriteHandout(&content, h); err != nil {
		s.window.fail(err)
		return
	}
	s.write("handout", ".pdf", content.Bytes())
}

// stillPhase is where a picture on paper stands still, in rad.
const stillPhase = 0.7

// cardLines are the cautions for a class.
func cardLines() []string {
	return []string{
		lang.L("show.card.switch"), lang.L("show.card.implants"), lang.L("show.card.distance"), lang.L("show.card.phones"),
		lang.L("show.card.touch"), lang.L("show.card.charge"), lang.L("show.card.stop"), lang.L("show.card.rules"),
	}
}

func (s *showStage) saveCard() {
	var content bytes.Buffer
	card := plotting.Card{Title: lang.L("show.card.title"), Lines: cardLines(), Footer: plotting.Footer{Name: lang.L("app.name"), Date: time.Now()}}
	if err := plotting.WriteCard(&content, card); err != nil {
		s.window.fail(err)
		return
	}
	s.write("card", ".pdf", content.Bytes())
}

func (s *showStage) saveTeachersPage() {
	items, err := s.chosen(context.Background())
	if err != nil {
		s.window.fail(errors.New(plainProblem(err, s.window.units)))
		return
	}
	page := plotting.TeachersPage{
		Title: s.lesson.Name + " – " + s.lesson.Audience, Before: s.lesson.Before, Footer: s.footer(),
		Words: plotting.TeachersWords{Before: lang.L("show.teacher.before"), WrongIdea: lang.L("show.teacher.wrong"), Answer: lang.L("show.teacher.answer")},
	}
	clock := func(minutes float64) string {
		m := int(math.Round(minutes))
		return fmt.Sprintf("%d:%02d", m/60, m%60)
	}
	at, next := 0.0, 0
	for _, step := range s.lesson.Steps {
		t := plotting.TeachersStep{From: clock(at), To: clock(at + step.Minutes), Notes: step.Notes, WrongIdea: step.WrongIdea}
		if step.Experiment != "" {
			t.Title = kindTitle(step.Experiment)
			if next < len(items) && items[next].step.Experiment == step.Experiment {
				t.Answer = items[next].words.answer
				next++
			}
		}
		page.Steps = append(page.Steps, t)
		at += step.Minutes
	}
	var content bytes.Buffer
	if err := plotting.WriteTeachersPage(&content, page); err != nil {
		s.window.fail(err)
		return
	}
	s.write("teacher", ".pdf", content.Bytes())
}

// Sizes of what goes onto slides.
var (
	stillSize  = vg.Point{X: 8 * vg.Inch, Y: 5 * vg.Inch}
	filmWidth  = 720 // pixels
	filmHeight = 450
)

const (
	stillDPI   = 200
	filmFrames = 36
	filmDelay  = 6 // hundredths of a second between two frames
)

// saveStill writes picture and figure as they stand, as PNG and SVG.
func (s *showStage) saveStill() {
	p, ok := s.state()
	if !ok {
		return
	}
	p.style = inLanguage(plotting.Print())
	figure, err := plotting.ExperimentFigure(p.outcome, p.guess, p.answered, p.units, p.style)
	if err != nil {
		s.window.fail(err)
		return
	}
	w := s.window
	w.askFolder(w.folder(), func(folder string) {
		begin := filepath.Join(folder, bareFileName(w.session.Design().Name)+"-"+strings.ReplaceAll(string(s.picked), "_", "-"))
		var files []exportFile
		for name, drawing := range map[string]plotting.Drawing{"-picture": p.picture, "-figure": plotting.Figure(figure)} {
			var png, svg bytes.Buffer
			if err := errors.Join(plotting.WritePNG(&png, drawing, stillSize, stillDPI), plotting.WriteSVG(&svg, drawing, stillSize)); err != nil {
				w.fail(err)
				return
			}
			files = append(files, exportFile{begin + name + ".png", png.Bytes()}, exportFile{begin + name + ".svg", svg.Bytes()})
		}
		w.writeFiles(folder, files)
	})
}

// saveMoving writes one turn of the picture as an animation.
func (s *showStage) saveMoving() {
	p, ok := s.state()
	if !ok {
		return
	}
	content, err := animation(p)
	if err != nil {
		s.window.fail(err)
		return
	}
	s.write(strings.ReplaceAll(string(s.picked), "_", "-"), ".gif", content)
}

// animation draws one turn of a picture as a GIF file.
func animation(p showPicture) ([]byte, error) {
	c := raster.New(image.NewRGBA(image.Rect(0, 0, filmWidth, filmHeight)), pointsPerInch)
	film := gif.GIF{Config: image.Config{Width: filmWidth, Height: filmHeight}}
	tones := filmPalette(p.style)
	for i := range filmFrames {
		p.phase = 2 * math.Pi * float64(i) / filmFrames
		c.Reset()
		if err := p.picture(draw.New(c)); err != nil {
			return nil, err
		}
		frame := image.NewPaletted(c.Image().Rect, tones)
		imagedraw.Draw(frame, frame.Rect, c.Image(), image.Point{}, imagedraw.Src)
		film.Image = append(film.Image, frame)
		film.Delay = append(film.Delay, filmDelay)
	}
	var content bytes.Buffer
	err := gif.EncodeAll(&content, &film)
	return content.Bytes(), err
}

// filmPalette is the colours of a style and their mixtures with its ground, at most
// the 256 of the format.
func filmPalette(s plotting.Style) color.Palette {
	const shades = 18
	palette := color.Palette{s.Background}
	for _, ink := range []color.NRGBA{s.Ink, s.Muted, s.Wire, s.Second, s.Target, s.Warning, s.Spare, s.Brass} {
		for _, ground := range []color.NRGBA{s.Background, s.Former} {
			for i := 1; i <= shades/2+3; i++ {
				palette = append(palette, mixed(ground, ink, float64(i)/(shades/2+3)))
			}
		}
	}
	return append(palette, s.Former, s.Bench, s.Axis, s.Grid)
}

func mixed(a, b color.NRGBA, share float64) color.NRGBA {
	mix := func(x, y uint8) uint8 { return uint8(float64(x)*(1-share) + float64(y)*share + 0.5) }
	return color.NRGBA{R: mix(a.R, b.R), G: mix(a.G, b.G), B: mix(a.B, b.B), A: 0xFF}
}
