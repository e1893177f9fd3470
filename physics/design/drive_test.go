package design

import (
	"context"
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"coilwright/physics/driver"
)

// driven returns an example's design with its report, the quality factor set to q
// if that is not 0, else computed.
func driven(t *testing.T, s *Solver, name string, q float64, change func(*Design)) (Design, Report) {
	t.Helper()
	f, err := os.Open("../../assets/examples/" + name + Extension)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d, err := Read(f)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&d)
	}
	evaluate := s.Evaluate
	if q > 0 {
		evaluate = s.Quick
	}
	r, err := evaluate(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if q > 0 {
		r.Resonance.QualityFactor = &q
	}
	return d, r
}

// The driver sees the coil at its foot: resonance, quality factor and the voltage
// that a current at the foot makes at the top are those of the first mode.
func TestDriverSeesTheFootOfTheMode(t *testing.T) {
	d, r := driven(t, NewSolver(), "hand-sized", 150, nil)
	c, err := d.DriverCircuit(r)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "frequency", c.Coil.Frequency(), *r.Resonance.Frequency, 1e-9)
	within(t, "quality factor", c.Coil.QUnloaded(), 150, 1e-9)
	// Half of Cf Vf² and half of Ct Vt² are the same energy.
	within(t, "energy", c.Coil.Capacitance, *r.Resonance.TopCapacitance*c.Coil.TopToFoot*c.Coil.TopToFoot, 1e-6)
	mutual := c.Primary.Coupling * math.Sqrt(c.Primary.Inductance*c.Coil.Inductance)
	within(t, "mutual inductance", mutual, *r.Resonance.FootMutualInductance, 1e-9)
	// A wire much thicker than its skin: the current flows in a tube one skin
	// depth thick, within the depth over the diameter.
	depth := math.Sqrt(1.0 / (58e6 * math.Pi * *r.Resonance.Frequency * 4e-7 * math.Pi))
	l, _ := layOut(&d)
	length := 0.0
	for _, turn := range l.primary.loops() {
		length += 2 * math.Pi * turn.Radius
	}
	tube := length / (58e6 * math.Pi * l.primary.wire.bare * depth)
	within(t, "resistance of the primary", c.Primary.Resistance, tube, 2*depth/l.primary.wire.bare)
}

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %g, want %g within %g", what, got, want, tolerance)
	}
}

// The hand-sized example starts, inside the ratings of its parts; the wrong way
// round it does not, and the answer says which wires to swap.
func TestExampleStarts(t *testing.T) {
	s := NewSolver()
	for _, q := range []float64{100, 150, 200, 0} { // 0: as computed
		d, r := driven(t, s, "hand-sized", q, nil)
		v, err := s.Drive(context.Background(), d, r, DriveOptions{Bare: true})
		if err != nil {
			t.Fatal(err)
		}
		if v.Report.Starts == nil || !*v.Report.Starts || *v.Report.State != "full" || *v.Report.GrowthRate <= 0 {
			t.Errorf("Q %g: %+v", q, v.Report)
		}
		if len(v.Report.BeyondPart) > 0 || len(v.Report.Causes) > 0 {
			t.Errorf("Q %g: beyond the ratings: %v, causes %v", q, v.Report.BeyondPart, v.Report.Causes)
		}
		if i := *v.Report.SupplyCurrentMean; i < 0.02 || i > 0.15 {
			t.Errorf("Q %g: it draws %.3g A", q, i)
		}
		within(t, "energy check", *v.Report.EnergyCheck, *v.Report.TopVoltage, 0.06)
	}
	d, r := driven(t, s, "hand-sized", 150, func(d *Design) { d.Driver.Sense = -1 })
	v, err := s.Drive(context.Background(), d, r, DriveOptions{Bare: true})
	if err != nil {
		t.Fatal(err)
	}
	if *v.Report.Starts || *v.Report.State != "none" || v.Report.Frequency != nil || v.Report.SettlingTime != nil {
		t.Errorf("reversed: %+v", v.Report)
	}
	first := ""
	for _, c := range v.Causes {
		if c.Code != driver.CauseRating {
			first = c.Text.String()
			break
		}
	}
	if !strings.Contains(first, "Swap the two wires of the primary") {
		t.Errorf("reversed: %q", first)
	}
}

