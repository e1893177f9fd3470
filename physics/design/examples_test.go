package design

import (
	"bytes"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/assets"
)

var notedFrequency = regexp.MustCompile(`Rings near ([0-9.]+) MHz`)

// Every example reads, is written as its file stands, can be built, and rings
// where its notes say.
func TestExamplesRingWhereTheySay(t *testing.T) {
	all := assets.Examples()
	if len(all) < 4 {
		t.Fatalf("%d examples", len(all))
	}
	for _, e := range all {
		t.Run(e.Name, func(t *testing.T) {
			d := read(t, string(e.Content))
			if again := written(t, d); !bytes.Equal(again, e.Content) {
				t.Errorf("Write gives another file:\n%s", again)
			}
			if d.Primary.Kind == NoPrimary || d.TopLoad.Kind == NoTopLoad {
				t.Error("an example has a primary and a top load")
			}
			noted := notedFrequency.FindStringSubmatch(d.Notes)
			if noted == nil {
				t.Fatal("the notes say no frequency")
			}
			want, err := strconv.ParseFloat(noted[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			const tol = 0.04 // "near"
			r := evaluated(t, d)
			if got := *r.Resonance.Frequency / 1e6; !scalar.EqualWithinRel(got, want, tol) {
				t.Errorf("rings at %.4g MHz, its notes say %g", got, want)
			}
		})
	}
}

// The desk coil is the one the tests of this package are about, its driver apart.
func TestDeskExampleIsTheDeskCoil(t *testing.T) {
	i := slices.IndexFunc(assets.Examples(), func(e assets.Example) bool { return e.Name == "desk.coil.json" })
	if i < 0 {
		t.Fatal("no desk coil among the examples")
	}
	got, want := read(t, string(assets.Examples()[i].Content)), read(t, desk)
	got.Notes, want.Notes = "", ""
	got.Driver, want.Driver = Driver{}, Driver{}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the example is\n%+v, want\n%+v", got, want)
	}
}
