package comparison

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Verdict is what a reading says about a prediction.
type Verdict string

// The verdicts, from agreement to none.
const (
	Agrees       Verdict = "agrees"        // within the reading's own uncertainty
	WithinOne    Verdict = "within_one"    // one input's tolerance explains the difference
	WithinAll    Verdict = "within_all"    // all tolerances together do
	Beyond       Verdict = "beyond"        // nothing within tolerances does
	NotPredicted Verdict = "not_predicted" // there is nothing to compare with
)

// Row is one reading beside its prediction.
type Row struct {
	Reading   design.Measurement
	Measured  float64 // SI, as read
	Sigma     float64 // SI, of the reading; where none is stated, what is usual
	Assumed   bool    // Sigma is what is usual
	Corrected float64 // SI, with what the instrument adds taken off

	Predicted      float64 // SI, of what the instrument shows
	PredictedSigma float64 // SI, from the tolerances alone
	ModelError     float64 // SI, what the model may be wrong by
	Causes         []Cause // of PredictedSigma, what matters most first

	Deviation float64 // of measured from predicted, relative
	Verdict   Verdict
	Spark     *Spark        // of a gap: the voltage that it stands for
	Text      sentence.Text // in a sentence
}

// Cause is what one uncertain input does to a prediction.
type Cause struct {
	Key   string
	Slope float64 // SI per SI unit of the input
	Sigma float64 // SI, of the prediction
}

// sigmas is how many standard deviations are called certain: 95 %.
const sigmas = 2

// Half returns half of the prediction's width: two standard deviations and the
// model's error.
func (r *Row) Half() float64 { return sigmas*r.PredictedSigma + r.ModelError }

// Comparison is all that the readings of a design say.
type Comparison struct {
	Rows          []Row // one per reading, in their order
	TopLoad       *TopCapacitance
	Count         *Count       // of an unknown winding; nil: not enough was read
	Explanation   *Explanation // nil: nothing was read that could be explained
	Inputs        []Input
	useful        []design.Measurement // readings that were predicted
	sigma, at     []float64            // of the useful ones
	jacobian      [][]float64          // useful readings × inputs, SI
	relativeModel []float64            // by useful reading: what is wrong beside the inputs, SI, one sigma
}

// usualSigma is taken where a reading states no uncertainty, relative to it.
// Common practice, no source.
var usualSigma = map[string]float64{
	Frequency:     0.002,
	QualityFactor: 0.05,
	Inductance:    0.01,
	Resistance:    0.01,
	Capacitance:   0.02,
	Turns:         0.002,
	Dimension:     0.005,
	Gap:           0.05,
	SupplyCurrent: 0.03,
}

// What predictions other than frequencies may be wrong by beside the inputs,
// relative, one standard deviation. Frequencies have [KeyModel].
var modelSigma = map[string]float64{
	Inductance: 0.002, // the ring sum against published coils: package inductance
	// Wire of a gauge may be a per cent off in diameter (ASTM B258 and IEC 60317-0-1, from memory),
	// copper from the shop another one in conductivity: package wire.
	Resistance:    0.013,
	Capacitance:   0.006,
	QualityFactor: 0.15, // solder, dielectric and what stands near are not in the model; common practice, no source
	Gap:           0.10, // of the tables of mains frequency at radio frequency; common practice, no source
	SupplyCurrent: 0.10,
}

// Compare holds the readings of d against what is predicted of it. Its rows are
// there even where nothing can be explained.
//
// The error is [design.Problems] if d cannot be built, or the context's.
func Compare(ctx context.Context, solver *design.Solver, d design.Design, driven Driven) (Comparison, error) {
	p := &predictor{solver: solver, driven: driven, ofDrawn: d}
	drawn := asDrawn(d)
	c, err := p.rows(ctx, drawn)
	if err != nil {
		return Comparison{}, err
	}
	c.TopLoad, err = topCapacitance(ctx, p, drawn)
	if err != nil {
		return Comparison{}, err
	}
	if count, err := FindTurns(d); err == nil {
		c.Count = &count
	}
	c.Explanation, err = c.explain(ctx, p, drawn)
	return c, err
}

// RowOf holds one reading of d against its prediction, without asking what
// explains it.
func RowOf(ctx context.Context, solver *design.Solver, d design.Design, driven Driven, m design.Measurement) (Row, error) {
	p := &predictor{solver: solver, driven: driven, ofDrawn: d}
	d.Measurements = []design.Measurement{m}
	c, err := p.rows(ctx, asDrawn(d))
	if err != nil {
		return Row{}, err
	}
	return c.Rows[0], nil
}

// Predict returns the row of a reading that is still to be taken: its value is not
// looked at, and the prediction stands for it.
func Predict(ctx context.Context, solver *design.Solver, d design.Design, driven Driven, m design.Measurement) (Row, error) {
	p := &predictor{solver: solver, driven: driven, ofDrawn: d}
	value, err := p.value(ctx, asDrawn(d), m, false)
	if errors.Is(err, ErrNoPrediction) {
		return Row{Reading: m, Verdict: NotPredicted, Text: sentence.Whole(reason(err))}, nil
	}
	if err != nil {
		return Row{}, err
	}
	m.Value = value
	return RowOf(ctx, solver, d, driven, m)
}

