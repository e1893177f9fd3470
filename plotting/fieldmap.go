package plotting

import (
	"fmt"
	"image/color"
	"math"
	"runtime"
	"strconv"
	"sync"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// FieldMap is the electric field to be drawn over a section: lines of equal potential
// and, shaded in steps, its strength.
type FieldMap struct {
	// At returns potential and field, outward and up, in V and V/m per volt of the top.
	// It is called from several goroutines at once.
	At func(r, z float64) (potential, outward, up float64)
	// Volts is the crest of the top in V; 0: not known, the map is for 1 kV.
	Volts float64
	// Coarse is for while a hand moves: a quarter of the places.
	Coarse bool
	// Marks are the places that glow first, the first one first.
	Marks []design.Spot
}

// unknownVolts is what a map is drawn for where the voltage of the top is not known.
const unknownVolts = 1e3

// FieldOf returns the map of a field with the places that glow first, as many as are
// worth a mark.
func FieldOf(f *design.Field, air design.AirReport, volts float64) *FieldMap {
	const marks = 3
	m := &FieldMap{At: f.At, Volts: volts, Coarse: len(air.Places) == 0}
	for _, p := range air.Places[:min(marks, len(air.Places))] {
		if p.Radius != nil && p.Height != nil {
			m.Marks = append(m.Marks, design.Spot{R: *p.Radius, Z: *p.Height})
		}
	}
	return m
}

func (m *FieldMap) volts() float64 {
	if m.Volts > 0 {
		return m.Volts
	}
	return unknownVolts
}

const (
	fineCell   = 4 // points between the places of a map at rest
	coarseCell = 10

	fieldBands      = 7
	fieldHead       = 1.5 + tubeRow*tubeRows // type sizes that its key needs over the coil
	potentialLevels = 10                     // lines, about
)

// fieldGrid is a field on the places of a grid over the right half of a page; columns
// run out from the axis, rows up.
type fieldGrid struct {
	r, z      []float64 // m
	potential []float64 // V, by rows
	strength  []float64 // V/m
}

// sample computes a map over the page.
func (s *section) sample(m *FieldMap) fieldGrid {
	cell := float64(fineCell / s.frame.Scale)
	if m.Coarse {
		cell = float64(coarseCell / s.frame.Scale)
	}
	left, bottom := s.frame.At(0, s.Max.Y-s.Min.Y)
	right, top := s.frame.At(s.Max.X-s.Min.X, 0)
	reach := math.Max(math.Abs(left), math.Abs(right))
	var g fieldGrid
	for r := 0.0; r < reach+cell; r += cell {
		g.r = append(g.r, r)
	}
	for z := bottom; z < top+cell; z += cell {
		g.z = append(g.z, z)
	}
	n := len(g.r)
	g.potential, g.strength = make([]float64, n*len(g.z)), make([]float64, n*len(g.z))
	volts := m.volts()
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			for j := w; j < len(g.z); j += workers {
				for i, r := range g.r {
					potential, outward, up := m.At(r, g.z[j])
					g.potential[j*n+i] = volts * potential
					g.strength[j*n+i] = volts * math.Hypot(outward, up)
				}
			}
		})
	}
	wait.Wait()
	return g
}

// check refuses a map with holes.
func (g *fieldGrid) check() error {
	for k := range g.potential {
		if v := g.potential[k] + g.strength[k]; math.IsNaN(v) || math.IsInf(v, 0) {
			n := len(g.r)
			return fmt.Errorf("%w: field at r = %g m, z = %g m", ErrNotFinite, g.r[k%n], g.z[k/n])
		}
	}
	return nil
}

// fieldSteps returns the strengths in V/m at which the shade changes: 1, 2, 5 and so
// on, from about 1 V/m per volt.
func fieldSteps(volts float64) [fieldBands]float64 {
	var steps [fieldBands]float64
	at := volts * (1 + 1e-9)
	step := math.Pow(10, math.Floor(math.Log10(at)))
	for _, f := range []float64{5, 2} {
		if step*f <= at {
			step *= f
			break
		}
	}
	for i := range steps {
		steps[i] = step
		step = niceAbove(step * 1.01)
	}
	return steps
}

// fieldShade returns the shade of a band: 0 under the first step, up to fieldBands.
func (s *section) fieldShade(band int) color.NRGBA {
	const faintest, strongest = 0.0, 0.6
	return blend(s.style.Background, s.style.Wire, faintest+(strongest-faintest)*float64(band)/fieldBands)
}

