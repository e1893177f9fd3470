package design

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/stat"

	"coilwright/assets"
)

// randomCoils returns the frequency in Hz of coils whose inputs were drawn anew, each
// uniformly within the half-width that the format states. It shares no list of
// inputs with the band.
func randomCoils(t *testing.T, d Design, draws int) []float64 {
	t.Helper()
	random := rand.New(rand.NewPCG(7, 11))
	within := func(at *float64, halfWidth float64) { *at += halfWidth * (2*random.Float64() - 1) }
	overall, err := lookUp(d.Secondary.Wire)
	if err != nil {
		t.Fatal(err)
	}
	s := NewSolver()
	frequencies := make([]float64, draws)
	for i := range frequencies {
		e := d
		within(&e.Secondary.FormerDiameter, 0.01*d.Secondary.FormerDiameter)
		within(&e.Secondary.Turns, math.Max(0.5, 0.005*d.Secondary.Turns))
		e.Secondary.Wire.OverallDiameter = overall.overall
		within(&e.Secondary.Wire.OverallDiameter, overallTolerance(d.Secondary.Wire))
		if d.Secondary.Pitch > 0 {
			within(&e.Secondary.Pitch, 0.02*d.Secondary.Pitch)
		} else {
			e.Secondary.Packing = 1.03 // as a close winding comes out by hand
			within(&e.Secondary.Packing, 0.015)
		}
		within(&e.Secondary.BaseHeight, 0.005)
		within(&e.TopLoad.Height, 0.002)
		if d.TopLoad.Kind == WireRing {
			within(&e.TopLoad.HubDiameter, 0.0002)
			within(&e.TopLoad.FormerDiameter, 0.01*d.TopLoad.FormerDiameter)
		}
		r, err := s.Quick(context.Background(), e)
		if err != nil {
			t.Fatal(err)
		}
		frequencies[i] = *r.Resonance.Frequency
	}
	return frequencies
}

// meet holds a band against drawn coils: both its ends, the model's error
// aside, lie where two standard deviations of the draws do, within a share of
// its width and three standard errors of the draws.
func meet(t *testing.T, d Design, draws int, share float64) {
	t.Helper()
	b, err := NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	mean, sigma := stat.MeanStdDev(randomCoils(t, d, draws), nil)
	inputs := 2 * sigmas * b.Sigma
	// Of a mean ± 2 s of n normal draws: σ/√n and 2σ/√(2n).
	chance := 3 * sigma * math.Sqrt(1/float64(draws)+2/float64(draws))
	for _, end := range []struct{ got, want float64 }{
		{b.Frequency - sigmas*b.Sigma, mean - sigmas*sigma},
		{b.Frequency + sigmas*b.Sigma, mean + sigmas*sigma},
	} {
		if math.Abs(end.got-end.want) > share*inputs+chance {
			t.Errorf("%s: an end of the band at %.6g Hz, of %d drawn coils at %.6g Hz; it is %.4g Hz wide", d.Name, end.got, draws, end.want, inputs)
		}
	}
	if width := 2 * sigmas * sigma; math.Abs(inputs-width) > share*inputs+2*chance {
		t.Errorf("%s: the band is %.4g Hz wide, that of %d drawn coils %.4g Hz", d.Name, inputs, draws, width)
	}
	t.Logf("%s: band %.4g Hz wide, drawn coils %.4g Hz", d.Name, inputs, 2*sigmas*sigma)
}

const bandShare = 0.05 // of its width that a band may differ from drawn coils

// spaced is the desk coil wound with a gap.
func spaced(t *testing.T) Design {
	d := read(t, desk)
	d.Name = "Spaced coil"
	d.Secondary.Pitch, d.Secondary.Turns = 0.0005, 120
	return d
}

func TestBandMeetsDrawnCoils(t *testing.T) {
	meet(t, read(t, desk), 300, bandShare)
	meet(t, spaced(t), 300, bandShare)
}

// TestValidationBand draws ten thousand coils of six designs: some minutes.
func TestValidationBand(t *testing.T) {
	if os.Getenv("COILWRIGHT_LONG") == "" {
		t.Skip("draws ten thousand coils, many times, for ten minutes: set COILWRIGHT_LONG=1")
	}
	for _, e := range assets.Examples() {
		meet(t, read(t, string(e.Content)), 10_000, bandShare)
	}
	meet(t, spaced(t), 10_000, bandShare)
}

