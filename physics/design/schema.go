package design

import (
	"math"
	"strconv"

	"coilwright/physics/sentence"
)

// Limits of texts and lists.
const (
	maxName         = 200     // characters of a name
	maxNotes        = 100_000 // characters of notes
	maxWord         = 100     // characters of a gauge, a part, a date
	maxVariants     = 200
	maxMeasurements = 5000
)

// Limits of numbers. They are far wider than the coils this program is for and
// keep out what can only be a slip: a diameter typed in millimetres, a minus
// sign. What does not go together although each number is possible is found by
// [Check].
var (
	anyNumber    = limits{min: -math.MaxFloat64, max: math.MaxFloat64}
	positive     = limits{min: 0, max: math.MaxFloat64}
	size         = limits{min: 1e-6, max: 10, unit: "m"}               // of a body
	sizeOrZero   = limits{min: 1e-6, max: 10, unit: "m", orZero: true} // 0: by default
	height       = limits{min: 0, max: 100, unit: "m"}                 // over or under z = 0
	halfWidth    = limits{min: 0, max: 1, unit: "m"}                   // of a tolerance
	turnsOfCoil  = limits{min: 1, max: 5000}
	turnsOfRing  = limits{min: 1, max: 5000}
	ohms         = limits{min: 0, max: 1e9, unit: "ohm"}
	farads       = limits{min: 0, max: 1, unit: "F"}
	volts        = limits{min: 0, max: 1e6, unit: "V"}
	hertz        = limits{min: 0, max: 1e9, unit: "Hz"}
	seconds      = limits{min: 0, max: 1e6, unit: "s"}
	permittivity = limits{min: 1, max: 1000}
	lossTangent  = limits{min: 0, max: 10}

	permittivityOrZero = limits{min: 1, max: 1000, orZero: true}
	celsius            = limits{min: -60, max: 100, unit: "°C"}
	pascals            = limits{min: 1000, max: 200_000, unit: "Pa"}
)

// Values of an absent key; the rest default to 0 or to nothing.
const (
	defaultFormerWall = 0.0015 // m
	defaultBaseHeight = 0.02   // m
	defaultTopHeight  = 0.01   // m
	defaultPressure   = 101325 // Pa, one standard atmosphere (ISO 2533)
	defaultAir        = 20     // degrees Celsius
)

// fromFile returns a design with what the absent keys of a file stand for.
func fromFile() Design {
	return Design{
		Secondary: Secondary{
			FormerWall:                 defaultFormerWall,
			FormerRelativePermittivity: 1,
			Wire:                       Wire{Insulation: Bare},
			BaseHeight:                 defaultBaseHeight,
		},
		TopLoad: TopLoad{Height: defaultTopHeight, Wire: Wire{Insulation: Bare}, Closed: true, Lead: Lead{Wire: Wire{Insulation: Bare}}},
		Primary: Primary{Kind: NoPrimary, Wire: Wire{Insulation: Bare}, BaseHeight: defaultBaseHeight},
		Driver:  Driver{Kind: NoDriver, Sense: 1, Feed: FeedUntuned},
		Room: Room{
			Ground:         Floor,
			Foot:           Earthed,
			AirTemperature: defaultAir,
			AirPressure:    defaultPressure,
		},
	}
}

// wholeDesign is the object of a design file. Format and version are words of
// the file, not of the design, so it is told where to put them.
func wholeDesign(d *Design, format *string, version *int) object {
	return object{fields: func() []field {
		fields := []field{
			{key: "format", value: word{format, oneOf(Format)}, need: required},
			{key: "version", value: whole{version, limits{min: 1, max: Version}}, need: required},
		}
		fields = append(fields, bodyFields(d)...)
		return append(fields,
			field{key: "variants", value: list[Design]{&d.Variants, maxVariants, fromFile, variant}},
			field{key: "measurements", value: list[Measurement]{&d.Measurements, maxMeasurements, newMeasurement, measurement}},
		)
	}}
}

