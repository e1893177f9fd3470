// Package release says which Coilwright this is.
package release

import (
	"runtime/debug"
	"strings"
)

// number is the version a release was built as, without a leading v. The script
// packaging/build sets it from the tag:
//
//	go build -ldflags "-X coilwright/release.number=1.2.3"
var number string

// Version returns the version in words: "1.2.3" for a release, otherwise what
// the build says of itself.
func Version() string {
	info, _ := debug.ReadBuildInfo()
	return version(number, info)
}

// version words a version; info is nil if the build kept none.
func version(number string, info *debug.BuildInfo) string {
	if number != "" {
		return number
	}
	if info == nil {
		return development
	}
	// Set by go install with a version, and since Go 1.24 from a tag.
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return strings.TrimPrefix(v, "v")
	}
	revision, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value[:min(len(s.Value), shortRevision)]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", changed"
		}
	}
	if revision == "" {
		return development
	}
	return development + " of " + revision + changed
}

const (
	development   = "development build"
	shortRevision = 10 // digits; what names a commit in a project of any size
)
