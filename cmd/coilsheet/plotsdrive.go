package main

import (
	"context"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/plotting"
)

// driveVariations are what an exciter's top voltage is drawn against, each with the end
// of the name of its file.
var driveVariations = []struct {
	against design.DriveVariation
	name    string
}{
	{design.AgainstSupply, "supply"}, {design.AgainstCoupling, "coupling"},
	{design.AgainstBaseResistor, "base-resistor"}, {design.AgainstPrimaryTurns, "primary-turns"},
}

// driveFigures computes and draws what the driver of d does with its coil, whose report
// is r, and puts the driver's numbers into that. Without a driver there are none; of one
// that cannot be solved there are those that are known, and the report says why.
func driveFigures(ctx context.Context, solver *design.Solver, d design.Design, r *design.Report, make figureMaker) ([]figure, error) {
	if d.Driver.Kind == design.NoDriver {
		return nil, nil
	}
	v, err := solver.Drive(ctx, d, *r, design.DriveOptions{Against: driveVariations[0].against})
	if err := r.TakeDrive(v, err); err != nil {
		return nil, err
	}
	options := plotting.CircuitOptions{Driver: d.Driver, Alarm: v.Alarm}
	if err == nil {
		options.Values = &v.Circuit
	}
	if x := v.Exciter; x != nil {
		options.MOSFET = x.Device.IsMOSFET()
		options.Lamp = x.Clamp != nil && x.Clamp.OtherStorage != ""
	}
	list := figureList{make: make}
	list.all = append(list.all, make.drawn("circuit", "circuit", func(c draw.Canvas) error {
		plotting.DrawCircuit(c, options, make.style)
		return nil
	}))
	switch {
	case v.Running != nil:
		p, err := plotting.WaveformFigure(v.Running.Waveform, v.Exciter.Device.IsMOSFET(), make.style)
		list.add("waveforms", "waveforms", p, err, plotting.WaveformTable(v.Running.Waveform))
		p, err = plotting.StartUpFigure(*v.Running, make.style)
		list.add("start-up", "start-up", p, err, plotting.StartUpTable(*v.Running))
	case len(v.Sweep) > 0:
		p, err := plotting.BridgeFigure(v.Sweep, *v.Bridge, v.Source, make.style)
		list.add("sweep", "sweep", p, err, plotting.BridgeTable(v.Sweep, v.Source))
	case v.Gap != nil:
		p, err := plotting.EnergyFigure(*v.Gap, make.style)
		list.add("energy", "energy", p, err, plotting.EnergyTable(*v.Gap))
	}
	for i, variation := range driveVariations {
		if v.Curve == nil {
			break
		}
		if i > 0 {
			if v, err = solver.Drive(ctx, d, *r, design.DriveOptions{Against: variation.against}); err != nil {
				return nil, err
			}
		}
		p, err := plotting.DriveFigure(*v.Curve, make.style)
		list.add("voltage-against-"+variation.name, "top voltage", p, err, plotting.DriveTable(*v.Curve))
	}
	return list.all, list.err
}

// readingFigures draws the readings of d beside what is predicted, r being the report
// with the driver's numbers; without readings that are predicted there is none.
func readingFigures(ctx context.Context, solver *design.Solver, d design.Design, r *design.Report, make figureMaker) ([]figure, error) {
	if len(d.Measurements) == 0 {
		return nil, nil
	}
	compared, err := comparison.Compare(ctx, solver, d, comparison.DrivenOf(*r))
	if err != nil {
		return nil, err
	}
	var readings []plotting.Reading
	for i := range compared.Rows {
		row := &compared.Rows[i]
		if row.Verdict == comparison.NotPredicted || !(row.Predicted > 0) || row.Reading.Quantity == comparison.Temperature {
			continue
		}
		readings = append(readings, plotting.Reading{
			Name: readingName(row.Reading), Predicted: row.Predicted, Half: row.Half(), Measured: row.Measured, Sigma: row.Sigma,
		})
	}
	if len(readings) == 0 {
		return nil, nil
	}
	list := figureList{make: make}
	p, err := plotting.ReadingsFigure(readings, make.style)
	list.add("readings", "readings", p, err, plotting.ReadingsTable(readings))
	return list.all, list.err
}

// readingName is a reading in a few words.
func readingName(m design.Measurement) string {
	plain := func(word string) string { return strings.ReplaceAll(word, "_", " ") }
	switch {
	case m.Quantity == comparison.Dimension:
		return strings.TrimSuffix(plain(m.Key[strings.LastIndex(m.Key, ".")+1:]), " m")
	case m.Key != "" && (comparison.InRoom(m) || comparison.UnderDriver(m)):
		return plain(m.Quantity) + ", " + m.Key
	case comparison.InRoom(m) || m.Quantity == comparison.QualityFactor:
		return plain(m.Quantity) + ", " + plain(m.Setup)
	}
	return plain(m.Quantity)
}

// figureMaker makes figures of one design.
type figureMaker struct {
	design string // its name
	style  plotting.Style
	footed func(plotting.Drawing) plotting.Drawing
}

// drawn returns a figure that has no table behind it.
func (m figureMaker) drawn(name, title string, d plotting.Drawing) figure {
	return figure{name: name, size: figureSize, title: m.design + ": " + title, drawing: m.footed(d)}
}

// figureList gathers figures until one fails.
type figureList struct {
	make figureMaker
	all  []figure
	err  error
}

// add appends a plot with its table, unless it or an earlier one failed.
func (l *figureList) add(name, title string, p *plot.Plot, err error, table plotting.Table) {
	if l.err != nil || err != nil {
		if l.err == nil {
			l.err = err
		}
		return
	}
	f := l.make.drawn(name, title, plotting.Figure(p))
	f.table = &table
	l.all = append(l.all, f)
}
