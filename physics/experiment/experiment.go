package experiment

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// ErrSetting is wrapped by errors about settings that an experiment does not have
// or that lie outside their range.
var ErrSetting = errors.New("experiment: setting")

// ErrNothing is wrapped where a design has nothing to show in an experiment.
var ErrNothing = errors.New("experiment: nothing to show")

// Kind names an experiment, in files too.
type Kind string

// Experiments, in the order in which a lesson builds on them.
const (
	Ring         Kind = "ring"          // wires against a smooth ring
	StandingWave Kind = "standing_wave" // the lowest modes along the winding
	Beat         Kind = "beat"          // energy to and fro between tank and coil
	Humps        Kind = "humps"         // one resonance becomes two
	Approach     Kind = "approach"      // an earthed plate comes near
	Wire         Kind = "wire"          // skin effect and neighbours
	ShortedTurn  Kind = "shorted_turn"  // an unbroken body on top
	StartUp      Kind = "start_up"      // the exciter from nothing to full output
	Spectrum     Kind = "spectrum"      // who else works there
)

var kinds = []Kind{Ring, StandingWave, Beat, Humps, Approach, Wire, ShortedTurn, StartUp, Spectrum}

// Settings are the values of an experiment's settings by their names, in SI.
type Settings map[string]float64

// Setting is one thing that is changed in an experiment, or the number that is
// guessed.
type Setting struct {
	Name       string // stable, as in files
	Least      float64
	Most       float64
	Start      float64 // where it stands at first
	Step       float64 // the smallest change worth making; 0: any
	Unit       si.Unit
	Geometric  bool // its slider goes in ratios
	TwoChoices bool // it is either Least or Most
}

// Experiment is one of the experiments, fitted to a design.
type Experiment struct {
	Kind     Kind
	Settings []Setting
	Guess    Setting // the number that is guessed before the answer is seen

	run func(ctx context.Context, b *Bench, s Settings) (Outcome, error)
}

// Outcome is what an experiment showed: one of [RingOutcome], [WaveOutcome],
// [BeatOutcome], [HumpsOutcome], [ApproachOutcome], [WireOutcome], [ShortedOutcome],
// [StartOutcome] and [SpectrumOutcome].
type Outcome interface {
	// Answer returns the number that was to be guessed, in the unit of
	// [Experiment.Guess]; NaN if there is none, as for an exciter that never
	// reaches full output.
	Answer() float64
}

// Bench is a design on which experiments are made. It keeps its solvers and what
// all experiments ask for; it is not for concurrent use.
type Bench struct {
	design design.Design
	solver *design.Solver
	report *design.Report
	wire   *WireOutcome // the last; its curves hold for its frequency

	circuit  design.CircuitFile // the coil at its foot, with primary and exciter
	undriven error              // why there is no circuit
}

// NewBench returns a bench for d, a design that can be built: the error is that of
// [design.Solver.Evaluate]. Experiments that need a primary or an exciter are made on
// those of d or, where it has none, on those that a design starts with.
func NewBench(ctx context.Context, d design.Design) (*Bench, error) {
	b := &Bench{design: d, solver: design.NewSolver()}
	r, err := b.solver.Evaluate(ctx, d)
	if err != nil {
		return nil, err
	}
	b.report = &r
	if err := b.drive(ctx); err != nil {
		return nil, err
	}
	return b, nil
}

// Design returns the design that the experiments are made on.
func (b *Bench) Design() design.Design { return b.design }

// Report returns the design's report.
func (b *Bench) Report() *design.Report { return b.report }

