package design

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/driver"
	"coilwright/physics/sentence"
)

// DriveVariation is what the curve of an exciter's top voltage is drawn against.
type DriveVariation int

// What an exciter's curve is drawn against.
const (
	AgainstSupply DriveVariation = iota
	AgainstCoupling
	AgainstBaseResistor
	AgainstPrimaryTurns
)

// DriveOptions is what the user picks about a driver's results.
type DriveOptions struct {
	Against DriveVariation

	// Bare leaves out what is not in the report: the curve, and what a hand
	// near the coil does.
	Bare bool

	// Progress is called with what is known so far, more each time, from the
	// goroutine that solves; nil: not.
	Progress func(Drive)
}

// Drive is what a driver does with its coil, and why. What does not apply to the
// kind of driver, or is not solved yet, is nil.
type Drive struct {
	Report     DriverReport
	Circuit    CircuitFile // the coil as the driver sees it
	SecondMode float64     // Hz, of the coil; 0: not known
	Free       bool        // the foot returns to a board that stands free
	Share      float64     // of the work that is done, 0 to 1

	// Feedback exciter.
	Exciter      *driver.Exciter
	Start        *driver.Start
	Running      *driver.Running
	OtherStorage *driver.Running // the same with the clamp's other storage time
	Causes       []driver.Cause
	Judged       bool            // the causes are known, if there are any
	Alarm        []string        // keys of the parts that are beyond their ratings
	HeatTime     float64         // s until the bare device is at its limit; 0: it bears it, or not known
	Battery      *driver.Battery // the preset that the supply is; nil: none
	RunTime      float64         // s that it lasts; 0: it does not run out, or not known

	// Half bridge.
	Bridge *driver.Driven
	Source float64           // V, crest of the fundamental at the source
	Lock   *driver.Lock      // nil: the loop does not lock
	Sweep  []driver.Response // round the resonance

	// Spark gap.
	Gap    *driver.Discharge
	Bound  float64 // V, which the top cannot pass whatever the coupling: all of the tank's energy in the coil
	Tuning *Tuning // of the tank; of a series-tuned bridge too

	MeanPower float64 // W from the supply, over bursts too

	Detuned []Detuning
	Curve   *DriveCurve // exciter
}

// CodeNoQuality is the code of a coil whose losses are not known.
const CodeNoQuality = "no_quality_factor"

// Drive returns what the driver of d does with its coil, whose report r is. It
// takes a background's time: options.Progress shows what there is. d must be
// the design that r was evaluated from.
//
// The error is [Problems] for a driver that cannot be, wraps
// [driver.ErrNotSettled] if no settled state was found, and is that of ctx if it
// was cancelled. What was found until then is returned with it.
func (s *Solver) Drive(ctx context.Context, d Design, r Report, options DriveOptions) (Drive, error) {
	v := drive{ctx: ctx, options: options}
	if d.Driver.Kind == NoDriver {
		return Drive{Report: DriverReport{BeyondPart: []string{}}, Share: 1}, nil
	}
	c, err := d.circuit(r)
	if err != nil {
		return Drive{Report: DriverReport{BeyondPart: []string{}}}, err
	}
	v.Circuit = c
	v.air = d.Room.AirTemperature
	v.Free = d.Room.Foot == Circuit
	if len(r.Resonance.Overtones) > 0 {
		v.SecondMode = r.Resonance.Overtones[0]
	}
	v.shape = &shape{design: d, report: r, solver: s.aside()}
	if r.Resonance.TopCapacitance != nil {
		v.topCapacitance = *r.Resonance.TopCapacitance
	}
	err = v.solve()
	return v.Drive, err
}

// aside returns a solver of its own for designs beside the one at hand, so that
// the driver's curves do not push out what the next step of a slider needs.
func (s *Solver) aside() *Solver {
	if s.beside == nil {
		s.beside = NewSolver()
	}
	return s.beside
}

