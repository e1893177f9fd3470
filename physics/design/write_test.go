package design

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func written(t testing.TB, d Design) []byte {
	t.Helper()
	var content bytes.Buffer
	if err := Write(&content, d); err != nil {
		t.Fatalf("Write: %v", err)
	}
	return content.Bytes()
}

// Write keeps every key of the desk coil at its value and adds none.
func TestWriteKeepsKeysAndValues(t *testing.T) {
	var want, got any
	if err := json.Unmarshal([]byte(desk), &want); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(written(t, read(t, desk)), &got); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("Write gives\n%v, want\n%v", got, want)
	}
}

// Keys come in the order of the format page, so that two files differ only
// where their designs do.
func TestWriteKeepsOrder(t *testing.T) {
	keys := func(text string) []string {
		var keys []string
		parts := strings.Split(text, `"`)
		for i := 1; i+1 < len(parts); i += 2 {
			if strings.HasPrefix(strings.TrimSpace(parts[i+1]), ":") {
				keys = append(keys, parts[i])
			}
		}
		return keys
	}
	got, want := keys(string(written(t, read(t, desk)))), keys(desk)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("Write orders\n%q, want\n%q", got, want)
	}
}

// anyDesign draws designs with every kind and every optional key, within the
// limits of the file.
func anyDesign() *rapid.Generator[Design] {
	return rapid.Custom(func(t *rapid.T) Design {
		d := drawnBody(t)
		for range rapid.IntRange(0, 2).Draw(t, "variants") {
			v := drawnBody(t)
			v.Measurements = nil
			d.Variants = append(d.Variants, v)
		}
		return d
	})
}

