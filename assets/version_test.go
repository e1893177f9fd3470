package assets

import (
	"os"
	"strings"
	"testing"
)

// TestVersion holds the version against the one the packager reads.
func TestVersion(t *testing.T) {
	content, err := os.ReadFile("../FyneApp.toml")
	if err != nil {
		t.Fatal(err)
	}
	if want := `Version = "` + Version + `"`; !strings.Contains(string(content), want) {
		t.Errorf("FyneApp.toml does not say %s", want)
	}
}