// field draws a map under everything else and returns the lines of it that its key
// explains.
func (s *section) field(m *FieldMap) ([]tubeLine, error) {
	g := s.sample(m)
	if err := g.check(); err != nil {
		return nil, err
	}
	s.shadeField(&g, fieldSteps(m.volts()))
	lines := s.tubes(&g)
	s.equipotentials(&g, m, s.keyBox(lines))
	return lines, nil
}

// shadeSteps is how often a place of the grid is divided for the shade, so that its
// edges run smoothly.
const shadeSteps = 3

// shadeField fills runs of small squares of one band, the strength between the places of
// the grid taken as straight in its logarithm.
func (s *section) shadeField(g *fieldGrid, steps [fieldBands]float64) {
	n := len(g.r)
	logs := make([]float64, len(g.strength))
	var limits [fieldBands]float64
	for k, e := range g.strength {
		logs[k] = math.Log(math.Max(e, math.SmallestNonzeroFloat64))
	}
	for k, e := range steps {
		limits[k] = math.Log(e)
	}
	row := make([]float64, n)
	bands := make([]int, (n-1)*shadeSteps)
	step := (g.r[1] - g.r[0]) / shadeSteps
	for j := range (len(g.z) - 1) * shadeSteps {
		below, up := j/shadeSteps, (float64(j%shadeSteps)+0.5)/shadeSteps
		for i := range row {
			row[i] = (1-up)*logs[below*n+i] + up*logs[(below+1)*n+i]
		}
		for k := range bands {
			i, across := k/shadeSteps, (float64(k%shadeSteps)+0.5)/shadeSteps
			e, b := (1-across)*row[i]+across*row[i+1], 0
			for b < fieldBands && e >= limits[b] {
				b++
			}
			bands[k] = b
		}
		z := g.z[0] + float64(j)*step
		for k := 0; k < len(bands); {
			to := k + 1
			for to < len(bands) && bands[to] == bands[k] {
				to++
			}
			if bands[k] > 0 {
				from, end := float64(k)*step, float64(to)*step
				s.SetColor(s.fieldShade(bands[k]))
				s.fillOnPage(s.rect(from, z, end, z+step))
				s.fillOnPage(s.rect(-end, z, -from, z+step))
			}
			k = to
		}
	}
}

// fillOnPage fills what of a rectangle lies on the page.
func (s *section) fillOnPage(r vg.Rectangle) {
	r.Min.X, r.Min.Y = max(r.Min.X, s.Min.X), max(r.Min.Y, s.Min.Y)
	r.Max.X, r.Max.Y = min(r.Max.X, s.Max.X), min(r.Max.Y, s.Max.Y)
	if r.Min.X < r.Max.X && r.Min.Y < r.Max.Y {
		s.Fill(r.Path())
	}
}

// equipotentials draws lines of equal potential on both sides and names those on the
// right, off the key.
func (s *section) equipotentials(g *fieldGrid, m *FieldMap, key vg.Rectangle) {
	volts := m.volts()
	step := volts / potentialLevels
	if m.Volts > 0 {
		step = niceAbove(step * (1 - 1e-9))
	}
	least, most := extremes(g.potential)
	taken := append(s.markBoxes(m), key)
	ground := s.at(0, 0)
	taken = append(taken, vg.Rectangle{ // words under the bench
		Min: vg.Point{X: ground.X, Y: ground.Y - 2*s.style.LabelSize}, Max: vg.Point{X: s.Max.X, Y: ground.Y},
	})
	type label struct {
		text string
		at   vg.Point
	}
	var labels []label
	for k := math.Ceil(least / step); k*step <= most; k++ {
		level := k * step
		if k == 0 || math.Abs(level) > volts*(1-0.02) {
			continue // earth is drawn, and at the top lines would fill the metal
		}
		var lines vg.Path
		var farthest vg.Point
		g.contour(g.potential, level, func(_ int, r0, z0, r1, z1 float64) {
			for _, side := range []float64{1, -1} {
				p, q := s.at(side*r0, z0), s.at(side*r1, z1)
				if !s.Contains(p) || !s.Contains(q) {
					continue
				}
				lines.Move(p)
				lines.Line(q)
				if side > 0 && p.X > farthest.X {
					farthest = p
				}
			}
		})
		s.stroke(lines, s.style.ThinWidth, s.style.Second)
		if farthest.X > 0 {
			labels = append(labels, label{potentialText(level, m), farthest})
		}
	}
	em := s.style.LabelSize
	for _, l := range labels {
		b := newBlock(l.text, sans(0.85*em))
		size := b.size()
		at := vg.Point{X: min(l.at.X, s.Max.X-0.3*em-size.X/2), Y: l.at.Y}
		box := centred(at, size)
		if !within(box, s.Rectangle) || meets(grown(box, 0.4*em), taken) || s.onCoil(box) {
			continue
		}
		taken = append(taken, box)
		s.SetColor(faded(s.style.Background, 0.85))
		s.Fill(grown(box, 0.1*em).Path())
		s.SetColor(s.style.Second)
		b.draw(s, box.Min, 0)
	}
}

