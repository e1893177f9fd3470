package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

const someCircuit = `{"format": "coilwright-circuit", "version": 1,
 "secondary": {"inductance_h": 0.000322, "capacitance_f": 3.13e-12, "resistance_ohm": 113.3},
 "primary": {"inductance_h": 2.87e-6, "resistance_ohm": 0.18, "coupling_coefficient": 0.264},
 "driver": {"kind": "feedback_exciter", "supply_v": 5, "device": "BD139", "base_resistor_ohm": 22000, "clamp": "1N4148", "sense": 1}}`

func TestCircuit(t *testing.T) {
	path := saved(t, someCircuit)
	code, out, errs := called(t, "", "circuit", path)
	if code != exitDone || errs != "" {
		t.Fatalf("code %d, %s", code, errs)
	}
	var result map[string]any
	if err := json.Unmarshal([]byte(out), &result); err != nil {
		t.Fatal(err)
	}
	if result["starts"] != true || result["state"] != "full" {
		t.Errorf("it does not start: %s", out)
	}
	if _, piped, _ := called(t, someCircuit, "circuit", "-"); piped != out {
		t.Error("another result from standard input")
	}
	reversed := strings.Replace(someCircuit, `"sense": 1`, `"sense": -1`, 1)
	if _, out, _ := called(t, reversed, "circuit", "-"); !strings.Contains(out, `"starts": false`) || !strings.Contains(out, `"frequency_hz": null`) {
		t.Errorf("reversed: %s", out)
	}
	code, out, errs = called(t, strings.Replace(someCircuit, `"BD139"`, `"BD999"`, 1), "circuit", "-")
	if code != exitRefused || out != "" || !strings.Contains(errs, "standard input: driver.device: ") {
		t.Errorf("unknown device: code %d, %q, %q", code, out, errs)
	}
}

func TestNetlist(t *testing.T) {
	code, out, errs := called(t, "", "netlist", saved(t, someCircuit))
	if code != exitDone || errs != "" || !strings.HasPrefix(out, "* Coilwright: ") || !strings.Contains(out, "Kps Lp Ls 0.264") {
		t.Errorf("code %d, %q, %q", code, out, errs)
	}
	if code, _, errs := called(t, "{}", "netlist", "-"); code != exitRefused || !strings.Contains(errs, "secondary: is missing") {
		t.Errorf("empty: code %d, %q", code, errs)
	}
}

// The driver of a design reaches report and netlist; the netlist holds the
// solved coil's values.
func TestDriverOfDesign(t *testing.T) {
	path := "../../assets/examples/hand-sized.coil.json"
	code, out, errs := called(t, "", "report", path)
	if code != exitDone || errs != "" {
		t.Fatalf("code %d, %s", code, errs)
	}
	var r struct {
		Resonance struct {
			Inductance float64 `json:"foot_inductance_h"`
		}
		Driver struct {
			Starts     bool
			State      string
			TopVoltage float64  `json:"top_voltage_v"`
			Beyond     []string `json:"beyond_part"`
		}
		Cautions []struct{ Code string }
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if !r.Driver.Starts || r.Driver.State != "full" || r.Driver.TopVoltage < 100 || r.Driver.Beyond == nil || len(r.Driver.Beyond) > 0 {
		t.Errorf("%+v", r.Driver)
	}
	if !strings.Contains(out, `"driver_burns"`) {
		t.Error("no caution about the driver")
	}
	code, list, errs := called(t, "", "netlist", path)
	if code != exitDone || errs != "" || !strings.Contains(list, fmt.Sprintf("Ls base turns %.9g", r.Resonance.Inductance)) || !strings.Contains(list, "Re emitter 0 33") {
		t.Errorf("code %d, %q, %q", code, list, errs)
	}
	if code, _, errs := called(t, "", "netlist", "../../assets/examples/tall.coil.json"); code != exitRefused || !strings.Contains(errs, "a circuit needs a driver") {
		t.Errorf("no driver: code %d, %q", code, errs)
	}
}
