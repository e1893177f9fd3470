package electrostatics

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
)

// besselI and besselK are the modified functions of orders 0 and 1, by the
// trapezoidal rule on DLMF 10.32.3 and 10.32.9.
func besselI(n int, x float64) float64 {
	const steps = 60
	sum := 0.0
	for i := range steps {
		theta := math.Pi * (float64(i) + 0.5) / steps
		sum += math.Exp(x*math.Cos(theta)) * math.Cos(float64(n)*theta)
	}
	return sum / steps
}

func besselK(n int, x float64) float64 {
	const step = 0.05
	sum := math.Exp(-x) / 2
	for t := step; x*math.Cosh(t) < 700; t += step {
		sum += math.Exp(-x*math.Cosh(t)) * math.Cosh(float64(n)*t)
	}
	return sum * step
}

// tubeResponse returns R(k) of a long tube or rod: the field I₀(kr) cos kz from
// outside is answered by -R K₀(kr) cos kz. It follows from equal potentials and equal εE
// on both sides of either surface.
func tubeResponse(k, inner, outer, permittivity float64) float64 {
	i0, i1, k0, k1 := besselI(0, k*outer), besselI(1, k*outer), besselK(0, k*outer), besselK(1, k*outer)
	g := 0.0 // I₀ + g K₀ in the wall
	if inner > 0 {
		j0, j1, l0, l1 := besselI(0, k*inner), besselI(1, k*inner), besselK(0, k*inner), besselK(1, k*inner)
		g = (permittivity - 1) * j0 * j1 / (l0*j1 + permittivity*l1*j0)
	}
	p, f := i0+g*k0, permittivity*(i1-g*k1)
	return (f*i0 - p*i1) / (f*k0 + p*k1)
}

// sheetCharge returns the charge in C on the nodes of the sheet, the density being a
// function of height.
func sheetCharge(b *Bound, density func(z float64) float64) []float64 {
	charge := make([]float64, b.OnSheet)
	for i := range charge {
		p := b.sheet[i/tubeOrder]
		charge[i] = p.length * tubeWeights[i%tubeOrder] * density(p.z+tubePlaces[i%tubeOrder]*p.dz)
	}
	return charge
}

// drawn returns the bound charge by node, with that laid upon the surface, and the
// energy in J C/C that it has with the sheet's charge beyond that of the sheet's image,
// -κ as far behind the surface.
func drawn(t *testing.T, b *Bound, permittivity float64, charge []float64) (bound []float64, energy float64) {
	t.Helper()
	if err := b.Factorize(permittivity); err != nil {
		t.Fatal(err)
	}
	kappa := (permittivity - 1) / (permittivity + 1)
	bound = make([]float64, b.Nodes())
	for i := range bound {
		for k, q := range charge {
			bound[i] += b.Flux[i*b.OnSheet+k] * q
		}
	}
	b.Conserve(bound, 1, 1)
	for i := range bound {
		for k, q := range charge {
			bound[i] -= kappa * q * b.LaidFlux[i*b.OnSheet+k]
		}
	}
	for k, q := range charge {
		bound[b.Behind(k)] += q / 2
	}
	b.Solve(bound, 1, 1)
	for i, q := range bound {
		for k, free := range charge {
			energy += q * free * b.Potential[i*b.OnSheet+k]
		}
	}
	for i, q := range charge {
		for k, free := range charge {
			energy -= kappa * q * free * b.Laid[i*b.OnSheet+k]
		}
		bound[b.Behind(i)] -= kappa * q
	}
	return bound, energy
}

// fourier returns 1/2π²ε₀ ∫ f(k) (sin(kl/2)/(kl/2))² dk.
func fourier(length float64, f func(k float64) float64) float64 {
	const steps, end = 800, 6000.0
	sum := 0.0
	for i := range steps { // k as a cube crowds toward the logarithm at 0
		u := (float64(i) + 0.5) / steps
		k := end * u * u * u
		x := k * length / 2
		s := math.Sin(x) / x
		sum += f(k) * s * s * 3 * end * u * u / steps
	}
	return 2 * Coulomb / math.Pi * sum
}

