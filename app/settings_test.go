package app

import (
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
)

// Whatever the settings hold, the window opens.
func FuzzSettings(f *testing.F) {
	f.Add(1, "dark", "/a/b", 1280.0, "top_load")
	f.Add(-7, "purple", "../..", -1.0, "")
	f.Add(1<<40, "\xff", "\x00", 1e300, "nothing")
	f.Fuzz(func(t *testing.T, units int, appearance, path string, width float64, folded string) {
		a := test.NewTempApp(t)
		p := a.Preferences()
		p.SetInt(preferUnits, units)
		p.SetString(preferAppearance, appearance)
		p.SetString(preferFolder, path)
		p.SetFloat(preferWidth, width)
		p.SetFloat(preferHeight, -width)
		p.SetStringList(preferFolded, []string{folded})
		p.SetStringList("recent files", []string{path})
		w, err := New(a, Options{Synchronous: true})
		if err != nil {
			t.Fatal(err)
		}
		defer w.session.Close()
		size := w.preferredSize()
		if !(size.Width >= leastSize.Width && size.Width <= largestSize.Width && size.Height >= leastSize.Height && size.Height <= largestSize.Height) {
			t.Errorf("the window is %v", size)
		}
		if frequency(w) == "" {
			t.Error("the window shows no frequency")
		}
		switch w.appearance {
		case theme.System, theme.Light, theme.Dark:
		default:
			t.Errorf("the appearance is %q", w.appearance)
		}
	})
}
