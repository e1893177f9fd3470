package release

import (
	"runtime/debug"
	"testing"
)

func TestVersion(t *testing.T) {
	built := func(main string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{Main: debug.Module{Version: main}, Settings: settings}
	}
	revision := debug.BuildSetting{Key: "vcs.revision", Value: "0123456789abcdef"}
	for _, test := range []struct {
		name, number string
		info         *debug.BuildInfo
		want         string
	}{
		{"a release", "1.2.3", built("(devel)", revision), "1.2.3"},
		{"installed by go", "", built("v1.2.3"), "1.2.3"},
		{"from a clone", "", built("(devel)", revision, debug.BuildSetting{Key: "vcs.modified", Value: "false"}), "development build of 0123456789"},
		{"from a changed clone", "", built("(devel)", revision, debug.BuildSetting{Key: "vcs.modified", Value: "true"}), "development build of 0123456789, changed"},
		{"of a folder", "", built("(devel)"), "development build"},
		{"without a word", "", nil, "development build"},
	} {
		if got := version(test.number, test.info); got != test.want {
			t.Errorf("%s: version %q, want %q", test.name, got, test.want)
		}
	}
	if Version() == "" {
		t.Error("this build has no version")
	}
}
