package view

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// StockList is the stock as lists that its user can change.
type StockList struct {
	// OnChange is given the stock whenever it has changed.
	OnChange func(design.Stock)
	// OnExample is asked for an example to start from.
	OnExample func()

	object  *fyne.Container
	rows    *fyne.Container
	message *Text
	stock   design.Stock
	units   Units
}

// NewStockList returns the lists of a stock.
func NewStockList(stock design.Stock, units Units) *StockList {
	l := &StockList{stock: stock, units: units, rows: container.NewVBox()}
	l.message = NewText("", fynetheme.ColorNameError, fynetheme.SizeNameText)
	l.message.elastic = true
	l.object = container.NewBorder(nil, l.message, nil, nil, container.NewScroll(l.rows))
	l.build()
	return l
}

// Object returns what to put into the window.
func (l *StockList) Object() fyne.CanvasObject { return l.object }

// Show shows another stock.
func (l *StockList) Show(stock design.Stock) {
	l.stock = stock
	l.build()
}

// change changes a copy of the stock. A stock that no file could hold is not taken.
func (l *StockList) change(by func(*design.Stock)) error {
	next := design.Stock{Wires: slices.Clone(l.stock.Wires), Formers: slices.Clone(l.stock.Formers), Hubs: slices.Clone(l.stock.Hubs)}
	by(&next)
	if problems := next.Check(); len(problems) > 0 {
		return refusal(l.units.Say(problems[0].Text))
	}
	l.stock = next
	if l.OnChange != nil {
		l.OnChange(next)
	}
	return nil
}

// changeRows changes how many entries there are.
func (l *StockList) changeRows(by func(*design.Stock)) {
	if err := l.change(by); err != nil {
		l.message.Set(err.Error())
		return
	}
	l.build()
}

// stockCell is one entry of the lists: how wide it is, what it shows and how a typed text
// changes the stock.
type stockCell struct {
	width fyne.ThemeSizeName
	text  func() (text, unit string)
	set   func(*design.Stock, string) error
}

// cell returns the entry of a cell.
func (l *StockList) cell(c stockCell) fyne.CanvasObject {
	_, unit := c.text()
	e := NewEntry(unit != "")
	e.ShowValue(c.text())
	e.OnCommit = func(typed string) error {
		var wrong error
		err := l.change(func(s *design.Stock) { wrong = c.set(s, strings.TrimSpace(typed)) })
		if wrong != nil {
			err = wrong
		}
		if err == nil {
			e.ShowValue(c.text())
		}
		return err
	}
	e.OnRefused = func(err error) {
		if err == nil {
			l.message.Set("")
			return
		}
		l.message.Set(err.Error())
	}
	return container.NewGridWrap(fyne.NewSize(fynetheme.Size(c.width), fynetheme.Size(theme.SizeNameRow)), e)
}

// quantityCell is a cell with a number. Where empty is set, 0 shows as that.
func (l *StockList) quantityCell(m measure, empty string, get func(*design.Stock) float64, set func(*design.Stock, float64)) fyne.CanvasObject {
	return l.cell(stockCell{theme.SizeNameRowEntry, func() (string, string) {
		value := get(&l.stock)
		text, unit := m.format(value, l.units)
		if empty != "" && value == 0 {
			text = empty
		}
		return text, unit
	}, func(s *design.Stock, typed string) error {
		value := 0.0
		if empty == "" || typed != "" && typed != empty {
			var err error
			if value, err = m.parse(typed, l.units); err != nil {
				return err
			}
		}
		set(s, value)
		return nil
	}})
}

func (l *StockList) textCell(get func(*design.Stock) *string) fyne.CanvasObject {
	return l.cell(stockCell{theme.SizeNameStockEntry, func() (string, string) { return *get(&l.stock), "" },
		func(s *design.Stock, typed string) error { *get(s) = typed; return nil }})
}

// button returns a button that is one at first sight.
func (l *StockList) button(key string, tapped func()) *Button {
	b := NewButton(lang.L(key), nil, tapped)
	b.Importance = widget.MediumImportance
	return b
}

// remove returns the button that takes an entry out.
func (l *StockList) remove(by func(*design.Stock)) fyne.CanvasObject {
	return NewButton(lang.L("stock.remove"), nil, func() { l.changeRows(by) })
}

