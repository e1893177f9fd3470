package electrostatics

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// solveAtOneVolt returns the charge on all conductors together at 1 V.
func solveAtOneVolt(t testing.TB, conductors []Conductor, planes *Planes, fine Refinement) (float64, *System, Solution) {
	t.Helper()
	system, err := NewSystem(conductors, planes, fine)
	if err != nil {
		t.Fatal(err)
	}
	volts := make([]float64, len(conductors))
	for i := range volts {
		volts[i] = 1
	}
	solution, err := system.Solve(volts)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, q := range solution.Total {
		sum += q
	}
	return sum, system, solution
}

func TestValidationBoundaryElements(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with reference cases")
	}
	floor := mustPlanes(t, 0, none, 0)
	for _, test := range []struct {
		kind   string
		bodies func(in map[string]float64) []Conductor
		planes *Planes
	}{
		{"torus_capacitance", func(in map[string]float64) []Conductor {
			return []Conductor{TorusConductor(0, Torus{in["R_m"], in["a_m"]})}
		}, nil},
		{"sphere_capacitance", func(in map[string]float64) []Conductor { return []Conductor{SphereConductor(0, in["a_m"])} }, nil},
		{"disc_capacitance", func(in map[string]float64) []Conductor { return []Conductor{DiscConductor(0, in["a_m"], 0)} }, nil},
		{"two_spheres_same_potential_capacitance", func(in map[string]float64) []Conductor {
			return []Conductor{SphereConductor(0, in["a_m"]), SphereConductor(in["centre_distance_m"], in["a_m"])}
		}, nil},
		{"sphere_over_grounded_plane_capacitance", func(in map[string]float64) []Conductor {
			return []Conductor{SphereConductor(in["centre_height_m"], in["a_m"])}
		}, floor},
	} {
		for _, c := range referenceCases(t, test.kind) {
			got, system, solution := solveAtOneVolt(t, test.bodies(c.Inputs), test.planes, DefaultRefinement)
			if off := got/c.Value - 1; math.Abs(off) > 2e-8 {
				t.Errorf("%s: %.12g F, want %.12g F, off by %.1e with %d nodes (%s)", c.ID, got, c.Value, off, system.Nodes(), c.Method)
			}
			if solution.Residual > 1e-6 || solution.Condition > 1e8 {
				t.Errorf("%s: residual %.1e, condition %.1e", c.ID, solution.Residual, solution.Condition)
			}
		}
	}
	for _, c := range referenceCases(t, "torus_max_field_per_volt") {
		_, system, solution := solveAtOneVolt(t, []Conductor{TorusConductor(0, Torus{c.Inputs["R_m"], c.Inputs["a_m"]})}, nil, DefaultRefinement)
		if got, r, z := system.PeakGradient(solution.Charge); !scalar.EqualWithinRel(got, c.Value, 1e-6) || math.Abs(z) > 1e-9 {
			t.Errorf("%s: %.10g 1/m at r = %g m, z = %g m, want %.10g 1/m (%s)", c.ID, got, r, z, c.Value, c.Method)
		}
	}
}

// TestBoundaryElementsConverge: with p nodes on a panel, halving the panels
// divides the error of the surface potential by about 2^p or more.
func TestBoundaryElementsConverge(t *testing.T) {
	const floor = 1e-8 // below, the quadrature of near panels shows
	for _, order := range []int{3, 4, 6} {
		last := 0.0
		for _, panels := range []int{2, 4, 8} {
			_, _, solution := solveAtOneVolt(t, []Conductor{TorusConductor(0, Torus{1, 0.3})}, nil, Refinement{order, panels, 1.5})
			if gain := last / solution.Residual; last > floor && gain < math.Pow(2, float64(order)) {
				t.Errorf("order %d, %d panels an arc: residual %.2e, %.1f times less than before, want at least 2^%d", order, panels, solution.Residual, gain, order)
			}
			last = solution.Residual
		}
	}
}

// TestThickDisc: the disc with a half-round rim lies between the spheroid it
// contains and the bodies that contain it, tends to the flat disc and to the
// sphere.
func TestThickDisc(t *testing.T) {
	flat, err := DiscCapacitance(1)
	if err != nil {
		t.Fatal(err)
	}
	last := 0.0
	for _, thickness := range []float64{0.003, 0.01, 0.1, 0.5, 1, 1.9} {
		got, _, solution := solveAtOneVolt(t, []Conductor{DiscConductor(0, 1, thickness)}, nil, DefaultRefinement)
		inside, err := SpheroidCapacitance(thickness/2, 1)
		if err != nil {
			t.Fatal(err)
		}
		if got < inside || got < flat || got < last {
			t.Errorf("disc %g m thick: %.8g F, below the spheroid inside it (%.8g F), the flat disc (%.8g F) or the thinner one (%.8g F)", thickness, got, inside, flat, last)
		}
		fine, _, _ := solveAtOneVolt(t, []Conductor{DiscConductor(0, 1, thickness)}, nil, Refinement{12, 6, 1})
		if !scalar.EqualWithinRel(got, fine, 1e-6) || solution.Residual > 1e-5 {
			t.Errorf("disc %g m thick: %.9g F, refined %.9g F, residual %.1e", thickness, got, fine, solution.Residual)
		}
		last = got
	}
	if got, _, _ := solveAtOneVolt(t, []Conductor{DiscConductor(0, 1, 0.003)}, nil, DefaultRefinement); !scalar.EqualWithinRel(got, flat, 0.005) {
		t.Errorf("disc 3 mm thick: %.6g F, want nearly that of a flat disc, %.6g F", got, flat)
	}
	sphere, err := SphereCapacitance(1)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinRel(last, sphere, 0.04) || last > sphere {
		t.Errorf("disc 1.9 m thick: %.6g F, want a little less than the sphere's %.6g F", last, sphere)
	}
}

