package driver

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// Settings of the transient analysis in a netlist: accurate to about a percent
// in a circuit simulator with the trapezoidal rule.
const (
	netlistSteps   = 200  // per period
	netlistPeriods = 400  // of an exciter
	netlistPrints  = 40   // points printed per period
	netlistRelTol  = 1e-4 // relative tolerance
)

// netlist collects the lines of a circuit in SPICE's plain syntax.
type netlist struct {
	strings.Builder
}

func (n *netlist) line(format string, args ...any) { fmt.Fprintf(n, format+"\n", args...) }

// title writes the first line, which SPICE takes as the title whatever it says.
func (n *netlist) title(text string) {
	n.line("* %s", strings.Join(strings.Fields(text), " "))
}

func (n *netlist) transient(frequency, duration float64) {
	n.line(".options method=trap reltol=%g", netlistRelTol)
	n.line(".tran %.6g %.6g 0 %.6g", 1/(frequency*netlistPrints), duration, 1/(frequency*netlistSteps))
	n.line(".end")
}

// resistor writes a resistance, or joins the nodes by a source of 0 V.
func (n *netlist) resistor(name, a, b string, ohms float64) {
	if ohms == 0 {
		n.line("V%s %s %s 0", name, a, b)
		return
	}
	n.line("R%s %s %s %.9g", name, a, b, ohms)
}

func (n *netlist) coil(c Coil, foot string) {
	n.line("Ls %s turns %.9g", foot, c.Inductance)
	n.resistor("s", "turns", "end", c.Resistance)
	n.line("Cs end 0 %.9g", c.Capacitance)
	n.line("* the top of the coil swings %.6g times as far as the end of the lumped circuit", c.TopToFoot)
	n.line("Etop top 0 end 0 %.9g", c.TopToFoot)
	n.line("Rtop top 0 1e12")
}

// model writes a part's card. Zero stands for infinity in some parameters and
// is SPICE's default there: it is left out.
func (n *netlist) model(name string, p Part, breakdown float64) {
	kind := map[Type]string{NPN: "NPN", VDMOS: "VDMOS", NMOS: "VDMOS", Diode: "D"}[p.Type]
	var list []string
	for _, key := range slices.Sorted(maps.Keys(p.Model)) {
		if x := p.Model[key]; x != 0 && !(p.IsMOSFET() && key == "BV") {
			list = append(list, fmt.Sprintf("%s=%.9g", key, x))
		}
	}
	if p.IsMOSFET() && breakdown > 0 {
		list = append(list, fmt.Sprintf("BV=%.9g", breakdown))
	}
	n.line(".model %s %s(%s)", name, kind, strings.Join(list, " "))
}

