package comparison

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

// everything is the reading that [Explanation.Prior] and Posterior are of: the
// frequency with everything in place that the design has.
func everything(d design.Design) design.Measurement {
	m := design.Measurement{Quantity: Frequency, ProbePlace: NoProbe, Setup: Bare}
	switch {
	case d.Primary.Kind != design.NoPrimary:
		m.Setup = WithPrimary
	case d.TopLoad.Kind != design.NoTopLoad:
		m.Setup = WithTopLoad
	}
	return m
}

// correct makes the design that the readings speak for, and says what its
// frequency is and how sure that is.
//
// Its tolerances are what the readings leave open of each input. Inputs that the
// readings know only together are correlated; tolerances are not, so that all are
// scaled alike until the frequency's uncertainty, by the sum of their squares, is
// the one with correlation.
func (q *problem) correct(ctx context.Context, e *Explanation, z []float64, covariance *mat.SymDense) error {
	reading := []design.Measurement{everything(q.drawn.design)}
	before, err := q.p.values(ctx, q.drawn, reading)
	if err != nil {
		return err
	}
	s, err := q.moved(z)
	if err != nil {
		return err
	}
	after, err := q.p.values(ctx, s, reading)
	if err != nil {
		return err
	}
	e.coil = s
	n := len(q.inputs)
	effect := mat.NewVecDense(n, nil) // Hz per standard deviation of the inputs
	var apart, own float64            // variance without correlation, of the design's inputs alone
	for i, in := range q.inputs {
		slope, err := q.p.slope(ctx, q.drawn, in, in.Value, reading, before)
		if err != nil {
			return err
		}
		effect.SetVec(i, slope[0]*in.sigma())
	}
	var image mat.VecDense
	image.MulVec(covariance, effect)
	e.Prior = Estimate{before[0], mat.Norm(effect, 2)}
	e.Posterior = Estimate{after[0], math.Sqrt(mat.Dot(effect, &image))}
	for i, in := range q.inputs {
		if !inDesign(in.Key) {
			continue
		}
		apart += effect.AtVec(i) * effect.AtVec(i) * covariance.At(i, i)
		for j, other := range q.inputs {
			if inDesign(other.Key) {
				own += effect.AtVec(i) * effect.AtVec(j) * covariance.At(i, j)
			}
		}
	}
	together := 1.0
	if apart > 0 {
		together = math.Sqrt(math.Max(own, 0) / apart)
	}
	e.Corrected = q.drawn.design
	e.Corrected.Variants, e.Corrected.Measurements = nil, nil
	e.Corrected.Name = strings.TrimSpace(q.drawn.design.Name + correctedName)
	at := packing(q.drawn.design)
	pitch, err := dimension(q.drawn.design, keyPitch)
	if err != nil {
		return err
	}
	for i, in := range q.inputs {
		if !inDesign(in.Key) {
			continue
		}
		if err := design.Set(&e.Corrected, in.Key, in.Value+z[i]*in.sigma()); err != nil {
			return err
		}
		half := math.Sqrt(3*covariance.At(i, i)) * together * in.sigma()
		if in.Key == keyPacking { // a design states the tolerance of the pitch instead
			half *= pitch / at
		}
		if t := tolerance(&e.Corrected.Tolerances, in.Key); t != nil {
			*t = &half
		}
	}
	return nil
}

// correctedName ends the name of a corrected design.
const correctedName = ", as measured"

// inDesign says whether an input is a number of the coil itself.
func inDesign(key string) bool {
	switch key {
	case KeyModel, KeyProbe, KeyHand, KeyHidden, keyTemperature:
		return false
	}
	return true
}

