package lesson

import (
	"bytes"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"coilwright/physics/experiment"
)

const short = `{"format": "coilwright-lesson", "version": 1, "name": "n", "audience": "a", "before": [],
 "steps": [{"experiment": "beat", "settings": {"coupling": 0.1}, "minutes": 20, "notes": ""}, {"minutes": 5, "notes": "break"}]}`

func TestReadAndWrite(t *testing.T) {
	l, err := Read(strings.NewReader(short))
	if err != nil {
		t.Fatal(err)
	}
	if l.Minutes() != 25 || len(l.Experiments()) != 1 || l.Experiments()[0].Experiment != experiment.Beat {
		t.Errorf("lesson %+v", l)
	}
	var out bytes.Buffer
	if err := Write(&out, l); err != nil {
		t.Fatal(err)
	}
	again, err := Read(&out)
	if err != nil || !reflect.DeepEqual(again, l) {
		t.Errorf("written and read again: %+v, %v", again, err)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, test := range []struct{ name, old, new, says string }{
		{"another format", "coilwright-lesson", "coilwright-design", "format"},
		{"a newer version", `"version": 1`, `"version": 2`, "newer"},
		{"no version", `"version": 1,`, "", "version"},
		{"an unknown key", `"name"`, `"colour"`, "colour"},
		{"an unknown experiment", `"beat"`, `"bang"`, "bang"},
		{"no time", `"minutes": 20`, `"minutes": 0`, "minutes"},
		{"no steps", `[{"experiment"`, `[], "x": [{"experiment"`, "x"},
		{"settings without an experiment", `"experiment": "beat", `, "", "settings"},
		{"cut off", `{"minutes": 5, "notes": "break"}]}`, "", "early"},
		{"a word for a number", `"minutes": 20`, `"minutes": "long"`, "line 2"},
		{"two lessons", `"break"}]}`, `"break"}]}{}`, "follows"},
	} {
		text := strings.Replace(short, test.old, test.new, 1)
		if _, err := Read(strings.NewReader(text)); !errors.Is(err, ErrLesson) || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: %v, want a refusal that says %q", test.name, err, test.says)
		}
	}
	if _, err := Read(strings.NewReader(strings.Repeat(" ", maxFileSize+1))); !errors.Is(err, ErrLesson) {
		t.Errorf("a large file: %v", err)
	}
}

func TestResults(t *testing.T) {
	want := []Result{
		{Coil: 1, Value: 300, Predicted: 1.4e6, Measured: math.NaN(), Uncertainty: math.NaN()},
		{Coil: 2, Value: 310, Predicted: 1.35e6, Measured: 1.341e6, Uncertainty: 2e3, Note: "table 4, twice"},
	}
	var out bytes.Buffer
	if err := WriteResults(&out, Results{"top_load.height_m", want}); err != nil {
		t.Fatal(err)
	}
	same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
	for _, test := range []struct{ name, text, varied string }{
		{"as written", out.String(), "top_load.height_m"},
		{"with semicolons and decimal commas", "coil;value;predicted_hz;measured_hz;uncertainty_hz;note\n" +
			"1;300;1,4e6;;;\n2;310;1,35e6;1,341e6;2000;table 4, twice\n", ""},
		{"with tabs, without a header", "1\t300\t1.4e6\t\t\t\n2\t310\t1.35e6\t1.341e6\t2000\ttable 4, twice\n", ""},
	} {
		name := test.name
		got, err := ReadResults(strings.NewReader(test.text))
		if err != nil || len(got.Coils) != len(want) || got.Varied != test.varied {
			t.Errorf("%s: %+v, %v", name, got, err)
			continue
		}
		for i, w := range want {
			g := got.Coils[i]
			if g.Coil != w.Coil || g.Note != w.Note || !same(g.Value, w.Value) || !same(g.Predicted, w.Predicted) || !same(g.Measured, w.Measured) || !same(g.Uncertainty, w.Uncertainty) {
				t.Errorf("%s: coil %d is %+v, want %+v", name, i+1, g, w)
			}
		}
	}
	for name, text := range map[string]string{
		"line 2": "coil,value,predicted_hz,measured_hz,uncertainty_hz,note\n1,300,1.4e6,fast,,\n",
		"line 1": "1,300,1.4e6,-5,,\n", "no coils": "", "is no number of a coil": "x,1,1,1,1,\n",
	} {
		if _, err := ReadResults(strings.NewReader(text)); !errors.Is(err, ErrLesson) || !strings.Contains(err.Error(), name) {
			t.Errorf("%q: %v, want a refusal that says %q", text, err, name)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(short)
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := Write(&out, l); err != nil {
			t.Fatalf("read but not written: %v", err)
		}
	})
}

func FuzzReadResults(f *testing.F) {
	f.Add("coil,value,predicted_hz,measured_hz,uncertainty_hz,note\n1,2,3,4,5,six\n")
	f.Add("1;2;3;4,5;;\n")
	f.Fuzz(func(t *testing.T, text string) {
		results, err := ReadResults(strings.NewReader(text))
		if err == nil && len(results.Coils) == 0 {
			t.Error("an empty table without an error")
		}
	})
}
