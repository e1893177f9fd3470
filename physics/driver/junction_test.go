package driver

import (
	"math"
	"testing"
)

// slope returns the derivative of f at x by central differences.
func slope(f func(float64) float64, x, h float64) float64 { return (f(x+h) - f(x-h)) / (2 * h) }

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol*math.Max(math.Abs(got), math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g", what, got, want)
	}
}

// Capacitance is the derivative of charge, and conductance of current, on both
// sides of every knee.
func TestSlopes(t *testing.T) {
	for _, p := range Parts() {
		if p.Type != Diode {
			continue
		}
		d, _, _, err := p.diode()
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{-90, -11.9, -3, -0.2, 0.1, 0.3, 0.6, 0.8} {
			_, g, _, c := d.at(v)
			near(t, p.Name+" conductance", g, slope(func(v float64) float64 { i, _, _, _ := d.at(v); return i }, v, 1e-6), 1e-3)
			near(t, p.Name+" capacitance", c, slope(func(v float64) float64 { _, _, q, _ := d.at(v); return q }, v, 1e-6), 1e-3)
		}
	}
	for _, over := range []float64{-3, -0.5, 0, 0.5, 3, 20} {
		_, g := avalanche(over)
		near(t, "avalanche conductance", g, slope(func(v float64) float64 { i, _ := avalanche(v); return i }, over, 1e-6), 1e-6)
	}
}

func TestTransistorSlopes(t *testing.T) {
	type device interface {
		at(a, b float64, t *transistor)
	}
	for _, p := range Parts() {
		var d device
		switch {
		case p.Type == NPN:
			b, _, _, _, _, err := p.bipolar()
			if err != nil {
				t.Fatal(err)
			}
			d = b
		case p.IsMOSFET():
			m, err := p.mosfet(0)
			if err != nil {
				t.Fatal(err)
			}
			d = &m.channel
		default:
			continue
		}
		for _, v := range [][2]float64{{0.3, -20}, {0.65, -5}, {0.75, 0.1}, {0.8, 0.65}, {-3, -20}, {-1, 0.6}, {5, -10}, {8, 6}, {2, 7}} {
			if p.Type == NPN && v[0] > 1 {
				continue
			}
			var got, x transistor
			d.at(v[0], v[1], &got)
			for out := range 2 {
				for in := range 2 {
					f := func(pick func() float64) func(float64) float64 {
						return func(u float64) float64 {
							w := v
							w[in] = u
							d.at(w[0], w[1], &x)
							return pick()
						}
					}
					const h = 1e-6
					wantG := slope(f(func() float64 { return x.i[out] }), v[in], h)
					wantC := slope(f(func() float64 { return x.q[out] }), v[in], h)
					// A difference loses digits of a large value.
					if math.Abs(got.g[out][in]-wantG) > 1e-4*math.Abs(wantG)+1e-8*math.Abs(got.i[out])+1e-14 {
						t.Errorf("%s at %v: ∂i%d/∂u%d = %g, want %g", p.Name, v, out, in, got.g[out][in], wantG)
					}
					if math.Abs(got.c[out][in]-wantC) > 1e-4*math.Abs(wantC)+1e-8*math.Abs(got.q[out])+1e-18 {
						t.Errorf("%s at %v: ∂q%d/∂u%d = %g, want %g", p.Name, v, out, in, got.c[out][in], wantC)
					}
				}
			}
		}
	}
}

// Drain currents of the list's MOSFET without its resistances, from ngspice-39's
// direct-current sweep of the same card.
func TestMOSFETCurrent(t *testing.T) {
	m, err := found(t, "IRF510").mosfet(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		vgs, vds, want float64
		source         string
	}{
		{4, 1, 8.20711e-2, "ngspice-39"},
		{9, 1, 3.91188, "ngspice-39"},
		{6, 6, 2.65244, "ngspice-39"},
		{12, 6, 23.0287, "ngspice-39"},
		{12, 11, 25.2003, "ngspice-39"},
	} {
		id, _, _ := m.channel.channel(test.vgs, test.vds)
		near(t, "drain current ("+test.source+")", id, test.want, 1e-5)
	}
}

// The table of powers is the power.
func TestPowers(t *testing.T) {
	for _, m := range []float64{0.33, 0.377, 0.5} {
		p := newPowers(m)
		for a := 0.04; a < 2000; a *= 1.0137 {
			near(t, "power", p.at(a), math.Pow(a, -m), 2e-8)
		}
		for _, a := range []float64{0, -1, 1e-3, 1e5, math.NaN(), math.Inf(1)} {
			if got := p.at(a); got != 0 {
				t.Errorf("at(%g) = %g, want 0", a, got)
			}
		}
	}
}

// Every way of solving the ports' equations gives the same solution.
func TestSolvePorts(t *testing.T) {
	seed := 1.0
	next := func() float64 { // a fixed sequence from -1 to 1
		seed = math.Mod(seed*16807, 2147483647)
		return seed/1073741823.5 - 1
	}
	for n := 1; n <= maxPorts; n++ {
		for range 50 {
			var a [maxPorts][maxPorts + 1]float64
			var x [maxPorts]float64
			for i := range n {
				x[i] = next()
			}
			for i := range n {
				for j := range n {
					a[i][j] = next()
				}
				a[i][i] += 3
				for j := range n {
					a[i][maxPorts] += a[i][j] * x[j]
				}
			}
			if !solvePorts(&a, n) {
				t.Fatal("no solution")
			}
			for i := range n {
				if math.Abs(a[i][maxPorts]-x[i]) > 1e-12 {
					t.Errorf("%d equations: %g, want %g", n, a[i][maxPorts], x[i])
				}
			}
		}
		if solvePorts(&[maxPorts][maxPorts + 1]float64{}, n) {
			t.Errorf("%d equations of zeros have a solution", n)
		}
	}
}
