package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/plotting"
)

// waste is the share of wire that goes astray; common practice, no source.
const waste = 0.10

// Item is one line of a shop list.
type Item struct {
	Key           string // short and stable: what a price is kept under
	Name          string
	Specification string
	Unit          string  // "m", "g" or "piece"
	Needed        float64 // in one coil, in Unit
	Buy           float64 // for all coils, with spares and waste, in Unit
	Price         float64 // of one Unit, as the user typed it; 0: none
	Cut           bool    // it is cut to length and stands in the cut list
}

// Cost returns what is paid for it, 0 without a price.
func (i Item) Cost() float64 { return i.Buy * i.Price }

// quantity writes an amount in the item's unit.
func (i Item) quantity(amount float64, unit si.Unit) string {
	switch i.Unit {
	case "m":
		return lengthText(amount, unit)
	case "piece":
		return strconv.Itoa(int(math.Ceil(amount)))
	}
	return si.FormatNumber(amount, 3) + "\u202f" + i.Unit
}

// Shop is what to buy for some coils.
type Shop struct {
	Coils int
	Items []Item
}

// ShopOf returns what to buy for coils of a design: wire with a tenth more, small
// parts with one spare to every five, at least one.
func ShopOf(d design.Design, p winding.Plan, coils int) Shop {
	coils = max(1, coils)
	s := Shop{Coils: coils}
	cut := func(key, name, specification string, metres float64) {
		s.Items = append(s.Items, Item{Key: key, Name: name, Specification: specification, Unit: "m",
			Needed: metres, Buy: math.Ceil(metres*float64(coils)*(1+waste)*10) / 10, Cut: true})
	}
	wire := func(key, name string, w design.Wire, part *winding.Part) {
		if part == nil {
			return
		}
		what := w.Gauge + " copper wire, " + insulationText(w.Insulation)
		cut(key, name, fmt.Sprintf("%s, %s", what, si.FormatPrefixed(part.Mass*float64(coils)*(1+waste), si.Gram, 3)), part.CutLength)
	}
	wire("wire.secondary", "Wire, secondary", d.Secondary.Wire, p.Secondary)
	wire("wire.ring", "Wire, ring", d.TopLoad.Wire, p.Ring)
	wire("wire.primary", "Wire, primary", d.Primary.Wire, p.Primary)
	if g, err := d.Geometry(); err == nil {
		what := fmt.Sprintf("tube %s outside", si.Format(2*g.Former.Outer, si.Millimetre, si.Shortest))
		if g.Former.Inner > 0 {
			what += ", wall " + si.Format(g.Former.Outer-g.Former.Inner, si.Millimetre, 3)
		} else {
			what = fmt.Sprintf("rod %s", si.Format(2*g.Former.Outer, si.Millimetre, si.Shortest))
		}
		cut("former.secondary", "Former, secondary", what, g.Former.Top-g.Former.Bottom)
	}
	pieces := func(key, name, specification string, n float64, spare bool) {
		buy := n * float64(coils)
		if spare {
			buy += math.Max(1, math.Ceil(buy/5))
		}
		s.Items = append(s.Items, Item{Key: key, Name: name, Specification: specification, Unit: "piece", Needed: n, Buy: buy})
	}
	lasting := func(key, name, specification string) { // one does for many coils
		s.Items = append(s.Items, Item{Key: key, Name: name, Specification: specification, Unit: "piece", Needed: 1, Buy: 1})
	}
	topLoadItems(d, pieces, lasting)
	driverItems(d, pieces)
	lasting("tape", "Adhesive tape", "polyimide or paper, to fix the ends of the winding")
	lasting("varnish", "Varnish", "clear polyurethane or polystyrene, a small tin")
	return s
}

// topLoadItems adds what the top load is made of.
func topLoadItems(d design.Design, pieces func(key, name, specification string, n float64, spare bool), lasting func(key, name, specification string)) {
	length := func(v float64) string { return si.Format(v, si.Millimetre, 3) }
	t := d.TopLoad
	switch t.Kind {
	case design.WireRing:
		hub := "round brass hub " + length(t.HubDiameter)
		if h := winding.HubOf(t.HubDiameter); h.Name != "" {
			hub = h.Name + ", brass, not plated"
		}
		pieces("hub", "Hub of the ring", hub, 1, true)
		lasting("former.ring", "Former, ring", "rod or tube "+si.Format(t.FormerDiameter, si.Millimetre, si.Shortest)+" outside")
		lasting("solder", "Solder", "with flux core, for electronics")
	case design.Torus:
		pieces("torus", "Torus", length(t.OuterDiameter)+" outside, tube "+length(t.TubeDiameter), 1, false)
	case design.Sphere:
		pieces("sphere", "Sphere", length(t.Diameter), 1, false)
	case design.Disc:
		pieces("disc", "Disc", length(t.Diameter)+", "+length(t.Thickness)+" thick", 1, false)
	}
}

