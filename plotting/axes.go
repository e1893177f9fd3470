package plotting

import (
	"math"

	"gonum.org/v1/plot"

	"coilwright/physics/si"
)

// Axes is what the axes of a figure run over, in SI.
type Axes struct {
	XMin, XMax, YMin, YMax float64
	LogX                   bool    // the horizontal axis is logarithmic; its ends are positive
	leastX                 float64 // of the horizontal axis that a part must show
}

const (
	// mostZoom is how many times closer than the whole axes a figure may be
	// looked at: the curves have some 50 points, so that more would show nothing
	// but the line between two of them.
	mostZoom = 32

	// leastCount is how many counted things, such as turns, must be seen.
	leastCount = 4
)

// AxesOf returns the axes of a plot.
func AxesOf(p *plot.Plot) Axes {
	a := Axes{XMin: p.X.Min, XMax: p.X.Max, YMin: p.Y.Min, YMax: p.Y.Max}
	_, a.LogX = p.X.Scale.(plot.LogScale)
	if t, ok := p.X.Tick.Marker.(ticks); ok && t.whole {
		a.leastX = leastCount
	}
	return a
}

// along returns where x stands on the axis, 0 at its beginning and 1 at its end.
func (a Axes) along(x float64) float64 {
	if a.LogX {
		return math.Log(x/a.XMin) / math.Log(a.XMax/a.XMin)
	}
	return (x - a.XMin) / (a.XMax - a.XMin)
}

// at is the way back.
func (a Axes) at(share float64) float64 {
	if a.LogX {
		return a.XMin * math.Pow(a.XMax/a.XMin, share)
	}
	return a.XMin + (a.XMax-a.XMin)*share
}

// up returns where y stands on the upright axis, 0 at its foot and 1 at its top.
func (a Axes) up(y float64) float64 { return (y - a.YMin) / (a.YMax - a.YMin) }

// part returns the axes from one share of them to another.
func (a Axes) part(left, right, foot, top float64) Axes {
	b := a
	b.XMin, b.XMax = a.at(left), a.at(right)
	b.YMin, b.YMax = a.YMin+(a.YMax-a.YMin)*foot, a.YMin+(a.YMax-a.YMin)*top
	return b
}

// Closer returns the part of whole that is so many times closer than a about a
// place of its frame, counted from the lower left corner in shares of its width and
// height; closer than 1 is farther. Neither more than whole is shown nor less
// than some 30th of it. Flat leaves the upright axis whole.
func (a Axes) Closer(whole Axes, right, up, times float64, flat bool) Axes {
	now := whole.along(a.XMax) - whole.along(a.XMin)
	least := math.Max(1./mostZoom, math.Min(1, whole.leastX/(whole.XMax-whole.XMin)))
	next := math.Min(1, math.Max(math.Min(least, now), now/times))
	const all = 1 - 1e-9
	if next > all {
		return whole
	}
	left := whole.along(a.at(right)) - right*next
	height := math.Min(1, (whole.up(a.YMax)-whole.up(a.YMin))*next/now)
	foot := whole.up(a.YMin+(a.YMax-a.YMin)*up) - up*height
	if flat {
		foot, height = 0, 1
	}
	return whole.part(left, left+next, foot, foot+height).Within(whole)
}

// Moved returns the axes shifted by shares of what they show, within whole.
func (a Axes) Moved(whole Axes, right, up float64) Axes {
	return a.part(right, 1+right, up, 1+up).Within(whole)
}

// Within returns the part shifted into the whole, and made smaller if it is
// larger.
func (a Axes) Within(whole Axes) Axes {
	hold := func(from, to float64) (float64, float64) {
		size := math.Min(1, to-from)
		from = math.Max(0, math.Min(1-size, from))
		return from, from + size
	}
	left, right := hold(whole.along(a.XMin), whole.along(a.XMax))
	foot, top := hold(whole.up(a.YMin), whole.up(a.YMax))
	return whole.part(left, right, foot, top)
}

// Following returns the part of whole shifted up or down, if nothing of a curve,
// ascending in x, is in it, so that its middle is.
func (a Axes) Following(whole Axes, x, y []float64) Axes {
	low, high := math.Inf(1), math.Inf(-1)
	see := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for i, v := range x {
		if v >= a.XMin && v <= a.XMax {
			see(y[i])
		}
	}
	for _, edge := range []float64{a.XMin, a.XMax} {
		if v, ok := at(x, y, edge); ok {
			see(v)
		}
	}
	if low <= a.YMax && high >= a.YMin || low > high {
		return a
	}
	middle, ok := at(x, y, a.at(0.5))
	if !ok {
		middle = (low + high) / 2
	}
	const inset = 0.3 // of the height, where it comes in
	share := math.Max(inset, math.Min(1-inset, a.up(middle)))
	height := a.YMax - a.YMin
	a.YMin = middle - share*height
	a.YMax = a.YMin + height
	return a.Within(whole)
}

// Zoom lets a plot show a part of its axes and says in its title how many times
// closer that is.
func Zoom(p *plot.Plot, part Axes) {
	whole := AxesOf(p)
	times := 1 / (whole.along(part.XMax) - whole.along(part.XMin))
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = part.XMin, part.XMax, part.YMin, part.YMax
	const digits = 2
	p.Title.Text += "  ×" + si.FormatNumber(times, digits)
}
