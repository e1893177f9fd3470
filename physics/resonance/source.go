package resonance

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// node is where a conductor is connected.
type node int

const (
	earth node = iota // at zero, and no current of the coil ends there
	foot              // on the free board
	top               // on the last node of the winding
)

// source is a conductor beside the winding: coaxial rings of charge in fixed
// proportions, one set of proportions for every unknown, its modes.
type source struct {
	radius, height []float64 // m, of the rings
	weight         []float64 // modes×rings
	charge         []float64 // by mode: net charge per unit amplitude
	elastance      []float64 // modes×modes, V/C, without images

	attached node
	index    []int // by mode: number of the unknown

	potential     []float64    // places×modes, V/C: what the winding sees
	field         [2][]float64 // places×modes, V/(C m): along and across
	nodes         []int
	block, kernel []float64
}

func (s *source) modes() int { return len(s.charge) }

// fromBody makes a source of a body with its centre plane at height h, in m.
func (s *source) fromBody(b *topload.Body, h float64) {
	s.radius = append(s.radius[:0], b.Radius...)
	s.height = resize(s.height, len(b.Height))
	for i, z := range b.Height {
		s.height[i] = h + z
	}
	s.weight = append(s.weight[:0], b.Weight...)
	s.charge = append(s.charge[:0], b.Charge...)
	s.elastance = append(s.elastance[:0], b.Elastance...)
}

// is reports whether the source is the body b with its centre plane at height h.
func (s *source) is(b *topload.Body, h float64) bool {
	for i, z := range b.Height {
		if i >= len(s.height) || s.height[i] != h+z {
			return false
		}
	}
	return slices.Equal(s.radius, b.Radius) && slices.Equal(s.weight, b.Weight) &&
		slices.Equal(s.charge, b.Charge) && slices.Equal(s.elastance, b.Elastance)
}

// mostLoops is how many turns of a primary get an unknown each; more of them
// share as many, as a polygon over the turn number.
const mostLoops = 12

// fromLoops makes a source of separate turns of one conductor.
func (s *source) fromLoops(loops []inductance.Loop) {
	n := len(loops)
	modes := min(n, mostLoops)
	s.reset(n, modes)
	for i, l := range loops {
		s.radius[i], s.height[i] = l.Radius, l.Height
		at := 0.0 // on the polygon
		if n > 1 {
			at = float64(i) * float64(modes-1) / float64(n-1)
		}
		low := min(int(at), modes-1)
		up := at - float64(low)
		s.weight[low*n+i] = (1 - up) * l.Weight
		s.charge[low] += (1 - up) * l.Weight
		if up > 0 {
			s.weight[(low+1)*n+i] = up * l.Weight
			s.charge[low+1] += up * l.Weight
		}
	}
	for i, a := range loops {
		for j, b := range loops {
			p := 0.0
			if i == j {
				p = selfElastance(a.Radius, a.WireRadius) / a.Weight
			} else {
				p = electrostatics.RingPotentialUnchecked(a.Radius, b.Radius, a.Height-b.Height)
			}
			for k := range modes {
				if wk := s.weight[k*n+i]; wk != 0 {
					for l := range modes {
						s.elastance[k*modes+l] += wk * p * s.weight[l*n+j]
					}
				}
			}
		}
	}
}

const (
	leadPieces    = 3 // unknowns of a lead, each a piece with its charge evenly spread
	ringsPerPiece = 3 // by which a piece is seen from elsewhere
)

// gaussPlaces and gaussWeights are Gauss's rule of three points on 0 to 1.
var (
	gaussPlaces  = [ringsPerPiece]float64{0.5 - 0.5*0.7745966692414834, 0.5, 0.5 + 0.5*0.7745966692414834}
	gaussWeights = [ringsPerPiece]float64{5. / 18, 8. / 18, 5. / 18}
)