// TestValidationBoundLongTube puts an even sheet of charge round a long tube or rod. A mean
// potential of ∫ -R K₀(ka)² is what the bound charge gives it, and of
// -κ ∫ I₀(k(2b-a)) K₀(ka) the image, b being the radius of the surface.
func TestValidationBoundLongTube(t *testing.T) {
	if testing.Short() {
		t.Skip("a second of boundary elements")
	}
	const outer, length, half = 0.01, 0.03, 0.45
	for _, test := range []struct{ inner, radius, permittivity float64 }{
		{0, 0.0105, 2.55},
		{0.005, 0.0101, 6},
		{0.0085, 0.0101, 1.1},
		{0.0097, 0.0105, 2.55},
	} {
		e := test.permittivity
		kappa := (e - 1) / (e + 1)
		image := kappa * fourier(length, func(k float64) float64 {
			return besselI(0, k*(2*outer-test.radius)) * besselK(0, k*test.radius)
		})
		want := -fourier(length, func(k float64) float64 {
			k0 := besselK(0, k*test.radius)
			return tubeResponse(k, test.inner, outer, e) * k0 * k0
		})
		var b Bound
		if err := b.Build(Tube{test.inner, outer, -half, half}, Sheet{test.radius, -length / 2, length / 2}, nil, 0.4); err != nil {
			t.Fatal(err)
		}
		_, energy := drawn(t, &b, e, sheetCharge(&b, func(float64) float64 { return 1 / length }))
		if got := energy - image; !scalar.EqualWithinRel(got, want, 1e-3) {
			t.Errorf("%+v: %g V/C, want %g V/C (Fourier integral)", test, got, want)
		}
	}
}

// TestBoundRefinement holds what the usual panels cost, on a charge that grows toward
// one end, and that the error falls as they shrink.
func TestBoundRefinement(t *testing.T) {
	floor, err := NewPlanes(-0.08, math.Inf(1), 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ inner, outer, length, radius, permittivity float64 }{
		{0.011, 0.0125, 0.1, 0.01265, 2.55},
		{0, 0.0125, 0.1, 0.01265, 2.55},
		{0.011, 0.0125, 0.02, 0.013, 2.55},
		{0.0122, 0.0125, 0.1, 0.01265, 2.55},
		{0.011, 0.0125, 0.1, 0.01265, 8},
		{0.011, 0.0125, 0.1, 0.01265, 1000},
		{0.037, 0.04, 0.1, 0.0405, 3},
	} {
		half := test.length / 2
		energy := func(fine float64) float64 {
			var b Bound
			if err := b.Build(Tube{test.inner, test.outer, -half - 0.01, half + 0.01}, Sheet{test.radius, -half, half}, floor, fine); err != nil {
				t.Fatal(err)
			}
			_, e := drawn(t, &b, test.permittivity, sheetCharge(&b, func(z float64) float64 {
				x := z / half
				return (1 + x) * (1 + 2*math.Pow(x, 8)) / test.length
			}))
			return e
		}
		best, usual, finer := energy(0.25), energy(1), energy(0.5)
		// Half the panels have an error at least four times less, down to where
		// lengths that are rounded to whole panels show.
		coarse := math.Abs(usual/best - 1)
		most := 1e-3
		if test.permittivity > 100 {
			most = 5e-3 // a fourth of a percent of the frequency
		}
		if coarse > most || math.Abs(finer/best-1) > math.Max(coarse/4, 5e-4) {
			t.Errorf("%+v: usual panels off by %.2g, half of them by %.2g", test, usual/best-1, finer/best-1)
		}
	}
}

