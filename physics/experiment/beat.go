package experiment

import (
	"context"
	"math"
	"math/cmplx"

	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// BeatOutcome is the energy of one spark passing between tank and coil.
type BeatOutcome struct {
	Coupling  float64
	Tuning    float64 // the tank's frequency over the coil's
	Frequency float64 // Hz, of the coil

	Time []float64 // s, ascending
	Tank []float64 // energy in tank and primary over all that the tank held
	Coil []float64 // energy in the coil over the same
	Top  []float64 // voltage of the top over the firing voltage

	Notch     float64    // s, when the tank has given away all it gives; 0: they do not beat
	Splitting [2]float64 // Hz, of the two modes
	MostShare float64    // largest share of the tank's energy seen in the coil
}

// Answer returns how many swings of the coil it takes until the tank has given its
// energy away for the first time.
func (o *BeatOutcome) Answer() float64 {
	if o.Notch == 0 {
		return math.NaN()
	}
	return o.Notch * o.Frequency
}

// tankVoltage is what the tank of a demonstration is charged to, in V; the shares
// do not depend on it.
const tankVoltage = 1000

// couplingSetting is the coupling coefficient as a setting.
func couplingSetting(start float64) Setting {
	s := Setting{Name: "coupling", Least: 0.02, Most: 0.6, Step: 0.01, Geometric: true}
	s.Start = math.Max(s.Least, math.Min(s.Most, math.Round(start*100)/100))
	return s
}

func beatExperiment(b *Bench) Experiment {
	return Experiment{
		Kind: Beat,
		Settings: []Setting{
			couplingSetting(b.primary().Coupling),
			{Name: "tuning", Least: 0.7, Most: 1.3, Start: 1, Step: 0.01, Unit: si.Percent},
		},
		Guess: Setting{Name: "guess", Least: 0, Most: 30, Start: 10, Step: 0.5},
		run:   runBeat,
	}
}

// tank returns a tank on the primary whose frequency alone is ratio times the
// coil's.
func (b *Bench) tank(coupling, ratio float64) driver.Gap {
	c, p := b.coil(), b.primary()
	p.Coupling = coupling
	omega := 2 * math.Pi * c.Frequency() * ratio
	return driver.Gap{Coil: c, Primary: p, FiringVoltage: tankVoltage, TankCapacitance: 1 / (omega * omega * p.Inductance)}
}

func runBeat(_ context.Context, b *Bench, s Settings) (Outcome, error) {
	g := b.tank(s["coupling"], s["tuning"])
	d, err := g.Solve()
	if err != nil {
		return nil, err
	}
	o := &BeatOutcome{Coupling: s["coupling"], Tuning: s["tuning"], Frequency: g.Coil.Frequency(), Notch: d.FirstNotch, Splitting: d.Splitting}
	for i, sample := range d.Samples {
		o.Time = append(o.Time, float64(i)*d.SamplePeriod)
		o.Tank = append(o.Tank, sample.PrimaryEnergy/d.TankEnergy)
		o.Coil = append(o.Coil, sample.CoilEnergy/d.TankEnergy)
		o.Top = append(o.Top, sample.Top/g.FiringVoltage)
		o.MostShare = math.Max(o.MostShare, sample.CoilEnergy/d.TankEnergy)
	}
	return o, nil
}

// HumpsOutcome is how high the top swings against frequency, with a tuned primary.
type HumpsOutcome struct {
	Coupling  float64
	Frequency []float64 // Hz, ascending
	Gain      []float64 // top crest over the source's, largest 1
	Humps     []driver.Hump
	Currents  [][2]float64 // rad, by hump: phase of the current in the primary and of that at the coil's foot
	Coil      float64      // Hz, of the coil alone
}

// Answer returns how far the highest hump lies above the lowest, over the coil's
// own frequency; 0 if there is one hump only.
func (o *HumpsOutcome) Answer() float64 {
	if len(o.Humps) < 2 {
		return 0
	}
	return (o.Humps[len(o.Humps)-1].Frequency - o.Humps[0].Frequency) / o.Coil
}

func humpsExperiment(b *Bench) Experiment {
	return Experiment{
		Kind: Humps,
		Settings: []Setting{
			couplingSetting(b.primary().Coupling),
			{Name: "tuning", Least: 0.7, Most: 1.3, Start: 1, Step: 0.01, Unit: si.Percent},
		},
		Guess: percentGuess(0, 1, 0.5),
		run:   runHumps,
	}
}

const (
	humpPoints = 600
	sourceOhms = 1.0 // of the source that feeds the tuned primary
)

func runHumps(_ context.Context, b *Bench, s Settings) (Outcome, error) {
	g := b.tank(s["coupling"], s["tuning"])
	bridge := driver.Bridge{
		Coil: g.Coil, Primary: g.Primary, Feed: driver.SeriesTuned, SeriesCapacitance: g.TankCapacitance,
		SourceResistance: sourceOhms, Amplitude: 1,
	}
	o := &HumpsOutcome{Coupling: s["coupling"], Coil: g.Coil.Frequency()}
	var err error
	if o.Humps, err = bridge.Humps(); err != nil {
		return nil, err
	}
	responses, err := bridge.Sweep(0.5*o.Coil, 1.8*o.Coil, humpPoints)
	if err != nil {
		return nil, err
	}
	largest := 0.0
	for _, h := range o.Humps {
		largest = math.Max(largest, h.Gain)
		r := bridge.At(h.Frequency)
		o.Currents = append(o.Currents, [2]float64{cmplx.Phase(r.Input), cmplx.Phase(r.Foot)})
	}
	for _, r := range responses {
		o.Frequency = append(o.Frequency, r.Frequency)
		o.Gain = append(o.Gain, r.Gain()/largest)
	}
	return o, nil
}

// distanceSetting is a distance as a setting.
func distanceSetting(name string, least, most, start float64) Setting {
	return Setting{Name: name, Least: least, Most: most, Start: start, Step: 0.001, Unit: si.Millimetre, Geometric: true}
}
