package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/design"
)

// measuredCoil writes the hand-sized coil with readings and returns the file.
func measuredCoil(t *testing.T, readings ...design.Measurement) string {
	t.Helper()
	for _, e := range assets.Examples() {
		if e.Name != "hand-sized.coil.json" {
			continue
		}
		d, err := design.Read(strings.NewReader(string(e.Content)))
		if err != nil {
			t.Fatal(err)
		}
		d.Measurements, d.TargetFrequency = readings, 5e6
		var content strings.Builder
		if err := design.Write(&content, d); err != nil {
			t.Fatal(err)
		}
		return saved(t, content.String())
	}
	t.Fatal("there is no such example")
	return ""
}

func TestCompare(t *testing.T) {
	path := measuredCoil(t,
		design.Measurement{Quantity: "frequency", Value: 4.6e6, Uncertainty: 5e3, Setup: "with_primary", ProbePlace: "none"},
		design.Measurement{Quantity: "gap", Key: "rods", Value: 0.004, Setup: "running", ProbePlace: "none"})
	code, out, errs := called(t, "", "compare", path)
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errs)
	}
	var got compared
	decoder := json.NewDecoder(strings.NewReader(out))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&got); err != nil {
		t.Fatal(err)
	}
	if len(got.Readings) != 2 {
		t.Fatalf("%d readings", len(got.Readings))
	}
	first, second := got.Readings[0], got.Readings[1]
	if first.Predicted == nil || math.Abs(*first.Deviation-(4.6e6 / *first.Predicted - 1)) > 1e-12 {
		t.Errorf("the first reading is %+v", first)
	}
	if second.Verdict != "not_predicted" || second.Predicted != nil || !second.SigmaAssumed {
		t.Errorf("the second reading is %+v", second)
	}
	if got.Explanation == nil || got.Advice == nil || len(got.Advice.Steps) == 0 || got.Advice.Target != 5e6 {
		t.Errorf("explanation %+v, advice %+v", got.Explanation, got.Advice)
	}
	if got.Count != nil || got.TopCapacitance != nil {
		t.Errorf("found without readings: %+v, %+v", got.Count, got.TopCapacitance)
	}
}

func TestCompareRefuses(t *testing.T) {
	if code, _, errs := called(t, "", "compare", filepath.Join(t.TempDir(), "none.coil.json")); code != exitRefused || errs == "" {
		t.Errorf("a file that is not there: exit %d, %q", code, errs)
	}
	if code, _, _ := called(t, "", "compare"); code != exitUsage {
		t.Errorf("no file: exit %d", code)
	}
}

// TestFormatPageListsCompare: the page on formats names every key that compare
// prints.
func TestFormatPageListsCompare(t *testing.T) {
	page, err := os.ReadFile("../../assets/format/format.md")
	if err != nil {
		t.Fatal(err)
	}
	var walk func(of reflect.Type, path string)
	walk = func(of reflect.Type, path string) {
		for of.Kind() == reflect.Pointer {
			of = of.Elem()
		}
		switch {
		case of.Kind() == reflect.Slice && of.Elem().Kind() == reflect.Struct:
			walk(of.Elem(), path+"[]")
		case of.Kind() == reflect.Struct:
			for i := range of.NumField() {
				name := of.Field(i).Tag.Get("json")
				walk(of.Field(i).Type, strings.TrimPrefix(path+"."+name, "."))
			}
		default:
			if !strings.Contains(string(page), "`"+path+"`") {
				t.Errorf("the page does not list %s", path)
			}
		}
	}
	walk(reflect.TypeFor[compared](), "")
}
