package plotting

import (
	"gonum.org/v1/plot"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// heightWords returns the words of the height figure for a kind of top load; without
// a title there is no such figure.
func (s Style) heightWords(kind string) (title, xTitle string) {
	switch kind {
	case design.WireRing:
		return s.say("Frequency against height of the ring"), s.say("ring, height over the winding")
	case design.Torus:
		return s.say("Frequency against height of the torus"), s.say("torus, height over the winding")
	case design.Sphere:
		return s.say("Frequency against height of the sphere"), s.say("sphere, height over the winding")
	case design.Disc:
		return s.say("Frequency against height of the disc"), s.say("disc, height over the winding")
	}
	return "", ""
}

// HeightFigure draws the frequency of the coil against the height of its top
// load over the winding and, dashed, what share of the capacitance that the top
// load has alone it adds to the coil, by the scale on the right. It marks the
// present design on both. Of a kept design it draws the frequency. Without a top
// load the figure says so.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func HeightFigure(curve design.HeightCurve, units Units, style Style, kept ...Kept) (*plot.Plot, error) {
	title, xTitle := style.heightWords(curve.Kind)
	if title == "" || curve.Height == nil {
		return emptyFigure(style, style.say("Frequency against height"), style.say("no top load")), nil
	}
	if err := checkCurve("frequency against height", curve.Height, curve.Frequency, curve.Shading); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{
		{"present height", curve.PresentHeight}, {"present frequency", curve.Present}, {"present shading", curve.PresentShading},
	} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	unit := si.Megahertz
	if curve.Present < 1e6 {
		unit = si.Kilohertz
	}
	x, frequency := with(curve.Height, curve.Frequency, curve.PresentHeight, curve.Present)
	_, share := with(curve.Height, curve.Shading, curve.PresentHeight, curve.PresentShading)
	y := ticks{unit: unit, count: usualTicks}
	p := newPlot(style, title, axis(xTitle, units.small()), axis(style.say("frequency"), unit),
		ticks{unit: units.small(), count: usualTicks}, y)
	p.X.Min, p.X.Max = x[0], x[len(x)-1]
	lowest, highest := extremes(frequency)
	p.Y.Min, p.Y.Max = y.outward(reaching(lowest, highest, kept, p.X.Min, p.X.Max))

	scale := newSideScale(p, append([]float64{0, 1}, share...), si.Percent, style)
	f := &figure{style: style}
	f.curves = append(f.curves,
		style.mainCurve(x, frequency, false, style.say("frequency")),
		style.secondCurve(x, scale.all(share), style.say("share of its capacitance added"), style.say("share added"), style.say("share")))
	height := si.Format(curve.PresentHeight, units.small(), 3)
	f.present(curve.PresentHeight, curve.Present, p.Y.Min,
		height+" · "+si.Format(curve.Present, unit, 4),
		height+"\n"+si.Format(curve.Present, unit, 4),
		si.Format(curve.Present, unit, 4))
	f.presentShare(curve.PresentHeight, scale.onto(curve.PresentShading), curve.PresentShading)
	if err := f.keep(kept); err != nil {
		return nil, err
	}
	p.Add(f, scale)
	return p, nil
}

// presentShare marks the present design on the dashed curve.
func (f *figure) presentShare(x, y, share float64) {
	s := f.style
	f.dots = append(f.dots, dot{x: x, y: y, radius: 0.75 * s.DotRadius, color: s.Second, halo: true})
	text := si.Format(share, si.Percent, 2)
	around := about(x, y, 0.75*s.DotRadius)
	f.notes = append(f.notes, note{
		texts: []string{s.say("%s added", text), text}, font: sans(s.LabelSize), color: s.Second, of: ofPoint(x, y),
		places: func(text block, page pageMap) []place {
			if page.Size().Y < roomyFrame*s.TickSize {
				return nil // the names of the curves need the room; the scale tells the share
			}
			return around(text, page)
		},
	})
}

// HeightTable returns the numbers of [HeightFigure]; without a top load it has
// no rows.
func HeightTable(curve design.HeightCurve) Table {
	return Table{
		Header:  []string{"height over the winding (m)", "frequency (Hz)", "added over isolated capacitance"},
		Columns: [][]float64{curve.Height, curve.Frequency, curve.Shading},
	}
}