// rows predicts every reading of the drawn coil.
func (p *predictor) rows(ctx context.Context, drawn state) (Comparison, error) {
	d := drawn.design
	inputs, err := inputsOf(d, d.Measurements)
	if err != nil {
		return Comparison{}, err
	}
	c := Comparison{Inputs: inputs}
	var of []int // by useful reading: its row
	for i, m := range d.Measurements {
		row := Row{Reading: m, Measured: m.Value, Sigma: sigmaOf(m), Assumed: m.Uncertainty == 0, Corrected: m.Value}
		value, err := p.value(ctx, drawn, m, false)
		if err == nil {
			err = plausible(m, value)
		}
		switch {
		case errors.Is(err, ErrNoPrediction):
			row.Verdict, row.Text = NotPredicted, sentence.Whole(sentence.New("%s read: %s", si.Format(m.Value, unitOf(m), shown), reason(err)))
		case err != nil:
			return Comparison{}, err
		default:
			ideal, err := p.value(ctx, drawn, m, true)
			if err != nil {
				return Comparison{}, err
			}
			row.Predicted = value
			if value > 0 && ideal > 0 {
				row.Corrected = m.Value * ideal / value
			}
			c.useful, of = append(c.useful, m), append(of, i)
			c.at, c.sigma = append(c.at, value), append(c.sigma, row.Sigma)
			off := modelSigma[m.Quantity]
			if m.Quantity == Gap {
				if row.Spark, err = p.spark(ctx, d, m, row.Sigma); err != nil {
					return Comparison{}, err
				}
				off = math.Hypot(off, row.Spark.open())
			}
			c.relativeModel = append(c.relativeModel, off*math.Abs(value))
		}
		c.Rows = append(c.Rows, row)
	}
	c.jacobian = make([][]float64, len(c.useful))
	for _, in := range inputs {
		slope, err := p.slope(ctx, drawn, in, in.Value, c.useful, c.at)
		if errors.Is(err, ErrNoPrediction) {
			slope = make([]float64, len(c.useful)) // one that cannot be varied explains nothing
		} else if err != nil {
			return Comparison{}, err
		}
		for k := range slope {
			c.jacobian[k] = append(c.jacobian[k], slope[k])
		}
	}
	for k, i := range of {
		c.Rows[i].judge(inputs, c.jacobian[k], c.relativeModel[k])
	}
	return c, nil
}

// What no reading on a bench is surer than, and the least squares need at least.
const (
	surest       = 1e-7 // relative
	surestKelvin = 0.01 // K, of a temperature
	usualKelvin  = 1.0  // K, where none is stated
)

// plausible refuses a value that no reading of the predicted one can be.
func plausible(m design.Measurement, predicted float64) error {
	const most = 1e6 // of the prediction, either way: two prefixes
	if m.Quantity == Temperature {
		const coldest, hottest = -100, 400 // °C
		if m.Value < coldest || m.Value > hottest {
			return without(sentence.New("that is no temperature of a room, in degrees Celsius"))
		}
		return nil
	}
	switch ratio := m.Value / predicted; {
	case !(m.Value > 0):
		return without(sentence.New("a reading must be more than 0"))
	case !(predicted > 0) || ratio > most || ratio < 1/most:
		return without(sentence.New("it has nothing to do with the %s that is predicted: look at the unit", between(predicted, 0, unitOf(m))))
	}
	return nil
}

// judge fills in the uncertainty of the prediction and what follows from it.
func (r *Row) judge(inputs []Input, slope []float64, model float64) {
	variance := 0.0
	for j, in := range inputs {
		effect := math.Abs(slope[j]) * in.sigma()
		if in.Key == KeyModel {
			r.ModelError = math.Abs(slope[j]) * in.HalfWidth
			continue
		}
		if effect == 0 {
			continue
		}
		variance += effect * effect
		r.Causes = append(r.Causes, Cause{in.Key, slope[j], effect})
	}
	slices.SortStableFunc(r.Causes, func(a, b Cause) int { return cmp.Compare(b.Sigma, a.Sigma) })
	r.PredictedSigma = math.Sqrt(variance)
	r.ModelError += sigmas * model
	if r.Predicted != 0 {
		r.Deviation = r.Measured/r.Predicted - 1
	}
	off := math.Abs(r.Measured - r.Predicted)
	read := sigmas * r.Sigma
	switch {
	case off <= read:
		r.Verdict = Agrees
	case len(r.Causes) > 0 && off <= math.Sqrt(3)*r.Causes[0].Sigma+r.ModelError+read:
		r.Verdict = WithinOne
	case off <= sigmas*math.Hypot(r.PredictedSigma, r.Sigma)+r.ModelError:
		r.Verdict = WithinAll
	default:
		r.Verdict = Beyond
	}
	r.Text = r.words()
	if r.Spark != nil {
		r.Text = sentence.Paragraph(r.Text, r.Spark.Text())
	}
}
