package design

import "testing"

func TestFingerprint(t *testing.T) {
	d := read(t, desk)
	first := Fingerprint(d)
	// The value is held so that prints of today can be told apart from those
	// of tomorrow: it changes only with the file format.
	if want := "a9a37258"; first != want {
		t.Errorf("Fingerprint(desk) = %s, want %s", first, want)
	}
	same := d
	same.Name, same.Notes, same.TargetFrequency = "Another", "words", 1e6
	same.Measurements = []Measurement{{Quantity: "frequency"}}
	same.TopLoad.Diameter = 0.1 // of another kind
	if got := Fingerprint(same); got != first {
		t.Errorf("a name changes the fingerprint: %s, want %s", got, first)
	}
	other := d
	other.Secondary.Turns++
	if got := Fingerprint(other); got == first {
		t.Errorf("another coil has the same fingerprint %s", got)
	}
	other.Secondary.Turns = -1
	if got := Fingerprint(other); got != "" {
		t.Errorf("Fingerprint of what is no design = %q, want none", got)
	}
}
