package design

import (
	"errors"
	"testing"
)

func TestNumberAndSet(t *testing.T) {
	d := read(t, desk)
	for _, key := range []string{"secondary.turns", "top_load.turns", "top_load.former_diameter_m", "primary.inner_diameter_m", "room.ceiling_height_m", "target_frequency_hz"} {
		before, err := Number(d, key)
		if err != nil {
			t.Errorf("Number(%s): %v", key, err)
		}
		if err := Set(&d, key, before+1); err != nil {
			t.Errorf("Set(%s): %v", key, err)
		}
		if after, err := Number(d, key); err != nil || after != before+1 {
			t.Errorf("Number(%s) after Set = %g, %v, want %g", key, after, err, before+1)
		}
		if least, most, err := Range(d, key); err != nil || least > before || most < before+1 {
			t.Errorf("Range(%s) = %g, %g, %v", key, least, most, err)
		}
	}
	if err := Set(&d, "tolerances.pitch", 1e-5); err != nil || *d.Tolerances.Pitch != 1e-5 {
		t.Errorf("Set(tolerances.pitch): %v", err)
	}
}

func TestSetRefuses(t *testing.T) {
	for _, test := range []struct {
		key   string
		value float64
		want  string
	}{
		{"secondary.turns", 0, "secondary.turns: must be from 1 to 5000, not 0"},
		{"top_load.turns", 2.5, "top_load.turns: must be a whole number, not 2.5"},
	} {
		d := read(t, desk)
		if err := Set(&d, test.key, test.value); err == nil || err.Error() != test.want {
			t.Errorf("Set(%s, %g): %v, want %s", test.key, test.value, err, test.want)
		}
		if d.Secondary.Turns != 310 || d.TopLoad.Turns != 19 {
			t.Errorf("a refused value changed the design")
		}
	}
	d := read(t, desk)
	for _, key := range []string{"", "secondary", "secondary.colour", "top_load.diameter_m", "secondary.wire.gauge", "name"} {
		if err := Set(&d, key, 1); !errors.Is(err, ErrNoNumber) {
			t.Errorf("Set(%q): %v, want ErrNoNumber", key, err)
		}
		if _, err := Number(d, key); !errors.Is(err, ErrNoNumber) {
			t.Errorf("Number(%q): %v, want ErrNoNumber", key, err)
		}
	}
}
