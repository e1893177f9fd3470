package plotting

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"math"
	"strconv"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"coilwright/physics/design"
	"coilwright/plotting/pdf"
	"coilwright/plotting/raster"
)

// Drawing is anything that can be drawn on a canvas of any kind and size.
type Drawing func(draw.Canvas) error

// Figure returns a plot as a drawing.
func Figure(p *plot.Plot) Drawing {
	return func(c draw.Canvas) error {
		Draw(p, c)
		return nil
	}
}

// Section returns a coil in section as a drawing.
func Section(g design.Geometry, options SectionOptions, style Style) Drawing {
	return func(c draw.Canvas) error {
		_, err := DrawSection(c, g, options, style)
		return err
	}
}

// PrintDPI is the resolution of a picture that is to be printed.
const PrintDPI = 300

// maxPixels bounds a picture: more is a slip of the keyboard and would take the
// memory of the machine.
const maxPixels = 200e6

// WritePNG writes a drawing of a size as a picture with so many dots to the
// inch, 0 meaning [PrintDPI], and states that resolution in it.
func WritePNG(w io.Writer, d Drawing, size vg.Point, dpi float64) error {
	if dpi == 0 {
		dpi = PrintDPI
	}
	width, height := math.Round(size.X.Dots(dpi)), math.Round(size.Y.Dots(dpi))
	if !(width >= 1 && height >= 1 && width*height <= maxPixels) {
		return fmt.Errorf("plotting: a picture of %g by %g pixels cannot be drawn", width, height)
	}
	img := image.NewRGBA(image.Rect(0, 0, int(width), int(height)))
	if err := d(draw.New(raster.New(img, dpi))); err != nil {
		return err
	}
	var buffer bytes.Buffer
	if err := png.Encode(&buffer, img); err != nil {
		return err
	}
	return writeResolved(w, buffer.Bytes(), dpi)
}

// writeResolved writes a PNG file with its resolution put in: the chunk pHYs,
// pixels to the metre, which the standard library leaves out. It goes before
// the picture's data, so right behind the header.
//
// Source: Portable Network Graphics (PNG) Specification, W3C, 11.3.5.3.
func writeResolved(w io.Writer, file []byte, dpi float64) error {
	const header = 8 + 4 + 4 + 13 + 4 // signature; length, name, data and check of IHDR
	perMetre := uint32(math.Round(dpi / 0.0254))
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1) // the unit is the metre
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	for _, part := range [][]byte{file[:header], chunk, file[header:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// WriteSVG writes a drawing of a size as scalable graphics. The type is named,
// not embedded; where DejaVu Sans is missing its wide relatives stand in.
func WriteSVG(w io.Writer, d Drawing, size vg.Point) error {
	c := vgsvg.New(size.X, size.Y)
	if err := d(draw.New(c)); err != nil {
		return err
	}
	var buffer bytes.Buffer
	if _, err := c.WriteTo(&buffer); err != nil {
		return err
	}
	named := bytes.ReplaceAll(buffer.Bytes(),
		[]byte("font-family:"+typeface+";"), []byte("font-family:'"+typeface+"',Verdana,sans-serif;"))
	_, err := w.Write(named)
	return err
}

// WritePDF writes a drawing as a page of its own size, with a title and a date
// for the file's properties.
func WritePDF(w io.Writer, d Drawing, size vg.Point, title string, date time.Time) error {
	doc := pdf.New(size.X, size.Y, title, date)
	if err := d(draw.New(doc.AddPage())); err != nil {
		return err
	}
	return doc.Write(w)
}

// Table is the numbers behind a figure, in SI units named in the header.
type Table struct {
	Header  []string
	Columns [][]float64 // one per header, all of one length
}

// TurnsTable returns the numbers of [TurnsFigure].
func TurnsTable(curve design.TurnsCurve) Table {
	t := Table{Header: []string{"turns", "frequency without top load (Hz)"}, Columns: [][]float64{curve.Turns, curve.Bare}}
	if curve.WithTopLoad != nil {
		t.Header = append(t.Header, "frequency with top load (Hz)")
		t.Columns = append(t.Columns, curve.WithTopLoad)
	}
	return t
}

// SizeTable returns the numbers of [SizeFigure]; without a top load it has no
// rows.
func SizeTable(curve design.SizeCurve) Table {
	t := Table{Header: []string{"outside diameter (m)", "capacitance (F)"}, Columns: [][]float64{curve.OuterDiameter, curve.Capacitance}}
	if curve.Smooth != nil {
		t.Header = append(t.Header, "capacitance of the smooth ring (F)")
		t.Columns = append(t.Columns, curve.Smooth)
	}
	return t
}

// CountTable returns the numbers of [CountFigure].
func CountTable(curve design.CountCurve) Table {
	t := Table{Header: []string{"turns", "wire used (m)"}, Columns: [][]float64{curve.Turn, curve.WireUsed}}
	if curve.Fill != nil {
		t.Header = append(t.Header, "ring filled (rad)")
		t.Columns = append(t.Columns, curve.Fill)
	}
	return t
}

// WriteCSV writes a table, each number with all its digits.
//
// Columns of different length give an error that wraps [ErrNoCurve], numbers
// that are none one that wraps [ErrNotFinite].
func WriteCSV(w io.Writer, t Table) error {
	out := csv.NewWriter(w)
	if err := out.Write(t.Header); err != nil {
		return err
	}
	if len(t.Columns) != len(t.Header) {
		return fmt.Errorf("%w: %d columns, %d headers", ErrNoCurve, len(t.Columns), len(t.Header))
	}
	for i, column := range t.Columns {
		if len(column) != len(t.Columns[0]) {
			return fmt.Errorf("%w: %s has %d values, %s %d", ErrNoCurve, t.Header[i], len(column), t.Header[0], len(t.Columns[0]))
		}
	}
	row := make([]string, len(t.Columns))
	for i := range t.Columns[0] {
		for j, column := range t.Columns {
			if err := checkNumber(fmt.Sprintf("%s in row %d", t.Header[j], i+1), column[i]); err != nil {
				return err
			}
			row[j] = strconv.FormatFloat(column[i], 'g', -1, 64)
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
