package app

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/url"
	"path/filepath"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/sheet"
	"coilwright/release"
)

// Preferences of what is put on paper.
const (
	preferPaper  = "paper"  // index into windPapers
	preferPrices = "prices" // JSON, by the keys of the items
)

// windPapers are the papers in the order of the choice.
var windPapers = []plotting.Paper{plotting.A4, plotting.Letter}

// mostCoils bounds a set.
const mostCoils = 200

// windFile is a file to be written: what ends its name, and its content.
type windFile struct {
	ending string // "-sheet.pdf"
	write  func(to io.Writer) error
}

// paperRow asks for the paper.
func (s *windStage) paperRow(at *int) formRow {
	*at = min(max(0, s.app.Preferences().Int(preferPaper)), len(windPapers)-1)
	return formRow{label: "wind.paper", options: []string{lang.L("wind.a4"), lang.L("wind.letter")}, picked: *at, pick: func(i int) {
		*at = i
		s.app.Preferences().SetInt(preferPaper, i)
	}}
}

// coilsRow asks for how many coils.
func coilsRow(at *int) formRow {
	*at = 1
	return formRow{label: "wind.coils", text: "1", set: func(text string) error {
		if err := wholeNumber(at)(text); err != nil {
			return err
		}
		if *at < 1 || *at > mostCoils {
			return errors.New(lang.L("wind.coils_range", map[string]any{"Most": mostCoils}))
		}
		return nil
	}}
}

// ladderKeys are what may differ from coil to coil of a set.
var ladderKeys = []string{"", "secondary.turns", "secondary.former_diameter_m", "top_load.turns", "primary.turns"}

// askSheet asks for the build sheet of the coil, or of a set.
func (s *windStage) askSheet() {
	var paper, coils, vary int
	var values string
	s.askForm("wind.sheet", "wind.folder", []formRow{
		s.paperRow(&paper),
		coilsRow(&coils),
		{label: "wind.vary", options: []string{
			lang.L("wind.vary_none"), lang.L("wind.vary_turns"), lang.L("wind.vary_former"), lang.L("wind.vary_ring"), lang.L("wind.vary_primary"),
		}, pick: func(i int) { vary = i }},
		{label: "wind.values", set: func(text string) error { values = text; return nil }},
	}, func() error {
		list := strings.FieldsFunc(values, func(r rune) bool { return r == ',' || r == ';' || r == ' ' })
		if (vary > 0) != (len(list) > 0) {
			return errors.New(lang.L("wind.values_missing"))
		}
		if ladderKeys[max(vary, 0)] == "secondary.former_diameter_m" {
			for i, v := range list {
				list[i] = v
				if metres, err := si.ParseIn(v, s.unit()); err == nil {
					list[i] = si.Format(metres, si.Metre, si.Shortest)
				}
			}
		}
		set, err := sheet.SetOf(s.design, coils, ladderKeys[max(vary, 0)], list)
		if err != nil {
			return err
		}
		s.makeBuilds(set, vary == 0, func(builds []sheet.Build) {
			s.askWrite(windFile{"-build.pdf", func(to io.Writer) error { return sheet.WriteBuild(to, windPapers[paper], builds...) }})
		})
		return nil
	})
}

// askTemplates asks for the templates.
func (s *windStage) askTemplates() {
	var paper, format int
	s.askForm("wind.templates", "wind.folder", []formRow{
		s.paperRow(&paper),
		{label: "wind.format", options: []string{lang.L("wind.as_pdf"), lang.L("wind.as_svg")}, pick: func(i int) { format = i }},
	}, func() error {
		s.makeBuilds([]design.Design{s.design}, true, func(builds []sheet.Build) {
			b := builds[0]
			all := sheet.Templates(&b)
			if format == 0 {
				s.askWrite(windFile{"-templates.pdf", func(to io.Writer) error { return sheet.WriteTemplates(to, windPapers[paper], b.Identity, all) }})
				return
			}
			var files []windFile
			for _, t := range all {
				files = append(files, windFile{"-" + t.Name + ".svg", func(to io.Writer) error { return sheet.WriteTemplateSVG(to, t) }})
			}
			s.askWrite(files...)
		})
		return nil
	})
}

// askJig asks for the jig and its sizes.
func (s *windStage) askJig() {
	b := sheet.Build{Design: s.design, Plan: s.plan, Units: plottingUnits(s.units)}
	var err error
	if b.Geometry, err = s.design.Geometry(); err == nil && s.problem == "" {
		var j sheet.Jig
		if j, err = sheet.JigOf(&b); err == nil {
			s.askJigOf(j)
			return
		}
	}
	reason := s.problem
	if reason == "" {
		reason = lang.L("wind.no_ring")
	}
	s.ask(reason, answer{"ask.close", widget.HighImportance, func() {}})
}

func (s *windStage) askJigOf(j sheet.Jig) {
	length := func(key string, at *float64) formRow {
		return formRow{label: key, text: settingText(*at, s.unit()), set: func(text string) (err error) {
			*at, err = si.ParseIn(text, s.unit())
			return err
		}}
	}
	s.askForm("wind.jig", "wind.folder", []formRow{
		length("wind.jig_clearance", &j.Clearance),
		length("wind.jig_height", &j.Height),
		length("wind.jig_floor", &j.Floor),
		length("wind.jig_iron", &j.IronRoom),
		length("wind.jig_screw", &j.Screw),
		length("wind.jig_spindle", &j.Spindle),
	}, func() error {
		solids, err := j.All()
		if err != nil {
			return err
		}
		s.askWrite(windFile{"-jig.stl", func(to io.Writer) error { return sheet.WriteSTL(to, solids...) }})
		return nil
	})
}

