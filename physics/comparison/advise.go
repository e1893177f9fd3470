package comparison

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Advice is how a coil comes to a frequency, from what was read of it.
type Advice struct {
	Target float64  // Hz
	Now    Estimate // Hz, with everything in place and what the readings say, the model's error included
	Steps  []Step   // each by itself reaches the target, or comes as near as it can; none if there is nothing to do
	Text   sentence.Text
}

// Step is one thing that can be changed.
type Step struct {
	Key         string
	From, To    float64  // SI
	Reached     Estimate // Hz
	PerUnit     float64  // Hz per turn, per millimetre or per picofarad: what one of them does
	Short       bool     // the target is out of its reach: To comes nearest
	Irrevocable bool
	Text        sentence.Text
}

// near is how near to a target nothing need be done, relative; warming up and a
// hand in the room move a coil by more.
const near = 0.0005

// TargetOf returns the frequency in Hz that a coil is to have: the target of the
// design, else the one that its driver is set to; 0 for none. A driver that follows
// its coil sets none.
func TargetOf(d design.Design) float64 {
	switch {
	case d.TargetFrequency > 0:
		return d.TargetFrequency
	case d.Driver.Kind == design.HalfBridge && d.Driver.Frequency > 0:
		return d.Driver.Frequency
	}
	return 0
}

// Advise returns what brings the coil d, of which c says what was read, to a
// target in Hz: turns off or on at the top, a larger or smaller top load, one
// that stands higher or lower, and whatever hangs on the top left out.
func Advise(ctx context.Context, solver *design.Solver, d design.Design, c *Comparison, target float64) (Advice, error) {
	if !(target > 0) || math.IsInf(target, 0) {
		return Advice{}, fmt.Errorf("%w: it must be above 0, not %g", design.ErrNoTarget, target)
	}
	b, err := newBelief(ctx, solver, d, c)
	if err != nil {
		return Advice{}, err
	}
	a := Advice{Target: target}
	if a.Now, err = b.frequency(ctx, b.coil); err != nil {
		return Advice{}, err
	}
	off := a.Now.Value/target - 1
	if math.Abs(off) < near {
		a.Text = sentence.New("It rings where it shall, at %s: leave it as it is.", between(a.Now.Value, sigmas*a.Now.Sigma, si.Hertz))
		return a, nil
	}
	now, by, wanted := between(a.Now.Value, sigmas*a.Now.Sigma, si.Hertz), si.Format(math.Abs(off), si.Percent, 2), si.FormatPrefixed(target, si.Hertz, shown)
	a.Text = sentence.New("It rings at %s, %s too high for %s. Any one of these brings it there.", now, by, wanted)
	if off < 0 {
		a.Text = sentence.New("It rings at %s, %s too low for %s. Any one of these brings it there.", now, by, wanted)
	}
	for _, key := range levers(d) {
		step, ok, err := b.step(ctx, key, a.Now.Value, target)
		if err != nil {
			return Advice{}, err
		}
		if ok {
			a.Steps = append(a.Steps, step)
		}
	}
	if step, ok, err := b.unloaded(ctx, d, a.Now.Value, c); err != nil {
		return Advice{}, err
	} else if ok && off < 0 {
		a.Steps = append(a.Steps, step)
	}
	return a, nil
}

// levers returns the keys by which the finished coil d can be tuned.
func levers(d design.Design) []string {
	keys := []string{keyTurns}
	switch d.TopLoad.Kind {
	case design.NoTopLoad:
		return keys
	case design.WireRing:
		keys = append(keys, "top_load.former_diameter_m", "top_load.turns")
	case design.Torus:
		keys = append(keys, "top_load.outer_diameter_m")
	default:
		keys = append(keys, "top_load.diameter_m")
	}
	return append(keys, "top_load.height_m")
}

// belief is what is known of a coil after its readings.
type belief struct {
	p          *predictor
	coil       state
	inputs     []Input
	covariance mat.Symmetric // in standard deviations of the inputs
}

func newBelief(ctx context.Context, solver *design.Solver, d design.Design, c *Comparison) (*belief, error) {
	b := &belief{p: &predictor{solver: solver, ofDrawn: d}, coil: asDrawn(d), inputs: c.Inputs}
	if e := c.Explanation; e != nil {
		b.coil, b.covariance = e.coil, e.covariance
		return b, nil
	}
	unit := mat.NewDiagDense(len(c.Inputs), nil)
	for i := range c.Inputs {
		unit.SetDiag(i, 1)
	}
	b.covariance = unit
	return b, ctx.Err()
}

// frequency returns where a coil near the one believed in rings with everything
// in place, and how sure that is after the readings.
func (b *belief) frequency(ctx context.Context, s state) (Estimate, error) {
	reading := []design.Measurement{everything(s.design)}
	at, err := b.p.values(ctx, s, reading)
	if err != nil {
		return Estimate{}, err
	}
	effect := mat.NewVecDense(len(b.inputs), nil)
	for i, in := range b.inputs {
		x, err := in.of(s)
		if err != nil {
			return Estimate{}, err
		}
		slope, err := b.p.slope(ctx, s, in, x, reading, at)
		if errors.Is(err, ErrNoPrediction) {
			continue
		}
		if err != nil {
			return Estimate{}, err
		}
		effect.SetVec(i, slope[0]*in.sigma())
	}
	return Estimate{at[0], math.Sqrt(mat.Inner(effect, b.covariance, effect))}, nil
}

// of returns the value that an input has in s.
func (i Input) of(s state) (float64, error) {
	switch i.Key {
	case KeyModel:
		return s.model, nil
	case KeyProbe:
		return s.probe, nil
	case KeyHand:
		return s.hand, nil
	case KeyHidden:
		return s.hidden, nil
	}
	x, err := dimension(s.design, i.Key)
	if i.Key == keyPacking && err == nil && x == 0 {
		return design.DefaultPacking, nil
	}
	return x, err
}

