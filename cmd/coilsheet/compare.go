package main

import (
	"context"
	"flag"
	"math"

	"coilwright/physics/comparison"
)

// compared is what compare prints. What does not apply is null.
type compared struct {
	Name           string               `json:"name"`
	Readings       []comparedReading    `json:"readings"`
	TopCapacitance *comparedCapacitance `json:"top_capacitance"`
	Count          *comparedCount       `json:"count"`
	Explanation    *explained           `json:"explanation"`
	Advice         *advised             `json:"advice"`
}

// comparedReading is one reading beside its prediction, SI.
type comparedReading struct {
	Quantity       string             `json:"quantity"`
	Setup          string             `json:"setup"`
	Key            string             `json:"key"`
	Value          float64            `json:"value"`
	Sigma          float64            `json:"sigma"`
	SigmaAssumed   bool               `json:"sigma_assumed"`
	Corrected      *float64           `json:"corrected_value"`
	Predicted      *float64           `json:"predicted_value"`
	PredictedSigma *float64           `json:"predicted_sigma"`
	ModelError     *float64           `json:"model_error"`
	Deviation      *float64           `json:"deviation"`
	Verdict        comparison.Verdict `json:"verdict"`
	Causes         []comparedCause    `json:"causes"`
	TopVoltage     *comparedSpark     `json:"top_voltage"`
	Text           string             `json:"text"`
}

// comparedSpark is what a gap says of the voltage at the top, V, crest.
type comparedSpark struct {
	Value         float64 `json:"value_v"`
	Low           float64 `json:"low_v"`
	High          float64 `json:"high_v"`
	Predicted     float64 `json:"predicted_v"`
	PredictedLow  float64 `json:"predicted_low_v"`
	PredictedHigh float64 `json:"predicted_high_v"`
}

type comparedCause struct {
	Key   string  `json:"key"`
	Sigma float64 `json:"sigma"`
}

type comparedCapacitance struct {
	Setup     string  `json:"setup"`
	Value     float64 `json:"value_f"`
	Sigma     float64 `json:"sigma_f"`
	Predicted float64 `json:"predicted_f"`
}

type comparedCount struct {
	Turns        float64  `json:"turns"`
	Sigma        float64  `json:"sigma"`
	ByResistance *float64 `json:"by_resistance"`
	ByHeight     *float64 `json:"by_height"`
	ByBoth       *float64 `json:"by_both"`
	Gauge        *string  `json:"gauge_by_both"`
}

type explained struct {
	Needed       bool              `json:"needed"`
	Holds        bool              `json:"holds"`
	Changes      []explainedChange `json:"changes"`
	Correlations [][]float64       `json:"correlations"`
	Alone        []explainedAlone  `json:"alone"`
	Alike        []string          `json:"cannot_be_told_apart"`
	Frequency    float64           `json:"frequency_hz"`
	Sigma        float64           `json:"frequency_sigma_hz"`
	SigmaBefore  float64           `json:"frequency_sigma_before_hz"`
	Text         string            `json:"text"`
}

type explainedChange struct {
	Key         string  `json:"key"`
	From        float64 `json:"from"`
	To          float64 `json:"to"`
	Sigma       float64 `json:"sigma"`
	SigmaBefore float64 `json:"sigma_before"`
	Beyond      bool    `json:"beyond_tolerance"`
}

type explainedAlone struct {
	Key       string  `json:"key"`
	From      float64 `json:"from"`
	To        float64 `json:"to"`
	Sigma     float64 `json:"sigma"`
	Plausible bool    `json:"plausible"`
}

// advised is what to change to reach the target.
type advised struct {
	Target float64       `json:"target_hz"`
	Now    float64       `json:"frequency_hz"`
	Sigma  float64       `json:"frequency_sigma_hz"`
	Steps  []advisedStep `json:"steps"`
	Text   string        `json:"text"`
}

type advisedStep struct {
	Key         string  `json:"key"`
	From        float64 `json:"from"`
	To          float64 `json:"to"`
	Frequency   float64 `json:"frequency_hz"`
	Sigma       float64 `json:"frequency_sigma_hz"`
	PerUnit     float64 `json:"hz_per_unit"`
	Irrevocable bool    `json:"cannot_be_undone"`
	Text        string  `json:"text"`
}

