package resonance

import (
	"math"
	"slices"
)

// grid is the graded division of n whole turns that carries the charge. The
// charge per turn is a polygon over the turn number with a corner at every
// knot; between two knots lies an element. Near both ends every turn is a knot,
// so that a winding of few turns is solved turn by turn. Where another conductor
// comes close an element is no longer than that is far away, because it draws charge
// to a stretch of that width.
type grid struct {
	turns    int
	knots    []int // turn numbers from 0, ascending, first 0, last turns-1
	elements []element
	samples  []sample

	coarse []int // knots before neighbours were looked at
}

// element is a run of turns from one knot up to, but without, the next one.
type element struct {
	start, length int
}

// sample is a turn that stands for part of its element: sums over turns of
// smooth functions are taken over the samples with their weights.
type sample struct {
	turn    int
	element int
	place   float64 // (turn - start)/length: the weight of the upper knot
	weight  float64 // turns it stands for
}

// neighbour is a thin ring beside the winding.
type neighbour struct {
	at   float64 // where it stands, as a turn number
	away float64 // its distance from the sheet of the winding, in turns
}

// from returns how far a neighbour is from the nearest of the turns low to high, in
// turns.
func (b neighbour) from(low, high int) float64 {
	beside := max(float64(low)-b.at, b.at-float64(high), 0)
	return math.Hypot(beside, b.away)
}

const (
	// closeBy is the longest element over its distance from a neighbour. With it
	// three turns of a primary, 1.2 to 60 pitches off anywhere beside 760 turns,
	// leave the first mode within 7e-5 and the second within 1e-4 of elements of
	// one turn (TestRefinementBesideAPrimary holds looser bounds); half of it gains
	// nothing.
	closeBy = 0.8

	// growth is the spacing of knots over their distance, in turns, from the
	// nearer end, and widest the widest spacing as a part of all turns. Against
	// a spacing five times finer the pair puts the first mode within 1e-6, the
	// second within 1e-4 and the third within 2e-4 (TestRefinement holds looser
	// bounds).
	growth = 0.8
	widest = 1.0 / 10
)

// build divides n whole turns; spacing scales the distance of the knots, 1 is
// the usual one.
func (g *grid) build(n int, spacing float64, beside []neighbour) {
	g.turns = n
	g.knots = g.knots[:0]
	g.elements = g.elements[:0]
	g.samples = g.samples[:0]
	half := (n - 1) / 2
	limit := math.Max(1, widest*spacing*float64(n))
	for at := 0; at <= half; {
		g.knots = append(g.knots, at)
		step := math.Min(limit, growth*spacing*float64(at))
		at += max(1, int(step))
	}
	for i := len(g.knots) - 1; i >= 0; i-- {
		if mirrored := n - 1 - g.knots[i]; mirrored > g.knots[len(g.knots)-1] {
			g.knots = append(g.knots, mirrored)
		}
	}
	g.refine(closeBy*spacing, beside)
	for k, start := range g.knots {
		length := 1
		if k+1 < len(g.knots) {
			length = g.knots[k+1] - start
		}
		g.elements = append(g.elements, element{start, length})
		g.sample(k, start, length)
	}
}

// refine halves elements until none is longer than ratio times its distance from a
// neighbour.
func (g *grid) refine(ratio float64, beside []neighbour) {
	if len(beside) == 0 {
		return
	}
	g.coarse = append(g.coarse[:0], g.knots...)
	g.knots = g.knots[:1]
	for k, to := range g.coarse[1:] {
		g.divide(g.coarse[k], to, ratio, beside)
	}
}

// divide appends the knots behind from up to a coarse one.
func (g *grid) divide(from, to int, ratio float64, beside []neighbour) {
	for _, b := range beside {
		if to-from > 1 && float64(to-from) > ratio*b.from(from, to) {
			middle := (from + to) / 2
			g.divide(from, middle, ratio, beside)
			g.divide(middle, to, ratio, beside)
			return
		}
	}
	g.knots = append(g.knots, to)
}

// sample puts up to four samples on an element. Weights integrate
// polynomials of the third degree over the turns exactly: the discrete
// counterpart of Gauss's rule, with the places rounded to whole turns.
func (g *grid) sample(k, start, length int) {
	add := func(turn int, weight float64) {
		g.samples = append(g.samples, sample{start + turn, k, float64(turn) / float64(length), weight})
	}
	if length <= 4 {
		for t := range length {
			add(t, 1)
		}
		return
	}
	// Places symmetric about the middle, at ±inner and ±outer from it; the
	// weights follow from the count and the sum of squares.
	h := float64(length)
	square := (h*h - 1) / 12 // mean square distance from the middle
	first := int(math.Round((h - 1) / 2 * 0.14))
	second := int(math.Round((h - 1) / 2 * 0.66))
	outer, inner := (h-1)/2-float64(first), (h-1)/2-float64(second)
	w := h / 2 * (square - inner*inner) / (outer*outer - inner*inner)
	add(first, w)
	add(second, h/2-w)
	add(length-1-second, h/2-w)
	add(length-1-first, w)
}

// find returns where a turn lies.
func (g *grid) find(turn int) sample {
	k, found := slices.BinarySearch(g.knots, turn)
	if !found {
		k--
	}
	return sample{turn, k, float64(turn-g.knots[k]) / float64(g.elements[k].length), 1}
}

// unknowns returns the number of knots.
func (g *grid) unknowns() int { return len(g.knots) }
