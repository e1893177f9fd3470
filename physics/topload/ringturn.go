package topload

import (
	"fmt"
	"math"

	"coilwright/physics/electrostatics"
)

// kressWeights returns n/2π times Kress's weights for the kernel
// ln(4 sin²((t-s)/2)) on n = 2m equidistant points, by distance of the indices,
//
//	R_k = -(2π/m) Σ_(l=1..m-1) cos(klπ/m)/l - (π/m²) (-1)^k.
func kressWeights(n int) []float64 {
	m := n / 2
	w := make([]float64, n)
	for k := range w {
		sum := 0.0
		for l := 1; l < m; l++ {
			sum += math.Cos(float64(k*l)*math.Pi/float64(m)) / float64(l)
		}
		last := 1.0
		if k%2 == 1 {
			last = -1
		}
		r := -2*math.Pi/float64(m)*sum - math.Pi/float64(m*m)*last
		w[k] = float64(n) / (2 * math.Pi) * r
	}
	return w
}

// prepareTurn fills influence and self for the ring's own turn.
func (s *RingSolver) prepareTurn() error {
	orders, parts, groups, n := s.res.Harmonics+1, s.surfaceParts, s.groups, s.res.Surface
	b, rt := s.ring.WireDiameter/2, s.ring.TurnRadius()
	kernel, filaments := s.scratch.kernel, s.scratch.fromFilament
	clear(kernel)
	clear(filaments)
	for i := range parts {
		sinI, cosI := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ri, yi := rt+b*cosI, b*sinI
		for l := range n {
			part := min(l, n-l)
			share := 1 / members(part, n)
			sinL, cosL := math.Sincos(2 * math.Pi * float64(l) / float64(n))
			rl, yl := rt+b*cosL, b*sinL
			if l == i {
				electrostatics.RingHarmonicsLog(s.scratch.log, rl, rl, 0)
				for j := range orders {
					// q² = b² 4 sin²(Δψ/2): the quadrature's own logarithm.
					value := electrostatics.RingHarmonicsSelf(j, rl, b) - s.kress[0]*s.scratch.log[j]
					kernel[(j*parts+i)*parts+part] += share * value
				}
				continue
			}
			electrostatics.RingHarmonics(s.scratch.harmonics, rl, ri, yi-yl)
			electrostatics.RingHarmonicsLog(s.scratch.log, rl, ri, yi-yl)
			half := math.Sin(math.Pi * float64(i-l) / float64(n))
			correction := s.kress[(i-l+n)%n] - math.Log(4*half*half)
			for j := range orders {
				value := s.scratch.harmonics[j] - correction*s.scratch.log[j]
				kernel[(j*parts+i)*parts+part] += share * value
			}
		}
		for m := range s.res.Filaments {
			rm, ym, group := s.filament(m)
			share := 1 / members(group, s.res.Filaments)
			electrostatics.RingHarmonics(s.scratch.harmonics, rm, ri, yi-ym)
			for j := range orders {
				filaments[(j*parts+i)*groups+group] += share * s.scratch.harmonics[j]
			}
		}
	}
	right, solved := s.scratch.right, s.scratch.solved
	for j := range orders {
		for i := range parts {
			for l := i; l < parts; l++ {
				a, c := kernel[(j*parts+i)*parts+l], kernel[(j*parts+l)*parts+i]
				s.scratch.block.SetSym(i, l, (a+c)/2) // equal but for rounding
			}
			for m := range groups {
				right.Set(i, m, filaments[(j*parts+i)*groups+m])
			}
		}
		solved.Copy(right)
		if !s.scratch.chol.factorize(s.scratch.block) {
			return fmt.Errorf("%w: surface of one turn, order %d", ErrSolve, j)
		}
		s.scratch.chol.solve(solved)
		for i := range parts {
			for m := range groups {
				s.influence[(j*parts+i)*groups+m] = solved.At(i, m)
			}
		}
		for m := range groups {
			for k := range groups {
				sum := 0.0
				for i := range parts {
					sum += right.At(i, m) * solved.At(i, k)
				}
				s.self[(j*groups+m)*groups+k] = sum
			}
		}
	}
	return nil
}
