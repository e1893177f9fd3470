package plotting

import (
	"math"

	"coilwright/physics/design"
)

// The curves below have the shapes that coils have, by simple laws written here
// for the purpose; no figure depends on their values being right.

// turnsCurve is f = K/(n + n0)^p with and without a top load.
func turnsCurve() design.TurnsCurve {
	law := func(n, k float64) float64 { return k / math.Pow(n+8, 0.95) }
	c := design.TurnsCurve{PresentTurns: 310, Target: 1.72e6}
	for n := 60.0; n <= 600; n += 20 {
		c.Turns = append(c.Turns, n)
		c.WithTopLoad = append(c.WithTopLoad, law(n, 455e6))
		c.Bare = append(c.Bare, law(n, 690e6))
	}
	c.Present, c.PresentBare = law(310, 455e6), law(310, 690e6)
	return c
}

// bareTurnsCurve is the same coil without a top load.
func bareTurnsCurve() design.TurnsCurve {
	c := turnsCurve()
	c.WithTopLoad, c.Present, c.Target = nil, c.PresentBare, 0
	return c
}

// sizeCurve is a ring of 19 turns whose hub is varied, too small a one below
// 41 mm.
func sizeCurve() design.SizeCurve {
	wire := func(d float64) float64 { return 45e-12*d - 0.02e-12 }
	smooth := func(d float64) float64 { return 48.5e-12*d - 0.02e-12 }
	c := design.SizeCurve{
		Kind: design.WireRing, Vary: design.VaryHub, Turns: 19,
		BuildableFrom: 0.0411, PresentDiameter: 0.0445, Present: wire(0.0445), PresentSmooth: smooth(0.0445),
	}
	for d := 0.030; d < 0.0701; d += 0.004 {
		c.OuterDiameter = append(c.OuterDiameter, d)
		c.Capacitance = append(c.Capacitance, wire(d))
		c.Smooth = append(c.Smooth, smooth(d))
	}
	return c
}

// torusCurve is a smooth torus, which has one curve and no bounds.
func torusCurve() design.SizeCurve {
	c := sizeCurve()
	c.Kind, c.Smooth, c.BuildableFrom, c.PresentSmooth = design.Torus, nil, 0, 0
	return c
}

// heightCurve is a ring that can stand 10 mm over its winding and higher.
func heightCurve() design.HeightCurve {
	frequency := func(h float64) float64 { return 3.2e6 + 0.9e6/(1+25*h) }
	share := func(h float64) float64 { return 0.9 - 0.65/(1+25*h) }
	c := design.HeightCurve{
		Kind:          design.WireRing,
		PresentHeight: 0.014, Present: frequency(0.014), PresentShading: share(0.014),
	}
	for h := 0.010; h < 0.0501; h += 0.002 {
		c.Height = append(c.Height, h)
		c.Frequency = append(c.Frequency, frequency(h))
		c.Shading = append(c.Shading, share(h))
	}
	return c
}

// discHeightCurve is a disc on a coil that rings slowly.
func discHeightCurve() design.HeightCurve {
	c := heightCurve()
	c.Kind, c.Present = design.Disc, c.Present/10
	for i := range c.Frequency {
		c.Frequency[i] /= 10
	}
	return c
}

// countCurve is a ring of 19 turns with 3 spare ones on a hub for 22.
func countCurve() design.CountCurve {
	c := design.CountCurve{OfRing: true, Closing: 19, Spare: 3, MarkEvery: 5, HubLimit: 22.4}
	for t := 1.0; t <= 22; t++ {
		c.Turn = append(c.Turn, t)
		c.WireUsed = append(c.WireUsed, 0.03+0.0495*t)
		c.Fill = append(c.Fill, 2*math.Pi*t/19)
	}
	return c
}

// secondaryCount is the count of a secondary of 310 turns, without a ring.
func secondaryCount() design.CountCurve {
	c := design.CountCurve{Closing: 310, MarkEvery: 50}
	for t := 1.0; t <= 310; t++ {
		c.Turn = append(c.Turn, t)
		c.WireUsed = append(c.WireUsed, 0.1+0.0793*t)
	}
	return c
}

// deskCoil is 310 turns of fine wire on a tube of 25 mm with a ring of 19 turns
// and a primary of 4: its lengths follow from the wires' diameters.
func deskCoil() design.Geometry {
	const overall, pitch = 0.0002164, 0.0002229
	g := design.Geometry{
		Former: design.Tube{Inner: 0.011, Outer: 0.0125, Bottom: 0.0079, Top: 0.0970},
		Winding: design.Winding{
			Radius: 0.0125 + overall/2, Bottom: 0.018 - pitch/2, Turns: 310, Pitch: pitch,
			BareDiameter: 0.0002019, OverallDiameter: overall,
		},
		Primary: design.Turns{InUse: 4, WireDiameter: 0.00129},
		Room:    design.Surroundings{Ground: design.Floor, FloorDepth: 0.75},
	}
	g.Winding.Top = g.Winding.Bottom + 310*pitch
	const wire = 0.001628
	g.TopLoad = design.Body{
		Kind: design.WireRing, Centre: g.Winding.Top + 0.014,
		Inner: 0.005 + wire + 0.007, Outer: 0.005 + wire + 0.007, TubeRadius: 0.007 + wire,
		Turns: 19, TurnRadius: 0.007 + wire/2, WireDiameter: wire, HubRadius: 0.005,
	}
	for i := range 4 {
		g.Primary.Places = append(g.Primary.Places, design.Spot{R: 0.023, Z: 0.010 + 0.004*float64(i)})
	}
	return g
}

// handCoil is 55 turns of thick wire, each of which can be seen.
func handCoil() design.Geometry {
	g := deskCoil()
	w := &g.Winding
	w.Turns, w.Pitch, w.BareDiameter, w.OverallDiameter = 55, 0.00074, 0.000644, 0.000718
	w.Top = w.Bottom + w.Turns*w.Pitch
	g.Former.Top = w.Top + 0.01
	g.TopLoad.Centre = w.Top + 0.014
	return g
}

// quarterWave is a voltage along a winding.
func quarterWave(g design.Geometry) []Level {
	var out []Level
	for i := range 41 {
		t := float64(i) / 40
		out = append(out, Level{g.Winding.Bottom + t*(g.Winding.Top-g.Winding.Bottom), math.Sin(t * math.Pi / 2)})
	}
	return out
}
