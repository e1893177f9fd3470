// Package lesson reads and writes what a teacher prepares: the list of experiments
// of a lesson with their settings and notes, and the results of a set of coils that
// a class has measured. It knows no widget.
//
// Start reading at [Lesson] and [Read]; [Result] is a line of a class's table.
package lesson

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"coilwright/physics/experiment"
)

// Format and Version identify a lesson file.
const (
	Format    = "coilwright-lesson"
	Version   = 1
	Extension = ".lesson.json"
)

// Bounds of a lesson file.
const (
	maxFileSize = 1 << 20 // bytes
	maxSteps    = 100
	maxText     = 4000 // letters of a note
	maxMinutes  = 600
)

// ErrLesson is wrapped by every refusal of a lesson; the rest of its text is a
// sentence for the user.
var ErrLesson = errors.New("lesson")

// Lesson is a list of experiments for an audience.
type Lesson struct {
	Format   string   `json:"format"`
	Version  int      `json:"version"`
	Name     string   `json:"name"`
	Audience string   `json:"audience"`
	Before   []string `json:"before"` // what to prepare the day before
	Steps    []Step   `json:"steps"`
}

// Step is one stretch of a lesson.
type Step struct {
	Experiment experiment.Kind     `json:"experiment,omitempty"` // empty: something is done without one
	Settings   experiment.Settings `json:"settings,omitempty"`
	Minutes    float64             `json:"minutes"`
	Notes      string              `json:"notes"`
	WrongIdea  string              `json:"wrong_idea,omitempty"` // what is often believed, for the teacher's page
}

// Minutes returns how long the lesson takes.
func (l Lesson) Minutes() float64 {
	sum := 0.0
	for _, s := range l.Steps {
		sum += s.Minutes
	}
	return sum
}

// Experiments returns the steps that are experiments.
func (l Lesson) Experiments() []Step {
	var all []Step
	for _, s := range l.Steps {
		if s.Experiment != "" {
			all = append(all, s)
		}
	}
	return all
}

// Read reads a lesson, all of it or nothing. The error wraps [ErrLesson].
func Read(source io.Reader) (Lesson, error) {
	content, err := io.ReadAll(io.LimitReader(source, maxFileSize+1))
	if err != nil {
		return Lesson{}, err
	}
	if len(content) > maxFileSize {
		return Lesson{}, fmt.Errorf("%w: the file is larger than %d MB", ErrLesson, maxFileSize>>20)
	}
	var l Lesson
	decoder := json.NewDecoder(bytes.NewReader(content))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&l); err != nil {
		return Lesson{}, fmt.Errorf("%w: %s", ErrLesson, plainly(err, content))
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return Lesson{}, fmt.Errorf("%w: something follows the end of the lesson", ErrLesson)
	}
	if err := l.check(); err != nil {
		return Lesson{}, err
	}
	return l, nil
}

// plainly words an error of the decoder, with the line where it knows one.
func plainly(err error, content []byte) string {
	line := func(offset int64) int {
		return 1 + bytes.Count(content[:min(int64(len(content)), max(0, offset))], []byte("\n"))
	}
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fmt.Sprintf("line %d: %v", line(syntax.Offset), syntax)
	case errors.As(err, &kind):
		return fmt.Sprintf("line %d: %s cannot be %s", line(kind.Offset), kind.Field, kind.Value)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return "the file ends too early"
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

// check refuses what is no lesson of this version.
func (l Lesson) check() error {
	switch {
	case l.Format != Format:
		return fmt.Errorf("%w: format is %.40q, not %q", ErrLesson, l.Format, Format)
	case l.Version > Version:
		return fmt.Errorf("%w: made by a newer Coilwright, version %d", ErrLesson, l.Version)
	case l.Version < 1:
		return fmt.Errorf("%w: version is %d", ErrLesson, l.Version)
	case len(l.Steps) == 0:
		return fmt.Errorf("%w: it has no steps", ErrLesson)
	case len(l.Steps) > maxSteps:
		return fmt.Errorf("%w: it has %d steps, more than %d", ErrLesson, len(l.Steps), maxSteps)
	}
	for i, text := range append([]string{l.Name, l.Audience}, l.Before...) {
		if utf8.RuneCountInString(text) > maxText {
			return fmt.Errorf("%w: text %d is too long", ErrLesson, i+1)
		}
	}
	for i, s := range l.Steps {
		switch {
		case !(s.Minutes > 0 && s.Minutes <= maxMinutes):
			return fmt.Errorf("%w: step %d takes %g minutes", ErrLesson, i+1, s.Minutes)
		case utf8.RuneCountInString(s.Notes) > maxText || utf8.RuneCountInString(s.WrongIdea) > maxText:
			return fmt.Errorf("%w: the notes of step %d are too long", ErrLesson, i+1)
		case s.Experiment == "" && len(s.Settings) > 0:
			return fmt.Errorf("%w: step %d has settings but no experiment", ErrLesson, i+1)
		case s.Experiment != "" && !experiment.Known(s.Experiment):
			return fmt.Errorf("%w: step %d: there is no experiment %.40q", ErrLesson, i+1, s.Experiment)
		}
		for name, value := range s.Settings {
			if math.IsNaN(value) || math.IsInf(value, 0) {
				return fmt.Errorf("%w: step %d: %.40s is %g", ErrLesson, i+1, name, value)
			}
		}
	}
	return nil
}

// Write writes the lesson as [Read] reads it.
func Write(to io.Writer, l Lesson) error {
	l.Format, l.Version = Format, Version
	if err := l.check(); err != nil {
		return err
	}
	content, err := json.MarshalIndent(l, "", "  ")
	if err != nil {
		return err
	}
	_, err = to.Write(append(content, '\n'))
	return err
}
