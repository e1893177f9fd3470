package app

import (
	"testing"

	"coilwright/app/session"
)

// BenchmarkSliderStep measures what one step of a slider costs the UI
// goroutine: cards, header, menu and title follow the design, then summaries,
// results, notice and figures follow the result. Solving and drawing happen on
// the worker. Budget: 4 ms, a quarter of a picture at 60 a second.
func BenchmarkSliderStep(b *testing.B) {
	w := newWindow(b)
	var results []session.Result
	for turns := 200.0; turns < 232; turns++ {
		w.setTurns(turns)
		results = append(results, *w.last)
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		r := results[i%len(results)]
		i++
		w.changed()
		w.cards.Show(r.Design)
		w.resulted(r)
	}
}

// BenchmarkEditSolvedAndDrawn measures the whole way from an edit to new
// figures, all on one goroutine but the drawing of the pictures.
func BenchmarkEditSolvedAndDrawn(b *testing.B) {
	w := newWindow(b)
	b.ReportAllocs()
	turns := 200.0
	for b.Loop() {
		turns++
		if turns > 400 {
			turns = 200
		}
		w.setTurns(turns)
	}
}
