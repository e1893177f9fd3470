package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/physics/design"
)

// Notice is the place for what is wrong with the design, in plain words, and
// for what its maker should know about the numbers. It shows one at a time,
// problems first, and never changes its size.
type Notice struct {
	// OnApply is asked to give a key of the design the nearest value that can
	// be built.
	OnApply func(key string, value float64)
	// Nearest words such a value for the button; an empty text: the key has no
	// row, so there is no button.
	Nearest func(key string, value float64) string

	object fyne.CanvasObject
	icon   *widget.Icon
	text   *widget.Label
	apply  *Button
	next   *Button

	items []noticeItem
	at    int
}

// noticeItem is one problem or caution.
type noticeItem struct {
	text    string
	problem bool
	key     string
	nearest *float64
}

// NewNotice returns an empty notice.
func NewNotice() *Notice {
	n := &Notice{icon: widget.NewIcon(nil), text: widget.NewLabel("")}
	n.text.Wrapping = fyne.TextWrapWord
	n.text.SizeName = fynetheme.SizeNameCaptionText
	n.apply = NewButton("", nil, n.applyNearest)
	n.apply.Importance = widget.HighImportance
	n.next = NewButton("", nil, n.showNext)
	n.apply.Hide()
	n.next.Hide()
	buttons := fyne.NewContainerWithLayout(rowsLayout{}, n.apply, n.next)
	n.object = fyne.NewContainerWithLayout(noticeLayout{}, n.icon, container.NewVScroll(n.text), buttons)
	return n
}

// Object returns what to put into the window.
func (n *Notice) Object() fyne.CanvasObject {
	return n.object
}

// Show puts the problems and cautions of a result on screen.
func (n *Notice) Show(r *session.Result) {
	var items []noticeItem
	for _, p := range r.Problems {
		items = append(items, noticeItem{text: problemText(p), problem: true, key: p.Key, nearest: p.Nearest})
	}
	if r.Err != nil && len(r.Problems) == 0 {
		items = append(items, noticeItem{text: r.Err.Error(), problem: true})
	}
	for _, c := range r.Report.Cautions {
		items = append(items, noticeItem{text: c.Text, key: c.Key})
	}
	n.items = items
	n.at = min(n.at, max(len(items)-1, 0))
	if len(items) > 0 && items[0].problem && !items[n.at].problem {
		n.at = 0
	}
	n.show()
}

// Text returns what the notice says.
func (n *Notice) Text() string {
	return n.text.Text
}

func (n *Notice) show() {
	if len(n.items) == 0 {
		n.say(lang.L("notice.none"), nil)
		n.apply.Hide()
		n.next.Hide()
		return
	}
	item := n.items[n.at]
	var icon fyne.Resource = fynetheme.NewWarningThemedResource(fynetheme.Current().Icon(theme.IconNameCaution))
	if item.problem {
		icon = fynetheme.NewErrorThemedResource(fynetheme.Current().Icon(theme.IconNameProblem))
	}
	n.say(item.text, icon)
	word := ""
	if item.nearest != nil && n.Nearest != nil {
		word = n.Nearest(item.key, *item.nearest)
	}
	label(n.apply, word)
	if len(n.items) == 1 {
		n.next.Hide()
		return
	}
	label(n.next, lang.L("notice.next", map[string]any{"At": n.at + 1, "Of": len(n.items)}))
}

// say shows a text and an icon.
func (n *Notice) say(text string, icon fyne.Resource) {
	if n.text.Text != text {
		n.text.SetText(text)
	}
	if icon == nil {
		if n.icon.Resource != nil {
			n.icon.SetResource(nil)
		}
		return
	}
	if n.icon.Resource == nil || n.icon.Resource.Name() != icon.Name() {
		n.icon.SetResource(icon)
	}
}

// label gives a button its text, and hides it where that is empty.
func label(b *Button, text string) {
	if text == "" {
		b.Hide()
		return
	}
	if b.Text != text {
		b.SetText(text)
	}
	b.Show()
}

func (n *Notice) applyNearest() {
	if n.at >= len(n.items) || n.OnApply == nil {
		return
	}
	if item := n.items[n.at]; item.nearest != nil {
		n.OnApply(item.key, *item.nearest)
	}
}

func (n *Notice) showNext() {
	if len(n.items) == 0 {
		return
	}
	n.at = (n.at + 1) % len(n.items)
	n.show()
}

// problemText names the quantity before what is wrong with it.
func problemText(p design.Problem) string {
	if p.Key == "" || p.Code != design.CodeOutOfRange {
		return p.Text
	}
	return lang.L("edit."+p.Key) + ": " + p.Text
}

// noticeLayout puts the icon left, the buttons right and the text between.
type noticeLayout struct{}

func (noticeLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(fynetheme.Size(theme.SizeNameNotice), 0)
}

func (noticeLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	icon, text, buttons := objects[0], objects[1], objects[2]
	side := fynetheme.IconInlineSize()
	icon.Move(fyne.NewPos(0, fynetheme.Padding()))
	icon.Resize(fyne.NewSquareSize(side))
	width := fynetheme.Size(theme.SizeNameNoticeButton)
	text.Move(fyne.NewPos(side, 0))
	text.Resize(fyne.NewSize(size.Width-side-width, size.Height))
	buttons.Move(fyne.NewPos(size.Width-width, 0))
	buttons.Resize(fyne.NewSize(width, size.Height))
}
