package resonance

import (
	"context"
	"math"
	"slices"

	"coilwright/physics/electrostatics"
)

// winding holds the reduced matrices of the winding alone.
type winding struct {
	kernels *kernels
	grid    grid
	next    grid // of the coil to come
	wound   Winding
	room    room
	spacing float64
	under   slab
	turns   int

	potential, axial, radial table // by difference, reversed: index j-i+n-1
	imagePotential           table // by sum
	imageAxial, imageRadial  table
	flux, imageFlux          table // the twice summed inductances, see magnetic

	elastance []float64    // knots×knots, V/C
	field     [2][]float64 // samples×knots, V/(C m)

	inductance []float64 // knots×knots, H: of the currents that the charges drive
	offset     []float64 // by turn: f of M_kl = f_k + f_l + parts by difference and sum
	mean       []float64 // by knot: Σ_i φ_k(i) offset(i)
	count      []float64 // by knot: Σ_i φ_k(i)
	rowSum     []float64 // by turn, H: flux per ampere that runs along all whole turns
	driven     []float64 // by turn, H: Σ over turns up to it (the last by half) of rowSum
	whole      float64   // H, Σ rowSum: inductance of all turns

	dipoles table
	stiff   [2][]float64 // size×size, V/(C m²): factors, along and across

	lower, upper [2][]float64 // by element: sums over the rows of one element
	current      []float64    // samples×knots: current through a sample's turn per charge
}

// prepare brings the matrices up to date and reports whether they changed.
func (w *winding) prepare(ctx context.Context, k *kernels, wound Winding, r room, spacing float64, beside []neighbour, under slab) (changed bool, err error) {
	n := int(wound.Turns)
	w.next.build(n, spacing, beside)
	if w.wound == wound && w.room == r && w.spacing == spacing && slices.Equal(w.grid.knots, w.next.knots) {
		if w.under == under {
			return false, nil
		}
		w.under = under
		if err := w.stiffen(); err != nil {
			w.wound = Winding{}
			return true, err
		}
		return false, nil
	}
	w.under = under
	w.wound = Winding{} // until all is done
	w.room, w.spacing, w.kernels = r, spacing, k
	if err := k.prepare(wound, r, n); err != nil {
		return true, err
	}
	w.turns = n
	w.grid, w.next = w.next, w.grid
	if err := ctx.Err(); err != nil {
		return true, err
	}
	if err := k.end.solve(&k.row, n); err != nil {
		return true, err
	}
	w.electric()
	if err := ctx.Err(); err != nil {
		return true, err
	}
	w.magnetic()
	if err := w.stiffen(); err != nil {
		return true, err
	}
	w.wound = wound
	return true, ctx.Err()
}

// places appends the heights in m of the samples.
func (w *winding) places(heights []float64) []float64 {
	k := w.kernels.winding
	for _, sample := range w.grid.samples {
		heights = append(heights, k.Base+float64(sample.turn)*k.Pitch)
	}
	return heights
}

// into puts the winding's matrices into the upper left corner of m.
func (w *winding) into(m *matrices) {
	n, knots := m.stride, w.grid.unknowns()
	for k := range knots {
		copy(m.elastance[k*n:k*n+knots], w.elastance[k*knots:(k+1)*knots])
		copy(m.inductance[k*n:k*n+knots], w.inductance[k*knots:(k+1)*knots])
		m.current[k], m.net[k] = w.count[k], w.count[k]
	}
	w.project(m.topFlux[:knots], w.driven)
}

// toeplitz fills t with values by difference: even ones as they are, odd ones
// with the sign of the row's turn less the column's.
func (w *winding) toeplitz(t *table, values []float64, odd bool) {
	n := w.turns
	t.reset(2*n - 1)
	for m := range n {
		v := values[m]
		t.value[n-1-m] = v // column below row
		if odd {
			v = -v
		}
		t.value[n-1+m] = v
	}
	t.prepare()
}

// hankel fills t with values by sum.
func (w *winding) hankel(t *table, values []float64) {
	t.reset(2*w.turns - 1)
	copy(t.value, values)
	t.prepare()
}

// assemble sets dst, K×K, to Σ_ij φ_k(i) φ_l(j) (difference(j-i) + sum(i+j)),
// which must be symmetric. sum may be nil.
func (w *winding) assemble(dst []float64, difference, sum *table) {
	g := &w.grid
	size, n := g.unknowns(), w.turns
	clear(dst[:size*size])
	count := len(g.elements)
	for b := range w.lower {
		w.lower[b] = resize(w.lower[b], count)
		w.upper[b] = resize(w.upper[b], count)
	}
	for e, el := range g.elements {
		for b := range w.lower {
			clear(w.lower[b][e:])
			clear(w.upper[b][e:])
		}
		step := 1 / float64(el.length)
		for t := range el.length {
			i := el.start + t
			up := float64(t) * step
			low := 1 - up
			for f := e; f < count; f++ {
				other := g.elements[f]
				a, b := difference.element(other.start-i+n-1, other.length)
				if sum != nil {
					c, d := sum.element(other.start+i, other.length)
					a, b = a+c, b+d
				}
				w.lower[0][f] += low * a
				w.lower[1][f] += low * b
				w.upper[0][f] += up * a
				w.upper[1][f] += up * b
			}
		}
		for f := e; f < count; f++ {
			addBlock(dst, size, e, f, w.lower[0][f], w.lower[1][f], w.upper[0][f], w.upper[1][f])
			if f > e {
				addBlock(dst, size, f, e, w.lower[0][f], w.upper[0][f], w.lower[1][f], w.upper[1][f])
			}
		}
	}
}

