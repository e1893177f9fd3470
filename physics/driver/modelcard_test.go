package driver

import (
	"errors"
	"maps"
	"math"
	"strings"
	"testing"
)

// The scale factors are those of SPICE: m is milli, meg is mega, letters behind
// them are units (ngspice manual, chapter "Circuit description", from memory).
func TestReadModel(t *testing.T) {
	p, err := ReadModel("* a comment\n.model Q1 NPN(IS=1e-14 bf=200 ; gain\n+ CJE = 22pF, TF=0.4n RB=10 VAF=0.1k IKF=300m)", Diode)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"IS": 1e-14, "BF": 200, "CJE": 22e-12, "TF": 0.4e-9, "RB": 10, "VAF": 100, "IKF": 0.3}
	if p.Type != NPN || len(p.Model) != len(want) {
		t.Errorf("%+v", p)
	}
	for name, x := range want {
		if math.Abs(p.Model[name]-x) > 1e-12*x {
			t.Errorf("%s = %g, want %g", name, p.Model[name], x)
		}
	}
	if p, err = ReadModel("IS=1n RS=2 BV=1meg", Diode); err != nil || p.Type != Diode || p.Model["BV"] != 1e6 {
		t.Errorf("parameters alone: %+v, %v", p, err)
	}
	for _, text := range []string{"", ".model x PNP(IS=1)", "IS", "IS=", "IS=abc", "IS 1", ".model x NPN(BF=-3)"} {
		if _, err := ReadModel(text, NPN); !errors.Is(err, ErrPart) {
			t.Errorf("%q: error %v", text, err)
		}
	}
}

func TestModelsReadBack(t *testing.T) {
	for _, p := range Parts() {
		got, err := ReadModel(WriteModel(p), NPN)
		if err != nil || got.Type != p.Type || !maps.Equal(got.Model, p.Model) {
			t.Errorf("%s: %+v, %v", p.Name, got, err)
		}
	}
}

func FuzzReadModel(f *testing.F) {
	f.Add(".model Q1 NPN(IS=1e-14 BF=200)")
	f.Add("IS=1n RS=2")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadModel(text, NPN)
		if err != nil {
			return
		}
		again, err := ReadModel(strings.TrimSpace(WriteModel(p)), NPN)
		if err != nil || len(again.Model) != len(p.Model) {
			t.Errorf("%q reads as %v, which reads back as %v, %v", text, p.Model, again.Model, err)
		}
	})
}