func (l *StockList) head(key string, columns []string, widths ...fyne.ThemeSizeName) {
	title := NewText(lang.L(key), fynetheme.ColorNameForeground, theme.SizeNameTitleText)
	title.style.Bold = true
	l.rows.Add(title)
	line := container.NewHBox()
	for i, c := range columns {
		name := NewText(lang.L(c), theme.ColorNameMuted, fynetheme.SizeNameCaptionText)
		line.Add(container.NewGridWrap(fyne.NewSize(fynetheme.Size(widths[i]), name.MinSize().Height), name))
	}
	l.rows.Add(line)
}

// build makes the rows anew.
func (l *StockList) build() {
	l.rows.RemoveAll()
	l.message.Set("")
	if len(l.stock.Wires)+len(l.stock.Formers)+len(l.stock.Hubs) == 0 {
		l.rows.Add(NewText(lang.L("stock.empty"), theme.ColorNameMuted, fynetheme.SizeNameText))
		example := l.button("stock.example", func() { l.OnExample() })
		l.rows.Add(container.NewHBox(example))
	}
	l.buildWires()
	l.buildFormers()
	l.buildHubs()
	l.rows.Refresh()
}

func (l *StockList) buildWires() {
	text, number := theme.SizeNameStockEntry, theme.SizeNameRowEntry
	l.head("stock.wires", []string{"stock.gauge", "stock.insulation", "stock.length", "stock.mass", "stock.overall", "stock.name"}, text, text, number, number, number, text)
	unknown := lang.L("stock.unknown")
	for i := range l.stock.Wires {
		optional := func(m measure, at func(*design.StockWire) **float64) fyne.CanvasObject {
			return l.quantityCell(m, unknown, func(s *design.Stock) float64 {
				if v := *at(&s.Wires[i]); v != nil {
					return *v
				}
				return 0
			}, func(s *design.Stock, v float64) {
				*at(&s.Wires[i]) = nil
				if v != 0 {
					*at(&s.Wires[i]) = &v
				}
			})
		}
		l.rows.Add(container.NewHBox(
			l.textCell(func(s *design.Stock) *string { return &s.Wires[i].Wire.Gauge }),
			l.insulation(i),
			optional(spoolLength{}, func(w *design.StockWire) **float64 { return &w.Length }),
			optional(gramMeasure{}, func(w *design.StockWire) **float64 { return &w.Mass }),
			l.quantityCell(thinLength, unknown, func(s *design.Stock) float64 { return s.Wires[i].Wire.OverallDiameter },
				func(s *design.Stock, v float64) { s.Wires[i].Wire.OverallDiameter = v }),
			l.textCell(func(s *design.Stock) *string { return &s.Wires[i].Name }),
			l.remove(func(s *design.Stock) { s.Wires = slices.Delete(s.Wires, i, i+1) }),
		))
	}
	l.rows.Add(container.NewHBox(l.button("stock.add_wire", func() {
		l.changeRows(func(s *design.Stock) {
			s.Wires = append(s.Wires, design.StockWire{Wire: design.Wire{Gauge: "AWG 32", Insulation: design.Single}})
		})
	})))
}

// insulation returns the choice of a spool's insulation.
func (l *StockList) insulation(i int) fyne.CanvasObject {
	kinds := []string{design.Bare, design.Single, design.Heavy}
	var words []string
	for _, kind := range kinds {
		words = append(words, lang.L("insulation."+kind))
	}
	p := NewPicker(words)
	p.SetSelectedIndex(slices.Index(kinds, l.stock.Wires[i].Wire.Insulation))
	p.OnChanged = func(string) {
		if err := l.change(func(s *design.Stock) { s.Wires[i].Wire.Insulation = kinds[p.SelectedIndex()] }); err != nil {
			l.message.Set(err.Error())
		}
	}
	return container.NewGridWrap(fyne.NewSize(fynetheme.Size(theme.SizeNameStockEntry), fynetheme.Size(theme.SizeNameRow)), p)
}

