package design

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"strings"

	"coilwright/physics/driver"
	"coilwright/physics/sentence"
)

// CircuitFormat identifies a circuit file; its version is that of a design.
const CircuitFormat = "coilwright-circuit"

// CircuitExtension ends the name of every circuit file.
const CircuitExtension = ".circuit.json"

// CodeCircuit is the code of a circuit that is read but cannot work.
const CodeCircuit = "circuit"

// Values of a circuit's absent keys and of what it does not say.
const (
	defaultTopToFoot = 1.0
	circuitAir       = defaultAir // degrees Celsius round the device
)

// CircuitFile is a driver with a coil that is known by measured values instead
// of its shape.
type CircuitFile struct {
	Coil            driver.Coil
	Primary         driver.Primary // zero: none
	Driver          Driver
	SquareAmplitude *float64 // V, of a half bridge's square wave; nil: half the bus
	GateZener       *Part    // nil: not stated; the zero Part: none
}

// ReadCircuit reads a circuit file as [Read] reads a design: all of it or
// nothing.
func ReadCircuit(source io.Reader) (CircuitFile, error) {
	root, problems := parse(source)
	if root == nil {
		return CircuitFile{}, problems
	}
	r := reader{problems: problems}
	if !r.is(kindObject, "", root) {
		return CircuitFile{}, r.problems
	}
	if problem, ok := foreign(root, CircuitFormat, "circuit"); ok {
		return CircuitFile{}, Problems{problem}
	}
	c := CircuitFile{Coil: driver.Coil{TopToFoot: defaultTopToFoot}, Driver: fromFile().Driver}
	wholeCircuit(&c).read(&r, "", root)
	if len(r.problems) == 0 {
		c.missing(&r)
	}
	if len(r.problems) > 0 {
		return CircuitFile{}, r.problems
	}
	return c, nil
}

// IsCircuit reports whether the content of a file is that of a circuit, as
// its format says; whatever else is wrong with it.
func IsCircuit(content []byte) bool {
	root, _ := parse(bytes.NewReader(content))
	if root == nil || root.kind != kindObject {
		return false
	}
	format := root.find("format")
	return format != nil && format.kind == kindText && format.text == CircuitFormat
}

// ReadCircuitFile reads the circuit file at path.
func ReadCircuitFile(path string) (CircuitFile, error) {
	f, err := os.Open(path)
	if err != nil {
		return CircuitFile{}, err
	}
	defer f.Close()
	return ReadCircuit(f)
}

// wholeCircuit is the object of a circuit file.
func wholeCircuit(c *CircuitFile) object {
	var format string
	var version int
	henries := limits{min: 1e-12, max: 100, unit: "H"}
	return object{fields: func() []field {
		return []field{
			{key: "format", value: word{&format, oneOf(CircuitFormat)}, need: required},
			{key: "version", value: whole{&version, limits{min: 1, max: Version}}, need: required},
			{key: "name", value: text{new(string), maxName}, need: spare},
			{key: "notes", value: text{new(string), maxNotes}, need: spare},
			{key: "secondary", need: required, value: object{fields: func() []field {
				return []field{
					{key: "inductance_h", value: quantity{&c.Coil.Inductance, henries}, need: required},
					{key: "capacitance_f", value: quantity{&c.Coil.Capacitance, limits{min: 1e-15, max: 1, unit: "F"}}, need: required},
					{key: "resistance_ohm", value: quantity{&c.Coil.Resistance, limits{min: 1e-9, max: 1e9, unit: "ohm"}}, need: required},
					{key: "top_to_foot_ratio", value: quantity{&c.Coil.TopToFoot, limits{min: 1e-3, max: 1000}}},
				}
			}}},
			{key: "primary", value: object{fields: func() []field {
				return []field{
					{key: "inductance_h", value: quantity{&c.Primary.Inductance, henries}, need: required},
					{key: "resistance_ohm", value: quantity{&c.Primary.Resistance, ohms}},
					{key: "coupling_coefficient", value: quantity{&c.Primary.Coupling, limits{min: 0, max: 1}}, need: required},
				}
			}}},
			{key: "driver", value: circuitDriver(c), need: required},
		}
	}}
}

