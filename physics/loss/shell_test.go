package loss

import (
	"errors"
	"math"
	"testing"

	"coilwright/physics/inductance"
	"coilwright/physics/si"
)

// farCoil gives a nearly even field of 1 A/m along the axis at the origin: two large
// rings as far apart as their radius (Helmholtz).
func farCoil(radius float64) []RingCurrent {
	current := radius / math.Pow(0.8, 1.5)
	return []RingCurrent{{radius, radius / 2, current}, {radius, -radius / 2, current}}
}

func sphereStrips(radius float64, n int) []Strip {
	strips := make([]Strip, n)
	step := math.Pi / float64(n)
	for i := range strips {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		strips[i] = Strip{Radius: radius * sin, Height: radius * cos, Width: radius * step}
	}
	return strips
}

// TestShellSphere: a perfect sphere in an even field has 3/2 H sin θ on its surface, so that
// P = 3π R_s a² H². Source: Smythe, section 7.13 (number from memory), integrated.
func TestShellSphere(t *testing.T) {
	const f, a = 1e6, 0.02
	metal := Metal{Conductivity: 58e6}
	want := 3 * math.Pi * SurfaceResistance(f, metal.Conductivity, 1) * a * a
	for _, test := range []struct {
		strips int
		tol    float64
	}{{32, 1e-4}, {128, 2e-5}} {
		out, err := ShellLoss(sphereStrips(a, test.strips), farCoil(1), nil, f, metal)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%d strips: %+.3f %%", test.strips, 100*(out.Power/want-1))
		if math.Abs(out.Power/want-1) > test.tol {
			t.Errorf("sphere of %d strips loses %g W, want %g (closed form)", test.strips, out.Power, want)
		}
	}
}

// TestShellRule compares with Wheeler's rule: what the energy that the sphere takes from the
// field changes when its surface moves in by half a skin depth.
func TestShellRule(t *testing.T) {
	const f, a = 1e6, 0.02
	metal := Metal{Conductivity: 58e6}
	sources := []RingCurrent{{0.015, -0.03, 1}, {0.015, -0.035, 0.7}}
	taken := func(radius float64) float64 {
		strips := sphereStrips(radius, 96)
		out, err := ShellLoss(strips, sources, nil, f, metal)
		if err != nil {
			t.Fatal(err)
		}
		energy := 0.0
		for i, s := range strips {
			energy += out.Current[i] / 2 * fluxThrough(s.Radius, s.Height, sources, nil)
		}
		return energy
	}
	const step = 1e-4
	slope := -(taken(a+step) - taken(a-step)) / (2 * step)
	skin := SkinDepth(f, metal.Conductivity)
	want := 2 * math.Pi * f * slope * skin / 2
	out, err := ShellLoss(sphereStrips(a, 96), sources, nil, f, metal)
	if err != nil {
		t.Fatal(err)
	}
	// The rule counts P = ω ΔL I²/2 = ω ΔW for the surface moved in by δ/2.
	if math.Abs(out.Power/want-1) > 0.01 {
		t.Errorf("sphere near rings loses %g W, want %g (Wheeler's rule)", out.Power, want)
	}
}

// TestPlaneLoss integrates |2 H_r|² over the plane.
func TestPlaneLoss(t *testing.T) {
	const f = 1e6
	metal := Metal{Conductivity: 37e6}
	sources := []RingCurrent{{0.0125, 0.02, 1}, {0.0125, 0.025, 0.9}, {0.03, 0.01, -0.4}}
	got, err := PlaneLoss(sources, 0, f, metal)
	if err != nil {
		t.Fatal(err)
	}
	const n = 40000
	sum := 0.0
	for i := range n {
		u := (float64(i) + 0.5) / n // r = u/(1-u) times 3 cm
		r, dr := 0.03*u/(1-u), 0.03/((1-u)*(1-u))/n
		hr, _ := fieldOf(sources, nil, r, 0)
		sum += 4 * hr * hr * 2 * math.Pi * r * dr
	}
	want := SurfaceResistance(f, metal.Conductivity, 1) / 2 * sum
	if math.Abs(got/want-1) > 1e-6 {
		t.Errorf("PlaneLoss = %.9g W, want %.9g (integral over the plane)", got, want)
	}
	if _, err := PlaneLoss(sources, 0.01, f, metal); !errors.Is(err, ErrInput) {
		t.Errorf("a current on the plane: error %v", err)
	}
}

