package loss

import (
	"math"
	"slices"
)

// knots are the turns whose harmonics are unknown; those of the turns between two
// knots lie on a straight line. Near both ends every turn is a knot, inwards ever
// fewer are.
type knots struct {
	turns  int
	number []int     // of the turns, from 0, ascending, first 0, last turns-1
	weight []float64 // one per turn: its part of a full turn
	sums   [][]float64

	// Columns of the sums that are not zero, by row, for q up to 4 and above.
	far, near []span
}

// span is a range of knots, without its end.
type span struct{ from, to int }

// columns returns where the rows of the sum of order q are not zero.
func (k *knots) columns(q int) []span {
	if q <= lastFar {
		return k.far
	}
	return k.near
}

const (
	// growth is the spacing of knots over their distance, in turns, from the nearer
	// end, and widest the widest spacing as a part of all turns. With every turn a knot
	// the loss changes by less than 2e-3 (TestKnots).
	growth = 0.5
	widest = 1. / 14

	// farReach and nearReach are how far, in turns, the fields of higher multipoles are
	// summed: those that fall with the third and fourth power of the distance, and with
	// the fifth and higher ones. What is cut off is under 1e-5 of the first.
	farReach, nearReach = 40, 10

	lastFar = 4 // the last order summed over farReach
)

// place divides the turns; every is set to make each of them a knot.
func (k *knots) place(turns int, last float64, every bool) {
	k.turns = turns
	k.number = k.number[:0]
	half := (turns - 1) / 2
	for at := 0; at <= half; {
		k.number = append(k.number, at)
		step := 1
		if !every {
			step = max(1, int(math.Min(widest*float64(turns), growth*float64(at))))
		}
		at += step
	}
	for i := len(k.number) - 1; i >= 0; i-- {
		if mirrored := turns - 1 - k.number[i]; mirrored > k.number[len(k.number)-1] {
			k.number = append(k.number, mirrored)
		}
	}
	k.weight = resize(k.weight, turns)
	for i := range k.weight {
		k.weight[i] = 1
	}
	k.weight[turns-1] = last
}

// at returns the knot at or below a turn and how far the turn lies towards the next.
func (k *knots) at(turn int) (knot int, part float64) {
	knot, found := slices.BinarySearch(k.number, turn)
	if found {
		return knot, 0
	}
	knot--
	return knot, float64(turn-k.number[knot]) / float64(k.number[knot+1]-k.number[knot])
}

// prepare forms the sums over all turns j of w_j f_j/(j - i)^q for every knot i, as
// matrices that take f at the knots, for q from 3 to most.
func (k *knots) prepare(most int) {
	count := len(k.number)
	for len(k.sums) <= most {
		k.sums = append(k.sums, nil)
	}
	for q := 3; q <= most; q++ {
		k.sums[q] = resize(k.sums[q], count*count)
		clear(k.sums[q])
	}
	k.far, k.near = resize(k.far, count), resize(k.near, count)
	for row, i := range k.number {
		k.far[row], k.near[row] = k.reach(i, farReach), k.reach(i, nearReach)
		for j := max(0, i-farReach); j <= min(k.turns-1, i+farReach); j++ {
			if j == i {
				continue
			}
			last := most
			if j-i > nearReach || i-j > nearReach {
				last = min(most, lastFar)
			}
			knot, part := k.at(j)
			inverse := 1 / float64(j-i)
			value := k.weight[j] * inverse * inverse
			for q := 3; q <= last; q++ {
				value *= inverse
				to := k.sums[q][row*count+knot:]
				to[0] += (1 - part) * value
				if part != 0 {
					to[1] += part * value
				}
			}
		}
	}
}

// reach returns the knots that turns up to so many away from turn i lie between.
func (k *knots) reach(i, turns int) span {
	from, _ := k.at(max(0, i-turns))
	to, part := k.at(min(k.turns-1, i+turns))
	if part > 0 {
		to++
	}
	return span{from, to + 1}
}

// spread sets dst, knots×knots, to the matrix of Σ_j w_j kernel(|j-i|) f_j over j ≠ i; below
// is the factor of the kernel for j < i, 1 or -1.
func (k *knots) spread(dst, kernel []float64, below float64) {
	count := len(k.number)
	clear(dst)
	for row, i := range k.number {
		line := dst[row*count : (row+1)*count]
		for e := range count - 1 {
			from, to := k.number[e], k.number[e+1]
			step := 1 / float64(to-from)
			for j := from; j < to; j++ {
				if j == i {
					continue
				}
				value, part := k.weight[j]*kernel[max(j-i, i-j)], float64(j-from)*step
				if j < i {
					value *= below
				}
				line[e] += (1 - part) * value
				line[e+1] += part * value
			}
		}
		if last := k.turns - 1; last != i {
			line[count-1] += k.weight[last] * kernel[last-i]
		}
	}
}
