package experiment

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"

	"coilwright/physics/design"
)

// TestQuarterWave compares a long bare coil in the open with the standing wave of a
// uniform line. With a capacitance at its open end the line is θ < π/2 long and has
// sin(θ/2)/sin θ = 1/(2 cos(θ/2)) half way up: 1/2 if all charge is at the end and
// sin(π/4) if none is. The charge of a coil crowds at its open end, so that it lies
// between. Its higher modes have their nodes.
func TestQuarterWave(t *testing.T) {
	b := bench(t, func(d *design.Design) {
		d.TopLoad = design.TopLoad{Kind: design.NoTopLoad}
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
		d.Secondary.Turns = 400
		d.Secondary.FormerDiameter = 0.02
		d.Room.Ground = design.Open
	})
	for mode := 1; mode <= 3; mode++ {
		o := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		if least, most := 0.5, math.Sin(math.Pi/4); mode == 1 && !(o.Half > least && o.Half < most) {
			t.Errorf("half way up there is %g of the voltage, want between %g and %g", o.Half, least, most)
		}
		nodes, largest := 0, 0.0
		for i := 2; i < len(o.Wave.Voltage); i++ {
			if o.Wave.Voltage[i]*o.Wave.Voltage[i-1] < 0 {
				nodes++
			}
			largest = math.Max(largest, math.Abs(o.Wave.Voltage[i]))
		}
		if nodes != mode-1 {
			t.Errorf("mode %d has %d nodes between foot and top, want %d", mode, nodes, mode-1)
		}
		near(t, "largest voltage", largest, 1, 0, "its own unit")
	}
}

// TestLargestIsOne looks at modes with a top load, of which some swing farthest
// against their top.
func TestLargestIsOne(t *testing.T) {
	b := bench(t, nil)
	for mode := 1; mode <= 3; mode++ {
		o := run[*WaveOutcome](t, b, StandingWave, Settings{"mode": float64(mode)})
		for name, values := range map[string][]float64{"voltage": o.Wave.Voltage, "current": o.Wave.Current, "other voltage": o.Other.Voltage} {
			if most, least := floats.Max(values), floats.Min(values); most != 1 || least < -1 {
				t.Errorf("mode %d: %s from %g to %g, want 1 to be the largest in size", mode, name, least, most)
			}
		}
	}
}

// TestPhases holds the moving pictures against the mode they are of: at every phase
// the squares of voltage and current, over their crests, add to one.
func TestPhases(t *testing.T) {
	o := run[*WaveOutcome](t, bench(t, nil), StandingWave, nil)
	for _, phase := range []float64{0, 0.3, math.Pi / 2, 2, 5} {
		v, i := o.At(phase)
		for k := 1; k < len(v); k++ {
			sum := math.Pow(v[k]/o.Wave.Voltage[k], 2) + math.Pow(i[k]/o.Wave.Current[k], 2)
			near(t, "squares of voltage and current", sum, 1, 1e-9, "standing wave")
		}
		near(t, "top", v[len(v)-1], math.Cos(phase), 1e-9, "voltage is largest at phase 0")
	}
}