// circuitDriver is the driver of a design, with what only a circuit may say.
func circuitDriver(c *CircuitFile) object {
	base := driverKeys(&c.Driver)
	return object{kind: base.kind, fields: func() []field {
		fields := base.fields()
		for i := range fields {
			switch fields[i].key {
			case "kind":
				fields[i].need = required
			case "bus_v":
				fields[i].need = defaulted // or square_amplitude_v
			case "gate_zener":
				fields[i].value = zener{&c.GateZener}
			}
		}
		return append(fields, field{key: "square_amplitude_v", value: optional{&c.SquareAmplitude, volts}, need: spare, kinds: []string{HalfBridge}})
	}}
}

// missing refuses what only the whole file shows.
func (c *CircuitFile) missing(r *reader) {
	switch d := &c.Driver; {
	case d.Kind == NoDriver:
		r.refuse(CodeUnknownValue, "driver.kind", sentence.New(`is "none": a circuit needs a driver`))
	case c.Primary == driver.Primary{} && !(d.Kind == HalfBridge && d.Feed == FeedBase):
		r.refuse(CodeMissing, "primary", sentence.New("is missing"))
	case d.Kind == HalfBridge && d.Bus == 0 && c.SquareAmplitude == nil:
		r.refuse(CodeMissing, "driver.bus_v", sentence.New("is missing"))
	}
}

// zener is a diode by name, by its model, by its voltage, or null for none.
type zener struct {
	at **Part
}

func (z zener) read(r *reader, path string, n *node) {
	part := Part{}
	if n.kind == kindNumber {
		if x, ok := r.number(path, n, limits{min: 1, max: 1000, unit: "V"}); ok {
			part = zenerOf(x)
		}
	} else {
		device{at: &part, types: []string{"d"}, orNil: true}.read(r, path, n)
	}
	*z.at = &part
}

func (z zener) check(r *reader, path string) {
	if *z.at != nil {
		device{at: *z.at, types: []string{"d"}, orNil: true}.check(r, path)
	}
}
func (z zener) write(to []byte) []byte { return device{at: *z.at}.write(to) }
func (z zener) unset() bool            { return *z.at == nil }

// standardZener is the part that protects a gate unless another is stated.
const standardZener = "12 V zener"

// zenerOf returns the standard zener with another breakdown voltage in V.
func zenerOf(volts float64) Part {
	p, err := driver.Find(standardZener)
	if err != nil {
		panic("design: " + err.Error()) // it is in the list
	}
	p.Model["BV"] = volts
	return Part{Type: string(p.Type), Model: p.Model}
}

// Solve returns what the driver does with the coil. The error is [Problems]
// for a circuit that cannot be, wraps [driver.ErrNotSettled] if no settled
// state was found, and is that of ctx if it was cancelled.
func (c CircuitFile) Solve(ctx context.Context) (DriverReport, error) {
	v := drive{ctx: ctx, options: DriveOptions{Bare: true}, Drive: Drive{Circuit: c}}
	err := v.solve()
	return v.Report, err
}

// Netlist returns the circuit for a circuit simulator. The error is that of
// [CircuitFile.Solve].
func (c CircuitFile) Netlist(title string) (list string, err error) {
	switch c.Driver.Kind {
	case FeedbackExciter:
		x, err := c.Exciter()
		if err != nil {
			return "", err
		}
		list, err = x.Netlist(title)
		return list, circuitProblem(err)
	case HalfBridge:
		list, err = c.Bridge().Netlist(title)
	case SparkGap:
		list, err = c.Gap().Netlist(title)
	default:
		err = Problems{{Code: CodeUnknownValue, Key: "driver.kind", Text: sentence.New("a circuit needs a driver")}}
	}
	return list, circuitProblem(err)
}

