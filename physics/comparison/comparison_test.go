package comparison

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/design"
)

// desk is the physics club's desk coil.
func desk(t testing.TB) design.Design { return example(t, "desk") }

// handSized is a coil of few turns, quick to solve.
func handSized(t testing.TB) design.Design { return example(t, "hand-sized") }

func example(t testing.TB, name string) design.Design {
	t.Helper()
	for _, e := range assets.Examples() {
		if e.Name == name+design.Extension {
			d, err := design.Read(bytes.NewReader(e.Content))
			if err != nil {
				t.Fatal(err)
			}
			d.Measurements, d.TargetFrequency = nil, 0 // a coil of which nothing was read
			return d
		}
	}
	t.Fatalf("there is no example %q", name)
	return design.Design{}
}

// read returns a reading of the setup with a standard deviation of a part in 2000.
func reading(quantity, setup string) design.Measurement {
	return design.Measurement{Quantity: quantity, Setup: setup, ProbePlace: NoProbe}
}

// readOf appends readings of a coil that is truly s, read without noise, to
// those of d.
func readOf(t testing.TB, d *design.Design, truth design.Design, readings ...design.Measurement) {
	t.Helper()
	p := &predictor{solver: design.NewSolver()}
	for _, m := range readings {
		v, err := p.value(context.Background(), asDrawn(truth), m, false)
		if err != nil {
			t.Fatal(err)
		}
		m.Value = v
		if m.Uncertainty == 0 {
			m.Uncertainty = 5e-4 * v
		}
		d.Measurements = append(d.Measurements, m)
	}
}

