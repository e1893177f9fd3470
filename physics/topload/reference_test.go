package topload

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// ringCase is a wire ring computed independently of this program, see
// testdata/SOURCES.md.
type ringCase struct {
	ID       string
	Ring     Ring
	Value    float64 // F, or V/m per volt
	RelErr   float64
	GapRatio float64 // gap at the hub over the wire diameter
}

// ringCases returns the records of one kind of testdata/bodies.json.
func ringCases(t testing.TB, kind string) []ringCase {
	t.Helper()
	data, err := os.ReadFile("../../testdata/bodies.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		ID     string  `json:"id"`
		Kind   string  `json:"kind"`
		Value  float64 `json:"value"`
		RelErr float64 `json:"rel_err"`
		Inputs struct {
			Turns  int     `json:"turns"`
			Wire   float64 `json:"wire_d_m"`
			Former float64 `json:"former_D_m"`
			Radius float64 `json:"ring_R_m"`
		} `json:"inputs"`
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	var some []ringCase
	for _, c := range all {
		if c.Kind != kind {
			continue
		}
		r := Ring{WireDiameter: c.Inputs.Wire, FormerDiameter: c.Inputs.Former, Turns: c.Inputs.Turns}
		r.HubDiameter = 2*c.Inputs.Radius - c.Inputs.Former - 2*c.Inputs.Wire
		if err := r.Check(""); err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		some = append(some, ringCase{c.ID, r, c.Value, c.RelErr, r.GapAtHub() / r.WireDiameter})
	}
	if len(some) == 0 {
		t.Fatalf("no case of kind %q", kind)
	}
	return some
}

func TestValidationHandbookRing(t *testing.T) {
	if testing.Short() {
		t.Skip("comparison with reference cases")
	}
	sum, n := 0.0, 0.0
	for _, c := range ringCases(t, "wire_ring_capacitance") {
		got, err := c.Ring.HandbookCapacitance()
		off := got.Value/c.Value - 1
		sum += off * off
		n++
		t.Logf("%s: %d turns, gap %.2f d: %+.2f %%", c.ID, c.Ring.Turns, c.GapRatio, 100*off)
		if err != nil || math.Abs(off) > 0.0075 || !got.InRange {
			t.Errorf("%s: HandbookCapacitance = %.4g F, %v, want %.4g F within 0.7 %%", c.ID, got.Value, err, c.Value)
		}
	}
	if rms := math.Sqrt(sum / n); rms > 0.0045 {
		t.Errorf("rms error of the set-back torus %.2f %%, want 0.4 %%", 100*rms)
	}
	for _, c := range ringCases(t, "wire_ring_max_field_per_volt") {
		got, err := c.Ring.HandbookPeakGradient()
		off := got.Value/c.Value - 1
		t.Logf("%s: %d turns, gap %.2f d: %+.2f %% in range %v", c.ID, c.Ring.Turns, c.GapRatio, 100*off, got.InRange)
		if err != nil || got.InRange && (off < -0.01 || off > 0.045) {
			t.Errorf("%s: HandbookPeakGradient = %.4g 1/m, %v, want %.4g 1/m within -1 to +4 %%", c.ID, got.Value, err, c.Value)
		}
	}
}
