package design

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/wire"
)

// Band is where the first mode of a coil lies once it is wound: its dimensions
// come out a little other than they were drawn, and the model is not perfect.
//
//	Low, High = f ∓ (2σ + ε f),
//
// with σ² the sum of the squares of the contributions' sigmas, which is right
// to first order for inputs that miss independently of each other, and ε the
// model's own error, which adds because it is not drawn anew for every coil.
type Band struct {
	Frequency     float64        // Hz, of the coil as drawn
	Low, High     float64        // Hz
	Sigma         float64        // Hz, from the inputs alone
	ModelError    float64        // of the model, relative
	Contributions []Contribution // one per input that is uncertain, what matters most first
}

// Contribution is what one uncertain input does to a frequency.
type Contribution struct {
	Key       string  // of the design, "secondary.former_diameter_m"
	Value     float64 // SI, of the input as drawn
	HalfWidth float64 // SI, the input lies within this of Value, everywhere equally likely
	Change    float64 // Hz per SI unit of the input, df/dx
	Sigma     float64 // Hz, one standard deviation of the frequency
}

// Half-widths of what the design does not state.
const (
	formerTolerance       = 0.01   // of the diameter, of winding and ring
	turnsTolerance        = 0.5    // turns
	manyTurns             = 100    // above which miscounts grow with the count
	manyTurnsTolerance    = 0.005  // of the turns, above manyTurns
	pitchTolerance        = 0.02   // of the pitch, when space wound
	packingTolerance      = 0.015  // of the packing, when close wound: by hand it comes out at 1.02 to 1.05; common practice, no source
	baseTolerance         = 0.005  // m
	topHeightTolerance    = 0.002  // m
	hubTolerance          = 0.0002 // m
	permittivityOverOne   = 0.10   // of the permittivity less 1
	measuredWireTolerance = 5e-6   // m, what a micrometer reads wrong on soft enamel; common practice, no source
	temperatureTolerance  = 10     // K; common practice, no source
)

// What the model itself may be wrong by, relative: the largest difference
// allowed to the independent solutions of the same geometry that the accuracy
// rows compare with. Short windings differ more, since their turns count as
// rings one by one.
const (
	modelError      = 0.003
	modelErrorShort = 0.004 // below shortTurns
	shortTurns      = 100
)

// formerError is what the model may be wrong by in what a former does to the frequency:
// its panels cost up to that, and no former is as even as its list says.
const formerError = 0.05

// modelErrorOf returns what the model may be wrong by at a coil, relative.
func modelErrorOf(l *layout) float64 {
	if l.secondary.turns < shortTurns {
		return modelErrorShort
	}
	return modelError
}

// sigmas is how many standard deviations lie between a frequency and an end
// of its band, the model's error aside.
const sigmas = 2

// input is a number of the design that comes out a little other than drawn.
type input struct {
	key              string
	value, halfWidth float64 // SI
}

// sigma returns the standard deviation of an input that lies anywhere within
// its half-width equally likely.
func (i input) sigma() float64 { return i.halfWidth / math.Sqrt(3) }

// set changes the input in d.
func (i input) set(d *Design, x float64) {
	s, t := &d.Secondary, &d.TopLoad
	switch i.key {
	case keyTurns:
		s.Turns = x
	case keyBase:
		s.BaseHeight = x
	case keyTopHeight:
		t.Height = x
	case keyHub:
		t.HubDiameter = x
	case keyRingFormer:
		t.FormerDiameter = x
	case keyPermittivity:
		s.FormerRelativePermittivity = x
	case keyFormer:
		s.FormerDiameter = x
	case keyOverall:
		s.Wire.OverallDiameter = x
	case keyPitch:
		s.Pitch = x
	case keyPacking:
		s.Packing = x
	}
}

// Keys of inputs.
const (
	keyTurns        = "secondary.turns"
	keyBase         = "secondary.base_height_m"
	keyTopHeight    = "top_load.height_m"
	keyHub          = "top_load.hub_diameter_m"
	keyRingFormer   = "top_load.former_diameter_m"
	keyRingTurns    = "top_load.turns"
	keyPermittivity = "secondary.former_relative_permittivity"
	keyFormer       = "secondary.former_diameter_m"
	keyOverall      = "secondary.wire.overall_diameter_m"
	keyPitch        = "secondary.pitch_m"
	keyPacking      = "secondary.packing"
)

