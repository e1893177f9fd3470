package sheet

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"
)

// ErrJig says that no jig of these sizes holds the ring.
var ErrJig = errors.New("no jig holds it")

// Jig is how the printed helpers of a ring are made: a disc with a radial slot
// for every turn that holds them evenly while their inside is soldered, and a
// former with end stops to wind them on. Lengths are in m.
type Jig struct {
	// The ring.
	Turns          int
	WireDiameter   float64
	FormerDiameter float64
	HubDiameter    float64
	OuterDiameter  float64
	CoilLength     float64 // of all turns side by side, the spare ones too

	// Settings.
	Clearance float64 // of a slot over the wire, and of the end stop over the former
	Height    float64 // of the teeth between the slots
	Floor     float64 // thickness under them
	IronRoom  float64 // free round the hub, outside the wires, for the iron
	Screw     float64 // hole in the middle for a screw that centres the hub
	Spindle   float64 // hole through the former
}

// Least sizes of what a printer with a nozzle of 0.4 mm makes well; common
// practice, no source.
const (
	leastWall = 0.8e-3 // m, of a tooth at its thinnest
	leastHole = 1e-3
	facets    = 180 // of a round; its flats lie a seven-thousandth of the radius inside
)

// JigOf returns the jig of a coil's ring with usual settings. Without a ring
// there is none: the error wraps [ErrJig].
func JigOf(b *Build) (Jig, error) {
	if b.Plan.Ring == nil {
		return Jig{}, fmt.Errorf("%w: the design has no wire ring", ErrJig)
	}
	t := b.Geometry.TopLoad
	former := 2*t.TurnRadius - t.WireDiameter
	return Jig{
		Turns: t.Turns, WireDiameter: t.WireDiameter, FormerDiameter: former, HubDiameter: 2 * t.HubRadius, OuterDiameter: 2 * t.OuterRadius(),
		CoilLength: float64(t.Turns+b.Plan.Ring.Spare) * t.WireDiameter,
		Clearance:  0.3e-3, Height: former / 4, Floor: 2e-3, IronRoom: 2e-3,
		Screw: math.Max(leastHole, 0.45*2*t.HubRadius), Spindle: math.Min(5e-3, former/3),
	}, nil
}

// check refuses what cannot be printed or would not hold the ring.
func (j Jig) check() error {
	mm := func(v float64) string { return si.Format(v, si.Millimetre, 3) }
	for _, n := range []struct {
		name  string
		value float64
		least float64
		most  float64
	}{
		{"wire", j.WireDiameter, 0.05e-3, 0.02},
		{"former", j.FormerDiameter, j.WireDiameter, 0.5},
		{"hub", j.HubDiameter, 0, 0.5},
		{"clearance", j.Clearance, 0, j.WireDiameter + 1e-3},
		{"height of the teeth", j.Height, 0.5e-3, j.FormerDiameter / 2},
		{"floor", j.Floor, 0.4e-3, 0.05},
		{"room for the iron", j.IronRoom, 0, 0.05},
		{"hole for the screw", j.Screw, leastHole, j.holdRadius() * 1.8},
		{"hole for the spindle", j.Spindle, leastHole, j.FormerDiameter - 2*leastWall},
		{"length of the coil", j.CoilLength, j.WireDiameter, 1},
	} {
		if !(n.value >= n.least && n.value <= n.most) {
			return fmt.Errorf("%w: %s of %s, it must be from %s to %s", ErrJig, n.name, mm(n.value), mm(n.least), mm(n.most))
		}
	}
	if j.Turns < 3 || j.Turns > 500 {
		return fmt.Errorf("%w: a ring of %d turns", ErrJig, j.Turns)
	}
	if lowest := j.toothRadius(); lowest > j.ringRadius() {
		return fmt.Errorf("%w: between %d slots of %s the teeth are thinner than %s out to %s, where the turns no longer rest on it: take less clearance or less room for the iron",
			ErrJig, j.Turns, mm(j.slot()), mm(leastWall), mm(lowest))
	}
	return nil
}

// ringRadius is where the lowest points of the turns lie.
func (j Jig) ringRadius() float64 { return (j.OuterDiameter + j.HubDiameter) / 4 }

// slot is the width of a slot.
func (j Jig) slot() float64 { return j.WireDiameter + j.Clearance }

// toothRadius is where the teeth begin: outside the room for the iron and where
// they are thick enough.
func (j Jig) toothRadius() float64 {
	thick := (j.slot() + leastWall) / (2 * math.Sin(math.Pi/float64(j.Turns)))
	return math.Max(thick, j.HubDiameter/2+j.WireDiameter+j.IronRoom)
}

// holdRadius is the radius of the floor inside the teeth.
func (j Jig) holdRadius() float64 { return j.toothRadius() }