// addBlock adds the 2×2 block of elements e and f to dst; the last element has
// no upper knot.
func addBlock(dst []float64, size, e, f int, ll, lu, ul, uu float64) {
	dst[e*size+f] += ll
	if f+1 < size {
		dst[e*size+f+1] += lu
	}
	if e+1 < size {
		dst[(e+1)*size+f] += ul
		if f+1 < size {
			dst[(e+1)*size+f+1] += uu
		}
	}
}

// atTurn sets dst, one per knot, to Σ_j φ_k(j) (difference(j-i) + sum(i+j)) of
// turn i. sum may be nil.
func (w *winding) atTurn(dst []float64, i int, difference, sum *table) {
	clear(dst)
	for e, el := range w.grid.elements {
		a, b := difference.element(el.start-i+w.turns-1, el.length)
		if sum != nil {
			c, d := sum.element(el.start+i, el.length)
			a, b = a+c, b+d
		}
		dst[e] += a
		if e+1 < len(dst) {
			dst[e+1] += b
		}
	}
}

// electric forms elastance and fields.
func (w *winding) electric() {
	k := w.kernels
	size := w.grid.unknowns()
	w.toeplitz(&w.potential, k.potential, false)
	w.toeplitz(&w.axial, k.axial, true)
	w.toeplitz(&w.radial, k.radial, false)
	var p, a, r *table
	if k.room.planes != nil {
		p, a, r = &w.imagePotential, &w.imageAxial, &w.imageRadial
		w.hankel(p, k.imagePotential)
		w.hankel(a, k.imageAxial)
		w.hankel(r, k.imageRadial)
	}
	w.elastance = resize(w.elastance, size*size)
	for m, v := range k.end.bulk {
		v *= w.lineUnit()
		w.potential.value[w.turns-1-m] += v
		if m > 0 {
			w.potential.value[w.turns-1+m] += v
		}
	}
	w.potential.prepare()
	w.assemble(w.elastance, &w.potential, p)
	w.correctEnds()
	for d := range w.field {
		w.field[d] = resize(w.field[d], len(w.grid.samples)*size)
	}
	for s, sample := range w.grid.samples {
		w.atTurn(w.field[0][s*size:(s+1)*size], sample.turn, &w.axial, a)
		w.atTurn(w.field[1][s*size:(s+1)*size], sample.turn, &w.radial, r)
	}
}

// lineUnit returns 1/2πε₀ per charge of a whole turn, in V/C.
func (w *winding) lineUnit() float64 {
	return electrostatics.Coulomb / (math.Pi * w.kernels.winding.Radius)
}

// correctEnds adds what the ends of the row differ by.
func (w *winding) correctEnds() {
	e := &w.kernels.end
	unit := w.lineUnit()
	add := func(i, j int, v float64) {
		a, b := w.grid.find(i), w.grid.find(j)
		low, up := 1-a.place, a.place
		addBlock(w.elastance, w.grid.unknowns(), a.element, b.element, low*(1-b.place)*v, low*b.place*v, up*(1-b.place)*v, up*b.place*v)
	}
	last := w.turns - 1
	if e.whole {
		for i := range e.wires {
			for j := range e.wires {
				add(i, j, unit*e.delta[i*e.wires+j])
			}
		}
		return
	}
	for i := range e.wires / 2 {
		for j := range e.wires / 2 {
			v := unit * e.delta[i*e.wires+j]
			add(i, j, v)
			add(last-i, last-j, v)
		}
	}
}

