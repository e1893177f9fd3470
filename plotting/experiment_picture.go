package plotting

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
)

// DrawExperiment draws the picture of an experiment at a moment: phase is that of
// the swing in rad for what swings, and 2π is the whole record for what happens once.
// What it shows is computed, at every phase: nothing is drawn between two states that
// was not solved.
//
// The geometry is that of the design on which the experiment was made. Before it is
// answered the picture holds back the numbers that would tell.
func DrawExperiment(c draw.Canvas, o experiment.Outcome, g design.Geometry, phase float64, answered bool, units Units, style Style) error {
	c.SetColor(style.Background)
	c.Fill(c.Rectangle.Path())
	s := scene{c, g, units, style, phase, answered}
	switch o := o.(type) {
	case *experiment.RingOutcome:
		s.rings(o)
	case *experiment.WaveOutcome:
		s.wave(o)
	case *experiment.BeatOutcome:
		s.beat(o)
	case *experiment.HumpsOutcome:
		s.humps(o)
	case *experiment.ApproachOutcome:
		s.approach(o)
	case *experiment.WireOutcome:
		s.wire(o)
	case *experiment.ShortedOutcome:
		s.shorted(o)
	case *experiment.StartOutcome:
		s.start(o)
	case *experiment.SpectrumOutcome:
		s.dial(o)
	default:
		return fmt.Errorf("%w: no picture of %T", ErrNoCurve, o)
	}
	return nil
}

// scene is a picture under way.
type scene struct {
	draw.Canvas
	geometry design.Geometry
	units    Units
	style    Style
	phase    float64 // rad
	answered bool    // numbers may be told
}

// em is the size of type that suits the canvas.
func (s *scene) em() vg.Length { return s.style.LabelSize }

// word writes a line centred at a point, pushed into the picture and, where that
// is too narrow for it, smaller.
func (s *scene) word(text string, at vg.Point, ink color.Color, large bool) {
	face, size := sans, s.em()
	if large {
		face, size = bold, 1.3*s.em()
	}
	b := newBlock(text, face(size))
	if width, room := b.size().X, s.Size().X; width > room {
		b = newBlock(text, face(size*room/width))
	}
	s.SetColor(ink)
	b.draw(s, pushedInto(centred(at, b.size()), s.Rectangle).Min, 0.5)
}

// tell writes a line that gives the answer away.
func (s *scene) tell(text string, at vg.Point, ink color.Color, large bool) {
	if s.answered {
		s.word(text, at, ink, large)
	}
}

// column returns a part of the canvas between two shares of its width, with an edge.
func (s *scene) column(from, to float64) vg.Rectangle {
	r := s.Rectangle
	width := r.Size().X
	r.Min.X, r.Max.X = s.Min.X+width*vg.Length(from), s.Min.X+width*vg.Length(to)
	return grown(r, -s.em())
}

// middle returns the centre of a rectangle.
func middle(r vg.Rectangle) vg.Point {
	return vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: (r.Min.Y + r.Max.Y) / 2}
}

// swing is a colour between blue at -1, the ground at 0 and copper at 1.
func (s *scene) swing(v float64) color.NRGBA {
	if v < 0 {
		return blend(s.style.Former, s.style.Second, math.Min(1, -v))
	}
	return blend(s.style.Former, s.style.Wire, math.Min(1, v))
}