func (l *StockList) buildFormers() {
	text, number := theme.SizeNameStockEntry, theme.SizeNameRowEntry
	l.head("stock.formers", []string{"stock.name", "stock.diameter", "stock.wall", "stock.long", "stock.permittivity", "stock.tangent"}, text, number, number, number, number, number)
	for i := range l.stock.Formers {
		number := func(m measure, empty string, at func(*design.StockFormer) *float64) fyne.CanvasObject {
			return l.quantityCell(m, empty, func(s *design.Stock) float64 { return *at(&s.Formers[i]) }, func(s *design.Stock, v float64) { *at(&s.Formers[i]) = v })
		}
		l.rows.Add(container.NewHBox(
			l.textCell(func(s *design.Stock) *string { return &s.Formers[i].Name }),
			number(bodyLength, "", func(f *design.StockFormer) *float64 { return &f.Diameter }),
			number(bodyLength, lang.L("stock.solid"), func(f *design.StockFormer) *float64 { return &f.Wall }),
			number(bodyLength, lang.L("drawer.any"), func(f *design.StockFormer) *float64 { return &f.Length }),
			number(plainMeasure{}, "", func(f *design.StockFormer) *float64 { return &f.RelativePermittivity }),
			number(plainMeasure{}, "", func(f *design.StockFormer) *float64 { return &f.LossTangent }),
			l.remove(func(s *design.Stock) { s.Formers = slices.Delete(s.Formers, i, i+1) }),
		))
	}
	l.rows.Add(container.NewHBox(l.button("stock.add_former", func() {
		l.changeRows(func(s *design.Stock) {
			s.Formers = append(s.Formers, design.StockFormer{Diameter: 0.025, Wall: 0.0015, RelativePermittivity: 1})
		})
	})))
}

func (l *StockList) buildHubs() {
	l.head("stock.hubs", []string{"stock.name", "stock.hub"}, theme.SizeNameStockEntry, theme.SizeNameRowEntry)
	for i := range l.stock.Hubs {
		l.rows.Add(container.NewHBox(
			l.textCell(func(s *design.Stock) *string { return &s.Hubs[i].Name }),
			l.quantityCell(pitchLength, "", func(s *design.Stock) float64 { return s.Hubs[i].Diameter }, func(s *design.Stock, v float64) { s.Hubs[i].Diameter = v }),
			l.remove(func(s *design.Stock) { s.Hubs = slices.Delete(s.Hubs, i, i+1) }),
		))
	}
	nuts := topload.Nuts()
	var words []string
	for _, n := range nuts {
		words = append(words, n.Name)
	}
	add := NewPicker(words)
	add.PlaceHolder = lang.L("stock.add_nut")
	add.OnChanged = func(string) {
		if k := add.SelectedIndex(); k >= 0 {
			l.changeRows(func(s *design.Stock) {
				s.Hubs = append(s.Hubs, design.StockHub{Name: nuts[k].Name, Diameter: nuts[k].HubBetweenFlats()})
			})
		}
	}
	another := l.button("stock.add_hub", func() {
		l.changeRows(func(s *design.Stock) { s.Hubs = append(s.Hubs, design.StockHub{Diameter: 0.010}) })
	})
	size := fyne.NewSize(fynetheme.Size(theme.SizeNameStockEntry), fynetheme.Size(theme.SizeNameRow))
	l.rows.Add(container.NewHBox(container.NewGridWrap(size, add), another))
}

// spoolLength is a length of wire in metres, or feet beside inches.
type spoolLength struct{}

func (spoolLength) unit(units Units) si.Unit {
	if units == Inches {
		return si.Foot
	}
	return si.Metre
}

func (m spoolLength) parse(text string, units Units) (float64, error) {
	return si.ParseIn(text, m.unit(units))
}

func (m spoolLength) format(value float64, units Units) (string, string) {
	return decimal(m.unit(units).Of(value), 0, 2), m.unit(units).Symbol()
}

func (spoolLength) step(Units) float64 { return 1 }

// gramMeasure is the mass of what is on a spool.
type gramMeasure struct{}

func (gramMeasure) parse(text string, _ Units) (float64, error) { return si.ParseIn(text, si.Gram) }

func (gramMeasure) format(value float64, _ Units) (string, string) {
	return decimal(si.Gram.Of(value), 0, 1), si.Gram.Symbol()
}

func (gramMeasure) step(Units) float64 { return 1e-3 }

// plainMeasure is a pure number.
type plainMeasure struct{}

func (plainMeasure) parse(text string, _ Units) (float64, error) { return si.ParseIn(text, si.Plain) }

func (plainMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 1, 5), ""
}

func (plainMeasure) step(Units) float64 { return 0.1 }
