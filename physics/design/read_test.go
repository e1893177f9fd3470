package design

import (
	"bytes"
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"
)

// desk is the example of the format page, with its 19-turn ring.
const desk = `{
  "format": "coilwright-design", "version": 1,
  "name": "Desk coil", "notes": "",
  "secondary": {"former_diameter_m": 0.0250, "former_wall_m": 0.0015, "former_relative_permittivity": 1.0, "former_loss_tangent": 0,
                "turns": 310, "wire": {"gauge": "AWG 32", "insulation": "single"}, "pitch_m": 0, "base_height_m": 0.018},
  "top_load": {"kind": "wire_ring", "height_m": 0.014, "wire": {"gauge": "AWG 14", "insulation": "bare"},
               "former_diameter_m": 0.014, "turns": 19, "hub_diameter_m": 0.010},
  "primary": {"kind": "cylinder", "turns": 4, "tap_turns": 0, "inner_diameter_m": 0.046, "pitch_m": 0.004,
              "wire": {"gauge": "AWG 16", "insulation": "bare"}, "base_height_m": 0.010, "cone_angle_deg": 0},
  "driver": {"kind": "none"},
  "room": {"ground": "floor", "floor_depth_m": 0.75, "foot": "earthed", "ceiling_height_m": 0, "air_temperature_c": 20, "air_pressure_pa": 101325},
  "tolerances": {}, "variants": [], "measurements": []
}
`

// smallest is a design file with required keys only.
const smallest = `{"format":"coilwright-design","version":1,
"secondary":{"former_diameter_m":0.02,"turns":100,"wire":{"gauge":"AWG 30"}},"top_load":{"kind":"none"}}`

func read(t *testing.T, text string) Design {
	t.Helper()
	d, err := Read(strings.NewReader(text))
	if err != nil {
		t.Fatalf("Read: %v", err)
	}
	return d
}

func TestReadTakesEveryKey(t *testing.T) {
	d := read(t, desk)
	for _, test := range []struct {
		key  string
		got  any
		want any
	}{
		{"name", d.Name, "Desk coil"},
		{"secondary.former_diameter_m", d.Secondary.FormerDiameter, 0.025},
		{"secondary.turns", d.Secondary.Turns, 310.0},
		{"secondary.wire.insulation", d.Secondary.Wire.Insulation, Single},
		{"secondary.base_height_m", d.Secondary.BaseHeight, 0.018},
		{"top_load.kind", d.TopLoad.Kind, WireRing},
		{"top_load.height_m", d.TopLoad.Height, 0.014},
		{"top_load.turns", d.TopLoad.Turns, 19},
		{"top_load.hub_diameter_m", d.TopLoad.HubDiameter, 0.010},
		{"primary.pitch_m", d.Primary.Pitch, 0.004},
		{"primary.wire.gauge", d.Primary.Wire.Gauge, "AWG 16"},
		{"room.floor_depth_m", d.Room.FloorDepth, 0.75},
	} {
		if test.got != test.want {
			t.Errorf("%s = %v, want %v", test.key, test.got, test.want)
		}
	}
}

// The defaults are those of the format page.
func TestReadFillsInDefaults(t *testing.T) {
	d := read(t, smallest)
	for _, test := range []struct {
		key       string
		got, want any
	}{
		{"secondary.former_wall_m", d.Secondary.FormerWall, 0.0015},
		{"secondary.former_relative_permittivity", d.Secondary.FormerRelativePermittivity, 1.0},
		{"secondary.former_loss_tangent", d.Secondary.FormerLossTangent, 0.0},
		{"secondary.pitch_m", d.Secondary.Pitch, 0.0},
		{"secondary.base_height_m", d.Secondary.BaseHeight, 0.02},
		{"top_load.height_m", d.TopLoad.Height, 0.01},
		{"primary.kind", d.Primary.Kind, NoPrimary},
		{"driver.kind", d.Driver.Kind, NoDriver},
		{"room.ground", d.Room.Ground, Floor},
		{"room.floor_depth_m", d.Room.FloorDepth, 0.0},
		{"room.foot", d.Room.Foot, Earthed},
		{"room.ceiling_height_m", d.Room.CeilingHeight, 0.0},
		{"room.air_temperature_c", d.Room.AirTemperature, 20.0},
		{"room.air_pressure_pa", d.Room.AirPressure, 101325.0},
		{"variants", len(d.Variants), 0},
		{"measurements", len(d.Measurements), 0},
	} {
		if test.got != test.want {
			t.Errorf("%s = %v, want %v", test.key, test.got, test.want)
		}
	}
	withTorus := strings.Replace(smallest, `{"kind":"none"}`, `{"kind":"torus","outer_diameter_m":0.06,"tube_diameter_m":0.02}`, 1)
	if d := read(t, withTorus); !d.TopLoad.Closed {
		t.Error("top_load.closed = false, want true")
	}
}

