package app

import (
	"image"
	"sync"
	"time"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/view"
	"coilwright/plotting"
)

// frameTime is the time between two pictures of a film: 30 in a second.
const frameTime = time.Second / 30

// film draws pictures that move, beside the UI goroutine.
type film struct {
	mu       sync.Mutex
	stopping chan struct{} // closed to end the goroutine that draws; nil: none

	still      easel       // of the picture
	graph      easel       // of the figure
	shown      *image.RGBA // the figure on screen
	stillShown *image.RGBA
}

// start shows a picture again and again until stop. next runs on the UI goroutine
// and says what to draw and where; show puts it on screen there.
func (f *film) start(next func(elapsed time.Duration) (showPicture, view.Space, bool), show func(*image.RGBA)) {
	f.mu.Lock()
	defer f.mu.Unlock()
	stopping := make(chan struct{})
	f.stopping = stopping
	go func() {
		ticker := time.NewTicker(frameTime)
		defer ticker.Stop()
		last := time.Now()
		var canvases easel
		var shown *image.RGBA
		for {
			select {
			case <-stopping:
				return
			case <-ticker.C:
			}
			var p showPicture
			var space view.Space
			ok := false
			fyne.DoAndWait(func() {
				now := time.Now()
				p, space, ok = next(now.Sub(last))
				last = now
			})
			if !ok || space.Empty() {
				continue
			}
			c := canvases.canvas(space, shown)
			c.Reset()
			if p.picture(draw.New(c)) != nil {
				continue
			}
			fyne.DoAndWait(func() {
				select {
				case <-stopping:
				default:
					shown = c.Image()
					show(shown)
				}
			})
		}
	}()
}

// stop ends the film; the last picture stays.
func (f *film) stop() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.stopping != nil {
		close(f.stopping)
		f.stopping = nil
	}
}

// picture draws one picture; nil if there is nothing to draw.
func (f *film) picture(p showPicture, space view.Space) *image.RGBA {
	c := f.still.canvas(space, f.stillShown)
	c.Reset()
	if p.picture(draw.New(c)) != nil {
		return nil
	}
	f.stillShown = c.Image()
	return f.stillShown
}

// figure draws the figure; nil if there is nothing to draw.
func (f *film) figure(p showPicture, space view.Space) *image.RGBA {
	plot, err := plotting.ExperimentFigure(p.outcome, p.guess, p.answered, p.units, p.style)
	if err != nil {
		return nil
	}
	c := f.graph.canvas(space, f.shown)
	c.Clear(p.style.Background)
	plotting.Render(plot, c)
	f.shown = c.Image()
	return f.shown
}
