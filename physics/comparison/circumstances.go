package comparison

import (
	"context"
	"strconv"
	"strings"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// What may stand near the coil while it is read.
const (
	NothingNear = ""            // the room as drawn
	MetalNear   = "metal plane" // an earthed sheet under the coil, at the height it stands on
	FloorNear   = "floor"       // an earthed floor, so far below
	OpenNear    = "open"        // no plane near
	CeilingNear = "ceiling"     // an earthed plate, so high over what the coil stands on
	HandNear    = "hand"        // a fist beside the top, so far from it
)

// Circumstances is what the key of a reading says of how it was taken, beside its
// setup and probe. Its text is in parts with semicolons between them:
// "spheres 20 mm; 12 V", "hand 150 mm".
type Circumstances struct {
	Electrodes string  // of a gap: "needles", or "spheres 20 mm"
	Supply     float64 // V, at which the driver ran; 0: as drawn
	Near       string  // what stood near: one of the words above
	Distance   float64 // m, of a floor, ceiling or hand
}

// UnderDriver says whether a reading depends on the supply of a driver.
func UnderDriver(m design.Measurement) bool {
	return m.Quantity == Gap || m.Quantity == SupplyCurrent || m.Quantity == Frequency && m.Setup == Running
}

// InRoom says whether what stands near is taken into a reading.
func InRoom(m design.Measurement) bool {
	return m.Quantity == Frequency || m.Quantity == Capacitance && m.Key != KeyTopLoad
}

// CircumstancesOf reads the key of a reading. The error wraps [ErrNoPrediction]:
// a key that is not understood leaves nothing to compare with.
func CircumstancesOf(m design.Measurement) (Circumstances, error) {
	var c Circumstances
	if !UnderDriver(m) && !InRoom(m) {
		return c, nil // its key names a dimension, or nothing
	}
	for part := range strings.SplitSeq(m.Key, ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		if err := c.take(part, m); err != nil {
			return c, err
		}
	}
	return c, nil
}

// take reads one part of a key.
func (c *Circumstances) take(part string, m design.Measurement) error {
	if InRoom(m) {
		if near, rest, ok := nearIn(part); ok {
			c.Near = near
			if !hasDistance(near) {
				return nil
			}
			var err error
			if c.Distance, err = length(rest); err != nil || !(c.Distance > 0) {
				return without(sentence.New("a %s near the coil needs its distance, %q", near, near+" 150 mm"))
			}
			return nil
		}
	}
	if v, err := si.ParseIn(part, si.Volt); err == nil && UnderDriver(m) {
		if !(v > 0) {
			return without(sentence.New("a driver needs a supply above 0 V, not %s", part))
		}
		c.Supply = v
		return nil
	}
	if m.Quantity == Gap {
		c.Electrodes = part
		return nil
	}
	return without(sentence.New("what is said of its circumstances is not understood: %q", part))
}

// nearIn takes what stood near off the beginning of a part of a key.
func nearIn(part string) (near, rest string, ok bool) {
	for _, near := range []string{MetalNear, FloorNear, OpenNear, CeilingNear, HandNear} {
		if rest, ok := strings.CutPrefix(part, near); ok && (hasDistance(near) || rest == "") {
			return near, strings.TrimSpace(rest), true
		}
	}
	return "", "", false
}

// hasDistance says whether something near stands at a distance.
func hasDistance(near string) bool {
	return near == FloorNear || near == CeilingNear || near == HandNear
}

// Key returns the text that [CircumstancesOf] reads as c.
func (c Circumstances) Key() string {
	var parts []string
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	if c.Electrodes != "" {
		parts = append(parts, c.Electrodes)
	}
	if c.Supply > 0 {
		parts = append(parts, number(c.Supply)+" V")
	}
	switch {
	case hasDistance(c.Near):
		parts = append(parts, c.Near+" "+number(si.Millimetre.Of(c.Distance))+" mm")
	case c.Near != NothingNear:
		parts = append(parts, c.Near)
	}
	return strings.Join(parts, "; ")
}

// furnish puts what stood near into the room of d; a hand is not part of a room.
func (c Circumstances) furnish(d *design.Design) {
	switch c.Near {
	case MetalNear:
		d.Room.Ground, d.Room.FloorDepth = design.MetalPlane, 0
	case FloorNear:
		d.Room.Ground, d.Room.FloorDepth = design.Floor, c.Distance
	case OpenNear:
		d.Room.Ground, d.Room.FloorDepth = design.Open, 0
	case CeilingNear:
		d.Room.CeilingHeight = c.Distance
	}
}

// handOn is a coil with a hand at a distance from its top.
type handOn struct {
	setup    string
	distance float64
}

// hand returns by how much, relative, a hand beside the top changes the frequency of
// the coil as drawn. It is asked of the field once for a setup and a distance:
// tolerances change it by no more than themselves.
func (p *predictor) hand(ctx context.Context, setup string, distance float64) (float64, error) {
	at := handOn{setup, distance}
	if change, ok := p.hands[at]; ok {
		return change, nil
	}
	d, err := setUp(p.ofDrawn, setup)
	if err != nil {
		return 0, err
	}
	field, err := p.solver.Field(ctx, d)
	if err != nil {
		return 0, unbuildable(err)
	}
	effect, err := field.Near(design.Near{Kind: design.NearHand, Distance: distance})
	if err != nil {
		return 0, unbuildable(err)
	}
	if !effect.Small() {
		return 0, without(sentence.New("a hand this near lowers the frequency by more than is computed well: keep it farther off"))
	}
	if p.hands == nil {
		p.hands = map[handOn]float64{}
	}
	p.hands[at] = effect.Frequency
	return effect.Frequency, nil
}

// supply returns the supply of a driver in V; nil for a kind that states none.
func supply(d *design.Driver) *float64 {
	switch d.Kind {
	case design.FeedbackExciter:
		return &d.Supply
	case design.HalfBridge:
		return &d.Bus
	}
	return nil
}

// under returns the circumstances of a reading and what the driver does in them.
func (p *predictor) under(ctx context.Context, m design.Measurement) (Circumstances, Driven, error) {
	c, err := CircumstancesOf(m)
	if err != nil {
		return c, Driven{}, err
	}
	driven, err := p.at(ctx, c.Supply)
	return c, driven, err
}

// at returns what the driver does at a supply in V; 0: the one that is drawn.
func (p *predictor) at(ctx context.Context, volts float64) (Driven, error) {
	d := p.ofDrawn
	drawn := supply(&d.Driver)
	if volts == 0 || drawn != nil && *drawn == volts {
		return p.driven, nil
	}
	if drawn == nil {
		return Driven{}, without(sentence.New("a driver of this kind has no supply that could be another"))
	}
	if known, ok := p.supplies[volts]; ok {
		return known, nil
	}
	*drawn = volts
	report, err := p.solver.Evaluate(ctx, d)
	if err != nil {
		return Driven{}, unbuildable(err)
	}
	if err := report.TakeDrive(p.solver.Drive(ctx, d, report, design.DriveOptions{Bare: true})); err != nil {
		return Driven{}, unbuildable(err)
	}
	if p.supplies == nil {
		p.supplies = map[float64]Driven{}
	}
	p.supplies[volts] = DrivenOf(report)
	return p.supplies[volts], nil
}
