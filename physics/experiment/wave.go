package experiment

import (
	"context"
	"math"

	"gonum.org/v1/gonum/interp"

	"coilwright/physics/design"
)

// WaveOutcome is a mode along the winding, with and without the top load. Voltage and
// current are over those that are largest in size, which are 1.
type WaveOutcome struct {
	Mode      int     // 1 and up
	Frequency float64 // Hz
	Wave      design.ProfileCurve
	Other     *design.ProfileCurve // the same mode without the top load, or with it; nil: there is none
	TopLoad   bool                 // Wave has the top load
	Half      float64              // voltage in the middle of the winding
}

// Answer returns the voltage at half the height of the winding over the largest.
func (o *WaveOutcome) Answer() float64 { return o.Half }

// Middle returns the height in m of the middle of the winding.
func (o *WaveOutcome) Middle() float64 {
	return (o.Wave.Height[0] + o.Wave.Height[len(o.Wave.Height)-1]) / 2
}

// At returns the voltage and current along the winding at a phase in rad of the
// swing, 0 where the voltage is largest everywhere at once: V cos φ and I sin φ,
// which is what standing means. The slices are as long as o.Wave.Height.
func (o *WaveOutcome) At(phase float64) (voltage, current []float64) {
	sin, cos := math.Sincos(phase)
	voltage = make([]float64, len(o.Wave.Voltage))
	current = make([]float64, len(o.Wave.Current))
	for i := range voltage {
		voltage[i], current[i] = o.Wave.Voltage[i]*cos, o.Wave.Current[i]*sin
	}
	return voltage, current
}

func waveExperiment(b *Bench) Experiment {
	x := Experiment{
		Kind:     StandingWave,
		Settings: []Setting{{Name: "mode", Least: 1, Most: 3, Start: 1, Step: 1}},
		Guess:    percentGuess(-1, 1, 0.5),
		run:      runWave,
	}
	if b.design.TopLoad.Kind != design.NoTopLoad {
		x.Settings = append(x.Settings, Setting{Name: "top_load", Least: 0, Most: 1, Start: 1, Step: 1, TwoChoices: true})
	}
	return x
}

func runWave(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	mode := int(math.Round(s["mode"]))
	o := &WaveOutcome{Mode: mode, TopLoad: s["top_load"] > 0}
	with, err := b.solver.StandingWaves(ctx, b.design)
	if err != nil {
		return nil, err
	}
	bare := with
	if b.design.TopLoad.Kind != design.NoTopLoad {
		d := b.design
		d.TopLoad = design.TopLoad{Kind: design.NoTopLoad}
		if bare, err = b.solver.StandingWaves(ctx, d); err != nil {
			return nil, err
		}
	}
	shown, other := bare, with
	if o.TopLoad {
		shown, other = with, bare
	}
	if mode > len(shown.Mode) {
		return nil, ErrNothing
	}
	o.Frequency, o.Wave = shown.Frequency[mode-1], overLargest(shown.Mode[mode-1])
	if b.design.TopLoad.Kind != design.NoTopLoad && mode <= len(other.Mode) {
		wave := overLargest(other.Mode[mode-1])
		o.Other = &wave
	}
	var cubic interp.FritschButland
	if err := cubic.Fit(o.Wave.Height, o.Wave.Voltage); err != nil {
		return nil, err
	}
	o.Half = cubic.Predict(o.Middle())
	return o, nil
}

// overLargest returns a mode with voltage and current over those largest in size.
func overLargest(c design.ProfileCurve) design.ProfileCurve {
	return design.ProfileCurve{Height: c.Height, Voltage: shares(c.Voltage), Current: shares(c.Current)}
}

// shares returns values over the one that is largest in size.
func shares(values []float64) []float64 {
	largest := 0.0
	for _, v := range values {
		if math.Abs(v) > math.Abs(largest) {
			largest = v
		}
	}
	over := make([]float64, len(values))
	for i, v := range values {
		over[i] = v / largest
	}
	return over
}