func TestReadRefuses(t *testing.T) {
	for _, test := range []struct {
		name     string
		old, new string // what is changed in the desk coil
		code     string
		want     string // whole line of the problem
	}{
		{"no gauge of that number", `"AWG 32"`, `"AWG 99"`, CodeUnknownValue, `secondary.wire.gauge: there is no "AWG 99"`},
		{"unknown key", `"turns": 310`, `"turns": 310, "colour": 1`, CodeUnknown, `secondary.colour: there is no such key`},
		{"unknown key at the root", `"notes": ""`, `"note": ""`, CodeUnknown, `note: there is no such key`},
		{"twofold key", `"turns": 310`, `"turns": 310, "turns": 311`, CodeDuplicate, `secondary.turns: stands there twice`},
		{"twofold object", `"driver": {"kind": "none"}`, `"driver": {"kind": "none"}, "driver": {"kind": "none"}`, CodeDuplicate, `driver: stands there twice`},
		{"key in another case", `"pitch_m": 0,`, `"Pitch_m": 0,`, CodeUnknown, `secondary.Pitch_m: there is no such key`},
		{"missing key", `"turns": 310,`, ``, CodeMissing, `secondary.turns: is missing`},
		{"missing kind", `"kind": "wire_ring", `, ``, CodeMissing, `top_load.kind: is missing`},
		{"text for a number", `310`, `"310"`, CodeWrongType, `secondary.turns: must be a number, not a text`},
		{"null for a number", `310`, `null`, CodeWrongType, `secondary.turns: must be a number, not null`},
		{"list for an object", `{"kind": "none"}`, `[]`, CodeWrongType, `driver: must be an object, not a list`},
		{"fraction of a ring turn", `"turns": 19`, `"turns": 19.5`, CodeWrongType, `top_load.turns: must be a whole number, not 19.5`},
		{"negative diameter", `0.0250`, `-0.025`, CodeOutOfRange, `secondary.former_diameter_m: must be from 1e-06 to 10 m, not -0.025`},
		{"diameter in millimetres", `0.0250`, `25`, CodeOutOfRange, `secondary.former_diameter_m: must be from 1e-06 to 10 m, not 25`},
		{"too many turns", `310`, `5001`, CodeOutOfRange, `secondary.turns: must be from 1 to 5000, not 5001`},
		{"number beyond the largest", `310`, `1e999`, CodeOutOfRange, `secondary.turns: 1e999 is not a finite number`},
		{"not a number", `310`, `NaN`, CodeMalformed, `secondary.turns: not a finite number, at line 5, column 26`},
		{"infinity", `310`, `-Infinity`, CodeMalformed, `secondary.turns: not a finite number, at line 5, column 27`},
		{"unknown kind", `"wire_ring"`, `"pancake"`, CodeUnknownValue, `top_load.kind: there is no "pancake": must be one of "none", "wire_ring", "torus", "sphere", "disc"`},
		{"key of another kind", `"hub_diameter_m": 0.010`, `"hub_diameter_m": 0.010, "diameter_m": 0.1`, CodeWrongKind, `top_load.diameter_m: is a key of "sphere" and "disc", not of "wire_ring"`},
		{"angle of a cylinder", `"cone_angle_deg": 0`, `"cone_angle_deg": 30`, CodeWrongKind, `primary.cone_angle_deg: must be 0, not 30: only a cone has an angle`},
		{"board of an earthed foot", `"foot": "earthed"`, `"foot": "earthed", "circuit_diameter_m": 0.06`, CodeWrongKind, `room.circuit_diameter_m: is a key of "circuit", not of "earthed"`},
		{"another format", `"coilwright-design"`, `"coilwright-circuit"`, CodeWrongFormat, `format: is "coilwright-circuit", not "coilwright-design": this is no design file`},
		{"higher version", `"version": 1`, `"version": 2`, CodeNewerVersion, `version: is 2: made by a newer Coilwright, this one reads version 1`},
		{"version 0", `"version": 1`, `"version": 0`, CodeOutOfRange, `version: must be 1, not 0`},
		{"missing comma", `"version": 1,`, `"version": 1`, CodeMalformed, `malformed JSON at line 3, column 3: invalid character '"' after object key:value pair`},
		{"text after the end", "[]\n}", "[]\n} x", CodeMalformed, `malformed JSON at line 13, column 3: invalid character 'x' after top-level value`},
		{"variant of a variant", `"variants": []`, `"variants": [{"name":"a","secondary":{"former_diameter_m":0.02,"turns":100,"wire":{"gauge":"AWG 30"}},"top_load":{"kind":"none"},"variants":[1]}]`,
			CodeWrongKind, `variants[0].variants: a variant has no variants of its own`},
		{"variant without a name", `"variants": []`, `"variants": [{"secondary":{"former_diameter_m":0.02,"turns":100,"wire":{"gauge":"AWG 30"}},"top_load":{"kind":"none"}}]`,
			CodeMissing, `variants[0].name: is missing`},
		{"unknown quantity measured", `"measurements": []`, `"measurements": [{"quantity":"colour","value":1,"setup":"bare"}]`, CodeUnknownValue,
			`measurements[0].quantity: there is no "colour": must be one of "frequency", "quality_factor", "inductance", "resistance", "capacitance", "turns", "dimension", "gap", "supply_current", "temperature"`},
		{"device null", `{"kind": "none"}`, `{"kind": "feedback_exciter", "supply_v": 9, "device": null, "base_resistor_ohm": 1e4}`, CodeWrongType, `driver.device: must be the name of a part or its model`},
		{"device of unknown type", `{"kind": "none"}`, `{"kind": "feedback_exciter", "supply_v": 9, "device": {"type": "valve"}, "base_resistor_ohm": 1e4}`, CodeUnknownValue, `driver.device.type: there is no "valve": must be one of "npn", "nmos", "vdmos"`},
		{"sense 0", `{"kind": "none"}`, `{"kind": "feedback_exciter", "supply_v": 9, "device": "PN2222A", "base_resistor_ohm": 1e4, "sense": 0}`, CodeOutOfRange, `driver.sense: must be 1 or -1`},
		{"not UTF-8", `Desk coil`, "Desk \xff", CodeMalformed, `malformed JSON at line 3, column 17: not UTF-8 text`},
	} {
		t.Run(test.name, func(t *testing.T) {
			if strings.Count(desk, test.old) < 1 {
				t.Fatalf("the desk coil has no %s", test.old)
			}
			d, err := Read(strings.NewReader(strings.Replace(desk, test.old, test.new, 1)))
			var problems Problems
			if !errors.As(err, &problems) {
				t.Fatalf("Read: error %v, want Problems", err)
			}
			if len(problems) != 1 || problems[0].Code != test.code || problems[0].String() != test.want {
				t.Errorf("Read: %s %q\nwant %s %q", problems[0].Code, problems, test.code, test.want)
			}
			if d.Name != "" || d.Secondary.Turns != 0 {
				t.Errorf("Read half loaded %+v", d)
			}
		})
	}
}

