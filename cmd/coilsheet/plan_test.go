package main

import (
	"encoding/json"
	"strings"
	"testing"

	"coilwright/assets"
)

// TestPlanJSON reads the plan of every example back, with no other keys than
// the format has.
func TestPlanJSON(t *testing.T) {
	for _, e := range assets.Examples() {
		code, out, errs := called(t, string(e.Content), "plan", "-json", "-")
		if code != exitDone || errs != "" {
			t.Errorf("%s: code %d, %s", e.Name, code, errs)
			continue
		}
		var p planJSON
		decoder := json.NewDecoder(strings.NewReader(out))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&p); err != nil {
			t.Errorf("%s: %v", e.Name, err)
		}
		if p.Secondary == nil || len(p.Secondary.Steps) == 0 || p.Secondary.Steps[0].RingAngle != nil || len(p.Wiring) == 0 {
			t.Errorf("%s: %s", e.Name, out)
		}
		if strings.Contains(string(e.Content), `"wire_ring"`) != (p.Ring != nil) {
			t.Errorf("%s: ring %v", e.Name, p.Ring)
		}
		if p.Ring != nil {
			last := p.Ring.Steps[len(p.Ring.Steps)-1]
			if p.Ring.Spare != 3 || last.Turns != p.Ring.Turns || last.RingAngle == nil || *last.RingAngle != 360 {
				t.Errorf("%s: the ring ends at %+v", e.Name, last)
			}
		}
	}
	const bare = `{"format": "coilwright-design", "version": 1, "secondary": {"former_diameter_m": 0.025, "turns": 100, "wire": {"gauge": "AWG 30"}}, "top_load": {"kind": "none"}}`
	if _, out, errs := called(t, bare, "plan", "-json", "-"); !strings.Contains(out, `"ring": null`) || !strings.Contains(out, `"primary": null`) {
		t.Errorf("parts that are absent are not null: %s%s", out, errs)
	}
}

func TestPlanText(t *testing.T) {
	for _, test := range []struct {
		args []string
		says string
	}{
		{nil, "Check: outside diameter 44.5\u202fmm (calliper)."},
		{[]string{"-inch"}, "Check: outside diameter 1.75\u202fin (calliper)."},
		{[]string{"-loop", "14.7 mm"}, "sprung open to 14.7\u202fmm inside, 5\u202f% more"},
	} {
		code, out, errs := called(t, example(), append(append([]string{"plan"}, test.args...), "-")...)
		if code != exitDone || !strings.Contains(out, test.says) {
			t.Errorf("plan %v: code %d, %s, it does not say %q: %s", test.args, code, errs, test.says, out)
		}
	}
	if code, _, errs := called(t, example(), "plan", "-loop", "12 mm", "-"); code != exitRefused || !strings.Contains(errs, "cannot be wound") {
		t.Errorf("a loop that shrinks: code %d, %s", code, errs)
	}
	if code, _, errs := called(t, example(), "plan", "-loop", "twelve", "-"); code != exitUsage || !strings.Contains(errs, "-loop") {
		t.Errorf("a loop that is no length: code %d, %s", code, errs)
	}
}
