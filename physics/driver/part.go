package driver

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
)

// ErrPart is wrapped by errors about a part that is unknown or impossible.
var ErrPart = errors.New("driver: part")

// Type is the kind of model that a part has.
type Type string

// Types. VDMOS is the model of power MOSFETs; NMOS is read the same way.
const (
	NPN   Type = "npn"
	NMOS  Type = "nmos"
	VDMOS Type = "vdmos"
	Diode Type = "d"
)

// Part is a device: its SPICE model, what its maker allows, and where the
// figures are from.
type Part struct {
	Name         string             `json:"name"`
	Also         []string           `json:"also"` // other names it is found under
	Type         Type               `json:"type"`
	What         string             `json:"what"`        // in a few words
	Model        map[string]float64 `json:"model"`       // SPICE parameter, in capitals, to value
	Breakdown    float64            `json:"breakdown_v"` // V, collector to base or drain to source; 0: by the rating
	Rating       Rating             `json:"rating"`
	OtherStorage string             `json:"other_storage"` // the part at the other end of what the storage time of this one may be; empty: it is known
	Sources      []Source           `json:"sources"`
}

// Rating is what a maker allows; 0: not stated.
type Rating struct {
	CollectorEmitter  float64 `json:"collector_emitter_v"`    // V, base open; drain to source
	CollectorBase     float64 `json:"collector_base_v"`       // V
	Reverse           float64 `json:"reverse_v"`              // V, base below emitter; either way for a gate; reverse of a diode
	Current           float64 `json:"current_a"`              // A
	Power             float64 `json:"power_w"`                // W, in free air at 25 °C
	Junction          float64 `json:"junction_c"`             // °C
	ThermalResistance float64 `json:"thermal_resistance_k_w"` // K/W, junction to air without a heat sink
	HeatCapacity      float64 `json:"heat_capacity_j_k"`      // J/K, of the bare package
}

// Source says where some figures of a part are from: "model", "rating" or one
// parameter. Status is "seen" (read in the source), "computed", "from memory"
// or "assumption".
type Source struct {
	Of     string `json:"of"`
	Source string `json:"source"`
	Status string `json:"status"`
}

//go:embed parts.json
var partsFile []byte

// partList is read once; the file is embedded, so that it cannot fail where
// its test did not.
var partList = sync.OnceValue(func() []Part {
	var list []Part
	if err := json.Unmarshal(partsFile, &list); err != nil {
		panic("driver: embedded list of parts: " + err.Error())
	}
	return list
})

// Parts returns the list of parts that the program knows.
func Parts() []Part {
	list := slices.Clone(partList())
	for i := range list {
		list[i].Also = slices.Clone(list[i].Also)
		list[i].Model = maps.Clone(list[i].Model)
		list[i].Sources = slices.Clone(list[i].Sources)
	}
	return list
}

// Find returns the part of that name or other name; capitals and spaces at the
// ends do not matter. The error wraps [ErrPart] and lists the names of its kind.
func Find(name string) (Part, error) {
	wanted := strings.TrimSpace(name)
	for _, p := range Parts() {
		if strings.EqualFold(p.Name, wanted) || slices.ContainsFunc(p.Also, func(s string) bool { return strings.EqualFold(s, wanted) }) {
			return p, nil
		}
	}
	var names []string
	for _, p := range partList() {
		names = append(names, p.Name)
	}
	return Part{}, fmt.Errorf("%w: there is no %q in the list of parts; it has %s", ErrPart, name, strings.Join(names, ", "))
}

// Stated returns a part by its model parameters alone: no rating is known. The
// names of the parameters may be in small letters.
func Stated(kind Type, model map[string]float64) Part {
	p := Part{Name: "stated " + string(kind), Type: kind, Model: map[string]float64{}}
	for name, x := range model {
		p.Model[strings.ToUpper(name)] = x
	}
	return p
}

