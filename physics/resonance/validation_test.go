package resonance

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"coilwright/physics/topload"
)

// readReference decodes a file of the project's testdata.
func readReference(t testing.TB, name string, v any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func solve(t testing.TB, s *Solver, c Coil) *Modes {
	t.Helper()
	m, err := s.Solve(t.Context(), &c)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// within reports a result that is off by more than a part tol of the wanted one.
func within(t testing.TB, what string, got, want, tol float64, source string) {
	t.Helper()
	if off := got/want - 1; !(math.Abs(off) <= tol) {
		t.Errorf("%s = %.7g, want %.7g: off by %+.4f %%, allowed %.4f %% (%s)", what, got, want, 100*off, 100*tol, source)
	}
}

func height(z float64) *float64 { return &z }

// TestValidationModes compares the first three modes with full per-turn
// matrices of another program: testdata/coil_modes.json says how.
func TestValidationModes(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	var reference struct {
		Cases []struct {
			ID              string  `json:"id"`
			Ground          string  `json:"ground"`
			Turns           float64 `json:"turns"`
			MeanDiameter    float64 `json:"mean_diameter_m"`
			Pitch           float64 `json:"pitch_m"`
			WireDiameter    float64 `json:"wire_diameter_m"`
			WindingBottom   float64 `json:"winding_bottom_m"`
			TorusRadius     float64 `json:"torus_radius_m"`
			TorusTubeRadius float64 `json:"torus_tube_radius_m"`
			TorusHeight     float64 `json:"torus_height_m"`
			Mode            int     `json:"mode"`
			Frequency       float64 `json:"frequency_hz"`
		} `json:"cases"`
	}
	readReference(t, "coil_modes.json", &reference)
	if len(reference.Cases) == 0 {
		t.Fatal("no cases")
	}
	var s Solver
	for _, m := range reference.Cases {
		c := Coil{Winding: Winding{
			Radius: m.MeanDiameter / 2, WireRadius: m.WireDiameter / 2, Pitch: m.Pitch, Turns: m.Turns,
			Base: m.WindingBottom + m.Pitch/2,
		}}
		if m.Ground != "open" {
			c.Room = Room{Floor: height(0), Metal: m.Ground == "metal_plane"}
		}
		if m.TorusRadius > 0 {
			c.Top, c.TopHeight = torus(t, m.TorusRadius, m.TorusTubeRadius), m.TorusHeight
		}
		got := solve(t, &s, c)
		// Asked for are 0.3 % (0.4 % below 100 turns) and 1 %; these hold what
		// was reached.
		tol := 1e-4
		if m.Mode > 1 {
			tol = 5e-4
		}
		within(t, m.ID, got.Frequency[m.Mode-1], m.Frequency, tol, "independent ring-turn model")
		t.Logf("%s: %g turns, %s, mode %d %+.3f %%, %d unknowns", m.ID, m.Turns, m.Ground, m.Mode, 100*(got.Frequency[m.Mode-1]/m.Frequency-1), got.Unknowns)
	}
}

// TestValidationFullWave compares with NEC-2, a full-wave method of moments on the
// true helix, its leads included: 0.5 % for bare coils, 1 % with a ring.
func TestValidationFullWave(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	var reference struct {
		Cases []struct {
			ID       string `json:"id"`
			Geometry struct {
				Turns        float64 `json:"turns"`
				Pitch        float64 `json:"pitch_m"`
				Diameter     float64 `json:"centreline_diameter_m"`
				WireDiameter float64 `json:"wire_diameter_m"`
				Start        float64 `json:"helix_start_height_m"`
				End          float64 `json:"helix_end_height_m"`
				LowestTurn   float64 `json:"lowest_turn_centre_height_m"`
				Top          struct {
					Kind         string  `json:"kind"`
					Turns        int     `json:"N"`
					MinorRadius  float64 `json:"minor_radius_m"`
					MajorRadius  float64 `json:"major_radius_m"`
					WireDiameter float64 `json:"wire_diameter_m"`
					Height       float64 `json:"centre_height_m"`
				} `json:"top"`
			} `json:"geometry"`
			F0 float64 `json:"f0_hz"`
			F1 float64 `json:"f1_hz"`
		} `json:"cases"`
	}
	readReference(t, "fullwave/cases.json", &reference)
	if len(reference.Cases) == 0 {
		t.Fatal("no cases")
	}
	var s Solver
	for _, m := range reference.Cases {
		g := m.Geometry
		c := Coil{
			Winding:  Winding{Radius: g.Diameter / 2, WireRadius: g.WireDiameter / 2, Pitch: g.Pitch, Turns: g.Turns, Base: g.LowestTurn},
			Room:     Room{Floor: height(0), Metal: true},
			FootLead: &Lead{Radius: g.Diameter / 2, Bottom: 0.001 * g.Start, Length: 0.999 * g.Start, WireRadius: g.WireDiameter / 2},
		}
		tol := 0.005
		if g.Top.Kind != "none" {
			tol = 0.01
			c.TopHeight = g.Top.Height
			c.TopLead = &Lead{Radius: g.Diameter / 2, Bottom: g.End, Length: g.Top.Height - g.End, WireRadius: g.WireDiameter / 2}
		}
		switch g.Top.Kind {
		case "ring":
			c.Top = thinRing(g.Top.MajorRadius, g.Top.WireDiameter/2)
		case "doughnut":
			c.Top = wireRing(t, topload.Ring{
				WireDiameter: g.Top.WireDiameter, FormerDiameter: 2*g.Top.MinorRadius - g.Top.WireDiameter,
				HubDiameter: 2*(g.Top.MajorRadius-g.Top.MinorRadius) - g.Top.WireDiameter, Turns: g.Top.Turns,
			})
		}
		got := solve(t, &s, c)
		within(t, m.ID+" first mode", got.Frequency[0], m.F0, tol, "NEC-2, nec2c 1.3")
		within(t, m.ID+" second mode", got.Frequency[1], m.F1, 0.01, "NEC-2, nec2c 1.3")
		t.Logf("%s: %+.3f %%, second mode %+.3f %%", m.ID, 100*(got.Frequency[0]/m.F0-1), 100*(got.Frequency[1]/m.F1-1))
	}
}

// TestValidationMeasuredCoils compares with readings of two real bare coils
// over a ground of unknown quality.
func TestValidationMeasuredCoils(t *testing.T) {
	if testing.Short() {
		t.Skip("validation")
	}
	var reference struct {
		Source   string `json:"source"`
		Readings []struct {
			Base     float64 `json:"base_height_m"`
			Height   float64 `json:"winding_height_m"`
			Turns    float64 `json:"turns"`
			Gauge    string  `json:"gauge"`
			Diameter float64 `json:"diameter_m"`
			Measured float64 `json:"f_measured_hz"`
		} `json:"readings"`
	}
	readReference(t, "measured_coils.json", &reference)
	// ASTM B258: 0.005 in times 92^((36-n)/39).
	wires := map[string]float64{
		"AWG 12": 0.005 * 0.0254 * math.Pow(92, 24./39),
		"AWG 24": 0.005 * 0.0254 * math.Pow(92, 12./39),
	}
	if len(reference.Readings) == 0 {
		t.Fatal("no readings")
	}
	var s Solver
	for _, r := range reference.Readings {
		pitch := r.Height / r.Turns
		got := solve(t, &s, Coil{
			Winding: Winding{Radius: r.Diameter / 2, WireRadius: wires[r.Gauge] / 2, Pitch: pitch, Turns: r.Turns, Base: r.Base + pitch/2},
			Room:    Room{Floor: height(0)},
		})
		within(t, r.Gauge, got.Frequency[0], r.Measured, 0.03, reference.Source)
		t.Logf("%g turns of %s: %.1f kHz, measured %.1f kHz, %+.2f %%", r.Turns, r.Gauge, got.Frequency[0]/1e3, r.Measured/1e3, 100*(got.Frequency[0]/r.Measured-1))
	}
}
