package experiment

import (
	"cmp"
	"context"
	"math"
	"slices"

	"coilwright/physics/si"
	"coilwright/physics/spectrum"
)

// SpectrumOutcome is where a frequency lies among those who work by radio.
type SpectrumOutcome struct {
	Frequency float64            // Hz
	Here      []spectrum.Service // at the frequency, the most serious first; of one name in several regions the first
	Around    []spectrum.Service // from Low to High, by frequency
	Low, High float64            // Hz

	ISM      spectrum.Service // nearest band set aside for industrial use
	Distance float64          // from the frequency to its nearest edge, over the frequency; 0 inside
}

// Toward returns the frequency in Hz that lies a distance over the frequency away, on the
// side of the nearest industrial band; 0 if there is none that far down.
func (o *SpectrumOutcome) Toward(distance float64) float64 {
	if o.ISM.High < o.Frequency {
		return o.Frequency * math.Max(0, 1-distance)
	}
	return o.Frequency * (1 + distance)
}

// Answer returns how far the nearest industrial band is, over the frequency.
func (o *SpectrumOutcome) Answer() float64 { return o.Distance }

// Range of frequencies that is shown, in Hz.
const (
	lowestShown  = 1e5
	highestShown = 3e7
)

func spectrumExperiment(b *Bench) Experiment {
	start := 1e6
	if f := b.report.Resonance.Frequency; f != nil {
		start = math.Min(highestShown, math.Max(lowestShown, *f))
	}
	return Experiment{
		Kind:     Spectrum,
		Settings: []Setting{{Name: "frequency", Least: lowestShown, Most: highestShown, Start: start, Unit: si.Hertz, Geometric: true}},
		Guess:    percentGuess(0, 5, 0.5),
		run:      runSpectrum,
	}
}

func runSpectrum(_ context.Context, _ *Bench, s Settings) (Outcome, error) {
	f := s["frequency"]
	o := &SpectrumOutcome{
		Frequency: f, Low: lowestShown, High: highestShown, Distance: math.Inf(1),
		Here:   named(spectrum.Services(f, spectrum.AnyRegion)),
		Around: spectrum.Between(lowestShown, highestShown, spectrum.AnyRegion),
	}
	slices.SortStableFunc(o.Around, func(a, b spectrum.Service) int { return cmp.Compare(a.Low, b.Low) })
	for _, band := range spectrum.All() {
		if band.Kind != spectrum.ISM {
			continue
		}
		distance := math.Max(0, math.Max(band.Low-f, f-band.High)) / f
		if distance < o.Distance {
			o.ISM, o.Distance = band, distance
		}
	}
	return o, nil
}

// named returns services with each name once: a band that differs from region to
// region has a row for each.
func named(services []spectrum.Service) []spectrum.Service {
	var once []spectrum.Service
	for _, s := range services {
		if !slices.ContainsFunc(once, func(o spectrum.Service) bool { return o.Name == s.Name }) {
			once = append(once, s)
		}
	}
	return once
}
