package locale

import "testing"

func TestMissingLanguage(t *testing.T) {
	for _, test := range []struct {
		name        string
		environment map[string]string
		want        string
	}{
		{"container", map[string]string{"LANG": "C.UTF-8"}, "en"},
		{"by a stronger variable", map[string]string{"LC_ALL": "C.UTF-8", "LANG": "de_DE.UTF-8"}, "en"},
		{"POSIX", map[string]string{"LC_MESSAGES": "POSIX.UTF-8"}, "en"},
		{"plain C is understood", map[string]string{"LANG": "C"}, ""},
		{"nothing set", nil, ""},
		{"a language", map[string]string{"LANG": "fr_FR.UTF-8"}, ""},
		{"a weaker variable", map[string]string{"LC_ALL": "fr_FR.UTF-8", "LANG": "C.UTF-8"}, ""},
		{"languages by choice", map[string]string{"LANG": "C.UTF-8", "LANGUAGE": "sv:de"}, ""},
	} {
		got := missingLanguage(func(key string) string { return test.environment[key] })
		if got != test.want {
			t.Errorf("%s: missingLanguage = %q, want %q", test.name, got, test.want)
		}
	}
}