// rings draws the ring of wires and the smooth one from above, at a voltage that
// swings.
func (s *scene) rings(o *experiment.RingOutcome) {
	r := o.Present
	outer := r.OuterDiameter() / 2
	ink := s.swing(math.Cos(s.phase))
	for i, column := range []vg.Rectangle{s.column(0, 0.5), s.column(0.5, 1)} {
		at := middle(column)
		at.Y -= 2 * s.em()
		scale := min(column.Size().X, column.Size().Y-4.6*s.em()) / vg.Length(2*outer)
		place := func(radius float64, angle float64) vg.Point {
			sin, cos := math.Sincos(angle)
			return vg.Point{X: at.X + vg.Length(radius*cos)*scale, Y: at.Y + vg.Length(radius*sin)*scale}
		}
		hub := r.HubDiameter / 2
		if i == 0 {
			for k := range r.Turns {
				angle := r.TurnAngle() * float64(k)
				strokeLine(s, []vg.Point{place(hub+r.WireDiameter/2, angle), place(outer-r.WireDiameter/2, angle)},
					max(1, vg.Length(r.WireDiameter)*scale), ink, nil)
			}
		} else {
			ring := circle(at, vg.Length(outer)*scale)
			s.SetColor(ink)
			s.Fill(ring)
			s.SetColor(s.style.Background)
			s.Fill(circle(at, vg.Length(hub)*scale))
		}
		if i == 0 && hub > 0 {
			s.SetColor(s.style.Brass)
			s.Fill(circle(at, vg.Length(hub)*scale))
		}
		words, c, e := s.style.say("%s of wire", s.style.turns(float64(r.Turns))), o.Solution.Capacitance, o.Solution.PeakGradient
		if i == 1 {
			words, c, e = s.style.say("smooth ring"), o.SmoothCapacitance, o.SmoothGradient
		}
		head := vg.Point{X: at.X, Y: column.Max.Y - 0.5*s.em()}
		s.word(words, head, s.style.Ink, true)
		for _, number := range []string{
			si.Format(c, si.Picofarad, 3),
			s.style.say("%s per kV", si.Format(e*1000, si.KilovoltPerCentimetre, 3)),
		} { // one below the other: side by side they run into those of the other ring
			head.Y -= 1.6 * s.em()
			s.tell(number, head, s.style.Muted, false)
		}
	}
}

// wave draws the coil with its voltage and current at the phase beside it.
func (s *scene) wave(o *experiment.WaveOutcome) {
	g := s.geometry
	if !o.TopLoad {
		g.TopLoad = design.Body{Kind: design.NoTopLoad}
	}
	d := s.coil(g, g, s.column(0.25, 0.75))
	voltage, current := o.At(s.phase)
	s.profile(d, s.column(0.75, 1), o.Wave.Height, voltage, s.style.Wire, s.style.say("voltage"), false)
	s.profile(d, s.column(0, 0.25), o.Wave.Height, current, s.style.Second, s.style.say("current"), true)
}

// coil draws the coil in section into a part of the picture, without dimensions, as
// large as fits holds it.
func (s *scene) coil(g, fits design.Geometry, into vg.Rectangle) *section {
	narrow := s.style
	narrow.LabelSize *= 0.3 // no dimensions stand round it
	part := draw.Canvas{Canvas: s.Canvas.Canvas, Rectangle: into}
	d := &section{Canvas: part, geometry: g, style: s.style, frame: frameSection(into, fits, narrow)}
	d.former()
	d.winding()
	d.topLoad()
	d.primary()
	return d
}

// profile draws values from -1 to 1 along the winding, sideways.
func (s *scene) profile(d *section, into vg.Rectangle, height, value []float64, ink color.Color, word string, dashed bool) {
	axis := middle(into).X
	reach := into.Size().X / 2
	var line []vg.Point
	for i, h := range height {
		line = append(line, vg.Point{X: axis + reach*vg.Length(value[i]), Y: d.at(0, h).Y})
	}
	s.upright(axis, line[0].Y, line[len(line)-1].Y)
	area := vg.Path{}
	area.Move(vg.Point{X: axis, Y: line[0].Y})
	for _, p := range line {
		area.Line(p)
	}
	area.Line(vg.Point{X: axis, Y: line[len(line)-1].Y})
	area.Close()
	s.SetColor(over(s.style.Background, s.style.Shade))
	s.Fill(area)
	var dash []vg.Length
	if dashed {
		dash = s.style.secondDash()
	}
	strokeLine(s, line, 1.5*s.style.CurveWidth, ink, dash)
	s.word(word, vg.Point{X: axis, Y: line[len(line)-1].Y + 1.4*s.em()}, ink, true)
}

func (s *scene) upright(x, y0, y1 vg.Length) {
	strokeLine(s, []vg.Point{{X: x, Y: y0}, {X: x, Y: y1}}, s.style.ThinWidth, s.style.Axis, nil)
}

// moment returns the place in a record of n points that a phase stands for.
func (s *scene) moment(n int) int {
	turn := math.Mod(s.phase/(2*math.Pi), 1)
	if turn < 0 {
		turn++
	}
	return min(n-1, int(turn*float64(n)))
}