// variant is a design inside another: it has a name, no variants of its own,
// and may state format and version, which are not kept.
func variant(d *Design) value {
	var format string
	var version int
	return object{fields: func() []field {
		fields := []field{
			{key: "format", value: word{&format, oneOf("", Format)}, need: spare},
			{key: "version", value: whole{&version, limits{min: Version, max: Version, orZero: true}}, need: spare},
		}
		body := bodyFields(d)
		body[0].need = required // the name
		return append(append(fields, body...),
			field{key: "variants", value: noVariants{&d.Variants}, need: spare},
			field{key: "measurements", value: list[Measurement]{&d.Measurements, maxMeasurements, newMeasurement, measurement}},
		)
	}}
}

// bodyFields are the keys that a design and its variants share, the name
// first.
func bodyFields(d *Design) []field {
	return []field{
		{key: "name", value: text{&d.Name, maxName}},
		{key: "notes", value: text{&d.Notes, maxNotes}},
		{key: "secondary", value: secondary(&d.Secondary), need: required},
		{key: "top_load", value: topLoad(&d.TopLoad), need: required},
		{key: "primary", value: primary(&d.Primary)},
		{key: "driver", value: driverKeys(&d.Driver)},
		{key: "room", value: room(&d.Room)},
		{key: "target_frequency_hz", value: quantity{&d.TargetFrequency, hertz}, need: spare},
		{key: "tolerances", value: tolerances(&d.Tolerances)},
	}
}

// noVariants is the list of variants of a variant, which must be empty.
type noVariants struct {
	at *[]Design
}

func (v noVariants) read(r *reader, path string, n *node) {
	if r.is(kindList, path, n) && len(n.items) > 0 {
		r.refuse(CodeWrongKind, path, sentence.New("a variant has no variants of its own"))
	}
}

func (v noVariants) check(r *reader, path string) {
	if len(*v.at) > 0 {
		r.refuse(CodeWrongKind, path, sentence.New("a variant has no variants of its own"))
	}
}
func (v noVariants) write(to []byte) []byte { return append(to, "[]"...) }
func (v noVariants) unset() bool            { return true }

func wireOf(w *Wire) object {
	return object{fields: func() []field {
		return []field{
			{key: "gauge", value: word{&w.Gauge, knownGauge}, need: required},
			{key: "insulation", value: word{&w.Insulation, oneOf(Bare, Single, Heavy)}},
			{key: "overall_diameter_m", value: quantity{&w.OverallDiameter, sizeOrZero}, need: spare},
		}
	}}
}

func secondary(s *Secondary) object {
	return object{fields: func() []field {
		return []field{
			{key: "former_diameter_m", value: quantity{&s.FormerDiameter, size}, need: required},
			{key: "former_wall_m", value: quantity{&s.FormerWall, sizeOrZero}},
			{key: "former_relative_permittivity", value: quantity{&s.FormerRelativePermittivity, permittivity}},
			{key: "former_loss_tangent", value: quantity{&s.FormerLossTangent, lossTangent}},
			{key: "turns", value: quantity{&s.Turns, turnsOfCoil}, need: required},
			{key: "wire", value: wireOf(&s.Wire), need: required},
			{key: "pitch_m", value: quantity{&s.Pitch, sizeOrZero}},
			{key: "packing", value: quantity{&s.Packing, limits{min: 1, max: 10, orZero: true}}, need: spare},
			{key: "base_height_m", value: quantity{&s.BaseHeight, height}},
			{key: "enamel_relative_permittivity", value: quantity{&s.EnamelRelativePermittivity, permittivityOrZero}, need: spare},
			{key: "enamel_loss_tangent", value: quantity{&s.EnamelLossTangent, lossTangent}, need: spare},
			{key: "varnish_thickness_m", value: quantity{&s.VarnishThickness, sizeOrZero}, need: spare},
			{key: "varnish_relative_permittivity", value: quantity{&s.VarnishRelativePermittivity, permittivityOrZero}, need: spare},
			{key: "varnish_loss_tangent", value: quantity{&s.VarnishLossTangent, lossTangent}, need: spare},
		}
	}}
}

