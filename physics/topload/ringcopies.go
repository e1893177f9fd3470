package topload

import (
	"math"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/mat"
)

// turnCopy is another turn of the ring, or the stand-in for several.
type turnCopy struct {
	angle  float64 // rad round the ring's axis
	weight float64 // how many turns it stands for, with their mirror images
	near   bool    // met filament by filament
}

// farNodes is how many stand-ins the distant turns on one side get.
//
// In v = ln tan(α/4) the potential of a turn at the angle α is even and
// analytic in the strip |Im v| < π/2, the distance being a smooth function of
// 1/sinh v; Gauss quadrature on the turns from v1 to 0 with n nodes then errs
// by ρ^(-4n), ρ = e + √(e²+1), e = π/(2|v1|).
func farNodes(first float64) int {
	const tolerance = 1e-6
	e := math.Pi / 2 / -math.Log(math.Tan(first/4))
	if !(e > 0) {
		return 1
	}
	rho := e + math.Sqrt(e*e+1)
	return max(2, int(math.Ceil(-math.Log(tolerance)/(4*math.Log(rho)))))
}

// prepareCopies lists the turns that one turn sees, or their stand-ins. Turns
// at ±α give the same by symmetry, so the list holds 0 < α <= π with double
// weight, single at π.
//
// The list depends on the number of turns alone and is kept.
func (s *RingSolver) prepareCopies() {
	n := s.ring.Turns
	if s.copiesOf == n && s.copiesNear == s.res.Near {
		return
	}
	s.copiesOf, s.copiesNear = n, s.res.Near
	s.copies = s.copies[:0]
	step := s.ring.TurnAngle()
	weight := func(k int) float64 {
		if 2*k == n {
			return 1
		}
		return 2
	}
	for k := 1; k <= min(s.res.Near, n/2); k++ {
		s.copies = append(s.copies, turnCopy{float64(k) * step, weight(k), true})
	}
	first := s.res.Near + 1
	far := n/2 - s.res.Near
	if far <= 0 {
		return
	}
	nodes := farNodes(float64(first) * step)
	if far <= nodes+1 {
		for k := first; k <= n/2; k++ {
			s.copies = append(s.copies, turnCopy{float64(k) * step, weight(k), false})
		}
		return
	}
	x, w := s.scratch.gaussX[:0], s.scratch.gaussW[:0]
	for k := first; k <= n/2; k++ {
		v := math.Log(math.Tan(float64(k) * step / 4))
		x, w = append(x, v*v), append(w, weight(k))
	}
	s.scratch.gaussX, s.scratch.gaussW = x, w
	s.gaussForPoints(x, w, nodes, func(x, w float64) {
		s.copies = append(s.copies, turnCopy{4 * math.Atan(math.Exp(-math.Sqrt(x))), w, false})
	})
}

