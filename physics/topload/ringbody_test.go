package topload

import (
	"math"
	"testing"

	"coilwright/physics/electrostatics"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
)

// wholeAnswer returns, for the ring held at zero in the potential of a charged
// coaxial ring of radius a at height h, the charge induced on it and twice the
// energy gained, without reducing it to modes.
func wholeAnswer(t *testing.T, s *RingSolver, r Ring, a, h float64) (charge, energy float64) {
	t.Helper()
	if err := s.prepare(r, true); err != nil {
		t.Fatal(err)
	}
	for _, y := range []*system{&s.even, &s.odd} {
		size := (s.res.Harmonics + 1 - y.first) * s.groups
		e, x := mat.NewVecDense(size, nil), mat.NewVecDense(size, nil)
		const n = 400
		for m := range s.res.Filaments {
			rho, offset, group := s.filament(m)
			for i := range n {
				theta := 2 * math.Pi * (float64(i) + 0.5) / n
				phi := electrostatics.RingPotentialUnchecked(a, math.Hypot(r.Radius()+rho*math.Cos(theta), offset), rho*math.Sin(theta)-h)
				for j := y.first; j <= s.res.Harmonics; j++ {
					wave := math.Cos(float64(j) * theta)
					if y.first == 1 {
						wave = math.Sin(float64(j) * theta)
					}
					row := (j-y.first)*s.groups + group
					e.SetVec(row, e.AtVec(row)+phi*wave/n/members(group, s.res.Filaments))
				}
			}
		}
		x.CopyVec(e)
		y.chol.solveVec(x)
		energy += float64(r.Turns) * mat.Dot(e, x)
		if y.first == 0 {
			for g := range s.groups {
				charge -= float64(r.Turns) * x.AtVec(g)
			}
		}
	}
	return charge, energy
}

func TestRingBody(t *testing.T) {
	var body Body
	var solver RingSolver
	fine := RingSolver{Resolution: Fine}
	for _, i := range []int{0, 3, 9, 12} {
		r := ringCases(t, "wire_ring_capacitance")[i].Ring
		isolated, err := solver.Body(&body, r)
		if err != nil {
			t.Fatal(err)
		}
		checkBody(t, &body, isolated.Capacitance)
		gradient, point := body.PeakGradient(append([]float64{isolated.Capacitance}, make([]float64, body.Modes()-1)...))
		if !scalar.EqualWithinRel(gradient, isolated.PeakGradient, 0.02) {
			t.Errorf("%+v: alone at 1 V the peak is %.5g V/m at point %d, want %.5g V/m", r, gradient, point, isolated.PeakGradient)
		}
		// The mouth of a winding under the ring: 2/3 of its radius wide, half
		// a tube radius to three below its lowest point; and a wide primary.
		_, tube := r.SmoothRadii()
		for _, place := range [][2]float64{{0.67 * r.Radius(), -1.5 * tube}, {0.67 * r.Radius(), -4 * tube}, {1.2 * r.Radius(), -2 * tube}, {2 * r.Radius(), -6 * tube}} {
			a, h := place[0], place[1]
			wantCharge, wantEnergy := wholeAnswer(t, &fine, r, a, h)
			charge, energy := bodyAnswer(&body, a, h)
			if !scalar.EqualWithinRel(charge, wantCharge, 1e-3) || !scalar.EqualWithinRel(energy, wantEnergy, 5e-3) {
				t.Errorf("%d turns, charge at %.1f mm, %.1f mm: induced %.6g C, energy %.6g J; without reduction %.6g C, %.6g J", r.Turns, a*1e3, h*1e3, charge, energy, wantCharge, wantEnergy)
			}
			t.Logf("%d turns, charge at %.1f mm, %.1f mm: off %.1e, %.1e", r.Turns, a*1e3, h*1e3, charge/wantCharge-1, energy/wantEnergy-1)
		}
	}
}

// bodyAnswer is wholeAnswer by the body's modes.
func bodyAnswer(b *Body, a, h float64) (charge, energy float64) {
	moment := make([]float64, b.Modes())
	b.Potential(moment, a, h) // reciprocity: the work of the ring's potential on each mode
	for i, m := range moment {
		amplitude := -m / b.Elastance[i*b.Modes()+i]
		charge += amplitude * b.Charge[i]
		energy -= amplitude * m
	}
	return charge, energy
}

// checkBody holds what every body promises: a diagonal elastance, one mode
// with charge, rings that carry it.
func checkBody(t *testing.T, b *Body, capacitance float64) {
	t.Helper()
	n, m := b.Modes(), len(b.Radius)
	if !scalar.EqualWithinRel(b.Capacitance(), capacitance, 1e-12) {
		t.Errorf("capacitance of the body %.12g F, want %.12g F", b.Capacitance(), capacitance)
	}
	for i := range n {
		sum := 0.0
		for _, w := range b.Weight[i*m : (i+1)*m] {
			sum += w
		}
		if math.Abs(sum-b.Charge[i]) > 1e-6 {
			t.Errorf("rings of mode %d carry %.9f C, want %g C", i, sum, b.Charge[i])
		}
		for j := range n {
			if i != j && b.Elastance[i*n+j] != 0 || i == j && !(b.Elastance[i*n+i] > 0) {
				t.Errorf("elastance %d, %d is %g V/C", i, j, b.Elastance[i*n+j])
			}
		}
	}
}

func BenchmarkRingBody(b *testing.B) {
	b.ReportAllocs()
	var solver RingSolver
	var body Body
	r := ringCases(b, "wire_ring_capacitance")[3].Ring
	for b.Loop() {
		if _, err := solver.Body(&body, r); err != nil {
			b.Fatal(err)
		}
	}
}
