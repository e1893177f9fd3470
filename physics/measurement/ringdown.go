package measurement

import (
	"context"
	"math"
	"slices"

	"coilwright/physics/sentence"
)

// Range is a stretch of the horizontal axis, in s or Hz. The zero value is all
// of it.
type Range struct{ From, To float64 }

func (r Range) isAll() bool { return r == Range{} }

// RingDown is a fitted decay.
type RingDown struct {
	Fit
	Channel int   // of the record
	Fitted  Range // s, stretch that was fitted; zero if none
	start   float64
	fit     *modeFit
}

// At returns the fitted trace at a time in s, in the channel's unit; false
// outside of the stretch that was fitted.
func (r RingDown) At(t float64) (float64, bool) {
	if r.fit == nil || t < r.Fitted.From || t > r.Fitted.To {
		return 0, false
	}
	return r.fit.at(t - r.start), true
}

// FitRingDown fits damped oscillations on a baseline to a trace, within a range
// of time, and returns frequency and quality factor of the strongest one that
// decays. Of several channels it takes the one that says most.
//
// It finds the stretch by itself: from the end of the drive, or of what is
// clipped, to where the noise has taken over. A second oscillation that stands
// out is fitted along with the first and reported with OtherFrequencies, so
// that beating is not taken for decay.
//
// Sigma is that of least squares, the Cramér-Rao bound if the noise is white.
// If the residual's spectrum near the frequency differs from its mean, sigma
// goes by the former, so that coloured noise and rounding are counted as they
// act.
//
// The error is that of the context.
func FitRingDown(ctx context.Context, record Record, within Range) (RingDown, error) {
	var best RingDown
	for i, c := range record.Channels {
		if err := ctx.Err(); err != nil {
			return RingDown{}, err
		}
		samples, start := c.Samples, record.Start
		if !within.isAll() {
			from := clampInt((within.From-record.Start)/record.Interval, len(samples))
			to := clampInt((within.To-record.Start)/record.Interval, len(samples))
			samples, start = samples[from:max(from, to)], start+float64(from)*record.Interval
		}
		r := fitTrace(ctx, samples, record.Interval, start)
		r.Channel = i
		r.Points = len(c.Samples)
		if i == 0 || r.better(best) {
			best = r
		}
	}
	if err := ctx.Err(); err != nil {
		return RingDown{}, err
	}
	if len(record.Channels) > 1 && best.Frequency != nil {
		best.say(sentence.New("Channel: %s.", record.Channels[best.Channel].Name))
	}
	return best, nil
}

func clampInt(v float64, most int) int {
	return int(math.Round(min(max(v, 0), float64(most))))
}

// better says whether r tells more than other.
func (r RingDown) better(other RingDown) bool {
	switch {
	case r.Complete() != other.Complete():
		return r.Complete()
	case r.Complete():
		return r.Frequency.Sigma/r.Frequency.Value < other.Frequency.Sigma/other.Frequency.Value
	case (r.Frequency != nil) != (other.Frequency != nil):
		return r.Frequency != nil
	}
	return false
}

// Limits of a trace that says something.
const (
	leastProminence    = 30.  // of a peak in the spectrum over the noise, in power; noise alone reaches it once in 10⁹ traces
	fewestCycles       = 4.   // in the stretch fitted
	leastPerCycle      = 2.5  // samples in a cycle, below which a frequency may be the mirror image of another
	keptPerCycle       = 16.  // samples in a cycle that are kept when a finer trace is averaged
	leastDecaySigmas   = 3.   // decay over its sigma
	leastAmplitude     = 5.   // amplitude over its sigma
	smallestCompanion  = 0.02 // of the main amplitude, worth reporting
	mostCompanions     = 3
	closePair          = 0.3  // relative distance of two frequencies that beat
	largestUnexplained = 0.05 // of the amplitude, left over near the frequency, worth saying
	mostUnexplained    = 0.2  // of the amplitude, beyond which the fit means nothing
)

// fitTrace fits one trace that begins at start.
func fitTrace(ctx context.Context, samples []float32, interval, start float64) RingDown {
	var r RingDown
	const fewest = 32 // samples
	if len(samples) < fewest {
		r.say(sentence.New("The trace is too short: %d samples.", len(samples)))
		return r
	}
	if slices.Min(samples) == slices.Max(samples) {
		r.say(sentence.New("The trace is flat at %.3g.", samples[0]))
		return r
	}
	frequency, height := strongestOscillation(samples, interval)
	if height < leastProminence {
		r.say(sentence.New("No oscillation stands out of the noise. Couple the probe closer, or drive the coil harder before it rings down."))
		return r
	}
	if perCycle := 1 / (frequency * interval); perCycle < leastPerCycle {
		r.say(sentence.New("The trace is sampled too coarsely: something oscillates with %.1f samples in a cycle, and its true frequency may be another. Sample ten times a cycle or more.", perCycle))
		return r
	}
	s := stretch{samples: samples, interval: interval, frequency: frequency}
	s.clip = findClipping(samples, 1/(frequency*interval))
	if !s.locate() {
		r.say(s.clipped(start))
		r.say(sentence.New("Too little of the decay is in the trace to fit it."))
		return r
	}
	fit, err := s.fit(ctx)
	if err != nil {
		r.say(s.clipped(start))
		r.say(sentence.New("No decaying oscillation fits the trace."))
		return r
	}
	r.fit = fit
	from := start + s.timeOf(s.from)
	r.start = from + s.timeOf(s.merged-1)/2 // an average stands for the middle of its samples
	r.Fitted = Range{from, from + fit.length()}
	r.say(s.clipped(start))
	r.judge()
	fit.undoMerging(s.merged)
	return r
}

