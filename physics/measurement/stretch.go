package measurement

import (
	"context"
	"math"
	"math/cmplx"

	"coilwright/physics/sentence"
)

// stretch is the part of a trace that is fitted.
type stretch struct {
	samples   []float32
	interval  float64   // s
	frequency float64   // Hz, near which it oscillates
	clip      *clipping // nil: not clipped
	from, to  int       // samples, [from, to)
	merged    int       // samples averaged into one before the fit
	alpha     float64   // 1/s, decay by the envelope
	earliest  int       // sample before which it must not begin
}

func (s *stretch) timeOf(sample int) float64 { return float64(sample) * s.interval }

// block returns the samples of the blocks in which the envelope is looked at:
// short against a decay and long enough to tell the frequency.
func (s *stretch) block() int {
	const (
		cycles    = 2
		fewest    = 12 // samples
		fewBlocks = 12 // a trace of fewer is looked at cycle by cycle
	)
	perCycle := 1 / (s.frequency * s.interval)
	block := max(int(math.Round(cycles*perCycle)), fewest)
	if len(s.samples) < fewBlocks*block {
		block = max(int(math.Round(perCycle)), fewest)
	}
	return block
}

// clipped returns a sentence on what was left out, or none.
func (s *stretch) clipped(start float64) sentence.Text {
	if s.clip == nil {
		return sentence.Text{}
	}
	return sentence.New("The trace is clipped at %.3g until %s, and that part is left out; choose a coarser vertical scale.", s.clip.level, seconds(start+s.timeOf(s.clip.last)))
}

// locate finds the decay by the envelope: it begins after the last block near
// the crest and is looked at until it has fallen to a tenth. It returns false
// if there is no decay to look at.
func (s *stretch) locate() bool {
	const (
		crest  = 0.9 // of the largest envelope
		fallen = 0.1 // of the envelope at the beginning
		fewest = 3   // blocks
	)
	s.merged = max(1, int(1/(keptPerCycle*s.frequency*s.interval)))
	if s.clip != nil {
		s.earliest = s.clip.last + 1
	}
	block := s.block()
	phasors := envelope(s.samples[s.earliest:], s.interval, s.frequency, block)
	if len(phasors) < fewest {
		return false
	}
	env := make([]float64, len(phasors))
	largest := 0.0
	for i, z := range phasors {
		env[i] = cmplx.Abs(z)
		largest = max(largest, env[i])
	}
	first := 0
	for i, e := range env {
		if e >= crest*largest {
			first = i
		}
	}
	if first > 0 {
		first++ // the last block may hold the end of the drive
	}
	if first > len(env)-fewest {
		first = 0 // no decay after the crest; the fit will tell
	}
	last := first + 1
	for last < len(env) && (env[last] > fallen*env[first] || last < first+fewest) {
		last++
	}
	s.from = s.earliest + first*block
	s.to = s.earliest + last*block
	if last == len(env) {
		s.to = len(s.samples)
	}
	s.to = min(s.to, s.from+mostToFit*s.merged)
	s.alpha = slopeOfLog(env[first:last]) / s.timeOf(block)
	var turned complex128 // from block to block
	for i := first; i+1 < last; i++ {
		turned += phasors[i+1] * cmplx.Conj(phasors[i])
	}
	s.frequency += cmplx.Phase(turned) / (2 * math.Pi * s.timeOf(block))
	return true
}

// slopeOfLog returns how fast an envelope falls, per block: the slope of the
// line through its logarithm, every point weighted by its square as its
// relative noise asks.
func slopeOfLog(env []float64) float64 {
	var w, x, y, xx, xy float64
	for i, e := range env {
		if e <= 0 {
			continue
		}
		u, l, q := float64(i), math.Log(e), e*e
		w, x, y = w+q, x+q*u, y+q*l
		xx, xy = xx+q*u*u, xy+q*u*l
	}
	d := w*xx - x*x
	if d <= 0 {
		return 0
	}
	return -(w*xy - x*y) / d
}