func topLoad(t *TopLoad) object {
	ring := []string{WireRing}
	solid := []string{Torus, Sphere, Disc}
	return object{kind: &t.Kind, fields: func() []field {
		return []field{
			{key: "kind", value: word{&t.Kind, oneOf(NoTopLoad, WireRing, Torus, Sphere, Disc)}, need: required, selector: true},
			{key: "height_m", value: quantity{&t.Height, limits{min: -10, max: 10, unit: "m"}}, kinds: append(ring, solid...)},
			{key: "wire", value: wireOf(&t.Wire), need: required, kinds: ring},
			{key: "former_diameter_m", value: quantity{&t.FormerDiameter, size}, need: required, kinds: ring},
			{key: "turns", value: whole{&t.Turns, turnsOfRing}, need: required, kinds: ring},
			{key: "hub_diameter_m", value: quantity{&t.HubDiameter, size}, need: required, kinds: ring},
			{key: "outer_diameter_m", value: quantity{&t.OuterDiameter, size}, need: required, kinds: []string{Torus}},
			{key: "tube_diameter_m", value: quantity{&t.TubeDiameter, size}, need: required, kinds: []string{Torus}},
			{key: "diameter_m", value: quantity{&t.Diameter, size}, need: required, kinds: []string{Sphere, Disc}},
			{key: "thickness_m", value: quantity{&t.Thickness, sizeOrZero}, need: required, kinds: []string{Disc}},
			{key: "closed", value: truth{&t.Closed}, kinds: solid},
			{key: "lead", value: lead(&t.Lead), need: spare, kinds: append(ring, solid...)},
			{key: "breakout", value: breakout(&t.Breakout), need: spare, kinds: append(ring, solid...)},
			{key: "tip", value: tip(&t.Tip), need: spare, kinds: append(ring, solid...)},
		}
	}}
}

func lead(l *Lead) object {
	return object{
		absent: func() bool { return l.Place == "" },
		fields: func() []field {
			return []field{
				{key: "place", value: word{&l.Place, oneOf(OnAxis, Outside)}, need: required},
				{key: "wire", value: wireOf(&l.Wire), need: required},
				{key: "sleeve_m", value: quantity{&l.Sleeve, sizeOrZero}},
			}
		},
	}
}

func breakout(b *Breakout) object {
	return object{
		absent: func() bool { return *b == Breakout{} },
		fields: func() []field {
			return []field{
				{key: "length_m", value: quantity{&b.Length, size}, need: required},
				{key: "tip_radius_m", value: quantity{&b.TipRadius, size}, need: required},
			}
		},
	}
}

func tip(t *Tip) object {
	return object{
		absent: func() bool { return *t == Tip{} },
		fields: func() []field {
			return []field{
				{key: "length_m", value: quantity{&t.Length, size}, need: required},
				{key: "radius_m", value: quantity{&t.Radius, size}, need: required},
			}
		},
	}
}

func primary(p *Primary) object {
	some := []string{Cylinder, Spiral, Cone}
	return object{kind: &p.Kind, fields: func() []field {
		var angle value = quantity{&p.ConeAngle, limits{min: 0, max: 90, unit: "degrees"}}
		if p.Kind != Cone {
			angle = zero{sentence.New("only a cone has an angle")}
		}
		return []field{
			{key: "kind", value: word{&p.Kind, oneOf(NoPrimary, Cylinder, Spiral, Cone)}, selector: true},
			{key: "turns", value: quantity{&p.Turns, limits{min: 0.1, max: 200}}, need: required, kinds: some},
			{key: "tap_turns", value: quantity{&p.TapTurns, limits{min: 0.1, max: 200, orZero: true}}, kinds: some},
			{key: "inner_diameter_m", value: quantity{&p.InnerDiameter, size}, need: required, kinds: some},
			{key: "pitch_m", value: quantity{&p.Pitch, sizeOrZero}, kinds: some},
			{key: "wire", value: wireOf(&p.Wire), need: required, kinds: some},
			{key: "base_height_m", value: quantity{&p.BaseHeight, height}, kinds: some},
			{key: "cone_angle_deg", value: angle, kinds: some},
		}
	}}
}

