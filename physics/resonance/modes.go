package resonance

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/si"
)

// ModeCount is how many modes are found.
const ModeCount = 3

// Modes are the lowest modes of a coil. Voltages, currents and charges are crest
// values of the first mode at a top voltage of one volt; voltages count from the
// foot.
type Modes struct {
	Frequency [ModeCount]float64 // Hz, ascending
	Found     int                // how many of them exist: a coil of n turns has n, and one more with a top load
	Bare      float64            // Hz, first mode without top load and its lead

	Energy      float64 // J, electric energy when all voltages are at their crest
	FootCurrent float64 // A, from earth or board into the foot

	FootInductance  float64 // H, Lf = 2 We/If²
	FootCapacitance float64 // F, Cf = 1/(ω² Lf)
	TopInductance   float64 // H, 1/(ω² Ct)
	TopCapacitance  float64 // F, Ct = 2 We/Vt²
	TopToFootRatio  float64 // ω Cf Vt/If
	FootMutual      float64 // H, Σ mutual inductance to the primary times current, over foot current; 0 without a primary

	// CircuitRatio is the voltage of the board against earth over the top
	// voltage; 0 where the foot is at zero.
	CircuitRatio float64

	TopAmplitude []float64 // C, of the modes of the top load's body
	Rings        []Rings   // C, all charges of the first mode; of a fractional winding those with its last turn completed
	Profile      Profile
	Polarised    *electrostatics.Polarised // bound charge of the former in the first mode; nil: none
	Overtones    []Profile                 // of the second mode and on, if [Solver.Overtones] asks for them, with the largest voltage as the unit

	// Residual is ‖M q - μ P q‖/μ in the metric of P, the largest of the
	// modes; frequencies are good to about its square, for the chosen unknowns.
	Residual float64
	Unknowns int
}

// Profile is a mode along the winding, one entry per sampled turn from the foot
// up. Near the ends every turn is there.
type Profile struct {
	Turn     []float64 // turns from the foot to the middle of this one: 0.5 for the first
	Height   []float64 // m, of its centre
	Weight   []float64 // turns it stands for in a sum over all
	Voltage  []float64 // V, mean over the turn
	Current  []float64 // A
	Charge   []float64 // C, on the turn
	Gradient []float64 // V/m, largest field on the wire's surface, up to the dipoles of its charge: see the package comment
}

// modes solves the matrices.
func (s *Solver) modes(ctx context.Context, c *Coil) (*Modes, error) {
	m, e := &s.matrices, &s.eigen
	n := m.count
	m.factor = resize(m.factor, len(m.elastance))
	copy(m.factor, m.elastance)
	factor, ok := lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: n, Stride: m.stride, Data: m.factor})
	if !ok {
		return nil, fmt.Errorf("%w: elastance of the coil; do parts cut each other?", ErrNotSolved)
	}
	out := &Modes{Unknowns: n}

	start := func(n int) []float64 {
		// R times the charge of unit density everywhere that drives current.
		copy(m.line[:n], m.current[:n])
		for i := range m.size {
			m.line[i] = 1
		}
		for i := m.size; i < n; i++ {
			if m.current[i] != 0 {
				m.line[i] = float64(m.size)
			}
		}
		r := factor
		r.N = n
		blas64.Trmv(blas.NoTrans, r, blas64.Vector{N: n, Inc: 1, Data: m.line})
		return m.line
	}
	if c.Top != nil {
		mu, found, _, residual, err := e.solve(ctx, m.bare, m.stride, m.factor, m.inductance, start(m.bare))
		if err != nil {
			return nil, err
		}
		if found > 0 {
			out.Bare = 1 / (2 * math.Pi * math.Sqrt(mu[0]))
		}
		out.Residual = residual
		if err := s.shorted.apply(c.Shorted, c.TopHeight, &s.winding, m); err != nil {
			return nil, err
		}
	} else {
		s.shorted.loops = s.shorted.loops[:0]
	}
	mu, found, vectors, residual, err := e.solve(ctx, n, m.stride, m.factor, m.inductance, start(n))
	if err != nil {
		return nil, err
	}
	out.Found = found
	out.Residual = math.Max(out.Residual, residual)
	for i := range found {
		out.Frequency[i] = 1 / (2 * math.Pi * math.Sqrt(mu[i]))
	}
	if c.Top == nil {
		out.Bare = out.Frequency[0]
	}
	s.describe(c, out, 1/mu[0], vectors[:n])
	if s.Overtones {
		for i := 1; i < found; i++ {
			out.Overtones = append(out.Overtones, s.overtone(c, 1/mu[i], vectors[i*n:(i+1)*n]))
		}
	}
	return out, nil
}

// describe fills in what follows from the first mode, q with qᵀPq = 1 and λ = ω².
func (s *Solver) describe(c *Coil, out *Modes, lambda float64, q []float64) {
	m := &s.matrices
	n := m.count
	omega := math.Sqrt(lambda)
	dot := func(a, b []float64) float64 {
		return blas64.Dot(blas64.Vector{N: n, Inc: 1, Data: a}, blas64.Vector{N: n, Inc: 1, Data: b})
	}
	topVoltage := lambda * dot(m.topFlux, q)
	blas64.Scal(1/topVoltage, blas64.Vector{N: n, Inc: 1, Data: q})
	out.Energy = 0.5 / (topVoltage * topVoltage)
	out.FootCurrent = omega * dot(m.current, q)
	out.effective()
	if c.Board != nil {
		out.CircuitRatio = math.Abs(dot(m.boardRow, q))
	}
	if c.Top != nil {
		modes := c.Top.Modes()
		out.TopAmplitude = append([]float64(nil), q[n-modes:]...)
	}
	s.profile(c, &out.Profile, lambda, q)
	out.Rings = s.rings(c, q)
	out.Polarised = s.polarised(c, q)
	if len(c.Primary) > 0 {
		sum := 0.0
		for i := range out.Profile.Turn {
			z, flux := out.Profile.Height[i], 0.0
			for _, l := range c.Primary {
				v := inductance.MutualLoopsUnchecked(l.Radius, c.Winding.Radius, l.Height-z)
				if c.Room.Metal {
					v -= inductance.MutualLoopsUnchecked(l.Radius, c.Winding.Radius, l.Height+z-2**c.Room.Floor)
				}
				flux += l.Weight * v
			}
			sum += out.Profile.Weight[i] * out.Profile.Current[i] * flux
		}
		out.FootMutual = sum / out.FootCurrent
	}
}

