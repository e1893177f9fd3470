package theme

import (
	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"
)

// Sizes of our own, beside the toolkit's names.
const (
	SizeNameGap           fyne.ThemeSizeName = "gap"           // between cards, and from the window's edge
	SizeNameInset         fyne.ThemeSizeName = "inset"         // from a card's edge to what it holds
	SizeNameCardRadius    fyne.ThemeSizeName = "cardRadius"    // corners of cards
	SizeNameRow           fyne.ThemeSizeName = "row"           // height of a row of a card
	SizeNameRowGap        fyne.ThemeSizeName = "rowGap"        // between rows
	SizeNameRowLabel      fyne.ThemeSizeName = "rowLabel"      // width of a row's name
	SizeNameRowEntry      fyne.ThemeSizeName = "rowEntry"      // width of a row's entry
	SizeNameHeader        fyne.ThemeSizeName = "header"        // height of the bar above the stages
	SizeNameStageText     fyne.ThemeSizeName = "stageText"     // names of the stages
	SizeNameStageAir      fyne.ThemeSizeName = "stageAir"      // beside each of them
	SizeNameStageLine     fyne.ThemeSizeName = "stageLine"     // thickness of the line under one
	SizeNameSide          fyne.ThemeSizeName = "side"          // width of the column of cards
	SizeNameTrack         fyne.ThemeSizeName = "track"         // thickness of a slider's track
	SizeNameKnob          fyne.ThemeSizeName = "knob"          // diameter of a slider's handle
	SizeNameHalo          fyne.ThemeSizeName = "halo"          // diameter of the ring round it
	SizeNameGrip          fyne.ThemeSizeName = "grip"          // diameter of a handle on a drawing
	SizeNameGripLabel     fyne.ThemeSizeName = "gripLabel"     // from the edge of its label to the words
	SizeNameTitleText     fyne.ThemeSizeName = "titleText"     // titles of cards and figures
	SizeNameValueText     fyne.ThemeSizeName = "valueText"     // a result
	SizeNameResult        fyne.ThemeSizeName = "result"        // width of one result
	SizeNameSegment       fyne.ThemeSizeName = "segment"       // height of a switch of a few words
	SizeNameHint          fyne.ThemeSizeName = "hint"          // height of the place that explains
	SizeNameNotice        fyne.ThemeSizeName = "notice"        // width of the place for problems
	SizeNameNoticeButton  fyne.ThemeSizeName = "noticeButton"  // width of its buttons
	SizeNameStepText      fyne.ThemeSizeName = "stepText"      // height of the place for a step of the work
	SizeNameWorkStrip     fyne.ThemeSizeName = "workStrip"     // height of the picture under the counter
	SizeNameList          fyne.ThemeSizeName = "list"          // height of a short list in a card
	SizeNameFigureInset   fyne.ThemeSizeName = "figureInset"   // from a figure's edge to what it holds
	SizeNameStockEntry    fyne.ThemeSizeName = "stockEntry"    // width of a name in the stock
	SizeNameNoticeLines   fyne.ThemeSizeName = "noticeLines"   // height of two lines of a message
	SizeNameColumnNarrow  fyne.ThemeSizeName = "columnNarrow"  // width of a column of a table
	SizeNameColumn        fyne.ThemeSizeName = "column"        // likewise
	SizeNameColumnWide    fyne.ThemeSizeName = "columnWide"    // likewise
	SizeNameShareNumber   fyne.ThemeSizeName = "shareNumber"   // width of a share's number
	SizeNameShareBar      fyne.ThemeSizeName = "shareBar"      // thickness of its bar
	SizeNameShowText      fyne.ThemeSizeName = "showText"      // words for the last row of a room
	SizeNameShowTitle     fyne.ThemeSizeName = "showTitle"     // and their title
	SizeNameQuestionWidth fyne.ThemeSizeName = "questionWidth" // a question with its answers
	SizeNameDialogWidth   fyne.ThemeSizeName = "dialogWidth"   // a page of help
	SizeNameDialogHeight  fyne.ThemeSizeName = "dialogHeight"  // a page of help
)

var sizes = map[fyne.ThemeSizeName]float32{
	SizeNameGap:           12,
	SizeNameInset:         12,
	SizeNameCardRadius:    10,
	SizeNameRow:           26,
	SizeNameRowGap:        2,
	SizeNameRowLabel:      78,
	SizeNameRowEntry:      84,
	SizeNameHeader:        40,
	SizeNameStageText:     15,
	SizeNameStageAir:      18,
	SizeNameStageLine:     3,
	SizeNameSide:          312,
	SizeNameTrack:         4,
	SizeNameKnob:          14,
	SizeNameHalo:          24,
	SizeNameGrip:          11,
	SizeNameGripLabel:     5,
	SizeNameTitleText:     14,
	SizeNameValueText:     16,
	SizeNameResult:        112,
	SizeNameSegment:       24,
	SizeNameHint:          68,
	SizeNameNotice:        372,
	SizeNameNoticeButton:  96,
	SizeNameStepText:      168,
	SizeNameWorkStrip:     110,
	SizeNameList:          132,
	SizeNameFigureInset:   8,
	SizeNameStockEntry:    112,
	SizeNameNoticeLines:   36,
	SizeNameColumnNarrow:  62,
	SizeNameColumn:        80,
	SizeNameColumnWide:    236,
	SizeNameShareNumber:   78,
	SizeNameShareBar:      8,
	SizeNameShowText:      20,
	SizeNameShowTitle:     30,
	SizeNameQuestionWidth: 440,
	SizeNameDialogWidth:   680,
	SizeNameDialogHeight:  520,

	fynetheme.SizeNameText:            13,
	fynetheme.SizeNameCaptionText:     11.5,
	fynetheme.SizeNameSubHeadingText:  16,
	fynetheme.SizeNameHeadingText:     20,
	fynetheme.SizeNamePadding:         4,
	fynetheme.SizeNameInnerPadding:    4,
	fynetheme.SizeNameInlineIcon:      18,
	fynetheme.SizeNameInputRadius:     6,
	fynetheme.SizeNameScrollBar:       10,
	fynetheme.SizeNameScrollBarSmall:  4,
	fynetheme.SizeNameScrollBarRadius: 4,
}

// ofText are the sizes of texts and of the places that hold a text, which grow
// together.
var ofText = map[fyne.ThemeSizeName]bool{
	SizeNameRow:                      true,
	SizeNameRowLabel:                 true,
	SizeNameRowEntry:                 true,
	SizeNameHeader:                   true,
	SizeNameStageText:                true,
	SizeNameSide:                     true,
	SizeNameTitleText:                true,
	SizeNameValueText:                true,
	SizeNameResult:                   true,
	SizeNameSegment:                  true,
	SizeNameHint:                     true,
	SizeNameNoticeButton:             true,
	fynetheme.SizeNameText:           true,
	fynetheme.SizeNameCaptionText:    true,
	fynetheme.SizeNameSubHeadingText: true,
	fynetheme.SizeNameHeadingText:    true,
	fynetheme.SizeNameInlineIcon:     true,
}