// compare prints the readings of a design beside what is predicted of it, what
// explains the difference and what to change.
func compare(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("compare", flag.ContinueOnError)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	s, err := c.readAndSolve(ctx, file)
	if err != nil {
		return err
	}
	result, err := comparison.Compare(ctx, s.solver, s.design, comparison.DrivenOf(s.report))
	if err != nil {
		return named(c.label(file), err)
	}
	out := printable(s.design.Name, &result)
	if target := comparison.TargetOf(s.design); target > 0 {
		advice, err := comparison.Advise(ctx, s.solver, s.design, &result, target)
		if err != nil {
			return named(c.label(file), err)
		}
		out.Advice = printableAdvice(advice)
	}
	return printJSON(c.stdout, out)
}

// printable puts a comparison into the shape it is printed in.
func printable(name string, c *comparison.Comparison) compared {
	out := compared{Name: name, Readings: []comparedReading{}}
	for i := range c.Rows {
		r := &c.Rows[i]
		p := comparedReading{
			Quantity: r.Reading.Quantity, Setup: r.Reading.Setup, Key: r.Reading.Key, Value: r.Measured, Sigma: r.Sigma, SigmaAssumed: r.Assumed,
			Verdict: r.Verdict, Causes: []comparedCause{}, Text: r.Text.String(),
		}
		if r.Verdict != comparison.NotPredicted {
			p.Corrected, p.Predicted, p.PredictedSigma = &r.Corrected, &r.Predicted, &r.PredictedSigma
			p.ModelError, p.Deviation = &r.ModelError, &r.Deviation
		}
		if s := r.Spark; s != nil {
			p.TopVoltage = &comparedSpark{s.Value, s.Low, s.High, s.Predicted, s.PredictedLow, s.PredictedHigh}
		}
		for _, cause := range r.Causes {
			p.Causes = append(p.Causes, comparedCause{cause.Key, cause.Sigma})
		}
		out.Readings = append(out.Readings, p)
	}
	if t := c.TopLoad; t != nil {
		out.TopCapacitance = &comparedCapacitance{t.Setup, t.Value, t.Sigma, t.Predicted}
	}
	if n := c.Count; n != nil {
		out.Count = &comparedCount{Turns: n.Best.Value, Sigma: n.Best.Sigma, ByResistance: estimated(n.ByResistance), ByHeight: estimated(n.ByHeight), ByBoth: estimated(n.ByBoth)}
		if n.Wire != "" {
			out.Count.Gauge = &n.Wire
		}
	}
	out.Explanation = printableExplanation(c.Explanation)
	return out
}

// estimated is the value of an estimate, nil for none.
func estimated(e *comparison.Estimate) *float64 {
	if e == nil {
		return nil
	}
	return &e.Value
}

func printableExplanation(e *comparison.Explanation) *explained {
	if e == nil {
		return nil
	}
	out := &explained{
		Needed: e.Needed, Holds: e.Holds, Changes: []explainedChange{}, Correlations: [][]float64{}, Alone: []explainedAlone{},
		Alike: append([]string{}, e.Alike...), Frequency: e.Posterior.Value, Sigma: e.Posterior.Sigma, SigmaBefore: e.Prior.Sigma, Text: e.Text.String(),
	}
	for i, change := range e.Changes {
		out.Changes = append(out.Changes, explainedChange{change.Key, change.From, change.To, change.Sigma, change.SigmaFrom, change.BeyondTolerance})
		row := make([]float64, len(e.Changes))
		for j := range row {
			const places = 1e4 // of a correlation that say anything
			row[j] = math.Round(e.Correlation.At(i, j)*places) / places
		}
		out.Correlations = append(out.Correlations, row)
	}
	for _, a := range e.Alone {
		out.Alone = append(out.Alone, explainedAlone{a.Key, a.From, a.To, a.Sigma, a.Plausible})
	}
	return out
}

func printableAdvice(a comparison.Advice) *advised {
	out := &advised{Target: a.Target, Now: a.Now.Value, Sigma: a.Now.Sigma, Steps: []advisedStep{}, Text: a.Text.String()}
	for _, s := range a.Steps {
		out.Steps = append(out.Steps, advisedStep{s.Key, s.From, s.To, s.Reached.Value, s.Reached.Sigma, s.PerUnit, s.Irrevocable, s.Text.String()})
	}
	return out
}
