package design

import (
	"fmt"
	"math"

	"coilwright/physics/inductance"
	"coilwright/physics/loss"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
	"coilwright/physics/winding"
	"coilwright/physics/wire"
)

// tops returns the top loads to try, each as a combination without a winding. Their
// heights over the winding are set later.
func (w *drawer) tops() []combination {
	none := Buildable{Wire: -1, Former: -1, RingWire: -1, RingFormer: -1, Hub: -1}
	none.Design = w.base
	none.Design.TargetFrequency = w.search.Frequency
	none.Design.Variants, none.Design.Measurements = nil, nil
	var all []combination
	add := func(b Buildable) {
		l, problems := layOut(&b.Design)
		if len(problems) > 0 {
			return
		}
		c := combination{coil: b, layout: l}
		if l.top.kind != NoTopLoad {
			value, _, err := isolatedCapacitance(l.top)
			if err != nil {
				return
			}
			c.top = value
		}
		all = append(all, c)
	}
	bare := none
	bare.Design.TopLoad.Kind = NoTopLoad
	add(bare)
	if w.base.TopLoad.Kind != NoTopLoad {
		add(none)
	}
	stock := &w.search.Stock
	for i, c := range w.conductors {
		if stock.Wires[i].Wire.Insulation != Bare || c.bare < ringWireMin {
			continue
		}
		for j, former := range stock.Formers {
			for k, hub := range stock.Hubs {
				ring := topload.Ring{WireDiameter: c.bare, FormerDiameter: former.Diameter, HubDiameter: hub.Diameter}
				ring.Turns = int(shareOfHub * float64(ring.MaxTurns()))
				if ring.Turns < leastRing || former.Diameter < ringOverTube*c.bare || ring.Check("") != nil {
					continue
				}
				b := none
				b.RingWire, b.RingFormer, b.Hub = i, j, k
				t := &b.Design.TopLoad
				t.Kind, t.Wire, t.Turns = WireRing, stock.Wires[i].Wire, ring.Turns
				t.FormerDiameter, t.HubDiameter = former.Diameter, hub.Diameter
				b.RingNeeded = ringOf(topBody{ring: ring}, winding.DefaultSettings()).CutLength()
				if b.RingNeeded <= w.lengths[i] {
					add(b)
				}
			}
		}
	}
	return all
}

// sieve tries every combination by the handbook.
func (w *drawer) sieve() error {
	tops := w.tops()
	w.at.Combinations = len(tops) * len(w.formers) * len(w.wires) * len(spacings)
	for _, top := range tops {
		for _, former := range w.formers {
			if err := w.ctx.Err(); err != nil {
				return err
			}
			w.progress(w.at)
			for _, spool := range w.wires {
				for _, spacing := range spacings {
					w.at.Tried++
					if c, ok := w.combine(top, former, spool, spacing); ok {
						w.consider(c)
					}
				}
			}
		}
	}
	w.progress(w.at)
	return nil
}

// combine puts a top load on a winding, if one can be wound at all.
func (w *drawer) combine(c combination, former, spool int, spacing float64) (combination, bool) {
	stock := &w.search.Stock
	tube, of, conductor := stock.Formers[former], stock.Wires[spool].Wire, w.conductors[spool]
	if spacing == 0 && of.Insulation == Bare {
		return c, false
	}
	c.coil.Former, c.coil.Wire, c.coil.Close = former, spool, spacing == 0
	d := &c.coil.Design
	if d.Primary.Kind != NoPrimary {
		d.Primary.InnerDiameter += tube.Diameter - w.base.Secondary.FormerDiameter
	}
	d.Secondary.FormerDiameter, d.Secondary.FormerWall = tube.Diameter, math.Min(tube.Wall, tube.Diameter/2)
	d.Secondary.FormerRelativePermittivity, d.Secondary.FormerLossTangent = tube.RelativePermittivity, tube.LossTangent
	d.Secondary.Wire, d.Secondary.Pitch = of, spacing*conductor.overall
	l := &c.layout
	l.secondary.wire, l.secondary.diameter = conductor, tube.Diameter+conductor.overall
	l.secondary.pitch = pitchOf(d.Secondary.Pitch, d.Secondary.Packing, conductor)
	l.secondary.turns = leastTurns
	l.secondary.bottom = d.Secondary.BaseHeight - l.secondary.pitch/2
	if b := &l.top; b.kind != NoTopLoad {
		if c.coil.Hub >= 0 { // it stands on the end of its tube
			d.TopLoad.Height = formerEnd + c.coil.hubHeight()/2
		}
		b.centre = l.secondary.topEdge() + d.TopLoad.Height
		if least, free := b.freeHeight(l.secondary); !free {
			d.TopLoad.Height = least + ringGap
		}
		c.over = d.TopLoad.Height + b.radius
	}
	c.left = w.lengths[spool]
	if c.coil.RingWire == spool {
		c.left -= c.coil.RingNeeded
	}
	tails := secondaryOf(l, winding.DefaultSettings()).Tail * 2
	c.most, c.limit = turnsOfCoil.max, "more turns than this are not computed"
	for _, bound := range []struct {
		turns float64
		limit string
	}{
		{(c.left - tails) / (l.secondary.length() / l.secondary.turns), "the spool is too short for more"},
		{length(tube.Length) / l.secondary.pitch, "the former is too short for more"},
		{(heightOr(w.search.MaxHeight) - c.over) / l.secondary.pitch, "the height allows no more"},
		{mostSlender * l.secondary.diameter / l.secondary.pitch, fmt.Sprintf("a longer winding would be over %g times as long as wide", mostSlender)},
	} {
		if bound.turns < c.most {
			c.most, c.limit = bound.turns, bound.limit
		}
	}
	c.most = math.Floor(c.most + slack)
	return c, c.most >= leastTurns
}

