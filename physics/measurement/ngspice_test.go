package measurement

import (
	"bufio"
	"cmp"
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The circuits of testdata/ngspice; make.sh beside them made the results with
// ngspice, which shares nothing with the closed forms here.
const (
	coilInductance    = 1e-3   // H
	coilCapacitance   = 15e-12 // F
	coilResistance    = 54.43  // Ω
	otherInductance   = 2e-6   // H
	otherCapacitance  = 7.4e-9 // F
	otherResistance   = 0.15   // Ω
	beatingCoupling   = 0.1    // k
	loopInductance    = 1e-6   // H
	loopResistance    = 0.8    // Ω
	loopCoupling      = 0.05   // k
	loopReference     = 50     // Ω
	ngspiceTolerance  = 3e-6   // relative, of frequencies: ω²h²/12 of the trapezoidal rule at 0.25 ns is 3.5e-7, the step between printed digits of time 1e-7
	ngspiceToleranceQ = 2e-4   // relative, of quality factors: linear interpolation between steps and seven printed digits
)

func open(t *testing.T, name string) *bufio.Reader {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "ngspice", name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return bufio.NewReader(f)
}

func TestValidationNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("results of a reference program")
	}
	near := func(what string, got *Estimate, want, tol float64) {
		t.Helper()
		if got == nil || math.Abs(got.Value/want-1) > tol {
			t.Errorf("%s %v, want %g", what, got, want)
		}
	}
	omega0 := 1 / math.Sqrt(coilInductance*coilCapacitance)
	f0 := omega0 / (2 * math.Pi)
	q0 := omega0 * coilInductance / coilResistance

	r, err := ReadRecord(context.Background(), open(t, "ringdown.csv"), ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	down := fitted(t, r)
	near("ring-down: frequency", down.Frequency, f0, ngspiceTolerance)
	near("ring-down: quality factor", down.QualityFactor, q0, ngspiceToleranceQ)
	if len(down.OtherFrequencies) > 0 || !down.Message.Empty() {
		t.Errorf("ring-down: %+v", down.Fit)
	}

	r, err = ReadRecord(context.Background(), open(t, "beating.csv"), ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	pair := fitted(t, r)
	f, q := coupledModes(t)
	near("beating: frequency", pair.Frequency, f[0], ngspiceTolerance)
	near("beating: quality factor", pair.QualityFactor, q[0], ngspiceToleranceQ)
	if len(pair.OtherFrequencies) != 1 || math.Abs(pair.OtherFrequencies[0]/f[1]-1) > ngspiceTolerance {
		t.Errorf("beating: other frequencies %v, want %g", pair.OtherFrequencies, f[1])
	}

	reflection, err := ReadTouchstone(open(t, "loop.s1p"))
	if err != nil {
		t.Fatal(err)
	}
	mutual := loopCoupling * math.Sqrt(loopInductance*coilInductance)
	rho := complex(omega0*mutual*omega0*mutual/coilResistance, 0) / complex(loopReference+loopResistance, omega0*loopInductance)
	circle := FitReflection(reflection, Range{})
	near("loop: frequency", circle.Frequency, f0, 1e-7) // nine printed digits of Γ
	near("loop: unloaded quality factor", circle.QualityFactor, q0, 1e-5)
	near("loop: coupling coefficient", circle.Coupling, real(rho), 1e-5)

	response, err := ReadSweep(context.Background(), open(t, "level.csv"), ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// The coil's voltage peaks where the loop has pulled the coil, with the
	// loaded quality factor. On the capacitor, ω₀/ω of the current's, the peak
	// is no exact resonance curve: over ±10 % it tilts by as much.
	half := -imag(rho) / (2 * q0)
	peak := FitSweep(response, Range{})
	near("level: frequency", peak.Frequency, f0*(half+math.Sqrt(1+half*half)), 1e-5)
	near("level: loaded quality factor", peak.QualityFactor, q0/(1+real(rho)), 1e-3)
}

// coupledModes returns the undamped frequencies in Hz and quality factors of
// the two coupled resonators, the lower one first: with currents i and voltages
// v, L di/dt = −Ri − v and C dv/dt = i.
func coupledModes(t *testing.T) (frequencies, qualities []float64) {
	t.Helper()
	m := beatingCoupling * math.Sqrt(coilInductance*otherInductance)
	var inverse mat.Dense
	if err := inverse.Inverse(mat.NewDense(2, 2, []float64{coilInductance, m, m, otherInductance})); err != nil {
		t.Fatal(err)
	}
	resistance := []float64{coilResistance, otherResistance}
	a := mat.NewDense(4, 4, nil)
	for i := range 2 {
		for j := range 2 {
			a.Set(i, j, -inverse.At(i, j)*resistance[j])
			a.Set(i, 2+j, -inverse.At(i, j))
		}
	}
	a.Set(2, 0, 1/coilCapacitance)
	a.Set(3, 1, 1/otherCapacitance)
	var eigen mat.Eigen
	if !eigen.Factorize(a, mat.EigenNone) {
		t.Fatal("no eigenvalues")
	}
	type mode struct{ f, q float64 }
	var modes []mode
	for _, s := range eigen.Values(nil) {
		if imag(s) > 0 {
			omega0 := math.Hypot(real(s), imag(s))
			modes = append(modes, mode{omega0 / (2 * math.Pi), -omega0 / (2 * real(s))})
		}
	}
	slices.SortFunc(modes, func(a, b mode) int { return cmp.Compare(a.f, b.f) })
	for _, m := range modes {
		frequencies = append(frequencies, m.f)
		qualities = append(qualities, m.q)
	}
	return frequencies, qualities
}