// TakeDrive puts what [Solver.Drive] returned into the report. A driver that cannot
// be, or does not settle, becomes a caution; any other error is returned.
func (r *Report) TakeDrive(v Drive, err error) error {
	problems := Problems(nil)
	r.Cautions = slices.Clip(r.Cautions) // others may hold the same list
	switch {
	case err == nil:
	case errors.As(err, &problems):
		for _, p := range problems {
			r.Cautions = append(r.Cautions, Caution{Code: p.Code, Key: p.Key, Text: sentence.New("The driver is not solved: %s.", p.Text)})
		}
	case errors.Is(err, driver.ErrNotSettled):
		r.Cautions = append(r.Cautions, Caution{Code: "driver_not_settled", Key: "driver", Text: sentence.New("The driver did not settle: %s.", sentence.Of(err))})
	default:
		return err
	}
	r.Driver = v.Report
	if top := v.Report.TopVoltage; top != nil {
		r.Cautions = append(r.Cautions, gapCautions(&r.Air, *top)...)
	}
	return nil
}

// Findings returns, for everything that may be seen at an exciter which does not do
// what it should, the check that decides and the cure; nil before it is settled.
func (v Drive) Findings() []driver.Finding {
	if v.Exciter == nil || v.Start == nil || v.Running == nil {
		return nil
	}
	seen := driver.Seen{Start: *v.Start, Running: *v.Running, SecondMode: v.SecondMode, Free: v.Free}
	var list []driver.Finding
	for _, s := range driver.Symptoms() {
		list = append(list, v.Exciter.Explain(s, seen))
	}
	return list
}

// circuit returns the coil of d as its driver sees it, at the foot of the first
// mode: with Lf, Cf and Mf from the report,
//
//	R = ω Lf/Q,   k = Mf/√(Lp Lf).
//
// The error is [Problems].
func (d *Design) circuit(r Report) (CircuitFile, error) {
	c := CircuitFile{Driver: d.Driver}
	m := &r.Resonance
	if m.Frequency == nil || m.FootInductance == nil || m.FootCapacitance == nil || m.TopToFootRatio == nil {
		return c, Problems{{Code: CodeMissing, Text: sentence.New("the coil itself is not solved")}}
	}
	if m.QualityFactor == nil {
		return c, Problems{{Code: CodeNoQuality, Text: sentence.New("the losses of this coil are not known, and without them there is no voltage")}}
	}
	c.Coil = driver.Coil{
		Inductance: *m.FootInductance, Capacitance: *m.FootCapacitance,
		Resistance: 2 * math.Pi * *m.Frequency * *m.FootInductance / *m.QualityFactor, TopToFoot: *m.TopToFootRatio,
	}
	if d.Driver.Kind == HalfBridge && d.Driver.Feed == FeedBase {
		return c, nil
	}
	if d.Primary.Kind == NoPrimary || r.Primary.Inductance == nil || m.FootMutualInductance == nil {
		return c, Problems{{Code: CodeMissing, Key: "primary.kind", Text: sentence.New(`is "none": this driver needs a primary to feed the coil through`)}}
	}
	resistance, err := d.primaryResistance(*m.Frequency)
	if err != nil {
		return c, err
	}
	lp := *r.Primary.Inductance
	c.Primary = driver.Primary{
		Inductance: lp, Resistance: resistance,
		Coupling: math.Abs(*m.FootMutualInductance) / math.Sqrt(lp**m.FootInductance),
	}
	return c, nil
}

// DriverCircuit returns the coil of d with its driver as a circuit of known
// values, for a netlist. r must be the report of d; the error is [Problems].
func (d Design) DriverCircuit(r Report) (CircuitFile, error) {
	if d.Driver.Kind == NoDriver {
		return CircuitFile{}, Problems{{Code: CodeMissing, Key: "driver.kind", Text: sentence.New(`is "none": a circuit needs a driver`)}}
	}
	return d.circuit(r)
}

// drive is a driver being solved.
type drive struct {
	Drive
	ctx            context.Context
	options        DriveOptions
	air            float64 // degrees Celsius; 0: that of a circuit
	topCapacitance float64 // F, of the coil seen from its top; 0: that of the circuit
	shape          *shape  // nil: known by values alone
}

