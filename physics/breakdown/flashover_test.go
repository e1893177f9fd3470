package breakdown

import (
	"errors"
	"math"
	"testing"
)

func TestFlashover(t *testing.T) {
	for _, test := range []struct {
		gap       float64 // m
		low, high float64 // V
		source    string
	}{
		{0.0085, 0.75 * 10e3, 26.2e3, "needles 0.85 cm at 10 kV (AIEE) at 0.75; flat 24.22·0.85 + 6.08·√0.85 kV"},
		{0.02, 0.75 * 22.66e3, 57.0e3, "needles between 1.75 and 2.69 cm; flat 57.0 kV at 2 cm"},
		{1e-4, 327, 0.85e3, "Paschen's minimum, read; flat 0.242 + 0.608 kV"},
	} {
		got, err := Flashover(test.gap, 1)
		if err != nil || math.Abs(got.Low/test.low-1) > 0.01 || math.Abs(got.High/test.high-1) > 0.01 || !(got.Low < got.Middle && got.Middle < got.High) {
			t.Errorf("Flashover(%g m) = %+v, %v, want %g to %g V (%s)", test.gap, got, err, test.low, test.high, test.source)
		}
	}
	got, err := Tracking(20, 1)
	if err != nil || math.Abs(got.Low-22.5e3) > 1 || math.Abs(got.High-62.5e3) > 1 {
		t.Errorf("Tracking(20 1/m) = %+v, %v, want 22.5 to 62.5 kV (4.5 and 12.5 kV/cm)", got, err)
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Flashover(bad, 1); !errors.Is(err, ErrRange) {
			t.Errorf("Flashover(%g): %v, want it refused", bad, err)
		}
		if _, err := Tracking(bad, 1); !errors.Is(err, ErrRange) {
			t.Errorf("Tracking(%g): %v, want it refused", bad, err)
		}
		if _, err := ReferenceLevels(bad); !errors.Is(err, ErrRange) {
			t.Errorf("ReferenceLevels(%g): %v, want it refused", bad, err)
		}
	}
}

func TestReferenceLevels(t *testing.T) {
	levels, err := ReferenceLevels(5e6)
	if err != nil || len(levels) != 3 {
		t.Fatalf("ReferenceLevels(5 MHz) = %+v, %v", levels, err)
	}
	// 300/5^0.7 = 97 V/m; 671/5^0.7 = 217 V/m.
	if math.Abs(levels[1].Field-97.2) > 0.2 || math.Abs(levels[0].Field-217.5) > 0.5 || levels[2].Field != 83 {
		t.Errorf("at 5 MHz %+v, want 217, 97 and 83 V/m (ICNIRP)", levels)
	}
	if levels, err := ReferenceLevels(60); err != nil || levels != nil {
		t.Errorf("at 60 Hz %+v, %v, want none", levels, err)
	}
	if levels, _ := ReferenceLevels(20e6); len(levels) != 2 {
		t.Errorf("at 20 MHz %+v, want two", levels)
	}
}
