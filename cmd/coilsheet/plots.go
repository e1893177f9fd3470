package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// Sizes on paper of a figure, across a page with margins, and of the coil in its field,
// upright.
var (
	figureSize = vg.Point{X: 7 * vg.Inch, Y: 4.5 * vg.Inch}
	fieldSize  = vg.Point{X: 4.5 * vg.Inch, Y: 7 * vg.Inch}
)

// Resolutions of a picture that make sense on paper or on a screen.
const (
	leastDPI = 36
	mostDPI  = 1200
)

// plots writes the figures of a design.
func plots(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("plots", flag.ContinueOnError)
	out := flags.String("out", ".", "`folder` to write into; it is made if it is not there")
	format := flags.String("format", "png", "`kind` of file: png, svg, pdf or csv")
	dpi := flags.Float64("dpi", plotting.PrintDPI, "dots to the inch of a png")
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	write, ok := writers[*format]
	if !ok {
		return c.wrong(flags, fmt.Sprintf("there is no format %q: png, svg, pdf or csv", *format))
	}
	if !(*dpi >= leastDPI && *dpi <= mostDPI) {
		return c.wrong(flags, fmt.Sprintf("-dpi must be from %d to %d", leastDPI, mostDPI))
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	figures, err := figuresOf(ctx, d)
	if err != nil {
		return named(c.label(file), err)
	}
	if err := os.MkdirAll(*out, 0o777); err != nil {
		return err
	}
	for _, f := range figures {
		if *format == "csv" && f.table == nil {
			continue
		}
		// Drawn first, so that an error leaves no half of a file.
		var content bytes.Buffer
		if err := write(&content, f, *dpi); err != nil {
			return named(c.label(file), err)
		}
		path := filepath.Join(*out, fileName(d.Name)+"-"+f.name+"."+*format)
		if err := writeFile(path, content.Bytes()); err != nil {
			return err
		}
		fmt.Fprintln(c.stdout, path)
	}
	return nil
}

// figure is one of them, and the numbers behind it.
type figure struct {
	name    string // ends the name of its file
	size    vg.Point
	title   string
	drawing plotting.Drawing
	table   *plotting.Table // nil: there are no numbers behind it
}

// figuresOf computes and draws the figures of a design, in the style for print: of the
// coil and its field, of its driver, and of its readings.
func figuresOf(ctx context.Context, d design.Design) ([]figure, error) {
	if problems := design.Check(d); len(problems) > 0 {
		return nil, design.Problems(problems)
	}
	solver := design.NewSolver()
	r, err := solver.Evaluate(ctx, d)
	if err != nil {
		return nil, err
	}
	curves, err := solver.Curves(ctx, d, design.CurveOptions{Field: true})
	if err != nil {
		return nil, err
	}
	curves.SetBand(r)
	geometry, err := d.Geometry()
	if err != nil {
		return nil, err
	}
	var units plotting.Units
	style := plotting.Print()
	turns, err := plotting.TurnsFigure(curves.Turns, units, style)
	if err != nil {
		return nil, err
	}
	size, err := plotting.SizeFigure(curves.Size, units, style)
	if err != nil {
		return nil, err
	}
	count, err := plotting.CountFigure(curves.Count, units, style)
	if err != nil {
		return nil, err
	}
	footer := plotting.Footer{Name: d.Name, Date: time.Now(), Inputs: mainInputs(&d, si.Millimetre), Fingerprint: design.Fingerprint(d)}
	maker := figureMaker{d.Name, style, func(p plotting.Drawing) plotting.Drawing { return plotting.Footed(p, footer, style) }}
	driven, err := driveFigures(ctx, solver, d, &r, maker)
	if err != nil {
		return nil, err
	}
	read, err := readingFigures(ctx, solver, d, &r, maker)
	if err != nil {
		return nil, err
	}
	list := figureList{make: maker}
	list.add("frequency", "frequency", turns, nil, plotting.TurnsTable(curves.Turns))
	list.add("capacitance", "capacitance", size, nil, plotting.SizeTable(curves.Size))
	list.add("count", "winding count", count, nil, plotting.CountTable(curves.Count))
	volts := 0.0
	if v := r.Driver.TopVoltage; v != nil {
		volts = *v
	}
	field := maker.drawn("field", "field", plotting.Section(geometry, plotting.SectionOptions{
		Units: units, Field: plotting.FieldOf(curves.Field, r.Air, volts),
	}, style))
	table := plotting.FieldTable(curves.Field, geometry)
	field.size, field.table = fieldSize, &table
	return append(append(append(list.all, field), driven...), read...), nil
}

// mainInputs returns what a coil is made of, for the foot of a figure, lengths in
// a unit.
func mainInputs(d *design.Design, unit si.Unit) []string {
	length := func(v float64) string {
		if unit == si.Inch {
			return si.Format(v, unit, 4)
		}
		return si.Format(v, unit, si.Shortest)
	}
	turns := func(v float64) string { return si.FormatNumber(v, si.Shortest) + " turns" }
	s := &d.Secondary
	inputs := []string{turns(s.Turns) + " of " + s.Wire.Gauge + " on " + length(s.FormerDiameter)}
	if s.Pitch > 0 {
		inputs = append(inputs, "pitch "+length(s.Pitch))
	}
	switch t := &d.TopLoad; t.Kind {
	case design.WireRing:
		inputs = append(inputs, "ring of "+turns(float64(t.Turns))+" of "+t.Wire.Gauge, "ring former "+length(t.FormerDiameter), "hub "+length(t.HubDiameter))
	case design.Torus:
		inputs = append(inputs, "torus "+length(t.OuterDiameter)+" across, tube "+length(t.TubeDiameter))
	case design.Sphere:
		inputs = append(inputs, "sphere "+length(t.Diameter))
	case design.Disc:
		inputs = append(inputs, "disc "+length(t.Diameter)+", thick "+length(t.Thickness))
	}
	if p := &d.Primary; p.Kind != design.NoPrimary {
		inputs = append(inputs, "primary "+turns(p.Turns)+", "+length(p.InnerDiameter))
	}
	return inputs
}

// writers write a figure in each format.
var writers = map[string]func(to io.Writer, f figure, dpi float64) error{
	"png": func(to io.Writer, f figure, dpi float64) error {
		return plotting.WritePNG(to, f.drawing, f.size, dpi)
	},
	"svg": func(to io.Writer, f figure, _ float64) error {
		return plotting.WriteSVG(to, f.drawing, f.size)
	},
	"pdf": func(to io.Writer, f figure, _ float64) error {
		return plotting.WritePDF(to, f.drawing, f.size, f.title, time.Now())
	},
	"csv": func(to io.Writer, f figure, _ float64) error { return plotting.WriteCSV(to, *f.table) },
}

// fileName makes a name fit for a file on any system out of that of a design:
// letters, digits and dashes only, so that it stays in its folder.
func fileName(name string) string {
	const most = 60 // characters
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	short := []rune(strings.Join(words, "-"))
	if len(short) > most {
		short = short[:most]
	}
	if len(short) == 0 {
		return "coil"
	}
	return strings.Trim(string(short), "-")
}
