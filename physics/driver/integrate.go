package driver

import "math"

// Step sizes are h0 2^(-l/2) for the levels l.
const (
	levels      = 16
	coarseSteps = 40 // steps per period of the coil at level 0
	firstLevel  = 8
)

// The integrator gives these at every step: the first ones are read from the
// network, the others from the memory of its capacitor and its coils.
const (
	outCollector = iota
	outBase
	outRail
	outTop
	outPrimary
	outFoot
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

	t                float64 // s
	trial            trial
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
	rows := []int{c.coll, c.base}
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
	// square over twice the thermal voltage, or a small part of it where only a
	// depletion layer bends.
	junctionClose = 6e-3 // V
	otherClose    = 5e-2 // of a voltage that is no junction's forward one
	// An error over this many times the allowed one is not taken.
	rejectedError = 3
	hopelessError = 30
	// Errors below these let the step grow by √2, at once or the second time.
	smallError = 0.3
	tinyError  = 0.1
	// avalancheAwake is how many knees below the breakdown the avalanche's port
	// must be solved with the others.
	avalancheAwake = 10
)

// trial is a step that is tried.
type trial struct {
	r         *reduced
	supply    float64            // V, at its end
	mem       [maxStates]float64 // memory of the linear part
	u0        [maxPorts]float64  // V, of the ports without currents
	old       [maxPorts]float64  // A, memory of the charges
	predicted [maxPorts]float64  // V, on the parabola through the last three points
	u, j      [maxPorts]float64  // V and A, at its end
	slope     [maxPorts]float64  // S, of the diodes with their charges
	active    int                // ports that are solved for
	a         [maxPorts][maxPorts + 1]float64
}

// step goes on by one step of the present level, or by a smaller one if that
// was too far.
func (g *integrator) step() {
	t := &g.trial
	for {
		g.prepare()
		done := g.solve()
		if done && t.active < g.ports {
			done = g.asleep()
		}
		worst := g.deviation()
		if (!done || worst > rejectedError) && g.at < levels-1 {
			g.rejected++
			g.calm = 0
			if worst > hopelessError {
				g.at++
			}
			g.at = min(g.at+2, levels-1)
			continue
		}
		if !done {
			g.forced++
		}
		g.accept()
		switch {
		case worst > 1:
			g.at = min(g.at+1, levels-1)
			g.calm = 0
		case worst < tinyError || worst < smallError && g.calm > 0:
			g.calm = 0
			g.at = max(g.at-1, 0)
		case worst < smallError:
			g.calm++
		default:
			g.calm = 0
		}
		return
	}
}

// prepare sets up a step of the present level: what it remembers and where it
// is likely to end.
func (g *integrator) prepare() {
	t, c := &g.trial, g.c
	m, ns := g.ports, g.states
	r := &g.level[g.at]
	t.r = r
	t.supply = c.exciter.Supply
	if end := g.t + r.h; end < g.ramp {
		t.supply *= end / g.ramp
	}
	for i := 0; i < ns; i++ {
		t.mem[i] = r.alpha*g.s[i] + g.ds[i]
	}
	w := r.h / g.h1
	bend, back := w*(r.h+g.h1)/(g.h1+g.h2), g.h1/g.h2
	for k := 0; k < m; k++ {
		x := r.uv[k] * t.supply
		us := &r.us[k]
		for i := 0; i < ns; i++ {
			x += us[i] * t.mem[i]
		}
		t.u0[k] = x
		t.old[k] = -r.alpha*g.q[k] - g.dq[k]
		d1, d2 := g.u[k]-g.u1[k], g.u1[k]-g.u2[k]
		t.predicted[k] = g.u[k] + w*d1 + bend*(d1-back*d2)
	}
	t.u = t.predicted
	c.limitStart(&t.u, &g.u)
	t.active = m
	if k := c.avalanche; k >= 0 && t.u[k] < c.exciter.Breakdown-avalancheAwake*avalancheKnee {
		t.active-- // it is the last port
	}
}

// solve finds voltages and currents of the ports at the end of the step by
// Newton's method; it reports whether it got there.
func (g *integrator) solve() bool {
	t, c, d := &g.trial, g.c, &g.dev
	m, n, a0 := g.ports, t.active, t.r.alpha
	a := &t.a
	for range stepIterations {
		c.at(&t.u, d)
		g.evaluated++
		t.j[0] = d.i[0] + a0*d.q[0] + t.old[0]
		t.j[1] = d.i[1] + a0*d.q[1] + t.old[1]
		d00, d01 := d.g[0][0]+a0*d.c[0][0], d.g[0][1]+a0*d.c[0][1]
		d10, d11 := d.g[1][0]+a0*d.c[1][0], d.g[1][1]+a0*d.c[1][1]
		for k := 2; k < m; k++ {
			t.j[k] = d.current[k] + a0*d.charge[k] + t.old[k]
			t.slope[k] = d.conductance[k] + a0*d.capacitance[k]
		}
		// (1 - z·slopes) Δu = u0 - u + z·j
		for k := 0; k < n; k++ {
			z, row := &t.r.z[k], &a[k]
			x := t.u0[k] - t.u[k] + z[0]*t.j[0] + z[1]*t.j[1]
			row[0] = -z[0]*d00 - z[1]*d10
			row[1] = -z[0]*d01 - z[1]*d11
			for l := 2; l < n; l++ {
				x += z[l] * t.j[l]
				row[l] = -z[l] * t.slope[l]
			}
			row[k]++
			row[maxPorts] = x
		}
		if !solvePorts(a, n) {
			return false
		}
		next := t.u
		for k := 0; k < n; k++ {
			next[k] += a[k][maxPorts]
		}
		c.limit(&next, &t.u)
		if !c.close(&next, &t.u, n) {
			t.u = next
			continue
		}
		// The last correction goes into currents and charges by their slopes,
		// so that the step is consistent.
		e0, e1 := next[0]-t.u[0], next[1]-t.u[1]
		t.j[0] += d00*e0 + d01*e1
		t.j[1] += d10*e0 + d11*e1
		d.q[0] += d.c[0][0]*e0 + d.c[0][1]*e1
		d.q[1] += d.c[1][0]*e0 + d.c[1][1]*e1
		for k := 2; k < n; k++ {
			e := next[k] - t.u[k]
			t.j[k] += t.slope[k] * e
			d.charge[k] += d.capacitance[k] * e
		}
		t.u = next
		return true
	}
	return false
}

