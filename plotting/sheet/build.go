package sheet

import (
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/plotting"
)

// Build is a coil to be built, with all that its sheet shows.
type Build struct {
	Identity
	Inputs   []string // what it is made of, each with its unit
	Design   design.Design
	Report   design.Report
	Curves   design.Curves
	Geometry design.Geometry
	Plan     winding.Plan
	Units    plotting.Units
}

// unit is the one that lengths are written in.
func (b *Build) unit() si.Unit {
	if b.Units.Inch {
		return si.Inch
	}
	return si.Millimetre
}

// WriteBuild writes the sheets of coils, one after the other, as a PDF file; the
// same coils give the same bytes. A coil's sheet has the dimensioned drawing and
// the readings to expect, the figures, what to cut and to get, the steps with
// boxes to tick, the wiring and the cautions. Every page has name, date, version
// and number.
//
// An error wraps [plotting.ErrNoCurve] or [plotting.ErrNotFinite].
func WriteBuild(to io.Writer, paper plotting.Paper, builds ...Build) error {
	if len(builds) == 0 {
		return fmt.Errorf("sheet: there is no coil to write")
	}
	f := newFlow(paper)
	for i := range builds {
		if err := f.build(&builds[i]); err != nil {
			return err
		}
	}
	return f.write(to, builds[0].Name, builds[0].Date)
}

// build sets the pages of one coil.
func (f *flow) build(b *Build) error {
	const title = "Build sheet"
	f.begin(b.Identity, title)
	f.paragraph(strings.Join(b.Inputs, " · "), f.left())
	expected := expectations(&b.Design, &b.Report)
	columns, rows := expectedTable(expected)
	const heading = 3 * headType
	f.drawing(plotting.Section(b.Geometry, plotting.SectionOptions{Units: b.Units}, f.style), f.y-f.bottom()-f.tableHeight(columns, rows)-heading)
	f.heading("What the meters should show")
	f.table(columns, rows)

	f.begin(b.Identity, title)
	figures, err := b.figures(f.style)
	if err != nil {
		return err
	}
	f.drawing(figures, f.y-f.bottom()-gapAfter)

	f.begin(b.Identity, title)
	f.cuts(b)
	f.parts(b)
	for _, p := range b.parts() {
		f.steps(b, p)
	}
	f.heading("Wiring")
	for _, text := range b.Plan.Wiring {
		f.tick(text.String(), "")
	}
	f.heading("Before it is switched on")
	for _, text := range cautions {
		f.tick(text, "")
	}
	return nil
}

// figures returns the three of the design.
func (b *Build) figures(style plotting.Style) (plotting.Drawing, error) {
	turns, err := plotting.TurnsFigure(b.Curves.Turns, b.Units, style)
	if err != nil {
		return nil, err
	}
	size, err := plotting.SizeFigure(b.Curves.Size, b.Units, style)
	if err != nil {
		return nil, err
	}
	count, err := plotting.CountFigure(b.Curves.Count, b.Units, style)
	if err != nil {
		return nil, err
	}
	return plotting.Stacked(turns, size, count), nil
}

// expectedTable returns the readings with empty cells for what was measured.
func expectedTable(all []Expected) ([]column, [][]string) {
	rows := make([][]string, len(all))
	for i, e := range all {
		between := quantity(e.Value-e.Half, e.Unit) + " to " + quantity(e.Value+e.Half, e.Unit)
		rows[i] = []string{e.Name, quantity(e.Value, e.Unit), between, e.Note, "", ""}
	}
	return []column{
		{"reading", 2.6, false}, {"expected", 1.2, true}, {"in order", 2.3, true}, {"how", 2.2, false}, {"measured", 1.4, false}, {"date", 0.8, false},
	}, rows
}

// quantity writes a value with three digits.
func quantity(v float64, unit si.Unit) string {
	if unit == si.Plain {
		return si.FormatNumber(v, 2)
	}
	return si.FormatPrefixed(v, unit, 3)
}

// woundPart is a part with its name and how it is drawn.
type woundPart struct {
	name string
	kind plotting.WoundPart
	*winding.Part
}

// parts returns what is wound, in the order of the work.
func (b *Build) parts() []woundPart {
	var all []woundPart
	for _, p := range []woundPart{
		{"Ring", plotting.RingPart, b.Plan.Ring},
		{"Secondary", plotting.SecondaryPart, b.Plan.Secondary},
		{"Primary", plotting.PrimaryWound, b.Plan.Primary},
	} {
		if p.Part != nil {
			all = append(all, p)
		}
	}
	return all
}

// cuts sets what is cut to length.
func (f *flow) cuts(b *Build) {
	f.heading("Cut")
	var rows [][]string
	for _, p := range b.parts() {
		what := fmt.Sprintf("%s wire for the %s", p.WireName, strings.ToLower(p.name))
		if p.kind == plotting.SecondaryPart {
			what += " (stays on its spool)"
		}
		rows = append(rows, []string{"☐", what, winding.LengthToCut(p.CutLength, b.unit()), si.FormatPrefixed(p.Mass, si.Gram, 3)})
	}
	former := b.Geometry.Former
	rows = append(rows, []string{"☐", fmt.Sprintf("former of the secondary, %s outside", given(2*former.Outer, b.unit())),
		lengthText(former.Top-former.Bottom, b.unit()), ""})
	f.table([]column{{"", 0.3, false}, {"piece", 4, false}, {"length", 1.2, true}, {"mass", 1, true}}, rows)
}

