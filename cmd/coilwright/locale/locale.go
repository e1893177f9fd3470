// Package locale keeps the toolkit from printing "Error parsing user locale C"
// in an environment whose locale is C.UTF-8, as in most containers.
//
// The toolkit reads the environment while its packages are initialised, which
// is before main. Go initialises packages that are ready in the order of their
// import paths, and this one needs nothing of the toolkit and sorts before it.
//
// Source: The Go Programming Language Specification, section "Program
// initialization".
package locale

import (
	"os"
	"strings"
)

func init() {
	if language := missingLanguage(os.Getenv); language != "" {
		os.Setenv("LANGUAGE", language) // asked before the others; read by nothing but translations
	}
}

// missingLanguage returns the language to use if the environment states an
// encoding without a language, and nothing otherwise.
//
// Source: GNU gettext manual, sections "Locale Environment Variables" and "The
// LANGUAGE variable".
func missingLanguage(getenv func(string) string) string {
	if getenv("LANGUAGE") != "" {
		return ""
	}
	for _, key := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if locale := getenv(key); locale != "" {
			if strings.HasPrefix(locale, "C.") || strings.HasPrefix(locale, "POSIX.") {
				return "en"
			}
			return ""
		}
	}
	return ""
}