// beat draws the energy of tank and coil as the levels of two vessels.
func (s *scene) beat(o *experiment.BeatOutcome) {
	at := s.moment(len(o.Time))
	for i, v := range []struct {
		name  string
		share float64
		ink   color.NRGBA
	}{{s.style.say("tank"), o.Tank[at], s.style.Second}, {s.style.say("coil"), o.Coil[at], s.style.Wire}} {
		column := s.column(0.12+0.4*float64(i), 0.48+0.4*float64(i))
		column.Max.Y -= 3 * s.em()
		column.Min.Y += 2 * s.em()
		s.level(column, v.share, v.ink)
		s.word(v.name, vg.Point{X: middle(column).X, Y: column.Max.Y + 1.8*s.em()}, s.style.Ink, true)
		s.tell(percent(v.share), vg.Point{X: middle(column).X, Y: column.Min.Y - s.em()}, v.ink, true)
	}
	s.tell(si.FormatPrefixed(o.Time[at], si.Second, 3), vg.Point{X: middle(s.Rectangle).X, Y: s.Min.Y + 1.2*s.em()}, s.style.Muted, false)
}

// level draws a vessel filled to a share of its height.
func (s *scene) level(r vg.Rectangle, share float64, ink color.NRGBA) {
	filled := r
	filled.Max.Y = r.Min.Y + r.Size().Y*vg.Length(math.Max(0, math.Min(1, share)))
	s.SetColor(ink)
	s.Fill(filled.Path())
	strokeLine(s, []vg.Point{{X: r.Min.X, Y: r.Max.Y}, r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max}, 1.5*s.style.CurveWidth, s.style.Axis, nil)
}

// humps draws at each hump the currents of primary and coil as turning arrows.
func (s *scene) humps(o *experiment.HumpsOutcome) {
	for i, h := range o.Humps {
		width := 1 / float64(len(o.Humps))
		column := s.column(width*float64(i), width*float64(i+1))
		at := middle(column)
		radius := 0.4 * min(column.Size().X, column.Size().Y-5*s.em())
		s.stroke(circle(at, radius), s.style.ThinWidth, s.style.Axis)
		tank, coil := o.Currents(i)
		s.arrow(at, radius, tank+s.phase, s.style.Second, s.style.secondDash())
		s.arrow(at, 0.75*radius, coil+s.phase, s.style.Wire, nil)
		s.tell(si.Format(h.Frequency, frequencyUnit(h.Frequency), 4), vg.Point{X: at.X, Y: column.Max.Y - s.em()}, s.style.Ink, true)
		s.tell(s.style.say("primary (dashed) and coil %.0f° apart", o.PhaseApart(i)*180/math.Pi), vg.Point{X: at.X, Y: column.Min.Y + s.em()}, s.style.Muted, false)
	}
}

// arrow draws a phasor: 0 points right, and it turns against the clock.
func (s *scene) arrow(from vg.Point, length vg.Length, angle float64, ink color.Color, dash []vg.Length) {
	sin, cos := math.Sincos(angle)
	to := from.Add(vg.Point{X: length * vg.Length(cos), Y: length * vg.Length(sin)})
	strokeLine(s, []vg.Point{from, to}, 2*s.style.CurveWidth, ink, dash)
	s.SetColor(ink)
	s.Fill(circle(to, 2.2*s.style.CurveWidth))
}

func (s *scene) stroke(path vg.Path, width vg.Length, ink color.Color) {
	s.SetColor(ink)
	s.SetLineWidth(width)
	s.SetLineDash(nil, 0)
	s.Stroke(path)
}

