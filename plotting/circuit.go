package plotting

import (
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// CircuitOptions say what the drawing of a driver's circuit shows.
type CircuitOptions struct {
	Driver design.Driver
	Values *design.CircuitFile // coil and primary as the driver sees them; nil: not known
	MOSFET bool                // the device is driven by a gate
	Lamp   bool                // the clamp is a lamp
	Chosen string              // key of the part that is picked out
	Alarm  []string            // keys of parts beyond their ratings
}

// CircuitFrame is where the parts of a circuit stand in its drawing: for the
// pointer, which counts from the top left corner in points.
type CircuitFrame struct {
	page  vg.Rectangle
	parts []circuitPart
}

// circuitPart is a part with all that belongs to it.
type circuitPart struct {
	key string
	box vg.Rectangle
}

// Part returns the key of the design that stands for the part at a place; empty:
// there is none.
func (f CircuitFrame) Part(x, y vg.Length) string {
	at := vg.Point{X: f.page.Min.X + x, Y: f.page.Max.Y - y}
	for _, p := range f.parts {
		if at.X >= p.box.Min.X && at.X <= p.box.Max.X && at.Y >= p.box.Min.Y && at.Y <= p.box.Max.Y {
			return p.key
		}
	}
	return ""
}

// Box returns where a part stands, from the top left corner; ok is false if the
// circuit has no such part.
func (f CircuitFrame) Box(key string) (x, y, width, height vg.Length, ok bool) {
	for _, p := range f.parts {
		if p.key == key {
			size := p.box.Size()
			return p.box.Min.X - f.page.Min.X, f.page.Max.Y - p.box.Max.Y, size.X, size.Y, true
		}
	}
	return 0, 0, 0, 0, false
}

// Size of the grid of a circuit, in its units.
const (
	circuitWidth  = 112.0
	circuitHeight = 76.0
)

// Keys of the parts that are not the driver's own.
const (
	partSecondary = "secondary.turns"
	partPrimary   = "primary.turns"
	partCoupling  = "primary.inner_diameter_m"
)

// DrawCircuit draws the circuit of a driver as large as the canvas allows, with
// standard symbols and the values beside them, and returns where its parts are.
// Without a driver it draws none.
func DrawCircuit(c draw.Canvas, options CircuitOptions, style Style) CircuitFrame {
	c.SetColor(style.Background)
	c.Fill(c.Rectangle.Path())
	size := c.Size()
	scale := min(size.X/circuitWidth, size.Y/circuitHeight)
	s := &schematic{
		Canvas: c, style: style, scale: scale, chosen: options.Chosen, alarm: map[string]bool{},
		origin: vg.Point{X: c.Min.X + (size.X-scale*circuitWidth)/2, Y: c.Min.Y + (size.Y-scale*circuitHeight)/2},
		frame:  CircuitFrame{page: c.Rectangle},
	}
	for _, key := range options.Alarm {
		s.alarm[key] = true
	}
	switch options.Driver.Kind {
	case design.FeedbackExciter:
		s.exciter(options)
	case design.HalfBridge:
		s.bridge(options)
	case design.SparkGap:
		s.sparkGap(options)
	}
	return s.frame
}

// part remembers a part between two corners and writes its words beside it: to
// the right of the spot, or to its left.
func (s *schematic) part(key string, a, b, words spot, left bool, lines ...string) {
	text := newBlock(strings.Join(lines, "\n"), sans(s.typeSize()))
	size := text.size()
	corner := s.at(words)
	align := 0.0
	if left {
		corner.X -= size.X
		align = 1
	}
	corner.Y -= size.Y / 2
	s.SetColor(s.ink(key))
	text.draw(s, corner, align)
	box := vg.Rectangle{Min: s.at(a), Max: s.at(b)}
	box.Min.X, box.Max.X = min(box.Min.X, corner.X), max(box.Max.X, corner.X+size.X)
	box.Min.Y, box.Max.Y = min(box.Min.Y, corner.Y), max(box.Max.Y, corner.Y+size.Y)
	if key != "" {
		s.frame.parts = append(s.frame.parts, circuitPart{key, box})
	}
}

// typeSize is that of labels, less on a small canvas.
func (s *schematic) typeSize() vg.Length { return min(s.style.LabelSize, 3.1*s.scale) }

func (s *schematic) exciter(o CircuitOptions) {
	d := &o.Driver
	const bottom, rail, base = 8.0, 64.0, 30.0
	right := 76.0
	if c := d.CollectorCapacity; c != nil && *c > 0 {
		right = 99
	}
	s.lead(spot{10, bottom}, spot{right, bottom})
	s.ground(spot{52, bottom})

	// Supply.
	s.battery("driver.supply_v", spot{10, bottom}, spot{10, 34})
	s.part("driver.supply_v", spot{6, 14}, spot{14, 30}, spot{13.6, 21}, false, stated(d.Supply, si.Volt))
	s.resistor("driver.supply_resistance_ohm", spot{10, 34}, spot{10, 54})
	s.part("driver.supply_resistance_ohm", spot{7, 38}, spot{13, 50}, spot{12.6, 44}, false, printed(d.SupplyResistance, ohmUnit))
	s.lead(spot{10, 54}, spot{10, rail})
	railFrom := 10.0
	if d.SupplyChoke != nil && *d.SupplyChoke > 0 {
		s.winding("driver.supply_choke_h", spot{10, rail}, spot{26, rail}, 4, -1, false)
		s.part("driver.supply_choke_h", spot{12, rail - 2}, spot{24, rail + 4}, spot{13, rail + 4}, false, printed(*d.SupplyChoke, henryUnit))
		railFrom = 26
	}
	s.lead(spot{railFrom, rail}, spot{76, rail})

	// Base.
	s.resistor("driver.base_resistor_ohm", spot{33, rail}, spot{33, base})
	s.joint(spot{33, rail})
	s.joint(spot{33, base})
	s.part("driver.base_resistor_ohm", spot{31, 42}, spot{35, 52}, spot{35.6, 49}, false, printed(d.BaseResistor, ohmUnit))
	var terminals [3]spot
	middle := spot{74, base}
	if o.MOSFET {
		terminals[0], terminals[1], terminals[2] = s.mosfet("driver.device", middle)
	} else {
		terminals[0], terminals[1], terminals[2] = s.transistor("driver.device", middle)
	}
	s.part("driver.device", spot{69, 25}, spot{79, 35}, spot{80, base}, false, s.partName(d.Device))
	s.lead(spot{33, base}, terminals[0])
	if d.Clamp.Name != "" || d.Clamp.Type != "" {
		s.diode("driver.clamp", spot{43, bottom}, spot{43, base}, o.Lamp)
		s.joint(spot{43, bottom})
		s.joint(spot{43, base})
		s.part("driver.clamp", spot{40, 15}, spot{46, 24}, spot{46, 17}, false, s.partName(d.Clamp))
	}
	if r := d.GateResistor; r != nil && *r > 0 {
		s.lead(spot{25, base}, spot{33, base})
		s.joint(spot{25, bottom})
		s.resistor("driver.gate_resistor_ohm", spot{25, bottom}, spot{25, base})
		s.part("driver.gate_resistor_ohm", spot{23, 14}, spot{27, 24}, spot{27.6, 19}, false, printed(*r, ohmUnit))
	} else if b := d.BaseCapacitance; b != nil && *b > 0 {
		s.lead(spot{25, base}, spot{33, base})
		s.joint(spot{25, bottom})
		s.capacitor("driver.base_capacitance_f", spot{25, bottom}, spot{25, base})
		s.part("driver.base_capacitance_f", spot{22, 17}, spot{28, 21}, spot{28.4, 19}, false, printed(*b, faradUnit))
	}

	// Coil.
	s.lead(spot{56, base}, spot{56, 34})
	s.joint(spot{56, base})
	s.winding(partSecondary, spot{56, 34}, spot{56, 60}, 7, -1, false)
	s.lead(spot{56, 60}, spot{56, 69})
	s.topLoad(spot{56, 69})
	s.part(partSecondary, spot{51, 36}, spot{57, 72}, spot{53, 71}, true, s.coilWords(o)...)

	// Primary: its dot is at the supply's end when wound the same way.
	s.winding(partPrimary, spot{76, 38}, spot{76, 60}, 4, -1, d.Sense >= 0)
	s.lead(spot{76, 60}, spot{76, rail})
	s.lead(terminals[1], spot{76, 38})
	s.part(partPrimary, spot{73, 42}, spot{77, 58}, spot{78.4, 50}, false, s.primaryWords(o)...)
	s.coupling(o, spot{59.5, 49}, spot{71.5, 49})

	// Emitter and collector.
	emitter := terminals[2]
	if r := d.EmitterResistor; r != nil && *r > 0 {
		s.resistor("driver.emitter_resistor_ohm", spot{emitter.x, bottom}, emitter)
		s.part("driver.emitter_resistor_ohm", spot{emitter.x - 2, 12}, spot{emitter.x + 2, 22}, spot{emitter.x - 2.6, 16}, true, printed(*r, ohmUnit))
	} else {
		s.lead(emitter, spot{emitter.x, bottom})
	}
	s.joint(spot{emitter.x, bottom})
	if c := d.CollectorCapacity; c != nil && *c > 0 {
		s.lead(spot{76, 37}, spot{right, 37}, spot{right, 26})
		s.joint(spot{76, 37})
		s.capacitor("driver.collector_capacitance_f", spot{right, bottom}, spot{right, 26})
		s.part("driver.collector_capacitance_f", spot{right - 3, 15}, spot{right + 3, 19}, spot{right + 3.4, 17}, false, printed(*c, faradUnit))
	}
}

func (s *schematic) bridge(o CircuitOptions) {
	d := &o.Driver
	const bottom, line = 12.0, 52.0
	s.square("driver.bus_v", spot{14, bottom}, spot{14, line})
	s.part("driver.bus_v", spot{10, 28}, spot{18, 36}, spot{19.4, 32}, false, "±"+stated(d.Bus/2, si.Volt), s.squareWords(o))
	s.resistor("driver.source_resistance_ohm", spot{14, line}, spot{34, line})
	s.part("driver.source_resistance_ohm", spot{19, line - 2}, spot{29, line + 2}, spot{19, line + 4.4}, false, printed(d.SourceResistance, ohmUnit))
	from := spot{34, line}
	if d.Feed == design.FeedSeriesTuned {
		s.capacitor("driver.series_capacitance_f", spot{34, line}, spot{50, line})
		s.part("driver.series_capacitance_f", spot{40, line - 3}, spot{44, line + 3}, spot{38, line + 5}, false, printed(d.SeriesCapacitance, faradUnit))
		from.x = 50
	}
	s.ground(spot{48, bottom})
	if d.Feed == design.FeedBase {
		s.lead(spot{14, bottom}, spot{48, bottom})
		s.lead(from, spot{66, line}, spot{66, 22}, spot{82, 22})
		s.winding(partSecondary, spot{82, 22}, spot{82, 58}, 9, 1, false)
	} else {
		s.lead(spot{14, bottom}, spot{82, bottom})
		s.lead(from, spot{62, line})
		s.winding(partPrimary, spot{62, bottom}, spot{62, line}, 4, 1, false)
		s.part(partPrimary, spot{60, 24}, spot{65, 40}, spot{59.4, 32}, true, s.primaryWords(o)...)
		s.winding(partSecondary, spot{82, bottom}, spot{82, 58}, 9, -1, false)
		s.coupling(o, spot{66, 32}, spot{78, 32})
	}
	s.lead(spot{82, 58}, spot{82, 64})
	s.topLoad(spot{82, 64})
	s.part(partSecondary, spot{79, 24}, spot{85, 68}, spot{86, 40}, false, s.coilWords(o)...)
}

func (s *schematic) sparkGap(o CircuitOptions) {
	d := &o.Driver
	const bottom, line = 12.0, 52.0
	s.capacitor("driver.tank_capacitance_f", spot{18, bottom}, spot{18, line})
	s.part("driver.tank_capacitance_f", spot{15, 29}, spot{21, 35}, spot{21.6, 32}, false, printed(d.TankCapacitance, faradUnit))
	s.gap("driver.firing_voltage_v", spot{18, line}, spot{36, line})
	s.part("driver.firing_voltage_v", spot{22, line - 2}, spot{32, line + 2}, spot{21, line + 4.6}, false, stated(d.FiringVoltage, si.Kilovolt))
	s.resistor("driver.arc_resistance_ohm", spot{36, line}, spot{54, line})
	s.part("driver.arc_resistance_ohm", spot{41, line - 2}, spot{49, line + 2}, spot{41, line + 4.6}, false, s.style.say("%s arc", printed(d.ArcResistance, ohmUnit)))
	s.lead(spot{54, line}, spot{62, line})
	s.winding(partPrimary, spot{62, bottom}, spot{62, line}, 4, 1, false)
	s.part(partPrimary, spot{60, 24}, spot{65, 40}, spot{59.4, 32}, true, s.primaryWords(o)...)
	s.lead(spot{18, bottom}, spot{82, bottom})
	s.ground(spot{48, bottom})
	s.winding(partSecondary, spot{82, bottom}, spot{82, 58}, 9, -1, false)
	s.coupling(o, spot{66, 32}, spot{78, 32})
	s.lead(spot{82, 58}, spot{82, 64})
	s.topLoad(spot{82, 64})
	s.part(partSecondary, spot{79, 24}, spot{85, 68}, spot{86, 40}, false, s.coilWords(o)...)
	if d.Repetition > 0 {
		s.part("driver.repetition_hz", spot{4, line - 3}, spot{17, line + 3}, spot{3, line + 4.6}, false, stated(d.Repetition, si.Hertz))
	}
	s.lead(spot{12, line}, spot{18, line}) // from the charging supply
	s.arrow("", spot{8, line}, spot{13, line})
	s.joint(spot{18, line})
}

// coupling writes k between two windings with a bow over it.
func (s *schematic) coupling(o CircuitOptions, a, b spot) {
	if o.Values == nil || o.Values.Primary.Coupling == 0 {
		return
	}
	middle := spot{(a.x + b.x) / 2, a.y}
	half := (b.x - a.x) / 2
	s.arc(partCoupling, spot{middle.x, middle.y - half*0.6}, half*0.95, math.Pi/4, math.Pi/2)
	text := newBlock("k "+si.FormatNumber(o.Values.Primary.Coupling, 2), sans(s.typeSize()))
	size := text.size()
	at := s.at(middle)
	s.SetColor(s.ink(partCoupling))
	corner := vg.Point{X: at.X - size.X/2, Y: at.Y - size.Y*1.3}
	text.draw(s, corner, 0)
	s.frame.parts = append(s.frame.parts, circuitPart{partCoupling, vg.Rectangle{
		Min: vg.Point{X: min(s.at(a).X, corner.X), Y: corner.Y}, Max: vg.Point{X: max(s.at(b).X, corner.X+size.X), Y: at.Y + vg.Length(half*0.4)*s.scale},
	}})
}

// coilWords are the secondary's values.
func (s *schematic) coilWords(o CircuitOptions) []string {
	if o.Values == nil {
		return []string{s.style.say("coil")}
	}
	c := o.Values.Coil
	return []string{henries(c.Inductance), farads(c.Capacitance), "Q " + si.FormatNumber(c.QUnloaded(), 3)}
}

// primaryWords are the primary's values.
func (s *schematic) primaryWords(o CircuitOptions) []string {
	if o.Values == nil {
		return []string{s.style.say("primary")}
	}
	return []string{henries(o.Values.Primary.Inductance)}
}

// squareWords is the frequency of a bridge that is held to one.
func (s *schematic) squareWords(o CircuitOptions) string {
	if o.Driver.Frequency == 0 {
		return s.style.say("at resonance")
	}
	return si.Format(o.Driver.Frequency, frequencyUnit(o.Driver.Frequency), 4)
}

// partName is what a part is called.
func (s *schematic) partName(p design.Part) string {
	if p.Name == "" {
		return s.style.say("own model")
	}
	return p.Name
}

// printed words a value as it is printed on a part, in the unit for its size.
func printed(x float64, unit func(float64) si.Unit) string { return stated(x, unit(x)) }

// stated words a value that was typed, without the rounding of a slider's steps.
func stated(x float64, unit si.Unit) string {
	const digits = 6
	if x == 0 {
		return si.Format(0, unit, si.Shortest)
	}
	scale := math.Pow(10, digits-1-math.Floor(math.Log10(math.Abs(x))))
	return si.Format(math.Round(x*scale)/scale, unit, si.Shortest)
}

// farads and henries word computed values.
func farads(x float64) string  { return si.Format(x, faradUnit(x), 3) }
func henries(x float64) string { return si.Format(x, henryUnit(x), 3) }

func faradUnit(x float64) si.Unit {
	switch {
	case x < 1e-9:
		return si.Picofarad
	case x < 1e-6:
		return si.Nanofarad
	}
	return si.Microfarad
}

func henryUnit(x float64) si.Unit {
	switch {
	case x < 1e-3:
		return si.Microhenry
	case x < 1:
		return si.Millihenry
	}
	return si.Henry
}
