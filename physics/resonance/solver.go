package resonance

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
)

// ErrNotSolved is wrapped by errors about matrices that lost their definiteness or
// modes that did not settle; both mean a geometry beyond what the model bears.
var ErrNotSolved = errors.New("resonance: not solved")

// Solver finds the modes of coils. It keeps its memory and everything that the
// next coil shares with the last one: kernels while the turns alone change, the
// matrices of the winding while only its neighbours do. It is not for concurrent
// use; the zero Solver is ready.
type Solver struct {
	// Spacing scales the distance of the knots that carry the charge: 1 as
	// measured to suffice, smaller is finer. 0 stands for 1.
	Spacing float64

	// Overtones asks for the profiles of the higher modes too. Of a winding
	// that ends within a turn they are those of the completed one.
	Overtones bool

	nodes float64 // spacing of a source's nodes over its distance; 0: nodeSpacing

	kernels kernels
	winding winding
	places  []float64 // m, heights of the samples
	beside  []neighbour

	primary, footLead, topLead, rod, board, top source
	sources                                     []*source
	primaryTurns                                []inductance.Loop

	formers  formers
	former   *former // of the last coil that has one
	matrices matrices
	shorted  shorted
	eigen    eigen
}

// matrices are the whole coil's, all unknowns together: first the charges at the
// knots of the winding, then the amplitudes of primary, foot lead and board, then those
// of what belongs to the top load. Where the foot returns to a board, one more row and
// column at the end belong to its net charge until it is eliminated.
type matrices struct {
	size   int // knots of the winding
	bare   int // unknowns without the top
	count  int // all unknowns
	stride int

	elastance  []float64 // V/C
	factor     []float64 // its upper Cholesky factor
	inductance []float64 // H, by the charges that drive the currents
	current    []float64 // by unknown: its part of the current through the whole winding
	net        []float64 // by unknown: charge that the board must answer
	topFlux    []float64 // by unknown, H: flux through all turns per ampere of it
	boardRow   []float64 // by unknown, V/C: potential of the board

	field  [2][]float64 // knots×unknowns, V/(C m), along and across; after crowd R⁻ᵀ times that
	moment [2][]float64 // knots, C m
	line   []float64    // working memory, one per unknown
}

// Solve returns the modes of c. The result shares no memory with the solver.
// It returns ctx's error soon after ctx is done.
//
// Bodies are compared by what they hold, so that the caller may use one again.
func (s *Solver) Solve(ctx context.Context, c *Coil) (*Modes, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	c = c.overFloor()
	whole := math.Floor(c.Winding.Turns + leastFraction)
	fraction := c.Winding.Turns - whole
	if fraction < leastFraction {
		return s.solveWhole(ctx, c, whole)
	}
	below, err := s.solveWhole(ctx, c, whole)
	if err != nil {
		return nil, err
	}
	above, err := s.solveWhole(ctx, c, whole+1)
	if err != nil {
		return nil, err
	}
	return between(below, above, math.Log(c.Winding.Turns/whole)/math.Log1p(1/whole), fraction), nil
}

// solveWhole solves the coil with a whole number of turns in place of its own.
func (s *Solver) solveWhole(ctx context.Context, c *Coil, turns float64) (*Modes, error) {
	if turns != c.Winding.Turns {
		changed := c.withTurns(turns)
		c = &changed
	}
	room, err := s.room(c)
	if err != nil {
		return nil, err
	}
	spacing := s.Spacing
	if spacing == 0 {
		spacing = 1
	}
	changed, err := s.winding.prepare(ctx, &s.kernels, c.Winding, room, spacing, s.besides(c), c.slab())
	if err != nil {
		return nil, err
	}
	if changed {
		s.places = s.winding.places(s.places[:0])
	}
	if err := s.combine(ctx, c, changed, spacing); err != nil {
		return nil, err
	}
	return s.modes(ctx, c)
}

// besides returns the turns of the primary as neighbours of the winding. What belongs
// to top load and foot lies near an end, where the knots are close anyway.
func (s *Solver) besides(c *Coil) []neighbour {
	w := c.Winding
	s.beside = s.beside[:0]
	for _, l := range c.Primary {
		s.beside = append(s.beside, neighbour{(l.Height - w.Base) / w.Pitch, math.Abs(l.Radius-w.Radius) / w.Pitch})
	}
	return s.beside
}

// room turns the planes of c into what the kernels take, reusing the images of
// the last one where they fit.
func (s *Solver) room(c *Coil) (room, error) {
	r := room{floor: math.Inf(-1), ceiling: math.Inf(1)}
	if c.Room.Floor != nil {
		r.floor, r.metal = *c.Room.Floor, c.Room.Metal
	}
	if c.Room.Ceiling != nil {
		r.ceiling = *c.Room.Ceiling
	}
	if c.Room.Floor == nil && c.Room.Ceiling == nil {
		return r, nil
	}
	reach := c.reach()
	if old := s.kernels.room; old.planes != nil && old.floor == r.floor && old.ceiling == r.ceiling && reach <= old.reach {
		r.planes, r.reach = old.planes, old.reach
		return r, nil
	}
	planes, err := electrostatics.NewPlanes(r.floor, r.ceiling, reach)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrGeometry, err)
	}
	r.planes, r.reach = planes, reach
	return r, nil
}

