package app

import (
	"errors"
	"fmt"
	"image"
	"math"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/lesson"
	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// show is the stage of experiments: it keeps which one is on, its settings and
// guesses, and has them computed and drawn beside the UI goroutine.
type showStage struct {
	window *Window
	view   *view.Show

	experiments []experiment.Experiment // fitted to the design on the bench
	picked      experiment.Kind
	settings    map[experiment.Kind]experiment.Settings
	guesses     map[experiment.Kind]float64
	answered    map[experiment.Kind]bool
	outcome     experiment.Outcome
	geometry    design.Geometry
	problem     string

	lesson *lesson.Lesson // nil: none is open
	step   int            // of the lesson's experiments

	entered bool
	playing bool
	speed   int
	phase   float64 // rad
	runner  runner
	film    film
}

// speeds are how fast a picture moves, in turns a second: a coil's own swings are
// millions of times too fast to see.
var speeds = []float64{0.05, 0.1, 0.25, 0.5, 1}

// usualSpeed is the place of the speed at first.
const usualSpeed = 2

// stillSteps is how many single steps make a turn.
const stillSteps = 24

// stageShow is the key of the stage that explains the coil to others.
const stageShow = "show"

func newShowStage(w *Window) stage {
	return &showStage{
		window: w, picked: experiment.Ring, speed: usualSpeed,
		settings: map[experiment.Kind]experiment.Settings{}, guesses: map[experiment.Kind]float64{}, answered: map[experiment.Kind]bool{},
	}
}

// objects builds the views.
func (s *showStage) objects() (side, rest fyne.CanvasObject) {
	w := s.window
	s.view = view.NewShow()
	s.playing, s.runner.synchronous = !w.synchronous, w.synchronous
	v := s.view
	v.OnPick = func(i int) { s.pick(s.experiments[i].Kind) }
	v.OnSetting = func(name string, place float64) {
		s.change(name, func(x experiment.Setting, _ float64) float64 { return x.At(place) })
	}
	v.OnSteps = func(name string, steps int) {
		s.change(name, func(x experiment.Setting, now float64) float64 { return x.Moved(now, steps) })
	}
	v.OnReveal = func() { s.setAnswered(true) }
	v.OnAgain = func() { s.setAnswered(false) }
	v.OnPlay = func() { s.play(!s.playing) }
	v.OnSlower = func() { s.setSpeed(s.speed - 1) }
	v.OnFaster = func() { s.setSpeed(s.speed + 1) }
	v.OnStep = s.single
	v.OnNext = func() { s.walk(1) }
	v.OnBack = func() { s.walk(-1) }
	v.OnLarge = func() { s.setLarge(!w.filled()) }
	v.OnMore = s.menu
	v.OnHint = w.hint.Show
	v.OnSay = w.hint.Say
	v.Picture().Picture().OnResize = s.draw
	v.Figure().Picture().OnResize = s.draw
	return s.view.Objects()
}

// changed makes the experiment anew on the coil as it is now.
func (s *showStage) changed(design.Design) {
	s.entered = true
	s.run()
	s.animate()
}

func (s *showStage) show(*session.Result) {}

func (s *showStage) leave() {
	s.entered = false
	s.setLarge(false)
	s.film.stop()
	s.runner.stop()
}

// setLarge gives the experiment the whole window, with large words, or takes it back.
func (s *showStage) setLarge(large bool) {
	s.window.fill(large)
	s.view.SetLarge(large)
	s.draw()
}

// style is how the pictures look.
func (s *showStage) style() plotting.Style {
	style := inLanguage(plotting.Light())
	if s.window.dark() {
		style = inLanguage(plotting.Dark())
	}
	if s.window.filled() {
		style = style.Scaled(largeType)
	}
	return style
}

// experiment returns the one that is on; false before the first outcome.
func (s *showStage) experiment() (experiment.Experiment, bool) {
	for _, x := range s.experiments {
		if x.Kind == s.picked {
			return x, true
		}
	}
	return experiment.Experiment{}, false
}

func (s *showStage) pick(kind experiment.Kind) {
	s.picked, s.outcome, s.phase = kind, nil, 0
	s.run()
}

// change changes a setting, or the guess.
func (s *showStage) change(name string, to func(x experiment.Setting, now float64) float64) {
	x, ok := s.experiment()
	if !ok {
		return
	}
	if name == x.Guess.Name {
		s.guesses[x.Kind] = to(x.Guess, s.guess(x))
		s.refresh()
		s.draw()
		return
	}
	for _, setting := range x.Settings {
		if setting.Name == name {
			if s.settings[x.Kind] == nil {
				s.settings[x.Kind] = experiment.Settings{}
			}
			s.settings[x.Kind][name] = to(setting, s.setting(x, setting))
		}
	}
	s.refresh()
	s.run()
}

func (s *showStage) setting(x experiment.Experiment, setting experiment.Setting) float64 {
	if v, ok := s.settings[x.Kind][setting.Name]; ok {
		return math.Max(setting.Least, math.Min(setting.Most, v))
	}
	return setting.Start
}

func (s *showStage) guess(x experiment.Experiment) float64 {
	if v, ok := s.guesses[x.Kind]; ok {
		return v
	}
	return x.Guess.Start
}

func (s *showStage) setAnswered(answered bool) {
	s.answered[s.picked] = answered
	s.refresh()
	s.draw()
}

// walk goes to the next or the last experiment, of the lesson if one is open. Before
// the answer was seen, the next thing is the answer.
func (s *showStage) walk(by int) {
	if by > 0 && !s.answered[s.picked] && s.outcome != nil {
		s.setAnswered(true)
		return
	}
	if s.lesson != nil {
		steps := s.lesson.Experiments()
		s.step = max(0, min(len(steps)-1, s.step+by))
		s.settings[steps[s.step].Experiment] = steps[s.step].Settings
		s.pick(steps[s.step].Experiment)
		return
	}
	for i, x := range s.experiments {
		if x.Kind == s.picked {
			s.pick(s.experiments[(i+by+len(s.experiments))%len(s.experiments)].Kind)
			return
		}
	}
}

// typedKey takes the keys of a presenter's hand-set too.
func (s *showStage) typedKey(e *fyne.KeyEvent) bool {
	switch e.Name {
	case fyne.KeyPageDown, fyne.KeyRight, fyne.KeySpace:
		s.walk(1)
	case fyne.KeyPageUp, fyne.KeyLeft:
		s.walk(-1)
	case fyne.KeyP:
		s.play(!s.playing)
	case fyne.KeyPeriod:
		s.single()
	case fyne.KeyMinus:
		s.setSpeed(s.speed - 1)
	case fyne.KeyPlus, fyne.KeyEqual:
		s.setSpeed(s.speed + 1)
	case fyne.KeyEscape:
		if !s.window.filled() {
			return false
		}
		s.setLarge(false)
	case fyne.KeyF5, fyne.KeyF:
		s.setLarge(!s.window.filled())
	default:
		return false
	}
	return true
}

func (s *showStage) play(playing bool) {
	s.playing = playing
	s.refresh()
	s.animate()
}

func (s *showStage) setSpeed(to int) {
	s.speed = max(0, min(len(speeds)-1, to))
	s.refresh()
	s.animate()
}

// single stops the picture and moves it on by one step.
func (s *showStage) single() {
	s.phase += 2 * math.Pi / stillSteps
	s.play(false)
	s.draw()
}

// run makes the experiment anew for the design that is open.
func (s *showStage) run() {
	if !s.entered {
		return
	}
	d, kind := s.window.session.Design(), s.picked
	settings := experiment.Settings{}
	for name, value := range s.settings[kind] {
		settings[name] = value
	}
	s.runner.ask(d, kind, settings, func(r outcome) {
		if kind != s.picked || !s.entered {
			return
		}
		s.experiments, s.outcome, s.geometry, s.problem = r.experiments, r.outcome, r.geometry, ""
		if r.err != nil {
			s.problem = plainProblem(r.err, s.window.units)
		}
		s.refresh()
		s.draw()
	})
	s.refresh()
}

// plainProblem words why an experiment shows nothing.
func plainProblem(err error, units view.Units) string {
	var problems design.Problems
	switch {
	case errors.As(err, &problems) && len(problems) > 0:
		return units.Reason(err)
	case errors.Is(err, experiment.ErrNothing):
		return lang.L("show.nothing")
	}
	return text("show.failed", map[string]any{"Reason": err.Error()})
}

// refresh puts everything but the pictures on screen.
func (s *showStage) refresh() {
	scene := view.ShowScene{Playing: s.playing, Speed: text("show.speed", map[string]any{"Seconds": si.FormatNumber(1/speeds[s.speed], 2)}), Problem: s.problem}
	for i, x := range s.experiments {
		scene.Titles = append(scene.Titles, kindTitle(x.Kind))
		if x.Kind == s.picked {
			scene.Picked = i
		}
	}
	scene.Title = kindTitle(s.picked)
	scene.Answered = s.answered[s.picked] && s.outcome != nil
	if x, ok := s.experiment(); ok {
		for _, setting := range x.Settings {
			v := s.setting(x, setting)
			scene.Sliders = append(scene.Sliders, view.ShowSlider{
				Name: setting.Name, Label: settingName(setting.Name), Place: setting.Place(v), Value: s.settingText(setting, v),
			})
		}
		g := s.guess(x)
		scene.Guess = view.ShowSlider{Name: x.Guess.Name, Label: settingName(x.Guess.Name), Place: x.Guess.Place(g), Value: s.settingText(x.Guess, g)}
	}
	if s.outcome != nil {
		words := wordsOf(s.picked, s.outcome, s.window.units)
		scene.Question, scene.Answer, scene.How = words.question, words.answer, words.how
	}
	if s.lesson != nil {
		steps := s.lesson.Experiments()
		scene.Step = text("show.lesson_step", map[string]any{"Step": s.step + 1, "Steps": len(steps)})
		if steps[s.step].Experiment == s.picked {
			scene.Notes = steps[s.step].Notes
		}
	}
	s.view.Show(scene)
}

// settingText prints the value of a setting.
func (s *showStage) settingText(x experiment.Setting, v float64) string {
	switch {
	case x.TwoChoices && v == x.Most:
		return lang.L("show.yes")
	case x.TwoChoices:
		return lang.L("show.no")
	case x.Unit == si.Millimetre:
		return lengthText(v, s.window.units)
	case x.Unit == si.Hertz:
		return frequencyText(v)
	case x.Unit == si.Plain && x.Step >= 1:
		return si.FormatNumber(v, si.Shortest)
	case x.Unit == si.Percent:
		return fmt.Sprintf("%.4g %%", v*100)
	}
	return fmt.Sprintf("%.3g", v)
}

// scene is what a picture is drawn from, beside the UI goroutine.
type showPicture struct {
	outcome  experiment.Outcome
	geometry design.Geometry
	phase    float64
	answered bool
	guess    *float64
	units    plotting.Units
	style    plotting.Style
}

func (s *showStage) state() (showPicture, bool) {
	if s.outcome == nil {
		return showPicture{}, false
	}
	p := showPicture{
		outcome: s.outcome, geometry: s.geometry, phase: s.phase, answered: s.answered[s.picked],
		units: plottingUnits(s.window.units), style: s.style(),
	}
	if x, ok := s.experiment(); ok {
		g := s.guess(x)
		p.guess = &g
	}
	return p, true
}

// largeType is how much larger type and lines are on a projector.
const largeType = 1.5

func (p showPicture) picture(c draw.Canvas) error {
	return plotting.DrawExperiment(c, p.outcome, p.geometry, p.phase, p.answered, p.units, p.style)
}

// draw draws figure and picture once.
func (s *showStage) draw() {
	p, ok := s.state()
	if !ok || !s.entered {
		return
	}
	missing := lang.L("figure.missing")
	if space := s.view.Figure().Picture().Space(); !space.Empty() {
		s.view.Figure().Show(s.film.figure(p, space), missing)
	}
	if space := s.view.Picture().Picture().Space(); !space.Empty() {
		s.view.Picture().Show(s.film.picture(p, space), missing)
	}
}

// animate lets the picture move while it should.
func (s *showStage) animate() {
	s.film.stop()
	if !s.playing || !s.entered || s.window.synchronous {
		return
	}
	s.film.start(func(elapsed time.Duration) (showPicture, view.Space, bool) {
		s.phase += 2 * math.Pi * speeds[s.speed] * elapsed.Seconds()
		p, ok := s.state()
		return p, s.view.Picture().Picture().Space(), ok
	}, func(i *image.RGBA) { s.view.Picture().Show(i, "") })
}
