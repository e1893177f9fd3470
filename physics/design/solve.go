package design

import (
	"context"

	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
	"coilwright/physics/spectrum"
)

// solution is the coil as a resonator.
type solution struct {
	resonance      ResonanceReport
	topCapacitance *float64 // F, of the top load alone
	cautions       []Caution
}

// solve returns what the modes of the whole coil say. It and
// [Solver.turnsCurve] are the only places a resonant frequency comes from; the
// capacitance of a top load by itself comes from [resonator.capacitance].
func (s *Solver) solve(ctx context.Context, d *Design, l *layout) (solution, error) {
	m, err := s.resonator.modes(ctx, d, l)
	if err != nil {
		return solution{}, err
	}
	out := solution{resonance: ResonanceReport{
		Frequency:       known(m.Frequency[0]),
		BareFrequency:   known(m.Bare),
		FootInductance:  known(m.FootInductance),
		FootCapacitance: known(m.FootCapacitance),
		TopInductance:   known(m.TopInductance),
		TopCapacitance:  known(m.TopCapacitance),
		TopToFootRatio:  known(m.TopToFootRatio),
	}}
	if m.Found == resonance.ModeCount {
		out.resonance.Overtones = m.Frequency[1:]
	}
	if p := l.primary; p.kind != NoPrimary {
		mutual := m.FootMutual
		if p.turns != p.wound {
			mutual = footMutual(m, l, d.Room.Ground == MetalPlane)
		}
		out.resonance.FootMutualInductance = known(mutual)
	}
	if d.Room.Foot == Circuit {
		out.resonance.CircuitVoltageRatio = known(m.CircuitRatio)
	}
	if l.top.kind != NoTopLoad {
		c, err := s.resonator.capacitance(l.top)
		if err != nil {
			return solution{}, err
		}
		out.topCapacitance = known(c)
	}
	out.cautions = append(out.cautions, spectrumCaution(m.Frequency[0]))
	return out, nil
}

// spectrumCaution says who else works on a frequency in Hz.
func spectrumCaution(frequency float64) Caution {
	where := sentence.New("No service of our list works on %.4g MHz, but others may be licensed there. ", frequency/1e6)
	if len(spectrum.Services(frequency, spectrum.AnyRegion)) > 0 {
		where = sentence.New("%.4g MHz belongs to others: %s. ", frequency/1e6, spectrum.Summary(frequency, spectrum.AnyRegion))
	}
	return Caution{Code: "spectrum", Text: sentence.Join("", where, spectrum.Caution())}
}
