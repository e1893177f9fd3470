package measurement

import "math"

// withCompanion fits one mode more if one stands out of the residual, and
// returns false if none does. The residual is weighted as the main mode
// decays, which brings out what decays alike.
func (f *modeFit) withCompanion(samples []float64) (*modeFit, bool) {
	const (
		leastGain  = 60. // fall of the sum over the variance: noise alone gives four and a few
		sameDecays = 0.5 // of the larger decay, distance below which two modes are one that is no exponential
	)
	weighted := f.weightedResidual(f.modes[0].alpha)
	power, size := periodogram(weighted)
	lowest := int(fewestCycles) * size / len(weighted)
	bin, height := peak(prominence(power), lowest, len(power)-1)
	if height < leastProminence {
		return nil, false
	}
	omega := 2 * math.Pi * bin / (float64(size) * f.interval)
	start := append(append([]mode{}, f.modes...), mode{omega: omega, alpha: max(f.modes[0].alpha, 0)})
	more, err := fitModes(samples, f.interval, start)
	if err != nil || (f.minimum.sum-more.minimum.sum) < leastGain*more.minimum.variance() {
		return nil, false
	}
	for i, m := range more.modes {
		if m.omega <= 0 || m.omega*f.interval >= math.Pi {
			return nil, false
		}
		for _, other := range more.modes[:i] {
			if math.Abs(m.omega-other.omega) < sameDecays*max(math.Abs(m.alpha), math.Abs(other.alpha)) {
				return nil, false
			}
		}
	}
	return more, true
}

// weightedResidual returns the residual times e^(−αt).
func (f *modeFit) weightedResidual(alpha float64) []float64 {
	out := make([]float64, len(f.residual))
	fall := math.Exp(-max(alpha, 0) * f.interval)
	w := 1.0
	for i, r := range f.residual {
		out[i] = r * w
		w *= fall
	}
	return out
}

// noiseNear returns the energy of the weighted residual near a mode and the
// density of the noise there, over that of white noise with the residual's
// variance. The density is 1 unless it differs from that by more than chance
// explains.
func (f *modeFit) noiseNear(i int) (energy, density float64) {
	const (
		width      = 0.25 // of the frequency, to either side
		leastWidth = 32.  // bins to either side, of the stretch
		fewest     = 8.   // independent bins that tell a density
		chance     = 3.   // sigmas
		absorbed   = 2.   // complex degrees of freedom that the fit of a mode takes from the bins near it
	)
	m := f.modes[i]
	alpha := max(m.alpha, 0)
	weighted := f.weightedResidual(alpha)
	power, size := periodogram(weighted)
	bin := f.interval * float64(size) // per Hz
	f0 := m.omega / (2 * math.Pi)
	half := max(width*f0, leastWidth/f.length())
	from := max(int(math.Ceil((f0-half)*bin)), int(3*bin/f.length()), 1)
	to := min(int((f0+half)*bin), len(power)-1)
	if from >= to {
		return 0, 1
	}
	for _, p := range power[from : to+1] {
		energy += p
	}
	bins := float64(to - from + 1)
	w2, w4 := 0.0, 0.0
	for k := range f.residual {
		w := math.Exp(-2 * alpha * float64(k) * f.interval)
		w2 += w
		w4 += w * w
	}
	// Neighbouring bins go together over the width of the weight's spectrum.
	independent := bins / float64(size) * w2 * w2 / w4
	if independent < fewest {
		return energy, 1
	}
	density = energy / (bins * f.minimum.variance() * w2) * independent / (independent - absorbed)
	if math.Abs(density-1) < chance/math.Sqrt(independent) {
		density = 1
	}
	return energy, density
}

// unexplained returns how much of a mode's amplitude is left over near it,
// beyond white noise, as a share.
func (f *modeFit) unexplained(i int) float64 {
	m := f.modes[i]
	energy, density := f.noiseNear(i)
	if density <= 1 || m.amplitude() == 0 {
		return 0
	}
	// The energy of the mode under the same weight is A² Σ e^(−4αt)/2; both
	// sides of its line are twice the half that energy covers.
	w4 := 0.0
	for k := range f.residual {
		w4 += math.Exp(-4 * m.alpha * float64(k) * f.interval)
	}
	size := paddedSize(len(f.residual))
	mode := m.amplitude() * m.amplitude() / 2 * w4 * float64(size) / 2
	return math.Sqrt(energy * (1 - 1/density) / mode)
}

// modulated says whether modes stand on both sides of a mode, equally far and
// within what the stretch hardly resolves: they then are no resonances but the
// side bands of an amplitude that is no exponential.
func (f *modeFit) modulated(main int) bool {
	const (
		near  = 6.  // over the stretch's length, in Hz
		equal = 0.3 // relative difference of the two distances
	)
	reach := 2 * math.Pi * near / f.length()
	for i, a := range f.modes {
		for j, b := range f.modes {
			below, above := f.modes[main].omega-a.omega, b.omega-f.modes[main].omega
			if i != main && j != main && below > 0 && above > 0 && below < reach && above < reach && math.Abs(below-above) < equal*(below+above)/2 {
				return true
			}
		}
	}
	return false
}
