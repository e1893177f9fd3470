package design

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"coilwright/physics/sentence"
)

// MaxFileSize is the largest file that is read, in bytes; a design with 5000
// measurements takes about 2 MB.
const MaxFileSize = 4 << 20

// Limits of a file. They are far beyond any design and keep a file that is
// none from taking the memory of the machine.
const (
	maxDepth = 16      // a part's parameters in a variant's driver lie at depth 6
	maxNodes = 250_000 // values in a file; 5000 measurements hold 60 000
)

// node is one JSON value.
type node struct {
	kind    kind
	text    string   // of a text; digits of a number
	truth   bool     // of a boolean
	members []member // of an object, in the order of the file
	items   []*node  // of a list
}

// member is one key of an object with its value.
type member struct {
	key   string
	value *node
}

// kind is the type of a JSON value.
type kind int

const (
	kindNull kind = iota
	kindBool
	kindNumber
	kindText
	kindList
	kindObject
)

// In words the kind for messages.
func (k kind) In(r sentence.Reader) string {
	switch k {
	case kindBool:
		return sentence.New("true or false").In(r)
	case kindNumber:
		return sentence.New("a number").In(r)
	case kindText:
		return sentence.New("a text").In(r)
	case kindList:
		return sentence.New("a list").In(r)
	case kindObject:
		return sentence.New("an object").In(r)
	}
	return "null"
}

// find returns the value of a key, nil if the object has none.
func (n *node) find(key string) *node {
	for _, m := range n.members {
		if m.key == key {
			return m.value
		}
	}
	return nil
}

// parse reads one JSON value and nothing after it. Its problems carry the path
// of the key they were met at and, for malformed JSON, line and column.
func parse(source io.Reader) (*node, Problems) {
	data, err := io.ReadAll(io.LimitReader(source, MaxFileSize+1))
	if err != nil {
		return nil, Problems{{Code: CodeMalformed, Text: sentence.New("cannot be read: %s", err)}}
	}
	if len(data) > MaxFileSize {
		return nil, Problems{{Code: CodeTooLarge, Text: sentence.New("too large for a design: over %d MB", MaxFileSize>>20)}}
	}
	// RFC 8259 section 8.1 lets a reader ignore a byte order mark, which some
	// text editors put there.
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if at := invalidUTF8(data); at >= 0 {
		return nil, Problems{{Code: CodeMalformed, Text: sentence.New("malformed JSON at %s: not UTF-8 text", position(data, at))}}
	}
	p := parser{decoder: json.NewDecoder(bytes.NewReader(data))}
	p.decoder.UseNumber()
	root := p.value("", 0)
	if p.err == nil {
		p.path = "" // what follows belongs to no key
	}
	if p.err == nil && len(p.problems) > 0 && p.problems[0].Code == CodeTooLarge {
		return nil, p.problems
	}
	// The decoder's tokens tell where in the design a slip is, its checker at
	// which byte.
	var syntax *json.SyntaxError
	if err := json.Unmarshal(data, new(json.RawMessage)); errors.As(err, &syntax) {
		return nil, Problems{slip(data, p.path, syntax)}
	}
	if p.err != nil { // cannot happen: the checker reads what the tokens do
		return nil, Problems{{Code: CodeMalformed, Key: p.path, Text: sentence.New("malformed JSON: %s", p.err)}}
	}
	return root, p.problems
}

// invalidUTF8 returns the index of the first byte that is not UTF-8, -1 if
// there is none.
func invalidUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// slip words a syntax error found at the given path.
func slip(data []byte, path string, err *json.SyntaxError) Problem {
	at := int(err.Offset)
	if at > 0 && !strings.Contains(err.Error(), "unexpected end") {
		at-- // the offset is behind the byte that was wrong
	}
	what := sentence.New("malformed JSON at %s: %s", position(data, at), err)
	rest := strings.ToLower(string(data[at:min(at+8, len(data))]))
	for _, word := range []string{"nan", "inf"} {
		if strings.HasPrefix(rest, word) {
			what = sentence.New("not a finite number, at %s", position(data, at))
		}
	}
	return Problem{Code: CodeMalformed, Key: path, Text: what}
}

// position words the place of a byte as line and column, both from 1; the
// column counts characters.
func position(data []byte, at int) sentence.Text {
	before := data[:min(at, len(data))]
	line := 1 + bytes.Count(before, []byte("\n"))
	start := 1 + bytes.LastIndexByte(before, '\n')
	return sentence.New("line %d, column %d", line, 1+utf8.RuneCount(before[start:]))
}

// parser builds the tree of a file. It stops at the first error, with path the
// key it was at.
type parser struct {
	decoder  *json.Decoder
	nodes    int
	path     string
	err      error
	problems Problems
}

// stopped reports whether there is no use in reading on.
func (p *parser) stopped() bool {
	return p.err != nil || len(p.problems) > 0 && p.problems[len(p.problems)-1].Code == CodeTooLarge
}

// token returns the next token, nil after an error.
func (p *parser) token(path string) json.Token {
	if p.stopped() {
		return nil
	}
	p.path = path
	token, err := p.decoder.Token()
	p.err = err
	return token
}

// value reads the value of the key at path, which lies in depth objects and
// lists.
func (p *parser) value(path string, depth int) *node {
	p.nodes++
	if depth > maxDepth || p.nodes > maxNodes {
		what := sentence.New("nested too deeply for a design")
		if depth <= maxDepth {
			what = sentence.New("holds more values than any design")
		}
		p.problems = Problems{{Code: CodeTooLarge, Key: path, Text: what}}
		return nil
	}
	switch token := p.token(path).(type) {
	case json.Delim:
		if token == '{' {
			return p.object(path, depth)
		}
		return p.list(path, depth)
	case json.Number:
		return &node{kind: kindNumber, text: token.String()}
	case string:
		return &node{kind: kindText, text: token}
	case bool:
		return &node{kind: kindBool, truth: token}
	default:
		return &node{kind: kindNull}
	}
}

// object reads the keys of an object whose brace was read.
func (p *parser) object(path string, depth int) *node {
	n := &node{kind: kindObject}
	seen := map[string]bool{}
	for !p.stopped() && p.decoder.More() {
		key, ok := p.token(path).(string)
		if !ok {
			break
		}
		inner := join(path, shortened(key)) // long keys must not make longer paths
		if seen[key] && len(p.problems) < maxProblems {
			p.problems = append(p.problems, Problem{Code: CodeDuplicate, Key: inner, Text: sentence.New("stands there twice")})
		}
		seen[key] = true
		n.members = append(n.members, member{key, p.value(inner, depth+1)})
	}
	p.token(path) // the closing brace
	return n
}

// list reads the items of a list whose bracket was read.
func (p *parser) list(path string, depth int) *node {
	n := &node{kind: kindList}
	for !p.stopped() && p.decoder.More() {
		n.items = append(n.items, p.value(item(path, len(n.items)), depth+1))
	}
	p.token(path) // the closing bracket
	return n
}

// join returns the path of a key of the object at path.
func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// item returns the path of an item of the list at path, counted from 0.
func item(path string, index int) string {
	return path + "[" + strconv.Itoa(index) + "]"
}

// shortened keeps a message on one readable line however long or strange the
// key of a file is.
func shortened(text string) string {
	const most = 120 // characters
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "…"
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !strconv.IsPrint(r) }) {
		text = strings.Trim(strconv.Quote(text), `"`)
	}
	return text
}
