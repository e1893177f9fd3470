package app

import (
	"errors"
	"math"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/disk"
	"coilwright/app/tally"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
)

// turnsFolder is where logs of turns lie in the folder of the program's state.
const turnsFolder = "turns"

// folder is where logs of turns are kept; empty: nowhere.
func (c *counting) folder() string {
	if c.stage.stateFolder == "" {
		return ""
	}
	return filepath.Join(c.stage.stateFolder, turnsFolder)
}

// jobOf returns what is counted of a part.
func (s *windStage) jobOf(part int) tally.Job {
	p := s.planPart(part)
	job := tally.Job{
		Coil: s.name(), Fingerprint: design.Fingerprint(s.design), Part: windParts[part].job, Wire: p.WireName,
		Total: p.Turns, Spare: p.Spare,
	}
	for _, t := range p.Count {
		if t.Mark && t.Turn == math.Trunc(t.Turn) {
			job.Marks = append(job.Marks, int(t.Turn))
		}
	}
	if n := len(p.Count); n > 0 {
		last := p.Count[n-1]
		job.Pitch = last.LengthOnFormer / last.Turn
		// A primary's turns differ; the mean is right at the end.
		first := p.Count[0]
		job.TurnLength = (last.WireUsed - first.WireUsed) / math.Max(last.Turn-first.Turn, 1)
		job.Tail = last.WireUsed - last.Turn*job.TurnLength
		if n == 1 {
			job.TurnLength = (last.WireUsed - s.settings.PrimaryTail) / last.Turn
			job.Tail = s.settings.PrimaryTail
		}
	}
	if job.Part == "secondary" {
		job.AskEvery = winding.SecondaryMarkEvery
	}
	return job
}

// askCount begins to count the part that is picked, or goes on where a count of
// it stopped.
func (s *windStage) askCount() {
	part := s.part.Picked()
	if s.planPart(part) == nil {
		return
	}
	job := s.jobOf(part)
	folder := s.counting.folder()
	if folder == "" {
		s.ask(lang.L("wind.no_folder"), answer{"ask.close", widget.HighImportance, func() {}})
		return
	}
	left, err := tally.Unfinished(folder)
	if err != nil {
		s.fail(err)
		return
	}
	for _, u := range left {
		if u.Job.Fingerprint == job.Fingerprint && u.Job.Part == job.Part && u.Turns > 0 {
			s.ask(text("wind.go_on_question", map[string]any{"Turns": u.Turns, "Of": si.FormatTurns(u.Job.All()), "When": u.At.Local().Format("2006-01-02 15:04")}),
				answer{"wind.go_on", widget.HighImportance, func() { s.counting.goOn(u.Path) }},
				answer{"wind.anew", widget.MediumImportance, func() { s.counting.anew(job, u.Path) }},
			)
			return
		}
	}
	s.counting.anew(job, "")
}

// offerCount asks about the latest count that a crash or a power cut has
// stopped. A folder that cannot be read is told when counting begins.
func (w *Window) offerCount() {
	if w.stateFolder == "" {
		return
	}
	left, err := tally.Unfinished(filepath.Join(w.stateFolder, turnsFolder))
	if err != nil || len(left) == 0 || left[0].Turns == 0 {
		return
	}
	for _, entered := range w.stages {
		s, ok := entered.stage.(*windStage)
		if !ok {
			continue
		}
		u := left[0]
		s.ask(text("wind.stopped_question", map[string]any{"Part": lang.L("wind." + u.Job.Part), "Coil": u.Job.Coil, "Turns": u.Turns, "Of": si.FormatTurns(u.Job.All())}),
			answer{"wind.go_on", widget.HighImportance, func() {
				w.enterStage(stageWind)
				s.counting.goOn(u.Path)
			}},
			answer{"wind.later", widget.MediumImportance, func() {}},
			answer{"wind.give_up", widget.MediumImportance, func() { s.giveUp(u.Path) }},
		)
	}
}

// giveUp ends a count that is not gone on with.
func (s *windStage) giveUp(path string) {
	l, err := tally.Open(path)
	if err == nil {
		err = l.Finish(time.Now())
	}
	if err != nil {
		s.fail(err)
	}
}

// anew begins a count and ends the one before, if there is one.
func (c *counting) anew(job tally.Job, before string) {
	if before != "" {
		c.stage.giveUp(before)
	}
	l, err := tally.Start(c.folder(), job, time.Now())
	if err != nil {
		c.failed(err)
		return
	}
	c.open(l)
}

// goOn opens a count again.
func (c *counting) goOn(path string) {
	l, err := tally.Open(path)
	if errors.Is(err, disk.ErrLocked) {
		c.stage.ask(lang.L("wind.counted_elsewhere"), answer{"ask.close", widget.HighImportance, func() {}})
		return
	}
	if err != nil {
		c.failed(err)
		return
	}
	c.open(l)
}
