package view

import (
	"cmp"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Drawer lists what can be built from a stock, and lets its user change the stock.
type Drawer struct {
	// OnSearch is asked to look for coils; the stock of the search is left to its caller.
	OnSearch func(design.DrawerSearch)
	OnCancel func()
	// OnTake is given the coil that was clicked.
	OnTake func(design.Buildable)
	// OnExample is asked for a stock to start from.
	OnExample func() (design.Stock, error)
	// OnStock is given the stock whenever it has changed.
	OnStock func(design.Stock)

	object         fyne.CanvasObject
	pages          *Segments
	units          Units
	stock          design.Stock
	frequency      *Entry
	height         *Entry
	wire, former   *Picker
	hertz, metres  float64 // typed: to ring at, and how high at most, 0 any
	search, cancel *Button
	bar            *widget.ProgressBar
	message        *Paragraph
	table          *drawerTable
	list           *StockList
	coils          fyne.CanvasObject
}

// NewDrawer returns the drawer with a stock, to ring at a frequency in Hz.
func NewDrawer(stock design.Stock, frequency float64, units Units) *Drawer {
	d := &Drawer{units: units, hertz: frequency, stock: stock}
	d.frequency, d.height = NewEntry(true), NewEntry(true)
	d.frequency.OnCommit = d.commit(targetMeasure{}, &d.hertz)
	d.height.OnCommit = d.commit(anyLength{}, &d.metres)
	for _, e := range []*Entry{d.frequency, d.height} {
		e.OnRefused = func(err error) {
			if err != nil {
				d.Say(err.Error())
			}
		}
	}
	d.wire, d.former = NewPicker(nil), NewPicker(nil)
	d.search = NewButton(lang.L("drawer.search"), nil, d.ask)
	d.search.Importance = widget.HighImportance
	d.cancel = NewButton(lang.L("drawer.cancel"), nil, func() { d.OnCancel() })
	d.cancel.Importance = widget.MediumImportance
	d.bar = widget.NewProgressBar()
	d.bar.Hide()
	d.message = NewParagraph()
	d.table = newDrawerTable(units)
	d.table.onTake = func(b design.Buildable) { d.OnTake(b) }
	d.list = NewStockList(stock, units)
	d.list.OnChange = d.takeStock
	d.list.OnExample = func() {
		s, err := d.OnExample()
		if err != nil {
			d.list.message.Set(err.Error())
			return
		}
		d.list.Show(s)
		d.takeStock(s)
	}
	entry := fyne.NewSize(fynetheme.Size(theme.SizeNameRowEntry), fynetheme.Size(theme.SizeNameRow))
	wide := fyne.NewSize(fynetheme.Size(theme.SizeNameStockEntry), fynetheme.Size(theme.SizeNameRow))
	named := func(key string, size fyne.Size, o fyne.CanvasObject) fyne.CanvasObject {
		name := NewText(lang.L(key), theme.ColorNameMuted, fynetheme.SizeNameText)
		return container.NewHBox(name, container.NewGridWrap(size, o))
	}
	wishes := container.NewHBox(
		named("drawer.frequency", entry, d.frequency), named("drawer.height", entry, d.height),
		named("drawer.wire", wide, d.wire), named("drawer.former", wide, d.former), d.search, d.cancel)
	told := container.NewStack(container.New(fixedHeight{theme.SizeNameNoticeLines}, d.message), container.NewVBox(d.bar))
	d.coils = container.NewBorder(container.NewVBox(wishes, told), nil, nil, nil, d.table.object)
	d.pages = NewSegments(lang.L("drawer.coils"), lang.L("drawer.stock"))
	d.pages.OnPick = d.showPage
	d.object = container.NewBorder(container.NewHBox(d.pages), nil, nil, nil, container.NewStack(d.coils, d.list.Object()))
	d.frequency.ShowValue(targetMeasure{}.format(d.hertz, units))
	d.height.ShowValue(anyLength{}.format(0, units))
	d.showStock()
	d.setRunning(false)
	d.showPage(0)
	d.Say(lang.L("drawer.start"))
	return d
}

// Object returns what to put into the window.
func (d *Drawer) Object() fyne.CanvasObject { return d.object }

// ShowStock turns to the stock.
func (d *Drawer) ShowStock() {
	d.pages.SetPicked(1)
	d.showPage(1)
}

func (d *Drawer) takeStock(s design.Stock) {
	d.stock = s
	d.showStock()
	d.OnStock(s)
}

func (d *Drawer) showPage(i int) {
	setVisible(d.coils, i == 0)
	setVisible(d.list.Object(), i == 1)
}

// showStock offers the wires and formers that there are.
func (d *Drawer) showStock() {
	whatever := lang.L("drawer.any")
	wires, formers := []string{whatever}, []string{whatever}
	for _, w := range d.stock.Wires {
		if name := w.Called(); !slices.Contains(wires, name) {
			wires = append(wires, name)
		}
	}
	for _, f := range d.stock.Formers {
		if name := f.Called(); !slices.Contains(formers, name) {
			formers = append(formers, name)
		}
	}
	for p, options := range map[*Picker][]string{d.wire: wires, d.former: formers} {
		picked := max(slices.Index(options, p.Selected), 0)
		p.Options = options
		p.SetSelectedIndex(picked)
	}
}

// commit returns what takes a typed text into at.
func (d *Drawer) commit(m measure, at *float64) func(string) error {
	return func(text string) error {
		value, err := m.parse(text, d.units)
		if err == nil && value < 0 {
			err = refusal(lang.L("drawer.negative"))
		}
		if err != nil {
			return err
		}
		*at = value
		d.frequency.ShowValue(targetMeasure{}.format(d.hertz, d.units))
		d.height.ShowValue(anyLength{}.format(d.metres, d.units))
		return nil
	}
}

// ask asks for a search by what was typed and picked.
func (d *Drawer) ask() {
	if d.hertz == 0 {
		d.Say(lang.L("drawer.no_frequency"))
		return
	}
	search := design.DrawerSearch{Frequency: d.hertz, MaxHeight: d.metres}
	if i := d.wire.SelectedIndex(); i > 0 {
		search.Wire = d.wire.Selected
	}
	if i := d.former.SelectedIndex(); i > 0 {
		for _, f := range d.stock.Formers {
			if f.Called() == d.former.Selected {
				search.Former = f.Diameter
			}
		}
	}
	d.OnSearch(search)
}

func (d *Drawer) setRunning(running bool) {
	d.search.SetEnabled(!running)
	d.cancel.SetEnabled(running)
	setVisible(d.bar, running)
	setVisible(d.message, !running)
}

// Progress shows how far a search has come.
func (d *Drawer) Progress(p design.DrawerProgress) {
	d.setRunning(true)
	// The handbook's part takes about a tenth of the time.
	const sieve = 0.1
	done := 0.0
	if p.Combinations > 0 {
		done = sieve * float64(p.Tried) / float64(p.Combinations)
	}
	if p.ToSolve > 0 {
		done += (1 - sieve) * float64(p.Solved) / float64(p.ToSolve)
	}
	d.bar.SetValue(done)
}

// Show lists what a search has found.
func (d *Drawer) Show(found design.DrawerResult, stock design.Stock) {
	d.setRunning(false)
	d.table.show(found.Coils, stock)
	d.Say(lang.L("drawer.found", map[string]any{"Count": len(found.Coils), "Fitting": found.Fitting, "Tried": found.Tried}))
}

// Fail shows why there is nothing to list but, perhaps, the coil that comes nearest.
func (d *Drawer) Fail(text string, nearest *design.Buildable, stock design.Stock) {
	d.setRunning(false)
	var coils []design.Buildable
	if nearest != nil {
		coils = append(coils, *nearest)
	}
	d.table.show(coils, stock)
	d.Say(text)
}

// Say shows a sentence.
func (d *Drawer) Say(text string) { d.message.Set(text) }

// Told returns the sentence that is shown.
func (d *Drawer) Told() string { return d.message.Content() }

// anyLength is a height, or any.
type anyLength struct{}

func (anyLength) parse(text string, units Units) (float64, error) {
	if text == "" || text == lang.L("drawer.any") {
		return 0, nil
	}
	return bodyLength.parse(text, units)
}

func (anyLength) format(value float64, units Units) (string, string) {
	text, unit := bodyLength.format(value, units)
	if value == 0 {
		text = lang.L("drawer.any")
	}
	return text, unit
}

func (anyLength) step(units Units) float64 { return bodyLength.step(units) }

// drawerTable is the table of coils; a click on a heading sorts by it, the other way
// round the second time, and a click on a coil takes it.
type drawerTable struct {
	onTake func(design.Buildable)

	object   *widget.Table
	columns  []drawerColumn
	coils    []design.Buildable
	stock    design.Stock
	sorted   int // column
	backward bool
}

// drawerColumn is one column: what it says of a coil, and the number it is sorted by;
// nil: by what it says.
type drawerColumn struct {
	key    string
	width  fyne.ThemeSizeName
	text   func(*design.Buildable, *design.Stock) string
	number func(*design.Buildable) float64
	most   bool // the largest first
}

func newDrawerTable(units Units) *drawerTable {
	length := func(v float64) string { return lengthOf(&v, units) }
	t := &drawerTable{}
	t.columns = []drawerColumn{
		{"drawer.volts", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string {
			return si.FormatPrefixed(b.VoltsPerWatt, si.Volt, digits-1)
		}, func(b *design.Buildable) float64 { return b.VoltsPerWatt }, true},
		{"drawer.quality", theme.SizeNameColumnNarrow, func(b *design.Buildable, _ *design.Stock) string {
			return si.FormatNumber(b.QualityFactor, digits-1)
		}, func(b *design.Buildable) float64 { return b.QualityFactor }, true},
		{"drawer.rings", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string {
			return si.FormatPrefixed(b.Frequency, si.Hertz, digits)
		}, func(b *design.Buildable) float64 { return b.Frequency }, false},
		{"drawer.high", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string { return length(b.Height) },
			func(b *design.Buildable) float64 { return b.Height }, false},
		{"drawer.turns", theme.SizeNameColumnNarrow, func(b *design.Buildable, _ *design.Stock) string {
			return si.FormatTurns(b.Design.Secondary.Turns)
		}, func(b *design.Buildable) float64 { return b.Design.Secondary.Turns }, false},
		{"drawer.spool", theme.SizeNameColumn, func(b *design.Buildable, s *design.Stock) string { return s.Wires[b.Wire].Called() }, nil, false},
		{"drawer.tube", theme.SizeNameColumn, func(b *design.Buildable, s *design.Stock) string { return s.Formers[b.Former].Called() }, nil, false},
		{"drawer.wound", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string {
			if b.Close {
				return lang.L("drawer.close")
			}
			text, unit := pitchLength.format(b.Design.Secondary.Pitch, units)
			return text + " " + unit
		}, func(b *design.Buildable) float64 { return b.Design.Secondary.Pitch }, false},
		{"drawer.top", theme.SizeNameColumnWide, topLoadOf, nil, false},
		{"drawer.needs", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string { return wireLength(&b.WireNeeded, units) },
			func(b *design.Buildable) float64 { return b.WireNeeded }, false},
		{"drawer.left", theme.SizeNameColumn, func(b *design.Buildable, _ *design.Stock) string {
			left := b.WireLeft - b.WireNeeded
			if math.IsInf(left, 0) {
				return lang.L("drawer.enough")
			}
			return wireLength(&left, units)
		}, func(b *design.Buildable) float64 { return b.WireLeft - b.WireNeeded }, true},
	}
	t.object = widget.NewTable(
		func() (int, int) { return len(t.coils), len(t.columns) },
		func() fyne.CanvasObject {
			cell := NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
			cell.elastic = true
			return cell
		},
		func(id widget.TableCellID, o fyne.CanvasObject) {
			o.(*Text).Set(t.columns[id.Col].text(&t.coils[id.Row], &t.stock))
		})
	t.object.ShowHeaderRow = true
	t.object.CreateHeader = func() fyne.CanvasObject { return NewButton("", nil, nil) }
	t.object.UpdateHeader = func(id widget.TableCellID, o fyne.CanvasObject) {
		if id.Col < 0 {
			return
		}
		b := o.(*Button)
		b.Alignment = widget.ButtonAlignLeading
		b.SetText(t.heading(id.Col))
		b.OnTapped = func() { t.sortBy(id.Col) }
	}
	t.object.OnSelected = func(id widget.TableCellID) {
		t.object.UnselectAll()
		if id.Row >= 0 && id.Row < len(t.coils) {
			t.onTake(t.coils[id.Row])
		}
	}
	for i, c := range t.columns {
		t.object.SetColumnWidth(i, fynetheme.Size(c.width))
	}
	return t
}

// topLoadOf names the top load of a coil.
func topLoadOf(b *design.Buildable, s *design.Stock) string {
	switch {
	case b.Hub >= 0:
		return lang.L("drawer.ring", map[string]any{
			"Turns": b.Design.TopLoad.Turns, "Wire": s.Wires[b.RingWire].Called(), "Former": s.Formers[b.RingFormer].Called(), "Hub": s.Hubs[b.Hub].Called(),
		})
	case b.Design.TopLoad.Kind != design.NoTopLoad:
		return lang.L("drawer.drawn")
	}
	return lang.L("drawer.none")
}

// heading names a column and says whether the coils are sorted by it.
func (t *drawerTable) heading(column int) string {
	name := lang.L(t.columns[column].key)
	if column != t.sorted {
		return name
	}
	if t.columns[column].most != t.backward {
		return name + " ▾"
	}
	return name + " ▴"
}

func (t *drawerTable) show(coils []design.Buildable, stock design.Stock) {
	t.coils, t.stock = slices.Clone(coils), stock
	t.sort()
}

// sortBy sorts by a column, the other way round if it was sorted by it before.
func (t *drawerTable) sortBy(column int) {
	t.backward = column == t.sorted && !t.backward
	t.sorted = column
	t.sort()
}

func (t *drawerTable) sort() {
	c := t.columns[t.sorted]
	slices.SortStableFunc(t.coils, func(a, b design.Buildable) int {
		var order int
		if c.number == nil {
			order = cmp.Compare(c.text(&a, &t.stock), c.text(&b, &t.stock))
		} else {
			order = cmp.Compare(c.number(&a), c.number(&b))
		}
		if c.most != t.backward {
			order = -order
		}
		return order
	})
	t.object.Refresh()
}
