package measurement

import (
	"math"
)

// Outline is a trace as it looks from afar: the least and the largest sample of
// each of so many equal stretches of time.
type Outline struct {
	Time      []float64 // s, of the middle of each stretch
	Low, High []float64 // in the channel's unit
	Whole     bool      // every stretch is one sample: Low and High are the trace itself
}

// Outline returns a channel within a range as seen in at most so many stretches.
// It costs one pass over the samples.
func (r Record) Outline(channel int, within Range, stretches int) Outline {
	samples, start := r.Channels[channel].Samples, r.Start
	if !within.isAll() {
		from := clampInt((within.From-r.Start)/r.Interval, len(samples))
		to := clampInt((within.To-r.Start)/r.Interval, len(samples))
		samples, start = samples[from:max(from, to)], start+float64(from)*r.Interval
	}
	n := min(len(samples), max(stretches, 0))
	out := Outline{Time: make([]float64, n), Low: make([]float64, n), High: make([]float64, n), Whole: n == len(samples)}
	for i := range n {
		from, to := i*len(samples)/n, (i+1)*len(samples)/n
		low, high := samples[from], samples[from]
		for _, s := range samples[from+1 : to] {
			low, high = min(low, s), max(high, s)
		}
		out.Time[i] = start + (float64(from)+float64(to-1))/2*r.Interval
		out.Low[i], out.High[i] = float64(low), float64(high)
	}
	return out
}

// Span returns the stretch of time that the record covers, in s.
func (r Record) Span() Range {
	if len(r.Channels) == 0 {
		return Range{}
	}
	return Range{r.Start, r.Start + float64(len(r.Channels[0].Samples)-1)*r.Interval}
}

// Envelope returns between which values the fitted trace swings at a time in s, in
// the channel's unit; false outside of the stretch that was fitted. Of several
// oscillations it is that of the strongest.
func (r RingDown) Envelope(t float64) (low, high float64, ok bool) {
	if r.fit == nil || t < r.Fitted.From || t > r.Fitted.To {
		return 0, 0, false
	}
	main, _ := r.fit.main()
	if main < 0 {
		return 0, 0, false
	}
	m := r.fit.modes[main]
	u := t - r.start
	swing := m.amplitude() * math.Exp(-m.alpha*u)
	base := r.fit.offset + r.fit.slope*(u/r.fit.length()-0.5)
	return base - swing, base + swing, true
}
