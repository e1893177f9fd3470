package driver

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Start is how an exciter behaves around its operating point.
type Start struct {
	Growth           float64 // 1/s, of the amplitude; negative: a disturbance dies away
	Frequency        float64 // Hz, of the fastest growing oscillation; 0: it does not swing
	BaseVoltage      float64 // V, at the operating point
	CollectorCurrent float64 // A, at the operating point
	CollectorVoltage float64 // V
}

// Grows reports whether any small disturbance grows.
func (s Start) Grows() bool { return s.Growth > 0 }

// Start returns the operating point and the growth rate there: the largest real
// part of the eigenvalues of the linearised circuit. That it grows does not
// mean that it runs: see [Exciter.Settle].
//
// The error wraps [ErrCircuit] or [ErrPart] for a circuit that cannot be, and
// [ErrNotSettled] if no operating point was found.
func (x Exciter) Start() (Start, error) {
	c, err := x.build()
	if err != nil {
		return Start{}, err
	}
	return c.start()
}

func (c *circuit) start() (Start, error) {
	u, j, err := c.operatingPoint()
	if err != nil {
		return Start{}, err
	}
	var s Start
	var r reduced
	if err := c.reduce(0, []int{c.base, c.coll, c.primary}, &r); err != nil {
		return Start{}, err
	}
	for k, to := range []*float64{&s.BaseVoltage, &s.CollectorVoltage, &s.CollectorCurrent} {
		*to = r.ov[k] * c.exciter.Supply
		for p := range c.ports {
			*to += r.oj[k][p] * j[p]
		}
	}
	s.Growth, s.Frequency, err = c.growth(&u)
	return s, err
}

// Limits of the search for the operating point.
const (
	operatingIterations = 200
	operatingTolerance  = 1e-9 // V; far below the thermal voltage
)

// operatingPoint returns voltages and currents of the ports with every
// capacitor open and every coil a wire. It raises the supply in steps if the
// direct way fails.
func (c *circuit) operatingPoint() (u, j [maxPorts]float64, err error) {
	var r reduced
	if err := c.reduce(0, nil, &r); err != nil {
		return u, j, err
	}
	for _, steps := range []int{1, 10, 100} {
		u = [maxPorts]float64{}
		done := true
		for k := 1; k <= steps && done; k++ {
			done = c.directCurrent(&r, c.exciter.Supply*float64(k)/float64(steps), &u, &j)
		}
		if done {
			return u, j, nil
		}
	}
	return u, j, fmt.Errorf("%w: no operating point found; the base was last at %g V", ErrNotSettled, u[portEmitter])
}

// directCurrent solves the operating point for a supply in V, from u.
func (c *circuit) directCurrent(r *reduced, supply float64, u, j *[maxPorts]float64) bool {
	var d devices
	m := len(c.ports)
	for range operatingIterations {
		c.at(u, &d)
		var a [maxPorts][maxPorts + 1]float64
		c.portCurrents(&d, j)
		for k := range m {
			a[k][maxPorts] = r.uv[k]*supply - u[k]
			for l := range m {
				a[k][maxPorts] += r.z[k][l] * j[l]
			}
			a[k][0] = -r.z[k][0]*d.g[0][0] - r.z[k][1]*d.g[1][0]
			a[k][1] = -r.z[k][0]*d.g[0][1] - r.z[k][1]*d.g[1][1]
			for l := 2; l < m; l++ {
				a[k][l] = -r.z[k][l] * d.conductance[l]
			}
			a[k][k]++
		}
		if !solvePorts(&a, m) {
			return false
		}
		next, change := *u, 0.0
		for k := range m {
			next[k] += a[k][maxPorts]
		}
		c.limit(&next, u)
		for k := range m {
			change = math.Max(change, math.Abs(next[k]-u[k]))
		}
		*u = next
		if change < operatingTolerance {
			c.at(u, &d)
			c.portCurrents(&d, j)
			return true
		}
	}
	return false
}

// portCurrents collects the direct currents of the ports.
func (c *circuit) portCurrents(d *devices, j *[maxPorts]float64) {
	j[0], j[1] = d.i[0], d.i[1]
	for k := 2; k < len(c.ports); k++ {
		j[k] = d.current[k]
	}
}