// TestBoundConductor: a rod of permittivity 1000 is nearly a conductor without net
// charge, which [System] knows.
func TestBoundConductor(t *testing.T) {
	const outer, half, radius, length, rings = 0.01, 0.025, 0.0104, 0.03, 240
	s, err := NewSystem([]Conductor{{Line(0, -half, outer, -half), Line(outer, -half, outer, half), Line(outer, half, 0, half)}}, nil, DefaultRefinement)
	if err != nil {
		t.Fatal(err)
	}
	density := func(z float64) float64 { return (1 + 2*z/length) / length }
	height := func(i int) float64 { return length * ((float64(i)+0.5)/rings - 0.5) }
	v := mat.NewDense(s.Nodes(), 2, nil)
	for i := range s.Nodes() {
		r, z, _ := s.Node(i)
		for j := range rings {
			v.Set(i, 0, v.At(i, 0)-density(height(j))*length/rings*RingPotentialUnchecked(radius, r, z-height(j)))
		}
		v.Set(i, 1, 1)
	}
	if err := s.SolveMany(v); err != nil {
		t.Fatal(err)
	}
	net, capacitance := 0.0, 0.0
	for i := range s.Nodes() {
		net, capacitance = net+v.At(i, 0), capacitance+v.At(i, 1)
	}
	want := 0.0
	charge := make([]float64, s.Nodes())
	for i := range charge {
		charge[i] = v.At(i, 0) - net/capacitance*v.At(i, 1)
	}
	for j := range rings {
		want += density(height(j)) * length / rings * s.Potential(charge, radius, height(j))
	}
	var b Bound
	if err := b.Build(Tube{0, outer, -half, half}, Sheet{radius, -length / 2, length / 2}, nil, 0.3); err != nil {
		t.Fatal(err)
	}
	free := sheetCharge(&b, density)
	bound, _ := drawn(t, &b, 1000, free)
	got, sum := 0.0, 0.0
	for i, q := range bound {
		sum += q
		for k, f := range free {
			got += q * f * b.Potential[i*b.OnSheet+k]
		}
	}
	if !scalar.EqualWithinRel(got, want, 0.01) {
		t.Errorf("%g V/C, want %g V/C (floating conductor)", got, want)
	}
	if math.Abs(sum) > 1e-9 {
		t.Errorf("net charge %g of the sheet's, want 0 (Gauss's law)", sum)
	}
}

// TestBoundShell: a shell between radii b and c round a sphere with the charge q takes
// q (1/b - 1/c)(1 - 1/ε)/4πε₀ off its potential, and nothing outside. The spheres are
// polygons here.
func TestBoundShell(t *testing.T) {
	const inner, outer, sides = 0.03, 0.04, 80
	var b Bound
	b.Closed = true
	arc := func(radius float64, from, to float64) {
		const step = math.Pi / sides
		radius *= 1 + step*step/24*2 // between the corners and the middles
		for i := range sides {
			at := func(i int) (r, z float64) {
				sin, cos := math.Sincos(from + (to-from)*float64(i)/sides)
				return math.Max(radius*cos, 0), radius * sin
			}
			r0, z0 := at(i)
			r1, z1 := at(i + 1)
			p := tubePanel{r: r0, z: z0, dr: r1 - r0, dz: z1 - z0}
			p.length = math.Hypot(p.dr, p.dz)
			p.normalR, p.normalZ = p.dz/p.length, -p.dr/p.length
			b.append(p)
		}
	}
	arc(outer, -math.Pi/2, math.Pi/2)
	arc(inner, math.Pi/2, -math.Pi/2)
	b.assemble()
	for _, e := range []float64{1.1, 2.55, 10, 1000} {
		flux := make([]float64, b.Nodes())
		for i := range flux {
			nr, nz := b.Normal(i)
			d := math.Hypot(b.R[i], b.Z[i])
			flux[i] = b.Drawn[i] * Coulomb * (nr*b.R[i] + nz*b.Z[i]) / (d * d * d)
		}
		b.Conserve(flux, 1, 1)
		if err := b.Factorize(e); err != nil {
			t.Fatal(err)
		}
		b.Solve(flux, 1, 1)
		inside, outside := 0.0, 0.0
		for i, q := range flux {
			inside += q * RingPotentialUnchecked(b.R[i], 0.01, b.Z[i])
			outside += q * RingPotentialUnchecked(b.R[i], 0.06, b.Z[i])
		}
		want := -Coulomb * (1/inner - 1/outer) * (1 - 1/e)
		if !scalar.EqualWithinRel(inside, want, 1e-3) || math.Abs(outside) > 1e-3*math.Abs(want) {
			t.Errorf("permittivity %g: %g V/C inside and %g outside, want %g and 0 (Gauss's law)", e, inside, outside, want)
		}
	}
}

