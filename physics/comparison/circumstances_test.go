package comparison

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"coilwright/physics/breakdown"
	"coilwright/physics/design"
)

func TestCircumstancesAreReadAndWritten(t *testing.T) {
	for _, test := range []struct {
		quantity, setup, key string
		want                 Circumstances
		written              string // as Key writes it
	}{
		{Frequency, WithPrimary, "", Circumstances{}, ""},
		{Frequency, WithPrimary, "hand 150 mm", Circumstances{Near: HandNear, Distance: 0.15}, "hand 150 mm"},
		{Frequency, WithPrimary, " ceiling 0.4 m ", Circumstances{Near: CeilingNear, Distance: 0.4}, "ceiling 400 mm"},
		{Frequency, Running, "metal plane;12 V", Circumstances{Near: MetalNear, Supply: 12}, "12 V; metal plane"},
		{Capacitance, WithPrimary, "floor 2 in", Circumstances{Near: FloorNear, Distance: 0.0508}, "floor 50.8 mm"},
		{Gap, Running, "spheres 12,5 mm; 9 V", Circumstances{Electrodes: "spheres 12,5 mm", Supply: 9}, "spheres 12,5 mm; 9 V"},
		{SupplyCurrent, Running, "7.2 V", Circumstances{Supply: 7.2}, "7.2 V"},
		{Dimension, Bare, KeyWindingHeight, Circumstances{}, ""},
	} {
		m := reading(test.quantity, test.setup)
		m.Key = test.key
		got, err := CircumstancesOf(m)
		if err != nil || got != test.want {
			t.Errorf("%s %q: %+v, %v; want %+v", test.quantity, test.key, got, err, test.want)
		}
		if got.Key() != test.written {
			t.Errorf("%s %q is written %q, want %q", test.quantity, test.key, got.Key(), test.written)
		}
	}
	for _, test := range []struct{ quantity, setup, key string }{
		{Frequency, WithPrimary, "hand"},
		{Frequency, WithPrimary, "hand -3 mm"},
		{Frequency, WithPrimary, "12 V"},
		{Frequency, WithPrimary, "a cat"},
		{SupplyCurrent, Running, "0 V"},
		{SupplyCurrent, Running, "metal plane"},
	} {
		m := reading(test.quantity, test.setup)
		m.Key = test.key
		if c, err := CircumstancesOf(m); err == nil {
			t.Errorf("%s %q is understood: %+v", test.quantity, test.key, c)
		}
	}
}

// TestWhatStoodNearIsSolved: a reading with a plane near is that of a coil drawn with
// the plane, and its value with the plane taken off that of the coil as drawn.
func TestWhatStoodNearIsSolved(t *testing.T) {
	ctx := context.Background()
	d := handSized(t)
	for key, change := range map[string]func(*design.Room){
		"metal plane":    func(r *design.Room) { r.Ground, r.FloorDepth = design.MetalPlane, 0 },
		"floor 30 mm":    func(r *design.Room) { r.Ground, r.FloorDepth = design.Floor, 0.03 },
		"ceiling 200 mm": func(r *design.Room) { r.CeilingHeight = 0.2 },
		"open":           func(r *design.Room) { r.Ground, r.FloorDepth = design.Open, 0 },
	} {
		near := d
		change(&near.Room)
		m := reading(Frequency, WithPrimary)
		there, err := Predict(ctx, design.NewSolver(), near, Driven{}, m)
		if err != nil {
			t.Fatal(err)
		}
		free, err := Predict(ctx, design.NewSolver(), d, Driven{}, m)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(there.Predicted/free.Predicted-1) < 1e-4 {
			t.Errorf("%s does nothing to the coil", key)
		}
		m.Key = key
		got, err := Predict(ctx, design.NewSolver(), d, Driven{}, m)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Predicted/there.Predicted-1) > 1e-12 || math.Abs(got.Corrected/free.Predicted-1) > 1e-12 {
			t.Errorf("%s: %g Hz, corrected %g; drawn so %g, without %g", key, got.Predicted, got.Corrected, there.Predicted, free.Predicted)
		}
	}
}

