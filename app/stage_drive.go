package app

import (
	"sync/atomic"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// stageDrive is the key of the stage in which the driver is chosen.
const stageDrive = "drive"

// Figures of the stage, from the top. A half bridge and a spark gap have the
// first alone.
const (
	driveFirst = iota // waveforms, sweep or energy
	driveCurve        // of an exciter, against what is picked
	driveStart        // of an exciter
	driveFigures
)

// driveStage shows the circuit of the driver with its values, what it does with
// the coil, what to do first when it does not run, and figures of it.
type driveStage struct {
	*Window
	cards   *view.Cards
	circuit *painting
	drawing *view.Figure
	answers *view.DriveAnswers
	figures [driveFigures]*view.Figure
	looks   [driveFigures]lens
	pointed int // the figure that the pointer was on last
	column  *fyne.Container
	against *view.Segments
	empty   *view.DriveEmpty  // shown without a driver
	full    fyne.CanvasObject // shown with one

	chosen atomic.Value // string: key of the part that is picked out, for the worker
	last   *session.DriveResult
}

func newDriveStage(w *Window) stage {
	s := &driveStage{Window: w}
	s.chosen.Store("")
	return s
}

func (s *driveStage) objects() (side, rest fyne.CanvasObject) {
	s.cards = view.NewDriveCards(s.session, s.askOwn)
	s.cards.OnHint = s.point
	s.cards.OnSay = s.hint.Say
	s.cards.SetOpened(s.session.Design())

	s.drawing = view.NewFigure(leastCircuit, nil)
	s.circuit = s.paintDriver(stageDrive, s.drawing, s.drawCircuit)
	s.drawing.Picture().OnPoint = func(at fyne.Position) { s.point(s.partAt(at)) }
	s.drawing.Picture().OnTap = s.tap

	s.answers = view.NewDriveAnswers()
	s.answers.OnHint = s.hint.Show
	s.answers.OnCauses = s.showCauses
	s.answers.OnSymptoms = s.showSymptoms

	s.against = view.NewSegments(lang.L("against.supply"), lang.L("against.coupling"), lang.L("against.base_resistor"), lang.L("against.primary_turns"))
	s.against.OnHint = func() { s.hint.Show("against") }
	s.against.OnPick = func(i int) { s.session.SetDriveAgainst(design.DriveVariation(i)) }
	figures := make([]fyne.CanvasObject, driveFigures)
	for i := range s.figures {
		var choice fyne.CanvasObject
		if i == driveCurve {
			choice = s.against
		}
		s.figures[i] = view.NewFigure(leastFigure, choice)
		lens := &s.looks[i]
		p := s.paintDriver(stageDrive, s.figures[i], func(c *raster.Canvas, r *session.Result, l look) (any, bool) {
			return drawDriveFigure(i, c, r, l, lens)
		})
		lens.over(s.Window, s.figures[i], p)
		picture := s.figures[i].Picture()
		picture.OnPoint = func(at fyne.Position) {
			s.pointed = i
			lens.point(at)
			s.hint.Show("drive_figure")
		}
		picture.OnLeave = lens.leave
		figures[i] = s.figures[i].Object()
	}
	s.column = view.NewEven(figures...)
	s.empty = view.NewDriveEmpty()
	s.empty.OnPick = s.pickKind
	s.full = view.NewBeside(view.NewEven(s.drawing.Object(), s.answers.Object()), s.column)
	return s.cards.Object(), container.NewStack(s.full, s.empty.Object())
}

// firstKeys are what a maker states first about each kind of driver.
var firstKeys = map[string]string{
	design.FeedbackExciter: "driver.supply_v",
	design.HalfBridge:      "driver.bus_v",
	design.SparkGap:        "driver.firing_voltage_v",
}

// pickKind gives a design without a driver one of a kind, and its first number the
// keyboard.
func (s *driveStage) pickKind(kind string) {
	s.session.Edit(lang.L("edit.driver.kind"), func(d *design.Design) { d.SetDriverKind(kind) })
	s.lead(firstKeys[kind])
}

// leastCircuit is the least size of the circuit's drawing, in density-independent
// pixels.
var leastCircuit = fyne.NewSize(260, 200)

func (s *driveStage) changed(d design.Design) {
	s.session.WatchDrive(true)
	s.cards.SetUnits(s.units)
	s.cards.Show(d)
	exciter := d.Driver.Kind == design.FeedbackExciter
	some := d.Driver.Kind != design.NoDriver
	if some != s.full.Visible() || some == s.empty.Object().Visible() {
		showOne(s.full, s.empty.Object(), some)
	}
	changed := false
	for i, wanted := range []bool{driveFirst: some, driveCurve: exciter, driveStart: exciter} {
		o := s.figures[i].Object()
		if o.Visible() == wanted {
			continue
		}
		changed = true
		if wanted {
			o.Show()
		} else {
			o.Hide()
		}
	}
	if changed {
		s.column.Refresh()
	}
	s.against.SetPicked(int(s.session.DriveOptions().Against))
}

// showOne shows the first of two objects or the second.
func showOne(first, second fyne.CanvasObject, isFirst bool) {
	if isFirst {
		first.Show()
		second.Hide()
		return
	}
	first.Hide()
	second.Show()
}

func (s *driveStage) show(r *session.Result) {
	s.cards.ShowResult(r)
	if r.Design.Driver.Kind == design.NoDriver || r.Err != nil { // no answer comes
		s.answer(&session.DriveResult{Design: r.Design, Report: r.Report, Err: r.Err, Done: true})
	}
}

// answer shows what is known of the driver.
func (s *driveStage) answer(r *session.DriveResult) {
	s.last = r
	s.answers.Show(r)
}

func (s *driveStage) typedKey(e *fyne.KeyEvent) bool { return s.lens().key(e) }

// lens is that of the figure that the pointer was on last.
func (s *driveStage) lens() *lens { return &s.looks[s.pointed] }

func (s *driveStage) leave() { s.session.WatchDrive(false) }

// partAt returns the key of the part under the pointer; empty: there is none.
func (s *driveStage) partAt(at fyne.Position) string {
	frame, _ := s.circuit.frame.(plotting.CircuitFrame)
	return frame.Part(vg.Length(at.X), vg.Length(at.Y))
}

// tap leads to where the part under the pointer is changed: here, or in the stage
// in which the coil takes shape.
func (s *driveStage) tap(at fyne.Position) {
	s.lead(s.partAt(at))
}

// point explains a part and picks it out in the drawing.
func (s *driveStage) point(key string) {
	if key == "" {
		s.hint.Show("circuit")
	} else {
		s.hint.Show(key)
	}
	if s.chosen.Swap(key) != key {
		s.circuit.stale()
		s.session.RedrawDrive()
	}
}

// drawCircuit draws the circuit; without an answer yet its values are missing.
func (s *driveStage) drawCircuit(c *raster.Canvas, r *session.Result, l look) (any, bool) {
	if r.Design.Driver.Kind == design.NoDriver {
		return nil, false
	}
	chosen, _ := s.chosen.Load().(string)
	options := plotting.CircuitOptions{Driver: r.Design.Driver, Chosen: chosen}
	if r.Drive != nil && r.Drive.Circuit.Coil != (driver.Coil{}) {
		options.Values = &r.Drive.Circuit
	}
	if r.Drive != nil && r.Drive.Exciter != nil {
		x := r.Drive.Exciter
		options.MOSFET = x.Device.IsMOSFET()
		options.Lamp = x.Clamp != nil && x.Clamp.OtherStorage != ""
		options.Alarm = r.Drive.Alarm
	}
	c.Reset()
	return plotting.DrawCircuit(draw.New(c), options, l.style), true
}

// drawDriveFigure draws one figure of the driver as its lens shows it, if it is
// known already.
func drawDriveFigure(i int, c *raster.Canvas, r *session.Result, l look, lens *lens) (any, bool) {
	p, err := driveFigure(i, r, l.style)
	if p == nil || err != nil {
		return nil, false
	}
	short := ""
	if i == driveCurve {
		short = lang.L("figure.drive") // beside the switch
	}
	return lens.render(p, short, r, c), true
}

// driveFigure returns a figure of the driver; nil: there is none, or not yet.
func driveFigure(i int, r *session.Result, style plotting.Style) (*plot.Plot, error) {
	v := r.Drive
	if v == nil {
		return nil, nil
	}
	switch {
	case i == driveFirst && v.Running != nil:
		return plotting.WaveformFigure(v.Running.Waveform, v.Exciter.Device.IsMOSFET(), style)
	case i == driveFirst && len(v.Sweep) > 0:
		return plotting.BridgeFigure(v.Sweep, *v.Bridge, v.Source, style)
	case i == driveFirst && v.Gap != nil:
		return plotting.EnergyFigure(*v.Gap, style)
	case i == driveStart && v.Running != nil:
		return plotting.StartUpFigure(*v.Running, style)
	case i == driveCurve && v.Curve != nil:
		return plotting.DriveFigure(*v.Curve, style)
	}
	return nil, nil
}

// showCauses shows all that is wrong, the likeliest first.
func (s *driveStage) showCauses() {
	if s.last != nil {
		s.showItems("drive.all_causes", view.DriveItems(&s.last.Drive))
	}
}

// showSymptoms shows, for each thing that may be seen on the bench, the check that
// decides and the cure.
func (s *driveStage) showSymptoms() {
	rows := container.NewVBox()
	if s.last != nil {
		for _, f := range s.last.Drive.Findings() {
			rows.Add(wrapped(lang.L("symptom."+string(f.Symptom)), true))
			rows.Add(wrapped(lang.L("drive.check", map[string]any{"Check": s.units.Say(f.Check)}), false))
			rows.Add(wrapped(s.units.Say(f.Cure), false))
		}
	}
	if len(rows.Objects) == 0 {
		rows.Add(wrapped(lang.L("drive.no_symptoms"), false))
	}
	s.showRows("drive.symptoms", rows)
}

func wrapped(text string, bold bool) fyne.CanvasObject {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	l.TextStyle.Bold = bold
	return l
}
