package sentence

import (
	"encoding/json"
	"strings"
	"testing"
)

// shouted is a language of capitals.
func shouted(english string) string {
	return strings.NewReplacer("%S", "%s").Replace(strings.ToUpper(english))
}

func TestTextForReaders(t *testing.T) {
	wire := New("wire of %s", Length(0.0016))
	for _, test := range []struct {
		name string
		text Text
		r    Reader
		want string
	}{
		{"English", wire, Reader{}, "wire of 1.6 mm"},
		{"inches", wire, Reader{Inch: true}, "wire of 0.06299\u202fin"},
		{"another language", wire, Reader{Language: shouted}, "WIRE OF 1.6 mm"},
		{"a text in a text", New("no %s here", wire), Reader{Language: shouted, Inch: true}, "NO WIRE OF 0.06299\u202fin HERE"},
		{"no values, no verbs", New("100 % of it"), Reader{}, "100 % of it"},
		{"a name", Literal("50 %s"), Reader{Language: shouted}, "50 %s"},
		{"several", Join("; ", New("one"), Literal("two")), Reader{Language: shouted}, "ONE; two"},
		{"none", Join(", "), Reader{}, ""},
		{"a least length is enough", New("%s", AtLeast(0.0100001)), Reader{}, "10.01 mm"},
		{"a least length stays", New("%s", AtLeast(0.01)), Reader{}, "10.00 mm"},
		{"a least length in inches is enough", New("%s", AtLeast(0.01)), Reader{Inch: true}, "0.394\u202fin"}, // 0.3937 in
	} {
		if got := test.text.In(test.r); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
}

func TestReportsAreEnglish(t *testing.T) {
	got, err := json.Marshal(struct{ Text Text }{New("a ring of %s", Length(0.05))})
	if want := `{"Text":"a ring of 50 mm"}`; err != nil || string(got) != want {
		t.Errorf("%s, error %v, want %s", got, err, want)
	}
}

func TestNothingIsEmpty(t *testing.T) {
	if !(Text{}).Empty() || New("word").Empty() {
		t.Error("only the zero text is empty")
	}
}

func TestOnlyWordsAreTranslated(t *testing.T) {
	for format, want := range map[string]bool{"%s": false, "%.3g %d; %s": false, "%s of %s": true, "100 %": false, "%%": false, "%[2]s · %[1]s": false, "k %s": true} {
		if hasWords(format) != want {
			t.Errorf("hasWords(%q) = %v", format, !want)
		}
	}
}