// step returns the change of one number that leads to the target; ok is false
// where it leads nowhere.
func (b *belief) step(ctx context.Context, key string, now, target float64) (s Step, ok bool, err error) {
	from, err := dimension(b.coil.design, key)
	if err != nil {
		return Step{}, false, nil
	}
	found, err := b.p.solver.Find(ctx, b.coil.design, design.Target{Quantity: design.TargetFrequency, Value: target / b.coil.model}, key)
	var short *design.UnreachableError
	if errors.As(err, &short) {
		found, err = short.Nearest, nil
		s.Short = true
	}
	if err != nil {
		return Step{}, false, unlessNothing(err)
	}
	s.Key, s.From, s.To = key, from, found.Value
	if key == keyTurns {
		s.To = from + math.Round(found.Value-from) // whole turns come off and go on
	}
	if s.To == s.From {
		return Step{}, false, nil
	}
	moved := b.coil
	if err := design.Set(&moved.design, key, s.To); err != nil {
		return Step{}, false, nil
	}
	if s.Reached, err = b.frequency(ctx, moved); err != nil {
		return Step{}, false, unlessNothing(err)
	}
	if math.Abs(s.Reached.Value/target-1) >= math.Abs(now/target-1) {
		return Step{}, false, nil // a step that leads no nearer
	}
	unit := 1.0
	if unitOfKey(key) == si.Millimetre {
		unit = 1e-3
	}
	s.PerUnit = (s.Reached.Value - now) / (s.To - s.From) * unit
	s.Irrevocable = key == keyTurns && s.To < s.From
	s.Text = s.words()
	return s, true, nil
}

// unloaded is the step of taking away what hangs on the top.
func (b *belief) unloaded(ctx context.Context, d design.Design, now float64, c *Comparison) (Step, bool, error) {
	var hangs float64
	for _, m := range d.Measurements {
		top, _ := hung(m)
		hangs = math.Max(hangs, top)
	}
	what := sentence.New("the probe")
	if hangs == 0 && c.Explanation != nil {
		for _, a := range c.Explanation.Alone {
			if a.Key == KeyHidden && a.Plausible && c.Explanation.Needed {
				hangs, what = a.To, sentence.New("whatever hangs on the top (a lead, a breakout, a hand)")
			}
		}
	}
	if hangs == 0 {
		return Step{}, false, nil
	}
	loaded := b.coil
	loaded.hidden = hangs
	with, err := b.p.values(ctx, loaded, []design.Measurement{everything(d)})
	if err != nil {
		return Step{}, false, unlessNothing(err)
	}
	s := Step{Key: KeyHidden, From: hangs, Reached: Estimate{Value: now}, PerUnit: (with[0] - now) / hangs * 1e-12}
	s.Text = sentence.New("Leave out %s: with %s there it rings at %s, without at %s.", what, si.FormatPrefixed(hangs, si.Farad, 2),
		si.FormatPrefixed(with[0], si.Hertz, shown), si.FormatPrefixed(now, si.Hertz, shown))
	return s, true, nil
}

// unlessNothing passes on what is no mere lack of a coil.
func unlessNothing(err error) error {
	var problems design.Problems
	if errors.Is(err, ErrNoPrediction) || errors.Is(err, design.ErrNoNumber) || errors.As(err, &problems) {
		return nil
	}
	return err
}

// words tells a step.
func (s *Step) words() sentence.Text {
	what, effect := s.what()
	text := sentence.Whole(sentence.New("%s: then %s", what, between(s.Reached.Value, sigmas*s.Reached.Sigma, si.Hertz)))
	var short, cut sentence.Text
	if s.Short {
		short = sentence.New("It comes nearest so and does not get there by itself.")
	}
	if s.Irrevocable {
		cut = sentence.New("What is cut off cannot be put back: take off half, measure again, and leave a tail on the wire.")
	}
	return sentence.Paragraph(text, short, effect, cut)
}

// what says what is done in a step, and what one turn or millimetre of it does.
func (s *Step) what() (done, effect sentence.Text) {
	to, from := quantity{s.To, 0, si.Millimetre, 3}, quantity{s.From, 0, si.Millimetre, 3}
	each := si.FormatPrefixed(math.Abs(s.PerUnit), si.Hertz, 2)
	turn, millimetre := sentence.New("One turn does %s.", each), sentence.New("One millimetre does %s.", each)
	turns := turnsWord(math.Abs(s.To - s.From))
	switch {
	case s.Key == keyTurns && s.To < s.From:
		return sentence.New("take %s off at the top", turns), turn
	case s.Key == keyTurns:
		return sentence.New("add %s at the top", turns), turn
	case s.Key == "top_load.turns":
		return sentence.New("close the ring with %d turns instead of %d", int(s.To), int(s.From)), sentence.New("One turn of the ring does %s.", each)
	case s.Key == "top_load.height_m" && s.To > s.From:
		return sentence.New("raise the top load to %s over the winding", to), millimetre
	case s.Key == "top_load.height_m":
		return sentence.New("lower the top load to %s over the winding", to), millimetre
	case s.Key == "top_load.former_diameter_m":
		return sentence.New("wind the ring on %s instead of %s", to, from), millimetre
	}
	return sentence.New("take a top load of %s instead of %s", to, from), millimetre
}

func turnsWord(n float64) sentence.Text {
	if math.Round(n) == 1 {
		return sentence.New("one turn")
	}
	return sentence.New("%.0f turns", n)
}
