package design

import (
	"cmp"
	"context"
	"errors"
	"math"
	"reflect"
	"slices"

	"coilwright/physics/driver"
)

// DriveCurve is the settled top voltage of an exciter while one thing is varied
// and all else stays. Points at which no settled state was found are left
// out.
type DriveCurve struct {
	Against    DriveVariation
	Points     []DrivePoint // ascending in X
	From, To   float64      // of the range
	Present    float64
	PresentTop float64 // V
	Unsettled  int     // points that were left out
}

// DrivePoint is one settled state.
type DrivePoint struct {
	X     float64 // V, coupling coefficient, ohm or turns
	Top   float64 // V
	State driver.State
}

// Points of an exciter's curve.
const (
	curvePoints   = 25
	mostCurveTurn = 24   // turns
	leastBase     = 470  // ohm
	mostBase      = 10e6 // ohm
	mostCoupled   = 0.9
	leastCoupled  = 0.001 // of the most
)

// curve fills the curve of x, every fourth point first, or takes the last one
// if only what it is drawn against has changed.
func (v *drive) curve(x driver.Exciter) error {
	c := &DriveCurve{Against: v.options.Against, PresentTop: v.Running.TopCrest}
	var set func(x *driver.Exciter, value float64) (bool, error)
	logarithmic := false
	switch c.Against {
	case AgainstSupply:
		c.Present = x.Supply
		c.From, c.To = 0.1*stepAbove(1.4*x.Supply), stepAbove(1.4*x.Supply)
		set = func(x *driver.Exciter, value float64) (bool, error) { x.Supply = value; return true, nil }
	case AgainstCoupling:
		c.Present = x.Primary.Coupling
		c.To = math.Max(x.Primary.Coupling, math.Min(mostCoupled, stepAbove(1.4*x.Primary.Coupling)))
		c.From = leastCoupled * c.To
		set = func(x *driver.Exciter, value float64) (bool, error) { x.Primary.Coupling = value; return true, nil }
	case AgainstBaseResistor:
		c.Present = x.BaseResistor
		c.From, c.To = math.Min(leastBase, x.BaseResistor), math.Max(mostBase, x.BaseResistor)
		logarithmic = true
		set = func(x *driver.Exciter, value float64) (bool, error) { x.BaseResistor = value; return true, nil }
	case AgainstPrimaryTurns:
		if v.shape == nil {
			return nil
		}
		set = v.shape.setTurns(v.ctx)
		c.Present, c.From, c.To = v.shape.turnsInUse()
	default:
		return nil
	}
	points := make([]float64, 0, curvePoints)
	if c.Against == AgainstPrimaryTurns {
		for n := c.From; n <= c.To; n++ {
			points = append(points, n)
		}
	} else {
		for i := range curvePoints {
			share := float64(i) / (curvePoints - 1)
			if logarithmic {
				points = append(points, c.From*math.Pow(c.To/c.From, share))
			} else {
				points = append(points, c.From+share*(c.To-c.From))
			}
		}
	}
	key := v.curveKey(c, x)
	if kept, ok := v.keptCurve(key); ok {
		c.Points, c.Unsettled = slices.Clone(kept.Points), kept.Unsettled
		c.add(DrivePoint{c.Present, c.PresentTop, v.Running.State})
		v.Curve = c
		return nil
	}
	var swept DriveCurve // without the mark
	passes := coarseFirst(len(points))
	for i, pass := range passes {
		for _, at := range pass {
			y := x
			possible, err := set(&y, points[at])
			if err != nil {
				return err
			}
			if !possible {
				continue
			}
			point, err := v.point(y, points[at])
			switch {
			case errors.Is(err, driver.ErrNotSettled):
				swept.Unsettled++
			case err != nil:
				return err
			default:
				swept.add(point)
			}
		}
		shown := *c
		shown.Points, shown.Unsettled = slices.Clone(swept.Points), swept.Unsettled
		shown.add(DrivePoint{c.Present, c.PresentTop, v.Running.State})
		v.Curve = &shown
		if i+1 < len(passes) {
			v.progress(shareDetuned + (1-shareDetuned)*float64(i+1)/float64(len(passes)))
		}
	}
	v.keepCurve(key, swept)
	return nil
}