// overtone returns a higher mode along the winding. Its voltage on top may be
// next to nothing, so that it is scaled to the largest anywhere.
func (s *Solver) overtone(c *Coil, lambda float64, q []float64) Profile {
	var p Profile
	s.profile(c, &p, lambda, q)
	largest := lambda * blas64.Dot(blas64.Vector{N: len(q), Inc: 1, Data: s.matrices.topFlux}, blas64.Vector{N: len(q), Inc: 1, Data: q})
	for _, v := range p.Voltage {
		if math.Abs(v) > math.Abs(largest) {
			largest = v
		}
	}
	for _, column := range [][]float64{p.Voltage, p.Current, p.Charge} {
		blas64.Scal(1/largest, blas64.Vector{N: len(column), Inc: 1, Data: column})
	}
	blas64.Scal(1/math.Abs(largest), blas64.Vector{N: len(p.Gradient), Inc: 1, Data: p.Gradient})
	return p
}

// profile fills in a mode along the winding.
func (s *Solver) profile(c *Coil, p *Profile, lambda float64, q []float64) {
	m, w := &s.matrices, &s.winding
	knots := w.grid.unknowns()
	omega := math.Sqrt(lambda)
	samples := w.grid.samples
	count := len(samples)
	memory := make([]float64, 7*count)
	for i, column := range []*[]float64{&p.Turn, &p.Height, &p.Weight, &p.Voltage, &p.Current, &p.Charge, &p.Gradient} {
		*column = memory[i*count : (i+1)*count : (i+1)*count]
	}
	onTop := 0.0
	for i := m.size; i < m.count; i++ {
		onTop += m.current[i] * q[i]
	}
	vector := func(v []float64) blas64.Vector { return blas64.Vector{N: knots, Inc: 1, Data: v} }
	charge := vector(q)
	all := blas64.Dot(vector(w.count), charge)
	offset := blas64.Dot(vector(w.mean), charge)
	var mirror *table
	if w.kernels.room.metal {
		mirror = &w.imageFlux
	}
	moments := s.moments(q)
	// At the surface of the insulation the field is that of the dipole and
	// what draws it, which on bare metal are equal.
	wire := w.kernels.row.section.outer() * c.Winding.Pitch
	if w.kernels.row.section.bare() {
		wire = c.Winding.WireRadius
	}
	double := (1 + 1/w.kernels.row.section.share(1)) / 2
	surface := func(charge float64, moment [2]float64) float64 {
		round := 2 * math.Pi * c.Winding.Radius
		line := math.Abs(charge) / (2 * math.Pi * si.Epsilon0 * wire * round)
		return line + double*math.Hypot(moment[0], moment[1])/(math.Pi*si.Epsilon0*wire*wire*round)
	}
	row := m.line[:knots]
	w.currents()
	for t, sample := range samples {
		i := sample.turn
		p.Turn[t] = float64(i) + 0.5
		p.Height[t] = c.Winding.Base + float64(i)*c.Winding.Pitch
		p.Weight[t] = sample.weight
		p.Current[t] = omega * (blas64.Dot(vector(w.current[t*knots:]), charge) + onTop)
		w.atTurn(row, i, &w.flux, mirror)
		flux := blas64.Dot(vector(row), charge) + w.offset[i]*all + offset + w.driven[i]*onTop
		p.Voltage[t] = lambda * flux
		up := min(sample.element+1, knots-1)
		between := func(v []float64) float64 { return (1-sample.place)*v[sample.element] + sample.place*v[up] }
		p.Charge[t] = between(q)
		p.Gradient[t] = surface(p.Charge[t], [2]float64{between(moments[0]), between(moments[1])})
	}
	s.shorted.lower(p, lambda, q, w, m)
}

// lower takes the flux of the top load's currents off the voltages of p.
func (s *shorted) lower(p *Profile, lambda float64, q []float64, w *winding, m *matrices) {
	count := len(s.loops)
	if count == 0 {
		return
	}
	s.current = resize(s.current, count)
	v := blas64.Vector{N: count, Inc: 1, Data: s.current}
	g := blas64.General{Rows: count, Cols: m.count, Stride: m.stride, Data: s.flux}
	blas64.Gemv(blas.NoTrans, 1, g, blas64.Vector{N: m.count, Inc: 1, Data: q}, 0, v)
	blas64.Trsv(blas.NoTrans, blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: count, Stride: count, Data: s.mutual}, v)
	radius := w.kernels.winding.Radius
	below := 0.0
	for t := range p.Turn {
		flux := 0.0
		for i, l := range s.loops {
			f := inductance.MutualLoopsUnchecked(l.Radius, radius, l.Height-p.Height[t])
			if w.kernels.room.metal {
				f -= inductance.MutualLoopsUnchecked(l.Radius, radius, l.Height+p.Height[t]-2*w.kernels.room.floor)
			}
			flux += s.current[i] * f
		}
		flux *= p.Weight[t]
		p.Voltage[t] -= lambda * (below + flux/2)
		below += flux
	}
}
