package driver

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Gap is a charged tank that a spark connects to the primary. The arc is a
// constant resistance, which a real one is not, and the coil's insulation holds
// whatever comes: a real top flashes over or glows before.
type Gap struct {
	Coil            Coil
	Primary         Primary
	FiringVoltage   float64 // V, on the tank when the gap fires
	TankCapacitance float64 // F
	ArcResistance   float64 // ohm
}

// Discharge is what one spark does.
type Discharge struct {
	TopPeak       float64    // V, largest top voltage of the first two beats, either sign
	PeakTime      float64    // s
	FirstNotch    float64    // s, when the primary's swing is smallest for the first time; 0: the circuits do not beat
	EnergyShare   float64    // of the tank's energy, in the coil's capacitance at the peak
	Splitting     [2]float64 // Hz, of the two modes, without losses
	TankEnergy    float64    // J
	PrimaryPeak   float64    // A
	IdealRatio    float64    // √(C1/C2), which the ratio of peak to firing voltage cannot exceed with a top-to-foot ratio of 1
	TuningRatio   float64    // the tank's frequency over the coil's
	Samples       []GapSample
	SamplePeriod  float64 // s
	SpecialCouple float64 // nearest coupling at which a tank without losses passes all its energy in one beat
}

// GapSample is one instant of a discharge.
type GapSample struct {
	Tank          float64 // V
	Primary       float64 // A
	Top           float64 // V
	Foot          float64 // A
	PrimaryEnergy float64 // J, in the tank and the primary
	CoilEnergy    float64 // J, in the coil; the rest is in the mutual field or lost
}

func (g Gap) check() error {
	return errors.Join(g.Coil.check(), g.Primary.check(), positive("the firing voltage", g.FiringVoltage, "V"),
		positive("the tank's capacitance", g.TankCapacitance, "F"), notNegative("the arc's resistance", g.ArcResistance, "ohm"))
}

// Limits of a discharge's solution.
const (
	samplesPerPeriod = 64     // of the faster mode
	beats            = 2.25   // how many beats are looked at: without losses the second can be higher
	mostSamples      = 60_000 // weaker coupling than 0.2 % is cut off: losses end the beat first
	dampingTimes     = 8      // after which e^-8 of a swing is left
)

// Solve returns the discharge of the tank through both circuits with all their
// losses. The state x = (v1, i1, v2, i2) obeys x' = A x; it is carried on by
// exp(A h), which is exact for any step, and the peak is found between two
// steps from the Taylor series.
//
// The error wraps [ErrCircuit] for a circuit that cannot be.
func (g Gap) Solve() (Discharge, error) {
	if err := g.check(); err != nil {
		return Discharge{}, err
	}
	l1, l2, c1, c2 := g.Primary.Inductance, g.Coil.Inductance, g.TankCapacitance, g.Coil.Capacitance
	r1, r2 := g.Primary.Resistance+g.ArcResistance, g.Coil.Resistance
	k := g.Primary.Coupling
	m := k * math.Sqrt(l1*l2)
	// L1 i1' + M i2' = v1 - R1 i1,  M i1' + L2 i2' = -v2 - R2 i2,
	// C1 v1' = -i1,  C2 v2' = i2.
	d := l1*l2 - m*m
	a := matrix4{
		{0, -1 / c1, 0, 0},
		{l2 / d, -l2 * r1 / d, m / d, m * r2 / d},
		{0, 0, 0, 1 / c2},
		{-m / d, m * r1 / d, -l1 / d, -l1 * r2 / d},
	}
	f1 := 1 / (2 * math.Pi * math.Sqrt(l1*c1))
	f2 := g.Coil.Frequency()
	low, high := splitting(f1, f2, k)
	out := Discharge{
		Splitting: [2]float64{low, high}, TankEnergy: c1 * g.FiringVoltage * g.FiringVoltage / 2,
		IdealRatio: math.Sqrt(c1 / c2), TuningRatio: f1 / f2, SpecialCouple: SpecialCoupling(k),
	}
	h := 1 / (samplesPerPeriod * high)
	span := beats / (high - low)
	if slowest := math.Min(l1/math.Max(r1, 1e-12), l2/r2); span > 2*dampingTimes*slowest {
		span = 2 * dampingTimes * slowest
	}
	n := min(int(span/h)+2, mostSamples)
	step := a.scaled(h).exp()
	x := [4]float64{g.FiringVoltage}
	out.SamplePeriod = h
	out.Samples = make([]GapSample, 0, n)
	best, bestIndex := 0.0, 0
	bestState := x
	for i := range n {
		out.Samples = append(out.Samples, GapSample{
			Tank: x[0], Primary: x[1], Top: x[2] * g.Coil.TopToFoot, Foot: x[3],
			PrimaryEnergy: (c1*x[0]*x[0] + l1*x[1]*x[1]) / 2,
			CoilEnergy:    (c2*x[2]*x[2] + l2*x[3]*x[3]) / 2,
		})
		out.PrimaryPeak = math.Max(out.PrimaryPeak, math.Abs(x[1]))
		if v := math.Abs(x[2]); v > best {
			best, bestIndex, bestState = v, i, x
		}
		x = step.times(x)
	}
	// The peak lies where i2 = 0, less than a step away.
	offset := a.scaled(h).zeroOfLast(bestState)
	peak := a.scaled(h * offset).exp().times(bestState)[2]
	out.TopPeak = math.Abs(peak) * g.Coil.TopToFoot
	out.PeakTime = (float64(bestIndex) + offset) * h
	out.EnergyShare = c2 * peak * peak / (c1 * g.FiringVoltage * g.FiringVoltage)
	notch, err := a.notch(g.FiringVoltage, span)
	out.FirstNotch = notch
	return out, err
}