// IsMOSFET reports whether the part is driven by a gate.
func (p Part) IsMOSFET() bool { return p.Type == NMOS || p.Type == VDMOS }

// AvalancheVoltage returns the voltage in V from which the part's own junction
// breaks down: stated, or else the collector-base rating; 0 if neither is
// known.
func (p Part) AvalancheVoltage() float64 {
	if p.Breakdown > 0 {
		return p.Breakdown
	}
	if p.IsMOSFET() {
		return p.Model["BV"]
	}
	return p.Rating.CollectorBase
}

// card reads a model, remembering what it did not find use for.
type card struct {
	part Part
	used map[string]bool
	errs []error
}

func (p Part) card() *card { return &card{part: p, used: map[string]bool{}} }

// get returns a parameter, or its default; the first of several names that is
// there counts. It must lie from least to most.
func (c *card) get(fallback, least, most float64, names ...string) float64 {
	x := fallback
	for _, name := range slices.Backward(names) {
		c.used[name] = true
		if v, ok := c.part.Model[name]; ok {
			x = v
		}
	}
	if math.IsNaN(x) || x < least || x > most {
		c.errs = append(c.errs, fmt.Errorf("%w: %s has %s = %g; it must lie from %g to %g", ErrPart, c.part.Name, names[0], x, least, most))
	}
	return x
}

// err returns what was wrong with the card.
func (c *card) err() error { return errors.Join(c.errs...) }

