package sheet

import (
	"fmt"
	"io"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/si"
	"coilwright/plotting"
)

// Sizes of labels: one for the bag of parts, one that goes round the foot of the
// finished coil.
const (
	labelWidth  = 86e-3 // m
	labelHeight = 46e-3
	labelGap    = 4e-3
)

// WriteLabels writes two labels for every coil: for the bag with its parts and
// for the finished coil, with room for what was measured.
func WriteLabels(to io.Writer, paper plotting.Paper, builds ...Build) error {
	if len(builds) == 0 {
		return fmt.Errorf("sheet: there is no coil to label")
	}
	f := newFlow(paper)
	id := builds[0].Identity
	id.Number = ""
	f.begin(id, "Labels")
	for i := range builds {
		f.need(mm(labelHeight))
		top := f.y
		for column, lines := range [][]string{bagLabel(&builds[i]), coilLabel(&builds[i])} {
			x := f.left() + vg.Length(column)*mm(labelWidth+labelGap)
			f.label(vg.Rectangle{Min: vg.Point{X: x, Y: top - mm(labelHeight)}, Max: vg.Point{X: x + mm(labelWidth), Y: top}}, builds[i].title(), lines)
		}
		f.y = top - mm(labelHeight+labelGap)
	}
	return f.write(to, builds[0].Name+": labels", builds[0].Date)
}

// title is the coil's name and number.
func (b *Build) title() string {
	if b.Number == "" {
		return b.Name
	}
	return b.Name + ", " + b.Number
}

// label draws one, lines that do not fit left out.
func (f *flow) label(room vg.Rectangle, title string, lines []string) {
	const padding = 6
	ink := f.style.Ink
	f.put(func(c draw.Canvas) error {
		stroke(c, 0.6, ink, box(room))
		return nil
	})
	width := room.Size().X - 2*padding
	y := room.Max.Y - padding - headType
	face := plotting.Bold(headType)
	for _, l := range plotting.Folded(title, face, width)[:1] {
		f.line(l, face, room.Min.X+padding, y)
	}
	y -= 4
	body := plotting.Sans(footType)
	for _, text := range lines {
		for _, l := range plotting.Folded(text, body, width) {
			if y -= footType * 1.3; y < room.Min.Y+padding {
				return
			}
			f.line(l, body, room.Min.X+padding, y)
		}
	}
}

// bagLabel says what belongs in the bag.
func bagLabel(b *Build) []string {
	lines := []string{"Parts · " + b.Date.Format(time.DateOnly) + " · design " + b.Fingerprint}
	for _, p := range b.parts() {
		lines = append(lines, fmt.Sprintf("%s: %s of %s", p.name, lengthText(p.CutLength, b.unit()), p.WireName))
	}
	g := b.Geometry.Former
	lines = append(lines, fmt.Sprintf("Former: %s outside, %s long", given(2*g.Outer, b.unit()), lengthText(g.Top-g.Bottom, b.unit())))
	for _, i := range ShopOf(b.Design, b.Plan, 1).Items {
		if i.Key == "hub" || i.Key == "device" {
			lines = append(lines, i.Name+": "+i.Specification)
		}
	}
	return append(lines, "Packed by ____________________")
}

// coilLabel says what the finished coil is.
func coilLabel(b *Build) []string {
	lines := append([]string{}, b.Inputs...)
	if v := b.Report.Resonance.Frequency; v != nil {
		lines = append(lines, fmt.Sprintf("Expected %s · measured ______________", si.FormatPrefixed(*v, si.Hertz, 3)))
	}
	return append(lines,
		"Built by ____________________ on ____________",
		"High voltage at radio frequency: burns, disturbs implants and radio. design "+b.Fingerprint)
}
