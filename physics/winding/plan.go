package winding

import "coilwright/physics/sentence"

// Settings are what a maker chooses about the work, beside the design. The JSON
// keys are those they are kept under.
type Settings struct {
	RingTail       float64 `json:"ring_tail_m"`
	RingSpareTurns int     `json:"ring_spare_turns"`
	RingMarkEvery  int     `json:"ring_mark_every"`
	Yield          float64 `json:"yield_pa"`          // of the copper
	MeasuredLoop   float64 `json:"measured_loop_m"`   // inside of a turn of the ring off its former; 0: not measured
	SolderMelts    float64 `json:"solder_melts_c"`    //
	IronPower      float64 `json:"iron_power_w"`      //
	Tail           float64 `json:"secondary_tail_m"`  //
	MarkEvery      int     `json:"secondary_marks"`   // turns
	MarkLength     float64 `json:"secondary_mark_m"`  // above 0: in place of MarkEvery
	Spool          float64 `json:"spool_kg"`          // wire on the spool; 0: not weighed
	Speed          float64 `json:"speed_turns_per_s"` //
	PrimaryTail    float64 `json:"primary_tail_m"`    //
}

// DefaultSettings returns what is usual.
func DefaultSettings() Settings {
	return Settings{
		RingTail: RingTail, RingSpareTurns: RingSpareTurns, RingMarkEvery: RingMarkEvery, Yield: SoftYield,
		SolderMelts: TinLeadMelts, IronPower: defaultIron,
		Tail: SecondaryTail, MarkEvery: SecondaryMarkEvery, Speed: defaultSpeed, PrimaryTail: PrimaryTail,
	}
}

// Check refuses settings that no part could be wound with.
func (s Settings) Check() error {
	err := checkLengths(nil, []named{
		{sentence.New("ring tail"), s.RingTail}, {sentence.New("measured loop"), s.MeasuredLoop}, {sentence.New("secondary tail"), s.Tail}, {sentence.New("distance of marks"), s.MarkLength}, {sentence.New("primary tail"), s.PrimaryTail},
	})
	if err != nil {
		return err
	}
	const mostSpare = 50
	switch {
	case s.RingSpareTurns < 0 || s.RingSpareTurns > mostSpare:
		return refuse(sentence.New("%d spare turns", s.RingSpareTurns))
	case s.RingMarkEvery < 1 || s.MarkEvery < 1:
		return refuse(sentence.New("marks every %d and %d turns", s.RingMarkEvery, s.MarkEvery))
	case !(s.Yield > 0 && s.Yield < CopperModulus):
		return refuse(sentence.New("yield stress %g Pa", s.Yield))
	case !(s.SolderMelts > 0 && s.SolderMelts < meltingCopper):
		return refuse(sentence.New("solder that melts at %g °C", s.SolderMelts))
	case !(s.IronPower > 0 && s.IronPower < 1e6):
		return refuse(sentence.New("an iron of %g W", s.IronPower))
	case !(s.Spool >= 0 && s.Spool < 1e6):
		return refuse(sentence.New("%g kg on the spool", s.Spool))
	case !(s.Speed > 0 && s.Speed < 1e6):
		return refuse(sentence.New("%g turns a second", s.Speed))
	}
	return nil
}

// Plan is how all parts of a coil are made. A part that is absent is nil.
type Plan struct {
	Ring, Secondary, Primary *Part
	Wiring                   []sentence.Text
}

// Part is one wound part.
type Part struct {
	WireName  string
	Turns     float64
	Spare     int     // turns wound beyond and dropped
	CutLength float64 // m, tails and spare turns included
	Mass      float64 // kg of copper in it
	Steps     []Step
	Count     []Tally // after every turn
}
