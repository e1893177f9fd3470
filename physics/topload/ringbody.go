package topload

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Body sets dst to the ring as a body of a coil's system, see [Body], and
// returns the isolated ring at 1 V. Slices of dst are used again.
//
// The modes are the charges that answer the potentials 1, Re ζ^j and Im ζ^j,
// ζ = (r - R + iz)/rt, of degree up to ringDegree: the turns see the coil's
// field as smooth, and everything finer follows.
func (s *RingSolver) Body(dst *Body, r Ring) (RingSolution, error) {
	if err := s.prepare(r, true); err != nil {
		return RingSolution{}, err
	}
	isolated := s.solveIsolated()
	degree := min(ringDegree, s.res.Harmonics)
	dst.resize(1+2*degree, 2*ringBodyAngles, ringBodyAngles*s.bodyParts())
	s.placeBody(dst)
	if err := s.addModes(dst, &s.even, 0, isolated.Capacitance); err != nil {
		return RingSolution{}, err
	}
	if err := s.addModes(dst, &s.odd, degree+1, isolated.Capacitance); err != nil {
		return RingSolution{}, err
	}
	clear(dst.Charge)
	dst.Charge[0] = 1
	_, tube := r.SmoothRadii()
	dst.Curvature, dst.Top, dst.Outer = r.WireDiameter/2, tube, r.OuterDiameter()/2
	dst.Residual, dst.Condition = isolated.Residual, isolated.Condition
	return isolated, nil
}

const (
	// ringDegree is the degree of the potentials that a ring answers. A ring of
	// charge at the mouth of a winding close under it induces its net charge
	// within 1e-4 of the answer without reduction (a test).
	ringDegree = 5

	// ringBodyAngles is how many coaxial rings stand for the wires on each of
	// two circles round the turn: twice the highest order and more, since the
	// echo of order n - j falls as the n-th power of rt over the distance.
	ringBodyAngles = 24
)

// bodyParts is how many surface parts round the wire a body's points take: the
// outer quarter on one side, where the gradient is largest.
func (s *RingSolver) bodyParts() int { return s.res.Surface/4 + 1 }

// bodyAngle returns the k-th angle along a turn of the body's rings and points.
func bodyAngle(k int) float64 { return 2 * math.Pi * (float64(k) + 0.5) / ringBodyAngles }

// placeBody sets where the body's rings and points are.
func (s *RingSolver) placeBody(dst *Body) {
	radius, b := s.ring.Radius(), s.ring.WireDiameter/2
	for k := range ringBodyAngles {
		sin, cos := math.Sincos(bodyAngle(k))
		for m := range 2 {
			rho := s.farRadius(m, filamentDepth*b)
			dst.Radius[2*k+m], dst.Height[2*k+m] = radius+rho*cos, rho*sin
		}
		for p := range s.bodyParts() {
			rho := s.ring.TurnRadius() + b*s.round[p*s.groups+1]
			at := k*s.bodyParts() + p
			dst.PointRadius[at], dst.PointHeight[at] = radius+rho*cos, rho*sin
		}
	}
}

// addModes fills the modes of the body, from the given one on, with those of one
// symmetry class: T = P⁻¹F for the moments F of the potentials, made
// orthogonal in energy in their order and scaled to the elastance 1/C.
func (s *RingSolver) addModes(dst *Body, y *system, from int, capacitance float64) error {
	f, t := y.moments, y.modes
	size, count := f.Dims()
	s.fillMoments(f, y.first)
	t.Copy(f)
	y.chol.solve(t)
	if err := orthogonalise(f, t); err != nil {
		return err
	}
	turns := float64(s.ring.Turns)
	strength := s.scratch.mode // long enough for both classes
	for i := range count {
		mode, n := from+i, dst.Modes()
		dst.Elastance[mode*n+mode] = 1 / capacitance
		strength.Zero()
		for k := range size {
			strength.SetVec(k, t.At(k, i)/math.Sqrt(turns*capacitance))
		}
		s.fillMode(dst, mode, strength, y.first)
	}
	return nil
}

// fillMoments sets column j of f to the moments on the filaments of the
// potential Re ζ^j (even class) or Im ζ^(j+1) (odd class).
func (s *RingSolver) fillMoments(f *mat.Dense, first int) {
	f.Zero()
	orders, angles := s.res.Harmonics+1, s.res.Angles
	_, count := f.Dims()
	wave := s.cosine
	if first == 1 {
		wave = s.sine
	}
	radius, rt := s.ring.Radius(), s.ring.TurnRadius()
	for _, fil := range s.scratch.near {
		for i := range angles {
			x, z := radius+fil.radius*s.cosine[i*orders+1], fil.radius*s.sine[i*orders+1]
			zeta := complex((math.Hypot(x, fil.offset)-radius)/rt, z/rt)
			power := complex(1, 0)
			if first == 1 {
				power = zeta
			}
			for c := range count {
				u := real(power)
				if first == 1 {
					u = imag(power)
				}
				for j := first; j < orders; j++ {
					row := (j-first)*s.groups + fil.group
					f.Set(row, c, f.At(row, c)+fil.share*u*wave[i*orders+j]/float64(angles))
				}
				power *= zeta
			}
		}
	}
}

// fillMode sets the rings and the points of one mode.
func (s *RingSolver) fillMode(dst *Body, mode int, strength *mat.VecDense, first int) {
	rings, points, parts, orders := len(dst.Radius), len(dst.PointRadius), s.bodyParts(), s.res.Harmonics+1
	s.surfaceWaves(s.scratch.waves, strength, first)
	// Per order: charge on the two circles, gradient at the parts of the wire.
	s.scratch.onCircles = grow(s.scratch.onCircles, 2*orders)
	s.scratch.atParts = grow(s.scratch.atParts, parts*orders)
	onCircles, atParts := s.scratch.onCircles, s.scratch.atParts
	clear(onCircles)
	clear(atParts)
	turns := float64(s.ring.Turns)
	for j := first; j < orders; j++ {
		for g := range s.groups {
			f := turns * strength.AtVec((j-first)*s.groups+g) / ringBodyAngles
			for m := range 2 {
				onCircles[m*orders+j] += s.farShare(g, m) * f
			}
			for p := range parts {
				atParts[p*orders+j] += s.scratch.waves[j*s.groups+g] * s.round[p*s.groups+g]
			}
		}
	}
	for k := range ringBodyAngles {
		sin, cos := math.Sincos(bodyAngle(k))
		s.wavesHere(cos, sin)
		wave := s.scratch.cosHere
		if first == 1 {
			wave = s.scratch.sinHere
		}
		for m := range 2 {
			dst.Weight[mode*rings+2*k+m] = dot(onCircles[m*orders:(m+1)*orders], wave)
		}
		for p := range parts {
			dst.PointGradient[mode*points+k*parts+p] = dot(atParts[p*orders:(p+1)*orders], wave)
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
