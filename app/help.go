package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/assets"
)

// page is one page of help.
type page struct {
	key  string // of its name in the menu
	text string // Markdown
}

var (
	pageUsing    = page{"menu.using", assets.UsingPage}
	pageCautions = page{"menu.cautions", assets.CautionsPage}
	pageFormats  = page{"menu.formats", assets.FormatPage}
	pageAbout    = page{"menu.about", assets.AboutPage}
)

func (w *Window) helpItems() []*fyne.MenuItem {
	var items []*fyne.MenuItem
	for _, p := range []page{pageUsing, pageCautions, pageFormats, pageAbout} {
		items = append(items, item(p.key, nil, func() { w.showPage(p) }))
	}
	return items
}

// showPage shows a page of help over the window.
func (w *Window) showPage(p page) {
	text := widget.NewRichTextFromMarkdown(p.text)
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustom(lang.L(p.key), lang.L("ask.close"), container.NewVScroll(text), w.window)
	size := fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth), fynetheme.Size(theme.SizeNameDialogHeight))
	d.Resize(size)
	d.Show()
}

// showItems shows all that is wrong or worth knowing, in full.
func (w *Window) showItems(items []view.Item) {
	rows := container.NewVBox()
	var d *dialog.CustomDialog
	for _, i := range items {
		text := widget.NewLabel(i.Text)
		text.Wrapping = fyne.TextWrapWord
		var offer fyne.CanvasObject
		if i.Nearest != nil {
			if word := w.cards.Nearest(i.Key, *i.Nearest); word != "" {
				offer = container.NewVBox(view.NewButton(word, nil, func() {
					d.Hide()
					w.cards.Apply(i.Key, *i.Nearest)
				}))
			}
		}
		rows.Add(container.NewBorder(nil, nil, container.NewVBox(widget.NewIcon(i.Icon())), offer, text))
		rows.Add(widget.NewSeparator())
	}
	d = dialog.NewCustom(lang.L("notice.title"), lang.L("ask.close"), container.NewVScroll(rows), w.window)
	d.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth), fynetheme.Size(theme.SizeNameDialogHeight)))
	d.Show()
}