// tolerance returns where a design keeps the half-width of an input.
func tolerance(t *design.Tolerances, key string) **float64 {
	switch key {
	case "secondary.turns":
		return &t.SecondaryTurns
	case "secondary.base_height_m":
		return &t.BaseHeight
	case "top_load.height_m":
		return &t.TopHeight
	case "top_load.hub_diameter_m":
		return &t.Hub
	case "top_load.former_diameter_m":
		return &t.RingFormer
	case "secondary.former_relative_permittivity":
		return &t.Permittivity
	case "secondary.former_diameter_m":
		return &t.SecondaryFormer
	case "secondary.wire.overall_diameter_m":
		return &t.OverallDiameter
	case keyPitch, keyPacking:
		return &t.Pitch
	}
	return nil
}

// words tells an explanation in a few sentences.
func (e *Explanation) words() sentence.Text {
	if !e.Needed {
		return sentence.New("The readings agree with the design as drawn: there is nothing to explain.")
	}
	if len(e.Alike) == 0 {
		if e.Holds && !e.beyond() {
			return sentence.New("No single cause within its tolerance explains the readings. The most plausible is several at once: %s.", e.together(3))
		}
		return sentence.Paragraph(sentence.New("Nothing within the tolerances explains the readings."), e.best())
	}
	first := e.Alone[0]
	text := sentence.New("%s explains the readings: %s instead of %s.", sentence.Capital(InputName(first.Key)), value(first.Key, first.To), value(first.Key, first.From))
	if len(e.Alike) == 1 {
		return text
	}
	var others []sentence.Text
	for _, key := range e.Alike[1:] {
		i := slices.IndexFunc(e.Alone, func(a Alone) bool { return a.Key == key })
		others = append(others, sentence.New("%s (%s)", InputName(key), value(key, e.Alone[i].To)))
	}
	const mostNamed = 4
	if len(others) > mostNamed {
		others = append(others[:mostNamed], sentence.New("%d more", len(e.Alike)-1-mostNamed))
	}
	return sentence.Paragraph(text, sentence.New("But the readings cannot tell that from %s. To know, measure the thing itself.", sentence.List(others...)))
}

// Text says what the input would have to be, as a phrase.
func (a Alone) Text() sentence.Text {
	name, to, from := InputName(a.Key), value(a.Key, a.To), value(a.Key, a.From)
	if a.Plausible {
		return sentence.New("%s: %s instead of %s (possible)", name, to, from)
	}
	return sentence.New("%s: %s instead of %s (unlikely)", name, to, from)
}

// beyond says whether a change lies outside of its tolerance.
func (e *Explanation) beyond() bool {
	return slices.ContainsFunc(e.Changes, func(c Change) bool { return c.BeyondTolerance })
}

// together names the changes that are largest by their tolerances.
func (e *Explanation) together(most int) sentence.Text {
	all := slices.DeleteFunc(slices.Clone(e.Changes), func(c Change) bool { return c.Key == KeyModel })
	slices.SortStableFunc(all, func(a, b Change) int {
		return cmp.Compare(math.Abs(b.To-b.From)/b.SigmaFrom, math.Abs(a.To-a.From)/a.SigmaFrom)
	})
	var texts []sentence.Text
	for _, c := range all[:min(most, len(all))] {
		texts = append(texts, sentence.New("%s %s instead of %s", InputName(c.Key), value(c.Key, c.To), value(c.Key, c.From)))
	}
	return sentence.List(texts...)
}

// best says what would explain the readings if its tolerance were wider.
func (e *Explanation) best() sentence.Text {
	if len(e.Alone) == 0 {
		return sentence.New("Read again, and look at what stands near the coil.")
	}
	a := e.Alone[0]
	return sentence.New("Nearest comes %s, which would have to be %s instead of %s. Count and measure again, and look at what stands near the coil.",
		InputName(a.Key), value(a.Key, a.To), value(a.Key, a.From))
}

// value tells the value of an input.
func value(key string, x float64) sentence.Text {
	digits := shown
	switch key {
	case keyTemperature:
		return sentence.Literal(fmt.Sprintf("%.1f °C", x))
	case KeyHidden:
		if x == 0 {
			return sentence.New("none")
		}
		digits = 2
	case KeyProbe, KeyHand:
		digits = 3
	}
	return sentence.New("%s", quantity{x, 0, unitOfKey(key), digits})
}
