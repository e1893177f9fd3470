package view

import (
	"slices"
	"strings"

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
// for what its maker should know about the numbers. It shows the first in one
// sentence, problems before cautions, with the next below it; a button shows
// them all in full. It never changes its size.
type Notice struct {
	// OnApply is asked to give a key of the design the nearest value that can
	// be built.
	OnApply func(key string, value float64)
	// Nearest words such a value for the button; an empty text: the key has no
	// row, so there is no button.
	Nearest func(key string, value float64) string
	// OnAll is asked to show all items at once and in full.
	OnAll func([]Item)
	// OnLead is asked to go to where a key of the design is changed.
	OnLead func(key string)
	// Leads says whether there is such a place; nil: there is none.
	Leads func(key string) bool
	// OnHint is told that the pointer or the keyboard is on the text.
	OnHint func(key string)

	object fyne.CanvasObject
	icon   *widget.Icon
	text   *leadText
	apply  *Button // gives the nearest value that can be built
	lead   *Button // goes to where it is changed; in the place of apply
	all    *Button

	items []Item
}

// Item is one problem or caution.
type Item struct {
	Text    string   // in full
	Lead    string   // its first sentence
	After   string   // what to add where there is room, instead of the next item
	rest    string   // all but the first sentence
	Problem bool     // otherwise a caution
	Key     string   // of the design
	Nearest *float64 // value of that key that can be built; nil: none is known
}

// NewNotice returns an empty notice.
func NewNotice() *Notice {
	n := &Notice{icon: widget.NewIcon(nil)}
	n.text = newLeadText(n.Lead)
	n.text.onHint = func() {
		if n.OnHint != nil {
			n.OnHint("notice")
		}
	}
	n.apply = NewButton("", nil, n.applyNearest)
	n.apply.Importance = widget.HighImportance
	n.all = NewButton("", nil, func() { n.OnAll(n.items) })
	n.all.Importance = widget.MediumImportance
	n.lead = NewButton(lang.L("notice.lead"), nil, n.Lead)
	n.lead.Importance = widget.MediumImportance
	n.apply.Hide()
	n.lead.Hide()
	n.all.Hide()
	buttons := container.New(rowsLayout{}, n.apply, n.lead, n.all)
	n.object = container.New(noticeLayout{}, n.icon, n.text, buttons)
	return n
}

// Object returns what to put into the window.
func (n *Notice) Object() fyne.CanvasObject {
	return n.object
}

// Show puts the problems and cautions of a result on screen.
func (n *Notice) Show(r *session.Result, units Units) {
	n.items = ItemsOf(r, units)
	n.show()
}

// codeSpectrum is the caution that every frequency has: who else works on it.
const codeSpectrum = "spectrum"

// ItemsOf returns the problems of a result, then what is wrong with its driver as
// far as that is known, and then its cautions: first those
// about a dimension, which its maker can change, then who else works on the
// frequency, then what the results rest on.
func ItemsOf(r *session.Result, units Units) []Item {
	var items []Item
	for _, p := range r.Problems {
		items = append(items, Item{Text: problemText(p, units), Problem: true, Key: p.Key, Nearest: p.Nearest})
	}
	if r.Err != nil && len(r.Problems) == 0 {
		items = append(items, Item{Text: units.Reason(r.Err), Problem: true})
	}
	items = append(items, DriveItems(r.Drive)...)
	var frequency, ground []Item
	for _, c := range r.Report.Cautions {
		switch item := (Item{Text: units.Say(c.Text), Key: cautionKey(c)}); {
		case c.Key != "" || item.Key != "":
			items = append(items, item)
		case c.Code == codeSpectrum:
			item.After = lang.L("notice.spectrum")
			frequency = append(frequency, item)
		default:
			ground = append(ground, item)
		}
	}
	items = slices.Concat(items, frequency, ground)
	for i := range items {
		items[i].Lead, items[i].rest = firstSentence(items[i].Text)
	}
	return items
}

// firstSentence cuts a text behind its first sentence.
func firstSentence(text string) (first, rest string) {
	first, rest, more := strings.Cut(text, ". ")
	if more {
		first += "."
	}
	return first, rest
}

// Text returns what the notice says.
func (n *Notice) Text() string {
	return n.text.paragraph.Content()
}

func (n *Notice) show() {
	if len(n.items) == 0 {
		n.say(lang.L("notice.none"), "", nil)
		n.apply.Hide()
		n.lead.Hide()
		n.all.Hide()
		n.text.Disable()
		return
	}
	first := n.items[0]
	after := first.After
	switch {
	case after != "":
	case len(n.items) > 1:
		after = n.items[1].Lead
	default:
		after = first.rest
	}
	n.say(first.Lead, after, first.Icon())
	offer := ""
	if first.Nearest != nil && n.Nearest != nil {
		offer = n.Nearest(first.Key, *first.Nearest)
	}
	label(n.apply, offer)
	leads := n.Leads != nil && n.Leads(first.Key)
	setVisible(n.lead, leads && offer == "")
	n.text.SetEnabled(leads)
	label(n.all, lang.N("notice.all", len(n.items), map[string]any{"Count": len(n.items)}))
}

// Icon returns the sign for a problem or a caution; they differ in shape as
// well as in colour.
func (i Item) Icon() fyne.Resource {
	if i.Problem {
		return fynetheme.NewErrorThemedResource(fynetheme.Current().Icon(theme.IconNameProblem))
	}
	return fynetheme.NewWarningThemedResource(fynetheme.Current().Icon(theme.IconNameCaution))
}

// say shows a text, what follows it and an icon.
func (n *Notice) say(text, after string, icon fyne.Resource) {
	n.text.paragraph.SetBoth(text, after)
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
	if len(n.items) > 0 && n.items[0].Nearest != nil {
		n.OnApply(n.items[0].Key, *n.items[0].Nearest)
	}
}

// Lead goes to where the first item is changed.
func (n *Notice) Lead() {
	if n.CanLead() {
		n.OnLead(n.items[0].Key)
	}
}

// CanLead says whether there is such a place.
func (n *Notice) CanLead() bool { return !n.text.Disabled() }

// problemText names the quantity before what is wrong with it.
func problemText(p design.Problem, units Units) string {
	if p.Key == "" || p.Code != design.CodeOutOfRange {
		return units.Say(p.Text)
	}
	return lang.L("edit."+p.Key) + ": " + units.Say(p.Text)
}

// noticeLayout puts the icon left, the buttons right and the text between.
type noticeLayout struct{}

func (noticeLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(fynetheme.Size(theme.SizeNameNotice), 0)
}

func (noticeLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	icon, text, buttons := objects[0], objects[1], objects[2]
	side := fynetheme.IconInlineSize()
	icon.Move(fyne.Position{})
	icon.Resize(fyne.NewSquareSize(side))
	width := fynetheme.Size(theme.SizeNameNoticeButton)
	left := side + fynetheme.Padding()
	text.Move(fyne.NewPos(left, 0))
	text.Resize(fyne.NewSize(size.Width-left-fynetheme.Padding()-width, size.Height))
	buttons.Move(fyne.NewPos(size.Width-width, 0))
	buttons.Resize(fyne.NewSize(width, size.Height))
}