// TestAHandLowersTheFrequency by what the field of the coil says of a fist, and how
// near it was is a cause.
func TestAHandLowersTheFrequency(t *testing.T) {
	ctx := context.Background()
	d := handSized(t)
	alone, err := setUp(d, WithPrimary)
	if err != nil {
		t.Fatal(err)
	}
	field, err := design.NewSolver().Field(ctx, alone)
	if err != nil {
		t.Fatal(err)
	}
	effect, err := field.Near(design.Near{Kind: design.NearHand, Distance: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	m := reading(Frequency, WithPrimary)
	m.Key = "hand 200 mm"
	row, err := Predict(ctx, design.NewSolver(), d, Driven{}, m)
	if err != nil {
		t.Fatal(err)
	}
	if got := row.Predicted/row.Corrected - 1; math.Abs(got-effect.Frequency) > 1e-12 || got >= 0 {
		t.Errorf("a hand changes the frequency by %g, the field says %g", got, effect.Frequency)
	}
	half := 0.0
	for _, cause := range row.Causes {
		if cause.Key == KeyHand {
			half = cause.Sigma * math.Sqrt(3)
		}
	}
	if want := handNear * -effect.Frequency * row.Corrected; math.Abs(half/want-1) > 1e-6 {
		t.Errorf("how near it was leaves %g Hz open, want %g", half, want)
	}
	m.Key = "hand 5 mm"
	if row, err = Predict(ctx, design.NewSolver(), d, Driven{}, m); err != nil || row.Verdict != NotPredicted || !strings.Contains(row.Text.String(), "farther off") {
		t.Errorf("a hand that all but touches: %v, %s", err, row.Text)
	}
}

// TestAHandIsExplained: two readings, one with a hand near, say how near it was; the corrected design and the advice are those of the coil.
func TestAHandIsExplained(t *testing.T) {
	ctx := context.Background()
	d := handSized(t)
	truth := asDrawn(d)
	truth.hand = 1.4
	p := &predictor{solver: design.NewSolver(), ofDrawn: d}
	for _, key := range []string{"", "hand 100 mm"} {
		m := reading(Frequency, WithPrimary)
		m.Key, m.Uncertainty = key, 500
		var err error
		if m.Value, err = p.value(ctx, truth, m, false); err != nil {
			t.Fatal(err)
		}
		d.Measurements = append(d.Measurements, m)
	}
	c := compared(t, d)
	e := c.Explanation
	if e == nil {
		t.Fatal("the readings are not explained")
	}
	i := slices.IndexFunc(e.Changes, func(c Change) bool { return c.Key == KeyHand })
	if i < 0 {
		t.Fatal("the hand is not among the changes")
	}
	if a := e.Changes[i]; math.Abs(a.To-1.4) > sigmas*a.Sigma || a.Sigma > a.SigmaFrom/4 {
		t.Errorf("the hand does %.3f ± %.3f of what one at its distance does, want 1.4", a.To, sigmas*a.Sigma)
	}
	if problems := design.Check(e.Corrected); len(problems) > 0 {
		t.Errorf("the corrected design is refused: %v", problems)
	}
	if _, err := Advise(ctx, design.NewSolver(), d, &c, 0.98*d.Measurements[0].Value); err != nil {
		t.Errorf("no advice: %v", err)
	}
}

// driven solves the driver of a design.
func driven(t *testing.T, d design.Design) Driven {
	t.Helper()
	s := design.NewSolver()
	report, err := s.Evaluate(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if err := report.TakeDrive(s.Drive(context.Background(), d, report, design.DriveOptions{Bare: true})); err != nil {
		t.Fatal(err)
	}
	return DrivenOf(report)
}

// TestCurrentAtAnotherSupply: what is predicted at another supply is what the driver
// drawn with that supply takes; at the drawn one nothing is solved anew.
func TestCurrentAtAnotherSupply(t *testing.T) {
	ctx := context.Background()
	d := handSized(t)
	if d.Driver.Kind != design.FeedbackExciter {
		t.Fatalf("the example has a driver %q", d.Driver.Kind)
	}
	asDrawn := driven(t, d)
	other := d
	other.Driver.Supply = d.Driver.Supply * 0.75
	want := driven(t, other)
	for key, current := range map[string]*float64{
		"": asDrawn.SupplyCurrent, Circumstances{Supply: d.Driver.Supply}.Key(): asDrawn.SupplyCurrent,
		Circumstances{Supply: other.Driver.Supply}.Key(): want.SupplyCurrent,
	} {
		m := reading(SupplyCurrent, Running)
		m.Key = key
		row, err := Predict(ctx, design.NewSolver(), d, asDrawn, m)
		if err != nil {
			t.Fatal(err)
		}
		if current == nil || row.Predicted != *current {
			t.Errorf("at %q: %g A predicted, want %v", key, row.Predicted, current)
		}
	}
	if *want.SupplyCurrent == *asDrawn.SupplyCurrent {
		t.Error("the supply does not matter")
	}
	m := reading(SupplyCurrent, Running)
	m.Key, m.Value = "12 V", 0.1
	d.Driver.Kind = design.NoDriver
	if row, err := RowOf(ctx, design.NewSolver(), d, Driven{}, m); err != nil || row.Verdict != NotPredicted {
		t.Errorf("without a driver: %v, %s", err, row.Text)
	}
}

// TestAGapStandsForAVoltage: the voltage of a gap is that of the table, the predicted
// gap bears the predicted voltage, and both are told.
func TestAGapStandsForAVoltage(t *testing.T) {
	ctx := context.Background()
	d := handSized(t)
	volts, low, high := 12e3, 11e3, 14e3
	m := reading(Gap, Running)
	m.Key, m.Value, m.Uncertainty = "needles", 0.008, 0.0005
	row, err := RowOf(ctx, design.NewSolver(), d, Driven{TopVoltage: &volts, TopVoltageLow: &low, TopVoltageHigh: &high}, m)
	if err != nil {
		t.Fatal(err)
	}
	density, err := breakdown.RelativeDensity(d.Room.AirTemperature, d.Room.AirPressure)
	if err != nil {
		t.Fatal(err)
	}
	for _, check := range []struct {
		name      string
		gap, want float64
	}{{"read", m.Value, row.Spark.Value}, {"predicted", row.Predicted, volts}} {
		v, err := breakdown.NeedleGap(check.gap, density)
		if err != nil || math.Abs(v.Crest/check.want-1) > 1e-9 {
			t.Errorf("%s: %g m between needles bear %g V by the table, want %g", check.name, check.gap, v.Crest, check.want)
		}
	}
	if s := row.Spark; !(s.Low < s.Value && s.Value < s.High) || s.PredictedLow != low || s.PredictedHigh != high {
		t.Errorf("the spark is %+v", row.Spark)
	}
	if !strings.Contains(row.Text.String(), "as its parts vary") || !strings.Contains(row.Text.String(), "stands for") {
		t.Errorf("the row says %s", row.Text)
	}
	sure, err := RowOf(ctx, design.NewSolver(), d, Driven{TopVoltage: &volts}, m)
	if err != nil {
		t.Fatal(err)
	}
	if !(sure.ModelError < row.ModelError) {
		t.Error("what the parts leave open of the voltage does not widen the prediction")
	}
}
