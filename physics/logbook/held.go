package logbook

import (
	"math"
	"strings"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Record is how well predictions have held.
type Record struct {
	Coils   int           // with a prediction and a reading
	Within  int           // of them within what is uncertain
	Ratio   float64       // measured over predicted, what is to be expected of the next coil
	Sigma   float64       // of the ratio of the next coil's systematic part, relative
	Scatter float64       // between coils beyond their uncertainties, relative, one standard deviation
	Text    sentence.Text // the same in a sentence or two
}

// habit is by how much a maker's coils may differ from drawn ones as a rule,
// relative, one standard deviation, before any was measured: how tightly the hand
// winds, which table they stand on. Common practice, no source.
const habit = 0.01

// fewest coils teach something.
const fewest = 3

// Held returns how well the predictions of entries have held, and the ratio by
// which measured frequencies differ from predicted ones.
//
// With r the logarithms of measured over predicted, s their uncertainties from
// tolerance and reading, and τ the scatter between coils beyond those (by moments),
// the weights are w = 1/(s² + τ²), and the ratio is shrunk toward 1 as far as the
// few coils there are say little:
//
//	b = Σ w r / (Σ w + 1/h²),  σ² = 1/(Σ w + 1/h²),
//
// with h what is usual among makers.
func Held(entries []Entry) Record {
	var rec Record
	var r, variance []float64
	for i := range entries {
		e := &entries[i]
		if e.Deviation == nil || !(*e.Deviation > -1) {
			continue
		}
		rec.Coils++
		if !e.Beyond() {
			rec.Within++
		}
		s := math.Hypot(e.Sigma / *e.Predicted, e.MeasuredSigma / *e.Measured)
		r, variance = append(r, math.Log1p(*e.Deviation)), append(variance, s*s)
	}
	rec.Ratio, rec.Sigma = 1, habit
	if rec.Coils == 0 {
		rec.Text = sentence.New("No coil of the logbook has both a prediction and a reading of its resonance yet.")
		return rec
	}
	between := scatter(r, variance)
	rec.Scatter = math.Sqrt(between)
	sum, weights := 0.0, 1/(habit*habit)
	for i := range r {
		w := 1 / (variance[i] + between)
		sum += w * r[i]
		weights += w
	}
	rec.Ratio, rec.Sigma = math.Exp(sum/weights), math.Sqrt(1/weights)
	rec.Text = rec.words()
	return rec
}

// scatter returns the variance between results beyond their own, by moments.
func scatter(r, variance []float64) float64 {
	if len(r) < 2 {
		return 0
	}
	var w1, w2, wr float64
	for i := range r {
		w := 1 / variance[i]
		w1, w2, wr = w1+w, w2+w*w, wr+w*r[i]
	}
	mean, q := wr/w1, 0.0
	for i := range r {
		q += (r[i] - mean) * (r[i] - mean) / variance[i]
	}
	return math.Max(0, (q-float64(len(r)-1))/(w1-w2/w1))
}

// Usable says whether enough coils stand behind the ratio to correct by it.
func (r *Record) Usable() bool { return r.Coils >= fewest }

// Correct returns a predicted frequency in Hz corrected by the ratio, and the
// standard deviation in Hz that the ratio itself adds.
func (r *Record) Correct(frequency float64) (corrected, sigma float64) {
	corrected = frequency * r.Ratio
	return corrected, corrected * r.Sigma
}

func (r *Record) words() sentence.Text {
	text := sentence.New("%d of %d measured coils lie within what was said of them.", r.Within, r.Coils)
	if r.Coils == 1 {
		text = sentence.New("%d of 1 measured coil lie within what was said of them.", r.Within)
	}
	if !r.Usable() {
		return sentence.Paragraph(text, sentence.New("With %d or more measured coils the logbook corrects predictions.", fewest))
	}
	return sentence.Paragraph(text, r.rule())
}

// rule says how measured coils ring as a rule.
func (r *Record) rule() sentence.Text {
	const certain = 2
	percent := func(x float64) string { return strings.TrimSpace(si.Format(math.Abs(x), si.Percent, 2)) }
	off := r.Ratio - 1
	by, give := percent(off), percent(certain*r.Sigma)
	switch predicted := math.Abs(off) < certain*r.Sigma; {
	case predicted && off < 0:
		return sentence.New("As a rule they ring as predicted: %s lower, give or take %s.", by, give)
	case predicted:
		return sentence.New("As a rule they ring as predicted: %s higher, give or take %s.", by, give)
	case off < 0:
		return sentence.New("As a rule they ring %s lower than predicted, give or take %s.", by, give)
	}
	return sentence.New("As a rule they ring %s higher than predicted, give or take %s.", by, give)
}