func TestReadListsAllProblems(t *testing.T) {
	text := strings.NewReplacer(`310`, `-1`, `"AWG 14"`, `"AWG 99"`, `"ground": "floor"`, `"ground": "lava"`).Replace(desk)
	_, err := Read(strings.NewReader(text))
	want := "secondary.turns: must be from 1 to 5000, not -1\n" +
		"top_load.wire.gauge: there is no \"AWG 99\"\n" +
		"room.ground: there is no \"lava\": must be one of \"floor\", \"metal_plane\", \"open\""
	if err == nil || err.Error() != want {
		t.Errorf("Read: %v\nwant %s", err, want)
	}
}

func TestReadSkipsByteOrderMark(t *testing.T) {
	read(t, "\ufeff"+desk)
}

// endless is a file that never ends.
type endless struct {
	fill string
	read int
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.fill[(e.read+i)%len(e.fill)]
	}
	e.read += len(p)
	return len(p), nil
}

func TestReadBoundsHostileFiles(t *testing.T) {
	for _, test := range []struct {
		name   string
		source io.Reader
	}{
		{"100 MB of blanks", io.LimitReader(&endless{fill: " "}, 100<<20)},
		{"endless text", io.MultiReader(strings.NewReader(`{"name": "`), &endless{fill: "x"})},
		{"a million brackets", strings.NewReader(strings.Repeat("[", 1_000_000))},
		{"a hundred thousand braces", strings.NewReader(strings.Repeat(`{"a":`, 100_000))},
		{"a million numbers", strings.NewReader("[" + strings.Repeat("0,", 1_000_000) + "0]")},
		{"many keys under a long one", strings.NewReader(`{"` + strings.Repeat("k", 1<<20) + `": {` + strings.Repeat(`"a":0,`, 200_000) + `"b":0}}`)},
	} {
		t.Run(test.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read(test.source)
			runtime.ReadMemStats(&after)
			if err == nil {
				t.Fatal("Read took it")
			}
			if length := len(err.Error()); length > 40_000 {
				t.Errorf("message of %d bytes", length)
			}
			// All that is ever allocated, garbage included.
			if used := (after.TotalAlloc - before.TotalAlloc) >> 20; used > 160 {
				t.Errorf("allocated %d MB", used)
			}
		})
	}
}

func TestReadEmptyFile(t *testing.T) {
	_, err := Read(bytes.NewReader(nil))
	if want := "malformed JSON at line 1, column 1: unexpected end of JSON input"; err == nil || err.Error() != want {
		t.Errorf("Read of nothing: %v, want %s", err, want)
	}
}
