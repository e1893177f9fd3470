package accuracy

import (
	"context"
	"fmt"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// Allowed differences of coils.
const (
	printedNagaoka   = 2e-6 // absolute: six decimals, some cut rather than rounded
	ringSumAllowed   = 1e-6
	couplingAllowed  = 1e-3
	modeAllowed      = 3e-3
	shortModeAllowed = 4e-3 // below shortTurns
	overtoneAllowed  = 1e-2
	bareWaveAllowed  = 5e-3 // full wave, bare coil
	ringWaveAllowed  = 1e-2 // full wave, ring on top
	measuredAllowed  = 3e-2

	shortTurns = 100
)

// ringSums is where rings.json comes from.
var ringSums = sentence.New("sum over rings by Maxwell's elliptic form, in high precision")

// inductances compares windings and what couples them.
func inductances(_ context.Context, t *table) error {
	rows, err := printed("nagaoka.csv")
	if err != nil {
		return err
	}
	const every = 10 // rows
	for i := every; i < len(rows); i += every {
		n, err := numbers(rows[i])
		if err != nil {
			return err
		}
		ratio, theirs := n[0], n[1]
		t.add(subject{sentence.New("Nagaoka coefficient"), si.Plain, sentence.Literal("Grover, Inductance Calculations (1946), table 36"), printedNagaoka / theirs},
			sentence.New("length %.2f of the diameter", ratio), theirs, inductance.Nagaoka(1/ratio))
	}

	var rings struct {
		Windings []struct {
			Diameter, Pitch, Wire, Turns, Henry float64
		}
		Couplings []struct {
			Primary                            string
			Turns, Radius, Height, Pitch, Wire float64
			Angle                              float64 `json:"angle_deg"`
			SecondaryDiameter                  float64 `json:"secondary_diameter"`
			SecondaryTurns                     float64 `json:"secondary_turns"`
			SecondaryPitch                     float64 `json:"secondary_pitch"`
			SecondaryWire                      float64 `json:"secondary_wire"`
			Coupling                           float64
		}
	}
	if err := decode("rings.json", &rings); err != nil {
		return err
	}
	for _, w := range rings.Windings {
		ours, err := inductance.Winding{Turns: w.Turns, Radius: w.Diameter / 2, Pitch: w.Pitch, WireRadius: w.Wire / 2}.Inductance(inductance.Uniform)
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("inductance"), si.Henry, ringSums, ringSumAllowed},
			sentence.New("%g turns on %s, pitch %s", w.Turns, mm(w.Diameter), mm(w.Pitch)), w.Henry, ours)
	}
	primaries := map[string]sentence.Text{"cylinder": sentence.New("cylinder"), "cone": sentence.New("cone"), "spiral": sentence.New("spiral")}
	for _, c := range rings.Couplings {
		slant := c.Angle * math.Pi / 180
		if c.Primary == "cylinder" {
			slant = math.Pi / 2
		}
		primary := inductance.Primary{
			Turns: c.Turns, InnerRadius: c.Radius, Pitch: c.Pitch, Slant: slant, WireRadius: c.Wire / 2, BaseHeight: c.Height,
		}.Loops()
		winding := inductance.Winding{
			Turns: c.SecondaryTurns, Radius: c.SecondaryDiameter / 2, Pitch: c.SecondaryPitch, WireRadius: c.SecondaryWire / 2,
			BaseHeight: c.SecondaryPitch / 2, // as the reference has it
		}
		own, err := inductance.Inductance(primary, inductance.Uniform)
		if err != nil {
			return err
		}
		other, err := winding.Inductance(inductance.Uniform)
		if err != nil {
			return err
		}
		mutual, err := inductance.MutualInductance(primary, winding.Loops())
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("coupling coefficient"), si.Plain, ringSums, couplingAllowed},
			sentence.New("%s of %g, %g turns on %s", primaries[c.Primary], c.Turns, c.SecondaryTurns, mm(c.SecondaryDiameter)),
			c.Coupling, inductance.Coupling(own, other, mutual))
	}
	return nil
}