// Run makes the experiment with the given settings; those that are left out stand
// at their start.
//
// A setting that the experiment does not have, or outside its range, is an error
// that wraps [ErrSetting]; a design with nothing to show wraps [ErrNothing]. Other
// errors are those of the solvers and of ctx.
func (x *Experiment) Run(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	full := Settings{}
	for _, setting := range x.Settings {
		full[setting.Name] = setting.Start
	}
	for name, value := range s {
		setting, ok := x.setting(name)
		switch {
		case !ok:
			return nil, fmt.Errorf("%w: %s has no %q", ErrSetting, x.Kind, name)
		case !(value >= setting.Least && value <= setting.Most) || math.IsNaN(value):
			return nil, fmt.Errorf("%w: %s of %s is %g, not between %g and %g", ErrSetting, name, x.Kind, value, setting.Least, setting.Most)
		}
		full[name] = value
	}
	return x.run(ctx, b, full)
}

func (x *Experiment) setting(name string) (Setting, bool) {
	for _, s := range x.Settings {
		if s.Name == name {
			return s, true
		}
	}
	return Setting{}, false
}

// All returns the experiments, fitted to the design on the bench.
func All(b *Bench) []Experiment {
	return []Experiment{
		ringExperiment(b), waveExperiment(b), beatExperiment(b), humpsExperiment(b), approachExperiment(b),
		wireExperiment(b), shortedExperiment(b), startExperiment(b), spectrumExperiment(b),
	}
}

// Find returns the experiment of a kind; false if there is none.
func Find(b *Bench, kind Kind) (Experiment, bool) {
	for _, x := range All(b) {
		if x.Kind == kind {
			return x, true
		}
	}
	return Experiment{}, false
}

// percentGuess is a guess in per cent, kept as a ratio.
func percentGuess(least, most, start float64) Setting {
	return Setting{Name: "guess", Least: least, Most: most, Start: start, Step: 0.01, Unit: si.Percent}
}

// geometric returns n values from least to most, each the same ratio over the last.
func geometric(least, most float64, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = least * math.Pow(most/least, float64(i)/float64(n-1))
	}
	v[n-1] = most
	return v
}

// even returns n values from least to most, evenly spaced.
func even(least, most float64, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = least + (most-least)*float64(i)/float64(n-1)
	}
	v[n-1] = most
	return v
}

// Known reports whether there is an experiment of a kind.
func Known(kind Kind) bool { return slices.Contains(kinds, kind) }

// Within returns the settings as the experiment takes them: those that lie outside a
// range that depends on the design are moved to its edge, and names it does not have
// are dropped. moved says whether anything was changed.
func (x *Experiment) Within(s Settings) (within Settings, moved bool) {
	within = Settings{}
	for name, value := range s {
		setting, ok := x.setting(name)
		if !ok {
			moved = true
			continue
		}
		within[name] = math.Max(setting.Least, math.Min(setting.Most, value))
		moved = moved || within[name] != value
	}
	return within, moved
}

// At returns the value at a place between the least, 0, and the most, 1, rounded to
// the setting's steps.
func (s Setting) At(place float64) float64 {
	place = math.Max(0, math.Min(1, place))
	value := s.Least + (s.Most-s.Least)*place
	if s.Geometric {
		value = s.Least * math.Pow(s.Most/s.Least, place)
	}
	return s.stepped(value)
}

// Place returns where a value stands between the least, 0, and the most, 1.
func (s Setting) Place(value float64) float64 {
	place := (value - s.Least) / (s.Most - s.Least)
	if s.Geometric {
		place = math.Log(value/s.Least) / math.Log(s.Most/s.Least)
	}
	return math.Max(0, math.Min(1, place))
}

// Moved returns the value so many of the smallest steps further on.
func (s Setting) Moved(value float64, steps int) float64 {
	if s.Step == 0 {
		const wholeWay = 200 // steps from end to end where nothing says how fine
		return s.At(s.Place(value) + float64(steps)/wholeWay)
	}
	return s.stepped(value + float64(steps)*s.Step)
}

func (s Setting) stepped(value float64) float64 {
	switch {
	case s.TwoChoices && value < (s.Least+s.Most)/2:
		return s.Least
	case s.TwoChoices:
		return s.Most
	case s.Step > 0:
		value = math.Round(value/s.Step) * s.Step
	}
	return math.Max(s.Least, math.Min(s.Most, value))
}