func TestBand(t *testing.T) {
	d := read(t, desk)
	s := NewSolver()
	b, err := s.Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	r := evaluated(t, d)
	if *r.Resonance.FrequencyLow != b.Low || *r.Resonance.FrequencyHigh != b.High || *r.Resonance.Frequency != b.Frequency {
		t.Errorf("the report has %g, %g, %g Hz, the band %g, %g, %g Hz", *r.Resonance.FrequencyLow, *r.Resonance.Frequency, *r.Resonance.FrequencyHigh, b.Low, b.Frequency, b.High)
	}
	quick, err := s.Quick(context.Background(), d)
	if err != nil || quick.Resonance.FrequencyLow != nil || *quick.Resonance.Frequency != b.Frequency {
		t.Errorf("Quick gives %v, %v", quick.Resonance, err)
	}
	var sum float64
	for i, c := range b.Contributions {
		if i > 0 && c.Sigma > b.Contributions[i-1].Sigma {
			t.Errorf("%s matters more than what stands before it", c.Key)
		}
		value, err := Number(d, c.Key)
		if err != nil {
			t.Error(err)
		}
		if value != 0 && value != c.Value { // 0: by the standard
			t.Errorf("%s is %g, the contribution has %g", c.Key, value, c.Value)
		}
		sum += c.Sigma * c.Sigma
	}
	if !scalar.EqualWithinRel(math.Sqrt(sum), b.Sigma, 1e-12) {
		t.Errorf("contributions add to %g Hz, not %g Hz", math.Sqrt(sum), b.Sigma)
	}
	if want := 4*b.Sigma + 2*modelError*b.Frequency; !scalar.EqualWithinRel(b.High-b.Low, want, 1e-12) {
		t.Errorf("the band is %g Hz wide, want %g Hz", b.High-b.Low, want)
	}
	for i, in := range r.Resonance.FrequencyInputs {
		c := b.Contributions[i]
		if in.Key != c.Key || *in.HalfWidth != c.HalfWidth || *in.Sigma != c.Sigma {
			t.Errorf("the report has %s ± %g, %g Hz, the band %+v", in.Key, *in.HalfWidth, *in.Sigma, c)
		}
	}
	if len(r.Resonance.FrequencyInputs) != len(b.Contributions) || *r.Resonance.ModelError != b.ModelError {
		t.Errorf("the report has %d inputs and a model error of %g", len(r.Resonance.FrequencyInputs), *r.Resonance.ModelError)
	}
	if len(b.Contributions) != 8 {
		t.Errorf("%d inputs are uncertain: %v", len(b.Contributions), b.Contributions)
	}
}

