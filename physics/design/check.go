package design

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/topload"
)

// Codes of what cannot be built.
const (
	CodeRingTurns     = "ring_turns"     // more turns than go round the hub
	CodeRingFormer    = "ring_former"    // the wire does not bend round the former
	CodeTorusHole     = "torus_hole"     // the tube is half the torus or thicker
	CodeDiscThickness = "disc_thickness" // thicker than wide
	CodeInsulation    = "insulation"     // thinner over the insulation than bare
	CodePitch         = "pitch"          // wires would overlap
	CodeFormerWall    = "former_wall"    // thicker than the tube is wide
	CodeBelowPlane    = "below_plane"    // reaches under the earthed plane or the board
	CodeTap           = "tap_turns"      // a tap beyond the last turn
	CodePrimaryBend   = "primary_bend"   // turns as narrow as their wire is thick
	CodeCollision     = "collision"      // two parts in the same place
	CodeCeiling       = "ceiling_height" // lower than the coil
	CodeBreakout      = "breakout"       // as thick as long, or thicker than the hole it stands in
)

const (
	// slack keeps what just touches from being refused by rounding.
	slack = 1e-9

	// leastRingTurns is the fewest turns that can be closed to a ring.
	leastRingTurns = 3

	// plateGap is the least distance in m from the top load to an earthed plane
	// under it, and from the coil to the ceiling. A plate that touches the top
	// would be a short, and one closer than this a spark.
	plateGap = 1e-3
)

// Check returns what keeps d from being built or computed, nil if nothing
// does. It finds what [Read] would refuse and, in a design that Read takes,
// what does not go together: a ring of more turns than fit round its hub, a
// ceiling lower than the coil. Variants are designs of their own and are not
// looked at.
func Check(d Design) []Problem {
	d.Variants = nil
	if problems := outOfRange(&d); len(problems) > 0 {
		return problems
	}
	l, problems := layOut(&d)
	if len(problems) > 0 {
		return problems
	}
	return l.check(&d)
}

// check returns what does not go together in d, whose layout l is.
func (l *layout) check(d *Design) Problems {
	var c checker
	c.wire("secondary.wire", l.secondary.wire)
	c.secondary(d, l)
	c.topLoad(d, l)
	c.primary(d, l)
	if len(c.problems) == 0 { // the rest needs bodies that are shapes
		c.collisions(d, l)
		c.room(d, l)
	}
	return c.problems
}

// checker collects the problems of a design.
type checker struct {
	problems Problems
}

func (c *checker) refuse(code, key string, text sentence.Text, nearest float64) {
	c.problems = append(c.problems, Problem{Code: code, Key: key, Text: text, Nearest: &nearest})
}

func (c *checker) wire(key string, w conductor) {
	if w.overall < w.bare*(1-slack) {
		c.refuse(CodeInsulation, key+".overall_diameter_m",
			sentence.New("%s over the insulation is less than the bare wire, %s", sentence.Length(w.overall), sentence.Length(w.bare)), w.bare)
	}
}

func (c *checker) secondary(d *Design, l *layout) {
	s := l.secondary
	if s.pitch < s.wire.overall*(1-slack) {
		c.refuse(CodePitch, "secondary.pitch_m",
			sentence.New("a pitch of %s is less than the wire is thick, %s", sentence.Length(s.pitch), sentence.Length(s.wire.overall)), s.wire.overall)
	}
	if most := d.Secondary.FormerDiameter / 2; d.Secondary.FormerWall > most*(1+slack) {
		c.refuse(CodeFormerWall, "secondary.former_wall_m",
			sentence.New("a wall of %s does not fit into a tube of %s: at most %s", sentence.Length(d.Secondary.FormerWall), sentence.Length(2*most), sentence.Length(most)), most)
	}
}

func (c *checker) topLoad(d *Design, l *layout) {
	t := &d.TopLoad
	switch t.Kind {
	case WireRing:
		c.wire("top_load.wire", l.top.wire)
		c.ring(t, l.top.ring)
	case Torus:
		if most := t.OuterDiameter / 2; t.TubeDiameter >= most {
			most *= 1 - slack
			c.refuse(CodeTorusHole, "top_load.tube_diameter_m",
				sentence.New("a torus of %s needs a tube under %s, or it has no hole", sentence.Length(t.OuterDiameter), sentence.Length(most)), most)
		}
	case Disc:
		if t.Thickness > t.Diameter*(1+slack) {
			c.refuse(CodeDiscThickness, "top_load.thickness_m",
				sentence.New("a disc of %s cannot be %s thick", sentence.Length(t.Diameter), sentence.Length(t.Thickness)), t.Diameter)
		}
	}
	c.onTop(l)
}

