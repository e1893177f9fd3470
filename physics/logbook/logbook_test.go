package logbook

import (
	"bytes"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/design"
)

// shelf writes three coils of the physics club and a broken file into a folder.
func shelf(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.Mkdir(filepath.Join(folder, "class"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, e := range assets.Examples() {
		d, err := design.Read(bytes.NewReader(e.Content))
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(folder, e.Name)
		switch e.Name {
		case "desk.coil.json":
			d.Measurements = []design.Measurement{
				{Quantity: "frequency", Value: 3.9e6, Uncertainty: 4e3, Setup: "with_primary", ProbePlace: "none", Date: "2026-03-02"},
				{Quantity: "frequency", Value: 3.8e6, Uncertainty: 4e3, Setup: "with_primary", ProbePlace: "none", Date: "2026-03-09"},
				{Quantity: "frequency", Value: 3.7e6, Uncertainty: 4e3, Setup: "running", ProbePlace: "none", Date: "2026-04-01"},
				{Quantity: "quality_factor", Value: 140, Setup: "with_primary", ProbePlace: "none"},
			}
		case "hand-sized.coil.json":
			name, d.Measurements = filepath.Join(folder, "class", e.Name), nil
		default:
			continue
		}
		var content bytes.Buffer
		if err := design.Write(&content, d); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, content.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "torn.coil.json"), []byte(`{"format": "coilwr`), 0o644); err != nil {
		t.Fatal(err)
	}
	return folder
}

func TestRead(t *testing.T) {
	var told [][2]int
	entries, err := Read(context.Background(), shelf(t), func(done, of int) { told = append(told, [2]int{done, of}) })
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 3 || told[len(told)-1] != [2]int{3, 3} {
		t.Fatalf("%d entries, progress %v", len(entries), told)
	}
	hand, desk, torn := entries[0], entries[1], entries[2]
	if desk.Measured == nil || *desk.Measured != 3.8e6 || desk.Date != "2026-03-09" {
		t.Errorf("the desk coil's reading is %+v, want the newest of its resonance", desk)
	}
	if desk.Deviation == nil || math.Abs(*desk.Deviation-(3.8e6 / *desk.Predicted - 1)) > 1e-12 || desk.QualityFactor == nil || *desk.QualityFactor != 140 {
		t.Errorf("the desk coil is %+v", desk)
	}
	if hand.Predicted == nil || hand.Measured != nil || hand.Deviation != nil {
		t.Errorf("a coil without readings is %+v", hand)
	}
	if torn.Problem.Empty() || torn.Predicted != nil {
		t.Errorf("a torn file is %+v", torn)
	}
	if _, err := Read(context.Background(), t.TempDir(), nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("an empty folder: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Read(ctx, shelf(t), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end of its context: %v", err)
	}
}

func number(x float64) *float64 { return &x }

func TestSortAndFilter(t *testing.T) {
	entries := []Entry{
		{Name: "Blue", Measured: number(3e6), Date: "2026-02-01", Notes: "wooden desk"},
		{Name: "amber", Measured: number(1e6)},
		{Name: "Clear", Date: "2026-01-01", Notes: "Desk, no ring"},
	}
	order := func() string {
		var names []string
		for _, e := range entries {
			names = append(names, e.Name[:1])
		}
		return strings.Join(names, "")
	}
	for _, test := range []struct {
		by         Column
		descending bool
		want       string
	}{
		{ByName, false, "aBC"}, {ByName, true, "CBa"},
		{ByMeasured, false, "aBC"}, {ByMeasured, true, "BaC"},
		{ByDate, false, "CBa"}, {ByDate, true, "BCa"},
	} {
		Sort(entries, test.by, test.descending)
		if got := order(); got != test.want {
			t.Errorf("by %d, descending %v: %s, want %s", test.by, test.descending, got, test.want)
		}
	}
	if got := Filter(entries, "desk no"); len(got) != 1 || got[0].Name != "Clear" {
		t.Errorf("filtered: %+v", got)
	}
	if got := Filter(entries, ""); len(got) != 3 {
		t.Errorf("no filter leaves %d", len(got))
	}
}

// built draws coils that ring off times as high as predicted and scatter by
// their uncertainty and a share more.
func built(random *rand.Rand, coils int, off, sigma, more float64) []Entry {
	var entries []Entry
	for range coils {
		predicted := 1e6 * (1 + 3*random.Float64())
		ratio := off * math.Exp(random.NormFloat64()*math.Hypot(sigma, more))
		measured := predicted * ratio
		entries = append(entries, Entry{
			Predicted: &predicted, Sigma: sigma * predicted, ModelError: 0.003 * predicted,
			Measured: &measured, MeasuredSigma: 1, Deviation: number(ratio - 1),
		})
	}
	return entries
}

// TestHeldCovers: drawn from what is said of makers, the true ratio lies within
// two standard deviations of the learned one in 95 of 100 logbooks.
func TestHeldCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 7))
	const trials = 1000
	covered := 0
	for range trials {
		off := math.Exp(random.NormFloat64() * habit)
		r := Held(built(random, 3+random.IntN(10), off, 0.01, 0))
		if math.Abs(math.Log(r.Ratio/off)) <= 1.96*r.Sigma {
			covered++
		}
	}
	if share := float64(covered) / trials; share < 0.92 || share > 0.98 {
		t.Errorf("95 %% intervals cover %.1f %%", 100*share)
	}
}

func TestHeld(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 9))
	one := Held(built(random, 1, 0.9, 1e-3, 0))
	if one.Usable() || one.Coils != 1 {
		t.Errorf("one coil: %+v", one)
	}
	many := Held(built(random, 40, 0.98, 0.005, 0))
	if !many.Usable() || math.Abs(many.Ratio-0.98) > 2*many.Sigma+0.002 || !strings.Contains(many.Text.String(), "lower than predicted") {
		t.Errorf("40 coils 2 %% low: %+v", many)
	}
	loose := Held(built(random, 40, 1, 0.002, 0.02))
	if math.Abs(loose.Scatter-0.02) > 0.007 { // three standard deviations of a scatter from 40
		t.Errorf("the scatter is %g, want 0.02", loose.Scatter)
	}
	if loose.Sigma < 2*many.Sigma {
		t.Errorf("coils that scatter teach as much (%g) as such that do not (%g)", loose.Sigma, many.Sigma)
	}
	if r := Held(nil); r.Ratio != 1 || r.Usable() || r.Text.Empty() {
		t.Errorf("an empty logbook: %+v", r)
	}
	f, sigma := many.Correct(2e6)
	if f != 2e6*many.Ratio || sigma != f*many.Sigma {
		t.Errorf("corrected %g ± %g", f, sigma)
	}
}