// reach returns the largest distance from the axis of any charge.
func (c *Coil) reach() float64 {
	r := c.Winding.Radius + c.Winding.WireRadius
	for _, l := range c.Primary {
		r = math.Max(r, l.Radius)
	}
	if c.Top != nil {
		r = math.Max(r, c.Top.Outer)
	}
	if c.Board != nil {
		r = math.Max(r, c.Board.Body.Outer)
	}
	for _, l := range []*Lead{c.TopLead, c.FootLead, c.Rod} {
		if l != nil {
			r = math.Max(r, l.Radius)
		}
	}
	return r
}

// combine sets up the matrices of the whole coil.
func (s *Solver) combine(ctx context.Context, c *Coil, changed bool, spacing float64) error {
	w, m := &s.winding, &s.matrices
	planes := s.kernels.room.planes
	nodes := s.nodes
	if nodes == 0 {
		nodes = nodeSpacing * spacing
	}
	seen := func(src *source) {
		src.seenFrom(c.Winding.Radius, s.places, planes, nodes)
	}
	s.sources = s.sources[:0]
	m.size = w.grid.unknowns()
	next := m.size
	place := func(src *source, from, to int) {
		src.index = resize(src.index, src.modes())
		for k := from; k < to; k++ {
			src.index[k] = next
			next++
		}
		s.sources = append(s.sources, src)
	}
	if len(c.Primary) > 0 {
		if changed || !slices.Equal(s.primaryTurns, c.Primary) {
			s.primaryTurns = append(s.primaryTurns[:0], c.Primary...)
			s.primary.fromLoops(c.Primary)
			seen(&s.primary)
		}
		s.primary.attached = earth
		place(&s.primary, 0, s.primary.modes())
	} else {
		s.primaryTurns = s.primaryTurns[:0]
	}
	if c.FootLead != nil {
		s.footLead.fromLead(c.FootLead)
		seen(&s.footLead)
		s.footLead.attached = earth
		if c.Board != nil {
			s.footLead.attached = foot
		}
		place(&s.footLead, 0, s.footLead.modes())
	}
	earthCapacitor := -1
	if c.Board != nil {
		if c.Board.EarthCapacitance > 0 {
			earthCapacitor = next
			next++
		}
		if !s.board.is(c.Board.Body, c.Board.Height) || changed {
			s.board.fromBody(c.Board.Body, c.Board.Height)
			seen(&s.board)
		}
		s.board.attached = foot
		place(&s.board, 1, s.board.modes())
	}
	m.bare = next
	if c.Top != nil {
		if c.TopLead != nil {
			s.topLead.fromLead(c.TopLead)
			seen(&s.topLead)
			s.topLead.attached = top
			place(&s.topLead, 0, s.topLead.modes())
		}
		if c.Rod != nil {
			s.rod.fromLead(c.Rod)
			seen(&s.rod)
			s.rod.attached = top
			place(&s.rod, 0, s.rod.modes())
		}
		if !s.top.is(c.Top, c.TopHeight) || changed {
			s.top.fromBody(c.Top, c.TopHeight)
			seen(&s.top)
		}
		s.top.attached = top
		place(&s.top, 0, s.top.modes())
	}
	m.count, m.stride = next, next
	if c.Board != nil {
		s.board.index[0] = next
		m.stride++
	}
	if err := ctx.Err(); err != nil {
		return err
	}

	m.clear()
	w.into(m)
	for _, src := range s.sources {
		src.meet(w, m)
	}
	for a, src := range s.sources {
		src.meetSelf(planes, m)
		for _, other := range s.sources[a+1:] {
			src.meetSource(other, planes, m)
		}
	}
	if earthCapacitor >= 0 {
		m.elastance[earthCapacitor*m.stride+earthCapacitor] = 1 / c.Board.EarthCapacitance
		m.net[earthCapacitor] = 1
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if c.hasFormer() {
		s.former = s.formers.of(c, w)
		if err := s.former.apply(c, w, s.sources, m); err != nil {
			return err
		}
	}
	w.crowd(m)
	m.symmetrise()
	m.eliminateBoard(c.Board != nil)
	return nil
}

// clear makes room and sets everything to zero.
func (m *matrices) clear() {
	n := m.stride
	for _, v := range []*[]float64{&m.elastance, &m.inductance} {
		*v = resize(*v, n*n)
		clear(*v)
	}
	for _, v := range []*[]float64{&m.current, &m.net, &m.topFlux, &m.boardRow, &m.line} {
		*v = resize(*v, n)
		clear(*v)
	}
	for d := range m.field {
		m.field[d] = resize(m.field[d], m.size*n)
		clear(m.field[d])
	}
}

// symmetrise copies the upper triangles to the lower ones.
func (m *matrices) symmetrise() {
	n := m.stride
	for i := range n {
		for j := range i {
			m.elastance[i*n+j] = m.elastance[j*n+i]
			m.inductance[i*n+j] = m.inductance[j*n+i]
		}
	}
}

// eliminateBoard puts the board's net charge equal to minus all charge of coil,
// foot lead and earth capacitance: with ν the net charges of the unknowns and b the
// board, P_ij becomes P_ij - ν_i P_bj - P_ib ν_j + ν_i P_bb ν_j. The matrices keep
// their stride.
func (m *matrices) eliminateBoard(present bool) {
	if !present {
		return
	}
	n, b := m.stride, m.count
	own := m.elastance[b*n+b]
	for i := range b {
		m.boardRow[i] = m.elastance[b*n+i] - own*m.net[i]
	}
	for i := range b {
		pib := m.elastance[i*n+b]
		for j := range b {
			m.elastance[i*n+j] -= m.net[i]*m.boardRow[j] + pib*m.net[j]
		}
	}
}