// Answers come in steps, each with all that came before, and the last is the
// result.
func TestDriveProgress(t *testing.T) {
	s := NewSolver()
	d, r := driven(t, s, "hand-sized", 150, nil)
	share, points := 0.0, 0
	var steps []Drive
	v, err := s.Drive(context.Background(), d, r, DriveOptions{Progress: func(v Drive) {
		if v.Share <= share {
			t.Errorf("share %g after %g", v.Share, share)
		}
		share = v.Share
		if v.Curve != nil {
			if len(v.Curve.Points) < points {
				t.Errorf("%d points after %d", len(v.Curve.Points), points)
			}
			points = len(v.Curve.Points)
		}
		steps = append(steps, v)
	}})
	if err != nil {
		t.Fatal(err)
	}
	if steps[0].Start == nil || steps[0].Running != nil || steps[0].Report.Starts != nil {
		t.Errorf("the first answer is not the start alone: %+v", steps[0])
	}
	if v.Share != 1 || v.Curve == nil || len(v.Detuned) != 2 {
		t.Errorf("share %g, curve %v, detuned %v", v.Share, v.Curve, v.Detuned)
	}
	c := v.Curve
	if len(c.Points)+c.Unsettled < curvePoints || c.Present != 9 || c.PresentTop != *v.Report.TopVoltage {
		t.Errorf("%d points, %d unsettled, present %g V at %g V", len(c.Points), c.Unsettled, c.PresentTop, c.Present)
	}
	for i := 1; i < len(c.Points); i++ {
		if c.Points[i].X <= c.Points[i-1].X {
			t.Errorf("points out of order: %v", c.Points)
		}
	}
	// Nearer its supply's end it is higher; a hand lowers its frequency.
	if first, last := c.Points[0], c.Points[len(c.Points)-1]; first.Top >= last.Top {
		t.Errorf("%+v to %+v", first, last)
	}
	for _, near := range v.Detuned {
		if !(near.Frequency < *v.Report.Frequency) || !(near.Coil < *r.Resonance.Frequency) {
			t.Errorf("%s: %g Hz, coil %g Hz", near.Code, near.Frequency, near.Coil)
		}
	}
}

// Whatever the curve is against, its mark is the report's own voltage; without
// enough of it the exciter does not start.
func TestDriveCurves(t *testing.T) {
	s := NewSolver()
	for _, against := range []DriveVariation{AgainstSupply, AgainstCoupling, AgainstBaseResistor, AgainstPrimaryTurns} {
		d, r := driven(t, s, "hand-sized", 150, func(d *Design) { d.Driver.BaseResistor = 470e3 })
		v, err := s.Drive(context.Background(), d, r, DriveOptions{Against: against})
		if err != nil {
			t.Fatal(err)
		}
		c := v.Curve
		if c == nil || !(c.From < c.To) || !(c.Present >= c.From && c.Present <= c.To) {
			t.Fatalf("%d: %+v", against, c)
		}
		if against == AgainstCoupling && c.Points[0].State != driver.StateNone {
			t.Errorf("state %s at a coupling of %g", c.Points[0].State, c.Points[0].X)
		}
		// A curve that is taken again runs through the same points.
		again, err := s.Drive(context.Background(), d, r, DriveOptions{Against: against})
		if err != nil || !slices.Equal(again.Curve.Points, c.Points) {
			t.Errorf("%d: %v, then %v, error %v", against, c.Points, again.Curve.Points, err)
		}
		for _, p := range c.Points {
			if p.X == c.Present && p.Top != c.PresentTop || p.State == driver.StateNone && p.Top > 9 {
				t.Errorf("%d: %+v, mark %g", against, p, c.PresentTop)
			}
		}
	}
}