// ignored returns the parameters that the models here do not have, in order.
// A parameter without influence at 27 °C, or of noise, is not listed.
func (c *card) ignored() []string {
	var names []string
	for name := range c.part.Model {
		if !c.used[name] && !slices.Contains(harmless, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// harmless are parameters of temperature, noise and bookkeeping, which change
// nothing here.
var harmless = []string{"AF", "EG", "KF", "LEVEL", "TNOM", "TREF", "XTB", "XTI", "TRE1", "TRB1", "TRC1", "TRM1", "TRS1", "TIKF1", "TBV1", "TCV", "MU", "TEXP0", "TKSUBTHRES1", "TRD1", "TRG1", "RTHJC", "RTHCA", "CTHJ"}

// Ranges that keep a slip of the pen from becoming a number.
const (
	mostParameter = 1e12
	mostEmission  = 20
	mostGrading   = 0.9
	mostForward   = 0.95 // FC
	leastVoltage  = 0.05
	leastCurrent  = 1e-30
)

// bipolar reads a Gummel-Poon card; the resistances are returned apart.
func (p Part) bipolar() (b *bipolar, rb, rc, re float64, ignored []string, err error) {
	c := p.card()
	early := func(name string) float64 { // 0 stands for no Early effect
		if v := c.get(0, 0, mostParameter, name, name[:1]+name[2:3]); v > 0 {
			return 1 / v
		}
		return 0
	}
	b = &bipolar{
		is: c.get(1e-16, leastCurrent, 1, "IS"),
		bf: c.get(100, 1e-3, 1e6, "BF"), nf: c.get(1, 0.1, mostEmission, "NF"),
		ikf: c.get(0, 0, mostParameter, "IKF", "IK"),
		ise: c.get(0, 0, 1, "ISE"), ne: c.get(1.5, 0.1, mostEmission, "NE"),
		br: c.get(1, 1e-6, 1e6, "BR"), nr: c.get(1, 0.1, mostEmission, "NR"),
		ikr: c.get(0, 0, mostParameter, "IKR"),
		isc: c.get(0, 0, 1, "ISC"), nc: c.get(2, 0.1, mostEmission, "NC"),
		inverseVAF: early("VAF"), inverseVAR: early("VAR"),
		tf: c.get(0, 0, 1, "TF"), xtf: c.get(0, 0, 1e6, "XTF"), itf: c.get(0, 0, mostParameter, "ITF"),
		tr: c.get(0, 0, 1, "TR"),
	}
	if vtf := c.get(0, 0, mostParameter, "VTF"); vtf > 0 {
		b.inverseVTF = 1 / (1.44 * vtf)
	}
	fc := c.get(0.5, 0, mostForward, "FC")
	b.emitter = newDepletion(c.get(0, 0, 1, "CJE"), c.get(0.75, leastVoltage, 10, "VJE", "PE"), c.get(0.33, 0, mostGrading, "MJE", "ME"), fc)
	b.collector = newDepletion(c.get(0, 0, 1, "CJC"), c.get(0.75, leastVoltage, 10, "VJC", "PC"), c.get(0.33, 0, mostGrading, "MJC", "MC"), fc)
	b.criticalBE = criticalVoltage(b.is, b.nf*thermalVoltage)
	b.criticalBC = criticalVoltage(b.is, b.nr*thermalVoltage)
	rb, rc, re = c.get(0, 0, 1e6, "RB"), c.get(0, 0, 1e6, "RC"), c.get(0, 0, 1e6, "RE")
	if c.get(1, 0, 1, "XCJC") != 1 {
		delete(c.used, "XCJC")
	}
	return b, rb, rc, re, c.ignored(), c.err()
}

// mosfetCard is a power MOSFET with what its network needs.
type mosfetCard struct {
	channel             mosfet
	rg, rd, rs, rds, rb float64
	body                diode
	ignored             []string
}

// mosfet reads a VDMOS card. breakdown in V replaces the card's; 0: none.
func (p Part) mosfet(breakdown float64) (*mosfetCard, error) {
	c := p.card()
	m := &mosfetCard{
		channel: mosfet{
			threshold: c.get(0, -100, 100, "VTO", "VTH0"), kp: c.get(1, 1e-9, 1e6, "KP"),
			lambda: c.get(0, 0, 100, "LAMBDA"), theta: c.get(0, 0, 100, "THETA"), soft: c.get(0.1, 0, 10, "KSUBTHRES"),
			cgs: c.get(0, 0, 1, "CGS"), cgdMin: c.get(0, 0, 1, "CGDMIN"), cgdMax: c.get(0, 0, 1, "CGDMAX"),
			a: c.get(1, 1e-6, 1e6, "A"),
		},
		rg: c.get(0, 0, 1e6, "RG"), rd: c.get(0, 0, 1e6, "RD"), rs: c.get(0, 0, 1e6, "RS"),
		rds: c.get(0, 0, mostParameter, "RDS"), rb: c.get(0, 0, 1e6, "RB"),
	}
	c.get(0, 0, mostParameter, "BV")
	m.body = c.junction(breakdown)
	m.ignored = c.ignored()
	return m, c.err()
}

// diode reads a diode's card; the series resistance is returned apart.
func (p Part) diode() (d *diode, rs float64, ignored []string, err error) {
	c := p.card()
	j := c.junction(c.get(0, 0, mostParameter, "BV"))
	rs = c.get(0, 0, 1e6, "RS")
	return &j, rs, c.ignored(), c.err()
}

// junction reads the parameters that every diode has.
func (c *card) junction(breakdown float64) diode {
	emission := c.get(1, 0.1, mostEmission, "N") * thermalVoltage
	d := diode{
		saturation: c.get(1e-14, leastCurrent, 1, "IS"),
		inverse:    1 / emission,
		emission:   emission,
		transit:    c.get(0, 0, 1, "TT"),
		layer: newDepletion(c.get(0, 0, 1, "CJO", "CJ0", "CJ"), c.get(1, leastVoltage, 10, "VJ", "PB"),
			c.get(0.5, 0, mostGrading, "M", "MJ"), c.get(0.5, 0, mostForward, "FC")),
	}
	d.critical = criticalVoltage(d.saturation, emission)
	d.breakdown = breakdown
	d.breakdownCurrent = c.get(1e-10, 0, 1e3, "IBV")
	d.breakdownInverse = 1 / (c.get(emission/thermalVoltage, 0.1, 1000, "NBV") * thermalVoltage)
	return d
}
