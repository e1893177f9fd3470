package sentence

import "testing"

func TestForms(t *testing.T) {
	german := Reader{Language: func(english string) string {
		return map[string]string{"the hub": "über allem", "%s and %s": "%s und %s"}[english]
	}}
	hub := New("the hub")
	for _, test := range []struct {
		name string
		text Text
		r    Reader
		want string
	}{
		{"capital", Capital(hub), Reader{}, "The hub"},
		{"capital of the translation", Capital(hub), german, "Über allem"},
		{"whole", Whole(hub), german, "Über allem."},
		{"one full stop", Whole(New("it is.")), Reader{}, "It is."},
		{"nothing to begin", Capital(Text{}), Reader{}, ""},
		{"paragraph", Paragraph(New("One."), Text{}, New("Two.")), Reader{}, "One. Two."},
		{"list of three", List(Literal("a"), Literal("b"), Literal("c")), german, "a, b und c"},
		{"list of one", List(Literal("a")), Reader{}, "a"},
		{"empty list", List(), Reader{}, ""},
	} {
		if got := test.text.In(test.r); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
}
