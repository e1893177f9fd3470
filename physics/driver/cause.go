package driver

import (
	"context"
	"errors"
	"math"
	"strconv"

	"coilwright/physics/sentence"
)

// Codes of causes.
const (
	CauseRating   = "rating"   // a part is beyond what its maker allows
	CauseSense    = "sense"    // the primary's ends are the wrong way round
	CauseCoupling = "coupling" // the primary is too far away
	CauseBias     = "bias"     // the base resistor is too large
	CauseClamp    = "clamp"    // the clamp diode stores too much charge
	CauseDevice   = "device"   // the transistor is too slow or amplifies too little
	CauseLosses   = "losses"   // nothing of the driver helps: the coil loses too much
)

// Cause is one computed reason why an exciter does not do what it should, and
// what cures it.
type Cause struct {
	Code       string
	Have, Need float64 // of the quantity that the code names; 0: it has no number
	Text       sentence.Text
}

// Causes returns what is wrong with an exciter, in order: parts beyond their
// ratings first, since what is computed for a dead part means nothing, then
// what keeps it from full output, the likeliest first. It is empty for an
// exciter that runs inside its ratings.
//
// start and r are what [Exciter.Start] and [Exciter.Settle] returned. Every cure
// was tried on the circuit before it is named. The order of what no computation
// can rank is common practice, no source. The error is that of the trials.
func (x Exciter) Causes(ctx context.Context, start Start, r Running) ([]Cause, error) {
	causes := x.beyond(r)
	if r.State == StateFull {
		return causes, nil
	}
	var more []Cause
	var err error
	if start.Grows() {
		more, err = x.weak(ctx)
	} else {
		more, err = x.silent()
	}
	return append(causes, more...), err
}

// beyond names the parts beyond their ratings.
func (x Exciter) beyond(r Running) (causes []Cause) {
	for _, e := range x.BeyondPart(r) {
		causes = append(causes, Cause{CauseRating, e.Value, e.Limit, sentence.Join(". ", e.Words(), x.relief(e))})
	}
	return causes
}

// relief says what brings a part back inside its rating.
func (x Exciter) relief(e Excess) sentence.Text {
	switch e.Unit {
	case "A":
		return sentence.New("Lower the supply, take more turns of primary, or put a resistor of some ohms into the emitter's lead.")
	case "W", "°C":
		return sentence.New("It is made for %s W here: lower the supply, put a resistor into the emitter's lead, run it in bursts, or mount it on a heat sink.", few(x.SafePower()))
	case "V":
		if e.collector {
			return sentence.New("Lower the supply or the coupling, put some tens of picofarads from collector to ground, or take a device for more voltage.")
		}
		return sentence.New("Use a clamp diode that conducts sooner, right at the base, or lower the supply.")
	}
	return sentence.New("State the breakdown voltage of the part.")
}

// silent looks for what makes an exciter grow that does not.
func (x Exciter) silent() (causes []Cause, err error) {
	if x.Sense < 0 {
		x.Sense = 1
		s, err := x.Start()
		if err != nil {
			return nil, err
		}
		text := sentence.New("Swap the two wires of the primary: the end that matches the secondary's foot goes to the supply, the other one to the collector. As it is, what comes back from the secondary works against the transistor.")
		if !s.Grows() {
			text = sentence.Join(" ", text, sentence.New("Even then it will not start yet; what else is in the way follows."))
		}
		causes = append(causes, Cause{Code: CauseSense, Have: -1, Need: 1, Text: text})
		if s.Grows() {
			return causes, nil
		}
	}
	k, err := x.CriticalCoupling()
	if err != nil {
		return causes, err
	}
	if have := x.Primary.Coupling; k < 1 && k > have {
		causes = append(causes, Cause{CauseCoupling, have, k, sentence.New(
			"Bring the primary closer: the coupling coefficient is %.3g and oscillation grows from %.3g on, %.2g times as much. Take twice that to be sure.", have, k, k/have)})
	}
	ohms, err := x.CriticalBaseResistor()
	if err != nil {
		return causes, err
	}
	if ohms > 0 && ohms < x.BaseResistor {
		causes = append(causes, Cause{CauseBias, x.BaseResistor, ohms, sentence.New(
			"Take a smaller base resistor: with %s the transistor is barely awake; oscillation grows below %s. Take a tenth of that to be sure.", inOhms(x.BaseResistor), inOhms(ohms))})
	}
	better, err := x.betterDevices(func(x Exciter) (bool, error) {
		s, err := x.Start()
		return s.Grows(), err
	})
	if err != nil {
		return causes, err
	}
	if len(better) > 0 {
		causes = append(causes, Cause{Code: CauseDevice, Text: sentence.New("Take another transistor: %s amplifies too little at %.3g MHz; with %s in its place oscillation grows.",
			x.Device.Name, x.Coil.Frequency()/1e6, either(better))})
	}
	if len(causes) == 0 {
		causes = append(causes, Cause{CauseLosses, x.Coil.QUnloaded(), 0, sentence.New(
			"No coupling, base resistor or transistor of the list makes it start by itself. The coil may lose too much (Q %.3g), or several things must change together: more coupling and a smaller base resistor first.", x.Coil.QUnloaded())})
	}
	return causes, nil
}

// Steps of the trials on a weak exciter.
var (
	couplingTrials = []float64{1.5, 2, 3, 5} // times as much
	biasTrials     = []float64{3, 10, 30}    // times less
)

