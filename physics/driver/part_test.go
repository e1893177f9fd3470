package driver

import (
	"errors"
	"strings"
	"testing"
)

func TestParts(t *testing.T) {
	for _, p := range Parts() {
		if p.Name == "" || p.What == "" || len(p.Model) == 0 || len(p.Sources) == 0 {
			t.Errorf("%q lacks something: %+v", p.Name, p)
		}
		for _, s := range p.Sources {
			switch s.Status {
			case "seen", "computed", "from memory", "assumption":
			default:
				t.Errorf("%s: status %q of %s", p.Name, s.Status, s.Of)
			}
			if s.Source == "" {
				t.Errorf("%s: %s without a source", p.Name, s.Of)
			}
		}
		var ignored []string
		var err error
		switch p.Type {
		case NPN:
			_, _, _, _, ignored, err = p.bipolar()
		case Diode:
			_, _, ignored, err = p.diode()
		default:
			var m *mosfetCard
			if m, err = p.mosfet(0); err == nil {
				ignored = m.ignored
			}
		}
		if err != nil || len(ignored) > 0 {
			t.Errorf("%s: ignored %v, error %v", p.Name, ignored, err)
		}
	}
}

func TestFind(t *testing.T) {
	for _, name := range []string{"PN2222A", "2n2222a", " BD139 ", "LEDRED"} {
		if _, err := Find(name); err != nil {
			t.Error(err)
		}
	}
	if _, err := Find("QX1"); !errors.Is(err, ErrPart) || !strings.Contains(err.Error(), "BD139") {
		t.Errorf("error %v, want one that lists the parts", err)
	}
	list := Parts()
	list[0].Model["BF"] = 1
	if Parts()[0].Model["BF"] == 1 {
		t.Error("a change of the copy changes the list")
	}
}

func TestStated(t *testing.T) {
	p := Stated(NPN, map[string]float64{"bf": 50, "IRB": 1e-3, "XTB": 1.5, "xcjc": 0.6})
	b, _, _, _, ignored, err := p.bipolar()
	if err != nil || b.bf != 50 {
		t.Errorf("BF %g, error %v", b.bf, err)
	}
	if got := strings.Join(ignored, " "); got != "IRB XCJC" {
		t.Errorf("ignored %q, want IRB and XCJC", got)
	}
	for _, model := range []map[string]float64{{"IS": -1}, {"RB": -2}, {"MJE": 1}, {"VJE": 0}, {"FC": 1}} {
		if _, _, _, _, _, err := Stated(NPN, model).bipolar(); !errors.Is(err, ErrPart) {
			t.Errorf("%v: error %v", model, err)
		}
	}
}
