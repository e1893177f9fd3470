package design

import (
	"math"

	"coilwright/physics/breakdown"
	"coilwright/physics/sentence"
)

// Gap is a way along which the coil may flash over.
type Gap struct {
	Name         string   `json:"name"`
	Length       *float64 `json:"length_m"`
	Voltage      *float64 `json:"voltage_ratio"`              // across it, over that of the top
	Gradient     *float64 `json:"mean_gradient_per_volt_1_m"` // that over its length
	FlashOver    *float64 `json:"flash_over_v"`               // crest of the top
	FlashOverLow *float64 `json:"flash_over_low_v"`
	FlashOverTop *float64 `json:"flash_over_high_v"`
}

// Names of gaps.
const (
	GapPrimaryWinding = "primary to winding"
	GapTopWinding     = "top load to winding"
	GapTopPrimary     = "top load to primary"
	GapAlongWinding   = "along the winding"
)

// Words names the gap.
func (g Gap) Words() sentence.Text {
	switch g.Name {
	case GapPrimaryWinding:
		return sentence.New("primary to winding")
	case GapTopWinding:
		return sentence.New("top load to winding")
	case GapTopPrimary:
		return sentence.New("top load to primary")
	}
	return sentence.New("along the winding")
}

// trackLength is the shortest way along the winding, in m, whose mean gradient counts:
// streamers need some millimetres to run.
const trackLength = 0.005

// addGaps puts into r where the coil flashes over, the worst of each kind; the first
// one first.
func (a *airy) addGaps(r *AirReport) error {
	p, w := &a.modes.Profile, a.coil.Winding
	outer := a.l.secondary.wire.overall / 2
	foot := -a.modes.CircuitRatio // V, against earth
	worst := map[string]*Gap{}
	consider := func(name string, length, volts float64) error {
		volts = math.Abs(volts)
		if !(length > 0) || volts == 0 {
			return nil // touching parts are refused elsewhere
		}
		band, err := breakdown.Flashover(length, a.density)
		if err != nil {
			return err
		}
		if old := worst[name]; old != nil && *old.FlashOver <= band.Middle/volts {
			return nil
		}
		worst[name] = newGap(name, length, volts, band)
		return nil
	}
	top := a.l.top
	for i, z := range p.Height {
		volts := p.Voltage[i] + foot
		for _, turn := range a.coil.Primary {
			length := math.Hypot(turn.Radius-w.Radius, turn.Height-z) - turn.WireRadius - outer
			if err := consider(GapPrimaryWinding, length, volts); err != nil {
				return err
			}
		}
		if top.kind != NoTopLoad {
			if err := consider(GapTopWinding, top.distance(w.Radius, z)-outer, a.top-volts); err != nil {
				return err
			}
		}
	}
	if top.kind != NoTopLoad {
		for _, turn := range a.coil.Primary {
			if err := consider(GapTopPrimary, top.distance(turn.Radius, turn.Height)-turn.WireRadius, a.top); err != nil {
				return err
			}
		}
	}
	if err := a.alongWinding(r.Places, worst); err != nil {
		return err
	}
	for _, name := range []string{GapPrimaryWinding, GapTopWinding, GapTopPrimary, GapAlongWinding} {
		if g := worst[name]; g != nil {
			r.Gaps = append(r.Gaps, *g)
		}
	}
	return nil
}

// alongWinding finds where the voltage rises most along the winding and the former.
// Sparks run there when streamers have begun at one of its ends and find field enough.
func (a *airy) alongWinding(places []Place, worst map[string]*Gap) error {
	p := &a.modes.Profile
	n := len(p.Height)
	if n < 2 {
		return nil
	}
	least := math.Min(trackLength, p.Height[n-1]-p.Height[0])
	steepest, length, volts := 0.0, 0.0, 0.0
	for i, j := 0, 1; j < n; j++ {
		for i+1 < j && p.Height[j]-p.Height[i+1] >= least {
			i++
		}
		if long := p.Height[j] - p.Height[i]; long >= least*(1-slack) {
			if rise := math.Abs(p.Voltage[j] - p.Voltage[i]); rise/long > steepest {
				steepest, length, volts = rise/long, long, rise
			}
		}
	}
	if steepest == 0 {
		return nil
	}
	band, err := breakdown.Tracking(steepest, a.density)
	if err != nil {
		return err
	}
	begin := breakdown.Band{Low: math.Inf(1), Middle: math.Inf(1), High: math.Inf(1)}
	for _, p := range places {
		if p.Name == PlaceLastTurn || p.Name == PlaceFirstTurn {
			begin.Low, begin.Middle, begin.High = math.Min(begin.Low, *p.CoronaOnsetLow), math.Min(begin.Middle, *p.CoronaOnset), math.Min(begin.High, *p.CoronaOnsetHigh)
		}
	}
	band.Low, band.Middle, band.High = math.Max(band.Low, begin.Low), math.Max(band.Middle, begin.Middle), math.Max(band.High, begin.High)
	g := newGap(GapAlongWinding, length, volts, breakdown.Band{})
	g.FlashOver, g.FlashOverLow, g.FlashOverTop = known(band.Middle), known(band.Low), known(band.High)
	worst[GapAlongWinding] = g
	return nil
}

// newGap returns a gap that breaks down at the voltages of band across it.
func newGap(name string, length, volts float64, band breakdown.Band) *Gap {
	return &Gap{
		Name: name, Length: known(length), Voltage: known(volts), Gradient: known(volts / length),
		FlashOver: known(band.Middle / volts), FlashOverLow: known(band.Low / volts), FlashOverTop: known(band.High / volts),
	}
}

// gapCautions warns of the gaps that go at the voltage given in V or, at 0, before
// anything glows.
func gapCautions(r *AirReport, volts float64) []Caution {
	var all []Caution
	for _, g := range r.Gaps {
		var when sentence.Text
		switch {
		case volts > 0 && volts >= *g.FlashOverLow:
			when = sentence.New("the driver brings the top to %.2g kV", volts/1e3)
		case volts > 0 || r.CoronaOnset == nil || *g.FlashOver >= *r.CoronaOnset:
			continue
		default:
			when = sentence.New("nothing glows before %.2g kV", *r.CoronaOnset/1e3)
		}
		what := sentence.New("The gap %s, %s, may flash over", g.Words(), sentence.Length(*g.Length))
		if g.Name == GapAlongWinding {
			what = sentence.New("Sparks may run along the winding and its former")
		}
		all = append(all, Caution{Code: "flash_over", Text: sentence.New(
			"%s from %.2g to %.2g kV of the top, and %s. More distance, a barrier or less coupling helps; sparks there ruin insulation and can set fire to it.",
			what, *g.FlashOverLow/1e3, *g.FlashOverTop/1e3, when)})
	}
	return all
}
