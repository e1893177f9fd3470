package app

import (
	"bytes"
	"encoding/json"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"coilwright/assets"
	"coilwright/physics/spectrum"
)

var update = flag.Bool("update", false, "write what is kept anew: the sentences of physics and figures among the English texts, the layouts of the stages")

// sentences returns every format that physics, figures and sheets say something
// with, by where it stands: what they pass to sentence.New or to say, and the names
// in their lists.
func sentences(t *testing.T) map[string]token.Position {
	t.Helper()
	all := map[string]token.Position{}
	files := token.NewFileSet()
	for _, folder := range []string{"../physics", "../plotting"} {
		err := filepath.WalkDir(folder, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok && says(call, folder) {
					if format, ok := literal(call.Args[0]); ok {
						places := len(verb.FindAllString(strings.ReplaceAll(format, "%%", ""), -1))
						if values := len(call.Args) - 1; values != places && values > 0 {
							t.Errorf("%v: %q has %d places for %d values", files.Position(call.Pos()), format, places, values)
						}
						if strings.ContainsFunc(verb.ReplaceAllString(format, ""), unicode.IsLetter) {
							all[format] = files.Position(call.Pos())
						}
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range spectrum.All() {
		all[s.Name] = token.Position{Filename: "physics/spectrum"}
	}
	return all
}

// verb is the place of a value in a format.
var verb = regexp.MustCompile(`%[-+# 0]*(\[\d+\])?\d*(\.\d+)?[a-zA-Z]`)

// says tells whether a call puts something into words: sentence.New anywhere, the
// method say of a figure's style.
func says(call *ast.CallExpr, folder string) bool {
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || len(call.Args) == 0 {
		return false
	}
	x, ok := f.X.(*ast.Ident)
	return f.Sel.Name == "say" && folder == "../plotting" || ok && x.Name == "sentence" && f.Sel.Name == "New"
}

// literal returns the text of a literal, or of several that are added.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil
	case *ast.BinaryExpr:
		a, first := literal(e.X)
		b, second := literal(e.Y)
		return a + b, first && second && e.Op == token.ADD
	}
	return "", false
}

// TestEveryStyleHasALanguage looks for drawings of the window that would stay
// English.
func TestEveryStyleHasALanguage(t *testing.T) {
	styles := regexp.MustCompile(`(\w+\()?plotting\.(Light|Dark|Print)\(\)`).FindAllStringSubmatch(source(t), -1)
	if len(styles) == 0 {
		t.Fatal("no drawing found")
	}
	for _, s := range styles {
		if s[1] != "inLanguage(" {
			t.Errorf("%s has no language", s[0])
		}
	}
}

// reserved are keys that the toolkit takes for the forms of a plural.
var reserved = []string{"id", "hash", "description", "leftdelim", "rightdelim", "zero", "one", "two", "few", "many", "other"}

// TestEverySentenceIsAText holds the list of what a language has to translate
// against the source: an English sentence stands under itself.
func TestEverySentenceIsAText(t *testing.T) {
	all, found := texts(t), sentences(t)
	if len(found) < 100 {
		t.Fatalf("only %d sentences found", len(found))
	}
	for _, r := range reserved {
		if _, ok := found[r]; ok {
			t.Errorf("%v: no sentence can be %q alone", found[r], r)
		}
	}
	if *update {
		rewriteTexts(t, all, found)
		return
	}
	for format, at := range found {
		if all[format] != format {
			t.Errorf("%v: %q stands as %q among the texts; take it over with -update", at, format, all[format])
		}
	}
}

// rewriteTexts writes the English texts with the sentences that were found and without
// those that are gone.
func rewriteTexts(t *testing.T, all map[string]any, found map[string]token.Position) {
	for key, value := range all {
		if _, ok := found[key]; !ok && value == key {
			delete(all, key)
		}
	}
	for format := range found {
		all[format] = format
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(all); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join("../assets", assets.TextFolder, english+".json"), out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}