func compared(t testing.TB, d design.Design) Comparison {
	t.Helper()
	c, err := Compare(context.Background(), design.NewSolver(), d, Driven{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestReadingsAsPredictedAgree(t *testing.T) {
	d := desk(t)
	readOf(t, &d, desk(t), reading(Frequency, Bare), reading(Frequency, WithPrimary), reading(Inductance, Bare), reading(Resistance, Bare))
	c := compared(t, d)
	for _, r := range c.Rows {
		if r.Verdict != Agrees || math.Abs(r.Deviation) > 1e-12 {
			t.Errorf("%s: %s", r.Verdict, r.Text)
		}
	}
	if e := c.Explanation; e.Needed || !strings.Contains(e.Text.String(), "nothing to explain") {
		t.Errorf("a perfect coil is explained: %s", e.Text)
	}
}

// TestRowsMeetTheBand: the spread of a predicted frequency is that of the band,
// which has another way to it.
func TestRowsMeetTheBand(t *testing.T) {
	d := desk(t)
	readOf(t, &d, d, reading(Frequency, WithPrimary))
	r := compared(t, d).Rows[0]
	b, err := design.NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	const byDifference = 0.01 // what steps of a quarter sigma and an eighth differ by
	if math.Abs(r.PredictedSigma/b.Sigma-1) > byDifference {
		t.Errorf("sigma %g Hz, the band's %g", r.PredictedSigma, b.Sigma)
	}
	if math.Abs(r.Half()/((b.High-b.Low)/2)-1) > byDifference {
		t.Errorf("half of the width %g Hz, the band's %g", r.Half(), (b.High-b.Low)/2)
	}
}

func TestVerdicts(t *testing.T) {
	for _, test := range []struct {
		sigmas float64 // of the prediction, that the reading lies below
		want   Verdict
		word   string
	}{
		{0, Agrees, "agree"},
		{1, WithinOne, "within what"},
		{1.9, WithinAll, "all tolerances together"},
		{4, Beyond, "lower than the tolerances explain"},
	} {
		d := desk(t)
		readOf(t, &d, d, reading(Frequency, WithPrimary))
		r := compared(t, d).Rows[0]
		d.Measurements[0].Value -= test.sigmas * r.PredictedSigma
		r = compared(t, d).Rows[0]
		if r.Verdict != test.want || !strings.Contains(r.Text.String(), test.word) {
			t.Errorf("%g sigmas low: %s, %q; want %s", test.sigmas, r.Verdict, r.Text, test.want)
		}
	}
}

func TestASlipOfTheUnitIsSaid(t *testing.T) {
	d := desk(t)
	readOf(t, &d, d, reading(Frequency, WithPrimary), reading(Resistance, Bare))
	d.Measurements[0].Value *= 1e-3
	d.Measurements[1].Value *= 990
	for i, want := range []string{"a thousandth of the prediction", "a thousand times the prediction"} {
		if r := compared(t, d).Rows[i]; !strings.Contains(r.Text.String(), want) || !strings.Contains(r.Text.String(), "look at the unit") {
			t.Errorf("%s; want %q", r.Text, want)
		}
	}
}

func TestProbeIsTakenOff(t *testing.T) {
	d := desk(t)
	probed := reading(Frequency, WithTopLoad)
	probed.ProbePlace, probed.ProbeCapacitance = OnTop, 12e-12
	readOf(t, &d, d, reading(Frequency, WithTopLoad), probed)
	c := compared(t, d)
	free, loaded := c.Rows[0], c.Rows[1]
	if loaded.Measured > 0.5*free.Measured {
		t.Errorf("12 pF on top of 2.4 pF leave %g Hz of %g", loaded.Measured, free.Measured)
	}
	if math.Abs(loaded.Corrected/free.Measured-1) > 1e-9 {
		t.Errorf("with the probe taken off %g Hz, want %g", loaded.Corrected, free.Measured)
	}
	if i := slices.IndexFunc(loaded.Causes, func(c Cause) bool { return c.Key == KeyProbe }); i < 0 {
		t.Error("what is open of the probe's capacitance is no cause")
	}
}

// TestMeterInductance: a winding that resonates with a capacitor at ω has there
// the inductance 1/(ω²C) by definition, whatever its modes.
func TestMeterInductance(t *testing.T) {
	for _, d := range []design.Design{desk(t), handSized(t)} {
		d, err := setUp(d, Bare)
		if err != nil {
			t.Fatal(err)
		}
		s := design.NewSolver()
		free, err := s.Loaded(context.Background(), d, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, times := range []float64{2, 5, 20, 100} {
			c := times * free.TopCapacitance
			m, err := s.Loaded(context.Background(), d, c)
			if err != nil {
				t.Fatal(err)
			}
			omega := 2 * math.Pi * m.Frequency
			want := 1 / (omega * omega * c)
			at := design.Measurement{Quantity: Inductance, Setup: Bare, AtFrequency: &m.Frequency}
			got, err := meterInductance(d, free, at, false)
			if err != nil {
				t.Fatal(err)
			}
			// A current spread over the section against one on the surface: 0.1 to 0.5 % in L.
			if math.Abs(got/want-1) > 6e-3 {
				t.Errorf("%s at %.3g of its frequency: %g H, want %g (resonance with %g F)", d.Name, m.Frequency/free.Frequency, got, want, c)
			}
		}
	}
	above := 20e6
	m := reading(Inductance, Bare)
	m.AtFrequency, m.Value = &above, 1e-3
	d := desk(t)
	d.Measurements = []design.Measurement{m}
	if r := compared(t, d).Rows[0]; r.Verdict != NotPredicted || !strings.Contains(r.Text.String(), "above the coil's own") {
		t.Errorf("a meter above resonance: %s, %q", r.Verdict, r.Text)
	}
}

func TestTopCapacitance(t *testing.T) {
	d := desk(t)
	probed := reading(Frequency, WithPrimary)
	probed.ProbePlace, probed.ProbeCapacitance = OnTop, 3e-12
	readOf(t, &d, d, reading(Frequency, WithPrimary), probed)
	got := compared(t, d).TopLoad
	if got == nil {
		t.Fatal("two readings say nothing")
	}
	if math.Abs(got.Value/got.Predicted-1) > 1e-9 {
		t.Errorf("the coil itself has %g F, measured %g", got.Predicted, got.Value)
	}
	// A reading 1 % low with the capacitor on: C = ΔC/((f0/f1)²-1), by hand.
	ratio := d.Measurements[0].Value / d.Measurements[1].Value
	d.Measurements[1].Value *= 0.99
	again := compared(t, d).TopLoad
	want := got.Value * (ratio*ratio - 1) / (ratio*ratio/(0.99*0.99) - 1)
	if math.Abs(again.Value/want-1) > 1e-9 {
		t.Errorf("1 %% lower: %g F, want %g", again.Value, want)
	}
}

func TestFindTurns(t *testing.T) {
	d := desk(t)
	truth := desk(t)
	truth.Secondary.Turns = 287
	height := reading(Dimension, Bare)
	height.Key = KeyWindingHeight
	readOf(t, &d, truth, reading(Resistance, Bare), height)
	c, err := FindTurns(d)
	if err != nil {
		t.Fatal(err)
	}
	for name, e := range map[string]*Estimate{"resistance": c.ByResistance, "height": c.ByHeight, "both": c.ByBoth, "best": &c.Best} {
		if math.Abs(e.Value-287) > sigmas*e.Sigma {
			t.Errorf("by %s %.1f ± %.1f turns, want 287", name, e.Value, sigmas*e.Sigma)
		}
	}
	if c.Wire != "AWG 32" {
		t.Errorf("the wire by resistance and height is %s, want AWG 32", c.Wire)
	}
	d.Measurements = nil
	if _, err := FindTurns(d); err == nil {
		t.Error("turns without a reading")
	}
}

// TestMiscountIsFound: ten turns too few, with a resistance that says so.
func TestMiscountIsFound(t *testing.T) {
	d := desk(t)
	truth := desk(t)
	truth.Secondary.Turns = 300
	off := 6.0 // turns
	d.Tolerances.SecondaryTurns = &off
	d.Tolerances.Temperature = new(float64)
	resistance := reading(Resistance, Bare)
	height := reading(Dimension, Bare)
	height.Key = KeyWindingHeight
	readOf(t, &d, truth, reading(Frequency, Bare), reading(Frequency, WithPrimary), resistance, height, reading(Inductance, Bare))
	e := compared(t, d).Explanation
	if !e.Needed || !e.Holds {
		t.Fatalf("needed %v, holds %v: %s", e.Needed, e.Holds, e.Text)
	}
	i := slices.IndexFunc(e.Changes, func(c Change) bool { return c.Key == keyTurns })
	if i < 0 {
		t.Fatal("the turns did not change")
	}
	if c := e.Changes[i]; math.Abs(c.To-300) > sigmas*c.Sigma || c.Sigma > c.SigmaFrom {
		t.Errorf("%.2f ± %.2f turns, want 300", c.To, sigmas*c.Sigma)
	}
	if e.Posterior.Sigma > e.Prior.Sigma/4 {
		t.Errorf("a prediction is sure to %g Hz after, %g before", e.Posterior.Sigma, e.Prior.Sigma)
	}
}

// TestCorrelatedCausesAreNotTold: one frequency says nothing about which of two
// dimensions is off, and the explanation says so; measuring one of them tells.
func TestCorrelatedCausesAreNotTold(t *testing.T) {
	d := desk(t)
	truth := desk(t)
	truth.Secondary.FormerDiameter *= 1.006
	readOf(t, &d, truth, reading(Frequency, WithPrimary))
	e := compared(t, d).Explanation
	former, enamel := "secondary.former_diameter_m", "secondary.wire.overall_diameter_m"
	if !slices.Contains(e.Alike, former) || !slices.Contains(e.Alike, enamel) {
		t.Errorf("one frequency tells %v apart from the rest", e.Alike)
	}
	if !strings.Contains(e.Text.String(), "cannot tell") {
		t.Errorf("the text does not say so: %s", e.Text)
	}
	at := func(key string) int {
		return slices.IndexFunc(e.Changes, func(c Change) bool { return c.Key == key })
	}
	i, j := at(former), at(enamel)
	if i < 0 || j < 0 {
		t.Fatalf("changes are %v", e.Changes)
	}
	if c := e.Correlation.At(i, j); math.Abs(c) < 0.3 {
		t.Errorf("former and enamel are correlated by %g", c)
	}
	ruler := reading(Dimension, Bare)
	ruler.Key, ruler.Uncertainty = former, 10e-6
	readOf(t, &d, truth, ruler)
	e = compared(t, d).Explanation
	if len(e.Alike) != 1 || e.Alike[0] != former {
		t.Errorf("with the former measured the cause is %v: %s", e.Alike, e.Text)
	}
}

// TestExplanationIsTheLeast: no step along any input leads to a smaller sum of
// readings' and tolerances' squares, but for what sensitivities that were taken at
// the drawn coil miss: a tenth of a standard deviation, squared.
func TestExplanationIsTheLeast(t *testing.T) {
	d := handSized(t)
	truth := handSized(t)
	truth.Secondary.FormerDiameter *= 1.008
	truth.Secondary.Turns += 0.4
	// Readings no surer than the tolerances, so that both have their say.
	rough := reading(Frequency, WithPrimary)
	rough.Uncertainty = 60e3
	readOf(t, &d, truth, rough, reading(Inductance, Bare))
	d.Measurements[0].Value *= 0.98
	c := compared(t, d)
	p := &predictor{solver: design.NewSolver(), ofDrawn: d}
	sum := func(z []float64) float64 {
		s := asDrawn(d)
		total := 0.0
		for i, in := range c.Inputs {
			total += z[i] * z[i]
			if err := in.set(&s, in.Value+z[i]*in.sigma()); err != nil {
				t.Fatal(err)
			}
		}
		values, err := p.values(context.Background(), s, d.Measurements)
		if err != nil {
			t.Fatal(err)
		}
		for k, m := range d.Measurements {
			x := (m.Value - values[k]) / math.Hypot(m.Uncertainty, modelSigma[m.Quantity]*values[k])
			total += x * x
		}
		return total
	}
	z := make([]float64, len(c.Inputs))
	for i, in := range c.Inputs {
		for _, change := range c.Explanation.Changes {
			if change.Key == in.Key {
				z[i] = (change.To - change.From) / in.sigma()
			}
		}
	}
	const missed = 0.1 * 0.1
	least := sum(z) - 2*missed
	for i := range z {
		for _, by := range []float64{-0.1, 0.1} {
			moved := slices.Clone(z)
			moved[i] += by
			if got := sum(moved); got < least {
				t.Errorf("%s moved by %g sigma: %g, below %g", c.Inputs[i].Key, by, got, least)
			}
		}
	}
}

func TestCorrectedDesignIsThatCoil(t *testing.T) {
	d := desk(t)
	truth := desk(t)
	truth.Secondary.FormerDiameter *= 1.005
	truth.TopLoad.Height += 0.001
	readOf(t, &d, truth, reading(Frequency, WithPrimary), reading(Frequency, Bare))
	e := compared(t, d).Explanation
	if problems := design.Check(e.Corrected); len(problems) > 0 {
		t.Fatal(problems)
	}
	b, err := design.NewSolver().Band(context.Background(), e.Corrected)
	if err != nil {
		t.Fatal(err)
	}
	want := d.Measurements[0].Value
	if math.Abs(b.Frequency/want-1) > b.ModelError {
		t.Errorf("the corrected design rings at %g Hz, the coil at %g", b.Frequency, want)
	}
	before, err := design.NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if b.Sigma > before.Sigma/2 {
		t.Errorf("its tolerances leave %g Hz open, before it was %g", b.Sigma, before.Sigma)
	}
	if e.Corrected.Measurements != nil || e.Corrected.Variants != nil {
		t.Error("a variant has no readings and variants of its own")
	}
}

// TestTrials draws coils within their tolerances, reads them with noise and
// counts how often what is said of them holds.
func TestTrials(t *testing.T) { runTrials(t, 40) }

func TestValidationTrials(t *testing.T) {
	if os.Getenv("COILWRIGHT_LONG") == "" {
		t.Skip("COILWRIGHT_LONG is not set")
	}
	runTrials(t, 1000)
}

func runTrials(t *testing.T, trials int) {
	ctx := context.Background()
	d := handSized(t)
	readOf(t, &d, d, reading(Frequency, WithPrimary), reading(Frequency, Bare), reading(Inductance, Bare), reading(Resistance, Bare))
	c := compared(t, d)
	p := &predictor{solver: design.NewSolver(), ofDrawn: d}
	q := problem{p: p, drawn: asDrawn(d), inputs: c.Inputs, readings: c.useful, at: c.at, slope: c.jacobian}
	for k := range c.useful {
		q.sigma = append(q.sigma, math.Hypot(c.sigma[k], c.relativeModel[k]))
	}
	q.measured = make([]float64, len(c.useful))
	random := rand.New(rand.NewPCG(8, 1))
	covered := make([]int, len(q.inputs))
	squares := make([]float64, len(q.inputs))
	valid := 0
	for range trials {
		z := make([]float64, len(q.inputs))
		for i := range z {
			z[i] = random.NormFloat64()
		}
		truth, err := q.moved(z)
		if err != nil {
			continue // a coil that nobody could build
		}
		values, err := p.values(ctx, truth, q.readings)
		if err != nil {
			continue
		}
		for k := range values {
			q.measured[k] = values[k] + random.NormFloat64()*q.sigma[k]
		}
		got, covariance, _, err := q.solve(ctx)
		if err != nil {
			t.Fatal(err)
		}
		valid++
		for i := range z {
			sigma := math.Sqrt(covariance.At(i, i))
			off := (got[i] - z[i]) / sigma
			squares[i] += off * off
			if math.Abs(off) <= 1.96 {
				covered[i]++
			}
		}
	}
	if valid < trials*9/10 {
		t.Fatalf("only %d of %d trials could be built", valid, trials)
	}
	// 95 % less and more three standard deviations of a count of so many.
	open := 3 * math.Sqrt(0.95*0.05/float64(valid))
	for i, in := range q.inputs {
		share := float64(covered[i]) / float64(valid)
		t.Logf("%-45s covered %.1f %%, error over stated sigma %.3f", in.Key, 100*share, math.Sqrt(squares[i]/float64(valid)))
		if math.Abs(share-0.95) > open+0.01 {
			t.Errorf("%s: 95 %% intervals cover %.1f %% of %d trials", in.Key, 100*share, valid)
		}
		if x := math.Sqrt(squares[i] / float64(valid)); x > 1.5 || x < 1/1.5 {
			t.Errorf("%s: errors are %.2f of the stated sigma", in.Key, x)
		}
	}
}