// matrix4 is a 4×4 matrix.
type matrix4 [4][4]float64

func (a matrix4) scaled(x float64) matrix4 {
	for i := range a {
		for j := range a[i] {
			a[i][j] *= x
		}
	}
	return a
}

func (a *matrix4) times(x [4]float64) (y [4]float64) {
	for i := range a {
		y[i] = a[i][0]*x[0] + a[i][1]*x[1] + a[i][2]*x[2] + a[i][3]*x[3]
	}
	return y
}

// exp returns the exponential of a.
func (a matrix4) exp() *matrix4 {
	var e mat.Dense
	e.Exp(mat.NewDense(4, 4, []float64{
		a[0][0], a[0][1], a[0][2], a[0][3], a[1][0], a[1][1], a[1][2], a[1][3],
		a[2][0], a[2][1], a[2][2], a[2][3], a[3][0], a[3][1], a[3][2], a[3][3],
	}))
	var out matrix4
	for i := range out {
		for j := range out[i] {
			out[i][j] = e.At(i, j)
		}
	}
	return &out
}

// zeroOfLast returns the τ from -1 to 1 at which the last element of
// exp(aτ)·x passes through zero, by Newton's method; 0 if there is none.
func (a matrix4) zeroOfLast(x [4]float64) float64 {
	tau := 0.0
	for range 8 { // it doubles its digits each time
		y := a.scaled(tau).exp().times(x)
		slope := a.times(y)[3]
		if slope == 0 {
			return 0
		}
		tau -= y[3] / slope
		if !(math.Abs(tau) <= 1) {
			return 0
		}
	}
	return tau
}

// notch returns the time in s of the first minimum of the envelope of v1, from
// the modes: v1 is the real part of two turning phasors, and their sum's
// magnitude is the envelope. It is 0 if a mode does not swing.
func (a *matrix4) notch(v0, span float64) (float64, error) {
	var eigen mat.Eigen
	dense := mat.NewDense(4, 4, nil)
	// Balance by hand: volts and amperes differ by the tanks' impedances.
	scale := [4]float64{1, math.Sqrt(math.Abs(a[0][1] / a[1][0])), 1, math.Sqrt(math.Abs(a[2][3] / a[3][2]))}
	rate := math.Sqrt(math.Abs(a[0][1] * a[1][0]))
	for i := range a {
		for j := range a[i] {
			dense.Set(i, j, a[i][j]*scale[i]/scale[j]/rate)
		}
	}
	if !eigen.Factorize(dense, mat.EigenRight) {
		return 0, fmt.Errorf("%w: the modes of the two circuits were not found", ErrNotSettled)
	}
	var v mat.CDense
	eigen.VectorsTo(&v)
	values := eigen.Values(nil)
	var m [4][5]complex128
	for i := range 4 {
		for j := range 4 {
			m[i][j] = v.At(i, j)
		}
	}
	m[0][4] = complex(v0, 0)
	weights, ok := solve4(m)
	if !ok {
		return 0, nil // modes that coincide: nothing beats
	}
	var s, c []complex128
	for i, value := range values {
		if imag(value) > 0 {
			s = append(s, value*complex(rate, 0))
			c = append(c, weights[i]*v.At(0, i))
		}
	}
	if len(s) != 2 {
		return 0, nil
	}
	envelope := func(t float64) float64 {
		return -magnitude(s, c, t)
	}
	const points = 400
	before := envelope(0)
	for i := 1; i < points; i++ {
		t := span * float64(i) / points
		now := envelope(t)
		next := envelope(t + span/points)
		if now >= before && now > next {
			return highest(envelope, t-span/points, t+span/points), nil
		}
		before = now
	}
	return 0, nil
}

// SpecialCoupling returns the coupling nearest to k at which two circuits tuned
// alike and without losses pass all their energy in one beat: (m² - n²)/(m² +
// n²) with m - n odd; here m = n + 1.
//
// Source: Drude, Annalen der Physik 318 (1904), p. 512, as reviewed by McGuyer,
// PLoS ONE 9 (2014), e115397.
func SpecialCoupling(k float64) float64 {
	best := 1.0
	for n := 1; n < 1000; n++ {
		c := float64(2*n+1) / float64(2*n*n+2*n+1)
		if math.Abs(c-k) < math.Abs(best-k) {
			best = c
		}
	}
	return best
}