// judge turns modes into the frequency and the quality factor, or says why
// not.
func (r *RingDown) judge() {
	fit := r.fit
	main, noise := fit.main()
	if main < 0 {
		const faint = 8 // sigmas of the amplitude
		m := fit.modes[0]
		switch cycles := m.omega / (2 * math.Pi) * fit.length(); {
		case cycles < fewestCycles || m.amplitude() < faint*math.Sqrt(2*fit.minimum.sum)/float64(fit.minimum.count):
			r.say(sentence.New("No decaying oscillation stands out of the trace."))
		default:
			r.say(sentence.New("The oscillation does not decay within %.0f cycles: the drive was still on, or the trace is far too short.", cycles))
		}
		r.dropFit()
		return
	}
	m := fit.modes[main]
	frequency, quality := fit.estimates(main, noise)
	amplitudeSigma := math.Sqrt(fit.minimum.variance() * noise * 4 * m.alpha * fit.interval) // of a decay seen to its end
	cycles := m.omega / (2 * math.Pi) * fit.length()
	switch {
	case frequency == nil || frequency.Sigma > largestFrequencySigma*frequency.Value || m.amplitude() < leastAmplitude*amplitudeSigma:
		r.say(sentence.New("The oscillation is too weak in the noise to tell its frequency. Couple the probe closer or average over several traces."))
		r.dropFit()
		return
	case cycles < fewestCycles:
		r.say(sentence.New("Only %.1f cycles are in the trace: too short to tell a frequency.", cycles))
		r.dropFit()
		return
	case fit.unexplained(main) > mostUnexplained:
		r.say(sentence.New("The trace is no decaying oscillation alone: the fit leaves over %.0f %% of it near its frequency.", 100*fit.unexplained(main)))
		r.dropFit()
		return
	}
	r.Frequency = frequency
	if fit.modulated(main) {
		r.say(sentence.New("The oscillation does not fall as an exponential: its amplitude goes up or down by other laws, so it has no quality factor."))
		return
	}
	if quality != nil && quality.Sigma <= largestQualitySigma*quality.Value {
		r.QualityFactor = quality
	} else {
		r.say(sentence.New("The decay is too uncertain to tell a quality factor. Record until the trace has fallen to a third, with less noise."))
	}
	r.reportCompanions(main)
	if left := fit.unexplained(main); left > largestUnexplained {
		r.say(sentence.New("The decay is not a plain exponential: %.0f %% of the amplitude is left over near the frequency.", left*100))
	}
}

// dropFit forgets a fit that means nothing.
func (r *RingDown) dropFit() { r.fit, r.Fitted = nil, Range{} }

// reportCompanions names the other oscillations.
func (r *RingDown) reportCompanions(main int) {
	var steady, pair []sentence.Text
	m := r.fit.modes[main]
	for i, other := range r.fit.modes {
		if i == main || other.amplitude() < smallestCompanion*m.amplitude() || other.omega*r.fit.length() < 2*math.Pi*fewestCycles {
			continue
		}
		f := other.frequency()
		r.OtherFrequencies = append(r.OtherFrequencies, f)
		text := sentence.New("%s (%.0f %% as strong)", hertz(f), 100*other.amplitude()/m.amplitude())
		_, noise := r.fit.noiseNear(i)
		switch {
		case other.alpha < leastDecaySigmas*r.fit.alphaSigma(i, noise):
			steady = append(steady, text)
		case math.Abs(other.omega-m.omega) < closePair*m.omega:
			pair = append(pair, text)
		}
	}
	slices.Sort(r.OtherFrequencies)
	if len(pair) > 0 {
		r.say(sentence.New("Two resonances beat: %s and %s. The frequency given is that of the stronger.", hertz(m.frequency()), sentence.List(pair...)))
	}
	if len(steady) > 0 {
		r.say(sentence.New("Something that does not decay is in the trace at %s: the drive, a transmitter or a switching supply.", sentence.List(steady...)))
	}
}

// main returns the strongest mode that decays and the density of noise near
// it; -1 if none does.
func (f *modeFit) main() (i int, noise float64) {
	best, bestNoise := -1, 1.0
	for i, m := range f.modes {
		_, noise := f.noiseNear(i)
		if m.alpha < leastDecaySigmas*f.alphaSigma(i, noise) || m.alpha <= 0 || m.omega <= 0 {
			continue
		}
		if best < 0 || m.amplitude() > f.modes[best].amplitude() {
			best, bestNoise = i, noise
		}
	}
	return best, bestNoise
}
