package accuracy

import (
	"context"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

const (
	// fourFigures is half of the last of four printed figures, at worst.
	fourFigures = 5.1e-4

	// roundedWire is what a chart may take the diameter of a wire wrong by, in m:
	// half of the last digit, 0.1 mil.
	roundedWire = 0.05e-3 * 0.0254

	// threeFigures is half of the last of the figures of the shortest entry of
	// the chart, 16.2 Ω.
	threeFigures = 0.05 / 16.2

	thousandFeet = 304.8 // m
)

// wires compares diameters and resistances of American gauges.
func wires(_ context.Context, t *table) error {
	rows, err := printed("awg.csv")
	if err != nil {
		return err
	}
	diameter := subject{sentence.New("bare diameter"), si.Metre, sentence.Literal("Kuphaldt, Lessons In Electric Circuits, vol. 5, wire table"), fourFigures}
	resistance := subject{sentence.New("resistance of 1000 ft, 20 °C"), si.Ohm, sentence.Literal("magnet-wire charts, sizechartly.com and gradllc.com"), 0}
	for _, of := range []subject{diameter, resistance} {
		for _, row := range rows {
			gauge, err := wire.Parse("AWG " + row[0])
			if err != nil {
				return err
			}
			entry, factor, ours := row[1], si.Inch.Factor(), gauge.Diameter
			if of.unit == si.Ohm {
				entry, factor, ours = row[2], 1, wire.ResistanceDC(thousandFeet, gauge.Diameter, wire.ReferenceTemperature)
				of.allowed = 2*roundedWire/gauge.Diameter + threeFigures
			}
			theirs, stated, err := number(entry)
			if err != nil {
				return err
			}
			if stated {
				t.add(of, sentence.Literal(gauge.Name), theirs*factor, ours)
			}
		}
	}
	return nil
}