// magnetic forms the inductance matrix of the currents that the charges drive.
//
// A charge on turn k sends its current through all turns below and half of it,
// on the mean, through turn k. Between two such charges
//
//	M_kl = (M_kk + M_ll - R(k-l))/2 - mirror,
//
// where R(n) is the inductance of n+1 turns of which the two at the ends carry
// half the current: its second difference is twice the mutual inductance, averaged
// over neighbours. The mirror part has the same second difference in k+l. So the
// whole matrix is one table by difference, one by sum and one function of either
// turn, all of them from O(n) additions.
func (w *winding) magnetic() {
	k := w.kernels
	n, size := w.turns, w.grid.unknowns()
	l := k.mutual
	neighbour := func(m int) float64 { // (2 L(m) + L(m-1) + L(m+1))/4
		if m == 0 {
			if n == 1 {
				return l[0] / 2 // never used: no neighbour
			}
			return (l[0] + l[1]) / 2
		}
		if m+1 < n {
			return (2*l[m] + l[m-1] + l[m+1]) / 4
		}
		return (2*l[m] + l[m-1]) / 4 // only beyond what is asked for
	}
	w.flux.reset(2*n - 1)
	r, slope := 0.0, 0.0 // R(m) and R(m+1) - R(m)
	w.offset = resize(w.offset, n)
	// Σ over trapezoid-weighted turns 0..m of L(j), the flux of turn 0.
	foot := 0.0
	for m := range n {
		if m == 1 {
			slope = neighbour(0)
		}
		if m > 1 {
			slope += 2 * neighbour(m-1)
		}
		r += slope
		if m > 0 {
			foot += (l[m-1] + l[m]) / 2
		}
		w.flux.value[n-1-m] = -r / 2
		w.flux.value[n-1+m] = -r / 2
		w.offset[m] = (r + foot + l[0]/4) / 2 // half of M_mm
	}
	w.flux.prepare()

	w.rowSum = resize(w.rowSum, n)
	w.sumRows(l)

	var mirror *table
	if k.room.metal {
		mirror = &w.imageFlux
		w.mirrorFlux()
	}

	w.driven = resize(w.driven, n)
	below := 0.0
	for i := range n {
		w.driven[i] = below + w.rowSum[i]/2
		below += w.rowSum[i]
	}
	w.whole = below

	w.inductance = resize(w.inductance, size*size)
	w.assemble(w.inductance, &w.flux, mirror)
	// The rank-two part f_k + f_l.
	w.count = resize(w.count, size)
	w.project(w.count, nil)
	w.mean = resize(w.mean, size)
	w.project(w.mean, w.offset)
	for a := range size {
		for b := range size {
			w.inductance[a*size+b] += w.mean[a]*w.count[b] + w.count[a]*w.mean[b]
		}
	}
}

// sumRows sets rowSum[i] = Σ_j L(|i-j|).
func (w *winding) sumRows(l []float64) {
	n := w.turns
	sum := 0.0
	for j := range n {
		sum += l[j]
	}
	for i := range n {
		w.rowSum[i] = sum
		if i+1 < n {
			sum += l[i+1] - l[n-1-i]
		}
	}
}

// mirrorFlux takes the mirrored currents off: the part of M by sums, and its
// share of offset and rowSum.
func (w *winding) mirrorFlux() {
	n := w.turns
	h := w.kernels.mirrored
	t := &w.imageFlux
	t.reset(2*n - 1)
	// q has the second difference (h(s) + 2h(s+1) + h(s+2))/4.
	q, slope := 0.0, 0.0
	for s := range 2*n - 1 {
		t.value[s] = -q
		q += slope
		if s+2 < 2*n-1 {
			slope += (h[s] + 2*h[s+1] + h[s+2]) / 4
		}
	}
	t.prepare()
	// M_kl = q(k+l) - q(k) - q(l) + q(0) + (U(k) + U(l))/2 + h(0)/4 with U(k) the
	// trapezoid-weighted sum of h over 0..k.
	u := 0.0
	for k := range n {
		if k > 0 {
			u += (h[k-1] + h[k]) / 2
		}
		w.offset[k] -= t.value[k] + u/2 + h[0]/8
	}
	sum := 0.0
	for j := range n {
		sum += h[j]
	}
	for i := range n {
		w.rowSum[i] -= sum
		if i+1 < n {
			sum += h[i+n] - h[i]
		}
	}
}

// project sets dst[k] to Σ_i φ_k(i) v_i; v nil stands for ones.
func (w *winding) project(dst, v []float64) {
	clear(dst)
	for e, el := range w.grid.elements {
		step := 1 / float64(el.length)
		for t := range el.length {
			x := 1.0
			if v != nil {
				x = v[el.start+t]
			}
			up := float64(t) * step * x
			dst[e] += x - up
			if e+1 < len(dst) {
				dst[e+1] += up
			}
		}
	}
}

// currents sets current to the part of the charge at each knot, spread over its
// turns, that flows through the sampled turn: all of the charge above it and half
// of its own.
func (w *winding) currents() {
	g := &w.grid
	knots := g.unknowns()
	w.current = resize(w.current, len(g.samples)*knots)
	clear(w.current)
	for s, sample := range g.samples {
		row := w.current[s*knots : (s+1)*knots]
		e := sample.element
		h := float64(g.elements[e].length)
		t := float64(sample.turn - g.elements[e].start)
		above := h - 1 - t
		ramp := (h*(h-1) - t*(t+1)) / (2 * h) // Σ_(j=t+1..h-1) j/h
		row[e] = above - ramp + (1-t/h)/2
		if e+1 < knots {
			row[e+1] = ramp + t/(2*h)
		}
		for f := e + 1; f < len(g.elements); f++ {
			h := float64(g.elements[f].length)
			row[f] += (h + 1) / 2
			if f+1 < knots {
				row[f+1] += (h - 1) / 2
			}
		}
	}
}