// A band does not depend on what was asked before it.
func TestBandOfAUsedSolver(t *testing.T) {
	s := NewSolver()
	for _, e := range assets.Examples() {
		d := read(t, string(e.Content))
		used, err := s.Band(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		fresh, err := NewSolver().Band(context.Background(), d)
		if err != nil || !scalar.EqualWithinRel(used.Sigma, fresh.Sigma, 1e-6) {
			t.Errorf("%s: sigma %g Hz from a used solver, %g Hz from a new one, %v", d.Name, used.Sigma, fresh.Sigma, err)
		}
		d.Tolerances.TopHeight = known(0.010)
		wider, err := s.Band(context.Background(), d)
		if err != nil || !(wider.Sigma > used.Sigma) {
			t.Errorf("%s: with a top load put 10 mm wrong sigma is %g Hz, before %g Hz, %v", d.Name, wider.Sigma, used.Sigma, err)
		}
	}
}

// Tolerances that the design states replace the usual ones; all of them 0
// leaves the model's error.
func TestBandWithoutTolerances(t *testing.T) {
	d := read(t, desk)
	none := func() *float64 { return known(0) }
	d.Tolerances = Tolerances{
		SecondaryFormer: none(), SecondaryTurns: none(), OverallDiameter: none(), Pitch: none(), BaseHeight: none(),
		TopHeight: none(), Hub: none(), RingFormer: none(), Permittivity: none(), Temperature: none(),
	}
	b, err := NewSolver().Band(context.Background(), d)
	if err != nil || b.Sigma != 0 || len(b.Contributions) != 0 || !scalar.EqualWithinRel(b.High/b.Frequency-1, modelError, 1e-9) {
		t.Errorf("without tolerances %+v, %v", b, err)
	}
	d.Secondary.Turns = 60
	if b, err = NewSolver().Band(context.Background(), d); err != nil || !scalar.EqualWithinRel(1-b.Low/b.Frequency, modelErrorShort, 1e-9) {
		t.Errorf("60 turns without tolerances %+v, %v", b, err)
	}
	const wide = 0.002
	d.Tolerances.Pitch = known(wide / 100)
	if b, err = NewSolver().Band(context.Background(), d); err != nil || len(b.Contributions) != 1 || b.Contributions[0].Key != keyPitch || !(b.Contributions[0].Change > 0) {
		t.Errorf("a close winding with a stated pitch tolerance has %+v, %v", b, err)
	}
}

// Where one side of an input cannot be built the band comes from the other.
func TestBandAtAnEdge(t *testing.T) {
	d := read(t, desk)
	inside, err := NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	d.TopLoad.HubDiameter = laidOut(t, d).top.ring.HubFor(d.TopLoad.Turns)
	edge, err := NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	slope := func(b Band) float64 {
		for _, c := range b.Contributions {
			if c.Key == keyHub {
				return c.Change
			}
		}
		return math.NaN()
	}
	const tol = 0.15 // the hub is a fifth smaller
	if !scalar.EqualWithinRel(slope(inside), slope(edge), tol) {
		t.Errorf("df/dhub is %g Hz/m, for the least hub %g Hz/m", slope(inside), slope(edge))
	}
}

func TestBandRefuses(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns = 40
	var problems Problems
	if _, err := NewSolver().Band(context.Background(), d); !errors.As(err, &problems) || !strings.Contains(err.Error(), keyRingTurns) {
		t.Errorf("a ring too tight gives %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := NewSolver().Band(ctx, read(t, desk)); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled band gives %v", err)
	}
}

// BenchmarkBand: the full tier has 30 ms, of which this is the largest part.
func BenchmarkBand(b *testing.B) {
	d, err := Read(strings.NewReader(desk))
	if err != nil {
		b.Fatal(err)
	}
	d.Secondary.Turns = 450
	s := NewSolver()
	b.ReportAllocs()
	for b.Loop() {
		d.TopLoad.Height += 1e-9 // another coil every time
		if _, err := s.Band(context.Background(), d); err != nil {
			b.Fatal(err)
		}
	}
}

// laidOut returns the layout of a design.
func laidOut(t *testing.T, d Design) layout {
	t.Helper()
	l, problems := layOut(&d)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return l
}

// TestSlopeDownward puts a ceiling so close that the coil cannot stand higher:
// the slope is then that of the way down, by a difference taken here.
func TestSlopeDownward(t *testing.T) {
	d := read(t, desk)
	l, problems := layOut(&d)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	d.Room.CeilingHeight = l.topEdge() + plateGap
	b, err := NewSolver().Band(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(b.Contributions, func(c Contribution) bool { return c.Key == "secondary.base_height_m" })
	if i < 0 {
		t.Fatal("the height over the bench is no input of the band")
	}
	const lower = 2e-4 // m
	below := d
	below.Secondary.BaseHeight -= lower
	r, err := NewSolver().Quick(context.Background(), below)
	if err != nil {
		t.Fatal(err)
	}
	want := (b.Frequency - *r.Resonance.Frequency) / lower
	// The two differences are taken over 0.2 and 0.36 mm of a capacitance to a
	// plate some millimetres off: they may differ by a few per cent.
	if got := b.Contributions[i].Change; !scalar.EqualWithinRel(got, want, 0.1) {
		t.Errorf("raising the coil changes the frequency by %g Hz/m, want %g Hz/m", got, want)
	}
}

// The usual half-widths, stated, leave the band as it is: of a close winding the
// pitch then misses by what the packing did.
func TestUsualTolerancesStated(t *testing.T) {
	for _, e := range assets.Examples() {
		d := read(t, string(e.Content))
		before, err := NewSolver().Band(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		d.Tolerances = d.UsualTolerances()
		after, err := NewSolver().Band(context.Background(), d)
		const tol = 1e-6 // the pitch is stepped in place of the packing
		if err != nil || !scalar.EqualWithinRel(before.Sigma, after.Sigma, tol) || len(before.Contributions) != len(after.Contributions) {
			t.Errorf("%s: sigma %g Hz, with the usual tolerances stated %g Hz, %v", d.Name, before.Sigma, after.Sigma, err)
		}
	}
	var d Design
	if got := d.UsualTolerances(); got.OverallDiameter != nil || got.Pitch != nil || got.Hub != nil || got.BaseHeight == nil {
		t.Errorf("a design without wire and ring has the usual tolerances %+v", got)
	}
}