// progress hands out what is known once a share of the work is done.
func (v *drive) progress(share float64) {
	v.Share = share
	if v.options.Progress != nil {
		v.options.Progress(v.Drive)
	}
}

// solve fills the drive, the quick answers first.
func (v *drive) solve() error {
	v.Report.BeyondPart = []string{}
	var err error
	switch v.Circuit.Driver.Kind {
	case FeedbackExciter:
		err = v.solveExciter()
	case HalfBridge:
		err = v.solveBridge()
	case SparkGap:
		err = v.solveGap()
	default:
		err = Problems{{Code: CodeUnknownValue, Key: "driver.kind", Text: sentence.New("a circuit needs a driver")}}
	}
	if p := v.Report.InputPower; p != nil {
		v.MeanPower = *p * v.Circuit.Driver.thermal(v.air).Duty()
	}
	if err != nil {
		return circuitProblem(err)
	}
	v.Share = 1
	return nil
}

// Shares of the work after which progress is told; the curve takes the rest.
const (
	shareStarted = 0.02
	shareSettled = 0.1
	shareCauses  = 0.2
	shareDetuned = 0.3
)

func (v *drive) solveExciter() error {
	x, err := v.exciter()
	if err != nil {
		return err
	}
	v.Exciter = &x
	start, err := x.Start()
	if err != nil {
		return err
	}
	v.Start = &start
	v.Report.GrowthRate = &start.Growth
	v.progress(shareStarted)
	r, err := x.Settle(v.ctx)
	if err != nil {
		return err
	}
	v.Running = &r
	v.settled()
	v.progress(shareSettled)
	if y, ok := x.OtherStorage(); ok {
		other, err := y.Settle(v.ctx)
		switch {
		case err == nil:
			v.OtherStorage = &other
			if other.State == driver.StateNone {
				other.TopCrest = 0
			}
			low, high := math.Min(r.TopCrest, other.TopCrest), math.Max(r.TopCrest, other.TopCrest)
			v.Report.TopVoltageLow, v.Report.TopVoltageHigh = &low, &high
		case !errors.Is(err, driver.ErrNotSettled):
			return err
		}
	}
	v.Causes, err = x.Causes(v.ctx, start, r)
	if err != nil && !errors.Is(err, driver.ErrNotSettled) {
		return err
	}
	v.Judged = true
	for _, c := range v.Causes {
		v.Report.Causes = append(v.Report.Causes, c.Text.String())
	}
	if v.options.Bare {
		return nil
	}
	v.progress(shareCauses)
	err = v.detune(func(c driver.Coil) (frequency, top float64, err error) {
		y := x
		y.Coil = c
		near, err := y.Settle(v.ctx)
		return near.Frequency, near.TopCrest, err
	})
	if err != nil {
		return err
	}
	v.progress(shareDetuned)
	return v.curve(x)
}

// exciter returns the circuit's exciter in the air of the room.
func (v *drive) exciter() (driver.Exciter, error) {
	x, err := v.Circuit.Exciter()
	if v.shape != nil {
		x.Thermal.Air = v.air
	}
	return x, err
}

// settled puts the settled state of the exciter into the report.
func (v *drive) settled() {
	x, r, out := v.Exciter, v.Running, &v.Report
	state, starts := string(r.State), r.Starts()
	out.Starts, out.State = &starts, &state
	if r.State == driver.StateNone {
		r.TopCrest = 0 // what is left dies away
	}
	out.TopVoltage, out.SupplyCurrentMean, out.InputPower = &r.TopCrest, &r.SupplyCurrent, &r.InputPower
	out.DeviceVoltage, out.DevicePower = &r.CollectorCrest, &r.DevicePower
	if r.State != driver.StateNone {
		out.SettlingTime, out.CoilPower = &r.SettlingTime, &r.CoilPower
	}
	if r.Frequency > 0 {
		out.Frequency = &r.Frequency
		check := driver.EnergyCheck(x.Coil, r.CoilPower, r.Frequency)
		out.EnergyCheck = &check
	}
	out.DeviceTemperature = known(x.Temperature(*r))
	v.HeatTime = x.HeatTime(*r)
	for _, b := range driver.Batteries() {
		if b.Voltage == x.Supply && b.Resistance == x.SupplyResistance {
			v.Battery, v.RunTime = &b, b.RunTime(r.SupplyCurrent*x.Thermal.Duty())
			break
		}
	}
	for _, e := range x.BeyondPart(*r) {
		out.BeyondPart = append(out.BeyondPart, e.String())
		key := "driver.device"
		if x.Clamp != nil && e.Part == x.Clamp.Name {
			key = "driver.clamp"
		}
		if !slices.Contains(v.Alarm, key) {
			v.Alarm = append(v.Alarm, key)
		}
	}
	for _, name := range r.Ignored {
		out.Notes = append(out.Notes, fmt.Sprintf("the model parameter %s has no counterpart here and was left out", name))
	}
}

