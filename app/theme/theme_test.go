package theme

import (
	"image"
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	fynetheme "fyne.io/fyne/v2/theme"
)

// minContrast is level AA for text of ordinary size: W3C, Web Content
// Accessibility Guidelines 2.1, success criterion 1.4.3.
const minContrast = 4.5

// minContrastOfControls is level AA for the edges of controls: the same, 1.4.11.
const minContrastOfControls = 3.0

func TestContrastOfText(t *testing.T) {
	grounds := []fyne.ThemeColorName{
		ColorNameCard,
		fynetheme.ColorNameBackground,
		fynetheme.ColorNameInputBackground,
		fynetheme.ColorNameMenuBackground,
		fynetheme.ColorNameOverlayBackground,
		fynetheme.ColorNameButton,
	}
	inks := []fyne.ThemeColorName{
		ColorNameMuted,
		ColorNameSlate,
		fynetheme.ColorNameForeground,
		fynetheme.ColorNamePlaceHolder,
		fynetheme.ColorNamePrimary,
		fynetheme.ColorNameHyperlink,
		fynetheme.ColorNameError,
		fynetheme.ColorNameWarning,
		fynetheme.ColorNameSuccess,
	}
	for _, appearance := range []Appearance{Light, Dark} {
		look := New(appearance)
		for _, edge := range []fyne.ThemeColorName{fynetheme.ColorNameInputBorder, fynetheme.ColorNamePrimary} {
			got := contrast(look.Color(edge, fynetheme.VariantLight), look.Color(ColorNameCard, fynetheme.VariantLight))
			if got < minContrastOfControls {
				t.Errorf("%s: contrast of %s on a card = %.2f, want at least %g", appearance, edge, got, minContrastOfControls)
			}
		}
	}
	pairs := [][2]fyne.ThemeColorName{
		{fynetheme.ColorNameForegroundOnPrimary, fynetheme.ColorNamePrimary},
		{fynetheme.ColorNameForegroundOnError, fynetheme.ColorNameError},
		{fynetheme.ColorNameForegroundOnWarning, fynetheme.ColorNameWarning},
		{fynetheme.ColorNameForegroundOnSuccess, fynetheme.ColorNameSuccess},
	}
	for _, ink := range inks {
		for _, ground := range grounds {
			pairs = append(pairs, [2]fyne.ThemeColorName{ink, ground})
		}
	}
	for _, appearance := range []Appearance{Light, Dark} {
		look := New(appearance)
		for _, pair := range pairs {
			ink := look.Color(pair[0], fynetheme.VariantLight)
			ground := look.Color(pair[1], fynetheme.VariantLight)
			if got := contrast(ink, ground); got < minContrast {
				t.Errorf("%s: contrast of %s on %s = %.2f, want at least %g", appearance, pair[0], pair[1], got, minContrast)
			}
		}
	}
}

// contrast returns the contrast ratio of two opaque colours, 1 to 21.
//
// Source: W3C, Web Content Accessibility Guidelines 2.1, definitions of
// contrast ratio and relative luminance.
func contrast(a, b color.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

func luminance(c color.Color) float64 {
	linear := func(v uint32) float64 {
		s := float64(v) / 0xFFFF
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	r, g, b, _ := c.RGBA()
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func TestContrastRatio(t *testing.T) {
	for _, test := range []struct {
		name   string
		a, b   color.Color
		want   float64
		source string
	}{
		{"black on white", color.Black, color.White, 21, "the definition's largest value"},
		{"equal", color.White, color.White, 1, "the definition's smallest value"},
	} {
		if got := contrast(test.a, test.b); math.Abs(got-test.want) > 1e-9 {
			t.Errorf("contrast of %s = %g, want %g (%s)", test.name, got, test.want, test.source)
		}
	}
}

func TestBothPalettesNameTheSameColours(t *testing.T) {
	for name := range lightPalette {
		if _, ok := darkPalette[name]; !ok {
			t.Errorf("the dark palette lacks %s", name)
		}
	}
	if len(lightPalette) != len(darkPalette) {
		t.Errorf("the light palette names %d colours, the dark one %d", len(lightPalette), len(darkPalette))
	}
}

func TestAppearance(t *testing.T) {
	for _, test := range []struct {
		appearance Appearance
		preferred  fyne.ThemeVariant
		dark       bool
	}{
		{System, fynetheme.VariantLight, false},
		{System, fynetheme.VariantDark, true},
		{Light, fynetheme.VariantDark, false},
		{Dark, fynetheme.VariantLight, true},
		{"of no name", fynetheme.VariantDark, true},
	} {
		if got := New(test.appearance).Dark(test.preferred); got != test.dark {
			t.Errorf("New(%q).Dark(%d) = %t, want %t", test.appearance, test.preferred, got, test.dark)
		}
	}
}

func TestIconsDraw(t *testing.T) {
	test.NewTempApp(t)
	for name := range icons {
		picture := test.NewTempWindow(t, iconImage(New(Light).Icon(name))).Canvas().Capture()
		if blank(picture) {
			t.Errorf("icon %s draws nothing", name)
		}
	}
}

func iconImage(r fyne.Resource) fyne.CanvasObject {
	i := canvas.NewImageFromResource(r)
	i.SetMinSize(fyne.NewSquareSize(48))
	return i
}

// blank says whether every pixel of a picture has the colour of its corner.
func blank(i image.Image) bool {
	first := i.At(i.Bounds().Min.X, i.Bounds().Min.Y)
	for y := i.Bounds().Min.Y; y < i.Bounds().Max.Y; y++ {
		for x := i.Bounds().Min.X; x < i.Bounds().Max.X; x++ {
			if i.At(x, y) != first {
				return false
			}
		}
	}
	return true
}
