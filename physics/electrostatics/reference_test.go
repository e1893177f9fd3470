package electrostatics

import (
	"encoding/json"
	"os"
	"testing"
)

// referenceCase is one record of testdata/bodies.json: a value computed
// independently of this program, see testdata/SOURCES.md.
type referenceCase struct {
	ID     string             `json:"id"`
	Kind   string             `json:"kind"`
	Inputs map[string]float64 `json:"inputs"`
	Value  float64            `json:"value"`
	RelErr float64            `json:"rel_err"`
	Method string             `json:"method"`
}

// referenceCases returns the records of one kind.
func referenceCases(t testing.TB, kind string) []referenceCase {
	t.Helper()
	data, err := os.ReadFile("../../testdata/bodies.json")
	if err != nil {
		t.Fatal(err)
	}
	var all, some []referenceCase
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if c.Kind == kind {
			some = append(some, c)
		}
	}
	if len(some) == 0 {
		t.Fatalf("no case of kind %q", kind)
	}
	return some
}