// Range and steps of a bridge's sweep, relative to the coil's resonance.
const (
	sweepFrom    = 0.7
	sweepTo      = 1.4
	bridgePoints = 401
)

func (v *drive) solveBridge() error {
	b := v.Circuit.Bridge()
	d, err := b.Solve()
	if err != nil {
		return err
	}
	v.Bridge, v.Source = &d, d.TopCrest/d.Gain
	out := &v.Report
	bus := 2 * b.Amplitude
	mean := d.InputPower / bus
	check := driver.EnergyCheck(b.Coil, d.CoilPower, d.Frequency)
	out.Frequency, out.TopVoltage, out.InputPower = &d.Frequency, &d.TopCrest, &d.InputPower
	out.SupplyCurrentMean, out.DeviceVoltage, out.DeviceCurrent = &mean, &bus, &d.SourcePeak
	out.Gain, out.CoilPower, out.EnergyCheck = &d.Gain, &d.CoilPower, &check
	if d.QLoaded > 0 {
		out.QLoaded = &d.QLoaded
	}
	lock, err := b.Lock()
	switch {
	case err == nil:
		v.Lock = &lock
		out.LockFrequency, out.SoftSwitching = &lock.Frequency, &lock.Soft
	case !errors.Is(err, driver.ErrNotSettled):
		return err
	}
	if b.Feed == driver.SeriesTuned {
		v.tune(b.SeriesCapacitance)
	}
	if v.options.Bare {
		return nil
	}
	f := b.Coil.Frequency()
	spread := math.Max(1, math.Max(d.Humps[len(d.Humps)-1].Frequency/(1.3*f), 0.77*f/d.Humps[0].Frequency))
	v.Sweep, err = b.Sweep(f*sweepFrom/spread, f*sweepTo*spread, bridgePoints)
	if err != nil {
		return err
	}
	return v.detune(func(c driver.Coil) (frequency, top float64, err error) {
		y := b
		y.Coil, y.Frequency = c, d.Frequency // the generator does not follow
		near, err := y.Solve()
		return near.Frequency, near.TopCrest, err
	})
}

func (v *drive) solveGap() error {
	g := v.Circuit.Gap()
	d, err := g.Solve()
	if err != nil {
		return err
	}
	v.Gap = &d
	v.Bound = d.IdealRatio * g.FiringVoltage * g.Coil.TopToFoot
	out := &v.Report
	out.TopVoltage, out.PeakTime, out.EnergyTransferred = &d.TopPeak, &d.PeakTime, &d.EnergyShare
	out.Splitting, out.TankEnergy = d.Splitting[:], &d.TankEnergy
	if d.FirstNotch > 0 {
		out.FirstNotch = &d.FirstNotch
	}
	if repetition := v.Circuit.Driver.Repetition; repetition > 0 {
		power := d.TankEnergy * repetition
		out.InputPower = &power
	}
	v.tune(g.TankCapacitance)
	if v.options.Bare {
		return nil
	}
	return v.detune(func(c driver.Coil) (frequency, top float64, err error) {
		y := g
		y.Coil = c
		near, err := y.Solve()
		return c.Frequency(), near.TopPeak, err
	})
}