// Netlist returns the exciter as a netlist that a circuit simulator of SPICE's
// family runs; the avalanche is a source written as ngspice reads it. The
// error is that of a circuit that cannot be.
func (x Exciter) Netlist(title string) (string, error) {
	if _, err := x.build(); err != nil {
		return "", err
	}
	var n netlist
	n.title(title)
	n.line("Vsupply source 0 PWL(0 0 %g %.9g)", supplyRise, x.Supply)
	rail := "source"
	if x.SupplyChoke > 0 {
		n.resistor("supply", "source", "choke", x.SupplyResistance)
		n.line("Lchoke choke rail %.9g", x.SupplyChoke)
		rail = "rail"
	} else if x.SupplyResistance > 0 {
		n.resistor("supply", "source", "rail", x.SupplyResistance)
		rail = "rail"
	}
	n.line("Rb %s base %.9g", rail, x.BaseResistor)
	if x.LowerBaseResistor > 0 {
		n.line("Rb2 base 0 %.9g", x.LowerBaseResistor)
	}
	if x.Sense > 0 {
		n.line("Lp %s primary %.9g", rail, x.Primary.Inductance)
	} else { // the same winding the other way round
		n.line("Lp primary %s %.9g", rail, x.Primary.Inductance)
	}
	n.resistor("p", "primary", "collector", x.Primary.Resistance)
	n.coil(x.Coil, "base")
	n.line("Kps Lp Ls %.9g", x.Primary.Coupling)
	if x.BaseCapacitance > 0 {
		n.line("Cbase base 0 %.9g", x.BaseCapacitance)
	}
	if x.CollectorCapacity > 0 {
		n.line("Ccollector collector 0 %.9g", x.CollectorCapacity)
	}
	emitter := "0"
	if x.EmitterResistor > 0 {
		emitter = "emitter"
		n.line("Re emitter 0 %.9g", x.EmitterResistor)
	}
	if x.Device.IsMOSFET() {
		n.line("M1 collector base %s device", emitter)
	} else {
		n.line("Q1 collector base %s device", emitter)
		if x.Breakdown > 0 {
			z := fmt.Sprintf("(V(collector,base)-%.9g)/%g", x.Breakdown, avalancheKnee)
			n.line("Bavalanche collector base I=%g*(ln(1+exp(min(%s,40)))+max(%s-40,0))", avalancheKnee*avalancheSlope, z, z)
		}
	}
	n.model("device", x.Device, x.Breakdown)
	if x.Clamp != nil {
		n.line("Dclamp 0 base clamp")
		n.model("clamp", *x.Clamp, 0)
	}
	if x.GateZener != nil {
		n.line("Dzener 0 base zener")
		n.model("zener", *x.GateZener, 0)
	}
	f := x.Coil.Frequency()
	n.transient(f, netlistPeriods/f)
	return n.String(), nil
}

// Netlist returns the bridge with its square wave at the frequency that
// [Bridge.Solve] finds. The error is that of a circuit that cannot be.
func (b Bridge) Netlist(title string) (string, error) {
	d, err := b.Solve()
	if err != nil {
		return "", err
	}
	var n netlist
	n.title(title)
	period := 1 / d.Frequency
	const edge = 0.001 // of a period
	n.line("Vsquare source 0 PULSE(%.9g %.9g 0 %.9g %.9g %.9g %.9g)", -b.Amplitude, b.Amplitude, edge*period, edge*period, (0.5-edge)*period, period)
	if b.Feed == BaseFed {
		n.resistor("source", "source", "foot", b.SourceResistance)
		n.coil(b.Coil, "foot")
	} else {
		n.resistor("source", "source", "out", b.SourceResistance)
		start := "out"
		if b.Feed == SeriesTuned {
			n.line("Cseries out tuned %.9g", b.SeriesCapacitance)
			start = "tuned"
		}
		n.line("Lp %s primary %.9g", start, b.Primary.Inductance)
		n.resistor("p", "primary", "0", b.Primary.Resistance)
		n.coil(b.Coil, "0")
		n.line("Kps Lp Ls %.9g", b.Primary.Coupling)
	}
	const buildUp = 3 // times Q periods: e^-3π of the way is missing
	n.transient(d.Frequency, buildUp*math.Max(b.Coil.QUnloaded(), 10)/d.Frequency)
	return n.String(), nil
}

// Netlist returns the discharge, which begins with the tank charged. The error
// is that of a circuit that cannot be.
func (g Gap) Netlist(title string) (string, error) {
	d, err := g.Solve()
	if err != nil {
		return "", err
	}
	var n netlist
	n.title(title)
	n.line("Ctank tank 0 %.9g IC=%.9g", g.TankCapacitance, g.FiringVoltage)
	n.resistor("arc", "tank", "gap", g.ArcResistance)
	n.line("Lp gap primary %.9g", g.Primary.Inductance)
	n.resistor("p", "primary", "0", g.Primary.Resistance)
	n.coil(g.Coil, "0")
	n.line("Kps Lp Ls %.9g", g.Primary.Coupling)
	duration := float64(len(d.Samples)) * d.SamplePeriod
	f := d.Splitting[1]
	n.line(".options method=trap reltol=%g", netlistRelTol)
	n.line(".tran %.6g %.6g 0 %.6g UIC", 1/(f*netlistPrints), duration, 1/(f*netlistSteps))
	n.line(".end")
	return n.String(), nil
}
