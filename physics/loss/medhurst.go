package loss

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"gonum.org/v1/gonum/interp"
)

//go:embed medhurst.csv
var medhurstFile string

// Estimate is an answer of a handbook and whether it was asked within its range.
type Estimate struct {
	Value   float64
	InRange bool
}

const (
	// medhurstDeveloped is the diameter over the skin depth above which the skin effect
	// counts as developed: the resistance of a lone wire is then within 10 % of the
	// thick limit (TestDevelopedSkin). Medhurst only says that it was.
	medhurstDeveloped = 10

	// medhurstFewest is the least number of turns of his coils, 30 to 50. Long coils
	// of more turns are thought to differ little; common practice, no source.
	medhurstFewest = 30
)

// Medhurst returns the measured resistance of a uniformly wound single layer with the
// same current throughout over that of its wire straight, both at a frequency where
// the skin effect is developed. lengthOverDiameter is pitch times turns over the diameter
// of the centreline, >= 0, +Inf for the limit of long coils; pitchOverDiameter is that of
// pitch and bare wire, >= 1; diameterOverSkinDepth and turns only decide
// whether the question lies within the range.
//
// Between the printed values it goes smoothly in the diameter over the pitch and straight
// in (l/D)/(1 + l/D), towards 1 beyond the widest pitch printed, 10. One cell of the
// table is left out, see medhurst.csv. Impossible sizes are an error that wraps
// [ErrInput].
//
// Source: R. G. Medhurst, Wireless Engineer 24 (1947) 35 and 80, table of measured
// factors; its last line, for long coils, is Butterworth's theory and agrees with
// [EndlessRow] to all digits printed.
func Medhurst(lengthOverDiameter, pitchOverDiameter, diameterOverSkinDepth, turns float64) (Estimate, error) {
	if !(lengthOverDiameter >= 0) || !(pitchOverDiameter >= 1) || math.IsInf(pitchOverDiameter, 0) {
		return Estimate{}, fmt.Errorf("%w: coil %g diameters long at %g wire diameters pitch", ErrInput, lengthOverDiameter, pitchOverDiameter)
	}
	table := medhurst()
	place := shape(lengthOverDiameter)
	upper := 1
	for upper < len(table)-1 && table[upper].place < place {
		upper++
	}
	low, high := &table[upper-1], &table[upper]
	part := (place - low.place) / (high.place - low.place)
	x := 1 / pitchOverDiameter
	value := (1-part)*low.curve.Predict(x) + part*high.curve.Predict(x)
	return Estimate{
		Value:   value,
		InRange: diameterOverSkinDepth >= medhurstDeveloped && turns >= medhurstFewest,
	}, nil
}

// shape maps the length over the diameter from 0 to ∞ to 0 to 1.
func shape(lengthOverDiameter float64) float64 {
	if math.IsInf(lengthOverDiameter, 1) {
		return 1
	}
	return lengthOverDiameter / (1 + lengthOverDiameter)
}

// medhurstLine is the table at one length over diameter.
type medhurstLine struct {
	place float64
	curve interp.FritschButland // of the diameter over the pitch
}

// medhurst reads the table once. The file is part of the program; a test reads it too.
var medhurst = sync.OnceValue(func() []medhurstLine {
	reader := csv.NewReader(strings.NewReader(medhurstFile))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		panic("loss: medhurst.csv: " + err.Error())
	}
	var lines []medhurstLine
	var x, y []float64 // falling pitch, so that x rises
	finish := func(place float64) {
		line := medhurstLine{place: place}
		// No neighbours, no factor: where the pitch is infinite.
		xs, ys := []float64{0}, []float64{1}
		for i := len(x) - 1; i >= 0; i-- {
			xs, ys = append(xs, x[i]), append(ys, y[i])
		}
		if err := line.curve.Fit(xs, ys); err != nil {
			panic("loss: medhurst.csv: " + err.Error())
		}
		lines = append(lines, line)
		x, y = x[:0], y[:0]
	}
	before := ""
	for _, row := range rows[1:] {
		if before != "" && row[0] != before {
			finish(shape(parsed(before)))
		}
		before = row[0]
		x, y = append(x, 1/parsed(row[1])), append(y, parsed(row[2]))
	}
	finish(shape(parsed(before)))
	return lines
})

// parsed returns the number of a cell of a file that is part of the program.
func parsed(cell string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		panic("loss: " + err.Error())
	}
	return x
}
