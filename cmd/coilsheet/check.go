package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"coilwright/physics/accuracy"
	"coilwright/physics/si"
)

// percentFrom is the allowed difference from which on differences are written
// in percent.
const percentFrom = 1e-5

// check compares our numbers with published and independent ones.
func check(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	asJSON := flags.Bool("json", false, "print JSON instead of a table")
	if err := c.parseAlone(flags); err != nil {
		return err
	}
	rows, err := accuracy.Rows(ctx)
	if err != nil {
		return err
	}
	return showRows(c.stdout, rows, *asJSON)
}

// showRows prints the comparison. It is an error if a row is beyond what is
// allowed.
func showRows(to io.Writer, rows []accuracy.Row, asJSON bool) error {
	var err error
	if asJSON {
		err = writeRows(to, rows)
	} else {
		_, err = io.WriteString(to, rowTable(rows))
	}
	if err != nil {
		return err
	}
	if n := accuracy.Beyond(rows); n > 0 {
		return fmt.Errorf("%d of %d rows beyond what is allowed", n, len(rows))
	}
	return nil
}

// rowTable sets the rows as a table in blocks, with a heading over each.
func rowTable(rows []accuracy.Row) string {
	table := [][]string{{"quantity", "case", "theirs", "ours", "difference", "allowed", "source"}}
	for _, r := range rows {
		source := r.Source.String()
		if !r.Within {
			source = "BEYOND · " + source
		}
		table = append(table, []string{
			r.Quantity.String(), r.Case.String(), value(r.Theirs, r.Unit), value(r.Ours, r.Unit),
			difference(r), allowance(r), source,
		})
	}
	var out strings.Builder
	lines := aligned(table, map[int]bool{2: true, 3: true, 4: true, 5: true})
	out.WriteString(lines[0] + "\n")
	for i, r := range rows {
		if i == 0 || rows[i-1].Group.String() != r.Group.String() {
			fmt.Fprintf(&out, "\n%s\n", r.Group)
		}
		out.WriteString(lines[i+1] + "\n")
	}
	verdict := "all within"
	if n := accuracy.Beyond(rows); n > 0 {
		verdict = fmt.Sprintf("%d beyond what is allowed", n)
	}
	fmt.Fprintf(&out, "\n%d rows, %s\n", len(rows), verdict)
	return out.String()
}

// value writes a quantity with the digits that the closest comparison needs.
func value(x float64, unit si.Unit) string { return si.FormatPrefixed(x, unit, 7) }

// difference writes a relative difference with its sign: in percent, or as a
// bare number where so little is allowed that percent would be all zeros.
func difference(r accuracy.Row) string {
	format, x := "%+.4f\u202f%%", 100*r.Difference
	if r.Allowed < percentFrom {
		format, x = "%+.0e", r.Difference
	}
	return minus(fmt.Sprintf(format, x))
}

// allowance writes what is allowed, in the same way.
func allowance(r accuracy.Row) string {
	if r.Allowed < percentFrom {
		return minus(fmt.Sprintf("%.0e", r.Allowed))
	}
	return fmt.Sprintf("%.2g\u202f%%", 100*r.Allowed)
}

// minus sets true minus signs.
func minus(text string) string { return strings.ReplaceAll(text, "-", "−") }

// aligned joins the cells of every row, each column as wide as its widest cell;
// columns of numbers are set to the right.
func aligned(table [][]string, right map[int]bool) []string {
	widths := make([]int, len(table[0]))
	for _, row := range table {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	lines := make([]string, len(table))
	for n, row := range table {
		var line strings.Builder
		for i, cell := range row {
			space := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if i > 0 {
				line.WriteString("  ")
			}
			if right[i] {
				line.WriteString(space + cell)
			} else {
				line.WriteString(cell + space)
			}
		}
		lines[n] = strings.TrimRight(line.String(), " ")
	}
	return lines
}

// rowJSON is a row as JSON; its numbers are in the SI unit beside them.
type rowJSON struct {
	Group      string  `json:"group"`
	Quantity   string  `json:"quantity"`
	Case       string  `json:"case"`
	Source     string  `json:"source"`
	Theirs     float64 `json:"theirs"`
	Ours       float64 `json:"ours"`
	Unit       string  `json:"unit"`
	Difference float64 `json:"difference"`
	Allowed    float64 `json:"allowed"`
	Within     bool    `json:"within"`
}

func writeRows(to io.Writer, rows []accuracy.Row) error {
	all := struct {
		Rows   []rowJSON `json:"rows"`
		Beyond int       `json:"beyond"`
	}{Rows: make([]rowJSON, len(rows)), Beyond: accuracy.Beyond(rows)}
	for i, r := range rows {
		all.Rows[i] = rowJSON{r.Group.String(), r.Quantity.String(), r.Case.String(), r.Source.String(), r.Theirs, r.Ours, r.Unit.Symbol(), r.Difference, r.Allowed, r.Within}
	}
	return printJSON(to, all)
}
