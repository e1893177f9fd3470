package design

import (
	"context"
	"errors"
	"math"
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

// curve fills the curve of x, every fourth point first.
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
	c.add(c.Present, DrivePoint{c.Present, c.PresentTop, v.Running.State})
	for i, at := range coarseFirst(len(points)) {
		value := points[at]
		y := x
		possible, err := set(&y, value)
		if err != nil {
			return err
		}
		if possible && value != c.Present {
			point, err := v.point(y, value)
			switch {
			case errors.Is(err, driver.ErrNotSettled):
				c.Unsettled++
			case err != nil:
				return err
			default:
				c.add(value, point)
			}
		}
		shown := *c
		shown.Points = slices.Clone(c.Points)
		v.Curve = &shown
		v.progress(shareDetuned + (1-shareDetuned)*float64(i+1)/float64(len(points)))
	}
	return nil
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
	return DrivePoint{value, r.TopCrest, r.State}, err
}

// add puts a point in its place.
func (c *DriveCurve) add(value float64, p DrivePoint) {
	at, there := slices.BinarySearchFunc(c.Points, value, func(p DrivePoint, x float64) int {
		switch {
		case p.X < x:
			return -1
		case p.X > x:
			return 1
		}
		return 0
	})
	if !there {
		c.Points = slices.Insert(c.Points, at, p)
	}
}

// coarseFirst returns the numbers below n, every fourth one first, then those
// between.
func coarseFirst(n int) []int {
	order := make([]int, 0, n)
	for _, stride := range []int{4, 2, 1} {
		for i := 0; i < n; i += stride {
			if stride == 4 || i%(2*stride) != 0 {
				order = append(order, i)
			}
		}
	}
	return order
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