// curveKey is what an exciter's curve depends on: the circuit but for what is
// varied, and the range.
type curveKey struct {
	exciter  driver.Exciter
	shape    Design // of a curve against turns
	against  DriveVariation
	from, to float64
}

func (v *drive) curveKey(c *DriveCurve, x driver.Exciter) curveKey {
	k := curveKey{exciter: x, against: c.Against, from: c.From, to: c.To}
	k.exciter.Thermal = driver.Thermal{}
	switch c.Against {
	case AgainstSupply:
		k.exciter.Supply = 0
	case AgainstCoupling:
		k.exciter.Primary.Coupling = 0
	case AgainstBaseResistor:
		k.exciter.BaseResistor = 0
	case AgainstPrimaryTurns:
		k.exciter.Coil, k.exciter.Primary = driver.Coil{}, driver.Primary{}
		k.shape = v.shape.design
		k.shape.Driver, k.shape.Measurements = Driver{}, nil
		if k.shape.Primary.TapTurns > 0 {
			k.shape.Primary.TapTurns = 1
		} else {
			k.shape.Primary.Turns = 0
		}
	}
	return k
}

// driveCache keeps the last curve: a change of what it is drawn against moves
// its mark alone.
type driveCache struct {
	of    curveKey
	curve *DriveCurve // nil: none yet
}

func (v *drive) keptCurve(key curveKey) (DriveCurve, bool) {
	if v.shape == nil || v.shape.solver.drives.curve == nil || !reflect.DeepEqual(v.shape.solver.drives.of, key) {
		return DriveCurve{}, false
	}
	return *v.shape.solver.drives.curve, true
}

func (v *drive) keepCurve(key curveKey, c DriveCurve) {
	if v.shape != nil {
		v.shape.solver.drives = driveCache{key, &c}
	}
}

// point settles one exciter of a curve; one that does not grow has no voltage.
func (v *drive) point(x driver.Exciter, value float64) (DrivePoint, error) {
	start, err := x.Start()
	if err != nil {
		return DrivePoint{}, err
	}
	if !start.Grows() {
		return DrivePoint{X: value, State: driver.StateNone}, v.ctx.Err()
	}
	r, err := x.Settle(v.ctx)
	if r.State == driver.StateNone {
		r.TopCrest = 0
	}
	return DrivePoint{value, r.TopCrest, r.State}, err
}

// add puts a point in its place, unless one is there.
func (c *DriveCurve) add(p DrivePoint) {
	at, there := slices.BinarySearchFunc(c.Points, p.X, func(q DrivePoint, x float64) int { return cmp.Compare(q.X, x) })
	if !there {
		c.Points = slices.Insert(c.Points, at, p)
	}
}

// coarseFirst returns the numbers below n in passes: every fourth one, then those
// between.
func coarseFirst(n int) [][]int {
	var passes [][]int
	for _, stride := range []int{4, 2, 1} {
		var pass []int
		for i := 0; i < n; i += stride {
			if stride == 4 || i%(2*stride) != 0 {
				pass = append(pass, i)
			}
		}
		passes = append(passes, pass)
	}
	return passes
}

// turnsInUse returns the turns of the primary in use, and the least and most
// whole number to vary them to.
func (s *shape) turnsInUse() (present, least, most float64) {
	p := &s.design.Primary
	if p.TapTurns > 0 {
		return p.TapTurns, 1, math.Floor(p.Turns)
	}
	return p.Turns, 1, math.Min(math.Max(10, math.Ceil(2*p.Turns)), math.Max(mostCurveTurn, math.Ceil(p.Turns)))
}

// setTurns returns what gives an exciter the primary, and the coil beside it, of
// another number of turns; it says false if that cannot be built.
func (s *shape) setTurns(ctx context.Context) func(*driver.Exciter, float64) (bool, error) {
	return func(x *driver.Exciter, turns float64) (bool, error) {
		d := s.design
		if d.Primary.TapTurns > 0 {
			d.Primary.TapTurns = turns
		} else {
			d.Primary.Turns = turns
		}
		r, err := s.solver.Quick(ctx, d)
		if problems := Problems(nil); errors.As(err, &problems) {
			return false, nil
		}
		if err != nil {
			return false, err
		}
		r.Resonance.QualityFactor = s.report.Resonance.QualityFactor // the copper of the coil is the same
		c, err := d.circuit(r)
		x.Coil, x.Primary = c.Coil, c.Primary
		return true, err
	}
}
