package view

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/physics/design"
)

// Cards is the column with the coil as it stands on the bench, from the top
// down.
type Cards struct {
	OnHint func(key string)
	OnSay  func(text string) // why a typed text was refused
	// OnFold is called with the names of the cards that are folded.
	OnFold func(folded []string)
	// OnFind is told what to reach and the key of the number that may change for it.
	OnFind func(target design.Target, key string)
	// OnDrawer is asked to show what can be built from the drawer.
	OnDrawer func()

	cards  []namedCard
	scroll *container.Scroll
	column *fyne.Container
	units  Units
	shown  design.Design
}

type namedCard struct {
	name string
	card
}

// card is what the column needs of each of its cards.
type card interface {
	show(*design.Design)
	showResult(*session.Result, Units)
	setUnits(Units)
	setOpened(design.Design)
	quantity(key string) *Quantity
	parts() *cardRows
}

func (c *cardRows) parts() *cardRows {
	return c
}

// NewCards returns the column; what its user changes goes to editor.
func NewCards(editor Editor) *Cards {
	target := newTargetCard(editor)
	c := newCards([]namedCard{
		{"target", target},
		{"top_load", newTopLoadCard(editor)},
		{"secondary", newSecondaryCard(editor)},
		{"primary", newPrimaryCard(editor)},
		{"room", newRoomCard(editor)},
		{"tolerances", newToleranceCard(editor)},
	})
	target.onDrawer = func() {
		if c.OnDrawer != nil {
			c.OnDrawer()
		}
	}
	target.onFind = func(t design.Target, key string) {
		if c.OnFind != nil {
			c.OnFind(t, key)
		}
	}
	return c
}

func newCards(cards []namedCard) *Cards {
	c := &Cards{cards: cards}
	c.column = container.New(columnLayout{})
	for _, n := range c.cards {
		parts := n.parts()
		c.column.Add(parts.Panel)
		parts.head.onFolded = c.resized
		parts.head.onFocus = func() { c.reveal(parts, parts.head) }
		for _, i := range parts.items {
			i.row().OnFocus = func(r *Row) { c.reveal(parts, r) }
			i.row().OnHint = func(key string) { c.hint(key) }
			i.row().OnSay = func(text string) { c.say(text) }
		}
	}
	c.scroll = container.NewVScroll(c.column)
	for _, n := range c.cards {
		for _, i := range n.parts().items {
			i.row().OnWheel = c.scroll.Scrolled
		}
	}
	return c
}

// Object returns what to put into the window.
func (c *Cards) Object() fyne.CanvasObject {
	return c.scroll
}

func (c *Cards) hint(key string) {
	if c.OnHint != nil {
		c.OnHint(key)
	}
}

func (c *Cards) say(text string) {
	if c.OnSay != nil {
		c.OnSay(text)
	}
}

// Show puts a design on screen.
func (c *Cards) Show(d design.Design) {
	c.shown = d
	for _, n := range c.cards {
		n.show(&c.shown)
	}
}

// ShowResult sums up each card in one line.
func (c *Cards) ShowResult(r *session.Result) {
	for _, n := range c.cards {
		n.showResult(r, c.units)
	}
}

// SetUnits changes the units of all lengths.
func (c *Cards) SetUnits(u Units) {
	c.units = u
	for _, n := range c.cards {
		n.setUnits(u)
		n.show(&c.shown)
	}
}

// SetOpened says which design a double click on a slider goes back to.
func (c *Cards) SetOpened(d design.Design) {
	for _, n := range c.cards {
		n.setOpened(d)
	}
}

// SetFolded folds the cards of the given names and unfolds all others.
func (c *Cards) SetFolded(names []string) {
	for _, n := range c.cards {
		folded := false
		for _, name := range names {
			folded = folded || name == n.name
		}
		n.parts().SetFolded(folded)
	}
}

// Quantity returns the row of a key of the design, nil if there is none.
func (c *Cards) Quantity(key string) *Quantity {
	for _, n := range c.cards {
		if q := n.quantity(key); q != nil {
			return q
		}
	}
	return nil
}

// Keys returns the keys of the quantities whose rows are unfolded and in use.
func (c *Cards) Keys() []string {
	var keys []string
	for _, n := range c.cards {
		if n.parts().Folded() {
			continue
		}
		for _, i := range n.parts().items {
			if q, ok := i.item.(*Quantity); ok && q.Row.Visible() {
				keys = append(keys, q.spec.key)
			}
		}
	}
	return keys
}

// Place is a row of a card: the key of what it changes, and card and row in words.
type Place struct{ Key, Words string }

// Places returns the rows that apply to the design, in folded cards too.
func (c *Cards) Places() []Place {
	var places []Place
	for _, n := range c.cards {
		for _, i := range n.parts().items {
			if r := i.row(); r.Visible() {
				places = append(places, Place{r.key, join(n.parts().head.title.Content(), r.label.Content())})
			}
		}
	}
	return places
}

// Folded says whether the card of a name is folded.
func (c *Cards) Folded(name string) bool {
	for _, n := range c.cards {
		if n.name == name {
			return n.parts().Folded()
		}
	}
	return false
}

// resized lays the column out again after a card has changed its height.
func (c *Cards) resized() {
	c.column.Refresh()
	c.scroll.Refresh()
	if c.OnFold == nil {
		return
	}
	var folded []string
	for _, n := range c.cards {
		if n.parts().Folded() {
			folded = append(folded, n.name)
		}
	}
	c.OnFold(folded)
}

// columnLayout stacks the cards and leaves room for the bar that scrolls them.
type columnLayout struct{}

func (columnLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	gap := fynetheme.Size(theme.SizeNameGap)
	var size fyne.Size
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		least := o.MinSize()
		size.Width = max(size.Width, least.Width)
		size.Height += least.Height + gap
	}
	size.Width += fynetheme.ScrollBarSize()
	return size
}

func (columnLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	stack(objects, size.Width-fynetheme.ScrollBarSize(), fynetheme.Size(theme.SizeNameGap))
}

// join strings the parts of a summary together.
func join(parts ...string) string {
	return strings.Join(parts, " · ")
}

// Words writes a value of a key of the design as its row does.
func (c *Cards) Words(key string, value float64) string {
	q := c.Quantity(key)
	if q == nil {
		return ""
	}
	text, unit := q.spec.measure.format(value, c.units)
	return strings.TrimSpace(text + " " + unit)
}

// Nearest words the offer to give a key of the design another value, empty if
// the column has no row for it.
func (c *Cards) Nearest(key string, value float64) string {
	words := c.Words(key, value)
	if words == "" {
		return ""
	}
	return lang.L("notice.nearest", map[string]any{"Value": words})
}

// Apply gives a key of the design another value, as if it had been typed.
func (c *Cards) Apply(key string, value float64) {
	if q := c.Quantity(key); q != nil {
		q.edit(value)
	}
}
