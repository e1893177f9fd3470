package plotting

import (
	"image"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/plotting/raster"
)

// someCircuits are one of each kind, with all parts that may be there.
func someCircuits() map[string]CircuitOptions {
	value := func(x float64) *float64 { return &x }
	values := &design.CircuitFile{
		Coil:    driver.Coil{Inductance: 361e-6, Capacitance: 3.08e-12, Resistance: 50, TopToFoot: 0.83},
		Primary: driver.Primary{Inductance: 1.73e-6, Resistance: 0.2, Coupling: 0.39},
	}
	exciter := design.Driver{Kind: design.FeedbackExciter, Supply: 9, SupplyResistance: 1.5, Device: design.Part{Name: "PN2222A"}, BaseResistor: 10e3,
		Clamp: design.Part{Name: "Red LED fast"}, Sense: 1, EmitterResistor: value(33), CollectorCapacity: value(68e-12), SupplyChoke: value(10e-6), BaseCapacitance: value(4.7e-12)}
	gate := exciter
	gate.Device, gate.Clamp = design.Part{Name: "IRF510"}, design.Part{}
	gate.GateResistor, gate.BaseCapacitance, gate.SupplyChoke, gate.Sense = value(100e3), nil, nil, -1
	bridge := design.Driver{Kind: design.HalfBridge, Bus: 24, Feed: design.FeedSeriesTuned, SeriesCapacitance: 5e-9, SourceResistance: 0.5}
	foot := bridge
	foot.Feed, foot.Frequency = design.FeedBase, 0.8e6
	gap := design.Driver{Kind: design.SparkGap, FiringVoltage: 5000, TankCapacitance: 2.2e-9, ArcResistance: 1, Repetition: 100}
	return map[string]CircuitOptions{
		"exciter":      {Driver: exciter, Values: values, Lamp: true, Chosen: "driver.base_resistor_ohm", Alarm: []string{"driver.device"}},
		"exciter-gate": {Driver: gate, Values: values, MOSFET: true},
		"bridge":       {Driver: bridge, Values: values},
		"bridge-foot":  {Driver: foot},
		"gap":          {Driver: gap, Values: values},
	}
}

func TestCircuitsLookAsTheyDid(t *testing.T) {
	for name, options := range someCircuits() {
		style := Light()
		if name == "bridge" {
			style = Dark()
		}
		img := image.NewRGBA(image.Rect(0, 0, 560, 380))
		DrawCircuit(draw.New(raster.New(img, 72)), options, style)
		compare(t, "circuit-"+name, img)
	}
}

// Words keep clear of each other and of the edges, at the sizes of the window.
func TestCircuitWordsAreClear(t *testing.T) {
	for name, options := range someCircuits() {
		for _, size := range []image.Point{{330, 260}, {560, 380}, {900, 500}} {
			w := newWatcher(vg.Length(size.X), vg.Length(size.Y))
			DrawCircuit(draw.New(w), options, Light())
			inspect(t, "circuit "+name, w, Light())
		}
	}
}

// Every value that is drawn leads to its key, and the middle of its box is it.
func TestCircuitPartsAnswer(t *testing.T) {
	options := someCircuits()["exciter"]
	img := image.NewRGBA(image.Rect(0, 0, 560, 380))
	frame := DrawCircuit(draw.New(raster.New(img, 72)), options, Light())
	for _, key := range []string{
		"driver.supply_v", "driver.supply_resistance_ohm", "driver.base_resistor_ohm", "driver.device", "driver.clamp", "driver.emitter_resistor_ohm",
		"driver.collector_capacitance_f", "driver.supply_choke_h", "driver.base_capacitance_f", partPrimary, partSecondary, partCoupling,
	} {
		x, y, width, height, ok := frame.Box(key)
		if !ok {
			t.Errorf("no part stands for %s", key)
			continue
		}
		if got := frame.Part(x+width/2, y+height/2); got != key {
			t.Errorf("in the middle of %s lies %q", key, got)
		}
	}
	if got := frame.Part(1, 1); got != "" {
		t.Errorf("in the corner lies %q", got)
	}
	if none := DrawCircuit(draw.New(raster.New(img, 72)), CircuitOptions{Driver: design.Driver{Kind: design.NoDriver}}, Light()); len(none.parts) != 0 {
		t.Error("no driver has parts")
	}
}