// bareCoil is a design of a winding of bare wire and nothing else.
func bareCoil(turns, diameter, wire, pitch, base float64) design.Design {
	d := design.New()
	d.Secondary.Wire = design.Wire{Gauge: fmt.Sprintf("%.12g mm", 1e3*wire), Insulation: design.Bare}
	d.Secondary.FormerDiameter = diameter - wire
	d.Secondary.Turns, d.Secondary.Pitch, d.Secondary.BaseHeight = turns, pitch, base
	d.TopLoad = design.TopLoad{Kind: design.NoTopLoad}
	d.Primary = design.Primary{Kind: design.NoPrimary}
	d.Room.FloorDepth = 0
	return d
}

// modes compares the first three modes, as a report has them, with matrices of
// every turn that were solved by another program.
func modes(ctx context.Context, t *table) error {
	var all struct {
		Cases []struct {
			Ground     string  `json:"ground"`
			Turns      float64 `json:"turns"`
			Diameter   float64 `json:"mean_diameter_m"`
			Pitch      float64 `json:"pitch_m"`
			Wire       float64 `json:"wire_diameter_m"`
			Bottom     float64 `json:"winding_bottom_m"`
			TorusR     float64 `json:"torus_radius_m"`
			TorusTube  float64 `json:"torus_tube_radius_m"`
			TorusPlace float64 `json:"torus_height_m"`
			Mode       int     `json:"mode"`
			Frequency  float64 `json:"frequency_hz"`
		} `json:"cases"`
	}
	if err := decode("coil_modes.json", &all); err != nil {
		return err
	}
	names := [...]sentence.Text{sentence.New("first mode"), sentence.New("second mode"), sentence.New("third mode")}
	grounds := map[string]sentence.Text{"floor": sentence.New("floor"), "metal_plane": sentence.New("metal plane"), "open": sentence.New("open")}
	solver := design.NewSolver() // keeps a coil whose next mode is asked for
	for _, c := range all.Cases {
		d := bareCoil(c.Turns, c.Diameter, c.Wire, c.Pitch, c.Bottom+c.Pitch/2)
		d.Room.Ground = c.Ground
		top := sentence.New("bare")
		if c.TorusR > 0 {
			d.TopLoad = design.TopLoad{
				Kind: design.Torus, OuterDiameter: 2 * (c.TorusR + c.TorusTube), TubeDiameter: 2 * c.TorusTube,
				Height: c.TorusPlace - (c.Bottom + c.Turns*c.Pitch),
			}
			top = sentence.New("torus %s", mm(d.TopLoad.OuterDiameter))
		}
		report, err := solver.Evaluate(ctx, d)
		if err != nil {
			return err
		}
		ours, allowed := *report.Resonance.Frequency, modeAllowed
		switch {
		case c.Mode > 1:
			ours, allowed = report.Resonance.Overtones[c.Mode-2], overtoneAllowed
		case c.Turns < shortTurns:
			allowed = shortModeAllowed
		}
		t.add(subject{names[c.Mode-1], si.Hertz, sentence.New("full matrices, 8 to 32 charge rings round each wire"), allowed},
			sentence.New("%g turns on %s, %s, %s", c.Turns, mm(c.Diameter), top, grounds[c.Ground]), c.Frequency, ours)
	}
	return nil
}

