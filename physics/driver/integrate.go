package driver

import "math"

// Step sizes are h0 2^(-l/2) for the levels l.
const (
	levels      = 16
	coarseSteps = 40 // steps per period of the coil at level 0
	firstLevel  = 8
)

// outputs are the unknowns that the integrator gives at every step, in this
// order.
const (
	outTop = iota
	outCollector
	outBase
	outPrimary
	outFoot
	outRail
	outputs
)

// integrator follows an exciter in time. The linear part goes by the
// trapezoidal rule, bent so that it is exact at the coil's frequency (a plain
// rule makes the frequency low by (ωh)²/12). A second-order backward formula
// for the devices' charges was tried: it does not ring where a device switches,
// but at equal cost its voltages are off twice as far.
type integrator struct {
	c         *circuit
	level     [levels]reduced
	states    int
	ports     int
	ramp      float64 // s, how long the supply takes to rise
	tolerance float64 // scale of the allowed error, 1 by default

	t, supply        float64
	s, ds            [maxStates]float64 // E x and its rate
	u, u1, u2        [maxPorts]float64  // now, one and two steps back
	q, dq            [maxPorts]float64  // charges and their rates
	j                [maxPorts]float64
	h1, h2           float64 // last step and the one before
	at               int     // level
	calm             int
	swing            float64 // V, how far the collector swings
	dev              devices
	out              [outputs]float64
	steps, evaluated int
	rejected, forced int
}

func (c *circuit) newIntegrator(tolerance float64) (*integrator, error) {
	g := &integrator{c: c, states: len(c.states), ports: len(c.ports), ramp: supplyRise, tolerance: tolerance, at: firstLevel, swing: c.exciter.Supply}
	rows := []int{c.top, c.coll, c.base, c.primary, c.foot}
	if c.rail != ground {
		rows = append(rows, c.rail)
	}
	c.quicken()
	period := 2 * math.Pi / c.omega
	for l := range g.level {
		h := period / coarseSteps * math.Pow(2, -float64(l)/2)
		if err := c.reduce(c.omega/math.Tan(c.omega*h/2), rows, &g.level[l]); err != nil {
			return nil, err
		}
		g.level[l].h = h
	}
	c.at(&g.u, &g.dev)
	g.q = g.dev.charges()
	g.h1 = g.level[g.at].h
	g.h2 = g.h1
	return g, nil
}

// supplyRise is how long the supply takes to come up, in s.
const supplyRise = 1e-6

func (d *devices) charges() (q [maxPorts]float64) {
	q = d.charge
	q[0], q[1] = d.q[0], d.q[1]
	return q
}

// Limits of one step.
const (
	stepIterations = 30
	// A Newton correction below these is the last one: what is left is its
	// square over twice the thermal voltage.
	junctionClose = 6e-3 // V
	otherClose    = 4e-3 // of the swing
)

