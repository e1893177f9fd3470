package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// MostKept is how many curves of other designs a figure tells apart.
const MostKept = 5

// Kept is the curve of another design, shown thin behind the present one's to
// compare with. Points beyond the axes are not drawn.
type Kept struct {
	Slot int    // 0 to MostKept-1: which colour and dash it has
	Name string // stands beside the curve
	X, Y []float64
}

// keep puts the curves of other designs behind those of the present one.
func (f *figure) keep(kept []Kept) error {
	s := f.style
	inks := [MostKept]color.NRGBA{s.Target, s.Warning, s.Spare, s.Second, s.Wire}
	var behind []curve
	for _, k := range kept {
		if err := checkCurve("kept curve "+k.Name, k.X, k.Y); err != nil {
			return err
		}
		slot := min(max(k.Slot, 0), MostKept-1)
		behind = append(behind, curve{
			x: k.X, y: k.Y, width: s.GuideWidth, color: inks[slot], dash: s.keptDash(slot), names: []string{k.Name},
		})
	}
	f.curves = append(behind, f.curves...)
	return nil
}

// keptDash is the dash of a kept curve: each slot has its own, so that the
// curves differ without their colours.
func (s Style) keptDash(slot int) []vg.Length {
	w := s.GuideWidth
	return [MostKept][]vg.Length{
		{8 * w, 3 * w},
		{3 * w, 3 * w},
		{8 * w, 3 * w, 2 * w, 3 * w},
		{1.5 * w, 2 * w},
		{8 * w, 3 * w, 2 * w, 3 * w, 2 * w, 3 * w},
	}[slot]
}

// ownShare is the share of the upright axis that the present design's own curve
// keeps at least: a kept curve farther away than that leaves runs out of the frame.
const ownShare = 1. / 6

// reaching returns the range of an upright axis widened to the kept curves over
// the axis from xMin to xMax.
func reaching(low, high float64, kept []Kept, xMin, xMax float64) (float64, float64) {
	most := (high - low) / ownShare
	lowest, highest := low, high
	for _, k := range kept {
		l, h := low, high
		for i := range min(len(k.X), len(k.Y)) {
			if k.X[i] >= xMin && k.X[i] <= xMax {
				l, h = math.Min(l, k.Y[i]), math.Max(h, k.Y[i])
			}
		}
		if h-l <= most {
			lowest, highest = math.Min(lowest, l), math.Max(highest, h)
		}
	}
	return lowest, highest
}