// driverItems adds the parts that a design names.
func driverItems(d design.Design, pieces func(key, name, specification string, n float64, spare bool)) {
	part := func(p design.Part) string {
		if p.Name != "" {
			return p.Name
		}
		return "by its model in the design"
	}
	v := d.Driver
	ohms := func(r float64) string { return si.FormatPrefixed(r, si.Ohm, 3) }
	switch v.Kind {
	case design.FeedbackExciter:
		pieces("device", "Transistor", part(v.Device), 1, true)
		pieces("resistor.base", "Resistor, base", ohms(v.BaseResistor)+", 0.5\u202fW", 1, true)
		if v.Clamp.Name != "" || v.Clamp.Model != nil {
			pieces("clamp", "Diode, base to emitter", part(v.Clamp), 1, true)
		}
		if v.EmitterResistor != nil && *v.EmitterResistor > 0 {
			pieces("resistor.emitter", "Resistor, emitter", ohms(*v.EmitterResistor), 1, true)
		}
		if v.BaseCapacitance != nil && *v.BaseCapacitance > 0 {
			pieces("capacitor.base", "Capacitor, base", si.FormatPrefixed(*v.BaseCapacitance, si.Farad, 3), 1, true)
		}
		pieces("supply", "Supply", fmt.Sprintf("%s, current limited", si.FormatPrefixed(v.Supply, si.Volt, 3)), 1, false)
	case design.HalfBridge:
		pieces("bridge", "Half bridge", "for a bus of "+si.FormatPrefixed(v.Bus, si.Volt, 3), 1, false)
		if v.Feed == design.FeedSeriesTuned {
			pieces("capacitor.series", "Capacitor, series", si.FormatPrefixed(v.SeriesCapacitance, si.Farad, 3), 1, true)
		}
	case design.SparkGap:
		pieces("capacitor.tank", "Capacitor, tank", fmt.Sprintf("%s, pulse rated well above %s", si.FormatPrefixed(v.TankCapacitance, si.Farad, 3), si.FormatPrefixed(v.FiringVoltage, si.Volt, 3)), 1, true)
		pieces("gap", "Spark gap", "set to fire at "+si.FormatPrefixed(v.FiringVoltage, si.Volt, 3), 1, false)
		pieces("bleeder", "Bleeder resistor", "high-voltage, across the tank capacitor", 1, true)
	}
}

func insulationText(kind string) string {
	switch kind {
	case design.Single:
		return "enamelled, single build (grade 1)"
	case design.Heavy:
		return "enamelled, heavy build (grade 2)"
	}
	return "bare"
}

// Priced returns the list with prices by the items' keys.
func (s Shop) Priced(prices map[string]float64) Shop {
	items := make([]Item, len(s.Items))
	copy(items, s.Items)
	for i := range items {
		if p := prices[items[i].Key]; p > 0 && !math.IsInf(p, 0) {
			items[i].Price = p
		}
	}
	s.Items = items
	return s
}

// Total returns what all items with a price cost, and how many have none.
func (s Shop) Total() (cost float64, without int) {
	for _, i := range s.Items {
		if i.Price == 0 {
			without++
		}
		cost += i.Cost()
	}
	return cost, without
}

// WriteCSV writes the list as comma-separated values; what has no price has none
// there either.
func (s Shop) WriteCSV(to io.Writer) error {
	w := csv.NewWriter(to)
	number := func(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
	write := func(cells ...string) {
		// A write error stays with the writer until it is asked below.
		_ = w.Write(cells)
	}
	write("item", "specification", "needed_per_coil", "coils", "to_buy", "unit", "price_per_unit", "cost")
	for _, i := range s.Items {
		price, cost := "", ""
		if i.Price > 0 {
			price, cost = number(i.Price, 2), number(i.Cost(), 2)
		}
		digits := 3
		if i.Unit == "piece" {
			digits = 0
		}
		write(i.Name, strings.ReplaceAll(i.Specification, "\u202f", " "), number(i.Needed, digits), strconv.Itoa(s.Coils), number(i.Buy, digits), i.Unit, price, cost)
	}
	w.Flush()
	return w.Error()
}

// WriteShop writes the list as a page to take along, with the total of what has
// a price.
func WriteShop(to io.Writer, paper plotting.Paper, id Identity, s Shop, units plotting.Units) error {
	f := newFlow(paper)
	f.begin(id, "Shop list")
	unit := si.Millimetre
	if units.Inch {
		unit = si.Inch
	}
	coils := "one coil"
	if s.Coils > 1 {
		coils = fmt.Sprintf("%d coils", s.Coils)
	}
	f.paragraph(fmt.Sprintf("For %s, with a tenth more wire and one spare to every five small parts.", coils), f.left())
	var rows [][]string
	for _, i := range s.Items {
		price, cost := "", ""
		if i.Price > 0 {
			price, cost = fmt.Sprintf("%.2f / %s", i.Price, i.Unit), fmt.Sprintf("%.2f", i.Cost())
		}
		rows = append(rows, []string{"☐", i.Name, i.Specification, i.quantity(i.Buy, unit), price, cost})
	}
	total, without := s.Total()
	if total > 0 {
		note := ""
		if without > 0 {
			note = fmt.Sprintf("without %d that have no price", without)
		}
		rows = append(rows, []string{"", "Total", note, "", "", fmt.Sprintf("%.2f", total)})
	}
	f.table([]column{{"", 0.3, false}, {"item", 1.9, false}, {"which", 3, false}, {"buy", 1, true}, {"price", 1.1, true}, {"cost", 0.9, true}}, rows)
	return f.write(to, id.Name+": shop list", id.Date)
}