// gaussForPoints gives the nodes and weights of the Gauss quadrature with n
// nodes for the measure that has the weights w at the points x: it integrates
// polynomials up to degree 2n-1 as the full sum does.
//
// Stieltjes' procedure finds the recurrence of the orthogonal polynomials, and
// the eigenvalues of its Jacobi matrix are the nodes (Golub and Welsch).
func (s *RingSolver) gaussForPoints(x, w []float64, n int, node func(x, w float64)) {
	m := len(x)
	s.scratch.previous, s.scratch.current = grow(s.scratch.previous, m), grow(s.scratch.current, m)
	before, here := s.scratch.previous, s.scratch.current
	total := 0.0
	for i := range x {
		before[i] = 0
		total += w[i]
	}
	for i := range x {
		here[i] = 1 / math.Sqrt(total)
	}
	jacobi := mat.NewSymDense(n, nil)
	b := 0.0
	for k := range n {
		a := 0.0
		for i := range x {
			a += w[i] * x[i] * here[i] * here[i]
		}
		jacobi.SetSym(k, k, a)
		norm := 0.0
		for i := range x {
			next := (x[i]-a)*here[i] - b*before[i]
			before[i], here[i] = here[i], next
			norm += w[i] * next * next
		}
		b = math.Sqrt(norm)
		if k+1 < n {
			jacobi.SetSym(k, k+1, b)
		}
		for i := range here {
			here[i] /= b
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(jacobi, true) {
		panic("topload: no Gauss quadrature for the turns") // a finite symmetric matrix always has its eigenvalues
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	for k, v := range eigen.Values(nil) {
		first := vectors.At(0, k)
		node(math.Max(v, 0), total*first*first)
	}
}

// sumCopies adds up the potentials that all other turns give on the filaments
// of one: nearSum by group looking and group seen, farSum likewise for the two
// that stand for a distant turn.
func (s *RingSolver) sumCopies(odd bool) {
	clear(s.even.nearSum)
	clear(s.even.farSum)
	if odd {
		clear(s.odd.nearSum)
		clear(s.odd.farSum)
	}
	near, far := s.scratch.near[:0], s.scratch.far[:0]
	for m := range s.res.Filaments {
		radius, offset, group := s.filament(m)
		near = append(near, filament{radius, offset, group, 1 / members(group, s.res.Filaments)})
	}
	h := filamentDepth * s.ring.WireDiameter / 2
	for m := range 2 {
		far = append(far, filament{s.farRadius(m, h), 0, m, 1})
	}
	s.scratch.near, s.scratch.far = near, far
	for _, c := range s.copies {
		if c.near {
			for _, f := range near {
				s.addTurn(c, f, near, s.groups, s.even.nearSum, s.odd.nearSum, odd)
			}
			continue
		}
		for _, f := range far {
			s.addTurn(c, f, far, 2, s.even.farSum, s.odd.farSum, odd)
		}
	}
}

// filament is one circle of charge of a turn.
type filament struct {
	radius float64 // m, about the turn's axis
	offset float64 // m, from the turn's plane
	group  int     // those of a group share their strength
	share  float64 // of the group's strength
}

// farRadius returns the radius in m of the outer (0) and inner (1) of the two
// filaments that stand for a distant turn.
func (s *RingSolver) farRadius(m int, h float64) float64 {
	if m == 0 {
		return s.ring.TurnRadius() + h
	}
	return s.ring.TurnRadius() - h
}

// addTurn adds to even (and odd), groups² × Angles × orders, the potential that
// the filaments of turn c give along one looking filament.
func (s *RingSolver) addTurn(c turnCopy, looking filament, filaments []filament, groups int, even, odd []float64, withOdd bool) {
	orders, angles := s.res.Harmonics+1, s.res.Angles
	sinA, cosA := math.Sincos(c.angle)
	radius := s.ring.Radius()
	harmonics := s.scratch.harmonics
	for i := range angles {
		x, z := radius+looking.radius*s.cosine[i*orders+1], looking.radius*s.sine[i*orders+1]
		// In the frame of the other turn: its axis along y, its centre at 0.
		xt, yt := x*cosA+looking.offset*sinA-radius, looking.offset*cosA-x*sinA
		r := math.Sqrt(xt*xt + z*z)
		s.wavesHere(xt/r, z/r)
		for _, f := range filaments {
			electrostatics.RingHarmonics(harmonics, f.radius, r, yt-f.offset)
			weight := c.weight * looking.share * f.share
			at := ((looking.group*groups+f.group)*angles + i) * orders
			for j, g := range harmonics {
				even[at+j] += weight * g * s.scratch.cosHere[j]
			}
			if withOdd {
				for j, g := range harmonics {
					odd[at+j] += weight * g * s.scratch.sinHere[j]
				}
			}
		}
	}
}

// residual returns the largest error, of 1 V, of the potential of the isolated
// ring at points of the surface between those that were used, on the outer half
// of a turn, where the charge is.
func (s *RingSolver) residual() float64 {
	const alongTurn, roundWire = 3, 2
	worst := 0.0
	b := s.ring.WireDiameter / 2
	for i := range alongTurn {
		theta := math.Pi / 2 * float64(i) / (alongTurn - 1)
		for k := range roundWire {
			psi := math.Pi * (float64(k) + 0.5) / roundWire
			worst = math.Max(worst, math.Abs(s.potential(theta, s.ring.TurnRadius()+b*math.Cos(psi), b*math.Sin(psi))-1))
		}
	}
	return worst
}

// potential returns the potential in V of the isolated ring at 1 V at the angle
// theta along a turn, rho from the turn's axis and y from its plane.
func (s *RingSolver) potential(theta, rho, y float64) float64 {
	sin, cos := math.Sincos(theta)
	x, z := s.ring.Radius()+rho*cos, rho*sin
	sum := s.potentialOfTurn(0, 1, true, x, y, z)
	for _, c := range s.copies {
		// The point is off the turn's plane: both mirror images count.
		sum += s.potentialOfTurn(c.angle, c.weight/2, c.near, x, y, z)
		sum += s.potentialOfTurn(-c.angle, c.weight/2, c.near, x, y, z)
	}
	return sum
}

// potentialOfTurn returns the potential in V of one turn, or its stand-in, of
// the isolated ring.
func (s *RingSolver) potentialOfTurn(angle, weight float64, near bool, x, y, z float64) float64 {
	sinA, cosA := math.Sincos(angle)
	xt, yt := x*cosA+y*sinA-s.ring.Radius(), y*cosA-x*sinA
	r := math.Sqrt(xt*xt + z*z)
	s.wavesHere(xt/r, z/r)
	h := filamentDepth * s.ring.WireDiameter / 2
	harmonics := s.scratch.harmonics
	sum := 0.0
	if near {
		for m := range s.res.Filaments {
			rm, ym, group := s.filament(m)
			electrostatics.RingHarmonics(harmonics, rm, r, yt-ym)
			share := 1 / members(group, s.res.Filaments)
			for j, g := range harmonics {
				sum += share * s.strength.AtVec(j*s.groups+group) * g * s.scratch.cosHere[j]
			}
		}
		return weight * sum
	}
	for m := range 2 {
		electrostatics.RingHarmonics(harmonics, s.farRadius(m, h), r, yt)
		for j, g := range harmonics {
			f := 0.0
			for k := range s.groups {
				f += s.farShare(k, m) * s.strength.AtVec(j*s.groups+k)
			}
			sum += f * g * s.scratch.cosHere[j]
		}
	}
	return weight * sum
}

// wavesHere fills cosHere and sinHere with cos jθ and sin jθ.
func (s *RingSolver) wavesHere(cos, sin float64) {
	c, sn := s.scratch.cosHere, s.scratch.sinHere
	c[0], sn[0] = 1, 0
	for j := 1; j < len(c); j++ {
		c[j] = c[j-1]*cos - sn[j-1]*sin
		sn[j] = sn[j-1]*cos + c[j-1]*sin
	}
}

// farShare is what a group of filaments gives to the outer (0) or inner (1) of
// the two that stand for a distant turn: together its charge and its radial
// dipole.
func (s *RingSolver) farShare(group, m int) float64 {
	cos := s.groupCosine[group]
	if m == 1 {
		cos = -cos
	}
	return (1 + cos) / 2
}
