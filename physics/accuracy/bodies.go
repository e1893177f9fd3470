package accuracy

import (
	"context"
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// Allowed differences of bodies.
const (
	exactAllowed    = 1e-9
	elementsAllowed = 1e-6
	ringAllowed     = 1e-3
	gradientAllowed = 1e-2
)

// body is a record of bodies.json.
type body struct {
	Kind   string             `json:"kind"`
	Inputs map[string]float64 `json:"inputs"`
	Value  float64            `json:"value"`
}

// bodies returns the records of one kind.
func bodies(kind string) ([]body, error) {
	var all, some []body
	if err := decode("bodies.json", &all); err != nil {
		return nil, err
	}
	for _, b := range all {
		if b.Kind == kind {
			some = append(some, b)
		}
	}
	return some, nil
}

// shape is a kind of body with an exact answer. Lengths of its inputs are in m.
type shape struct {
	kind     string
	name     func(in map[string]float64) sentence.Text
	source   sentence.Text // what the independent value comes from
	exact    func(in map[string]float64) (float64, error)
	surfaces func(in map[string]float64) []electrostatics.Conductor // nil: cannot be drawn by lines and circles
	grounded bool                                                   // over an earthed plane at z = 0
}

// Sources of bodies.json, as its records have them.
var (
	closedForm = sentence.New("closed form, evaluated independently")
	toroidal   = sentence.New("toroidal functions to 30 digits; surface charges agree")
	bispheres  = sentence.New("bispherical series, evaluated independently")
)

func shapes() []shape {
	return []shape{
		{
			"torus_capacitance", torusName, toroidal,
			func(in map[string]float64) (float64, error) { return torusOf(in).Capacitance() },
			func(in map[string]float64) []electrostatics.Conductor {
				return []electrostatics.Conductor{electrostatics.TorusConductor(0, torusOf(in))}
			}, false,
		}, {
			"sphere_capacitance", func(in map[string]float64) sentence.Text { return sentence.New("sphere %s", mm(2*in["a_m"])) }, closedForm,
			func(in map[string]float64) (float64, error) { return electrostatics.SphereCapacitance(in["a_m"]) },
			func(in map[string]float64) []electrostatics.Conductor {
				return []electrostatics.Conductor{electrostatics.SphereConductor(0, in["a_m"])}
			}, false,
		}, {
			"disc_capacitance", func(in map[string]float64) sentence.Text { return sentence.New("flat disc %s", mm(2*in["a_m"])) }, closedForm,
			func(in map[string]float64) (float64, error) { return electrostatics.DiscCapacitance(in["a_m"]) },
			func(in map[string]float64) []electrostatics.Conductor {
				return []electrostatics.Conductor{electrostatics.DiscConductor(0, in["a_m"], 0)}
			}, false,
		}, {
			"two_spheres_same_potential_capacitance",
			func(in map[string]float64) sentence.Text {
				return sentence.New("two spheres %s, %s apart", mm(2*in["a_m"]), mm(in["centre_distance_m"]-2*in["a_m"]))
			}, bispheres,
			func(in map[string]float64) (float64, error) {
				return electrostatics.TwoSpheresCapacitance(in["a_m"], in["centre_distance_m"])
			},
			func(in map[string]float64) []electrostatics.Conductor {
				return []electrostatics.Conductor{
					electrostatics.SphereConductor(0, in["a_m"]), electrostatics.SphereConductor(in["centre_distance_m"], in["a_m"]),
				}
			}, false,
		}, {
			"sphere_over_grounded_plane_capacitance",
			func(in map[string]float64) sentence.Text {
				return sentence.New("sphere %s, %s over a plane", mm(2*in["a_m"]), mm(in["centre_height_m"]-in["a_m"]))
			}, bispheres,
			func(in map[string]float64) (float64, error) {
				return electrostatics.SphereOverPlaneCapacitance(in["a_m"], in["centre_height_m"])
			},
			func(in map[string]float64) []electrostatics.Conductor {
				return []electrostatics.Conductor{electrostatics.SphereConductor(in["centre_height_m"], in["a_m"])}
			}, true,
		}, {
			"prolate_spheroid_capacitance",
			func(in map[string]float64) sentence.Text {
				return sentence.New("spheroid %s long, %s wide", mm(2*in["semi_long_m"]), mm(2*in["semi_short_m"]))
			}, closedForm,
			func(in map[string]float64) (float64, error) {
				return electrostatics.SpheroidCapacitance(in["semi_long_m"], in["semi_short_m"])
			}, nil, false,
		},
	}
}

func torusOf(in map[string]float64) electrostatics.Torus {
	return electrostatics.Torus{Radius: in["R_m"], Tube: in["a_m"]}
}

func torusName(in map[string]float64) sentence.Text {
	return sentence.New("torus %s, tube %s", mm(2*(in["R_m"]+in["a_m"])), mm(2*in["a_m"]))
}

// mm writes a length in m for the name of a case.
func mm(length float64) string { return si.Format(round(length), si.Millimetre, si.Shortest) }

// round leaves four figures.
func round(x float64) float64 {
	const figures = 4
	scale := math.Pow(10, figures-1-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}

// exactBodies compares closed forms and series with those of others.
func exactBodies(_ context.Context, t *table) error {
	for _, s := range shapes() {
		cases, err := bodies(s.kind)
		if err != nil {
			return err
		}
		for _, c := range cases {
			ours, err := s.exact(c.Inputs)
			if err != nil {
				return err
			}
			t.add(subject{sentence.New("capacitance"), si.Farad, s.source, exactAllowed}, s.name(c.Inputs), c.Value, ours)
		}
	}
	cases, err := bodies("torus_max_field_per_volt")
	if err != nil {
		return err
	}
	for _, c := range cases {
		ours, err := torusOf(c.Inputs).PeakGradient()
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("peak gradient at 1 V"), si.VoltPerMetre, sentence.New("surface charges; interior charges agree"), exactAllowed}, torusName(c.Inputs), c.Value, ours)
	}
	return nil
}

