package plotting

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"

	"coilwright/physics/si"
)

// ticks places ticks at 1, 2 or 5 times a power of ten of a unit, while the
// axis itself runs in SI.
type ticks struct {
	unit  si.Unit
	count int  // about how many
	whole bool // no fractions: turns are counted
}

var _ plot.Ticker = ticks{}

// usualTicks is for an axis whose length is not known yet.
const usualTicks = 5

// Ticks implements [plot.Ticker].
func (t ticks) Ticks(lo, hi float64) []plot.Tick {
	factor := t.unit.Factor()
	step := t.step(lo, hi)
	if !(step > 0) {
		return nil
	}
	decimals := max(0, -exponent(step))
	var out []plot.Tick
	// Rounding must not lose the tick at either end.
	const slack = 1e-6
	first := math.Ceil(lo/factor/step - slack)
	last := math.Floor(hi/factor/step + slack)
	for i := first; i <= last; i++ {
		value := i * step
		// A tick beyond the end by rounding would get no room for its label.
		out = append(out, plot.Tick{Value: math.Min(hi, math.Max(lo, value*factor)), Label: number(value, decimals)})
	}
	return out
}

// step is the distance of ticks in the unit: the smallest of 1, 2, 5 times a
// power of ten that gives no more than count.
func (t ticks) step(lo, hi float64) float64 {
	span := (hi - lo) / t.unit.Factor()
	if !(span > 0) || math.IsInf(span, 0) || t.count < 1 {
		return 0
	}
	step := niceAbove(span / float64(t.count))
	if t.whole {
		step = math.Max(1, step)
	}
	return step
}

// outward returns the range rounded out to ticks, in SI.
func (t ticks) outward(lo, hi float64) (float64, float64) {
	step := t.step(lo, hi) * t.unit.Factor()
	if step == 0 {
		return lo, hi
	}
	const slack = 1e-6
	return math.Floor(lo/step+slack) * step, math.Ceil(hi/step-slack) * step
}

// niceAbove returns the smallest of 1, 2, 5 times a power of ten that is not
// below v, which is positive.
func niceAbove(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= v*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// exponent is the power of ten of a nice number's leading digit.
func exponent(nice float64) int { return int(math.Floor(math.Log10(nice) + 1e-9)) }

// number prints v with a true minus.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if rest, negative := strings.CutPrefix(s, "-"); negative {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return s
}