// growth returns the largest real part of the eigenvalues s of
//
//	(s Ê + Ĝ) x = 0,
//
// where Ê and Ĝ hold the devices' small-signal charges and conductances, and
// the frequency that belongs to it. Ê is singular, so the eigenvalues μ of
// (Ĝ + σ Ê)⁻¹ Ê are found and s = σ - 1/μ; μ = 0 stands for s = ∞. The shift σ
// is the coil's angular frequency, near which no real eigenvalue lies unless
// the circuit runs away in a fraction of a period.
func (c *circuit) growth(u *[maxPorts]float64) (rate, frequency float64, err error) {
	var d devices
	c.at(u, &d)
	e, g := c.e, c.g
	stamp := func(m *[maxUnknowns][maxUnknowns]float64, out, in [2]int, x float64) {
		for _, row := range []struct {
			node int
			sign float64
		}{{out[0], 1}, {out[1], -1}} {
			if row.node == ground {
				continue
			}
			if in[0] != ground {
				m[row.node][in[0]] += row.sign * x
			}
			if in[1] != ground {
				m[row.node][in[1]] -= row.sign * x
			}
		}
	}
	for a := range 2 {
		for b := range 2 {
			stamp(&g, c.ports[a], c.ports[b], d.g[a][b])
			stamp(&e, c.ports[a], c.ports[b], d.c[a][b])
		}
	}
	for k := 2; k < len(c.ports); k++ {
		stamp(&g, c.ports[k], c.ports[k], d.conductance[k])
		stamp(&e, c.ports[k], c.ports[k], d.capacitance[k])
	}
	shift := c.omega
	var shifted [maxUnknowns][maxUnknowns]float64
	for i := range c.n {
		for j := range c.n {
			shifted[i][j] = g[i][j] + shift*e[i][j]
		}
	}
	inverse, ok := invert(&shifted, c.n)
	if !ok {
		return 0, 0, fmt.Errorf("%w: the linearised circuit has no solution", ErrCircuit)
	}
	// Only columns of E that are not zero carry eigenvectors of interest:
	// restricting rows and columns to them keeps every μ ≠ 0.
	var columns []int
	for j := range c.n {
		for i := range c.n {
			if e[i][j] != 0 {
				columns = append(columns, j)
				break
			}
		}
	}
	n := len(columns)
	m := mat.NewDense(n, n, nil)
	for a, i := range columns {
		for b, j := range columns {
			sum := 0.0
			for k := range c.n {
				sum += inverse[i][k] * e[k][j]
			}
			m.Set(a, b, shift*sum) // dimensionless
		}
	}
	var eigen mat.Eigen
	if !eigen.Factorize(m, mat.EigenNone) {
		return 0, 0, fmt.Errorf("%w: the eigenvalues of the linearised circuit were not found", ErrNotSettled)
	}
	rate = math.Inf(-1)
	for _, mu := range eigen.Values(nil) {
		const infinite = 1e-9 // |μ σ| of modes faster than a billionth of a period
		if math.Hypot(real(mu), imag(mu)) < infinite {
			continue
		}
		s := complex(shift, 0) * (1 - 1/mu)
		if real(s) > rate {
			rate, frequency = real(s), math.Abs(imag(s))/(2*math.Pi)
		}
	}
	return rate, frequency, nil
}

// mostCoupling is where the search for a critical coupling ends.
const mostCoupling = 0.99

// CriticalCoupling returns the coupling coefficient from which a small
// oscillation grows, with all else as it is; 1 if it grows at none. Just above
// it the exciter may stay weak. The error is that of [Exciter.Start].
func (x Exciter) CriticalCoupling() (float64, error) {
	grows := func(k float64) (bool, error) {
		x.Primary.Coupling = k
		s, err := x.Start()
		return s.Grows(), err
	}
	// From below: growth need not last to the strongest coupling.
	least, most := 1e-5, 0.0
	for k := 1e-3; k < mostCoupling; k *= 1.5 {
		yes, err := grows(k)
		if err != nil {
			return 0, err
		}
		if yes {
			most = k
			break
		}
		least = k
	}
	if most == 0 {
		return 1, nil
	}
	return halve(least, most, grows)
}

// CriticalBaseResistor returns the largest base resistor in ohm at which a small
// oscillation grows, with all else as it is; 0 if it grows at none from 100 ohm
// to 100 megohm. The error is that of [Exciter.Start].
func (x Exciter) CriticalBaseResistor() (float64, error) {
	grows := func(ohms float64) (bool, error) {
		x.BaseResistor = ohms
		s, err := x.Start()
		return s.Grows(), err
	}
	least := 0.0
	for ohms := 1e8; ohms >= 100; ohms /= 2 {
		yes, err := grows(ohms)
		if err != nil {
			return 0, err
		}
		if !yes {
			least = ohms
			continue
		}
		if least == 0 {
			return ohms, nil
		}
		return halve(least, ohms, grows)
	}
	return 0, nil
}

// halve closes in on where grows changes between a value at which it is false
// and one at which it is true, by the geometric mean, to a part in ten thousand.
func halve(no, yes float64, grows func(float64) (bool, error)) (float64, error) {
	for math.Abs(yes/no-1) > 1e-4 {
		middle := math.Sqrt(no * yes)
		g, err := grows(middle)
		if err != nil {
			return 0, err
		}
		if g {
			yes = middle
		} else {
			no = middle
		}
	}
	return yes, nil
}