// TestFieldOf compares with differences of the mutual inductance, which shares no code.
func TestFieldOf(t *testing.T) {
	const a, za, r, z, h = 0.02, 0.01, 0.013, 0.025, 1e-6
	mirror := -0.01
	hr, hz := fieldOf([]RingCurrent{{a, za, 1}}, &mirror, r, z)
	m := func(r, z float64) float64 {
		return inductance.MutualLoopsUnchecked(a, r, z-za) - inductance.MutualLoopsUnchecked(a, r, z+za-2*mirror)
	}
	wantR := -(m(r, z+h) - m(r, z-h)) / (2 * h) / (2 * math.Pi * r * si.Mu0)
	wantZ := (m(r+h, z) - m(r-h, z)) / (2 * h) / (2 * math.Pi * r * si.Mu0)
	if math.Abs(hr/wantR-1) > 1e-6 || math.Abs(hz/wantZ-1) > 1e-6 {
		t.Errorf("fieldOf = %g, %g A/m, want %g, %g (differences)", hr, hz, wantR, wantZ)
	}
}

// TestKernels compares the derivatives of the mutual inductance with differences.
func TestKernels(t *testing.T) {
	const r, a, pitch = 0.0125, 1e-4, 3e-4
	var k rowKernels
	k.fill(r, a, pitch, 400)
	for _, n := range []int{1, 10, 60, 399} {
		d := float64(n) * pitch
		h := d * 1e-3
		m := inductance.MutualLoopsUnchecked
		scale := a / (si.Mu0 * r)
		for _, test := range []struct {
			name      string
			got, want float64
		}{
			{"along", k.along[n], -scale * (m(r, r, d+h) - m(r, r, d-h)) / (2 * h)},
			{"across", k.across[n], scale * (m(r+h, r, d) - m(r-h, r, d)) / (2 * h)},
			{"dipole along", k.dipoleAlong[n], -scale * a * (m(r, r, d+h) - 2*m(r, r, d) + m(r, r, d-h)) / (h * h)},
			{"dipole across", k.dipoleAcross[n], scale * a * (m(r+h, r+h, d) - m(r+h, r-h, d) - m(r-h, r+h, d) + m(r-h, r-h, d)) / (4 * h * h)},
			{"slope", mutualSlope(r, 1.3*r, d), -(m(r, 1.3*r, d+h) - m(r, 1.3*r, d-h)) / (2 * h)},
		} {
			if math.Abs(test.got-test.want) > 1e-4*math.Abs(test.want) {
				t.Errorf("%s, %d turns: %g, want %g (differences)", test.name, n, test.got, test.want)
			}
		}
	}
}

// TestLoopLoss: a loop of perfect metal keeps the flux out; one of poor metal carries ωΦ/R.
func TestLoopLoss(t *testing.T) {
	loop := ClosedLoop{Radius: 0.005, Height: 0.05, WireRadius: 0.0006, Conductivity: 16e6}
	sources := []RingCurrent{{0.0125, 0.035, 1}}
	flux := fluxThrough(loop.Radius, loop.Height, sources, nil)
	const f = 1e6
	good := loop
	good.Conductivity = 1e16
	out, err := LoopLoss(good, sources, nil, f)
	if err != nil {
		t.Fatal(err)
	}
	own := inductance.SelfLoopUnchecked(loop.Radius, loop.WireRadius, inductance.Surface)
	if want := -flux / own; math.Abs(out.Current[0]/want-1) > 1e-4 {
		t.Errorf("perfect loop carries %g A, want %g (no flux)", out.Current[0], want)
	}
	poor := loop
	poor.Conductivity = 1e2
	out, err = LoopLoss(poor, sources, nil, f)
	if err != nil {
		t.Fatal(err)
	}
	volts := 2 * math.Pi * f * flux
	resistance := 2 * math.Pi * loop.Radius / (poor.Conductivity * math.Pi * loop.WireRadius * loop.WireRadius)
	if want := volts * volts / (2 * resistance); math.Abs(out.Power/want-1) > 1e-4 {
		t.Errorf("poor loop loses %g W, want %g (induced voltage on its resistance)", out.Power, want)
	}
}