// asleep gives the avalanche's port the voltage that follows from the others
// and reports whether it is as far below the breakdown as was assumed. Awake,
// a shorter step will see it coming.
func (g *integrator) asleep() bool {
	t, k := &g.trial, g.ports-1
	x := t.u0[k]
	for l := 0; l < g.ports; l++ {
		x += t.r.z[k][l] * t.j[l]
	}
	t.u[k] = x
	return x <= g.c.exciter.Breakdown-avalancheAwake*avalancheKnee || g.at == levels-1
}

// deviation returns how far the end of the step is from the prediction, over
// what is allowed. Both the parabola's error and the rule's are of third order
// in the step; the rule's is a twelfth of it.
func (g *integrator) deviation() (worst float64) {
	t, c := &g.trial, g.c
	swing := 0.02*g.swing + 0.05
	for k := 0; k < g.ports; k++ {
		var e float64
		if scale := c.junctionTol[k]; scale > 0 {
			e = abs(felt(t.u[k])-felt(t.predicted[k])) / scale
		} else {
			e = abs(t.u[k]-t.predicted[k]) / swing
		}
		if e > worst {
			worst = e
		}
	}
	return worst / g.tolerance
}

// felt is a junction's voltage as far as the circuit feels it: below the knee
// nothing but a small capacitance does.
func felt(v float64) float64 {
	const knee, share = 0.4, 0.1 // V, 1
	if v < knee {
		return knee + share*(v-knee)
	}
	return v
}

// close reports whether a Newton step of the first n ports was the last one
// that is needed.
func (c *circuit) close(next, u *[maxPorts]float64, n int) bool {
	for k := 0; k < n; k++ {
		most := junctionClose
		switch {
		case c.junctionTol[k] > 0:
			if abs(felt(next[k])-felt(u[k])) > most {
				return false
			}
			continue
		case k != portCollector:
			most += otherClose * abs(next[k])
		case next[k] < 0:
			most -= otherClose * next[k]
		}
		if abs(next[k]-u[k]) > most {
			return false
		}
	}
	return true
}

// limitStart keeps the first guess of a step from overshooting on an
// exponential.
func (c *circuit) limitStart(u, old *[maxPorts]float64) {
	const most = 0.1 // V
	for k := 0; k < len(c.ports); k++ {
		if c.diodes[k] != nil || k == portEmitter && c.bipolar != nil {
			if d := u[k] - old[k]; d > most {
				u[k] = old[k] + most
			} else if d < -most {
				u[k] = old[k] - most
			}
		}
	}
	if c.bipolar != nil && u[1] > 0.5 {
		u[1] = min(u[1], max(old[1], 0.5))
	}
}

// accept takes over the solution of a step.
func (g *integrator) accept() {
	t, r := &g.trial, g.trial.r
	m, ns := g.ports, g.states
	var s [maxStates]float64
	for k := 0; k < ns; k++ {
		x := r.yv[k] * t.supply
		for i := 0; i < ns; i++ {
			x += r.ys[k][i] * t.mem[i]
		}
		for i := 0; i < m; i++ {
			x += r.yj[k][i] * t.j[i]
		}
		s[k] = x
		g.ds[k] = r.alpha*x - t.mem[k]
	}
	for k := range r.outputRows {
		x := r.ov[k] * t.supply
		for i := 0; i < ns; i++ {
			x += r.os[k][i] * t.mem[i]
		}
		for i := 0; i < m; i++ {
			x += r.oj[k][i] * t.j[i]
		}
		g.out[k] = x
	}
	c := g.c
	if c.rail == ground {
		g.out[outRail] = t.supply
	}
	g.out[outTop] = s[c.stateTop] * c.inverseTop
	fluxP, fluxS := s[c.statePrimary], s[c.stateFoot]
	g.out[outPrimary] = c.inversePP*fluxP + c.inversePS*fluxS
	g.out[outFoot] = c.inversePS*fluxP + c.inverseSS*fluxS
	g.s = s
	g.u2, g.u1, g.u = g.u1, g.u, t.u
	d := &g.dev
	d.charge[0], d.charge[1] = d.transistor.q[0], d.transistor.q[1]
	for k := 0; k < m; k++ {
		g.dq[k] = r.alpha*(d.charge[k]-g.q[k]) - g.dq[k]
		g.q[k] = d.charge[k]
	}
	g.j = t.j
	g.h2, g.h1 = g.h1, r.h
	g.t += r.h
	g.steps++
	// The swing is remembered for a few periods.
	swing := g.swing * (1 - 0.03*c.omega*r.h)
	if v := abs(t.u[portCollector]); v > swing {
		swing = v
	}
	if v := c.exciter.Supply; v > swing {
		swing = v
	}
	g.swing = swing
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
