package app

import (
	"runtime"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/release"
)

// page is one page of help.
type page struct {
	key  string // of its name in the menu
	text string // Markdown
}

var (
	pageUsing    = page{"menu.using", assets.UsingPage}
	pageCautions = page{"menu.cautions", assets.CautionsPage}
	pageAir      = page{"menu.air_page", assets.AirPage}
	pageAnalyser = page{"menu.analyser", assets.MeasuringAnalyserPage}
	pageRingDown = page{"menu.ring_down", assets.MeasuringRingDownPage}
	pageFormats  = page{"menu.formats", assets.FormatPage}
	pageAbout    = page{"menu.about", assets.AboutPage}
)

func (w *Window) helpItems() []*fyne.MenuItem {
	var items []*fyne.MenuItem
	for _, p := range []page{pageUsing, pageCautions, pageAir, pageAnalyser, pageRingDown, pageFormats, pageAbout} {
		items = append(items, item(p.key, nil, func() { w.showPage(p) }))
	}
	items = slices.Insert(items, 1, item("menu.tour", nil, func() { w.tour(0) }), item("menu.keys", control(fyne.KeyF1), w.showKeys))
	return slices.Insert(items, len(items)-1, item("menu.accuracy", nil, w.showAccuracy))
}

// showPage shows a page of help over the window.
func (w *Window) showPage(p page) {
	content := p.text
	if p == pageAbout {
		content += "\n" + text("about.version", map[string]any{"Version": release.Version(), "Go": strings.TrimPrefix(runtime.Version(), "go")}) + "\n"
	}
	text := widget.NewRichTextFromMarkdown(tablesAsLists(content))
	text.Wrapping = fyne.TextWrapWord
	w.showSheet(lang.L(p.key), container.NewVScroll(text), fynetheme.Size(theme.SizeNameDialogHeight))
}

// tablesAsLists turns the tables of a page into lists, because the toolkit's
// Markdown has none: a row becomes an item, its cells set apart by dashes.
func tablesAsLists(markdown string) string {
	lines := strings.Split(markdown, "\n")
	var out []string
	for i, line := range lines {
		row, ok := tableRow(line)
		switch {
		case !ok:
			out = append(out, line)
		case isRule(line):
		case i+1 < len(lines) && isRule(lines[i+1]): // the head of the table
			if head := strings.Join(row, " – "); strings.Trim(head, " –") != "" {
				out = append(out, "*"+head+"*", "")
			}
		default:
			out = append(out, "- "+strings.Join(row, " – "))
		}
	}
	return strings.Join(out, "\n")
}

// tableRow returns the cells of a row of a table that are not empty.
func tableRow(line string) ([]string, bool) {
	line = strings.TrimSpace(line)
	if !strings.HasPrefix(line, "|") || !strings.HasSuffix(line, "|") || len(line) < 2 {
		return nil, false
	}
	const escaped = "\x00" // stands for a bar inside a cell
	line = strings.ReplaceAll(line[1:len(line)-1], `\|`, escaped)
	var cells []string
	for _, cell := range strings.Split(line, "|") {
		if cell = strings.TrimSpace(cell); cell != "" {
			cells = append(cells, strings.ReplaceAll(cell, escaped, "|"))
		}
	}
	return cells, true
}

// isRule says whether a line is the one under the head of a table.
func isRule(line string) bool {
	line = strings.TrimSpace(line)
	return strings.HasPrefix(line, "|-") && strings.Trim(line, "|-: ") == ""
}

// showItems shows all that is wrong or worth knowing, in full, with what mends it
// and the way to where it is changed.
func (w *Window) showItems(title string, items []view.Item) {
	rows := container.NewVBox()
	for _, i := range items {
		text := widget.NewLabel(i.Text)
		text.Wrapping = fyne.TextWrapWord
		offers := container.NewVBox()
		if i.Nearest != nil {
			if word := w.cards.Nearest(i.Key, *i.Nearest); word != "" {
				offers.Add(view.NewButton(word, nil, func() {
					w.dismiss()
					w.cards.Apply(i.Key, *i.Nearest)
				}))
			}
		}
		if w.leads(i.Key) {
			there := view.NewButton(lang.L("notice.lead"), nil, func() { w.lead(i.Key) })
			there.OnEscape = w.dismiss
			offers.Add(there)
		}
		rows.Add(container.NewBorder(nil, nil, container.NewVBox(widget.NewIcon(i.Icon())), offers, text))
	}
	w.showRows(title, rows)
}

// showRows shows a column of texts to read.
func (w *Window) showRows(title string, rows *fyne.Container) {
	rows.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth)-sheetEdges, 0))
	beside := layout.NewCustomPaddedLayout(0, 0, 0, fynetheme.ScrollBarSize())
	w.showSheet(lang.L(title), container.NewVScroll(container.New(beside, rows)), rows.MinSize().Height)
}

// sheetEdges is what the edges of a sheet and the bar that scrolls it take of
// its width, in density-independent pixels.
const sheetEdges = 48
