package view

import (
	"math"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
	"coilwright/physics/breakdown"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Ends of the sliders of voltage and distance, which are even in their logarithm.
const (
	airVoltsLow, airVoltsHigh = 300, 100e3 // V
	nearLow, nearHigh         = 0.05, 2    // m
)

// AirState is what the user picked about the air.
type AirState struct {
	Volts float64 // crest of the top, V
	Near  design.Near
}

// AirNumbers is what holds in that state. What is not known is nil or empty.
type AirNumbers struct {
	Air          design.AirReport
	Sparks       *breakdown.Length
	PowerSparks  *breakdown.Length // by the power that the coil takes
	TubeNear     float64           // m
	TubeFar      float64           // m
	Levels       []breakdown.ReferenceLevel
	LevelReaches []float64 // m, one per level
	Near         *design.NearEffect
	NearProblem  string
	Frequency    float64 // Hz
}

// Air shows what the air does: what glows first, where it flashes over, how far sparks
// and field reach, and what a body nearby changes.
type Air struct {
	// OnChange is asked for the numbers of a state.
	OnChange func(AirState) AirNumbers

	state   AirState
	units   Units
	driven  bool // the voltage is the driver's
	volts   *Slider
	read    *Text // the voltage
	kinds   *Segments
	sides   *Segments
	far     *Slider
	farRead *Text
	places  *fyne.Container
	near    *fyne.Container
	object  *fyne.Container
}

// NewAir returns the sheet in a state; driven says that its voltage is the driver's.
func NewAir(state AirState, driven bool, units Units, numbers func(AirState) AirNumbers) *Air {
	a := &Air{OnChange: numbers, state: state, units: units, driven: driven, volts: NewSlider(), far: NewSlider()}
	a.read = NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
	a.farRead = NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
	for _, t := range []*Text{a.read, a.farRead} {
		t.align = fyne.TextAlignTrailing
	}
	a.places, a.near = container.NewVBox(), container.NewVBox()
	onLog(a.volts, airVoltsLow, airVoltsHigh, a.state.Volts, func(v float64) {
		a.state.Volts, a.driven = v, false
		a.show()
	})
	onLog(a.far, nearLow, nearHigh, a.state.Near.Distance, func(v float64) {
		a.state.Near.Distance = v
		a.show()
	})
	a.kinds = NewSegments(lang.L("air.near.hand"), lang.L("air.near.tube"), lang.L("air.near.held"))
	a.kinds.SetPicked(int(state.Near.Kind))
	a.kinds.OnPick = func(i int) {
		a.state.Near.Kind = design.NearKind(i)
		a.show()
	}
	a.sides = NewSegments(lang.L("air.near.beside"), lang.L("air.near.above"))
	if state.Near.Above {
		a.sides.SetPicked(1)
	}
	a.sides.OnPick = func(i int) {
		a.state.Near.Above = i == 1
		a.show()
	}
	line := func(name string, control fyne.CanvasObject, number *Text) fyne.CanvasObject {
		t := NewText(lang.L(name), theme.ColorNameMuted, fynetheme.SizeNameText)
		return container.New(airLine{}, t, control, number)
	}
	rows := container.NewVBox()
	sentences(rows, lang.L("air.caution"))
	rows.Add(line("air.volts", a.volts, a.read))
	rows.Add(a.places)
	heading(rows, "air.near")
	rows.Add(container.NewHBox(a.kinds, a.sides))
	rows.Add(line("air.near.distance", a.far, a.farRead))
	rows.Add(a.near)
	a.object = rows
	a.show()
	return a
}

// Object returns what to put into a dialog.
func (a *Air) Object() *fyne.Container { return a.object }

// onLog makes a slider run from low to high in the logarithm.
func onLog(s *Slider, low, high, start float64, moved func(float64)) {
	span := math.Log(high / low)
	place := func(v float64) float64 { return math.Log(v/low) / span }
	set := func(position float64) {
		position = min(max(position, 0), 1)
		s.Place(position)
		moved(low * math.Exp(span*position))
	}
	s.Place(place(start))
	s.OnMove = set
	const steps = 100
	s.OnStep = func(n int) { set(s.At() + float64(n)/steps) }
	s.OnReset = func() { set(place(start)) }
}

// show brings all numbers up to the state.
func (a *Air) show() {
	n := a.OnChange(a.state)
	read := si.FormatPrefixed(a.state.Volts, si.Volt, 2)
	if a.driven {
		read = lang.L("air.driven", map[string]any{"Voltage": read})
	}
	a.read.Set(read)
	a.farRead.Set(a.length(a.state.Near.Distance))
	a.places.Objects = nil
	a.showPlaces(&n)
	a.showReach(&n)
	a.places.Refresh()
	a.near.Objects = nil
	a.showNear(&n)
	a.near.Refresh()
}

// length writes a length with two digits.
func (a *Air) length(metres float64) string {
	switch {
	case a.units == Inches:
		return si.Format(metres, si.Inch, 2)
	case metres >= 1:
		return si.Format(metres, si.Metre, 2)
	}
	return si.Format(metres, si.Millimetre, 2)
}

func (a *Air) showPlaces(n *AirNumbers) {
	heading(a.places, "air.places")
	if len(n.Air.Places) == 0 {
		sentences(a.places, lang.L("air.no_places"))
	}
	const perCentimetre = 1e-5 // kV/cm in a V/m
	for i, p := range n.Air.Places {
		onset := *p.CoronaOnset
		name := lang.L("air.place", map[string]any{
			"Number": strconv.Itoa(i + 1), "Name": a.units.Say(p.Name.Words()),
			"Field": si.FormatNumber(perCentimetre*a.state.Volts**p.SurfaceGradientPerVolt, 2),
			"Bears": si.FormatNumber(perCentimetre*onset**p.SurfaceGradientPerVolt, 2),
		})
		a.places.Add(newShare(name, a.state.Volts/onset, fromTo(*p.CoronaOnsetLow, *p.CoronaOnsetHigh, si.Volt)))
	}
	if len(n.Air.Places) > 0 {
		sentences(a.places, lang.L("air.rests", map[string]any{"Rests": a.units.Say(n.Air.Places[0].RestsOn)}))
	}
	heading(a.places, "air.gaps")
	for _, g := range n.Air.Gaps {
		a.places.Add(newShare(lang.L("air.gap", map[string]any{"Name": a.units.Say(g.Words()), "Length": a.length(*g.Length)}),
			a.state.Volts / *g.FlashOver, fromTo(*g.FlashOverLow, *g.FlashOverTop, si.Volt)))
	}
	if len(n.Air.Gaps) == 0 {
		sentences(a.places, lang.L("air.no_gaps"))
	} else {
		sentences(a.places, lang.L("air.gaps_rest"))
	}
}

func (a *Air) showReach(n *AirNumbers) {
	heading(a.places, "air.reach")
	switch {
	case n.Sparks == nil:
		sentences(a.places, lang.L("air.no_sparks"))
	default:
		key := "air.sparks"
		if n.Air.CoronaOnsetLow != nil && a.state.Volts < *n.Air.CoronaOnsetLow {
			key = "air.sparks_below"
		}
		sentences(a.places, lang.L(key, map[string]any{"Short": a.length(n.Sparks.Short), "Long": a.length(n.Sparks.Long)}))
	}
	if n.PowerSparks != nil {
		sentences(a.places, lang.L("air.sparks_power", map[string]any{"Short": a.length(n.PowerSparks.Short), "Long": a.length(n.PowerSparks.Long)}))
	}
	sentences(a.places, lang.L("air.tube", map[string]any{"Near": a.length(n.TubeNear), "Far": a.length(n.TubeFar)}))
	for i, level := range n.Levels {
		sentences(a.places, lang.L("air.level", map[string]any{
			"Name": level.Name, "Field": si.FormatNumber(level.Field, 2), "Source": level.Source, "Status": string(level.Status), "Distance": a.length(n.LevelReaches[i]),
		}))
	}
	sentences(a.places, lang.L("air.levels_rest"))
}

func (a *Air) showNear(n *AirNumbers) {
	if n.Near == nil {
		text := n.NearProblem
		if text == "" {
			text = lang.L("air.near.none")
		}
		sentences(a.near, text)
		return
	}
	key := "air.near.effect"
	if !n.Near.Small() {
		key = "air.near.large"
	}
	sentences(a.near, lang.L(key, map[string]any{
		"Shift": percentOf(n.Near.Frequency), "Hertz": si.FormatPrefixed(math.Abs(n.Near.Frequency)*n.Frequency, si.Hertz, 2),
		"Gradient": percentOf(n.Near.Gradient), "Facing": percentOf(n.Near.Facing),
	}))
}

// fromTo writes a range, its unit once.
func fromTo(low, high float64, unit si.Unit) string {
	a, b := si.FormatPrefixed(low, unit, 2), si.FormatPrefixed(high, unit, 2)
	if bare, of, ok := cutUnit(a); ok && len(b) > len(of) && b[len(b)-len(of):] == of {
		a = bare
	}
	return a + "–" + b
}

// airLine lays out a name, a control and a number.
type airLine struct{}

func (airLine) MinSize(objects []fyne.CanvasObject) fyne.Size {
	number := fynetheme.Size(theme.SizeNameShareNumber)
	return fyne.NewSize(3*number, fynetheme.Size(theme.SizeNameRow))
}

func (airLine) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	number := fynetheme.Size(theme.SizeNameShareNumber)
	name := 2 * number
	objects[0].Resize(fyne.NewSize(name, size.Height))
	objects[1].Move(fyne.NewPos(name, 0))
	objects[1].Resize(fyne.NewSize(size.Width-name-1.5*number, size.Height))
	objects[2].Move(fyne.NewPos(size.Width-1.5*number, 0))
	objects[2].Resize(fyne.NewSize(1.5*number, size.Height))
}
