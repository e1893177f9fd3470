package resonance

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// modeCase is a coil of testdata/modes.json.
type modeCase struct {
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
}

func readJSON(t testing.TB, name string, v any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, v); err != nil {
		t.Fatal(name, ": ", err)
	}
}

func (m modeCase) coil() Coil {
	c := Coil{Winding: Winding{
		Radius: m.MeanDiameter / 2, WireRadius: m.WireDiameter / 2, Pitch: m.Pitch, Turns: m.Turns,
		Base: m.WindingBottom + m.Pitch/2,
	}}
	if m.Ground != "open" {
		c.Room = Room{Floor: new(float64), Metal: m.Ground == "metal_plane"}
	}
	return c
}

func TestValidationModes(t *testing.T) {
	var reference struct{ Cases []modeCase }
	readJSON(t, "modes.json", &reference)
	var s Solver
	for _, m := range reference.Cases {
		if m.TorusRadius > 0 {
			continue
		}
		c := m.coil()
		got, err := s.Solve(t.Context(), &c)
		if err != nil {
			t.Fatal(m.ID, err)
		}
		allowed := 0.003
		switch {
		case m.Mode > 1:
			allowed = 0.01
		case m.Turns < 100:
			allowed = 0.004
		}
		off := got.Frequency[m.Mode-1]/m.Frequency - 1
		if off > allowed || off < -allowed {
			t.Errorf("%s: %g turns, %s, mode %d: %.0f Hz, want %.0f Hz (%+.2f %%)", m.ID, m.Turns, m.Ground, m.Mode, got.Frequency[m.Mode-1], m.Frequency, 100*off)
		}
		t.Logf("%s: n %d res %.1e mode %d %+.3f %%", m.ID, got.Unknowns, got.Residual, m.Mode, 100*off)
	}
}
