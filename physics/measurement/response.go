package measurement

import (
	"context"
	"io"
	"math"

	"coilwright/physics/sentence"
)

// Response is a sweep of frequency: how large the answer was at each.
type Response struct {
	Frequency []float64 // Hz, ascending, > 0
	Amplitude []float64 // one per frequency: linear, >= 0, in the file's unit, or in dB
	Decibel   bool      // Amplitude is in dB (20 log₁₀ of the amplitude)
	Unit      string    // of Amplitude as the file has it; may be empty
}

// maxPoints bounds a sweep: more than instruments have, and fitted within
// seconds.
const maxPoints = 1 << 17

// ReadSweep reads a text file of a frequency sweep as [ReadRecord] reads one of
// a trace: frequency in the first column of numbers, amplitude in the next that
// is no phase. Amplitudes count as dB where the heading says dB or a value is
// negative. A sweep that runs down is turned round.
func ReadSweep(ctx context.Context, from io.Reader, options ReadOptions) (Response, error) {
	var r Response
	scale, amplitude := 1.0, 1
	err := readTable(ctx, from, options, func(t *table) error {
		if len(t.columns) < 2 {
			return lineError(t.first, sentence.New("a sweep needs a column of frequency and one of amplitude"))
		}
		if _, isTime := secondsOf(t.units[0]); isTime || mentions(t.names[0], timeWords...) {
			return lineError(t.first, sentence.New("column %d is time, not frequency", t.columns[0]+1))
		}
		if factor, ok := hertzOf(t.units[0]); ok {
			scale = factor
		}
		for amplitude < len(t.columns) && mentions(t.names[amplitude]+" "+t.units[amplitude], phaseWords...) {
			amplitude++
		}
		if amplitude == len(t.columns) {
			return lineError(t.first, sentence.New("no column of amplitude beside the phase"))
		}
		r.Unit = t.units[amplitude]
		r.Decibel = isDecibel(r.Unit)
		return nil
	}, func(line int, values []float64) error {
		f := values[0] * scale
		if !(f > 0) || math.IsInf(f, 0) {
			return lineError(line, sentence.New("frequency %g Hz", f))
		}
		if n := len(r.Frequency); n > 0 && f == r.Frequency[n-1] || n > 1 && (f > r.Frequency[n-1]) != (r.Frequency[1] > r.Frequency[0]) {
			return lineError(line, sentence.New("frequency goes from %g to %g Hz against the sweep; export one sweep only", r.Frequency[n-1], f))
		}
		r.Frequency = append(r.Frequency, f)
		r.Amplitude = append(r.Amplitude, values[amplitude])
		if len(r.Frequency) > maxPoints {
			return lineError(line, sentence.New("more than %d points", maxPoints))
		}
		return nil
	})
	if err != nil {
		return Response{}, err
	}
	n := len(r.Frequency)
	for _, a := range r.Amplitude {
		r.Decibel = r.Decibel || a < 0
	}
	if n > 1 && r.Frequency[1] < r.Frequency[0] {
		for i := range n / 2 {
			j := n - 1 - i
			r.Frequency[i], r.Frequency[j] = r.Frequency[j], r.Frequency[i]
			r.Amplitude[i], r.Amplitude[j] = r.Amplitude[j], r.Amplitude[i]
		}
	}
	return r, nil
}