func driverKeys(d *Driver) object {
	exciter := []string{FeedbackExciter}
	bridge := []string{HalfBridge}
	gap := []string{SparkGap}
	all := []string{FeedbackExciter, HalfBridge, SparkGap}
	return object{kind: &d.Kind, fields: func() []field {
		return []field{
			{key: "kind", value: word{&d.Kind, oneOf(NoDriver, FeedbackExciter, HalfBridge, SparkGap)}, selector: true},

			{key: "supply_v", value: quantity{&d.Supply, volts}, need: required, kinds: exciter},
			{key: "supply_resistance_ohm", value: quantity{&d.SupplyResistance, ohms}, kinds: exciter},
			{key: "device", value: device{at: &d.Device, types: []string{"npn", "nmos", "vdmos"}}, need: required, kinds: exciter},
			{key: "base_resistor_ohm", value: quantity{&d.BaseResistor, ohms}, need: required, kinds: exciter},
			{key: "clamp", value: device{at: &d.Clamp, types: []string{"d"}, orNil: true}, kinds: exciter},
			{key: "sense", value: sense{&d.Sense}, kinds: exciter},
			{key: "emitter_resistor_ohm", value: optional{&d.EmitterResistor, ohms}, need: spare, kinds: exciter},
			{key: "base_capacitance_f", value: optional{&d.BaseCapacitance, farads}, need: spare, kinds: exciter},
			{key: "supply_choke_h", value: optional{&d.SupplyChoke, limits{min: 0, max: 100, unit: "H"}}, need: spare, kinds: exciter},
			{key: "breakdown_voltage_v", value: optional{&d.BreakdownVoltage, volts}, need: spare, kinds: exciter},
			{key: "collector_capacitance_f", value: optional{&d.CollectorCapacity, farads}, need: spare, kinds: exciter},
			{key: "gate_resistor_ohm", value: optional{&d.GateResistor, ohms}, need: spare, kinds: exciter},
			{key: "gate_zener", value: optional{&d.GateZener, volts}, need: spare, kinds: exciter},

			{key: "bus_v", value: quantity{&d.Bus, volts}, need: required, kinds: bridge},
			{key: "feed", value: word{&d.Feed, oneOf(FeedUntuned, FeedSeriesTuned, FeedBase)}, kinds: bridge},
			{key: "series_capacitance_f", value: quantity{&d.SeriesCapacitance, farads}, kinds: bridge},
			{key: "source_resistance_ohm", value: quantity{&d.SourceResistance, ohms}, kinds: bridge},
			{key: "frequency_hz", value: quantity{&d.Frequency, hertz}, kinds: bridge},
			{key: "loop_delay_s", value: quantity{&d.LoopDelay, seconds}, kinds: bridge},
			{key: "dead_time_s", value: quantity{&d.DeadTime, seconds}, kinds: bridge},

			{key: "firing_voltage_v", value: quantity{&d.FiringVoltage, volts}, need: required, kinds: gap},
			{key: "tank_capacitance_f", value: quantity{&d.TankCapacitance, farads}, need: required, kinds: gap},
			{key: "arc_resistance_ohm", value: quantity{&d.ArcResistance, ohms}, kinds: gap},
			{key: "repetition_hz", value: quantity{&d.Repetition, hertz}, kinds: gap},

			{key: "burst_on_s", value: optional{&d.BurstOn, seconds}, need: spare, kinds: all},
			{key: "burst_rate_hz", value: optional{&d.BurstRate, hertz}, need: spare, kinds: all},
			{key: "thermal_resistance_k_w", value: optional{&d.ThermalResistance, limits{min: 0, max: 10_000, unit: "K/W"}}, need: spare, kinds: all},
		}
	}}
}

// sense is the sense of the primary: 1 or -1.
type sense struct {
	at *int
}

