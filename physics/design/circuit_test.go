package design

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

const exciterCircuit = `{"format": "coilwright-circuit", "version": 1,
 "secondary": {"inductance_h": 0.000322, "capacitance_f": 3.13e-12, "resistance_ohm": 113.3, "top_to_foot_ratio": 1.1},
 "primary": {"inductance_h": 2.87e-6, "resistance_ohm": 0.18, "coupling_coefficient": 0.264},
 "driver": {"kind": "feedback_exciter", "supply_v": 5, "device": "BD139", "base_resistor_ohm": 22000, "clamp": "1N4148", "sense": 1}}`

// TestRefusedCircuits changes one thing of a good circuit.
func TestRefusedCircuits(t *testing.T) {
	if _, err := ReadCircuit(strings.NewReader(exciterCircuit)); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ name, old, new, want string }{
		{"a design", `"coilwright-circuit"`, `"coilwright-design"`, `format: is "coilwright-design", not "coilwright-circuit": this is no circuit file`},
		{"newer", `"version": 1`, `"version": 2`, "made by a newer Coilwright"},
		{"unknown key", `"resistance_ohm": 113.3`, `"resistance_ohm": 113.3, "q": 90`, "secondary.q: there is no such key"},
		{"missing key", `"capacitance_f": 3.13e-12, `, ``, "secondary.capacitance_f: is missing"},
		{"negative resistance", `113.3`, `-113.3`, "secondary.resistance_ohm: must be"},
		{"coupling above one", `0.264`, `1.2`, "primary.coupling_coefficient: must be from 0 to 1"},
		{"no driver", `"feedback_exciter"`, `"none"`, "driver.supply_v: is a key of"},
		{"key of another driver", `"sense": 1`, `"bus_v": 24`, `driver.bus_v: is a key of "half_bridge"`},
		{"text for a number", `"supply_v": 5`, `"supply_v": "5"`, "driver.supply_v: must be a number"},
		{"not finite", `"supply_v": 5`, `"supply_v": 1e999`, "driver.supply_v: 1e999 is not a finite number"},
		{"no zener", `"sense": 1`, `"gate_zener": 0.1`, "driver.gate_zener: must be from 1 to 1000 V"},
		{"malformed", `"sense": 1}}`, `"sense": 1}`, "malformed JSON"},
	} {
		text := strings.Replace(exciterCircuit, test.old, test.new, 1)
		if text == exciterCircuit {
			t.Fatalf("%s: nothing changed", test.name)
		}
		_, err := ReadCircuit(strings.NewReader(text))
		var problems Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
	withoutPrimary := strings.Replace(exciterCircuit, exciterCircuit[strings.Index(exciterCircuit, ` "primary"`):strings.Index(exciterCircuit, ` "driver"`)], "", 1)
	if _, err := ReadCircuit(strings.NewReader(withoutPrimary)); err == nil || !strings.Contains(err.Error(), "primary: is missing") {
		t.Errorf("without a primary: error %v", err)
	}
}

// TestImpossibleCircuits are read, but cannot work.
func TestImpossibleCircuits(t *testing.T) {
	for _, test := range []struct{ name, old, new, want string }{
		{"no such device", `"BD139"`, `"ZZ1"`, `there is no "ZZ1" in the list of parts`},
		{"no coupling", `0.264`, `0`, "without coupling nothing is fed back"},
		{"no supply", `"supply_v": 5`, `"supply_v": 0`, "the supply is 0 V"},
		{"a diode as device", `"BD139"`, `"1N4148"`, "is no transistor"},
	} {
		c, err := ReadCircuit(strings.NewReader(strings.Replace(exciterCircuit, test.old, test.new, 1)))
		if err != nil {
			t.Fatalf("%s: %v", test.name, err)
		}
		_, err = c.Solve(context.Background())
		_, listErr := c.Netlist("test")
		var problems Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), test.want) || listErr == nil {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
}