// askShop asks for the shop list, with prices.
func (s *windStage) askShop() {
	if s.problem != "" {
		s.ask(s.problem, answer{"ask.close", widget.HighImportance, func() {}})
		return
	}
	prices := map[string]float64{}
	if kept := s.app.Preferences().String(preferPrices); kept != "" && json.Unmarshal([]byte(kept), &prices) != nil {
		prices = map[string]float64{}
	}
	var paper, coils, format int
	rows := []formRow{
		coilsRow(&coils), s.paperRow(&paper),
		{label: "wind.format", options: []string{lang.L("wind.as_pdf"), lang.L("wind.as_csv")}, pick: func(i int) { format = i }},
	}
	for _, item := range sheet.ShopOf(s.design, s.plan, 1).Items {
		at := ""
		if p := prices[item.Key]; p > 0 {
			at = si.FormatNumber(p, si.Shortest)
		}
		rows = append(rows, formRow{
			title: text("wind.price", map[string]any{"Item": item.Name, "Unit": item.Unit}), text: at,
			set: func(typed string) error {
				if typed == "" {
					delete(prices, item.Key)
					return nil
				}
				v, err := si.ParseIn(typed, si.Plain)
				if err == nil && v < 0 {
					err = errors.New(lang.L("wind.price_negative"))
				}
				prices[item.Key] = v
				return err
			},
		})
	}
	s.askForm("wind.shop", "wind.folder", rows, func() error {
		kept, err := json.Marshal(prices)
		if err != nil {
			return err
		}
		s.app.Preferences().SetString(preferPrices, string(kept))
		list := sheet.ShopOf(s.design, s.plan, coils).Priced(prices)
		id := identityOf(s.design, s.name())
		if format == 0 {
			s.askWrite(windFile{"-shop.pdf", func(to io.Writer) error {
				return sheet.WriteShop(to, windPapers[paper], id, list, plottingUnits(s.units))
			}})
			return nil
		}
		s.askWrite(windFile{"-shop.csv", list.WriteCSV})
		return nil
	})
}

// askLabels asks for labels.
func (s *windStage) askLabels() {
	var paper, coils int
	s.askForm("wind.labels", "wind.folder", []formRow{s.paperRow(&paper), coilsRow(&coils)}, func() error {
		set, err := sheet.SetOf(s.design, coils, "", nil)
		if err != nil {
			return err
		}
		s.makeBuilds(set, true, func(builds []sheet.Build) {
			s.askWrite(windFile{"-labels.pdf", func(to io.Writer) error { return sheet.WriteLabels(to, windPapers[paper], builds...) }})
		})
		return nil
	})
}

// identityOf returns what every page of a design says.
func identityOf(d design.Design, name string) sheet.Identity {
	return sheet.Identity{Name: name, Date: time.Now(), Fingerprint: design.Fingerprint(d), Version: release.Version()}
}

// makeBuilds computes the sheets of a set beside the window and hands them over
// on the UI goroutine; copies of one coil are computed once.
func (s *windStage) makeBuilds(set []design.Design, copies bool, then func([]sheet.Build)) {
	settings, units, name := s.settings, s.units, s.name()
	compute := func() ([]sheet.Build, error) {
		var builds []sheet.Build
		for i, d := range set {
			if i > 0 && copies {
				builds = append(builds, builds[0])
			} else {
				b, err := sheet.NewBuild(context.Background(), d, settings, plottingUnits(units))
				if err != nil {
					return nil, err
				}
				if d.Name == "" {
					d.Name = name
				}
				b.Identity, b.Inputs = identityOf(d, d.Name), view.MainInputs(&d, units)
				builds = append(builds, b)
			}
			builds[i].Number = sheet.NumberText(i+1, len(set))
		}
		return builds, nil
	}
	done := func(builds []sheet.Build, err error) {
		if err != nil {
			s.ask(windProblem(err, units), answer{"ask.close", widget.HighImportance, func() {}})
			return
		}
		then(builds)
	}
	if s.synchronous {
		done(compute())
		return
	}
	go func() {
		builds, err := compute()
		fyne.Do(func() { done(builds, err) })
	}()
}

// askWrite draws files, asks for a folder and writes them there.
func (s *windStage) askWrite(files ...windFile) {
	base := bareFileName(s.design.Name)
	var all []exportFile
	for _, f := range files {
		var content bytes.Buffer
		if err := f.write(&content); err != nil {
			s.ask(windProblem(err, s.units), answer{"ask.close", widget.HighImportance, func() {}})
			return
		}
		all = append(all, exportFile{base + f.ending, content.Bytes()})
	}
	s.askFolder(s.folder(), func(folder string) { s.writeInto(folder, all) })
}

// writeInto writes files into a folder and offers to open the first.
func (s *windStage) writeInto(folder string, files []exportFile) {
	for i := range files {
		files[i].path = filepath.Join(folder, files[i].path)
	}
	s.put(folder, files, func() {
		s.app.Preferences().SetString(preferFolder, folder)
		answers := []answer{{"ask.close", widget.MediumImportance, func() {}}}
		if filepath.Ext(files[0].path) == ".pdf" {
			answers = append([]answer{{"wind.open", widget.HighImportance, func() { s.openFileOutside(files[0].path) }}}, answers...)
		}
		s.ask(lang.N("wind.written", len(files), map[string]any{"Count": len(files), "File": filepath.Base(files[0].path), "Folder": folder}), answers...)
	})
}

// openFileOutside shows a file in the system's viewer.
func (w *Window) openFileOutside(path string) {
	if err := w.app.OpenURL(&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}); err != nil {
		w.ask(text("print.no_viewer", map[string]any{"File": path}), answer{"ask.close", widget.HighImportance, func() {}})
	}
}
