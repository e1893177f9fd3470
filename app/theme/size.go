package theme

import (
	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"
)

// Sizes of our own, beside the toolkit's names.
const (
	SizeNameGap          fyne.ThemeSizeName = "gap"          // between cards, and from the window's edge
	SizeNameInset        fyne.ThemeSizeName = "inset"        // from a card's edge to what it holds
	SizeNameCardRadius   fyne.ThemeSizeName = "cardRadius"   // corners of cards
	SizeNameRow          fyne.ThemeSizeName = "row"          // height of a row of a card
	SizeNameRowGap       fyne.ThemeSizeName = "rowGap"       // between rows
	SizeNameRowLabel     fyne.ThemeSizeName = "rowLabel"     // width of a row's name
	SizeNameRowEntry     fyne.ThemeSizeName = "rowEntry"     // width of a row's entry
	SizeNameHeader       fyne.ThemeSizeName = "header"       // height of the bar above the stages
	SizeNameSide         fyne.ThemeSizeName = "side"         // width of the column of cards
	SizeNameTrack        fyne.ThemeSizeName = "track"        // thickness of a slider's track
	SizeNameKnob         fyne.ThemeSizeName = "knob"         // diameter of a slider's handle
	SizeNameHalo         fyne.ThemeSizeName = "halo"         // diameter of the ring round it
	SizeNameTitleText    fyne.ThemeSizeName = "titleText"    // titles of cards and figures
	SizeNameValueText    fyne.ThemeSizeName = "valueText"    // a result
	SizeNameResult       fyne.ThemeSizeName = "result"       // width of one result
	SizeNameSegment      fyne.ThemeSizeName = "segment"      // height of a switch of a few words
	SizeNameDialogWidth  fyne.ThemeSizeName = "dialogWidth"  // a page of help
	SizeNameDialogHeight fyne.ThemeSizeName = "dialogHeight" // a page of help
)

var sizes = map[fyne.ThemeSizeName]float32{
	SizeNameGap:          12,
	SizeNameInset:        14,
	SizeNameCardRadius:   10,
	SizeNameRow:          27,
	SizeNameRowGap:       2,
	SizeNameRowLabel:     92,
	SizeNameRowEntry:     88,
	SizeNameHeader:       44,
	SizeNameSide:         312,
	SizeNameTrack:        4,
	SizeNameKnob:         14,
	SizeNameHalo:         24,
	SizeNameTitleText:    14,
	SizeNameValueText:    16,
	SizeNameResult:       118,
	SizeNameSegment:      24,
	SizeNameDialogWidth:  680,
	SizeNameDialogHeight: 520,

	fynetheme.SizeNameText:            13,
	fynetheme.SizeNameCaptionText:     11.5,
	fynetheme.SizeNameSubHeadingText:  16,
	fynetheme.SizeNameHeadingText:     20,
	fynetheme.SizeNamePadding:         4,
	fynetheme.SizeNameInnerPadding:    5,
	fynetheme.SizeNameInlineIcon:      18,
	fynetheme.SizeNameInputRadius:     6,
	fynetheme.SizeNameScrollBar:       10,
	fynetheme.SizeNameScrollBarSmall:  4,
	fynetheme.SizeNameScrollBarRadius: 4,
}