// step goes on by one step of the present level, or by a smaller one if that
// was too far.
func (g *integrator) step() {
	c := g.c
	m, ns := g.ports, g.states
	for {
		r := &g.level[g.at]
		h := r.h
		supply := c.exciter.Supply
		if t := g.t + h; t < g.ramp {
			supply *= t / g.ramp
		}
		// Memory of the linear part and of the charges.
		var mem [maxStates]float64
		for i := 0; i < ns; i++ {
			mem[i] = r.alpha*g.s[i] + g.ds[i]
		}
		var u0 [maxPorts]float64
		for k := 0; k < m; k++ {
			x := r.uv[k] * supply
			for i := 0; i < ns; i++ {
				x += r.us[k][i] * mem[i]
			}
			u0[k] = x
		}
		w := h / g.h1
		a0 := r.alpha
		var old [maxPorts]float64
		for k := 0; k < m; k++ {
			old[k] = -a0*g.q[k] - g.dq[k]
		}
		// Prediction: a parabola through the last three points.
		var predicted, u [maxPorts]float64
		r1 := g.h1 / g.h2
		for k := 0; k < m; k++ {
			d1 := g.u[k] - g.u1[k]
			d2 := g.u1[k] - g.u2[k]
			predicted[k] = g.u[k] + w*d1 + w*(h+g.h1)/(g.h1+g.h2)*(d1-r1*d2)
			u[k] = predicted[k]
		}
		c.limitStart(&u, &g.u)
		done := false
		active := m
		if c.avalanche >= 0 && u[c.avalanche] < c.exciter.Breakdown-10*avalancheKnee {
			active-- // it is the last port
		}
		var jv [maxPorts]float64
		var dc [maxPorts]float64
		for range stepIterations {
			c.at(&u, &g.dev)
			g.evaluated++
			d := &g.dev
			jv[0] = d.i[0] + a0*d.q[0] + old[0]
			jv[1] = d.i[1] + a0*d.q[1] + old[1]
			d00, d01 := d.g[0][0]+a0*d.c[0][0], d.g[0][1]+a0*d.c[0][1]
			d10, d11 := d.g[1][0]+a0*d.c[1][0], d.g[1][1]+a0*d.c[1][1]
			for k := 2; k < m; k++ {
				jv[k] = d.current[k] + a0*d.charge[k] + old[k]
				dc[k] = d.conductance[k] + a0*d.capacitance[k]
			}
			var a [maxPorts][maxPorts + 1]float64
			for k := 0; k < active; k++ {
				z := &r.z[k]
				x := u0[k] - u[k] + z[0]*jv[0] + z[1]*jv[1]
				row := &a[k]
				row[0] = -z[0]*d00 - z[1]*d10
				row[1] = -z[0]*d01 - z[1]*d11
				for l := 2; l < active; l++ {
					x += z[l] * jv[l]
					row[l] = -z[l] * dc[l]
				}
				row[k]++
				row[maxPorts] = x
			}
			if !solvePorts(&a, active) {
				break
			}
			next := u
			for k := 0; k < active; k++ {
				next[k] += a[k][maxPorts]
			}
			c.limit(&next, &u)
			done = true
			for k := 0; k < active; k++ {
				close := junctionClose
				if c.junctionTol[k] == 0 {
					if v := -next[k]; v > 0 || k != portCollector {
						close += otherClose * abs(v)
					}
				}
				if abs(c.felt(k, next[k])-c.felt(k, u[k])) > close {
					done = false
				}
			}
			if !done {
				u = next
				continue
			}
			// The last correction goes into currents and charges by their
			// slopes, so that the step is consistent.
			var e [maxPorts]float64
			for k := 0; k < active; k++ {
				e[k] = next[k] - u[k]
				u[k] = next[k]
			}
			jv[0] += d00*e[0] + d01*e[1]
			jv[1] += d10*e[0] + d11*e[1]
			d.i[0] += d.g[0][0]*e[0] + d.g[0][1]*e[1]
			d.i[1] += d.g[1][0]*e[0] + d.g[1][1]*e[1]
			d.q[0] += d.c[0][0]*e[0] + d.c[0][1]*e[1]
			d.q[1] += d.c[1][0]*e[0] + d.c[1][1]*e[1]
			for k := 2; k < active; k++ {
				jv[k] += dc[k] * e[k]
				d.current[k] += d.conductance[k] * e[k]
				d.charge[k] += d.capacitance[k] * e[k]
			}
			break
		}
		if done && active < m { // the sleeping avalanche: did it sleep on?
			k := m - 1
			x := u0[k]
			for l := 0; l < m; l++ {
				x += r.z[k][l] * jv[l]
			}
			u[k] = x
			if x > c.exciter.Breakdown-10*avalancheKnee && g.at < levels-1 {
				// wake it by predicting that it is awake
				done = false
			}
		}
		// How far the solution is from the parabola tells the error.
		worst := 0.0
		for k := 0; k < m; k++ {
			scale := c.junctionTol[k]
			if scale == 0 {
				scale = 0.02*g.swing + 0.05
			}
			if e := abs(c.felt(k, u[k])-c.felt(k, predicted[k])) / scale; e > worst {
				worst = e
			}
		}
		worst /= g.tolerance
		if (!done || worst > 3) && g.at < levels-1 {
			g.rejected++
			g.calm = 0
			if worst > 30 {
				g.at++
			}
			g.at = min(g.at+2, levels-1)
			continue
		}
		if !done {
			g.forced++
		}
		g.accept(r, supply, &mem, &u, &jv)
		switch {
		case worst > 1:
			g.at = min(g.at+1, levels-1)
			g.calm = 0
		case worst < 0.3:
			if g.calm++; g.calm >= 2 {
				g.calm = 0
				g.at = max(g.at-1, 0)
			}
		default:
			g.calm = 0
		}
		return
	}
}

// limitStart keeps the first guess of a step from overshooting on an
// exponential.
func (c *circuit) limitStart(u, old *[maxPorts]float64) {
	const most = 0.1 // V
	for k := range len(c.ports) {
		if c.diodes[k] != nil || k == portEmitter && c.bipolar != nil {
			u[k] = math.Max(old[k]-most, math.Min(old[k]+most, u[k]))
		}
	}
	if c.bipolar != nil && u[1] > 0.5 {
		u[1] = math.Min(u[1], math.Max(old[1], 0.5))
	}
}

// accept takes over the solution of a step.
func (g *integrator) accept(r *reduced, supply float64, mem *[maxStates]float64, u, jv *[maxPorts]float64) {
	m, ns := g.ports, g.states
	var s [maxStates]float64
	for k := 0; k < ns; k++ {
		x := r.yv[k] * supply
		for i := 0; i < ns; i++ {
			x += r.ys[k][i] * mem[i]
		}
		for i := 0; i < m; i++ {
			x += r.yj[k][i] * jv[i]
		}
		s[k] = x
		g.ds[k] = r.alpha*x - mem[k]
	}
	for k := range r.outputRows {
		x := r.ov[k] * supply
		for i := 0; i < ns; i++ {
			x += r.os[k][i] * mem[i]
		}
		for i := 0; i < m; i++ {
			x += r.oj[k][i] * jv[i]
		}
		g.out[k] = x
	}
	if g.c.rail == ground {
		g.out[outRail] = supply
	}
	g.s = s
	g.u2, g.u1, g.u = g.u1, g.u, *u
	q := g.dev.charges()
	for k := 0; k < m; k++ {
		g.dq[k] = r.alpha*(q[k]-g.q[k]) - g.dq[k]
	}
	g.q = q
	g.j = *jv
	g.h2, g.h1 = g.h1, r.h
	g.t += r.h
	g.supply = supply
	g.steps++
	// The swing is remembered for a few periods.
	g.swing = math.Max(g.c.exciter.Supply, math.Max(g.swing*(1-0.03*g.c.omega*r.h), abs(u[portCollector])))
}

// felt is a port's voltage as far as the circuit feels it: below the knee of a
// junction nothing but a small capacitance does.
func (c *circuit) felt(k int, v float64) float64 {
	const knee, share = 0.4, 0.1 // V, 1
	if c.junctionTol[k] > 0 && v < knee {
		return knee + share*(v-knee)
	}
	return v
}

// quicken prepares the devices for many evaluations.
func (c *circuit) quicken() {
	if c.bipolar != nil {
		c.bipolar.emitter.quicken()
		c.bipolar.collector.quicken()
	}
	for _, d := range c.diodes {
		if d != nil {
			d.layer.quicken()
		}
	}
}