// Exciter returns the feedback exciter of the circuit. The error is [Problems].
func (c CircuitFile) Exciter() (driver.Exciter, error) {
	d := &c.Driver
	x := driver.Exciter{
		Coil: c.Coil, Primary: c.Primary, Sense: d.Sense,
		Supply: d.Supply, SupplyResistance: d.SupplyResistance, SupplyChoke: stated(d.SupplyChoke),
		BaseResistor: d.BaseResistor, LowerBaseResistor: stated(d.GateResistor), EmitterResistor: stated(d.EmitterResistor),
		BaseCapacitance: stated(d.BaseCapacitance), CollectorCapacity: stated(d.CollectorCapacity),
		Thermal: d.thermal(circuitAir),
	}
	var problems Problems
	find := func(key string, p Part) *driver.Part {
		found, err := p.find()
		if err != nil {
			problems = append(problems, Problem{Code: CodeUnknownValue, Key: key, Text: sentence.Literal(plainRefusal(err.Error()))})
		}
		return found
	}
	if p := find("driver.device", d.Device); p != nil {
		x.Device = *p
	}
	x.Clamp = find("driver.clamp", d.Clamp)
	switch {
	case c.GateZener != nil:
		x.GateZener = find("driver.gate_zener", *c.GateZener)
	case d.GateZener != nil:
		x.GateZener = find("driver.gate_zener", zenerOf(*d.GateZener))
	case x.Device.IsMOSFET():
		x.GateZener = find("driver.gate_zener", Part{Name: standardZener})
	}
	if len(problems) > 0 {
		return x, problems
	}
	x.Breakdown = x.Device.AvalancheVoltage()
	if d.BreakdownVoltage != nil {
		x.Breakdown = *d.BreakdownVoltage
	}
	return x, nil
}

// Bridge returns the half bridge of the circuit.
func (c CircuitFile) Bridge() driver.Bridge {
	d := &c.Driver
	b := driver.Bridge{
		Coil: c.Coil, Primary: c.Primary, Feed: driver.Feed(d.Feed), SeriesCapacitance: d.SeriesCapacitance,
		SourceResistance: d.SourceResistance, Amplitude: d.Bus / 2, Frequency: d.Frequency,
		LoopDelay: d.LoopDelay, DeadTime: d.DeadTime,
	}
	if c.SquareAmplitude != nil {
		b.Amplitude = *c.SquareAmplitude
	}
	return b
}

// Gap returns the spark gap of the circuit.
func (c CircuitFile) Gap() driver.Gap {
	d := &c.Driver
	return driver.Gap{Coil: c.Coil, Primary: c.Primary, FiringVoltage: d.FiringVoltage, TankCapacitance: d.TankCapacitance, ArcResistance: d.ArcResistance}
}

// thermal returns what a device's temperature depends on, in air of so many
// degrees Celsius.
func (d *Driver) thermal(air float64) driver.Thermal {
	return driver.Thermal{Air: air, Resistance: stated(d.ThermalResistance), BurstOn: stated(d.BurstOn), BurstRate: stated(d.BurstRate)}
}

// find returns the part with its model; nil for no part.
func (p Part) find() (*driver.Part, error) {
	switch {
	case p.Type != "":
		part := driver.Stated(driver.Type(p.Type), p.Model)
		return &part, nil
	case p.Name != "":
		part, err := driver.Find(p.Name)
		if err != nil {
			return nil, err
		}
		return &part, nil
	}
	return nil, nil
}

// stated returns an optional value, 0 if it is not stated.
func stated(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// circuitProblem turns the refusal of a circuit into [Problems], one for each
// thing that is wrong.
func circuitProblem(err error) error {
	if !errors.Is(err, driver.ErrCircuit) && !errors.Is(err, driver.ErrPart) {
		return err
	}
	var problems Problems
	for line := range strings.SplitSeq(err.Error(), "\n") {
		problems = append(problems, Problem{Code: CodeCircuit, Text: sentence.Literal(plainRefusal(line))})
	}
	return problems
}

// plainRefusal is a refusal of package driver without the package's name.
func plainRefusal(text string) string {
	for _, prefix := range []error{driver.ErrCircuit, driver.ErrPart} {
		text = strings.TrimPrefix(text, prefix.Error()+": ")
	}
	return text
}