// DiscRadius is the outer radius of the disc: past where the turns leave the
// slots.
func (j Jig) DiscRadius() float64 {
	turn := j.FormerDiameter/2 + j.WireDiameter
	chord := math.Sqrt(math.Max(0, turn*turn-(turn-j.Height)*(turn-j.Height)))
	return math.Max(j.ringRadius()+chord+1.5e-3, j.toothRadius()+2e-3)
}

// Disc returns the disc: a floor with a hole for a screw in the middle and teeth
// round it, between which the turns stand. The error wraps [ErrJig].
func (j Jig) Disc() (Solid, error) {
	if err := j.check(); err != nil {
		return Solid{}, err
	}
	var t terrace
	inner, outer, top := j.toothRadius(), j.DiscRadius(), j.Floor+j.Height
	per := max(1, facets/(2*j.Turns)) // facets to a tooth
	step := 2 * math.Pi / float64(j.Turns)
	var angles [2][]float64 // at the inner and the outer radius, once round
	var heights []float64   // of the floor or tooth after each
	for turn := range j.Turns {
		for side, radius := range []float64{inner, outer} {
			half := math.Asin(j.slot() / 2 / radius)
			from, to := float64(turn)*step+half, float64(turn+1)*step-half
			angles[side] = append(angles[side], float64(turn)*step-half)
			for i := range per {
				angles[side] = append(angles[side], from+(to-from)*float64(i)/float64(per))
			}
		}
		heights = append(heights, j.Floor)
		for range per {
			heights = append(heights, top)
		}
	}
	n := len(heights)
	rows := [3][]int{}
	for i := range n {
		sin, cos := math.Sincos(angles[0][i])
		rows[0] = append(rows[0], t.corner(j.Screw/2*cos, j.Screw/2*sin))
		rows[1] = append(rows[1], t.corner(inner*cos, inner*sin))
		sin, cos = math.Sincos(angles[1][i])
		rows[2] = append(rows[2], t.corner(outer*cos, outer*sin))
	}
	for i := range n {
		k := (i + 1) % n
		t.add(j.Floor, rows[0][i], rows[1][i], rows[1][k], rows[0][k])
		t.add(heights[i], rows[1][i], rows[2][i], rows[2][k], rows[1][k])
	}
	return t.solid("disc"), nil
}

// Former returns the former with its fixed end stop: a plate with a notch for
// the grip, and on it the tube, as long as the coil and a little more, with a
// hole for a spindle. The error wraps [ErrJig].
func (j Jig) Former() (Solid, error) {
	if err := j.check(); err != nil {
		return Solid{}, err
	}
	length := j.CoilLength + 2*j.WireDiameter + stopThickness // the loose stop sits on it too
	return j.rounds("former", []float64{j.Spindle / 2, j.FormerDiameter / 2, j.stopRadius()}, []float64{stopThickness + length, stopThickness}), nil
}

// Stop returns the loose end stop, a plate that slides on the former. The error
// wraps [ErrJig].
func (j Jig) Stop() (Solid, error) {
	if err := j.check(); err != nil {
		return Solid{}, err
	}
	return j.rounds("end stop", []float64{(j.FormerDiameter + j.Clearance) / 2, j.stopRadius()}, []float64{stopThickness}), nil
}

const stopThickness = 3e-3 // m

// stopRadius is that of the end stops.
func (j Jig) stopRadius() float64 { return j.FormerDiameter/2 + 4*j.WireDiameter + 2e-3 }

// rounds stacks rings between radii, each of a height; the outermost, a stop,
// has a notch through which the end of the wire comes out.
func (j Jig) rounds(name string, radii, heights []float64) Solid {
	var t terrace
	last := len(radii) - 1
	notch := 2 * math.Asin(math.Min(0.5, j.slot()/2/radii[last-1])) // rad, at the bottom of the notch
	angles := []float64{0}
	for i := 0; i < facets; i++ {
		angles = append(angles, notch+(2*math.Pi-notch)*float64(i)/facets)
	}
	rows := make([][]int, len(radii))
	for r, radius := range radii {
		for _, a := range angles {
			sin, cos := math.Sincos(a)
			rows[r] = append(rows[r], t.corner(radius*cos, radius*sin))
		}
	}
	for r := range last {
		for i := range angles {
			if r == last-1 && i == 0 {
				continue // the notch
			}
			k := (i + 1) % len(angles)
			t.add(heights[r], rows[r][i], rows[r+1][i], rows[r+1][k], rows[r][k])
		}
	}
	return t.solid(name)
}

// All returns the disc, the former and the loose stop side by side, as they are
// printed. The error wraps [ErrJig].
func (j Jig) All() ([]Solid, error) {
	disc, err := j.Disc()
	if err != nil {
		return nil, err
	}
	former, err := j.Former()
	if err != nil {
		return nil, err
	}
	stop, err := j.Stop()
	if err != nil {
		return nil, err
	}
	const apart = 5e-3
	x := j.DiscRadius() + apart + j.stopRadius()
	return []Solid{disc, former.moved(x, 0), stop.moved(x+2*j.stopRadius()+apart, 0)}, nil
}
