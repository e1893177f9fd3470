package design

import (
	"context"
	"errors"
	"fmt"
	"math"

	"coilwright/physics/breakdown"
	"coilwright/physics/resonance"
)

// ErrVoltage is wrapped where a top voltage is asked about that no coil of this kind
// has.
var ErrVoltage = errors.New("design: no such voltage")

// MostTopVoltage is the largest crest of the top in V that anything is told about.
// Above it air of a room gives way round whatever fits on a table.
const MostTopVoltage = 1e6

// Field is the electric field of a coil in its first mode, at the crest, with what
// follows from it. Everything is per volt of the top unless a voltage is asked for.
// It never changes and may be used from several goroutines.
type Field struct {
	Frequency float64 // Hz
	Top       float64 // V, potential of the top against earth, 1 where the foot is at zero

	field  *resonance.Field
	modes  *resonance.Modes
	coil   *resonance.Coil
	centre Spot // of the top load or, without one, the upper end of the winding
	crest  Spot // the place that glows first, where it is known
	upward bool // sparks from there go up, not outward
	lowest float64
}

// Field returns the field of d. The error is [Problems] for a design that cannot be
// built.
func (s *Solver) Field(ctx context.Context, d Design) (*Field, error) {
	if problems := Check(d); len(problems) > 0 {
		return nil, Problems(problems)
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return nil, problems
	}
	a, err := s.airOf(ctx, &d, &l)
	if err != nil {
		return nil, err
	}
	return a.exported(), nil
}

// exported returns the field for others, sparks going out from the widest place
// of the top.
func (a *airy) exported() *Field {
	w := a.coil.Winding
	f := &Field{
		Frequency: a.modes.Frequency[0], Top: a.top, field: a.field, modes: a.modes, coil: a.coil,
		centre: Spot{0, w.Top()}, crest: Spot{w.Radius + w.WireRadius, w.Base + (w.Turns-1)*w.Pitch}, lowest: math.Inf(-1),
	}
	// The coil keeps pointing into the solver's memory; a field must not.
	own := *a.coil
	f.coil = &own
	if a.coil.Top != nil {
		body := *a.coil.Top
		clone := func(at *[]float64) { *at = append([]float64(nil), *at...) }
		for _, column := range []*[]float64{&body.Elastance, &body.Charge, &body.Radius, &body.Height, &body.Weight, &body.PointRadius, &body.PointHeight, &body.PointGradient} {
			clone(column)
		}
		own.Top = &body
		f.centre = Spot{0, a.l.top.centre}
		f.crest = Spot{a.l.top.outer + a.l.top.radius, a.l.top.centre}
	}
	if rod := a.coil.Rod; rod != nil {
		f.crest, f.upward = Spot{0, rod.Bottom + rod.Length}, true
	}
	if a.coil.Room.Floor != nil {
		f.lowest = *a.coil.Room.Floor
	}
	return f
}

// At returns the potential in V and the field in V/m, outward and up, per volt of the
// top at radius r, of either sign, and height z in m. Inside metal and under an earthed
// plane it means nothing.
func (f *Field) At(r, z float64) (potential, outward, up float64) {
	return f.field.At(math.Abs(r), z)
}

// Strength returns the size of the field in V/m per volt of the top.
func (f *Field) Strength(r, z float64) float64 {
	_, outward, up := f.At(r, z)
	return math.Hypot(outward, up)
}

// checkVolts refuses a top voltage that is none.
func checkVolts(volts float64) error {
	if !(volts > 0) || volts > MostTopVoltage {
		return fmt.Errorf("%w: %g V on the top; more than 0 and at most %g kV", ErrVoltage, volts, MostTopVoltage/1e3)
	}
	return nil
}

// sparkPlaces is how many places of a path are solved; between them the potential is
// taken as straight.
const sparkPlaces = 60

// Sparks returns how far streamers may reach from the top with the given crest in V: out
// from its widest place, or up from a breakout point. It is the reach of streamers that
// have begun: below the onset none do. The error wraps [ErrVoltage].
func (f *Field) Sparks(volts float64) (breakdown.Length, error) {
	if err := checkVolts(volts); err != nil {
		return breakdown.Length{}, err
	}
	// The mean field over a longer way than this is below what any streamer needs.
	length := f.Top * volts / breakdown.StreamerLow * 1.05
	place := func(s float64) Spot {
		if f.upward {
			return Spot{f.crest.R, f.crest.Z + s}
		}
		return Spot{f.crest.R + s, f.crest.Z}
	}
	potential := make([]float64, sparkPlaces+1)
	potential[0] = f.Top
	for i := 1; i <= sparkPlaces; i++ {
		at := place(length * float64(i) / sparkPlaces)
		potential[i], _, _ = f.At(at.R, at.Z)
	}
	return breakdown.StreamerReach(func(s float64) float64 {
		x := s / length * sparkPlaces
		i := min(int(x), sparkPlaces-1)
		return volts * (potential[i] + (x-float64(i))*(potential[i+1]-potential[i]))
	}, length)
}

// addSparks puts into r how far streamers may reach with the given crest in V.
func (f *Field) addSparks(r *AirReport, volts float64) error {
	if volts > MostTopVoltage {
		return nil // glows nowhere on a table
	}
	length, err := f.Sparks(volts)
	if err != nil {
		return err
	}
	r.SparkVoltage, r.SparkShort, r.SparkLong = known(volts), known(length.Short), known(length.Long)
	return nil
}

// farthest is the distance in m to which [Field.Distance] looks.
const farthest = 100.0

// Distance returns how far from the axis, at the height of the top load's centre, the
// field with the given crest of the top in V falls below a strength in V/m, crest, for
// good: 0 if it is nowhere that strong outside the top, and at most 100 m. The
// error wraps [ErrVoltage].
//
// The near field alone is meant: what the coil radiates falls slower, but is small at
// the distances at which the near field still matters on a table.
func (f *Field) Distance(volts, strength float64) (float64, error) {
	if err := checkVolts(volts); err != nil {
		return 0, err
	}
	if !(strength > 0) {
		return 0, fmt.Errorf("%w: field of %g V/m", ErrVoltage, strength)
	}
	exceeds := func(r float64) bool { return volts*f.Strength(r, f.centre.Z) >= strength }
	const step = 1.15
	low := f.crest.R*1.01 + 1e-3
	r := farthest
	for ; r > low; r /= step {
		if exceeds(r) {
			break
		}
	}
	if r <= low {
		if exceeds(low) {
			return low, nil
		}
		return 0, nil
	}
	if r == farthest {
		return farthest, nil
	}
	near, far := r, r*step
	for far-near > 1e-3*near {
		if middle := (near + far) / 2; exceeds(middle) {
			near = middle
		} else {
			far = middle
		}
	}
	return near, nil
}

// TubeDistance returns from where to where a fluorescent tube held at the height of the
// top may begin to glow with the given crest of the top in V: it surely does nearer than
// near, common practice says, and may do to far, in m from the axis. The error wraps
// [ErrVoltage].
func (f *Field) TubeDistance(volts float64) (near, far float64, err error) {
	if near, err = f.Distance(volts, breakdown.TubeFieldHigh); err != nil {
		return 0, 0, err
	}
	far, err = f.Distance(volts, breakdown.TubeFieldLow)
	return near, far, err
}