// fromLead makes a source of a straight vertical wire. To itself it is the wire
// it is, its pieces at their mean potentials; to all else a thin cylinder of
// rings.
//
// Source of the mean potential between pieces of a straight round wire: Howe's
// method; the double integral of 1/r is in closed form with
// g(x) = x asinh(x/b) - √(x²+b²).
func (s *source) fromLead(l *Lead) {
	s.reset(leadPieces*ringsPerPiece, leadPieces)
	h := l.Length / leadPieces
	b := l.WireRadius
	g := func(x float64) float64 { return x*math.Asinh(x/b) - math.Hypot(x, b) }
	for k := range leadPieces {
		s.charge[k] = 1
		for i := range ringsPerPiece {
			r := k*ringsPerPiece + i
			s.radius[r] = l.Radius
			s.height[r] = l.Bottom + h*(float64(k)+gaussPlaces[i])
			s.weight[k*len(s.radius)+r] = gaussWeights[i]
		}
		for j := range leadPieces {
			d := h * float64(k-j)
			s.elastance[k*leadPieces+j] = (g(d+h) - 2*g(d) + g(d-h)) / (4 * math.Pi * si.Epsilon0 * h * h)
		}
	}
}

// reset makes room for so many rings and modes and sets all of it to zero.
func (s *source) reset(rings, modes int) {
	s.radius, s.height = resize(s.radius, rings), resize(s.height, rings)
	s.weight = resize(s.weight, modes*rings)
	s.charge = resize(s.charge, modes)
	s.elastance = resize(s.elastance, modes*modes)
	clear(s.weight)
	clear(s.charge)
	clear(s.elastance)
}

// nodeSpacing is the distance of the heights at which a source's field is
// evaluated, over their distance from it; between them it is interpolated by cubics.
// The first mode moves by less than 1e-6 (TestNodeSpacing).
const nodeSpacing = 0.25

// seenFrom computes what the source does at the given heights of the winding, of
// the given radius, ascending.
func (s *source) seenFrom(radius float64, heights []float64, planes *electrostatics.Planes, spacing float64) {
	n := len(heights) * s.modes()
	s.potential = resize(s.potential, n)
	clear(s.potential)
	for d := range s.field {
		s.field[d] = resize(s.field[d], n)
		clear(s.field[d])
	}
	s.nodes = s.nodes[:0]
	for t := 0; t < len(heights); {
		s.nodes = append(s.nodes, t)
		s.evaluate(t, radius, heights[t], planes)
		if t == len(heights)-1 {
			break
		}
		near := math.Inf(1)
		for i, a := range s.radius {
			near = math.Min(near, math.Hypot(a-radius, s.height[i]-heights[t]))
		}
		limit := heights[t] + spacing*near
		for t++; t+1 < len(heights) && heights[t+1] <= limit; {
			t++
		}
	}
	s.interpolate(heights)
}

// evaluate computes potential and field at place t, of height z.
func (s *source) evaluate(t int, radius, z float64, planes *electrostatics.Planes) {
	modes, rings := s.modes(), len(s.radius)
	potential := s.potential[t*modes : (t+1)*modes]
	axial, radial := s.field[0][t*modes:(t+1)*modes], s.field[1][t*modes:(t+1)*modes]
	for i, a := range s.radius {
		h := s.height[i]
		p := electrostatics.RingPotentialUnchecked(a, radius, z-h)
		dr, dz := electrostatics.RingGradientUnchecked(a, radius, z-h)
		if planes != nil {
			p += planes.ImagePotential(a, h, radius, z)
			ir, iz := planes.ImageGradient(a, h, radius, z)
			dr, dz = dr+ir, dz+iz
		}
		for k := range modes {
			weight := s.weight[k*rings+i]
			potential[k] += weight * p
			axial[k] -= weight * dz
			radial[k] -= weight * dr
		}
	}
}

