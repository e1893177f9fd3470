// Package theme holds every colour, spacing, text size and icon of the window,
// each by its name: copper for what the maker winds and moves, slate for
// everything else, in a light and a dark form.
//
// Start reading at [New]. Text keeps a contrast of at least 4.5 to 1 on the
// ground it stands on, the level AA of the W3C's Web Content Accessibility
// Guidelines 2.1, success criterion 1.4.3; a test computes it.
package theme

import (
	"image/color"

	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"
)

// Appearance is which of the two forms the window wears.
type Appearance string

const (
	System Appearance = "system" // as the desktop asks
	Light  Appearance = "light"
	Dark   Appearance = "dark"
)

// Theme is the look of the window.
type Theme struct {
	appearance Appearance
	large      bool
}

// New returns the theme in the given appearance; any other text is [System].
func New(a Appearance) *Theme {
	return &Theme{appearance: a}
}

// LargeText is how much larger texts are in a theme of [Theme.Large].
const LargeText = 1.2

// Large returns the theme with larger texts and the places that hold them.
func (t *Theme) Large() *Theme {
	return &Theme{appearance: t.appearance, large: true}
}

// Dark says whether the theme is dark where the desktop prefers the variant.
func (t *Theme) Dark(preferred fyne.ThemeVariant) bool {
	switch t.appearance {
	case Light:
		return false
	case Dark:
		return true
	}
	return preferred == fynetheme.VariantDark
}

// Color returns a colour by name, black for a name it does not know.
func (t *Theme) Color(name fyne.ThemeColorName, preferred fyne.ThemeVariant) color.Color {
	palette := lightPalette
	if t.Dark(preferred) {
		palette = darkPalette
	}
	if c, ok := palette[name]; ok {
		return c
	}
	return color.Black
}

// Font returns the typeface that is built into the toolkit. Its figures are all
// equally wide, so numbers do not dance while they change.
func (t *Theme) Font(style fyne.TextStyle) fyne.Resource {
	return fynetheme.DefaultTheme().Font(style)
}

// Icon returns an own icon by name, or else the toolkit's.
func (t *Theme) Icon(name fyne.ThemeIconName) fyne.Resource {
	if r, ok := icons[name]; ok {
		return r
	}
	return fynetheme.DefaultTheme().Icon(name)
}

// Size returns a size by name, in density-independent pixels.
func (t *Theme) Size(name fyne.ThemeSizeName) float32 {
	if s, ok := sizes[name]; ok {
		if t.large && ofText[name] {
			s *= LargeText
		}
		return s
	}
	return fynetheme.DefaultTheme().Size(name)
}
