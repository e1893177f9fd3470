package design

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"coilwright/physics/sentence"
)

// Write writes d as a design file: every key that its kinds have, in a fixed
// order, so that equal designs give equal files. Reading it back gives d again,
// less what d keeps of other kinds than its present ones.
//
// A design that [Read] would refuse is not written; the error is [Problems].
func Write(to io.Writer, d Design) error {
	content, err := encode(d)
	if err != nil {
		return err
	}
	_, err = to.Write(content)
	return err
}

// encode returns the content of the design file of d.
func encode(d Design) ([]byte, error) {
	if problems := outOfRange(&d); len(problems) > 0 {
		return nil, problems
	}
	format, version := Format, Version
	var content bytes.Buffer
	if err := json.Indent(&content, wholeDesign(&d, &format, &version).write(nil), "", "  "); err != nil {
		return nil, fmt.Errorf("design: writing: %w", err)
	}
	content.WriteByte('\n')
	if content.Len() > MaxFileSize {
		return nil, Problems{{Code: CodeTooLarge, Text: sentence.New("too large for a design file: over %d MB", MaxFileSize>>20)}}
	}
	return content.Bytes(), nil
}

// outOfRange returns what [Read] would refuse in d.
func outOfRange(d *Design) Problems {
	format, version := Format, Version
	var r reader
	wholeDesign(d, &format, &version).check(&r, "")
	return r.problems
}