// approach draws the coil and the plate over it.
func (s *scene) approach(o *experiment.ApproachOutcome) {
	g := s.geometry
	top := g.Winding.Top
	if g.TopLoad.Kind != design.NoTopLoad {
		top = math.Max(top, g.TopLoad.Top())
	}
	// The frame leaves room for the plate at the distance it has.
	raised := g
	raised.Former.Top = math.Max(raised.Former.Top, top+math.Min(o.PresentDistance, 1.5*(top-g.Winding.Bottom))*1.1)
	into := s.column(0.1, 0.9)
	d := s.coil(g, raised, into)
	plate := d.at(0, top+o.PresentDistance)
	if plate.Y > into.Max.Y {
		s.word(s.style.say("the plate is %s over the top, outside the picture", si.Format(o.PresentDistance, s.units.small(), 3)),
			vg.Point{X: middle(into).X, Y: into.Max.Y - s.em()}, s.style.Muted, false)
		return
	}
	half := into.Size().X * 0.3
	middleX := d.at(0, 0).X
	s.SetColor(s.style.Spare)
	s.Fill(vg.Rectangle{Min: vg.Point{X: middleX - half, Y: plate.Y}, Max: vg.Point{X: middleX + half, Y: plate.Y + 0.5*s.em()}}.Path())
	s.word(s.style.say("a plate without end"), vg.Point{X: middleX, Y: plate.Y + 1.3*s.em()}, s.style.Muted, false)
	// The charge on the plate answers that on the top, in the same swing.
	charge := math.Cos(s.phase)
	for i := -3; i <= 3; i++ {
		at := vg.Point{X: middleX + half*vg.Length(i)/4, Y: plate.Y - 0.8*s.em()}
		sign := "−"
		if charge < 0 {
			sign = "+"
		}
		if math.Abs(charge) > 0.2 {
			s.word(sign, at, s.swing(-charge), true)
		}
	}
	s.word(si.Format(o.PresentDistance, s.units.small(), 3), vg.Point{X: middleX + half + 3*s.em(), Y: (plate.Y + d.at(0, top).Y) / 2}, s.style.Ink, true)
}

// wire draws the section of the wire with its current density, alone, and the
// outlines of its neighbours.
func (s *scene) wire(o *experiment.WireOutcome) {
	into := s.column(0, 1)
	at := middle(into)
	pitch := min(into.Size().X/2.6, into.Size().Y-4*s.em())
	radius := pitch * vg.Length(o.Present) / 2
	for _, side := range []vg.Length{-1, 1} {
		s.stroke(circle(at.Add(vg.Point{X: side * pitch}), radius), s.style.GuideWidth, s.style.Axis)
	}
	box := vg.Point{X: radius, Y: radius}
	s.DrawImage(vg.Rectangle{Min: at.Sub(box), Max: at.Add(box)}, s.disc(o.Radius, o.At(s.phase)))
	s.stroke(circle(at, radius), s.style.GuideWidth, s.style.Ink)
	skin := pitch * vg.Length(o.SkinDepth/o.Pitch)
	if skin < radius {
		var dashed vg.Path = circle(at, radius-skin)
		s.SetColor(s.style.Ink)
		s.SetLineWidth(s.style.ThinWidth)
		s.SetLineDash(s.style.dropDash(), 0)
		s.Stroke(dashed)
		s.SetLineDash(nil, 0)
	}
	s.word(s.style.say("skin depth %s, wire %s", s.units.fine(o.SkinDepth), si.Format(o.PresentDiameter(), s.units.small(), 3)),
		vg.Point{X: at.X, Y: into.Min.Y + s.em()}, s.style.Muted, false)
	s.word(s.style.say("current in the section, the wire alone"), vg.Point{X: at.X, Y: into.Max.Y - s.em()}, s.style.Ink, true)
}

// discPixels is the width of the picture of a wire's section.
const discPixels = 256

// disc returns the section of a wire coloured by its current density, which ascends
// with the radius.
func (s *scene) disc(radius, density []float64) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, discPixels, discPixels))
	tones := make([]color.NRGBA, 4*len(density))
	for i := range tones {
		at := float64(i) / float64(len(tones)-1) * float64(len(density)-1)
		k := min(int(at), len(density)-2)
		tones[i] = s.swing(density[k] + (density[k+1]-density[k])*(at-float64(k)))
	}
	const half = discPixels / 2.0
	for y := range discPixels {
		for x := range discPixels {
			r := math.Hypot(float64(x)+0.5-half, float64(y)+0.5-half) / half
			tone := s.style.Background
			if r <= radius[len(radius)-1] {
				tone = tones[int(r*float64(len(tones)-1)+0.5)]
			}
			i := img.PixOffset(x, y)
			img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = tone.R, tone.G, tone.B, 0xFF
		}
	}
	return img
}

