package design

// New returns a sensible coil to start from: a tube of 25 mm close wound with
// 310 turns, a ring of 19 wire turns on an M6 nut, and four turns of primary,
// on a wooden table.
func New() Design {
	d := fromFile()
	d.Name = "New coil"
	d.Secondary.FormerDiameter = 0.025
	d.Secondary.Turns = 310
	d.Secondary.Wire = Wire{Gauge: "AWG 32", Insulation: Single}
	d.Room.FloorDepth = tableHeight
	d.SetTopLoadKind(WireRing)
	d.SetPrimaryKind(Cylinder)
	return d
}

// tableHeight is how far the floor lies under a wooden table, in m. Wood is no
// conductor: the earthed plane under the coil is the floor.
const tableHeight = 0.75

// SetTopLoadKind changes the kind of the top load. What the new kind needs and
// d does not have yet gets a value that suits the winding; what it has stays,
// so that changing a kind and changing it back loses nothing.
func (d *Design) SetTopLoadKind(kind string) {
	t := &d.TopLoad
	t.Kind = kind
	former := d.Secondary.FormerDiameter
	switch kind {
	case WireRing:
		fillWire(&t.Wire, "AWG 14", Bare)
		fill(&t.FormerDiameter, 0.014)
		fill(&t.HubDiameter, 0.010)
		if t.Turns == 0 {
			t.Turns = 19
		}
	case Torus:
		fill(&t.OuterDiameter, 2*former)
		fill(&t.TubeDiameter, 0.5*former)
	case Sphere:
		fill(&t.Diameter, 1.5*former)
	case Disc:
		if t.Thickness == 0 && t.Diameter == 0 {
			t.Thickness = 0.1 * former
		}
		fill(&t.Diameter, 2*former)
	}
	l, problems := layOut(d)
	if least, free := l.top.freeHeight(l.secondary); len(problems) == 0 && !free {
		t.Height = least + 0.002 // a little air under it
	}
}

// SetPrimaryKind changes the kind of the primary, as [Design.SetTopLoadKind]
// does for the top load.
func (d *Design) SetPrimaryKind(kind string) {
	p := &d.Primary
	p.Kind = kind
	if kind == NoPrimary {
		return
	}
	fillWire(&p.Wire, "AWG 16", Bare)
	fill(&p.Turns, 4)
	fill(&p.InnerDiameter, d.Secondary.FormerDiameter+0.021)
	fill(&p.Pitch, 0.004)
	fill(&p.BaseHeight, 0.010)
	if kind == Cone {
		fill(&p.ConeAngle, 30)
	}
}

// SetDriverKind changes the kind of the driver, as [Design.SetTopLoadKind]
// does for the top load.
func (d *Design) SetDriverKind(kind string) {
	v := &d.Driver
	v.Kind = kind
	switch kind {
	case FeedbackExciter:
		fill(&v.Supply, 9)
		fill(&v.SupplyResistance, 1.5)
		fill(&v.BaseResistor, 10_000)
		if v.Device.Name == "" && v.Device.Type == "" {
			v.Device, v.Clamp = Part{Name: "PN2222A"}, Part{Name: "1N4148"}
			v.EmitterResistor = known(startEmitterResistor)
		}
		if v.Sense == 0 {
			v.Sense = 1
		}
	case HalfBridge:
		fill(&v.Bus, 24)
		fill(&v.SourceResistance, 0.5)
		if v.Feed == "" {
			v.Feed = FeedUntuned
		}
	case SparkGap:
		fill(&v.FiringVoltage, 5000)
		fill(&v.TankCapacitance, 2.2e-9)
		fill(&v.ArcResistance, 1)
		fill(&v.Repetition, 100)
	}
}

// startEmitterResistor keeps the current of a first exciter, in ohm, within what
// a small transistor bears; without it most coils take several times as much.
const startEmitterResistor = 10

// fill sets a value that is not set.
func fill(at *float64, value float64) {
	if *at == 0 {
		*at = value
	}
}

// fillWire names a wire that has no name.
func fillWire(w *Wire, gauge, insulation string) {
	if w.Gauge == "" {
		w.Gauge, w.Insulation = gauge, insulation
	}
}