// hubHeight returns what a nut is high in m, about half of its width.
func (b *Buildable) hubHeight() float64 { return b.Design.TopLoad.HubDiameter / 2 }

// length returns what of a former in m can be wound over; 0 stands for any length.
func length(former float64) float64 {
	if former == 0 {
		return math.Inf(1)
	}
	return former - 2*formerEnd
}

// heightOr returns the height, +Inf for 0.
func heightOr(height float64) float64 {
	if height == 0 {
		return math.Inf(1)
	}
	return height
}

// byHandbook returns frequency in Hz and inductance in H of a number of turns.
func (c *combination) byHandbook(turns float64) (frequency, henries float64) {
	s := &c.layout.secondary
	height := turns * s.pitch
	sheet, err := inductance.CurrentSheet(turns, s.diameter, height)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	sheet -= inductance.RoundWireCorrection(turns, s.diameter, s.pitch, s.wire.bare)
	self, err := resonance.MedhurstCapacitance(s.diameter, height)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	return resonance.HandbookFrequency(sheet, self.Value, c.top), sheet
}

// consider keeps a combination that may reach the frequency.
func (w *drawer) consider(c combination) {
	low, _ := c.byHandbook(c.most)
	high, _ := c.byHandbook(leastTurns)
	target := w.search.Frequency
	missed := func(turns, frequency float64) {
		if miss := math.Abs(math.Log(frequency / target)); w.missed == nil || miss < w.miss {
			c.turns = turns
			w.missed, w.miss = &c, miss
		}
	}
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return
	case low > target*(1+c.handbookAbove()):
		missed(c.most, low)
		return
	case high < target*(1-handbookBelow):
		missed(leastTurns, high)
		return
	}
	c.turns = c.turnsFor(target)
	_, henries := c.byHandbook(c.turns)
	reactance := 2 * math.Pi * target * henries
	c.merit = reactance / math.Sqrt(c.resistance(target, w.base.Room.AirTemperature))
	w.fitting = append(w.fitting, c)
}

// handbookAbove returns how far, relative, the handbook's frequency of the coil may lie
// above the exact one.
func (c *combination) handbookAbove() float64 {
	return handbookAbove + formerAbove*(c.coil.Design.Secondary.FormerRelativePermittivity-1)
}

// turnsFor returns the turns that by the handbook ring at a frequency in Hz, within
// what can be wound.
func (c *combination) turnsFor(frequency float64) float64 {
	low, high := math.Log(leastTurns), math.Log(c.most)
	for range 12 { // to a part in a thousand of the turns
		middle := (low + high) / 2
		if f, _ := c.byHandbook(math.Exp(middle)); f > frequency {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Round(math.Exp(high))
}

// resistance returns about what the winding has in ohms at a frequency in Hz: skin
// effect, and proximity by Medhurst's table where it has a value.
func (c *combination) resistance(frequency, celsius float64) float64 {
	s := c.layout.secondary
	s.turns = c.turns
	direct := s.wire.resistance(s.length(), celsius)
	lone, err := loss.NewRoundWire(frequency, s.wire.bare/2, 1/wire.Resistivity(celsius))
	if err != nil {
		return direct
	}
	factor := 1.0
	thick := s.wire.bare / loss.SkinDepth(frequency, 1/wire.Resistivity(celsius))
	if table, err := loss.Medhurst(s.height()/s.diameter, s.pitch/s.wire.bare, thick, s.turns); err == nil {
		factor = table.Value
	}
	return direct * lone.Ratio() * factor
}