// fullWave compares with the field of the true helix, leads and all. Leads are
// no part of a design, so that these coils go to the solver directly.
func fullWave(ctx context.Context, t *table) error {
	var all struct {
		Cases []struct {
			Geometry struct {
				Turns      float64 `json:"turns"`
				Pitch      float64 `json:"pitch_m"`
				Diameter   float64 `json:"centreline_diameter_m"`
				Wire       float64 `json:"wire_diameter_m"`
				Start      float64 `json:"helix_start_height_m"`
				End        float64 `json:"helix_end_height_m"`
				LowestTurn float64 `json:"lowest_turn_centre_height_m"`
				Top        struct {
					Kind   string  `json:"kind"`
					Turns  int     `json:"N"`
					Minor  float64 `json:"minor_radius_m"`
					Major  float64 `json:"major_radius_m"`
					Wire   float64 `json:"wire_diameter_m"`
					Height float64 `json:"centre_height_m"`
				} `json:"top"`
			} `json:"geometry"`
			First  float64 `json:"f0_hz"`
			Second float64 `json:"f1_hz"`
		} `json:"cases"`
	}
	if err := decode("fullwave.json", &all); err != nil {
		return err
	}
	var solver resonance.Solver
	var rings topload.RingSolver
	plane := 0.0
	for _, c := range all.Cases {
		g := c.Geometry
		coil := resonance.Coil{
			Winding: resonance.Winding{Radius: g.Diameter / 2, WireRadius: g.Wire / 2, Pitch: g.Pitch, Turns: g.Turns, Base: g.LowestTurn},
			Room:    resonance.Room{Floor: &plane, Metal: true},
			// Not quite down to the plane, where its image would touch it.
			FootLead: &resonance.Lead{Radius: g.Diameter / 2, Bottom: 0.001 * g.Start, Length: 0.999 * g.Start, WireRadius: g.Wire / 2},
		}
		top, allowed := sentence.New("bare"), bareWaveAllowed
		if g.Top.Kind != "none" {
			allowed = ringWaveAllowed
			coil.Top, coil.TopHeight = &topload.Body{}, g.Top.Height
			coil.TopLead = &resonance.Lead{Radius: g.Diameter / 2, Bottom: g.End, Length: g.Top.Height - g.End, WireRadius: g.Wire / 2}
		}
		var err error
		switch g.Top.Kind {
		case "ring":
			err = topload.TorusBody(coil.Top, electrostatics.Torus{Radius: g.Top.Major, Tube: g.Top.Wire / 2})
			top = sentence.New("loop %s", mm(2*g.Top.Major))
		case "doughnut":
			ring := topload.Ring{
				WireDiameter: g.Top.Wire, FormerDiameter: 2*g.Top.Minor - g.Top.Wire,
				HubDiameter: 2*(g.Top.Major-g.Top.Minor) - g.Top.Wire, Turns: g.Top.Turns,
			}
			_, err = rings.Body(coil.Top, ring)
			top = sentence.New("ring of %d turns", ring.Turns)
		}
		if err != nil {
			return err
		}
		ours, err := solver.Solve(ctx, &coil)
		if err != nil {
			return err
		}
		of := sentence.New("%g turns on %s, %s", g.Turns, mm(g.Diameter), top)
		source := sentence.New("NEC-2 (nec2c 1.3), metal plane, leads included")
		t.add(subject{sentence.New("first mode"), si.Hertz, source, allowed}, of, c.First, ours.Frequency[0])
		t.add(subject{sentence.New("second mode"), si.Hertz, source, overtoneAllowed}, of, c.Second, ours.Frequency[1])
	}
	return nil
}

// measured compares with coils that were built.
func measured(ctx context.Context, t *table) error {
	var all struct {
		Readings []struct {
			Base     float64 `json:"base_height_m"`
			Height   float64 `json:"winding_height_m"`
			Turns    float64 `json:"turns"`
			Gauge    string  `json:"gauge"`
			Diameter float64 `json:"diameter_m"`
			Measured float64 `json:"f_measured_hz"`
		} `json:"readings"`
	}
	if err := decode("measured_coils.json", &all); err != nil {
		return err
	}
	for _, r := range all.Readings {
		pitch := r.Height / r.Turns
		d := bareCoil(r.Turns, r.Diameter, 0, pitch, r.Base+pitch/2)
		d.Secondary.Wire.Gauge = r.Gauge
		report, err := design.Evaluate(ctx, d)
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("first mode"), si.Hertz, sentence.Literal("P. Nicholson, mailing list archive at pupman.com, February 2001, 00090"), measuredAllowed},
			sentence.New("%g turns of %s on %s, bare", r.Turns, r.Gauge, mm(r.Diameter)), r.Measured, *report.Resonance.Frequency)
	}
	return nil
}
