// Package pdf puts plots on the pages of a PDF file: as vectors, with the
// DejaVu fonts embedded so that every symbol prints and every word is found by
// a search, and the same bytes for the same drawing. Start reading at [New].
package pdf

import (
	"io"
	"time"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/vg"
)

// family is the name of the typeface inside the file.
const family = "dejavu"

// Document is a PDF file in the making.
type Document struct {
	page          *fpdf.Fpdf
	width, height vg.Length
	images        int
}

// New returns a document without pages. Its pages have one size; the title and
// the date, and no clock, go into the file.
func New(width, height vg.Length, title string, date time.Time) *Document {
	p := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: width.Points(), Ht: height.Points()},
	})
	p.SetMargins(0, 0, 0)
	p.SetAutoPageBreak(false, 0)
	p.SetCatalogSort(true) // else the order of resources is that of a map
	p.SetCreationDate(date)
	p.SetModificationDate(date)
	p.SetTitle(title, true)
	p.SetCreator("Coilwright", true)
	p.SetProducer("Coilwright", true)
	p.AddUTF8FontFromBytes(family, "", dejavusans.TTF)
	p.AddUTF8FontFromBytes(family, "B", dejavusansbold.TTF)
	return &Document{page: p, width: width, height: height}
}

// AddPage returns the canvas of a new page, all of it. The pages before it are
// finished.
func (d *Document) AddPage() *Canvas {
	d.page.AddPage()
	d.page.SetLineCapStyle("butt")
	d.page.SetLineJoinStyle("round")
	return newCanvas(d, d.width, d.height)
}

// Write writes the file. Nothing can be drawn after it.
func (d *Document) Write(w io.Writer) error { return d.page.Output(w) }
