package measurement

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"math"
	"slices"

	"coilwright/physics/sentence"
)

// ErrFile says that a file is not what a reader takes; the error that wraps it
// names the line and the reason.
var ErrFile = sentence.Error(nil, sentence.New("cannot be read"))

// lineError says why a line cannot be read; it wraps [ErrFile].
func lineError(line int, why sentence.Text) error {
	return sentence.Error(ErrFile, sentence.New("line %d cannot be read: %s", line, why))
}

// fileError says why a file cannot be read; it wraps [ErrFile].
func fileError(why sentence.Text) error {
	return sentence.Error(ErrFile, sentence.New("the file cannot be read: %s", why))
}

// ReadOptions says how far a long reading is. The zero value is quiet.
type ReadOptions struct {
	Size     int64                  // bytes in the file, handed to Progress; 0: not known
	Progress func(done, size int64) // called now and then with the bytes read; may be nil
}

// Bounds of what is read at a time.
const (
	sniffed       = 64 << 10 // bytes looked at to find out how a table is written
	longestLine   = 1 << 20  // bytes
	linesPerCheck = 1 << 14  // lines between two looks at the context: some milliseconds
	sniffedRows   = 1000     // rows that decide what a column is
)

// dialect is how a table of numbers is written.
type dialect struct {
	separator byte // between cells; blank: any run of blanks and tabs; 0: one cell
	mark      byte // decimal mark
	eol       byte
}

const blank = ' '

// dialects are the ways to write a table, tried in this order: where two fit
// equally well the first is taken.
var dialects = []dialect{
	{separator: '\t', mark: '.'}, {separator: '\t', mark: ','},
	{separator: ';', mark: '.'}, {separator: ';', mark: ','},
	{separator: '|', mark: '.'}, {separator: '|', mark: ','},
	{separator: ',', mark: '.'}, {separator: ',', mark: ','}, // the latter in quotes
	{separator: blank, mark: '.'}, {separator: blank, mark: ','},
	{separator: 0, mark: '.'}, {separator: 0, mark: ','},
}

// table is the beginning of a file: how it is written and what it says of
// itself.
type table struct {
	dialect
	columns []int       // cells that hold numbers, ascending
	names   []string    // one per column, "" where it has none
	units   []string    // one per column, as written, without brackets
	head    [][]string  // cells of the lines before the numbers
	rows    [][]float64 // the first rows, at most sniffedRows, one value per column
	first   int         // number of the first line of numbers, from 1
	bytes   float64     // of a line of numbers, in the mean of the first ones
}

// readTable reads a table of numbers. It calls begin once, with the beginning
// of the file, and then row for every line of numbers; values holds one number
// per column and is used again for the next line.
func readTable(ctx context.Context, from io.Reader, options ReadOptions, begin func(*table) error, row func(line int, values []float64) error) error {
	in := bufio.NewReaderSize(from, longestLine)
	sample, err := in.Peek(sniffed)
	if err != nil && err != io.EOF {
		return err
	}
	t, err := sniff(sample, err == io.EOF)
	if err != nil {
		return err
	}
	if err := begin(t); err != nil {
		return err
	}
	values := make([]float64, len(t.columns))
	var done int64
	for line := 1; ; line++ {
		text, err := in.ReadSlice(t.eol)
		if err == bufio.ErrBufferFull {
			return lineError(line, sentence.New("it is longer than %d bytes", longestLine))
		}
		if err != nil && err != io.EOF {
			return err
		}
		done += int64(len(text))
		if line >= t.first && !skipped(text) {
			if reason := t.parse(text, values); !reason.Empty() {
				if err == io.EOF {
					reason = sentence.New("%s; the file seems cut off here", reason)
				}
				return lineError(line, reason)
			}
			if err := row(line, values); err != nil {
				return err
			}
		}
		last := err == io.EOF
		if last || line%linesPerCheck == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			if options.Progress != nil {
				options.Progress(done, options.Size)
			}
		}
		if last {
			return nil
		}
	}
}

// skipped says whether a line among the numbers holds none by intent: it is
// empty or a comment.
func skipped(line []byte) bool {
	line = bytes.TrimSpace(line)
	return len(line) == 0 || line[0] == '#' || line[0] == '!' || line[0] == '%'
}