// parts sets what else is needed.
func (f *flow) parts(b *Build) {
	f.heading("Get")
	var rows [][]string
	for _, i := range ShopOf(b.Design, b.Plan, 1).Items {
		if !i.Cut {
			rows = append(rows, []string{"☐", i.Name, i.Specification, i.quantity(i.Needed, b.unit())})
		}
	}
	f.table([]column{{"", 0.3, false}, {"part", 2, false}, {"which", 3.2, false}, {"needed", 1, true}}, rows)
}

// steps sets those of a part, with pictures of where the work stands.
func (f *flow) steps(b *Build, p woundPart) {
	f.need((f.top() - f.bottom()) / 3)
	f.heading(p.name)
	f.pictures(b, p)
	for i, s := range p.Steps {
		f.tick(fmt.Sprintf("%d. %s", i+1, s.Text), s.Expect.Words(b.unit()).String())
	}
}

// pictures sets a row of small ones: the work at steps spread over it.
func (f *flow) pictures(b *Build, p woundPart) {
	chosen := pictured(p.Steps)
	if len(chosen) == 0 {
		return
	}
	const height, caption = 62, 1.4 * footType
	style := f.style
	style.LabelSize = 8
	f.need(height + caption)
	each := f.width() / vg.Length(len(chosen))
	for i, n := range chosen {
		step := p.Steps[n]
		room := vg.Rectangle{
			Min: vg.Point{X: f.left() + each*vg.Length(i), Y: f.y - height},
			Max: vg.Point{X: f.left() + each*vg.Length(i+1) - 6, Y: f.y},
		}
		work := WorkAt(b, p.kind, n)
		f.put(func(c draw.Canvas) error {
			c.Rectangle = room
			plotting.DrawWork(c, work, style)
			return nil
		})
		f.line(fmt.Sprintf("step %d, turn %s", n+1, si.FormatTurns(step.Turns)), plotting.Sans(footType), room.Min.X+4, f.y-height-footType)
	}
	f.y -= height + caption + gapAfter
}

// WorkAt returns the work on a part as it stands after one of its steps.
func WorkAt(b *Build, kind plotting.WoundPart, step int) plotting.Work {
	for _, p := range b.parts() {
		if p.kind != kind || step < 0 || step >= len(p.Steps) {
			continue
		}
		return plotting.Work{
			Part: kind, Kind: p.Steps[step].Kind, Turns: p.Steps[step].Turns, Spare: p.Spare,
			Marks: MarkedTurns(p.Part), Geometry: b.Geometry, Units: b.Units,
		}
	}
	return plotting.Work{Part: kind, Geometry: b.Geometry, Units: b.Units}
}

// MarkedTurns returns the turns of a part that carry a mark.
func MarkedTurns(p *winding.Part) []float64 {
	var marked []float64
	for _, t := range p.Count {
		if t.Mark {
			marked = append(marked, t.Turn)
		}
	}
	return marked
}

// pictured chooses up to four steps that show the work: two while winding, and
// of a ring the open coil and the soldered ring.
func pictured(steps []winding.Step) []int {
	var wound []int
	var after []int
	for i, s := range steps {
		switch s.Kind {
		case winding.Wind:
			wound = append(wound, i)
		case winding.Open, winding.Solder:
			after = append(after, i)
		}
	}
	if len(wound) == 0 {
		return after
	}
	chosen := []int{wound[0]}
	if last := wound[len(wound)-1]; last != wound[0] {
		if len(after) == 0 && len(wound) > 2 {
			chosen = append(chosen, wound[len(wound)/2])
		}
		chosen = append(chosen, last)
	}
	return append(chosen, after...)
}

// tick sets a text with a box before it, and under it what to check, with room
// for what was found.
func (f *flow) tick(text, check string) {
	const side, indent = 8, 16
	lines := plotting.Folded(text, plotting.Sans(bodyType), f.width()-indent)
	height := vg.Length(len(lines)) * bodyType * leading
	if check != "" {
		height += bodyType * leading
	}
	f.need(min(height, 6*bodyType*leading))
	corner := vg.Point{X: f.left(), Y: f.y - bodyType*leading + 1.5}
	ink := f.style.Ink
	f.put(func(c draw.Canvas) error {
		stroke(c, 0.8, ink, box(vg.Rectangle{Min: corner, Max: vg.Point{X: corner.X + side, Y: corner.Y + side}}))
		return nil
	})
	f.lines(lines, f.left()+indent)
	if check != "" {
		f.need(bodyType * leading)
		f.y -= bodyType * leading
		face := plotting.Bold(bodyType)
		label := "Check: " + check
		f.line(label, face, f.left()+indent, f.y+bodyType*0.3)
		begin := f.left() + indent + plotting.TextWidth(label, face) + 10
		f.line("found", plotting.Sans(bodyType), begin, f.y+bodyType*0.3)
		begin += plotting.TextWidth("found", plotting.Sans(bodyType)) + 4
		f.rule(vg.Point{X: begin, Y: f.y + 1}, vg.Point{X: max(begin+40, min(begin+110, f.right())), Y: f.y + 1}, 0.5)
	}
	f.y -= gapAfter
}

// lengthText writes a length in millimetres and metres or inches and feet.
func lengthText(metres float64, unit si.Unit) string {
	const tape = 1 // m, from which a tape is used
	switch {
	case unit == si.Inch && metres >= tape:
		return si.Format(metres, si.Foot, 3)
	case unit == si.Inch:
		return si.Format(metres, si.Inch, 3)
	case metres >= tape:
		return si.Format(metres, si.Metre, 3)
	}
	return si.Format(metres, si.Millimetre, 3)
}

// given writes a length that the design states, without zeros at the end.
func given(metres float64, unit si.Unit) string {
	const parts = 1e3
	return si.FormatOf(math.Round(unit.Of(metres)*parts)/parts, unit, si.Shortest)
}
