package theme

import (
	"image/color"

	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"
)

// Colours of our own, beside the toolkit's names.
const (
	ColorNameCard       fyne.ThemeColorName = "card"       // ground of cards, figures and the drawing
	ColorNameCardBorder fyne.ThemeColorName = "cardBorder" // their outline
	ColorNameMuted      fyne.ThemeColorName = "muted"      // captions, units and notes
	ColorNameTrack      fyne.ThemeColorName = "track"      // the part of a slider not yet reached
	ColorNameSlate      fyne.ThemeColorName = "slate"      // the cool counterpart of copper: second curves, links
	ColorNameKnob       fyne.ThemeColorName = "knob"       // ring round a slider's handle
	ColorNameHalo       fyne.ThemeColorName = "halo"       // round a handle that has the keyboard or the pointer
)

type palette map[fyne.ThemeColorName]color.Color

var lightPalette = palette{
	ColorNameCard:       rgb(0xFFFFFF),
	ColorNameCardBorder: rgb(0xD9D3C9),
	ColorNameMuted:      rgb(0x566470),
	ColorNameTrack:      rgb(0xD9D3C9),
	ColorNameSlate:      rgb(0x2A6482),
	ColorNameKnob:       rgb(0xFFFFFF),
	ColorNameHalo:       rgba(0x9E4F1D, 0x38),

	fynetheme.ColorNameBackground:          rgb(0xF4F1EC),
	fynetheme.ColorNameForeground:          rgb(0x22303A),
	fynetheme.ColorNamePlaceHolder:         rgb(0x566470),
	fynetheme.ColorNameDisabled:            rgb(0x838E97),
	fynetheme.ColorNamePrimary:             rgb(0x9E4F1D),
	fynetheme.ColorNameForegroundOnPrimary: rgb(0xFFFFFF),
	fynetheme.ColorNameHyperlink:           rgb(0x2A6482),
	fynetheme.ColorNameFocus:               rgba(0x9E4F1D, 0x38),
	fynetheme.ColorNameHover:               rgba(0x22303A, 0x12),
	fynetheme.ColorNamePressed:             rgba(0x22303A, 0x24),
	fynetheme.ColorNameSelection:           rgba(0x9E4F1D, 0x40),
	fynetheme.ColorNameButton:              rgb(0xECE7DF),
	fynetheme.ColorNameDisabledButton:      rgb(0xF4F1EC),
	fynetheme.ColorNameInputBackground:     rgb(0xF4F1EC),
	fynetheme.ColorNameInputBorder:         rgb(0x938C81),
	fynetheme.ColorNameMenuBackground:      rgb(0xFFFFFF),
	fynetheme.ColorNameOverlayBackground:   rgb(0xFFFFFF),
	fynetheme.ColorNameHeaderBackground:    rgb(0xF4F1EC),
	fynetheme.ColorNameSeparator:           rgb(0xD9D3C9),
	fynetheme.ColorNameShadow:              rgba(0x22303A, 0x30),
	fynetheme.ColorNameScrollBar:           rgba(0x22303A, 0x66),
	fynetheme.ColorNameScrollBarBackground: rgba(0x22303A, 0x0C),
	fynetheme.ColorNameError:               rgb(0xA92F2F),
	fynetheme.ColorNameForegroundOnError:   rgb(0xFFFFFF),
	fynetheme.ColorNameWarning:             rgb(0x8A5600),
	fynetheme.ColorNameForegroundOnWarning: rgb(0xFFFFFF),
	fynetheme.ColorNameSuccess:             rgb(0x34702F),
	fynetheme.ColorNameForegroundOnSuccess: rgb(0xFFFFFF),
}

var darkPalette = palette{
	ColorNameCard:       rgb(0x1F262C),
	ColorNameCardBorder: rgb(0x313B44),
	ColorNameMuted:      rgb(0x9FACB6),
	ColorNameTrack:      rgb(0x39444D),
	ColorNameSlate:      rgb(0x79B8D5),
	ColorNameKnob:       rgb(0x1F262C),
	ColorNameHalo:       rgba(0xE9A06A, 0x48),

	fynetheme.ColorNameBackground:          rgb(0x171C20),
	fynetheme.ColorNameForeground:          rgb(0xECE7DF),
	fynetheme.ColorNamePlaceHolder:         rgb(0x9FACB6),
	fynetheme.ColorNameDisabled:            rgb(0x7D8993),
	fynetheme.ColorNamePrimary:             rgb(0xE9A06A),
	fynetheme.ColorNameForegroundOnPrimary: rgb(0x171C20),
	fynetheme.ColorNameHyperlink:           rgb(0x79B8D5),
	fynetheme.ColorNameFocus:               rgba(0xE9A06A, 0x48),
	fynetheme.ColorNameHover:               rgba(0xECE7DF, 0x14),
	fynetheme.ColorNamePressed:             rgba(0xECE7DF, 0x28),
	fynetheme.ColorNameSelection:           rgba(0xE9A06A, 0x50),
	fynetheme.ColorNameButton:              rgb(0x2A333B),
	fynetheme.ColorNameDisabledButton:      rgb(0x1F262C),
	fynetheme.ColorNameInputBackground:     rgb(0x171C20),
	fynetheme.ColorNameInputBorder:         rgb(0x6C7883),
	fynetheme.ColorNameMenuBackground:      rgb(0x1F262C),
	fynetheme.ColorNameOverlayBackground:   rgb(0x1F262C),
	fynetheme.ColorNameHeaderBackground:    rgb(0x171C20),
	fynetheme.ColorNameSeparator:           rgb(0x313B44),
	fynetheme.ColorNameShadow:              rgba(0x000000, 0x60),
	fynetheme.ColorNameScrollBar:           rgba(0xECE7DF, 0x66),
	fynetheme.ColorNameScrollBarBackground: rgba(0xECE7DF, 0x0C),
	fynetheme.ColorNameError:               rgb(0xF08A80),
	fynetheme.ColorNameForegroundOnError:   rgb(0x171C20),
	fynetheme.ColorNameWarning:             rgb(0xE5B454),
	fynetheme.ColorNameForegroundOnWarning: rgb(0x171C20),
	fynetheme.ColorNameSuccess:             rgb(0x8FBF7F),
	fynetheme.ColorNameForegroundOnSuccess: rgb(0x171C20),
}

func rgb(hex uint32) color.NRGBA {
	return rgba(hex, 0xFF)
}

func rgba(hex uint32, alpha uint8) color.NRGBA {
	return color.NRGBA{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex), A: alpha}
}