// shorted draws the coil under the smooth ring, with the current that answers the
// winding's in the closed one.
func (s *scene) shorted(o *experiment.ShortedOutcome) {
	g := s.geometry
	tube := o.TubeDiameter / 2
	g.TopLoad = design.Body{
		Kind: design.Torus, Centre: g.Winding.Top + o.PresentHeight,
		Inner: o.OuterDiameter/2 - tube, Outer: o.OuterDiameter/2 - tube, TubeRadius: tube,
	}
	into := s.column(0.1, 0.9)
	into.Max.Y -= 2 * s.em()
	into.Min.Y += 2 * s.em()
	d := s.coil(g, g, into)
	// Current swings a quarter of a period after the voltage; that in the ring runs
	// against the winding's.
	current := math.Sin(s.phase)
	length := 0.8 * o.OuterDiameter / 2 * math.Abs(current)
	for _, a := range []struct {
		z, sign float64
		ink     color.NRGBA
	}{{g.TopLoad.Centre, -1, s.style.Second}, {(g.Winding.Bottom + g.Winding.Top) / 2, 1, s.style.Wire}} {
		direction := a.sign * math.Copysign(1, current)
		from, to := d.at(-direction*length/2, a.z), d.at(direction*length/2, a.z)
		strokeLine(s, []vg.Point{from, to}, 5*s.style.CurveWidth, s.style.Background, nil)
		strokeLine(s, []vg.Point{from, to}, 2*s.style.CurveWidth, a.ink, nil)
		s.SetColor(s.style.Background)
		s.Fill(circle(to, 4*s.style.CurveWidth))
		s.SetColor(a.ink)
		s.Fill(circle(to, 3*s.style.CurveWidth))
	}
	s.word(s.style.say("the current in a closed ring runs against that in the winding"), vg.Point{X: middle(into).X, Y: into.Min.Y - s.em()}, s.style.Muted, false)
	s.tell(s.style.say("closed: %s, slotted: %s", si.Format(o.PresentUnbroken, frequencyUnit(o.PresentUnbroken), 4),
		si.Format(o.PresentSlotted, frequencyUnit(o.PresentSlotted), 4)), vg.Point{X: middle(into).X, Y: into.Max.Y + s.em()}, s.style.Ink, true)
}

// start draws how high the top swings at a moment after switching on.
func (s *scene) start(o *experiment.StartOutcome) {
	at := s.moment(len(o.Running.Envelope))
	crest := o.Running.Envelope[at]
	column := s.column(0.08, 0.45)
	column.Max.Y -= 3 * s.em()
	column.Min.Y += 2.5 * s.em()
	high := math.Max(o.Running.TopCrest, o.FullFrom())
	s.level(column, crest.Top/high, s.style.Wire)
	mark := column.Min.Y + column.Size().Y*vg.Length(o.FullFrom()/high)
	strokeLine(s, []vg.Point{{X: column.Min.X - s.em(), Y: mark}, {X: column.Max.X + s.em(), Y: mark}}, s.style.GuideWidth, s.style.Target, s.style.targetDash())
	s.word(s.style.say("full output from here"), vg.Point{X: (column.Max.X + s.Max.X) / 2, Y: mark + s.em()}, s.style.Target, false)
	s.tell(s.style.say("swing %d", at+1), vg.Point{X: middle(column).X, Y: column.Max.Y + 1.8*s.em()}, s.style.Ink, true)
	s.tell(s.style.say("%s after %s", si.FormatPrefixed(crest.Top, si.Volt, 3), si.FormatPrefixed(crest.Time, si.Second, 3)), vg.Point{X: middle(column).X, Y: column.Min.Y - 1.2*s.em()}, s.style.Ink, true)
}

// dial names who works on the frequency.
func (s *scene) dial(o *experiment.SpectrumOutcome) {
	at := middle(s.column(0, 1))
	s.word(si.Format(o.Frequency, frequencyUnit(o.Frequency), 4), vg.Point{X: at.X, Y: s.Max.Y - 2*s.em()}, s.style.Wire, true)
	y := s.Max.Y - 4.5*s.em()
	if len(o.Here) == 0 {
		s.tell(s.style.say("nobody of our list works on this frequency; others may"), vg.Point{X: at.X, Y: y}, s.style.Ink, false)
		y -= 1.6 * s.em()
	}
	for _, service := range o.Here {
		if y < s.Min.Y+3*s.em() {
			break
		}
		s.tell(s.style.service(service), vg.Point{X: at.X, Y: y}, s.style.Ink, false)
		y -= 1.6 * s.em()
	}
	s.tell(s.style.say("nearest industrial band: %s", s.style.service(o.ISM)), vg.Point{X: at.X, Y: s.Min.Y + 1.2*s.em()}, s.style.Target, false)
}