// onTop refuses a lead thinner over its insulation than bare, and a breakout point
// that is no rod or does not go through the hub.
func (c *checker) onTop(l *layout) {
	if l.lead.place != "" {
		c.wire("top_load.lead.wire", l.lead.wire)
	}
	if l.rod.length == 0 {
		return
	}
	if most := l.rod.length / 4; l.rod.radius > most*(1+slack) {
		c.refuse(CodeBreakout, "top_load.breakout.tip_radius_m",
			sentence.New("a breakout point %s long is a rod only up to a tip radius of %s", sentence.Length(l.rod.length), sentence.Length(most)), most)
	}
	if hole := l.top.inner - l.top.radius; l.top.inner > 0 && l.rod.radius > hole*(1+slack) {
		c.refuse(CodeBreakout, "top_load.breakout.tip_radius_m",
			sentence.New("a breakout point of radius %s does not go through the hole, %s wide", sentence.Length(l.rod.radius), sentence.Length(2*hole)), hole)
	}
}

func (c *checker) ring(t *TopLoad, ring topload.Ring) {
	if ring.Turns < leastRingTurns {
		c.refuse(CodeRingTurns, "top_load.turns", sentence.New("%d turns make no ring: at least %d", ring.Turns, leastRingTurns), leastRingTurns)
		return
	}
	err := ring.Check(t.Wire.Gauge)
	var unbuildable *topload.UnbuildableError
	switch {
	case err == nil:
	case errors.As(err, &unbuildable) && unbuildable.Nearest.Turns != ring.Turns:
		c.refuse(CodeRingTurns, "top_load.turns", sentence.Of(err), float64(unbuildable.Nearest.Turns))
	case errors.As(err, &unbuildable):
		c.refuse(CodeRingFormer, "top_load.former_diameter_m", sentence.Of(err), unbuildable.Nearest.FormerDiameter)
	default:
		c.problems = append(c.problems, Problem{Code: CodeRingFormer, Key: "top_load", Text: sentence.Of(err)})
	}
}

func (c *checker) primary(d *Design, l *layout) {
	p := l.primary
	if p.kind == NoPrimary {
		return
	}
	c.wire("primary.wire", p.wire)
	if p.pitch < p.wire.overall*(1-slack) {
		c.refuse(CodePitch, "primary.pitch_m",
			sentence.New("a pitch of %s is less than the wire is thick, %s", sentence.Length(p.pitch), sentence.Length(p.wire.overall)), p.wire.overall)
	}
	// A former thinner than the wire on it: nobody bends that. Common practice,
	// no source.
	if least := 2 * p.wire.overall; p.diameter < least*(1-slack) {
		c.refuse(CodePrimaryBend, "primary.inner_diameter_m",
			sentence.New("wire of %s does not bend to turns of %s: at least %s", sentence.Length(p.wire.overall), sentence.Length(p.diameter), sentence.Length(least)), least)
	}
	if p.turns > p.wound*(1+slack) {
		c.refuse(CodeTap, "primary.tap_turns",
			sentence.New("a tap at turn %g lies beyond the last turn, %g", p.turns, p.wound), p.wound)
	}
}

// room refuses parts under the earthed plane and a ceiling under the top.
func (c *checker) room(d *Design, l *layout) {
	plane, below := planeOf(&d.Room)
	for _, part := range []struct {
		key    string
		lowest float64 // m, of the insulation
		radius float64 // m, of the wire
		there  bool
	}{
		{"secondary.base_height_m", d.Secondary.BaseHeight, l.secondary.wire.overall / 2, true},
		{"primary.base_height_m", d.Primary.BaseHeight, l.primary.wire.overall / 2, l.primary.kind != NoPrimary},
	} {
		if part.there && part.lowest-part.radius < plane-slack {
			c.refuse(CodeBelowPlane, part.key,
				sentence.New("the lowest wire reaches %s: its centre must be at least %s up", below, sentence.AtLeast(plane+part.radius)), plane+part.radius)
		}
	}
	if d.TopLoad.Kind != NoTopLoad && l.top.centre-l.top.radius < plane+plateGap-slack {
		least := plane + plateGap + l.top.radius - l.secondary.topEdge()
		text := sentence.New("the top load reaches %s", below)
		if gap := l.top.centre - l.top.radius - plane; gap > 0 {
			text = sentence.New("the top load comes within %s of what lies under it: it needs at least %s", sentence.Length(gap), sentence.AtLeast(plateGap))
		}
		c.refuse(CodeBelowPlane, "top_load.height_m", text, least)
	}
	if least := l.topEdge() + plateGap; d.Room.CeilingHeight > 0 && d.Room.CeilingHeight < least*(1-slack) {
		c.refuse(CodeCeiling, "room.ceiling_height_m",
			sentence.New("a ceiling at %s does not clear the coil: it needs at least %s", sentence.Length(d.Room.CeilingHeight), sentence.AtLeast(least)), least)
	}
}

