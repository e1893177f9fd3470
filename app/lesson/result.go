package lesson

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Results is the table of a class.
type Results struct {
	Varied string // key of the number that the set varies, such as secondary.turns; empty: the table does not say. Of a table that was read, whatever stands there
	Coils  []Result
}

// Result is what a class has measured of one coil of a set.
type Result struct {
	Coil        int     // its number, from 1
	Value       float64 // of the dimension that the set varies, SI
	Predicted   float64 // Hz
	Measured    float64 // Hz; NaN: not measured
	Uncertainty float64 // Hz, one sigma; NaN: not stated
	Note        string
}

// resultHeader heads the columns of a class's table; in place of the second stands
// the key of the number that is varied.
var resultHeader = []string{"coil", "value", "predicted_hz", "measured_hz", "uncertainty_hz", "note"}

// WriteResults writes a class's table, empty where nothing was measured, for people
// to fill in.
func WriteResults(to io.Writer, results Results) error {
	out := csv.NewWriter(to)
	header := slices.Clone(resultHeader)
	if results.Varied != "" {
		header[valueColumn] = results.Varied
	}
	if err := out.Write(header); err != nil {
		return err
	}
	text := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	for _, r := range results.Coils {
		row := []string{strconv.Itoa(r.Coil), text(r.Value), text(r.Predicted), text(r.Measured), text(r.Uncertainty), r.Note}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// valueColumn is the place of the value in the header.
const valueColumn = 1

// maxResults bounds a class.
const maxResults = 1000

// ReadResults reads a class's table back, with comma, semicolon or tab between its
// columns and, unless it is the comma that stands between them, a decimal comma. Lines
// without a measured frequency are kept. The error wraps [ErrLesson] and names the line.
func ReadResults(source io.Reader) (Results, error) {
	content, err := io.ReadAll(io.LimitReader(source, maxFileSize+1))
	if err != nil {
		return Results{}, err
	}
	if len(content) > maxFileSize {
		return Results{}, fmt.Errorf("%w: the table is larger than %d MB", ErrLesson, maxFileSize>>20)
	}
	content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	first, _ := bufio.NewReader(bytes.NewReader(content)).ReadString('\n')
	reader := csv.NewReader(bytes.NewReader(content))
	reader.Comma = ','
	for _, separator := range []rune{';', '\t'} {
		if strings.ContainsRune(first, separator) {
			reader.Comma = separator
		}
	}
	reader.FieldsPerRecord = len(resultHeader)
	reader.TrimLeadingSpace = reader.Comma != '\t'
	var all Results
	for {
		row, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Results{}, fmt.Errorf("%w: %s", ErrLesson, strings.TrimPrefix(err.Error(), "record on "))
		}
		line, _ := reader.FieldPos(0)
		if len(all.Coils) == 0 && strings.EqualFold(strings.TrimSpace(row[0]), resultHeader[0]) {
			if key := strings.TrimSpace(row[valueColumn]); key != resultHeader[valueColumn] {
				all.Varied = key
			}
			continue
		}
		r, err := readResult(row, reader.Comma != ',')
		if err != nil {
			return Results{}, fmt.Errorf("%w: line %d: %w", ErrLesson, line, err)
		}
		if all.Coils = append(all.Coils, r); len(all.Coils) > maxResults {
			return Results{}, fmt.Errorf("%w: more than %d coils", ErrLesson, maxResults)
		}
	}
	if len(all.Coils) == 0 {
		return Results{}, fmt.Errorf("%w: the table has no coils", ErrLesson)
	}
	return all, nil
}

func readResult(row []string, decimalComma bool) (Result, error) {
	coil, err := strconv.Atoi(strings.TrimSpace(row[0]))
	if err != nil || coil < 1 {
		return Result{}, fmt.Errorf("%.40q is no number of a coil", row[0])
	}
	r := Result{Coil: coil, Note: strings.TrimSpace(row[5])}
	for i, at := range []*float64{&r.Value, &r.Predicted, &r.Measured, &r.Uncertainty} {
		text := strings.TrimSpace(row[i+1])
		if text == "" {
			*at = math.NaN()
			continue
		}
		if decimalComma {
			text = strings.ReplaceAll(text, ",", ".")
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return Result{}, fmt.Errorf("%.40q is no number", row[i+1])
		}
		if v <= 0 && i > 0 {
			return Result{}, fmt.Errorf("%s is %g, not above zero", resultHeader[i+1], v)
		}
		*at = v
	}
	return r, nil
}