// sniff finds out how a table is written from its beginning; whole says that
// this is all of it.
func sniff(sample []byte, whole bool) (*table, error) {
	for _, order := range [][]byte{{0xfe, 0xff}, {0xff, 0xfe}} {
		if bytes.HasPrefix(sample, order) {
			return nil, fileError(sentence.New("it is written in UTF-16; save it as plain text or UTF-8"))
		}
	}
	if bytes.IndexByte(sample, 0) >= 0 {
		return nil, fileError(sentence.New("it is not text"))
	}
	eol := byte('\n')
	if bytes.IndexByte(sample, '\n') < 0 && bytes.IndexByte(sample, '\r') >= 0 {
		eol = '\r'
	}
	lines := bytes.Split(sample, []byte{eol})
	if !whole && len(lines) > 1 {
		lines = lines[:len(lines)-1]
	}
	if len(bytes.TrimSpace(sample)) == 0 {
		return nil, fileError(sentence.New("it is empty"))
	}
	d, mask, err := chooseDialect(lines, eol)
	if err != nil {
		return nil, err
	}
	t := &table{dialect: d}
	for c, isNumber := range mask {
		if isNumber {
			t.columns = append(t.columns, c)
		}
	}
	t.findStart(lines)
	return t, nil
}

// chooseDialect returns the dialect in which most cells of the later lines are
// numbers, and which cells those are. It looks at the last half of the lines,
// and at fewer of them as long as they still hold text.
func chooseDialect(lines [][]byte, eol byte) (dialect, []bool, error) {
	const (
		most = 200 // lines that decide
		many = 3   // lines of which the last, which may be cut off, is left out
	)
	var written [][]byte
	for _, l := range lines {
		if !skipped(l) {
			written = append(written, l)
		}
	}
	best, bestScore := dialect{}, 0
	var bestMask []bool
	var body [][]byte
	for n := (len(written) + 1) / 2; n > 0 && bestScore <= 0; n /= 2 {
		body = written[len(written)-min(n, most):]
		if len(body) >= many {
			body = body[:len(body)-1]
		}
		for _, d := range dialects {
			d.eol = eol
			mask, score := d.weigh(body)
			if score > bestScore {
				best, bestScore, bestMask = d, score, mask
			}
		}
	}
	if bestScore <= 0 {
		return dialect{}, nil, fileError(sentence.New("no columns of numbers found in it"))
	}
	if best.separator == ',' && best.mark == '.' && commaIsMark(body) {
		if len(bestMask) > 2 {
			return dialect{}, nil, fileError(sentence.New("the comma stands both between columns and in numbers; export it with semicolons or with decimal points"))
		}
		return dialect{separator: 0, mark: ',', eol: eol}, []bool{true}, nil
	}
	return best, bestMask, nil
}

// weigh returns which cells are numbers on most lines and how well the dialect
// fits: numbers count for it, text against it more.
func (d dialect) weigh(body [][]byte) (mask []bool, score int) {
	const againstText = 3
	var numbers, filled []int
	for _, l := range body {
		i := 0
		d.cells(l, func(cell []byte) bool {
			if i == len(numbers) {
				numbers, filled = append(numbers, 0), append(filled, 0)
			}
			if len(cell) > 0 {
				filled[i]++
				if _, ok := parseDecimal(cell, d.mark); ok {
					numbers[i]++
				}
			}
			i++
			return true
		})
	}
	for i := range numbers {
		isColumn := numbers[i]*10 >= len(body)*9
		mask = append(mask, isColumn)
		if isColumn {
			score += numbers[i]
		}
		score -= againstText * (filled[i] - numbers[i])
	}
	// A file of numbers with a column of text, a time of day say, still is one.
	if score <= 0 && slices.Contains(mask, true) {
		score = 1
	}
	for len(mask) > 0 && !mask[len(mask)-1] {
		mask = mask[:len(mask)-1]
	}
	if len(mask) == 0 {
		return nil, 0
	}
	return mask, score
}

// commaIsMark says whether lines that can be cut at commas hold decimal commas
// instead: no point and no exponent anywhere, an even count of cells, and
// every second one without a sign and now and then with a zero in front, as
// only decimals have.
func commaIsMark(body [][]byte) bool {
	leadingZero := 0
	for _, l := range body {
		cells := bytes.Split(bytes.TrimSpace(l), []byte{','})
		if len(cells)%2 != 0 || bytes.ContainsAny(l, ".eE\"") {
			return false
		}
		for i := 1; i < len(cells); i += 2 {
			c := cells[i]
			if len(c) == 0 || c[0] < '0' || c[0] > '9' {
				return false
			}
			if c[0] == '0' && len(c) > 1 {
				leadingZero++
			}
		}
	}
	return leadingZero > 0
}

