package design

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
)

// drawerStock is what a physics club might have.
const drawerStock = `{
  "format": "coilwright-stock", "version": 1,
  "wires": [
    {"name": "", "gauge": "AWG 32", "insulation": "single", "length_m": 60},
    {"name": "motor wire", "gauge": "AWG 26", "insulation": "heavy", "mass_kg": 0.1},
    {"gauge": "0.40 mm", "insulation": "single"},
    {"gauge": "AWG 14", "insulation": "bare", "length_m": 5}
  ],
  "formers": [
    {"name": "drain pipe", "diameter_m": 0.040, "wall_m": 0.0018, "length_m": 0.30, "relative_permittivity": 1, "loss_tangent": 0},
    {"name": "syringe", "diameter_m": 0.025, "wall_m": 0.001, "length_m": 0.12, "relative_permittivity": 2.3, "loss_tangent": 0.001},
    {"name": "dowel", "diameter_m": 0.014, "wall_m": 0, "length_m": 0.5}
  ],
  "hubs": [{"name": "M6 nut", "diameter_m": 0.00989}]
}
`

func stockOf(t testing.TB, text string) Stock {
	t.Helper()
	s, err := ReadStock(strings.NewReader(text))
	if err != nil {
		t.Fatalf("ReadStock: %v", err)
	}
	return s
}

func TestStockRoundTrip(t *testing.T) {
	s := stockOf(t, drawerStock)
	if len(s.Wires) != 4 || *s.Wires[0].Length != 60 || s.Wires[1].Mass == nil || s.Wires[2].Length != nil ||
		s.Formers[1].RelativePermittivity != 2.3 || s.Formers[2].RelativePermittivity != 1 || s.Formers[2].Wall != 0 || s.Hubs[0].Name != "M6 nut" {
		t.Errorf("read %+v", s)
	}
	var first, second bytes.Buffer
	if err := WriteStock(&first, s); err != nil {
		t.Fatal(err)
	}
	again := stockOf(t, first.String())
	if !reflect.DeepEqual(again, s) {
		t.Errorf("written and read it is %+v, was %+v", again, s)
	}
	if err := WriteStock(&second, again); err != nil || second.String() != first.String() {
		t.Errorf("written twice, %v:\n%s", err, second.String())
	}
}

func TestReadStockRefuses(t *testing.T) {
	for _, test := range []struct{ name, from, to, code, key string }{
		{"a design", `coilwright-stock`, `coilwright-design`, CodeWrongFormat, "format"},
		{"a newer file", `"version": 1`, `"version": 2`, CodeNewerVersion, "version"},
		{"an unknown key", `"length_m": 60`, `"length_mm": 60`, CodeUnknown, "wires[0].length_mm"},
		{"an unknown wire", `AWG 32`, `AWG x`, CodeUnknownValue, "wires[0].gauge"},
		{"a negative length", `"length_m": 60`, `"length_m": -1`, CodeOutOfRange, "wires[0].length_m"},
		{"millimetres", `"diameter_m": 0.040`, `"diameter_m": 40`, CodeOutOfRange, "formers[0].diameter_m"},
		{"a hub without size", `, "diameter_m": 0.00989`, ``, CodeMissing, "hubs[0].diameter_m"},
		{"no number", `"mass_kg": 0.1`, `"mass_kg": NaN`, CodeMalformed, "wires[1].mass_kg"},
		{"half a file", "\"hubs\": [{\"name\": \"M6 nut\", \"diameter_m\": 0.00989}]\n}", ``, CodeMalformed, ""},
	} {
		_, err := ReadStock(strings.NewReader(strings.Replace(drawerStock, test.from, test.to, 1)))
		problems, _ := err.(Problems)
		if len(problems) != 1 || problems[0].Code != test.code || test.key != "" && problems[0].Key != test.key {
			t.Errorf("%s: %v, want %s at %s", test.name, err, test.code, test.key)
		}
	}
	bad := Stock{Hubs: []StockHub{{Diameter: 100}}}
	if err := WriteStock(new(bytes.Buffer), bad); err == nil {
		t.Error("a hub of 100 m is written")
	}
}

// Whatever the bytes, reading does not panic; what is read can be written and read again.
func FuzzReadStock(f *testing.F) {
	f.Add([]byte(drawerStock))
	f.Add([]byte(`{"format":"coilwright-stock","version":1}`))
	f.Add([]byte(`{"format":"coilwright-stock","version":1,"wires":[{"gauge":"AWG 0","length_m":null}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadStock(bytes.NewReader(data))
		if err != nil {
			return
		}
		var written bytes.Buffer
		if err := WriteStock(&written, s); err != nil {
			t.Fatalf("read, but not written: %v", err)
		}
		if again, err := ReadStock(&written); err != nil || !reflect.DeepEqual(again, s) {
			t.Fatalf("read again it is %+v, %v, was %+v", again, err, s)
		}
	})
}