func TestDriveOfBridgeAndGap(t *testing.T) {
	s := NewSolver()
	d, r := driven(t, s, "torus", 200, nil)
	v, err := s.Drive(context.Background(), d, r, DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	out := v.Report
	if out.Starts != nil || out.Gain == nil || out.QLoaded == nil || out.LockFrequency == nil || len(v.Sweep) != bridgePoints {
		t.Errorf("bridge: %+v", out)
	}
	// Untuned primary: f = f0/√(1-k²), from the two mesh equations.
	k := v.Circuit.Primary.Coupling
	within(t, "frequency of the bridge", *out.Frequency, *r.Resonance.Frequency/math.Sqrt(1-k*k), 2e-4)
	// The frequency stays and the coil goes away under a hand.
	for _, near := range v.Detuned {
		if near.TopVoltage >= *out.TopVoltage || near.Frequency != *out.Frequency {
			t.Errorf("%s: %+v, was %g V", near.Code, near, *out.TopVoltage)
		}
	}

	d, r = driven(t, s, "tall", 200, func(d *Design) {
		d.SetDriverKind(SparkGap)
		d.Driver.TankCapacitance = 15e-9 // so that a tap tunes it
	})
	v, err = s.Drive(context.Background(), d, r, DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	out = v.Report
	if out.PeakTime == nil || out.EnergyTransferred == nil || len(out.Splitting) != 2 || v.Gap == nil || v.Tuning == nil {
		t.Fatalf("gap: %+v", out)
	}
	// The tap brings tank and coil together.
	if v.Tuning.Tap == 0 {
		t.Fatal("no tap found")
	}
	if v.Tuning.Tap >= d.Primary.Turns {
		t.Fatalf("tap at %g of %g turns", v.Tuning.Tap, d.Primary.Turns)
	}
	d.Primary.TapTurns = v.Tuning.Tap
	q := *r.Resonance.QualityFactor
	if r, err = s.Quick(context.Background(), d); err != nil {
		t.Fatal(err)
	}
	r.Resonance.QualityFactor = &q
	tuned, err := s.Drive(context.Background(), d, r, DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "tank in tune", tuned.Tuning.Tank, tuned.Tuning.Coil, 2e-3)
	if *tuned.Report.EnergyTransferred <= *out.EnergyTransferred {
		t.Errorf("in tune %.3g of the energy comes over, out of tune %.3g", *tuned.Report.EnergyTransferred, *out.EnergyTransferred)
	}
	all := ""
	for _, c := range r.Cautions {
		all += c.Code + ": " + c.Text.String() + "\n"
	}
	// 15 nF at 5 kV hold 0.1875 J; to 30 V in 5 s: R = 5/(C ln(5000/30)) = 65 megohm.
	for _, want := range []string{"driver_tank", "0.187 J", "65 megohm", "driver_burns"} {
		if !strings.Contains(all, want) {
			t.Errorf("cautions lack %q:\n%s", want, all)
		}
	}
}

// What cannot be solved is said in words, with its key, and becomes a caution of
// the report.
func TestDriveRefusals(t *testing.T) {
	s := NewSolver()
	for _, test := range []struct {
		name   string
		change func(*Design)
		q      float64
		want   string
	}{
		{"no primary", func(d *Design) { d.Primary.Kind = NoPrimary }, 150, "needs a primary"},
		{"no supply", func(d *Design) { d.Driver.Supply = 0 }, 150, "the supply is 0 V"},
		{"no such device", func(d *Design) { d.Driver.Device = Part{Name: "QX1"} }, 150, `there is no "QX1"`},
	} {
		d, r := driven(t, s, "hand-sized", test.q, test.change)
		v, err := s.Drive(context.Background(), d, r, DriveOptions{Bare: true})
		problems := Problems(nil)
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
			continue
		}
		if err := r.TakeDrive(v, err); err != nil || r.Driver.TopVoltage != nil {
			t.Errorf("%s: %v, %+v", test.name, err, r.Driver)
		}
		if last := r.Cautions[len(r.Cautions)-1].Text; test.name == "no primary" && !strings.Contains(last.String(), "not solved") {
			t.Errorf("%s: %q", test.name, last)
		}
	}
	d, r := driven(t, s, "hand-sized", 0, nil)
	r.Resonance.QualityFactor = nil
	if _, err := s.Drive(context.Background(), d, r, DriveOptions{}); err == nil || !strings.Contains(err.Error(), "losses") {
		t.Errorf("without losses: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	q := 150.0
	r.Resonance.QualityFactor = &q
	v, err := s.Drive(ctx, d, r, DriveOptions{})
	if !errors.Is(err, context.Canceled) || r.TakeDrive(v, err) == nil {
		t.Errorf("cancelled: %v", err)
	}
	d.Driver.Kind = NoDriver
	if v, err := s.Drive(context.Background(), d, r, DriveOptions{}); err != nil || v.Report.TopVoltage != nil || v.Report.BeyondPart == nil {
		t.Errorf("no driver: %+v, %v", v.Report, err)
	}
}