func (s sense) read(r *reader, path string, n *node) {
	if x, ok := r.number(path, n, anyNumber); ok {
		if x != 1 && x != -1 {
			x = 0
		}
		*s.at = int(x)
		s.check(r, path)
	}
}

func (s sense) check(r *reader, path string) {
	if *s.at != 1 && *s.at != -1 {
		r.refuse(CodeOutOfRange, path, sentence.New("must be 1 or -1"))
	}
}
func (s sense) write(to []byte) []byte { return strconv.AppendInt(to, int64(*s.at), 10) }
func (s sense) unset() bool            { return false }

func room(m *Room) object {
	circuit := []string{Circuit}
	return object{kind: &m.Foot, fields: func() []field {
		return []field{
			{key: "ground", value: word{&m.Ground, oneOf(Floor, MetalPlane, Open)}},
			{key: "floor_depth_m", value: quantity{&m.FloorDepth, height}},
			{key: "foot", value: word{&m.Foot, oneOf(Earthed, Circuit)}, selector: true},
			{key: "circuit_diameter_m", value: quantity{&m.CircuitDiameter, size}, need: required, kinds: circuit},
			{key: "earth_capacitance_f", value: quantity{&m.EarthCapacitance, farads}, kinds: circuit},
			{key: "ceiling_height_m", value: quantity{&m.CeilingHeight, height}},
			{key: "air_temperature_c", value: quantity{&m.AirTemperature, celsius}},
			{key: "air_pressure_pa", value: quantity{&m.AirPressure, pascals}},
		}
	}}
}

func tolerances(t *Tolerances) object {
	return object{fields: func() []field {
		return []field{
			{key: "secondary_former_m", value: optional{&t.SecondaryFormer, halfWidth}, need: spare},
			{key: "secondary_turns", value: optional{&t.SecondaryTurns, limits{min: 0, max: 5000}}, need: spare},
			{key: "overall_diameter", value: optional{&t.OverallDiameter, halfWidth}, need: spare},
			{key: "pitch", value: optional{&t.Pitch, halfWidth}, need: spare},
			{key: "base_height_m", value: optional{&t.BaseHeight, halfWidth}, need: spare},
			{key: "top_height_m", value: optional{&t.TopHeight, halfWidth}, need: spare},
			{key: "hub_m", value: optional{&t.Hub, halfWidth}, need: spare},
			{key: "ring_former_m", value: optional{&t.RingFormer, halfWidth}, need: spare},
			{key: "permittivity", value: optional{&t.Permittivity, limits{min: 0, max: 1000}}, need: spare},
			{key: "temperature_c", value: optional{&t.Temperature, limits{min: 0, max: 100, unit: "K"}}, need: spare},
		}
	}}
}

// newMeasurement returns a reading with what its absent keys stand for.
func newMeasurement() Measurement { return Measurement{ProbePlace: "none"} }

func measurement(m *Measurement) value {
	return object{fields: func() []field {
		return []field{
			{key: "quantity", value: word{&m.Quantity, oneOf("frequency", "quality_factor", "inductance", "resistance",
				"capacitance", "turns", "dimension", "gap", "supply_current", "temperature")}, need: required},
			{key: "value", value: quantity{&m.Value, anyNumber}, need: required},
			{key: "uncertainty", value: quantity{&m.Uncertainty, positive}},
			{key: "setup", value: word{&m.Setup, oneOf("bare", "with_top_load", "with_primary", "running")}, need: required},
			{key: "at_frequency_hz", value: optional{&m.AtFrequency, hertz}},
			{key: "probe_capacitance_f", value: quantity{&m.ProbeCapacitance, farads}},
			{key: "probe_place", value: word{&m.ProbePlace, oneOf("none", "near_top", "on_top", "foot")}},
			{key: "key", value: text{&m.Key, maxName}},
			{key: "instrument", value: text{&m.Instrument, maxName}},
			{key: "date", value: text{&m.Date, maxWord}},
			{key: "note", value: text{&m.Note, maxNotes}},
		}
	}}
}
