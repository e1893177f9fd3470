package plotting

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/plot"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// A hole in a curve, or none at all, is an error and no figure.
func TestDriveFiguresRefuse(t *testing.T) {
	style := Light()
	broken := waveform()
	broken[3].Collector = math.NaN()
	curve := driveCurve(design.AgainstCoupling)
	curve.Points[2].Top = math.Inf(1)
	unmarked := driveCurve(design.AgainstCoupling)
	unmarked.PresentTop = math.NaN()
	for _, test := range []struct {
		name string
		draw func() (*plot.Plot, error)
		want error
	}{
		{"not a number in a waveform", func() (*plot.Plot, error) { return WaveformFigure(broken, false, style) }, ErrNotFinite},
		{"no waveform", func() (*plot.Plot, error) { return WaveformFigure(nil, true, style) }, ErrNoCurve},
		{"no start-up", func() (*plot.Plot, error) { return StartUpFigure(driver.Running{}, style) }, ErrNoCurve},
		{"infinite top", func() (*plot.Plot, error) { return DriveFigure(curve, style) }, ErrNotFinite},
		{"no mark", func() (*plot.Plot, error) { return DriveFigure(unmarked, style) }, ErrNotFinite},
		{"against nothing", func() (*plot.Plot, error) { return DriveFigure(design.DriveCurve{Against: 99}, style) }, ErrNoCurve},
		{"no sweep", func() (*plot.Plot, error) { return BridgeFigure(nil, driver.Driven{}, 1, style) }, ErrNoCurve},
		{"no discharge", func() (*plot.Plot, error) { return EnergyFigure(driver.Discharge{}, style) }, ErrNoCurve},
	} {
		if p, err := test.draw(); !errors.Is(err, test.want) || p != nil {
			t.Errorf("%s: %v, want %v", test.name, err, test.want)
		}
	}
}

// The shade ends half-way between the last point without full output and the
// first with it, on a logarithmic axis by the geometric mean.
func TestSilentRegion(t *testing.T) {
	for _, test := range []struct {
		against  design.DriveVariation
		from, to float64
	}{
		{design.AgainstCoupling, 0, 0.4 * (2.5 / 12)},
		{design.AgainstBaseResistor, 470 * math.Pow(2e4, 9.5/12), 470 * 2e4},
	} {
		curve := driveCurve(test.against)
		f := &figure{style: Light()}
		p := plot.New()
		p.X.Min, p.X.Max, p.Y.Max = curve.From, curve.To, 1
		f.silent(curve, p)
		if len(f.areas) != 1 || math.Abs(f.areas[0].from-test.from) > 1e-9*curve.To || math.Abs(f.areas[0].to-test.to) > 1e-9*curve.To {
			t.Errorf("against %d: %+v, want from %g to %g", test.against, f.areas, test.from, test.to)
		}
	}
}

// The second curve lies where its own scale on the right says.
func TestSideScale(t *testing.T) {
	p := plot.New()
	p.Y.Min, p.Y.Max = 10, 60
	s := newSideScale(p, []float64{-0.9, 3.5}, si.Plain, Light())
	got := s.all([]float64{-2, 0, 4})
	for i, want := range []float64{10, 26.666666666666668, 60} {
		if math.Abs(got[i]-want) > 1e-12 {
			t.Errorf("%g, want %g", got[i], want)
		}
	}
}
