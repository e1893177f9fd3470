package driver

import (
	"fmt"
	"math"
)

// Sizes of an exciter's network: a MOSFET with every resistance, choke, clamp
// and zener has 14 unknowns, 6 of them with memory, and 5 ports.
const (
	maxUnknowns = 16
	maxStates   = 6
	maxPorts    = 5
	maxOutputs  = 6
)

// ground is the node of potential zero.
const ground = -1

// network is the linear part of a circuit: E x' + G x = source·V - Σ P j, with x
// the node potentials and branch currents, V the supply and j the currents that
// flow through the ports, the places of the nonlinear parts. A port's voltage
// is u = Pᵀ x.
type network struct {
	n      int
	e, g   [maxUnknowns][maxUnknowns]float64 // n×n
	source [maxUnknowns]float64
	ports  [][2]int // nodes that the port's current leaves and enters
	states []int    // rows of E that are not zero
}

// unknown adds a node or a branch current.
func (c *network) unknown() int {
	c.n++
	return c.n - 1
}

// conduct puts a conductance in S between two nodes.
func (c *network) conduct(a, b int, siemens float64) { pair(&c.g, a, b, siemens) }

// capacitor puts a capacitance in F between a node and ground.
func (c *network) capacitor(a int, farads float64) {
	if farads > 0 {
		c.e[a][a] += farads
	}
}

func pair(m *[maxUnknowns][maxUnknowns]float64, a, b int, x float64) {
	if a != ground {
		m[a][a] += x
	}
	if b != ground {
		m[b][b] += x
	}
	if a != ground && b != ground {
		m[a][b] -= x
		m[b][a] -= x
	}
}

// through returns a node behind a series resistance in ohm; without one it is
// the node itself.
func (c *network) through(a int, ohms float64) int {
	if ohms == 0 {
		return a
	}
	inner := c.unknown()
	c.conduct(a, inner, 1/ohms)
	return inner
}

// branch adds the current of an inductive branch that flows from node a to b.
func (c *network) branch(a, b int, ohms float64) int {
	i := c.unknown()
	if a != ground {
		c.g[a][i]++
		c.g[i][a]--
	}
	if b != ground {
		c.g[b][i]--
		c.g[i][b]++
	}
	c.g[i][i] += ohms
	return i
}

// finish lists the unknowns with memory.
func (c *network) finish() {
	for i := range c.n {
		for j := range c.n {
			if c.e[i][j] != 0 {
				c.states = append(c.states, i)
				break
			}
		}
	}
}

// reduced is a network seen from its ports, for one step size or for direct
// current: with s the memory (one per state) and V the supply,
//
//	u = us·s + uV·V + z·j,   y = E x = ys·s + yV·V + yj·j,   o the same.
type reduced struct {
	h, alpha   float64 // s; 1/s, the weight of E
	us         [maxPorts][maxStates]float64
	uv         [maxPorts]float64
	z          [maxPorts][maxPorts]float64
	ys         [maxStates][maxStates]float64
	yv         [maxStates]float64
	yj         [maxStates][maxPorts]float64
	os         [maxOutputs][maxStates]float64
	ov         [maxOutputs]float64
	oj         [maxOutputs][maxPorts]float64
	outputRows []int
}

// reduce eliminates all unknowns of (alpha E + G) x = … but the ports, the
// states and the unknowns listed as outputs.
func (c *network) reduce(alpha float64, outputs []int, r *reduced) error {
	var a [maxUnknowns][maxUnknowns]float64
	for i := range c.n {
		for j := range c.n {
			a[i][j] = alpha*c.e[i][j] + c.g[i][j]
		}
	}
	inverse, ok := invert(&a, c.n)
	if !ok {
		return fmt.Errorf("%w: a part of it hangs in the air", ErrCircuit)
	}
	*r = reduced{alpha: alpha, outputRows: outputs}
	// response of row i of the solution to state s, supply and port j
	row := func(weights [maxUnknowns]float64, s *[maxStates]float64, v *float64, j *[maxPorts]float64) {
		var w [maxUnknowns]float64
		for i := range c.n {
			if weights[i] != 0 {
				for k := range c.n {
					w[k] += weights[i] * inverse[i][k]
				}
			}
		}
		for k, state := range c.states {
			s[k] = w[state]
		}
		for k := range c.n {
			*v += w[k] * c.source[k]
		}
		for k, p := range c.ports {
			j[k] = difference(&w, p[1], p[0])
		}
	}
	unit := func(plus, minus int) (w [maxUnknowns]float64) {
		if plus != ground {
			w[plus]++
		}
		if minus != ground {
			w[minus]--
		}
		return w
	}
	for k, p := range c.ports {
		row(unit(p[0], p[1]), &r.us[k], &r.uv[k], &r.z[k])
	}
	for k, state := range c.states {
		row(c.e[state], &r.ys[k], &r.yv[k], &r.yj[k])
	}
	for k, output := range outputs {
		row(unit(output, ground), &r.os[k], &r.ov[k], &r.oj[k])
	}
	return nil
}

// difference returns w[plus] - w[minus] with 0 for the ground.
func difference(w *[maxUnknowns]float64, plus, minus int) (d float64) {
	if plus != ground {
		d += w[plus]
	}
	if minus != ground {
		d -= w[minus]
	}
	return d
}

// invert returns the inverse of the leading n×n block by elimination with row
// exchange; ok is false for a singular one.
func invert(m *[maxUnknowns][maxUnknowns]float64, n int) (inverse [maxUnknowns][maxUnknowns]float64, ok bool) {
	a := *m
	for i := range n {
		inverse[i][i] = 1
	}
	for k := range n {
		pivot := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[pivot][k]) {
				pivot = i
			}
		}
		if a[pivot][k] == 0 || math.IsNaN(a[pivot][k]) {
			return inverse, false
		}
		a[k], a[pivot] = a[pivot], a[k]
		inverse[k], inverse[pivot] = inverse[pivot], inverse[k]
		d := 1 / a[k][k]
		for j := range n {
			a[k][j] *= d
			inverse[k][j] *= d
		}
		for i := range n {
			if f := a[i][k]; i != k && f != 0 {
				for j := range n {
					a[i][j] -= f * a[k][j]
					inverse[i][j] -= f * inverse[k][j]
				}
			}
		}
	}
	return inverse, true
}
