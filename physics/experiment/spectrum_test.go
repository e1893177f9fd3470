package experiment

import (
	"cmp"
	"slices"
	"testing"

	"coilwright/physics/spectrum"
)

func TestSpectrum(t *testing.T) {
	b := bench(t, nil)
	inside := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 13.56e6})
	near(t, "distance inside 13.56 MHz", inside.Answer(), 0, 0, "47 CFR 18.301")
	below := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 6e6})
	near(t, "distance from 6 MHz", below.Answer(), 0.765/6, same, "47 CFR 18.301: 6.765 MHz")
	near(t, "the edge from below", below.Toward(below.Answer()), 6.765e6, same, "47 CFR 18.301")
	above := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 8e6})
	near(t, "the edge from above", above.Toward(above.Answer()), 6.795e6, same, "47 CFR 18.301")
	if !slices.IsSortedFunc(above.Around, func(a, b spectrum.Service) int { return cmp.Compare(a.Low, b.Low) }) {
		t.Error("the services are not by frequency")
	}
	// 80 m: one name, another upper edge in region 1 than in 2 (ITU Radio Regulations, article 5).
	shared := run[*SpectrumOutcome](t, b, Spectrum, Settings{"frequency": 3.7e6})
	names := map[string]int{}
	for _, service := range shared.Here {
		names[service.Name]++
		if names[service.Name] > 1 {
			t.Errorf("%s is named twice at 3.7 MHz", service.Name)
		}
	}
	if len(names) == 0 {
		t.Error("nobody is named at 3.7 MHz")
	}
}
