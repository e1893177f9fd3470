package plotting

import (
	"math"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// WaveformTable returns the numbers of [WaveformFigure].
func WaveformTable(wave []driver.Sample) Table {
	t := Table{Header: []string{"time (s)", "collector or drain (V)", "base or gate (V)"}, Columns: make([][]float64, 3)}
	for _, s := range wave {
		t.add(s.Time, s.Collector, s.Base)
	}
	return t
}

// StartUpTable returns the numbers of [StartUpFigure].
func StartUpTable(r driver.Running) Table {
	t := Table{Header: []string{"time after switching on (s)", "crest of the top (V)"}, Columns: make([][]float64, 2)}
	for _, c := range r.Envelope {
		t.add(c.Time, c.Top)
	}
	return t
}

// DriveTable returns the numbers of [DriveFigure].
func DriveTable(curve design.DriveCurve) Table {
	_, xTitle := Style{}.driveWords(curve.Against)
	t := Table{Header: []string{xTitle, "crest of the top (V)"}, Columns: make([][]float64, 2)}
	for _, p := range curve.Points {
		t.add(p.X, p.Top)
	}
	return t
}

// BridgeTable returns the numbers of [BridgeFigure].
func BridgeTable(sweep []driver.Response, source float64) Table {
	t := Table{Header: []string{"frequency (Hz)", "crest of the top (V)", "current, crest (A)"}, Columns: make([][]float64, 3)}
	for _, r := range sweep {
		t.add(r.Frequency, r.Gain()*source, math.Hypot(real(r.Input), imag(r.Input))*source)
	}
	return t
}

// EnergyTable returns the numbers of [EnergyFigure].
func EnergyTable(d driver.Discharge) Table {
	t := Table{Header: []string{"time (s)", "energy in tank and primary (J)", "energy in the coil (J)"}, Columns: make([][]float64, 3)}
	for i, s := range d.Samples {
		t.add(float64(i)*d.SamplePeriod, s.PrimaryEnergy, s.CoilEnergy)
	}
	return t
}

// ReadingsTable returns the numbers of [ReadingsFigure], in the order of its rows.
func ReadingsTable(readings []Reading) Table {
	t := Table{Header: []string{"predicted", "half of its width", "measured", "standard deviation of the reading"}, Columns: make([][]float64, 4)}
	for _, r := range readings {
		t.add(r.Predicted, r.Half, r.Measured, r.Sigma)
	}
	return t
}

// add appends a row.
func (t *Table) add(row ...float64) {
	for i, v := range row {
		t.Columns[i] = append(t.Columns[i], v)
	}
}