// onCoil reports whether a corner of a box, or its middle, lies on a part of the coil.
func (s *section) onCoil(box vg.Rectangle) bool {
	middle := box.Min.Add(box.Max).Scale(0.5)
	for _, p := range []vg.Point{box.Min, box.Max, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Min.Y}, {X: box.Min.X, Y: middle.Y}, middle} {
		if s.frame.Part(p.X-s.Min.X, s.Max.Y-p.Y) != NoPart {
			return true
		}
	}
	return false
}

// potentialText names a line: in volts, or as a share of the top where that is not known.
func potentialText(level float64, m *FieldMap) string {
	if m.Volts > 0 {
		return si.FormatPrefixed(level, si.Volt, 2)
	}
	return si.Format(level/unknownVolts, si.Percent, 2)
}

// contour calls line with the pieces of the lines of one value, given by the places of
// the grid, cell by cell, straight between the places. A line goes from a cell to one
// with the next or the last number.
func (g *fieldGrid) contour(values []float64, level float64, line func(cell int, r0, z0, r1, z1 float64)) {
	n := len(g.r)
	for j := range len(g.z) - 1 {
		for i := range n - 1 {
			corner := [4]float64{values[j*n+i], values[j*n+i+1], values[(j+1)*n+i+1], values[(j+1)*n+i]}
			var cut [4][2]float64
			cuts := 0
			for k := range corner {
				a, b := corner[k]-level, corner[(k+1)%4]-level
				if (a < 0) == (b < 0) {
					continue
				}
				t := a / (a - b)
				place := [4][2]float64{{t, 0}, {1, t}, {1 - t, 1}, {0, 1 - t}}[k]
				cut[cuts] = [2]float64{g.r[i] + place[0]*(g.r[i+1]-g.r[i]), g.z[j] + place[1]*(g.z[j+1]-g.z[j])}
				cuts++
			}
			for k := 0; k+1 < cuts; k += 2 {
				line(i+j, cut[k][0], cut[k][1], cut[k+1][0], cut[k+1][1])
			}
		}
	}
}

// keyPlace returns the upper left corner of the steps of the key.
func (s *section) keyPlace() (x, y vg.Length) {
	em := s.style.LabelSize
	return s.Min.X + 0.8*em, s.Max.Y - 1.5*em
}

// keySteps returns the size of a step of the key.
func (s *section) keySteps() (width, height vg.Length) {
	em := s.style.LabelSize
	return min(2.3*em, (s.Max.X-s.Min.X-2*em)/fieldBands), 0.7 * em
}

// keyBox returns the ground that the key stands on.
func (s *section) keyBox(lines []tubeLine) vg.Rectangle {
	em := s.style.LabelSize
	width, height := s.keySteps()
	x, y := s.keyPlace()
	return vg.Rectangle{
		Min: vg.Point{X: x - 0.4*em, Y: y - height - (1.4+tubeRow*tubeRows)*em},
		Max: vg.Point{X: x + max(width*fieldBands, s.tubeKeyWidth(lines)) + 0.6*em, Y: y + 1.4*em},
	}
}