// UsualTolerances returns the half-widths that hold where d states none, each
// in the unit of its field; what d states does not change them. nil: d has no
// such part, or a wire that no table knows.
//
// That of the pitch of a close winding is what the packing leaves open of it.
func (d Design) UsualTolerances() Tolerances {
	s, t := &d.Secondary, &d.TopLoad
	turns := turnsTolerance
	if s.Turns > manyTurns {
		turns = manyTurnsTolerance * s.Turns
	}
	usual := Tolerances{
		SecondaryFormer: known(formerTolerance * s.FormerDiameter),
		SecondaryTurns:  known(turns),
		BaseHeight:      known(baseTolerance),
		Permittivity:    known(permittivityOverOne * (s.FormerRelativePermittivity - 1)),
		Temperature:     known(temperatureTolerance),
	}
	if c, err := lookUp(s.Wire); err == nil {
		usual.OverallDiameter = known(overallTolerance(s.Wire))
		usual.Pitch = known(packingTolerance * c.overall)
	}
	if s.Pitch > 0 {
		usual.Pitch = known(pitchTolerance * s.Pitch)
	}
	if t.Kind != NoTopLoad {
		usual.TopHeight = known(topHeightTolerance)
	}
	if t.Kind == WireRing {
		usual.Hub = known(hubTolerance)
		usual.RingFormer = known(formerTolerance * t.FormerDiameter)
	}
	return usual
}

// uncertain returns the inputs of a design that are uncertain and move its
// frequency, those first that leave the solver's kernels as they are. The
// temperature is none of them: it changes resistances only.
//
// A close winding follows its wire and how well it is packed, unless the design states
// how far its pitch may miss.
func uncertain(d *Design, l *layout) []input {
	t, usual := &d.Tolerances, d.UsualTolerances()
	var all []input
	add := func(key string, value float64, stated, usual *float64) {
		if usual == nil {
			return // there is no such part
		}
		half := *usual
		if stated != nil {
			half = *stated
		}
		if half > 0 {
			all = append(all, input{key, value, half})
		}
	}
	s, ring := l.secondary, &l.top.ring
	add(keyTurns, s.turns, t.SecondaryTurns, usual.SecondaryTurns)
	add(keyTopHeight, d.TopLoad.Height, t.TopHeight, usual.TopHeight)
	add(keyHub, ring.HubDiameter, t.Hub, usual.Hub)
	add(keyRingFormer, ring.FormerDiameter, t.RingFormer, usual.RingFormer)
	add(keyBase, d.Secondary.BaseHeight, t.BaseHeight, usual.BaseHeight)
	add(keyPermittivity, d.Secondary.FormerRelativePermittivity, t.Permittivity, usual.Permittivity)
	add(keyFormer, d.Secondary.FormerDiameter, t.SecondaryFormer, usual.SecondaryFormer)
	add(keyOverall, s.wire.overall, t.OverallDiameter, usual.OverallDiameter)
	if d.Secondary.Pitch > 0 || t.Pitch != nil {
		add(keyPitch, s.pitch, t.Pitch, usual.Pitch)
	} else {
		add(keyPacking, packingOf(d.Secondary.Packing), nil, known(packingTolerance))
	}
	return all
}

// overallTolerance returns half of what the standard leaves open of a wire's
// overall diameter in m; for a measured one, what measuring leaves open.
func overallTolerance(w Wire) float64 {
	if w.OverallDiameter > 0 {
		return measuredWireTolerance
	}
	gauge, err := wire.Parse(w.Gauge)
	if err != nil {
		return 0
	}
	overall, err := wire.OverallDiameter(gauge, w.Insulation)
	if err != nil {
		return 0
	}
	return (overall.Max - overall.Min) / 2
}

// bandCache keeps the last band and what solves its neighbours, so that the
// kernels of the coil itself survive them.
type bandCache struct {
	resonator resonator
	of        modesKey
	inputs    []input
	band      *Band // nil: none yet
}

// Band returns how far the frequency of d is uncertain, and by what. Each input
// costs the solution of a coil that differs a little from d. A design that
// cannot be built has no band: the error is then [Problems].
func (s *Solver) Band(ctx context.Context, d Design) (Band, error) {
	if err := ctx.Err(); err != nil {
		return Band{}, err
	}
	if problems := Check(d); len(problems) > 0 {
		return Band{}, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return Band{}, problems
	}
	return s.bandOf(ctx, &d, &l)
}