// interpolate fills in the places between the nodes, by the cubic through the
// four nodes about each.
func (s *source) interpolate(heights []float64) {
	const points = 4
	modes := s.modes()
	for k := range len(s.nodes) - 1 {
		if s.nodes[k+1] == s.nodes[k]+1 {
			continue
		}
		first := max(0, min(k-1, len(s.nodes)-points))
		about := s.nodes[first:min(first+points, len(s.nodes))]
		for t := s.nodes[k] + 1; t < s.nodes[k+1]; t++ {
			for _, node := range about {
				weight := 1.0
				for _, other := range about {
					if other != node {
						weight *= (heights[t] - heights[other]) / (heights[node] - heights[other])
					}
				}
				for _, values := range [][]float64{s.potential, s.field[0], s.field[1]} {
					from, to := values[node*modes:(node+1)*modes], values[t*modes:(t+1)*modes]
					for j, v := range from {
						to[j] += weight * v
					}
				}
			}
		}
	}
}

// meet puts the elastances between source and winding, the fields at the
// winding's dipoles and, for a source on the top node, the inductances into m.
func (s *source) meet(w *winding, m *matrices) {
	n, modes := m.stride, s.modes()
	for t, sample := range w.grid.samples {
		low, up := sample.element, sample.element+1
		upper := sample.weight * sample.place
		lower := sample.weight - upper
		for k, at := range s.index {
			i := t*modes + k
			m.elastance[low*n+at] += lower * s.potential[i]
			m.field[0][low*n+at] += lower * s.field[0][i]
			m.field[1][low*n+at] += lower * s.field[1][i]
			if upper != 0 {
				m.elastance[up*n+at] += upper * s.potential[i]
				m.field[0][up*n+at] += upper * s.field[0][i]
				m.field[1][up*n+at] += upper * s.field[1][i]
			}
		}
	}
	for k, at := range s.index {
		charge := s.charge[k]
		if s.attached != earth {
			m.net[at] = charge
		}
		if s.attached != top {
			continue
		}
		m.current[at] = charge
		m.topFlux[at] = charge * w.whole
		for i := range m.size {
			m.inductance[i*n+at] = charge * m.topFlux[i]
		}
	}
}

// meetSelf puts the source's own elastance and, on the top node, inductance into m.
func (s *source) meetSelf(planes *electrostatics.Planes, m *matrices) {
	modes := s.modes()
	block := resize(s.block, modes*modes)
	s.block = block
	copy(block, s.elastance)
	if planes != nil {
		s.project(s, planes, block)
	}
	for k, row := range s.index {
		for l, column := range s.index {
			m.elastance[row*m.stride+column] = block[k*modes+l]
			if s.attached == top {
				m.inductance[row*m.stride+column] = s.charge[k] * m.topFlux[column]
			}
		}
	}
}

// meetSource puts the elastances between two sources, and the inductances of two
// on the top node, into m.
func (s *source) meetSource(t *source, planes *electrostatics.Planes, m *matrices) {
	modes := t.modes()
	block := resize(s.block, s.modes()*modes)
	s.block = block
	clear(block)
	s.project(t, planes, block)
	for k, row := range s.index {
		for l, column := range t.index {
			i, j := min(row, column), max(row, column) // the upper triangle
			m.elastance[i*m.stride+j] = block[k*modes+l]
			if s.attached == top && t.attached == top {
				m.inductance[i*m.stride+j] = s.charge[k] * m.topFlux[column]
			}
		}
	}
}

// project adds to block, modes of s × modes of t, the elastances between their
// rings with images; for t == s those of the images alone.
func (s *source) project(t *source, planes *electrostatics.Planes, block []float64) {
	rings, modes := len(t.radius), t.modes()
	row := resize(s.kernel, rings)
	s.kernel = row
	for i, a := range s.radius {
		h := s.height[i]
		for j, b := range t.radius {
			p := 0.0
			if s != t {
				p = electrostatics.RingPotentialUnchecked(a, b, h-t.height[j])
			}
			if planes != nil {
				p += planes.ImagePotential(a, h, b, t.height[j])
			}
			row[j] = p
		}
		for l := range modes {
			v := blas64.Dot(blas64.Vector{N: rings, Inc: 1, Data: row}, blas64.Vector{N: rings, Inc: 1, Data: t.weight[l*rings:]})
			for k := range s.modes() {
				block[k*modes+l] += s.weight[k*len(s.radius)+i] * v
			}
		}
	}
}