// boundaryElements compares the method for every other shape on those whose
// answer is known.
func boundaryElements(ctx context.Context, t *table) error {
	floor, err := electrostatics.NewPlanes(0, math.Inf(1), 1)
	if err != nil {
		return err
	}
	for _, s := range shapes() {
		if s.surfaces == nil {
			continue
		}
		cases, err := bodies(s.kind)
		if err != nil {
			return err
		}
		var planes *electrostatics.Planes
		if s.grounded {
			planes = floor
		}
		for _, c := range cases {
			if err := ctx.Err(); err != nil {
				return err
			}
			ours, err := chargeAtOneVolt(s.surfaces(c.Inputs), planes)
			if err != nil {
				return err
			}
			t.add(subject{sentence.New("capacitance"), si.Farad, s.source, elementsAllowed}, s.name(c.Inputs), c.Value, ours)
		}
	}
	return nil
}

// chargeAtOneVolt returns the charge in C on all conductors together at 1 V.
func chargeAtOneVolt(conductors []electrostatics.Conductor, planes *electrostatics.Planes) (float64, error) {
	system, err := electrostatics.NewSystem(conductors, planes, electrostatics.DefaultRefinement)
	if err != nil {
		return 0, err
	}
	volts := make([]float64, len(conductors))
	for i := range volts {
		volts[i] = 1
	}
	solution, err := system.Solve(volts)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, q := range solution.Total {
		sum += q
	}
	return sum, nil
}

// wireRings compares rings solved turn by turn, at the resolution that every
// result of the program has.
func wireRings(ctx context.Context, t *table) error {
	var solver topload.RingSolver
	for _, of := range []struct {
		kind string
		subject
		value func(topload.RingSolution) float64
	}{
		{
			"wire_ring_capacitance",
			subject{sentence.New("capacitance"), si.Farad, sentence.New("charges inside the wires, in three dimensions"), ringAllowed},
			func(s topload.RingSolution) float64 { return s.Capacitance },
		}, {
			"wire_ring_max_field_per_volt",
			subject{sentence.New("peak gradient at 1 V"), si.VoltPerMetre, sentence.New("charges inside the wires, in three dimensions"), gradientAllowed},
			func(s topload.RingSolution) float64 { return s.PeakGradient },
		},
	} {
		cases, err := bodies(of.kind)
		if err != nil {
			return err
		}
		for _, c := range cases {
			if err := ctx.Err(); err != nil {
				return err
			}
			in := c.Inputs
			ring := topload.Ring{WireDiameter: in["wire_d_m"], FormerDiameter: in["former_D_m"], Turns: int(in["turns"])}
			ring.HubDiameter = 2*in["ring_R_m"] - ring.FormerDiameter - 2*ring.WireDiameter
			solution, err := solver.Solve(ring)
			if err != nil {
				return err
			}
			name := sentence.New("%d turns, wire %s, ring %s", ring.Turns, mm(ring.WireDiameter), mm(ring.OuterDiameter()))
			t.add(of.subject, name, c.Value, of.value(solution))
		}
	}
	return nil
}
