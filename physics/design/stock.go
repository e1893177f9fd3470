package design

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
)

// StockFormat and StockVersion identify a stock file.
const (
	StockFormat  = "coilwright-stock"
	StockVersion = 1
)

// Stock is what a maker has in the drawer.
type Stock struct {
	Wires   []StockWire
	Formers []StockFormer
	Hubs    []StockHub
}

// StockWire is a spool.
type StockWire struct {
	Name   string // as its maker calls it; empty: by its gauge
	Wire   Wire
	Length *float64 // m left on the spool; nil: by its mass, or as much as is needed
	Mass   *float64 // kg of wire left, copper and insulation, without the spool
}

// StockFormer is a tube or rod, for a winding or to wind a ring on.
type StockFormer struct {
	Name                 string
	Diameter             float64 // m, outside
	Wall                 float64 // m; 0: a solid rod
	Length               float64 // m; 0: as long as is needed
	RelativePermittivity float64 // 1 and up
	LossTangent          float64 // 0 and up
}

// StockHub is what a ring is closed on, a nut as a rule.
type StockHub struct {
	Name     string
	Diameter float64 // m, of the circle that the inner wire surfaces touch
}

// maxStock is how many entries each list of a stock may have.
const maxStock = 1000

// wholeStock is the object of a stock file.
func wholeStock(s *Stock, format *string, version *int) object {
	return object{fields: func() []field {
		return []field{
			{key: "format", value: word{format, oneOf(StockFormat)}, need: required},
			{key: "version", value: whole{version, limits{min: 1, max: StockVersion}}, need: required},
			{key: "wires", value: list[StockWire]{&s.Wires, maxStock, newStockWire, stockWire}},
			{key: "formers", value: list[StockFormer]{&s.Formers, maxStock, newStockFormer, stockFormer}},
			{key: "hubs", value: list[StockHub]{&s.Hubs, maxStock, func() StockHub { return StockHub{} }, stockHub}},
		}
	}}
}

func newStockWire() StockWire { return StockWire{Wire: Wire{Insulation: Bare}} }

// newStockFormer returns a former with what its absent keys stand for, as in a design.
func newStockFormer() StockFormer {
	return StockFormer{Wall: defaultFormerWall, RelativePermittivity: 1}
}

func stockWire(w *StockWire) value {
	return object{fields: func() []field {
		return append([]field{{key: "name", value: text{&w.Name, maxName}}}, append(wireOf(&w.Wire).fields(),
			field{key: "length_m", value: optional{&w.Length, limits{min: 0, max: 1e6, unit: "m"}}, need: spare},
			field{key: "mass_kg", value: optional{&w.Mass, limits{min: 0, max: 1e4, unit: "kg"}}, need: spare})...)
	}}
}

func stockFormer(f *StockFormer) value {
	return object{fields: func() []field {
		return []field{
			{key: "name", value: text{&f.Name, maxName}},
			{key: "diameter_m", value: quantity{&f.Diameter, size}, need: required},
			{key: "wall_m", value: quantity{&f.Wall, sizeOrZero}},
			{key: "length_m", value: quantity{&f.Length, sizeOrZero}},
			{key: "relative_permittivity", value: quantity{&f.RelativePermittivity, permittivity}},
			{key: "loss_tangent", value: quantity{&f.LossTangent, limits{min: 0, max: 10}}},
		}
	}}
}

func stockHub(h *StockHub) value {
	return object{fields: func() []field {
		return []field{
			{key: "name", value: text{&h.Name, maxName}},
			{key: "diameter_m", value: quantity{&h.Diameter, size}, need: required},
		}
	}}
}

// ReadStock reads a stock file, as strictly as [Read] does a design: the error is
// [Problems].
func ReadStock(source io.Reader) (Stock, error) {
	root, problems := parse(source)
	if root == nil {
		return Stock{}, problems
	}
	r := reader{problems: problems}
	if !r.is(kindObject, "", root) {
		return Stock{}, r.problems
	}
	if problem, ok := foreign(root, StockFormat, "stock"); ok {
		return Stock{}, Problems{problem}
	}
	var s Stock
	var format string
	var version int
	wholeStock(&s, &format, &version).read(&r, "", root)
	if len(r.problems) > 0 {
		return Stock{}, r.problems
	}
	return s, nil
}

// ReadStockFile reads the stock file at path.
func ReadStockFile(path string) (Stock, error) {
	f, err := os.Open(path)
	if err != nil {
		return Stock{}, err
	}
	defer f.Close()
	return ReadStock(f)
}

// Check returns what [ReadStock] would refuse in s, nil if nothing.
func (s Stock) Check() []Problem {
	format, version := StockFormat, StockVersion
	var r reader
	wholeStock(&s, &format, &version).check(&r, "")
	return r.problems
}

// WriteStock writes a stock file: every key in a fixed order, so that equal stocks give
// equal files. A stock that [ReadStock] would refuse is not written; the error is
// [Problems].
func WriteStock(to io.Writer, s Stock) error {
	if problems := s.Check(); len(problems) > 0 {
		return Problems(problems)
	}
	format, version := StockFormat, StockVersion
	var content bytes.Buffer
	if err := json.Indent(&content, wholeStock(&s, &format, &version).write(nil), "", "  "); err != nil {
		return fmt.Errorf("design: writing: %w", err)
	}
	content.WriteByte('\n')
	_, err := to.Write(content.Bytes())
	return err
}

// Called returns what a spool is called: its name, else its wire.
func (w StockWire) Called() string {
	if w.Name != "" {
		return w.Name
	}
	return w.Wire.Gauge
}

// Called returns what a former is called: its name, else its diameter.
func (f StockFormer) Called() string {
	if f.Name != "" {
		return f.Name
	}
	return mm(f.Diameter)
}

// Called returns what a hub is called: its name, else its diameter.
func (h StockHub) Called() string {
	if h.Name != "" {
		return h.Name
	}
	return mm(h.Diameter)
}
