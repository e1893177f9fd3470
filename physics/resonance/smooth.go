package resonance

import "math"

// smooth evaluates four functions of a whole number that vary over a known
// distance, by quintics through points that are a part of that distance apart. Images
// are as smooth as they are far away.
type smooth struct {
	place  []float64
	values [][4]float64
}

const (
	// smoothSpacing is the distance of the points over that of the image. With
	// it the interpolation is good to 1e-6 of what a turn does to itself
	// (TestImages).
	smoothSpacing = 0.08

	smoothPoints = 6 // that a value is interpolated from
)

// fill calls set for every whole number from from to to-1. reach says over which
// distance the functions vary, of evaluates them.
//
// Points are laid from 0 on, and a value is interpolated from the point after it and
// those before, so that it does not depend on how far the range goes.
func (s *smooth) fill(from, to int, reach func(x float64) float64, of func(x float64) (a, b, c, d float64), set func(x int, a, b, c, d float64)) {
	if from >= to {
		return
	}
	s.place, s.values = s.place[:0], s.values[:0]
	for x := 0.0; ; {
		a, b, c, d := of(x)
		s.place, s.values = append(s.place, x), append(s.values, [4]float64{a, b, c, d})
		if x >= float64(to-1) && len(s.place) >= smoothPoints {
			break
		}
		step := smoothSpacing * reach(x)
		step = math.Min(step, smoothSpacing*reach(x+step)) // the nearer end decides
		if !(step >= 2) {
			step = 1
		}
		x += math.Floor(step)
	}
	k, first := 0, -1
	var bary [smoothPoints]float64
	for x := from; x < to; x++ {
		at := float64(x)
		for k+1 < len(s.place) && s.place[k+1] <= at {
			k++
		}
		if s.place[k] == at {
			v := &s.values[k]
			set(x, v[0], v[1], v[2], v[3])
			continue
		}
		if f := max(0, k+2-smoothPoints); f != first {
			first = f
			for i := range bary {
				bary[i] = 1
				for j := range bary {
					if j != i {
						bary[i] /= s.place[first+i] - s.place[first+j]
					}
				}
			}
		}
		var a, b, c, d, all float64
		for i, w := range bary {
			w /= at - s.place[first+i]
			v := &s.values[first+i]
			all += w
			a += w * v[0]
			b += w * v[1]
			c += w * v[2]
			d += w * v[3]
		}
		set(x, a/all, b/all, c/all, d/all)
	}
}
