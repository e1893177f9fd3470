package design

import (
	"io"
	"math"
	"os"
	"strconv"

	"coilwright/physics/sentence"
)

// Read reads a design file. It takes the whole file or nothing: the error is
// [Problems], which lists everything found wrong with the path of its key.
//
// It refuses what is no design of this version down to the last key: unknown,
// missing and twofold keys, keys of another kind, numbers outside their range.
// A coil that cannot be built, a ring of too many turns say, is read all the
// same, since its maker may have saved it; [Check] finds that.
func Read(source io.Reader) (Design, error) {
	root, problems := parse(source)
	if root == nil {
		return Design{}, problems
	}
	r := reader{problems: problems}
	if !r.is(kindObject, "", root) {
		return Design{}, r.problems
	}
	if problem, ok := foreign(root, Format, "design"); ok {
		return Design{}, Problems{problem}
	}
	d := fromFile()
	var format string
	var version int
	wholeDesign(&d, &format, &version).read(&r, "", root)
	if len(r.problems) > 0 {
		return Design{}, r.problems
	}
	return d, nil
}

// foreign recognises a file of another format than the one wanted, or of a
// later version, of which nothing else is worth saying.
func foreign(root *node, wanted, noun string) (Problem, bool) {
	format, version := root.find("format"), root.find("version")
	if format != nil && format.kind == kindText && format.text != wanted {
		return Problem{Code: CodeWrongFormat, Key: "format",
			Text: sentence.New("is %q, not %q: this is no %s file", shortened(format.text), wanted, noun)}, true
	}
	if version == nil || version.kind != kindNumber {
		return Problem{}, false
	}
	if x, err := strconv.ParseFloat(version.text, 64); err == nil && x > Version && x == math.Trunc(x) {
		return Problem{Code: CodeNewerVersion, Key: "version",
			Text: sentence.New("is %s: made by a newer Coilwright, this one reads version %d", shortened(version.text), Version)}, true
	}
	return Problem{}, false
}

// ReadFile reads the design file at path.
func ReadFile(path string) (Design, error) {
	f, err := os.Open(path)
	if err != nil {
		return Design{}, err
	}
	defer f.Close()
	return Read(f)
}
