package design

import (
	"encoding"
	"os"
	"reflect"
	"strings"
	"testing"

	"coilwright/physics/sentence"
)

// The page that describes the formats lists every key of a design, with its
// range, and every key of a report.
func TestFormatPageListsEveryKey(t *testing.T) {
	content, err := os.ReadFile("../../assets/format/format.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(content)
	design, report, found := strings.Cut(page, "\n## Report\n")
	if !found {
		t.Fatal("the page has no part about the report")
	}
	keys := designKeys()
	if len(keys) < 80 {
		t.Fatalf("found only %d keys", len(keys))
	}
	for _, k := range keys {
		row := rowOf(design, k.path)
		if row == "" {
			t.Errorf("the page does not list %s", k.path)
		} else if !strings.Contains(row, k.limits) {
			t.Errorf("the page says %q of %s, but not its range, %s", row, k.path, k.limits)
		}
	}
	for _, path := range reportKeys(reflect.TypeFor[Report](), "") {
		if !strings.Contains(report, "`"+path+"`") {
			t.Errorf("the page does not list %s of the report", path)
		}
	}
}

// rowOf returns the line of a table that begins with the key.
func rowOf(page, path string) string {
	for line := range strings.Lines(page) {
		if strings.HasPrefix(line, "| `"+path+"` |") {
			return line
		}
	}
	return ""
}

// key is a key of the design file with the range its row must state.
type key struct {
	path, limits string
}

// designKeys returns the keys of a design of every kind. The keys of a wire
// are described once, without the part they belong to.
func designKeys() []key {
	var d Design
	var m Measurement
	var format string
	var version int
	var keys []key
	var walk func(path string, o object)
	walk = func(path string, o object) {
		for _, f := range o.fields() {
			k := key{path: join(path, f.key)}
			switch v := f.value.(type) {
			case object:
				if f.key == "wire" {
					if path == "secondary" {
						walk("", v)
					}
				} else {
					walk(k.path, v)
				}
			case list[Measurement]:
				walk("measurements[]", measurement(&m).(object))
			case quantity:
				if v.max < 1e300 {
					k.limits = v.limits.In(sentence.Reader{})
				}
			case optional:
				k.limits = v.limits.In(sentence.Reader{})
			case whole:
				k.limits = v.limits.In(sentence.Reader{})
			}
			keys = append(keys, k)
		}
	}
	walk("", wholeDesign(&d, &format, &version))
	return keys
}

// reportKeys returns the keys of a report.
func reportKeys(t reflect.Type, path string) []string {
	var keys []string
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		inner := join(path, name)
		switch {
		case f.Type.Implements(reflect.TypeFor[encoding.TextMarshaler]()): // a text
			keys = append(keys, inner)
		case f.Type.Kind() == reflect.Struct:
			keys = append(keys, reportKeys(f.Type, inner)...)
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() == reflect.Struct:
			keys = append(keys, reportKeys(f.Type.Elem(), inner+"[]")...)
		default:
			keys = append(keys, inner)
		}
	}
	return keys
}

// The page lists every key of a stock, with its range.
func TestFormatPageListsEveryKeyOfAStock(t *testing.T) {
	content, err := os.ReadFile("../../assets/format/format.md")
	if err != nil {
		t.Fatal(err)
	}
	_, page, found := strings.Cut(string(content), "\n## Stock")
	if !found {
		t.Fatal("the page has no part about the stock")
	}
	var stock Stock
	var format string
	var version int
	var walk func(path string, o object)
	walk = func(path string, o object) {
		for _, f := range o.fields() {
			key := join(path, f.key)
			if !strings.Contains(page, "`"+key+"`") {
				t.Errorf("the page does not list %s of a stock", key)
			}
			row, limits := rowOf(page, key), ""
			switch v := f.value.(type) {
			case list[StockWire]:
				walk(key+"[]", stockWire(new(StockWire)).(object))
			case list[StockFormer]:
				walk(key+"[]", stockFormer(new(StockFormer)).(object))
			case list[StockHub]:
				walk(key+"[]", stockHub(new(StockHub)).(object))
			case quantity:
				limits = v.limits.In(sentence.Reader{})
			case optional:
				limits = v.limits.In(sentence.Reader{})
			}
			if row != "" && !strings.Contains(row, limits) {
				t.Errorf("the page says %q of %s, but not its range, %s", row, key, limits)
			}
		}
	}
	walk("", wholeStock(&stock, &format, &version))
}

// The page lists every key of a circuit file that a design does not have.
func TestFormatPageListsCircuitKeys(t *testing.T) {
	content, err := os.ReadFile("../../assets/format/format.md")
	if err != nil {
		t.Fatal(err)
	}
	_, part, found := strings.Cut(string(content), "\n## Circuit: ")
	if !found {
		t.Fatal("the page has no part about circuits")
	}
	part, _, _ = strings.Cut(part, "\n## ")
	var c CircuitFile
	for _, f := range wholeCircuit(&c).fields() {
		paths := []string{f.key}
		if o, ok := f.value.(object); ok && f.key != "driver" {
			paths = nil
			for _, inner := range o.fields() {
				paths = append(paths, join(f.key, inner.key))
			}
		}
		for _, path := range paths {
			if !strings.Contains(part, "`"+path+"`") {
				t.Errorf("the page does not list %s of a circuit", path)
			}
		}
	}
	if !strings.Contains(part, "`driver.square_amplitude_v`") {
		t.Error("the page does not list driver.square_amplitude_v")
	}
}
