package electrostatics

import (
	"math"
	"testing"
)

// harmonicByQuadrature integrates cos(jθ)/distance over the ring.
func harmonicByQuadrature(j int, a, r, z float64) float64 {
	const n = 3000 // exp(-n/20) is nothing
	sum := 0.0
	for i := range n {
		t := 2 * math.Pi * (float64(i) + 0.5) / n
		half := math.Sin(t / 2)
		sum += math.Cos(float64(j)*t) / math.Sqrt((a-r)*(a-r)+4*a*r*half*half+z*z)
	}
	return Coulomb * sum / n
}

func TestRingHarmonics(t *testing.T) {
	for _, x := range [][3]float64{
		{1, 1.05, 0.02}, {1, 0.9, 0.1}, {1, 1, 0.5}, {1, 1, 1.0}, {1, 1, 0.99}, {1, 1, 0.4}, {1, 1, 0.3}, {1, 1, 0.25}, {1, 1.2, 1.1}, {1, 0.3, 0.4}, {1, 2.5, 1}, {1, 5, 3}, {1, 0.01, 0.5}, {1, 1e-5, 2}, {1, 1e-7, 2}, {1, 0, 2},
	} {
		a, r, z := x[0], x[1], x[2]
		for _, size := range []int{1, 2, 3, 13, MaxHarmonic + 1} {
			got := make([]float64, size)
			RingHarmonics(got, a, r, z)
			for j, g := range got {
				want := harmonicByQuadrature(j, a, r, z)
				if math.Abs(g-want) > 1e-9*got[0] {
					t.Errorf("RingHarmonics%v[%d] of %d = %.12g V/C, want %.12g V/C, off by %.1e of the first (trapezoidal rule, this file)", x, j, size, g, want, (g-want)/got[0])
				}
			}
		}
	}
}

// TestRingHarmonicsLog takes the logarithm off near the ring and finds the
// limit that RingHarmonicsSelf states.
func TestRingHarmonicsLog(t *testing.T) {
	const a, b, q = 1.0, 0.1, 1e-6
	phi, log := make([]float64, 13), make([]float64, 13)
	RingHarmonics(phi, a, a+q, 0)
	RingHarmonicsLog(log, a, a+q, 0)
	for j := range phi {
		got, want := phi[j]+log[j]*2*math.Log(q/b), RingHarmonicsSelf(j, a, b)
		if math.Abs(got-want) > 1e-4*math.Abs(phi[j]) {
			t.Errorf("harmonic %d without its logarithm: %.8g V/C, want %.8g V/C", j, got, want)
		}
	}
	// Away from the ring the factor is the even solution of the same
	// recurrence; its integral form is P = (1/π) ∫ (χ + √(χ²-1) cos t)^(j-1/2) dt
	// (Laplace, DLMF 14.12.7).
	RingHarmonicsLog(log, 1, 1.3, 0.4)
	chi := (1 + 1.69 + 0.16) / 2.6
	for j := range log {
		const n = 400
		sum := 0.0
		for i := range n {
			sum += math.Pow(chi+math.Sqrt(chi*chi-1)*math.Cos(math.Pi*(float64(i)+0.5)/n), float64(j)-0.5)
		}
		want := Coulomb / (2 * math.Pi * math.Sqrt(1.3)) * sum / n
		if math.Abs(log[j]-want) > 1e-12*want {
			t.Errorf("RingHarmonicsLog[%d] = %.14g V/C, want %.14g V/C (Laplace's integral)", j, log[j], want)
		}
	}
}

func BenchmarkRingHarmonics(b *testing.B) {
	for _, bench := range []struct {
		name string
		r, z float64
	}{{"near", 1.05, 0.2}, {"away", 1.5, 1.5}} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			dst := make([]float64, 11)
			for b.Loop() {
				RingHarmonics(dst, 1, bench.r, bench.z)
			}
		})
	}
}
