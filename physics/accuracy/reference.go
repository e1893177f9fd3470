package accuracy

import (
	"embed"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strconv"
)

//go:embed reference
var reference embed.FS

// decode reads a file of the reference as JSON.
func decode(name string, v any) error {
	data, err := reference.ReadFile("reference/" + name)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, v); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// printed reads a file of the reference as a printed table: the rows under its
// heading, comments left out.
func printed(name string) ([][]string, error) {
	file, err := reference.Open("reference/" + name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows[1:], nil
}

// number reads an entry of a printed table; ok is false where it is empty.
func number(entry string) (x float64, ok bool, err error) {
	if entry == "" {
		return 0, false, nil
	}
	x, err = strconv.ParseFloat(entry, 64)
	return x, err == nil, err
}

// numbers reads the entries of a printed row, all of them stated.
func numbers(row []string) ([]float64, error) {
	out := make([]float64, len(row))
	for i, entry := range row {
		x, stated, err := number(entry)
		if err != nil {
			return nil, err
		}
		if !stated {
			return nil, fmt.Errorf("column %d of a printed row is empty", i+1)
		}
		out[i] = x
	}
	return out, nil
}
