package theme

import (
	"embed"

	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"
)

// Icons of our own. They are one colour each and take it from the theme.
const (
	IconNameUndo       fyne.ThemeIconName = "coilwright-undo"
	IconNameRedo       fyne.ThemeIconName = "coilwright-redo"
	IconNameAppearance fyne.ThemeIconName = "coilwright-appearance"
	IconNameHelp       fyne.ThemeIconName = "coilwright-help"
	IconNameCaution    fyne.ThemeIconName = "coilwright-caution"
	IconNameProblem    fyne.ThemeIconName = "coilwright-problem"
	IconNameFine       fyne.ThemeIconName = "coilwright-fine"
	IconNameFolded     fyne.ThemeIconName = "coilwright-folded"
	IconNameUnfolded   fyne.ThemeIconName = "coilwright-unfolded"
)

//go:embed icons/*.svg
var iconFiles embed.FS

var icons = map[fyne.ThemeIconName]fyne.Resource{
	IconNameUndo:       icon("undo.svg"),
	IconNameRedo:       icon("redo.svg"),
	IconNameAppearance: icon("appearance.svg"),
	IconNameHelp:       icon("help.svg"),
	IconNameCaution:    icon("caution.svg"),
	IconNameProblem:    icon("problem.svg"),
	IconNameFine:       icon("fine.svg"),
	IconNameFolded:     icon("folded.svg"),
	IconNameUnfolded:   icon("unfolded.svg"),
}

// icon loads an embedded drawing; a name that is not embedded is a mistake of
// this file, seen at every start.
func icon(name string) fyne.Resource {
	data, err := iconFiles.ReadFile("icons/" + name)
	if err != nil {
		panic("theme: " + err.Error())
	}
	return fynetheme.NewThemedResource(fyne.NewStaticResource(name, data))
}