// TestFloorAndCeiling checks the images of a whole conductor: between two
// planes it has more capacitance than over either, a far ceiling changes
// nothing, and the surface of the planes stays at zero.
func TestFloorAndCeiling(t *testing.T) {
	torus := []Conductor{TorusConductor(0.1, Torus{0.03, 0.01})}
	alone, _, _ := solveAtOneVolt(t, torus, nil, DefaultRefinement)
	floor, _, _ := solveAtOneVolt(t, torus, mustPlanes(t, 0, none, 0), DefaultRefinement)
	both, system, solution := solveAtOneVolt(t, torus, mustPlanes(t, 0, 0.15, 0.04), DefaultRefinement)
	far, _, _ := solveAtOneVolt(t, torus, mustPlanes(t, 0, 100, 0.04), DefaultRefinement)
	if !(alone < floor && floor < both) {
		t.Errorf("capacitance alone %.6g F, over a floor %.6g F, under a ceiling too %.6g F: want it rising", alone, floor, both)
	}
	if !scalar.EqualWithinRel(far, floor, 1e-4) || far < floor {
		t.Errorf("ceiling 100 m up: %.8g F, want %.8g F", far, floor)
	}
	for _, z := range []float64{0, 0.15} {
		if phi := system.Potential(solution.Charge, 0.02, z); math.Abs(phi) > 1e-8 {
			t.Errorf("potential %g V at the plane z = %g m, want 0", phi, z)
		}
	}
	if phi := system.Potential(solution.Charge, 0.03, 0.1); math.Abs(phi-1) > 1e-6 {
		t.Errorf("potential %.9g V inside the torus, want 1 V", phi)
	}
}

// TestConductorsTogether: charges of two conductors are linear in their
// voltages and their mutual capacitance is the same both ways.
func TestConductorsTogether(t *testing.T) {
	system, err := NewSystem([]Conductor{SphereConductor(0, 0.02), TorusConductor(0.05, Torus{0.04, 0.01})}, nil, DefaultRefinement)
	if err != nil {
		t.Fatal(err)
	}
	one, err := system.Solve([]float64{1, 0})
	if err != nil {
		t.Fatal(err)
	}
	two, err := system.Solve([]float64{0, 1})
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinRel(one.Total[1], two.Total[0], 1e-7) || one.Total[1] >= 0 {
		t.Errorf("induced charge %.10g C and %.10g C, want the same and negative (reciprocity)", one.Total[1], two.Total[0])
	}
}

func TestSystemRefuses(t *testing.T) {
	for name, make := range map[string]func() (*System, error){
		"nothing": func() (*System, error) { return NewSystem(nil, nil, DefaultRefinement) },
		"beyond the axis": func() (*System, error) {
			return NewSystem([]Conductor{{Circle(0.01, 0, 0.02, 0, 2*math.Pi)}}, nil, DefaultRefinement)
		},
		"through the floor": func() (*System, error) {
			return NewSystem([]Conductor{SphereConductor(0.01, 0.02)}, mustPlanes(t, 0, none, 0), DefaultRefinement)
		},
		"no refinement": func() (*System, error) { return NewSystem([]Conductor{SphereConductor(0, 1)}, nil, Refinement{}) },
		"a gap of a millionth": func() (*System, error) {
			return NewSystem([]Conductor{SphereConductor(0, 1), SphereConductor(2+1e-6, 1)}, nil, DefaultRefinement)
		},
	} {
		if _, err := make(); !errors.Is(err, ErrGeometry) {
			t.Errorf("%s: %v, want ErrGeometry", name, err)
		}
	}
}

func BenchmarkBoundaryElements(b *testing.B) {
	for _, bench := range []struct {
		name string
		fine Refinement
	}{{"torus 24 nodes", Refinement{6, 2, 1.5}}, {"torus 60 nodes", DefaultRefinement}} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				sink, _, _ = solveAtOneVolt(b, []Conductor{TorusConductor(0, Torus{0.03, 0.01})}, nil, bench.fine)
			}
		})
	}
}

func ExampleSystem() {
	// A sphere of 20 mm radius with its centre 30 mm over a bench top.
	floor, err := NewPlanes(0, math.Inf(1), 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	system, err := NewSystem([]Conductor{SphereConductor(0.03, 0.02)}, floor, DefaultRefinement)
	if err != nil {
		fmt.Println(err)
		return
	}
	solution, err := system.Solve([]float64{1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f pF", solution.Total[0]*1e12)
	// Output: 3.4167 pF
}