// bandOf returns the band of a design that can be built, whose layout l is.
func (s *Solver) bandOf(ctx context.Context, d *Design, l *layout) (Band, error) {
	key, inputs := modesKey{*l, d.Room, d.TopLoad.Closed}, uncertain(d, l)
	if c := &s.band; c.band != nil && c.of == key && slices.Equal(c.inputs, inputs) {
		return c.band.clone(), nil
	}
	present, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return Band{}, err
	}
	b := Band{Frequency: present.Frequency[0], ModelError: modelErrorOf(l)}
	// The neighbours are solved in air; the former takes the same part of all.
	air := b.Frequency
	if l.former(d) != nil {
		inAir := *l
		inAir.secondary.permittivity = 1
		without, err := s.band.resonator.modes(ctx, d, &inAir)
		if err != nil {
			return Band{}, err
		}
		air = without.Frequency[0]
		b.ModelError += formerError * math.Max(0, 1-b.Frequency/air)
	}
	var variance float64
	for _, in := range inputs {
		var slope float64
		if in.key == keyPermittivity {
			f, err := s.resonator.fillings(ctx, d, l)
			if err != nil {
				return Band{}, err
			}
			slope = -b.Frequency * f.Former / (2 * math.Min(d.Secondary.FormerRelativePermittivity, mostPermittivity))
		} else if slope, err = s.slope(ctx, *d, in, air); err != nil {
			return Band{}, err
		} else {
			slope *= b.Frequency / air
		}
		sigma := math.Abs(slope) * in.sigma()
		variance += sigma * sigma
		b.Contributions = append(b.Contributions, Contribution{in.key, in.value, in.halfWidth, slope, sigma})
	}
	slices.SortStableFunc(b.Contributions, func(a, b Contribution) int { return cmp.Compare(b.Sigma, a.Sigma) })
	b.Sigma = math.Sqrt(variance)
	half := sigmas*b.Sigma + b.ModelError*b.Frequency
	b.Low, b.High = max(b.Frequency-half, 0), b.Frequency+half
	s.band.of, s.band.inputs = key, inputs
	kept := b.clone()
	s.band.band = &kept
	return b, nil
}

// clone returns the band with contributions of its own.
func (b Band) clone() Band {
	b.Contributions = slices.Clone(b.Contributions)
	return b
}

// errNoSlope says that no neighbour of a coil can be built.
var errNoSlope = errors.New("design: nothing near it can be built")

// slopeStep is the step of a difference over the standard deviation of the
// input. Solutions are smooth to about a part in 10⁷ where the least of these
// steps changes them by one in 10³, and the curvature within one costs a
// one-sided difference some tenths of a percent, for half the solutions that a
// central one needs.
const slopeStep = 1.0 / 8

// slope returns the derivative of the frequency in Hz by an input, at the coil
// d in air whose frequency is given: a one-sided difference, upward if that can be
// built, else downward. Turns are stepped by a whole one, which costs half of
// what a fraction does, and both ways, as one in a few is no small step.
func (s *Solver) slope(ctx context.Context, d Design, in input, frequency float64) (float64, error) {
	step := slopeStep * in.sigma()
	if in.key == keyTurns {
		step = 1
	}
	above, errAbove := s.shifted(ctx, d, in, step)
	if errAbove == nil && in.key != keyTurns {
		return (above - frequency) / step, nil
	}
	if errAbove != nil && !errors.Is(errAbove, errNoSlope) {
		return 0, errAbove
	}
	below, errBelow := s.shifted(ctx, d, in, -step)
	switch {
	case errBelow != nil && !errors.Is(errBelow, errNoSlope):
		return 0, errBelow
	case errAbove == nil && errBelow == nil:
		return (above - below) / (2 * step), nil
	case errAbove == nil:
		return (above - frequency) / step, nil
	case errBelow == nil:
		return (frequency - below) / step, nil
	}
	return 0, fmt.Errorf("%w: %s", errNoSlope, in.key)
}

// shifted returns the frequency in Hz of d, its former taken away, with an input off
// by so much.
func (s *Solver) shifted(ctx context.Context, d Design, in input, by float64) (float64, error) {
	in.set(&d, in.value+by)
	l, problems := layOut(&d)
	if len(problems) == 0 {
		problems = l.check(&d)
	}
	if len(problems) > 0 || l.secondary.turns < turnsOfCoil.min {
		return 0, errNoSlope
	}
	l.secondary.permittivity = 1
	m, err := s.band.resonator.modes(ctx, &d, &l)
	if errors.Is(err, resonance.ErrGeometry) {
		return 0, errNoSlope
	}
	if err != nil {
		return 0, err
	}
	return m.Frequency[0], nil
}

// addBand puts the band into a report. A coil none of whose neighbours can be
// built goes without, and its report says so.
func (s *Solver) addBand(ctx context.Context, d *Design, l *layout, r *Report) error {
	b, err := s.bandOf(ctx, d, l)
	switch {
	case errors.Is(err, errNoSlope):
		r.Cautions = append(r.Cautions, Caution{Code: "no_band", Text: sentence.New("How sure the frequency is cannot be told: a coil a little larger and one a little smaller cannot be built.")})
		return nil
	case err != nil:
		return err
	}
	at := &r.Resonance
	at.FrequencyLow, at.FrequencyHigh, at.ModelError = known(b.Low), known(b.High), known(b.ModelError)
	for _, c := range b.Contributions {
		at.FrequencyInputs = append(at.FrequencyInputs, FrequencyInput{c.Key, known(c.HalfWidth), known(c.Sigma)})
	}
	return nil
}