func drawnBody(t *rapid.T) Design {
	draw := func(least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, "number") }
	pick := func(words ...string) string { return rapid.SampledFrom(words).Draw(t, "word") }
	chance := rapid.Bool()
	maybe := func(most float64) *float64 {
		if !chance.Draw(t, "set") {
			return nil
		}
		x := draw(0, most)
		return &x
	}
	someWire := func() Wire {
		w := Wire{Gauge: pick("AWG 32", "AWG 2/0", "SWG 36", "0.20 mm"), Insulation: pick(Bare, Single, Heavy)}
		if chance.Draw(t, "measured") {
			w.OverallDiameter = draw(1e-6, 1e-2)
		}
		return w
	}
	d := fromFile()
	d.Name = rapid.StringN(0, 20, -1).Draw(t, "name")
	d.Notes = rapid.String().Draw(t, "notes")
	if chance.Draw(t, "target") {
		d.TargetFrequency = draw(1, 1e8)
	}
	s := &d.Secondary
	s.FormerDiameter, s.FormerWall, s.Turns = draw(1e-3, 1), draw(1e-4, 1), draw(1, 5000)
	s.FormerRelativePermittivity, s.FormerLossTangent = draw(1, 10), draw(0, 1)
	s.Wire, s.BaseHeight = someWire(), draw(0, 1)
	if chance.Draw(t, "spaced") {
		s.Pitch, s.Packing = draw(1e-5, 1), draw(1, 2)
	}
	top := &d.TopLoad
	top.Kind = pick(NoTopLoad, WireRing, Torus, Sphere, Disc)
	if top.Kind != NoTopLoad {
		top.Height = draw(-1, 1)
	}
	switch top.Kind {
	case WireRing:
		top.Wire, top.FormerDiameter, top.HubDiameter = someWire(), draw(1e-3, 1), draw(1e-3, 1)
		top.Turns = rapid.IntRange(1, 5000).Draw(t, "turns")
	case Torus:
		top.OuterDiameter, top.TubeDiameter, top.Closed = draw(1e-3, 1), draw(1e-3, 1), chance.Draw(t, "closed")
	case Sphere:
		top.Diameter, top.Closed = draw(1e-3, 1), chance.Draw(t, "closed")
	case Disc:
		top.Diameter, top.Thickness = draw(1e-3, 1), draw(1e-3, 1)
	}
	p := &d.Primary
	p.Kind = pick(NoPrimary, Cylinder, Spiral, Cone)
	if p.Kind != NoPrimary {
		p.Turns, p.TapTurns, p.InnerDiameter = draw(0.1, 200), draw(0.1, 200), draw(1e-3, 1)
		p.Wire, p.BaseHeight = someWire(), draw(0, 1)
		if p.Kind == Cone {
			p.ConeAngle = draw(0, 90)
		}
	}
	d.Driver.Kind = pick(NoDriver, FeedbackExciter, HalfBridge, SparkGap)
	parts := rapid.SampledFrom([]Part{{Name: "PN2222A"}, {Type: "npn"}, {Type: "npn", Model: map[string]float64{"BF": 200, "IS": 1e-14}}})
	switch v := &d.Driver; v.Kind {
	case FeedbackExciter:
		v.Supply, v.SupplyResistance, v.BaseResistor = draw(0, 100), draw(0, 10), draw(0, 1e6)
		v.Device, v.Sense = parts.Draw(t, "device"), rapid.SampledFrom([]int{1, -1}).Draw(t, "sense")
		v.Clamp = rapid.SampledFrom([]Part{{}, {Name: "1N4148"}, {Type: "d", Model: map[string]float64{"N": 1.5}}}).Draw(t, "clamp")
		v.EmitterResistor, v.BaseCapacitance, v.SupplyChoke = maybe(100), maybe(1e-6), maybe(1)
		v.BreakdownVoltage, v.CollectorCapacity, v.GateResistor, v.GateZener = maybe(100), maybe(1e-9), maybe(1e4), maybe(20)
	case HalfBridge:
		v.Bus, v.Feed, v.SeriesCapacitance = draw(0, 400), pick(FeedUntuned, FeedSeriesTuned, FeedBase), draw(0, 1e-6)
		v.SourceResistance, v.Frequency, v.LoopDelay, v.DeadTime = draw(0, 10), draw(0, 1e7), draw(0, 1e-6), draw(0, 1e-6)
	case SparkGap:
		v.FiringVoltage, v.TankCapacitance, v.ArcResistance, v.Repetition = draw(0, 1e5), draw(0, 1e-6), draw(0, 10), draw(0, 1000)
	}
	if d.Driver.Kind != NoDriver {
		d.Driver.BurstOn, d.Driver.BurstRate, d.Driver.ThermalResistance = maybe(1), maybe(1000), maybe(500)
	}
	r := &d.Room
	r.Ground, r.FloorDepth, r.CeilingHeight = pick(Floor, MetalPlane, Open), draw(0, 2), draw(0, 10)
	r.AirTemperature, r.AirPressure = draw(-60, 100), draw(1000, 200_000)
	if r.Foot = pick(Earthed, Circuit); r.Foot == Circuit {
		r.CircuitDiameter, r.EarthCapacitance = draw(1e-3, 1), draw(0, 1e-9)
	}
	d.Tolerances = Tolerances{maybe(1), maybe(10), maybe(1), maybe(1), maybe(1), maybe(1), maybe(1), maybe(1), maybe(1), maybe(50)}
	for range rapid.IntRange(0, 2).Draw(t, "measurements") {
		d.Measurements = append(d.Measurements, Measurement{
			Quantity: pick("frequency", "quality_factor", "gap"), Value: draw(-1e9, 1e9), Uncertainty: draw(0, 1e6),
			Setup: pick("bare", "running"), AtFrequency: maybe(1e7), ProbeCapacitance: draw(0, 1e-9), ProbePlace: pick("none", "on_top"),
			Key: pick("", "secondary.turns"), Instrument: pick("", "counter"), Date: pick("", "2031-05-04"), Note: pick("", "<a> & \u2028"),
		})
	}
	if d.Name == "" {
		d.Name = "a" // a variant must have one
	}
	return d
}

func TestRoundTripIsIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDesign().Draw(t, "design")
		var content bytes.Buffer
		if err := Write(&content, d); err != nil {
			t.Fatalf("Write: %v", err)
		}
		got, err := Read(&content)
		if err != nil {
			t.Fatalf("Read: %v", err)
		}
		if !reflect.DeepEqual(got, d) {
			t.Fatalf("Read(Write(d)) =\n%+v, want\n%+v", got, d)
		}
	})
}

// A design keeps keys of other kinds while it is open; its file does not.
func TestWriteDropsOtherKinds(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Diameter, d.Primary.ConeAngle, d.Driver.Bus, d.Room.CircuitDiameter = 0.1, 30, 24, 0.06
	if got := read(t, string(written(t, d))); !reflect.DeepEqual(got, read(t, desk)) {
		t.Errorf("Read(Write(d)) keeps keys of other kinds: %+v", got)
	}
}

func TestWriteRefusesWhatReadRefuses(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*Design)
		want   string
	}{
		{"not a number", func(d *Design) { d.Secondary.Turns = math.NaN() }, "secondary.turns: NaN is not a finite number"},
		{"infinity", func(d *Design) { d.Room.CeilingHeight = math.Inf(1) }, "room.ceiling_height_m: +Inf is not a finite number"},
		{"negative", func(d *Design) { d.Secondary.FormerDiameter = -1 }, "secondary.former_diameter_m: must be from 1e-06 to 10 m, not -1"},
		{"no kind", func(d *Design) { d.TopLoad.Kind = "" }, `top_load.kind: there is no "": must be one of "none", "wire_ring", "torus", "sphere", "disc"`},
		{"not UTF-8", func(d *Design) { d.Name = "\xff" }, "name: is not UTF-8 text"},
		{"variants in variants", func(d *Design) {
			v := *d
			v.Variants = []Design{*d}
			d.Variants = []Design{v}
		}, "variants[0].variants: a variant has no variants of its own"},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := read(t, desk)
			test.change(&d)
			var content bytes.Buffer
			err := Write(&content, d)
			if err == nil || err.Error() != test.want {
				t.Errorf("Write: %v, want %s", err, test.want)
			}
			if content.Len() > 0 {
				t.Errorf("Write put down %d bytes", content.Len())
			}
		})
	}
}

// Whatever the bytes, Read does not panic, and what it takes comes back the
// same from Write.
func FuzzRead(f *testing.F) {
	f.Add([]byte(desk))
	f.Add([]byte(smallest))
	f.Add([]byte(strings.Replace(desk, `{"kind": "none"}`, `{"kind": "feedback_exciter", "supply_v": 9, "device": {"type": "npn", "BF": 200}, "base_resistor_ohm": 1e4, "clamp": null}`, 1)))
	f.Add([]byte(strings.Replace(desk, `"variants": []`, `"variants": [{"name": "a", "secondary": {"former_diameter_m": 2e-2, "turns": 1.5, "wire": {"gauge": "0.2 mm"}}, "top_load": {"kind": "disc", "diameter_m": 0.1, "thickness_m": 0}}]`, 1)))
	f.Add([]byte(strings.Replace(desk, `"measurements": []`, `"measurements": [{"quantity": "frequency", "value": 1e6, "setup": "bare", "at_frequency_hz": null}]`, 1)))
	f.Add([]byte(`{"a":{"a":[NaN`))
	f.Fuzz(func(t *testing.T, content []byte) {
		d, err := Read(bytes.NewReader(content))
		if err != nil {
			return
		}
		again, err := Read(bytes.NewReader(written(t, d)))
		if err != nil || !reflect.DeepEqual(again, d) {
			t.Errorf("Read(Write(d)) = %+v, %v\nwant %+v", again, err, d)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(desk)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	d, err := Read(strings.NewReader(desk))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, d); err != nil {
			b.Fatal(err)
		}
	}
}
