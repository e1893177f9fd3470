package design

import "context"

// solution is the coil as a resonator.
type solution struct {
	resonance      ResonanceReport
	topCapacitance *float64 // F, of the top load alone
	cautions       []Caution
}

// solve returns what is known of the coil as a resonator. It and
// [Solver.frequencies] are the only places a resonant frequency comes from, at
// present the handbook; the capacitance of a top load by itself comes from
// [topCache].
func (s *Solver) solve(_ context.Context, _ *layout, h handbook) (solution, error) {
	return solution{
		resonance: ResonanceReport{
			Frequency:     known(h.frequency()),
			BareFrequency: known(h.bareFrequency()),
		},
		topCapacitance: h.top(),
		cautions: []Caution{{Code: "by_handbook",
			Text: "Frequency and capacitance are by handbook formulas. They leave out floor, former and primary and add the top load as if it stood alone: with a top load they come out 10 to 25 % low."}},
	}, nil
}

// frequencies returns the frequency in Hz of the first mode with and without
// top load; without a top load both are the same.
func (s *Solver) frequencies(_ context.Context, l *layout) (loaded, bare float64, err error) {
	h, err := s.byHandbook(l)
	if err != nil {
		return 0, 0, err
	}
	return h.frequency(), h.bareFrequency(), nil
}