// merge returns the samples of [from, to) averaged in groups. Averaging a
// damped oscillation changes its amplitude and phase only.
func (s *stretch) merge(from, to int) []float64 {
	out := make([]float64, (to-from)/s.merged)
	for i := range out {
		sum := 0.0
		for _, v := range s.samples[from+i*s.merged : from+(i+1)*s.merged] {
			sum += float64(v)
		}
		out[i] = sum / float64(s.merged)
	}
	return out
}

// fit fits modes to the stretch: one, then as many as stand out of what is
// left; then it lets the stretch begin earlier and end later, as far as the
// modes go on, and fits again.
func (s *stretch) fit(ctx context.Context) (*modeFit, error) {
	const rounds = 3
	start := mode{omega: 2 * math.Pi * s.frequency, alpha: max(s.alpha, 0)}
	fit, err := s.fitFrom(ctx, []mode{start})
	if err != nil {
		return nil, err
	}
	for range rounds {
		from, to := s.extended(fit)
		if from == s.from && to == s.to {
			break
		}
		modes := make([]mode, len(fit.modes))
		for i, m := range fit.modes {
			modes[i] = m.shifted(s.timeOf(from - s.from))
		}
		old := *s
		s.from, s.to = from, to
		next, err := s.fitFrom(ctx, modes)
		if err != nil {
			*s = old
			break
		}
		fit = next
	}
	return fit, nil
}

// fitFrom fits the stretch as it is, from some modes on, and adds companions.
func (s *stretch) fitFrom(ctx context.Context, modes []mode) (*modeFit, error) {
	samples := s.merge(s.from, s.to)
	interval := float64(s.merged) * s.interval
	if len(samples) <= modeParameters*len(modes)+2 {
		return nil, errNoFit
	}
	fit, err := fitModes(samples, interval, modes)
	if err != nil {
		return nil, err
	}
	for len(fit.modes) <= mostCompanions && ctx.Err() == nil {
		more, ok := fit.withCompanion(samples)
		if !ok {
			break
		}
		fit = more
	}
	return fit, nil
}

// extended returns how far the stretch may reach with these modes: back as
// long as they explain the blocks before it, on until they are lost in noise.
func (s *stretch) extended(fit *modeFit) (from, to int) {
	const (
		tooFar   = 5.   // sigmas of a block's mean square
		relative = 1e-3 // of the amplitude, what the trace may differ by besides noise
		beyond   = 1.5  // in the logarithm, how far under the noise the end lies
		shortest = 4.   // decay times that are kept anyway
	)
	variance := fit.minimum.variance()
	block := (s.block()/s.merged + 1) * s.merged
	perBlock := float64(block / s.merged)
	main, _ := fit.main()
	amplitude, alpha := fit.modes[0].amplitude(), math.Inf(1)
	for _, m := range fit.modes {
		amplitude = max(amplitude, m.amplitude())
		if m.alpha > 0 {
			alpha = min(alpha, m.alpha)
		}
	}
	from = s.from
	for main >= 0 && from-block >= s.earliest && s.from-from < mostToFit*s.merged {
		sum := 0.0
		samples := s.merge(from-block, from)
		for i, y := range samples {
			t := s.timeOf(from-block-s.from) + (float64(i) * fit.interval)
			d := y - fit.at(t)
			sum += d * d
		}
		grown := amplitude * math.Exp(fit.modes[main].alpha*s.timeOf(s.from-from+block))
		allowed := variance*(1+tooFar*math.Sqrt(2/perBlock)) + relative*relative*grown*grown
		if sum/perBlock > allowed {
			break
		}
		from -= block
	}
	if math.IsInf(alpha, 1) {
		return from, min(len(s.samples), s.from+mostToFit*s.merged)
	}
	lasts := max(math.Log(amplitude/math.Sqrt(variance))+beyond, shortest) / alpha
	to = s.from + int(min(lasts/s.interval, float64(len(s.samples)-s.from)))
	to = min(to, s.from+mostToFit*s.merged)
	if to < s.from+fewestToFit*s.merged {
		to = s.to
	}
	return from, to
}

// Averaged samples of a stretch. The most are 16000 cycles, enough for any coil,
// and are fitted within a second.
const (
	fewestToFit = 24
	mostToFit   = 1 << 18
)
