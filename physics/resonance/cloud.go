package resonance

import (
	"cmp"
	"math"
	"slices"
)

// cloud is many rings about one cylinder or between two, from the lowest up, and the
// clusters that they are gathered in.
type cloud struct {
	rings    Rings
	radius   [2]float64 // m, of the cylinders that clusters are put on
	clusters []cluster  // the first holds all others; none: there are no rings
}

// cluster is a run of neighbouring turns and the rings that stand for it at a
// distance, on two cylinders.
type cluster struct {
	from, to     int     // of the cloud's rings
	middle, half float64 // m, of the heights
	height       [clusterRings]float64
	charge       [2][clusterRings]float64
	parts        int // first of two smaller clusters, one behind the other; 0: none
}

const (
	// clusterRings at Chebyshev's places on either cylinder stand for a cluster seen
	// from farther than clusterReach times half its length: one in a thousand of its
	// own part at the worst (TestFieldMeetsTheSum).
	clusterRings = 5
	clusterReach = 2.0
	ringsOfTurn  = 4
	smallCluster = 6 * ringsOfTurn // that is not divided further
)

// gather makes the clusters of a cloud, as many rings together as are given.
func (g *cloud) gather(together int) {
	g.clusters = make([]cluster, 1)
	g.divide(0, 0, len(g.rings.Charge), together)
}

// formerCloud returns the bound charge on the cylinders of a solved coil's former, and
// that on its faces, as rings that lie at most so far apart, in m.
func formerCloud(c *Coil, m *Modes, spacing float64) (round cloud, faces Rings) {
	round.rings.Of, faces.Of = OfFormer, OfFormer
	type ring struct{ radius, height, charge float64 }
	var all []ring
	round.radius = [2]float64{math.Inf(1), 0}
	m.Polarised.Rings(spacing, func(r, z, q float64, face bool) {
		if face {
			faces.add(r, z, q)
			return
		}
		all = append(all, ring{r, z, q})
		round.radius = [2]float64{math.Min(round.radius[0], r), math.Max(round.radius[1], r)}
	})
	if round.radius[0] == round.radius[1] {
		round.radius[0] *= 1 - rodSkin
	}
	slices.SortFunc(all, func(a, b ring) int {
		return cmp.Or(cmp.Compare(a.height, b.height), cmp.Compare(a.radius, b.radius))
	})
	for _, r := range all {
		round.rings.add(r.radius, r.height, r.charge)
	}
	round.gather(1)
	return round, faces
}

// rodSkin keeps the two cylinders of a solid rod's clusters apart, over its radius; all
// charge is on the outer one.
const rodSkin = 0.01

// divide makes cluster at hold the rings from..to.
func (g *cloud) divide(at, from, to, together int) {
	w := &g.rings
	low, high := math.Inf(1), math.Inf(-1)
	for i := from; i < to; i++ {
		low, high = math.Min(low, w.Height[i]), math.Max(high, w.Height[i])
	}
	c := cluster{from: from, to: to, middle: (low + high) / 2, half: (high - low) / 2}
	c.place()
	if to-from <= smallCluster {
		// A charge is shared by the two cylinders so that its radius keeps its mean.
		width := g.radius[1] - g.radius[0]
		for i := from; i < to; i++ {
			outer := (w.Radius[i] - g.radius[0]) / width * w.Charge[i]
			c.take(w.Height[i], [2]float64{w.Charge[i] - outer, outer})
		}
		g.clusters[at] = c
		return
	}
	half := from + (to-from)/2/together*together
	c.parts = len(g.clusters)
	g.clusters = append(g.clusters, cluster{}, cluster{})
	g.divide(c.parts, from, half, together)
	g.divide(c.parts+1, half, to, together)
	for _, part := range g.clusters[c.parts : c.parts+2] {
		for i, z := range part.height {
			c.take(z, [2]float64{part.charge[0][i], part.charge[1][i]})
		}
	}
	g.clusters[at] = c
}

// place puts the heights on Chebyshev's places.
func (c *cluster) place() {
	for k := range c.height {
		c.height[k] = c.middle + c.half*math.Cos(math.Pi*(float64(k)+0.5)/clusterRings)
	}
}

// take puts charges at the height z on the rings, so that sums of polynomials in the
// height stay.
func (c *cluster) take(z float64, charge [2]float64) {
	for k, own := range c.height {
		l := 1.0
		for j, other := range c.height {
			if j != k && c.half > 0 {
				l *= (z - other) / (own - other)
			}
		}
		c.charge[0][k] += l * charge[0]
		c.charge[1][k] += l * charge[1]
		if c.half == 0 {
			return // all in one plane
		}
	}
}

// each adds the rings from..to one by one.
func (g *cloud) each(sum *at, from, to int, r, z, sign, flip float64) {
	for i := from; i < to; i++ {
		sum.add(g.rings.Radius[i], g.rings.Height[i], sign*g.rings.Charge[i], r, z, flip)
	}
}

// cluster adds a cluster's rings, or what stands for them from afar.
func (g *cloud) cluster(sum *at, which int, r, z, sign, flip float64) {
	c := &g.clusters[which]
	along := math.Max(0, math.Abs(z-c.middle)-c.half)
	across := math.Max(0, math.Max(g.radius[0]-r, r-g.radius[1]))
	switch reach := clusterReach * c.half; {
	case along*along+across*across > reach*reach && c.to-c.from > 2*clusterRings:
		for k, charges := range c.charge {
			for i, q := range charges {
				sum.add(g.radius[k], c.height[i], sign*q, r, z, flip)
			}
		}
	case c.parts != 0:
		g.cluster(sum, c.parts, r, z, sign, flip)
		g.cluster(sum, c.parts+1, r, z, sign, flip)
	default:
		g.each(sum, c.from, c.to, r, z, sign, flip)
	}
}