// TestBoundMirror: a plane is a mirror with opposite charges, and a tube that stands
// on it goes on in the mirror.
func TestBoundMirror(t *testing.T) {
	floor, err := NewPlanes(0, math.Inf(1), 0.1)
	if err != nil {
		t.Fatal(err)
	}
	const e = 3.0
	charge := func(z float64) float64 { return z }
	energy := func(planes *Planes, bottom float64) float64 {
		var b Bound
		if err := b.Build(Tube{0.01, 0.012, bottom, 0.04}, Sheet{0.0122, math.Max(bottom, -0.04), 0.04}, planes, 0.4); err != nil {
			t.Fatal(err)
		}
		free := sheetCharge(&b, charge)
		_, v := drawn(t, &b, e, free)
		if planes == nil {
			return v
		}
		// The image in the wall has none of the planes: it is given its own.
		for i, q := range free {
			for k, p := range free {
				v -= (e - 1) / (e + 1) * q * p * RingPotentialUnchecked(0.0118, 0.0122, b.Z[b.Behind(i)]+b.Z[b.Behind(k)])
			}
		}
		return v
	}
	if half, whole := energy(floor, 0), energy(nil, -0.04); !scalar.EqualWithinRel(half, whole/2, 2e-3) {
		t.Errorf("%g V/C on a plane, %g V/C for half of the tube and its image", half, whole/2)
	}
}

// TestBoundNodes: nodes go up the outer surface and down the inner one.
func TestBoundNodes(t *testing.T) {
	var b Bound
	if err := b.Build(Tube{0.01, 0.012, 0.01, 0.04}, Sheet{0.013, 0.02, 0.03}, nil, 1); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < b.Outer+b.Inner; i++ {
		if up := b.Z[i] > b.Z[i-1]; i != b.Outer && up != (i < b.Outer) {
			t.Errorf("node %d at %g m, the one before at %g m", i, b.Z[i], b.Z[i-1])
		}
	}
	for k := range b.OnSheet {
		if i := b.Behind(k); b.Z[i] < 0.02 || b.Z[i] > 0.03 {
			t.Errorf("behind node %d of the sheet lies the height %g m", k, b.Z[i])
		}
	}
}

func TestBoundRefuses(t *testing.T) {
	floor, err := NewPlanes(0, math.Inf(1), 0.1)
	if err != nil {
		t.Fatal(err)
	}
	good, sheet := Tube{0.01, 0.012, 0.01, 0.04}, Sheet{0.013, 0.02, 0.03}
	var b Bound
	for name, err := range map[string]error{
		"inside out":          b.Build(Tube{0.013, 0.012, 0.01, 0.04}, sheet, nil, 1),
		"upside down":         b.Build(Tube{0.01, 0.012, 0.04, 0.01}, sheet, nil, 1),
		"no number":           b.Build(Tube{math.NaN(), 0.012, 0.01, 0.04}, sheet, nil, 1),
		"sheet in the wall":   b.Build(good, Sheet{0.012, 0.02, 0.03}, nil, 1),
		"sheet beyond it":     b.Build(good, Sheet{0.013, 0.02, 0.05}, nil, 1),
		"through the plane":   b.Build(Tube{0.01, 0.012, -0.01, 0.04}, sheet, floor, 1),
		"permittivity of air": b.Factorize(1),
		"permittivity of NaN": b.Factorize(math.NaN()),
	} {
		if !errors.Is(err, ErrGeometry) {
			t.Errorf("%s: %v, want ErrGeometry", name, err)
		}
	}
}
