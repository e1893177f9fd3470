package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// Ends of the sliders of the room; what is typed may lie beyond.
const (
	floorDepthHigh = 1.5    // m
	ceilingHigh    = 3      // m
	airLow         = -10    // degrees Celsius
	airHigh        = 40     // degrees Celsius
	tableHeight    = 0.75   // m, of a wooden table over the floor
	boardLow       = 0.02   // m
	boardHigh      = 0.3    // m
	boardAtFirst   = 0.06   // m, of a small board with its battery
	earthHigh      = 50e-12 // F
)

// roomCard is what surrounds the coil.
type roomCard struct {
	*cardRows
}

// Grounds as the window offers them.
const (
	groundTable = iota
	groundStone
	groundMetal
	groundOpen
)

// grounds are the keys of their texts.
var grounds = []string{"ground.table", "ground.stone", "ground.metal", "ground.open"}

func groundOf(d *design.Design) int {
	switch {
	case d.Room.Ground == design.MetalPlane:
		return groundMetal
	case d.Room.Ground == design.Open:
		return groundOpen
	case d.Room.FloorDepth == tableHeight:
		return groundTable
	}
	return groundStone
}

func newRoomCard(editor Editor) *roomCard {
	c := &roomCard{newCardRows(lang.L("card.room"))}
	ground := func(ground string, depth float64) func(*design.Design) {
		return func(d *design.Design) { d.Room.Ground, d.Room.FloorDepth = ground, depth }
	}
	c.add(newChoice(editor, "room.ground", []choiceOption{
		{lang.L(grounds[groundTable]), ground(design.Floor, tableHeight)},
		{lang.L(grounds[groundStone]), ground(design.Floor, 0)},
		{lang.L(grounds[groundMetal]), ground(design.MetalPlane, 0)},
		{lang.L(grounds[groundOpen]), ground(design.Open, 0)},
	}, groundOf), nil)
	c.add(newQuantity(editor, quantitySpec{
		key: "room.floor_depth_m", measure: roomLength, high: floorDepthHigh, even: true,
		get: func(d *design.Design) float64 { return d.Room.FloorDepth },
		set: func(d *design.Design, v float64) { d.Room.FloorDepth = v },
	}), func(d *design.Design) bool { return d.Room.Ground == design.Floor })
	c.add(newChoice(editor, "room.foot", []choiceOption{
		{lang.L("foot.earthed"), func(d *design.Design) { d.Room.Foot = design.Earthed }},
		{lang.L("foot.circuit"), func(d *design.Design) {
			d.Room.Foot = design.Circuit
			if d.Room.CircuitDiameter == 0 {
				d.Room.CircuitDiameter = boardAtFirst
			}
		}},
	}, func(d *design.Design) int {
		if d.Room.Foot == design.Circuit {
			return 1
		}
		return 0
	}), nil)
	onBoard := func(d *design.Design) bool { return d.Room.Foot == design.Circuit }
	c.add(newQuantity(editor, quantitySpec{
		key: "room.circuit_diameter_m", measure: bodyLength, low: boardLow, high: boardHigh,
		get: func(d *design.Design) float64 { return d.Room.CircuitDiameter },
		set: func(d *design.Design, v float64) { d.Room.CircuitDiameter = v },
	}), onBoard)
	c.add(newQuantity(editor, quantitySpec{
		key: "room.earth_capacitance_f", measure: picofaradMeasure{}, high: earthHigh, even: true,
		get: func(d *design.Design) float64 { return d.Room.EarthCapacitance },
		set: func(d *design.Design, v float64) { d.Room.EarthCapacitance = v },
	}), onBoard)
	c.add(newQuantity(editor, quantitySpec{
		key: "room.ceiling_height_m", measure: roomLength, high: ceilingHigh, even: true,
		get: func(d *design.Design) float64 { return d.Room.CeilingHeight },
		set: func(d *design.Design, v float64) { d.Room.CeilingHeight = v },
	}), nil)
	c.add(newQuantity(editor, quantitySpec{
		key: "room.air_temperature_c", measure: celsiusMeasure{}, low: airLow, high: airHigh, even: true,
		get: func(d *design.Design) float64 { return d.Room.AirTemperature },
		set: func(d *design.Design, v float64) { d.Room.AirTemperature = v },
	}), nil)
	return c
}

func (c *roomCard) showResult(r *session.Result, _ Units) {
	degrees, unit := celsiusMeasure{}.format(r.Design.Room.AirTemperature, Millimetres)
	c.sumUp(join(lang.L(grounds[groundOf(&r.Design)]), degrees+" "+unit))
}
