package plotting

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/si"
)

// Reading is a measured value beside the predicted one, for [ReadingsFigure].
type Reading struct {
	Name      string  // short: what was read, and how
	Predicted float64 // any unit, > 0
	Half      float64 // of the prediction's width: two sigmas and the model's error
	Measured  float64
	Sigma     float64 // of the measured value
}

// ReadingsFigure draws how far every reading lies from its prediction, in
// per cent of that, each in a row of its own: the prediction's width as a bar, the
// reading as a dot with two sigmas to either side.
//
// An error wraps [ErrNotFinite]; without readings the figure says so.
func ReadingsFigure(readings []Reading, style Style) (*plot.Plot, error) {
	title := style.say("Readings against what is predicted")
	if len(readings) == 0 {
		return emptyFigure(style, title, style.say("no reading that is predicted")), nil
	}
	rows, err := deviationRows(readings)
	if err != nil {
		return nil, err
	}
	return deviationFigure(title, rows, nil, style), nil
}

func deviationRows(readings []Reading) ([]deviationRow, error) {
	rows := make([]deviationRow, len(readings))
	for i, r := range readings {
		rows[i] = deviationRow{
			name: r.Name, at: r.Measured/r.Predicted - 1,
			band: r.Half / r.Predicted, bar: 2 * r.Sigma / r.Predicted,
		}
		if err := checkNumber(r.Name, rows[i].at+rows[i].band+rows[i].bar); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// Learned is the ratio of measured to predicted that a logbook has taught.
type Learned struct{ Ratio, Sigma float64 }

// LogbookFigure draws how far built coils lie from their predictions, each in a
// row of its own, with the ratio that they teach as a dashed line; nil: none.
//
// An error wraps [ErrNotFinite]; without coils the figure says so.
func LogbookFigure(coils []Reading, learned *Learned, style Style) (*plot.Plot, error) {
	title := style.say("How predictions have held")
	if len(coils) == 0 {
		return emptyFigure(style, title, style.say("no measured coil")), nil
	}
	rows, err := deviationRows(coils)
	if err != nil {
		return nil, err
	}
	if learned != nil {
		if err := checkNumber("learned ratio", learned.Ratio+learned.Sigma); err != nil {
			return nil, err
		}
	}
	return deviationFigure(title, rows, learned, style), nil
}

// deviationRow is one row, relative to its prediction.
type deviationRow struct {
	name          string
	at, band, bar float64
}

// deviations draws rows from the top.
type deviations struct {
	style   Style
	rows    []deviationRow
	learned *Learned
}

func deviationFigure(title string, rows []deviationRow, learned *Learned, style Style) *plot.Plot {
	reach := 0.005 // half a per cent shows even where all agrees
	for _, r := range rows {
		reach = math.Max(reach, math.Max(math.Abs(r.at)+r.bar, r.band))
	}
	if learned != nil {
		reach = math.Max(reach, math.Abs(learned.Ratio-1)+2*learned.Sigma)
	}
	x := ticks{unit: si.Percent, count: usualTicks}
	p := newPlot(style, title, axis(style.say("measured less predicted"), si.Percent), "", x, ticks{})
	p.X.Min, p.X.Max = x.outward(-1.05*reach, 1.05*reach)
	p.Y.Min, p.Y.Max = -float64(len(rows))+0.5, 0.5
	if learned != nil {
		const words = 0.8 // of a row, for what the line is
		p.Y.Min -= words
	}
	names := make(plot.ConstantTicks, len(rows))
	for i, r := range rows {
		names[i] = plot.Tick{Value: -float64(i), Label: cutName(r.name)}
	}
	p.Y.Tick.Marker = names
	p.Add(&deviations{style, rows, learned})
	return p
}

// mostLetters of a name stand beside a row.
const mostLetters = 24

// cutName leaves what of a name stands beside a row.
func cutName(name string) string {
	letters := []rune(name)
	if len(letters) <= mostLetters {
		return name
	}
	return string(letters[:mostLetters-1]) + "…"
}

// Plot implements [plot.Plotter].
func (d *deviations) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	s := d.style
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		strokeLine(c, []vg.Point{{X: x(t.Value), Y: c.Min.Y}, {X: x(t.Value), Y: c.Max.Y}}, s.ThinWidth, s.Grid, nil)
	}
	row := y(1) - y(0)
	thick := min(0.5*row, 1.2*s.LabelSize)
	for i, r := range d.rows {
		at := y(-float64(i))
		box := vg.Rectangle{Min: vg.Point{X: x(-r.band), Y: at - thick/2}, Max: vg.Point{X: x(r.band), Y: at + thick/2}}
		c.SetColor(blend(s.Background, s.Second, 0.28))
		c.Fill(box.Path())
	}
	strokeLine(c, []vg.Point{{X: x(0), Y: c.Min.Y}, {X: x(0), Y: c.Max.Y}}, s.GuideWidth, s.Second, nil)
	if l := d.learned; l != nil {
		at := x(l.Ratio - 1)
		strokeLine(c, []vg.Point{{X: at, Y: c.Min.Y}, {X: at, Y: c.Max.Y}}, s.GuideWidth, s.Target, s.targetDash())
		text := newBlock(s.say("as a rule"), sans(s.LabelSize))
		x := at + noteGap*s.LabelSize
		if l.Ratio < 1 {
			x = at - noteGap*s.LabelSize - text.size().X
		}
		c.SetColor(s.Target)
		text.draw(c, vg.Point{X: x, Y: c.Min.Y + noteGap*s.LabelSize}, 0)
	}
	radius := min(s.DotRadius, 0.3*row)
	for i, r := range d.rows {
		at := y(-float64(i))
		strokeLine(c, []vg.Point{{X: x(r.at - r.bar), Y: at}, {X: x(r.at + r.bar), Y: at}}, s.CurveWidth, s.Wire, nil)
		for _, end := range []float64{r.at - r.bar, r.at + r.bar} {
			strokeLine(c, []vg.Point{{X: x(end), Y: at - radius}, {X: x(end), Y: at + radius}}, s.CurveWidth, s.Wire, nil)
		}
		c.SetColor(s.Background)
		c.Fill(circle(vg.Point{X: x(r.at), Y: at}, radius+0.75*s.CurveWidth))
		c.SetColor(s.Wire)
		c.Fill(circle(vg.Point{X: x(r.at), Y: at}, radius))
	}
	strokeLine(c, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}}, s.ThinWidth, s.Axis, nil)
}
