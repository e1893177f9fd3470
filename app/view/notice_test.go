package view

import (
	"errors"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/sentence"
)

func newNotice(t *testing.T) *Notice {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	n := NewNotice()
	w := test.NewTempWindow(t, n.Object())
	w.Resize(fyne.NewSize(400, 70))
	return n
}

func TestNotice(t *testing.T) {
	fifteen := 15.0
	ring := design.Problem{Code: design.CodeRingTurns, Key: "top_load.turns", Text: sentence.Literal("21 turns do not fit"), Nearest: &fifteen}
	small := design.Problem{Code: design.CodeOutOfRange, Key: "secondary.turns", Text: sentence.Literal("must be 1 or more")}
	caution := design.Caution{Text: sentence.Literal("Only an estimate.")}
	for _, test := range []struct {
		name   string
		result session.Result
		text   string
		apply  string // empty: no button
		all    string
	}{
		{"nothing", session.Result{}, "Nothing is in the way", "", ""},
		{"a caution", session.Result{Report: design.Report{Cautions: []design.Caution{caution}}}, "Only an estimate.", "", "Read it"},
		{"a problem goes first", session.Result{Problems: []design.Problem{ring}, Report: design.Report{Cautions: []design.Caution{caution}}}, "21 turns do not fit", "Use 15", "Read all 2"},
		{"a value out of range is named", session.Result{Problems: []design.Problem{small}}, "turns of the secondary: must be 1 or more", "", "Read it"},
		{"an error without a problem", session.Result{Err: errors.New("no solution")}, "no solution", "", "Read it"},
	} {
		n := newNotice(t)
		n.Nearest = func(string, float64) string { return "Use 15" }
		n.Show(&test.result, Millimetres)
		if !strings.HasPrefix(n.Text(), test.text) {
			t.Errorf("%s: reads %q, want %q", test.name, n.Text(), test.text)
		}
		for _, button := range []struct {
			*Button
			want string
		}{{n.apply, test.apply}, {n.all, test.all}} {
			got := ""
			if button.Visible() {
				got = button.Text
			}
			if got != button.want {
				t.Errorf("%s: a button reads %q, want %q", test.name, got, button.want)
			}
		}
	}
}

// TestNoticeIsShort: one sentence and what is next; all of it is a click away.
func TestNoticeIsShort(t *testing.T) {
	spectrum := design.Caution{Code: "spectrum", Text: sentence.Literal("3.846 MHz belongs to others: amateur 80 m band. Licensed services work everywhere. Ask them.")}
	bare := design.Caution{Code: "bare_close_wound", Key: "secondary.wire.insulation", Text: sentence.Literal("Turns of bare wire that touch are shorted.")}
	long := design.Caution{Code: "other", Text: sentence.Literal("The first sentence. The second sentence.")}
	for _, c := range []struct {
		name     string
		cautions []design.Caution
		want     string
	}{
		{"the frequency alone", []design.Caution{spectrum}, "3.846 MHz belongs to others: amateur 80 m band.\nKeep runs short; your country’s rules apply."},
		{"what can be changed goes first", []design.Caution{spectrum, bare}, "Turns of bare wire that touch are shorted.\n3.846 MHz belongs to others: amateur 80 m band."},
		{"one of two sentences", []design.Caution{long}, "The first sentence.\nThe second sentence."},
	} {
		n := newNotice(t)
		var all []Item
		n.OnAll = func(items []Item) { all = items }
		n.Show(&session.Result{Report: design.Report{Cautions: c.cautions}}, Millimetres)
		if got := n.Text(); got != c.want {
			t.Errorf("%s: reads %q, want %q", c.name, got, c.want)
		}
		for _, line := range linesOf(n.text) {
			if strings.HasSuffix(line, "…") {
				t.Errorf("%s: the line %q is cut off", c.name, line)
			}
		}
		test.Tap(n.all)
		if len(all) != len(c.cautions) || !strings.HasPrefix(all[len(all)-1].Text, c.cautions[0].Text.String()) {
			t.Errorf("%s: the button shows %v", c.name, all)
		}
	}
}

func TestNoticeApplies(t *testing.T) {
	n := newNotice(t)
	n.Nearest = func(string, float64) string { return "Use 15" }
	var key string
	var value float64
	n.OnApply = func(k string, v float64) { key, value = k, v }
	fifteen := 15.0
	n.Show(&session.Result{Problems: []design.Problem{{Key: "top_load.turns", Text: sentence.Literal("too many"), Nearest: &fifteen}}}, Millimetres)
	test.Tap(n.apply)
	if key != "top_load.turns" || value != 15 {
		t.Errorf("the button applies %g to %q", value, key)
	}
}

// TestProblemsAndCautionsDifferInShape: colour is never the only sign.
func TestProblemsAndCautionsDifferInShape(t *testing.T) {
	newNotice(t)
	problem, caution := Item{Problem: true}.Icon(), Item{}.Icon()
	if strings.TrimPrefix(problem.Name(), "error_") == strings.TrimPrefix(caution.Name(), "warning_") {
		t.Errorf("problems and cautions both show as %s", problem.Name())
	}
}

// TestNoticeKeepsToTheUnits shows one problem to readers of millimetres and of inches.
func TestNoticeKeepsToTheUnits(t *testing.T) {
	r := session.Result{Problems: []design.Problem{{Key: "secondary.pitch_m", Text: sentence.New("a pitch of %s", sentence.Length(0.00254))}}}
	for units, want := range map[Units]string{Millimetres: "a pitch of 2.54 mm", Inches: "a pitch of 0.1000\u202fin"} {
		if got := ItemsOf(&r, units)[0].Text; got != want {
			t.Errorf("the notice says %q, want %q", got, want)
		}
	}
}
