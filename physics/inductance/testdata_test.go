package inductance

import (
	"bufio"
	"encoding/json"
	"os"
	"strconv"
	"strings"
	"testing"
)

// reference is testdata/rings.json; its source stands in it.
type reference struct {
	Source      string
	MutualLoops []struct{ A, B, D, Henry float64 }                 `json:"mutual_loops"`
	Sheets      []struct{ Diameter, Length, Turns, Henry float64 } `json:"current_sheets"`
	Windings    []struct {
		Diameter, Pitch, Wire, Turns, Henry float64
		Surface                             float64 `json:"surface_henry"`
	}
	Couplings []struct {
		Primary                            string
		Turns, Radius, Height, Pitch, Wire float64
		Angle                              float64 `json:"angle_deg"`
		SecondaryDiameter                  float64 `json:"secondary_diameter"`
		SecondaryTurns                     float64 `json:"secondary_turns"`
		SecondaryPitch                     float64 `json:"secondary_pitch"`
		SecondaryWire                      float64 `json:"secondary_wire"`
		Coupling                           float64
		PrimaryHenry                       float64 `json:"primary_henry"`
		MutualHenry                        float64 `json:"mutual_henry"`
	}
}

func readReference(t *testing.T) reference {
	t.Helper()
	data, err := os.ReadFile("testdata/rings.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// readTable returns the two columns of a printed table, without its head.
func readTable(t *testing.T, name string) (rows [][2]float64) {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines := bufio.NewScanner(file)
	for n := 0; lines.Scan(); n++ {
		if n < 2 {
			continue // source and names of the columns
		}
		left, right, _ := strings.Cut(lines.Text(), ",")
		x, err1 := strconv.ParseFloat(left, 64)
		y, err2 := strconv.ParseFloat(right, 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("%s, line %d: %q", name, n+1, lines.Text())
		}
		rows = append(rows, [2]float64{x, y})
	}
	return rows
}