func TestSolveCircuits(t *testing.T) {
	head := exciterCircuit[:strings.Index(exciterCircuit, ` "driver"`)]
	mosfet := `"kind": "feedback_exciter", "supply_v": 9, "device": "IRF510", "base_resistor_ohm": 11760, "gate_resistor_ohm": 8828, "clamp": "1N4148"`
	for _, test := range []struct {
		name, driver string
		keys         []string // that are not null
	}{
		{"exciter", `"kind": "feedback_exciter", "supply_v": 5, "device": "BD139", "base_resistor_ohm": 22000, "clamp": null`, []string{"starts", "state", "growth_rate_1_s", "frequency_hz", "top_voltage_v", "settling_time_s", "device_temperature_c", "energy_check_v"}},
		{"stated device", `"kind": "feedback_exciter", "supply_v": 5, "device": {"type": "npn", "BF": 100, "IS": 1e-14, "TF": 5e-10, "CJE": 2e-11, "CJC": 8e-12, "RB": 10}, "base_resistor_ohm": 22000, "clamp": {"type": "d", "IS": 1e-9, "N": 1.7, "RS": 1}`, []string{"starts", "top_voltage_v"}},
		{"MOSFET", mosfet, []string{"starts"}},
		{"MOSFET with its zener by voltage", mosfet + `, "gate_zener": 15`, []string{"starts"}},
		{"MOSFET without zener", mosfet + `, "gate_zener": null`, []string{"starts"}},
		{"MOSFET with a stated zener", mosfet + `, "gate_zener": {"type": "d", "BV": 12, "IBV": 0.005}`, []string{"starts"}},
		{"half bridge", `"kind": "half_bridge", "bus_v": 24, "feed": "untuned"`, []string{"frequency_hz", "top_voltage_v", "gain", "quality_factor_loaded", "input_power_w"}},
		{"half bridge by amplitude", `"kind": "half_bridge", "square_amplitude_v": 12, "feed": "base", "source_resistance_ohm": 5`, []string{"gain"}},
		{"spark gap", `"kind": "spark_gap", "firing_voltage_v": 5000, "tank_capacitance_f": 3e-10, "arc_resistance_ohm": 1, "repetition_hz": 100`, []string{"top_voltage_v", "peak_time_s", "first_notch_s", "energy_transferred", "splitting_hz", "input_power_w"}},
	} {
		c, err := ReadCircuit(strings.NewReader(head + `"driver": {` + test.driver + `}}`))
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		result, err := c.Solve(context.Background())
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		text, err := json.Marshal(result)
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		var object map[string]any
		if err := json.Unmarshal(text, &object); err != nil {
			t.Fatal(err)
		}
		for _, key := range test.keys {
			if object[key] == nil {
				t.Errorf("%s: %s is null in %s", test.name, key, text)
			}
		}
		if _, ok := object["beyond_part"].([]any); !ok {
			t.Errorf("%s: beyond_part is no list in %s", test.name, text)
		}
		if list, err := c.Netlist("test"); err != nil || !strings.HasSuffix(list, ".end\n") {
			t.Errorf("%s: netlist %q, error %v", test.name, list, err)
		}
	}
	// Base-fed, Q is gain: 113.3 ohm and 5 ohm with 322 µH at its resonance.
	c, _ := ReadCircuit(strings.NewReader(head + `"driver": {"kind": "half_bridge", "bus_v": 24, "feed": "base", "source_resistance_ohm": 5}}`))
	result, err := c.Solve(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if ratio := *result.Gain / *result.QLoaded / 1.1; ratio < 0.999 || ratio > 1.001 {
		t.Errorf("gain %g, loaded Q %g", *result.Gain, *result.QLoaded)
	}
}

// The breakdown is the part's own unless it is stated; 0 is listed as unreal.
func TestBreakdownOfCircuit(t *testing.T) {
	for _, test := range []struct {
		key  string
		want float64
	}{{``, 100}, {`, "breakdown_voltage_v": 60`, 60}, {`, "breakdown_voltage_v": 0`, 0}} {
		c, err := ReadCircuit(strings.NewReader(strings.Replace(exciterCircuit, `"sense": 1`, `"sense": 1`+test.key, 1)))
		if err != nil {
			t.Fatal(err)
		}
		x, err := c.Exciter()
		if err != nil || x.Breakdown != test.want {
			t.Errorf("%q: breakdown %g V, want %g (error %v)", test.key, x.Breakdown, test.want, err)
		}
	}
}

// Whatever is read is a whole circuit or [Problems], and never a panic.
func FuzzReadCircuit(f *testing.F) {
	f.Add(exciterCircuit)
	f.Add(`{"format": "coilwright-circuit", "version": 1, "secondary": {}, "driver": {"kind": "spark_gap"}}`)
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ReadCircuit(strings.NewReader(text))
		var problems Problems
		if err != nil && !errors.As(err, &problems) {
			t.Errorf("error %v is no list of problems", err)
		}
		if err == nil && !(c.Coil.Inductance > 0 && c.Coil.Capacitance > 0 && c.Coil.Resistance > 0) {
			t.Errorf("read a circuit without a coil: %+v", c)
		}
	})
}
