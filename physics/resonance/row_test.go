package resonance

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/electrostatics"
)

// periodicRow solves the row another way: line charges inside one wire, each of
// them repeated along the row, φ = -½ ln(4 sin²(πx/p) + 4 sinh²(πy/p)) in units of
// λ/2πε₀, matched at points of the wire's surface. It returns the polarisabilities in
// units of 2πε₀p², and the mean potential less that of uniform charges.
func periodicRow(t *testing.T, ratio float64) (axial, radial, shift float64) {
	t.Helper()
	// Between the images of the neighbours and the surface; as many points as
	// make the harmonics beyond them e^-18.
	inner := math.Max(ratio/2, (ratio*ratio/(1-ratio)+ratio)/2)
	points := int(2 * 18 / math.Log(ratio/inner))
	logSine := func(z complex128) float64 { return -math.Log(2 * cmplx.Abs(cmplx.Sin(math.Pi*z))) }
	on := func(i int, rho, turn float64) complex128 {
		return cmplx.Rect(rho, 2*math.Pi*(float64(i)+turn)/float64(points))
	}
	// Unknowns: charges and the potential of the wire; last row: total charge.
	a := mat.NewDense(points+1, points+1, nil)
	right := mat.NewDense(points+1, 3, nil)
	for i := range points {
		at := on(i, ratio, 0)
		for j := range points {
			a.Set(i, j, logSine(at-on(j, inner, 0)))
			a.Set(points, j, 1)
		}
		a.Set(i, points, -1)
		right.Set(i, 0, real(at)) // the potential -Ex of a field along the row, taken off
		right.Set(i, 1, imag(at))
	}
	right.Set(points, 2, 1)
	var x mat.Dense
	if err := x.Solve(a, right); err != nil {
		t.Fatal(err)
	}
	for j := range points {
		axial += x.At(j, 0) * real(on(j, inner, 0))
		radial += x.At(j, 1) * imag(on(j, inner, 0))
	}
	// Uniform charges on the wires: mean of the potential over the surface,
	// -ln b from the wire itself and Σ_(j≠0) -ln|jp|, which is -ln 2π here.
	uniform := -math.Log(2 * math.Pi * ratio)
	return axial, radial, x.At(points, 2) - uniform
}

func TestRow(t *testing.T) {
	var r row
	for _, ratio := range []float64{0.02, 0.2, 0.35, 0.43, 0.47, 0.485} {
		if err := r.solve(section{wire: ratio}); err != nil {
			t.Fatal(err)
		}
		axial, radial, shift := periodicRow(t, ratio)
		const tol = 1e-6 // of the line charges, matched at points
		within(t, "axial polarisability", r.axial, axial, tol, "periodic line charges, this file")
		within(t, "radial polarisability", r.radial, radial, tol, "periodic line charges, this file")
		if math.Abs(r.shift-shift) > 1e-6 {
			t.Errorf("ratio %g: shift %g, want %g (periodic line charges)", ratio, r.shift, shift)
		}
	}
	// Loose rows: a wire alone, b² in units of 2πε₀p².
	if err := r.solve(section{wire: 0.001}); err != nil {
		t.Fatal(err)
	}
	within(t, "wire alone", r.axial, 1e-6, 1e-5, "Jackson, Classical Electrodynamics, section 2: 2πε₀b²")
}

func TestSelfField(t *testing.T) {
	// Half the sum of the fields on the outer and inner side of the wire: the
	// logarithmic parts cancel.
	const a, b = 0.03, 1e-5
	outside, _ := electrostatics.RingGradientUnchecked(a, a+b, 0)
	inside, _ := electrostatics.RingGradientUnchecked(a, a-b, 0)
	// The cosine part of φ on the surface is b (1 - ln(8a/b))/2a; its derivative
	// has the part 1/2a of the logarithm besides.
	want := -(outside+inside)/2 + electrostatics.Coulomb/(2*math.Pi*a*a)
	within(t, "own field", selfField(a, b), want, 1e-3, "difference of the ring's field across the wire")
	within(t, "own elastance", selfElastance(a, b), electrostatics.RingPotentialUnchecked(a, a, b), 1e-5, "ring potential at the wire's surface")
}