// fieldKey says what shades and lines are, in the upper left corner.
func (s *section) fieldKey(m *FieldMap, lines []tubeLine) {
	em := s.style.LabelSize
	steps := fieldSteps(m.volts())
	head := s.style.say("field with 1 kV on top, V/m")
	if m.Volts > 0 {
		head = s.style.say("field with %s on top, V/m", si.FormatPrefixed(m.Volts, si.Volt, 2))
	}
	width, height := s.keySteps()
	x, y := s.keyPlace()
	ground := s.keyBox(lines)
	s.SetColor(s.style.Background)
	s.Fill(ground.Path())
	s.words(head, sans(0.9*em), s.style.Muted, vg.Point{X: x, Y: y + 0.2*em}, 0, 0)
	every := 1
	for i, step := range steps {
		// A step whose number would run into the next one's stands for two.
		if newBlock(plainStep(step)+" ", sans(0.8*em)).size().X > width && i < fieldBands-1 {
			every = 2
		}
	}
	for i := range steps {
		box := vg.Rectangle{Min: vg.Point{X: x + width*vg.Length(i), Y: y - height}, Max: vg.Point{X: x + width*vg.Length(i+1), Y: y}}
		s.SetColor(s.fieldShade(i + 1))
		s.Fill(box.Path())
		if i%every != 0 {
			continue
		}
		s.words(plainStep(steps[i]), sans(0.8*em), s.style.Muted, vg.Point{X: box.Min.X, Y: box.Min.Y - 0.2*em}, 0, 1)
	}
	frame := vg.Rectangle{Min: vg.Point{X: x, Y: y - height}, Max: vg.Point{X: x + width*fieldBands, Y: y}}
	s.stroke(frame.Path(), s.style.ThinWidth/2, s.style.Axis)
	s.tubeKey(lines, vg.Point{X: x, Y: y - height - 1.3*em})
}

// plainStep writes 1, 2, 5 with a prefix: "20 k".
func plainStep(x float64) string {
	for _, p := range []struct {
		size float64
		name string
	}{{1e6, " M"}, {1e3, " k"}} {
		if x >= p.size*(1-1e-9) {
			return si.FormatNumber(x/p.size, si.Shortest) + p.name
		}
	}
	return si.FormatNumber(x, si.Shortest)
}

// markRadius is that of the disc that a number stands in, in type sizes.
const markRadius = 0.75

// markBoxes returns where the numbers of the places that glow first stand: to the right
// of each, lower where another one is in the way.
func (s *section) markBoxes(m *FieldMap) []vg.Rectangle {
	em := s.style.LabelSize
	size := vg.Point{X: 2 * markRadius * em, Y: 2 * markRadius * em}
	var boxes []vg.Rectangle
	for _, spot := range m.Marks {
		at := s.at(spot.R, spot.Z)
		box := centred(vg.Point{X: at.X + 1.9*em, Y: at.Y + 0.9*em}, size)
		for range 2 * len(m.Marks) {
			if !meets(box, boxes) {
				break
			}
			box.Min.Y -= 1.7 * em
			box.Max.Y -= 1.7 * em
		}
		boxes = append(boxes, box)
	}
	return boxes
}

// marks numbers the places that glow first: a ring on the spot and its number beside it.
func (s *section) marks(m *FieldMap) {
	em := s.style.LabelSize
	for i, box := range s.markBoxes(m) {
		at := s.at(m.Marks[i].R, m.Marks[i].Z)
		centre := box.Min.Add(box.Max).Scale(0.5)
		strokeLine(s, []vg.Point{at, centre}, s.style.GuideWidth, s.style.Warning, nil)
		disc := circle(centre, markRadius*em)
		s.SetColor(s.style.Background)
		s.Fill(disc)
		s.stroke(disc, s.style.GuideWidth, s.style.Warning)
		s.stroke(circle(at, 0.35*em), s.style.GuideWidth, s.style.Warning)
		number := newBlock(strconv.Itoa(i+1), bold(em))
		s.words(number.lines[0], number.font, s.style.Warning, centre.Sub(vg.Point{Y: number.size().Y / 2}), 0.5, 0)
	}
}

// fieldRows is how many heights a table of the field has; radii are as far apart.
const fieldRows = 60

// FieldTable returns the numbers of a map on an even grid round the coil, per volt of
// the top.
func FieldTable(f *design.Field, g design.Geometry) Table {
	widest, lowest, highest := bounds(g)
	step := 1.5 * (highest - lowest) / fieldRows
	columns := make([][]float64, 5)
	for z := lowest; z <= highest+(highest-lowest)/2; z += step {
		for r := 0.0; r <= 2*widest; r += step {
			potential, outward, up := f.At(r, z)
			for k, v := range []float64{r, z, potential, outward, up} {
				columns[k] = append(columns[k], v+0) // no -0 on the axis
			}
		}
	}
	return Table{
		Header:  []string{"radius (m)", "height (m)", "potential over that of the top", "field outward (1/m per volt)", "field upward (1/m per volt)"},
		Columns: columns,
	}
}