// findStart finds the first line of numbers, keeps the lines before it as head
// and the first rows. It goes from the top: a line without any number ends what
// looked like a beginning, and one that is wrong in part is left to the reader
// to refuse.
func (t *table) findStart(lines [][]byte) {
	const inARow = 3 // lines of numbers on end that are no longer a head
	values := make([]float64, len(t.columns))
	run := 0
	t.first = len(lines)
	for n, l := range lines {
		if skipped(l) {
			continue
		}
		if !t.parse(l, values).Empty() {
			if run == 0 || !t.hasNumber(l) {
				run = 0
			}
			continue
		}
		if run == 0 {
			t.first = n + 1
		}
		if run++; run == inARow {
			break
		}
	}
	for _, l := range lines[:t.first-1] {
		var cells []string
		d := t.dialect
		if len(t.columns) == 1 { // nothing stands between numbers, but something may in the head
			if at := bytes.IndexAny(l, ";\t,"); at >= 0 {
				d.separator = l[at]
			}
		}
		d.cells(l, func(cell []byte) bool {
			cells = append(cells, string(bytes.TrimLeft(cell, "#!% ")))
			return true
		})
		t.head = append(t.head, cells)
	}
	for _, l := range lines[t.first-1:] {
		if len(t.rows) < sniffedRows && !skipped(l) && t.parse(l, values).Empty() {
			t.rows = append(t.rows, slices.Clone(values))
			t.bytes += float64(len(l) + 1)
		}
	}
	t.bytes /= float64(max(len(t.rows), 1))
	t.nameColumns()
}

// hasNumber says whether one of the columns of a line is a number.
func (t *table) hasNumber(line []byte) bool {
	found, i := false, 0
	t.cells(line, func(cell []byte) bool {
		if _, ok := parseDecimal(cell, t.mark); ok && slices.Contains(t.columns, i) {
			found = true
		}
		i++
		return !found
	})
	return found
}

// parse reads the numbers of a line, one per column. It returns what is wrong
// with the line, or nothing.
func (t *table) parse(line []byte, values []float64) (wrong sentence.Text) {
	cell, next := 0, 0
	t.cells(line, func(text []byte) bool {
		if next < len(t.columns) && cell == t.columns[next] {
			v, ok := parseDecimal(text, t.mark)
			switch {
			case !ok && len(text) == 0:
				wrong = sentence.New("column %d is empty", cell+1)
			case !ok:
				wrong = sentence.New("column %d is %q, not a number", cell+1, shortened(text))
			case math.Abs(v) >= overload:
				wrong = sentence.New("column %d is %g, the mark of a value off the screen", cell+1, v)
			}
			values[next] = v
			next++
		}
		cell++
		return wrong.Empty() && next < len(t.columns)
	})
	if wrong.Empty() && next < len(t.columns) {
		wrong = sentence.New("it has %d columns, not %d", cell, t.columns[len(t.columns)-1]+1)
	}
	return wrong
}

// overload is the smallest number that stands for a value off the screen or
// not measured: 9.9E37 is infinity and 9.91E37 no number in SCPI-1999, volume
// 1, section 7.2.1.
const overload = 9.9e37

// shortened cuts a text that goes into a message.
func shortened(text []byte) string {
	const longest = 24
	if len(text) > longest {
		return string(text[:longest]) + "…"
	}
	return string(text)
}

// cells calls visit for every cell of a line, trimmed and without its quotes,
// until visit returns false.
func (d dialect) cells(line []byte, visit func(cell []byte) bool) {
	line = bytes.TrimRight(line, "\r\n \ufeff")
	line = bytes.TrimPrefix(line, []byte("\ufeff"))
	if d.separator == 0 {
		visit(trimmed(line))
		return
	}
	if d.separator == blank {
		for {
			line = bytes.TrimLeft(line, " \t")
			if len(line) == 0 {
				return
			}
			end := bytes.IndexAny(line, " \t")
			if end < 0 {
				end = len(line)
			}
			if !visit(trimmed(line[:end])) {
				return
			}
			line = line[end:]
		}
	}
	quoted := bytes.IndexByte(line, '"') >= 0
	for {
		end := bytes.IndexByte(line, d.separator)
		if quoted {
			end = indexUnquoted(line, d.separator)
		}
		if end < 0 {
			visit(trimmed(line))
			return
		}
		if !visit(trimmed(line[:end])) {
			return
		}
		line = line[end+1:]
	}
}

// indexUnquoted is bytes.IndexByte outside of double quotes.
func indexUnquoted(line []byte, separator byte) int {
	inside := false
	for i, c := range line {
		switch {
		case c == '"':
			inside = !inside
		case c == separator && !inside:
			return i
		}
	}
	return -1
}

// trimmed returns a cell without blanks and quotes around it.
func trimmed(cell []byte) []byte {
	for len(cell) > 0 && (cell[0] == ' ' || cell[0] == '\t') {
		cell = cell[1:]
	}
	for len(cell) > 0 && (cell[len(cell)-1] == ' ' || cell[len(cell)-1] == '\t') {
		cell = cell[:len(cell)-1]
	}
	if n := len(cell); n >= 2 && cell[0] == '"' && cell[n-1] == '"' {
		return trimmed(cell[1 : n-1])
	}
	return cell
}