// weak looks for what brings an exciter to full output that oscillates weakly.
func (x Exciter) weak(ctx context.Context) (causes []Cause, err error) {
	full := func(x Exciter) (bool, error) {
		r, err := x.Settle(ctx)
		if errors.Is(err, ErrNotSettled) {
			return false, nil
		}
		return r.Starts(), err
	}
	for _, times := range couplingTrials {
		y := x
		y.Primary.Coupling *= times
		if y.Primary.Coupling > mostCoupling/1.5 {
			break
		}
		yes, err := full(y)
		if err != nil {
			return causes, err
		}
		if yes {
			causes = append(causes, Cause{CauseCoupling, x.Primary.Coupling, y.Primary.Coupling, sentence.New(
				"Bring the primary closer: it oscillates weakly at a coupling coefficient of %.3g and comes to full output at %.3g, %g times as much.", x.Primary.Coupling, y.Primary.Coupling, times)})
			break
		}
	}
	for _, times := range biasTrials {
		y := x
		y.BaseResistor /= times
		if y.BaseResistor < leastBias {
			break
		}
		yes, err := full(y)
		if err != nil {
			return causes, err
		}
		if yes {
			causes = append(causes, Cause{CauseBias, x.BaseResistor, y.BaseResistor, sentence.New(
				"Take a smaller base resistor: with %s it oscillates weakly, with %s it comes to full output.", inOhms(x.BaseResistor), inOhms(y.BaseResistor))})
			break
		}
	}
	better, err := x.betterDevices(full)
	if err != nil {
		return causes, err
	}
	if len(better) > 0 {
		causes = append(causes, Cause{Code: CauseDevice, Text: sentence.New("Take another transistor: with %s in place of %s it comes to full output.", either(better), x.Device.Name)})
	}
	if other, ok := x.withClampStorage(); ok {
		yes, err := full(other)
		if err != nil {
			return causes, err
		}
		if yes {
			causes = append(causes, Cause{CauseClamp, x.Clamp.Model["TT"], other.Clamp.Model["TT"], sentence.New(
				"Take a faster clamp: %s holds the base for many periods after it has conducted; %s lets the coil come to full output.", x.Clamp.Name, other.Clamp.Name)})
		}
	}
	if len(causes) == 0 {
		causes = append(causes, Cause{CauseLosses, x.Coil.QUnloaded(), 0, sentence.New(
			"It oscillates, but neither more coupling nor more bias nor another part alone brings it to full output. The coil may lose too much (Q %.3g).", x.Coil.QUnloaded())})
	}
	return causes, nil
}

// leastBias is the least base resistor in ohm that is proposed: below it the
// base draws more than small parts bear.
const leastBias = 470

// withClampStorage returns the exciter with the fastest clamp of the list in
// place of its own; ok is false if its own is as fast or there is none.
func (x Exciter) withClampStorage() (y Exciter, ok bool) {
	if x.Clamp == nil {
		return x, false
	}
	best := x.Clamp.Model["TT"]
	y = x
	for _, p := range partList() {
		if p.Type == Diode && p.Model["BV"] != zenerVoltage && p.Model["TT"] < best/2 {
			best = p.Model["TT"]
			y.Clamp, ok = &p, true
		}
	}
	return y, ok
}

// zenerVoltage tells a gate's protection in the list from a clamp, in V.
const zenerVoltage = 12

// betterDevices returns the names of the transistors of the list, of the same
// way to be driven, that pass a trial.
func (x Exciter) betterDevices(passes func(Exciter) (bool, error)) (names []string, err error) {
	for _, p := range partList() {
		if p.Name == x.Device.Name || p.Type == Diode || p.IsMOSFET() != x.Device.IsMOSFET() {
			continue
		}
		y := x
		y.Device, y.Breakdown = p, p.AvalancheVoltage()
		yes, err := passes(y)
		if err != nil {
			return names, err
		}
		if yes {
			names = append(names, p.Name)
		}
	}
	return names, nil
}

// OtherStorage returns the exciter with its clamp at the other end of what its
// storage time may be; ok is false where that time is known.
func (x Exciter) OtherStorage() (y Exciter, ok bool) {
	if x.Clamp == nil || x.Clamp.OtherStorage == "" {
		return x, false
	}
	p, err := Find(x.Clamp.OtherStorage)
	if err != nil {
		return x, false
	}
	x.Clamp = &p
	return x, true
}

// inOhms words a resistance as it is printed on parts.
func inOhms(ohms float64) sentence.Text {
	switch {
	case ohms >= 1e6*(1-1e-3):
		return sentence.New("%.3g megohm", ohms/1e6)
	case ohms >= 1e3*(1-1e-3):
		return sentence.New("%.3g kilohm", ohms/1e3)
	}
	return sentence.New("%.3g ohm", math.Max(ohms, 0))
}

// either words a choice of names.
func either(names []string) sentence.Text {
	choice := sentence.Literal(names[0])
	for _, name := range names[1:] {
		choice = sentence.New("%s or %s", choice, name)
	}
	return choice
}

// few words a positive number with two digits that matter and no power of ten.
func few(x float64) string {
	if x >= 100 {
		scale := math.Pow(10, math.Floor(math.Log10(x))-1)
		x = math.Round(x/scale) * scale
	}
	if x >= 10 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'g', 2, 64)
}