// planeOf returns the height in m that no metal of the coil may reach under,
// and its name for a message; -Inf with nothing there.
func planeOf(r *Room) (float64, sentence.Text) {
	switch {
	case r.Foot == Circuit && r.Ground != MetalPlane:
		return 0, sentence.New("into the board at its foot")
	case r.Ground == MetalPlane:
		return 0, sentence.New("into the metal plane")
	case r.Ground == Floor:
		return -r.FloorDepth, sentence.New("under the floor")
	}
	return math.Inf(-1), sentence.Text{}
}

// topEdge returns the height in m of the highest point of the coil.
func (l *layout) topEdge() float64 {
	edge := l.secondary.topEdge()
	if l.top.kind != NoTopLoad {
		edge = max(edge, l.top.topEdge(), l.rodFoot()+l.rod.length)
	}
	if l.primary.kind != NoPrimary {
		_, z := l.primary.at(math.Ceil(l.primary.wound) - 1) // a part of a turn lies under a whole one's place
		edge = max(edge, max(l.primary.base, z)+l.primary.wire.overall/2)
	}
	return edge
}

// collisions refuses parts that would have to be in the same place.
func (c *checker) collisions(d *Design, l *layout) {
	s := l.secondary
	if least, free := l.top.freeHeight(s); !free {
		c.refuse(CodeCollision, "top_load.height_m",
			sentence.New("the top load would cut into the winding: it must stand at least %s over it", sentence.AtLeast(least)), least)
	}
	p := l.primary
	if p.kind == NoPrimary {
		return
	}
	// The wall of the tube with the winding on it, as the wire's centre meets
	// it.
	wall := box{s.bore, s.outer(), s.bottom, s.topEdge()}.grown(p.wire.overall / 2)
	r, z := p.at(0)
	if rLast, zLast := p.at(math.Max(math.Ceil(p.wound)-1, 0)); wall.crossed(r, z, rLast, zLast) {
		least := 2 * wall.right // the first turn is the innermost
		c.refuse(CodeCollision, "primary.inner_diameter_m",
			sentence.New("the primary would cut into the secondary: it needs at least %s inside", sentence.AtLeast(least)), least)
		return
	}
	for turn := 0.0; turn < p.wound; turn++ {
		r, z := p.at(turn)
		if l.top.distance(r, z) < p.wire.overall/2*(1-slack) {
			c.problems = append(c.problems, Problem{Code: CodeCollision, Key: "top_load.height_m", Text: sentence.New("the top load would cut into the primary")})
			return
		}
	}
}

// distance returns the distance in m from the body to a point at radius r and
// height z, 0 inside; infinite without a body.
func (b topBody) distance(r, z float64) float64 {
	if b.kind == NoTopLoad {
		return math.Inf(1)
	}
	across := max(b.inner-r, r-b.outer, 0)
	return max(math.Hypot(across, z-b.centre)-b.radius, 0)
}

// freeHeight reports whether the body is free of the winding and, if not, the
// least height over the winding's top edge at which it is. The winding is a
// shell, so that a body may reach into it or round it.
func (b topBody) freeHeight(s coil) (least float64, free bool) {
	if b.kind == NoTopLoad {
		return 0, true
	}
	shell := box{s.diameter/2 - s.wire.overall/2, s.outer(), s.bottom, s.topEdge()}
	across := max(b.inner-shell.right, shell.left-b.outer, 0)
	along := max(b.centre-shell.top, shell.bottom-b.centre, 0)
	if math.Hypot(across, along) >= b.radius*(1-slack) {
		return 0, true
	}
	return math.Sqrt(b.radius*b.radius - across*across), false
}

// box is a rectangle in the plane of the axis, in m.
type box struct {
	left, right, bottom, top float64
}

func (b box) grown(by float64) box {
	return box{b.left - by, b.right + by, b.bottom - by, b.top + by}
}

// crossed reports whether a straight line between two points passes through the
// inside of the box; along an edge it does not.
//
// Source: Liang and Barsky, "A New Concept and Method for Line Clipping", ACM
// Transactions on Graphics 3 (1984), for the bounds from and to of the part
// that lies inside.
func (b box) crossed(r1, z1, r2, z2 float64) bool {
	from, to := 0.0, 1.0
	for _, side := range []struct{ start, along, low, high float64 }{
		{r1, r2 - r1, b.left + slack, b.right - slack},
		{z1, z2 - z1, b.bottom + slack, b.top - slack},
	} {
		if math.Abs(side.along) < slack {
			if side.start <= side.low || side.start >= side.high {
				return false
			}
			continue
		}
		enter, leave := (side.low-side.start)/side.along, (side.high-side.start)/side.along
		from, to = math.Max(from, math.Min(enter, leave)), math.Min(to, math.Max(enter, leave))
	}
	return from < to
}

// mm writes a length in m for a message.
func mm(length float64) string { return fmt.Sprintf("%.4g mm", length*1e3) }
