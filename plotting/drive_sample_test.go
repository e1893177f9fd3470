package plotting

import (
	"math"

	"gonum.org/v1/plot"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// driveSamples are the figures of the drivers, of made-up data.
func init() {
	samples = append(samples, []struct {
		name string
		make func(Style) (*plot.Plot, error)
	}{
		{"waveform", func(s Style) (*plot.Plot, error) { return WaveformFigure(waveform(), false, s) }},
		{"start-up", func(s Style) (*plot.Plot, error) { return StartUpFigure(startUp(), s) }},
		{"drive-coupling", func(s Style) (*plot.Plot, error) { return DriveFigure(driveCurve(design.AgainstCoupling), s) }},
		{"drive-resistor", func(s Style) (*plot.Plot, error) { return DriveFigure(driveCurve(design.AgainstBaseResistor), s) }},
		{"drive-turns", func(s Style) (*plot.Plot, error) { return DriveFigure(driveCurve(design.AgainstPrimaryTurns), s) }},
		{"bridge", func(s Style) (*plot.Plot, error) {
			sweep, driven := bridgeSweep()
			return BridgeFigure(sweep, driven, 15, s)
		}},
		{"energy", func(s Style) (*plot.Plot, error) { return EnergyFigure(discharge(), s) }},
	}...)
}

func waveform() []driver.Sample {
	var list []driver.Sample
	const n, period = 120, 0.21e-6
	for i := range n {
		phase := 4 * math.Pi * float64(i) / (n - 1)
		list = append(list, driver.Sample{
			Time: 2 * period * float64(i) / (n - 1), Collector: math.Max(0.2, 9+38*math.Sin(phase)), Base: math.Max(-0.8, 0.2-1.1*math.Sin(phase)),
		})
	}
	return list
}

func startUp() driver.Running {
	r := driver.Running{State: driver.StateFull, SettlingTime: 31e-6}
	for i := 1; i < 300; i++ {
		t := 0.21e-6 * float64(i)
		r.Envelope = append(r.Envelope, driver.Crest{Time: t, Top: 452 * (1 - math.Exp(-t/10e-6))})
	}
	return r
}

// driveCurve is silent at its weak end, weak in between and full beyond.
func driveCurve(against design.DriveVariation) design.DriveCurve {
	c := design.DriveCurve{Against: against}
	for i := range 13 {
		share := float64(i) / 12
		p := design.DrivePoint{X: 0.4 * share, Top: 1200 * share * (2 - share), State: driver.StateFull}
		switch against {
		case design.AgainstBaseResistor:
			p.X = 470 * math.Pow(2e4, share)
			p.Top = 620 - 40*share
			if i > 9 {
				p.Top, p.State = 0, driver.StateNone
			}
		case design.AgainstPrimaryTurns:
			p.X = float64(i + 1)
			p.Top = 900 / (1 + share)
		default:
			if i < 2 {
				p.Top, p.State = 0, driver.StateNone
			} else if i == 2 {
				p.Top, p.State = 20, driver.StateWeak
			}
		}
		c.Points = append(c.Points, p)
	}
	at := c.Points[6]
	c.From, c.To, c.Present, c.PresentTop = c.Points[0].X, c.Points[12].X, at.X, at.Top
	return c
}

// bridgeSweep is that of two circuits tuned alike.
func bridgeSweep() ([]driver.Response, driver.Driven) {
	b := driver.Bridge{
		Coil: driver.Coil{Inductance: 5e-3, Capacitance: 7.5e-12, Resistance: 120, TopToFoot: 1.08}, Primary: driver.Primary{Inductance: 7.5e-6, Resistance: 0.1, Coupling: 0.13},
		Feed: driver.SeriesTuned, SeriesCapacitance: 5e-9, SourceResistance: 3, Amplitude: 12,
	}
	f := b.Coil.Frequency()
	sweep, err := b.Sweep(0.7*f, 1.4*f, 401)
	if err != nil {
		panic(err)
	}
	driven, err := b.Solve()
	if err != nil {
		panic(err)
	}
	return sweep, driven
}

func discharge() driver.Discharge {
	d, err := driver.Gap{
		Coil: driver.Coil{Inductance: 5e-3, Capacitance: 7.5e-12, Resistance: 120, TopToFoot: 1.08}, Primary: driver.Primary{Inductance: 7.5e-6, Resistance: 0.1, Coupling: 0.13},
		FiringVoltage: 5000, TankCapacitance: 5e-9, ArcResistance: 1,
	}.Solve()
	if err != nil {
		panic(err)
	}
	return d
}
