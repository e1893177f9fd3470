package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// note is a few words that look for a place on the figure.
type note struct {
	texts  []string // from the fullest to the shortest that still says it
	font   font.Font
	color  color.Color
	places func(text block, page pageMap) []place
	leader func(page pageMap) []vg.Point // a short line drawn with it; nil: none
	of     func(page pageMap) bool       // what it is about is in the frame, or it is not written; nil: always

	// What becomes of it where nothing fits.
	elsewhere func(text block, page pageMap) []place // is tried next; nil: nothing is
	curve     *curve                                 // stands in the legend beside a sample of its line
	must      bool                                   // covers what is least in the way
	group     int                                    // goes with all others of its group; 0: alone
	late      bool                                   // chooses its place after the names of the curves
}

// ofPoint is a note about a point of the data.
func ofPoint(x, y float64) func(pageMap) bool {
	return func(page pageMap) bool { return page.sees(page.at(x, y)) }
}

// ofLine is a note about a straight line between two points.
func ofLine(x0, y0, x1, y1 float64) func(pageMap) bool {
	return func(page pageMap) bool { return len(page.seen([]vg.Point{page.at(x0, y0), page.at(x1, y1)})) > 0 }
}

// ofArea is a note about a stretch of the x axis.
func ofArea(a area) func(pageMap) bool {
	return func(page pageMap) bool { return page.x(a.to) > page.Min.X && page.x(a.from) < page.Max.X }
}

// place is where a note could stand.
type place struct {
	centre vg.Point
	cost   float64 // how much worse than the best, 1 being a clear nuisance
	above  bool    // of the line it belongs to
}

// Room that words keep, in parts of their size of type.
const (
	noteGap    = 0.45 // from the line or dot they belong to
	noteMargin = 0.25 // from everything else
	noteView   = 1.6  // how far round them it should be empty
)

// lowFrame is the height of a frame, in type sizes, under which words are left
// out rather than forced in.
const lowFrame = 5.5

// crowdCost weighs emptiness against a note's own wishes: a place whose
// surroundings are a tenth full is as bad as a clear nuisance.
const crowdCost = 10

// write puts every note on the page where there is room for it.
func (f *figure) write(c draw.Canvas, notes []note, busy *occupancy, page pageMap) {
	var taken []vg.Rectangle
	put := func(n note, text block, box vg.Rectangle) {
		if n.leader != nil {
			strokeLine(c, n.leader(page), f.style.GuideWidth, f.style.Axis, nil)
		}
		c.SetColor(n.color)
		text.draw(c, box.Min, 0.5)
		taken = append(taken, box)
	}
	// In a low frame what finds no room is left out: covering a curve or listing
	// its name would hide more than it tells.
	low := page.Size().Y < lowFrame*f.style.LabelSize
	var legend []note
	for i := 0; i < len(notes); i++ {
		n := notes[i]
		if n.group != 0 {
			members := 1
			for i+members < len(notes) && notes[i+members].group == n.group {
				members++
			}
			f.writeGroup(notes[i:i+members], busy, page, taken, put)
			i += members - 1
			continue
		}
		text, box, ok := settle(n, busy, page, taken)
		switch {
		case ok:
			put(n, text, box)
		case low:
		case n.curve != nil:
			legend = append(legend, n)
		case n.must:
			text, box = leastInTheWay(n, busy, page, taken)
			c.SetColor(faded(f.style.Background, 0.85))
			c.Fill(box.Path())
			put(n, text, box)
		}
	}
	f.legend(c, legend, busy, page, taken)
}

// writeGroup puts notes that say something only together: all of them or none.
func (f *figure) writeGroup(notes []note, busy *occupancy, page pageMap, taken []vg.Rectangle, put func(note, block, vg.Rectangle)) {
	texts, boxes := make([]block, len(notes)), make([]vg.Rectangle, len(notes))
	taken = taken[:len(taken):len(taken)]
	for i, n := range notes {
		var ok bool
		if texts[i], boxes[i], ok = settle(n, busy, page, taken); !ok {
			return
		}
		taken = append(taken, boxes[i])
	}
	for i, n := range notes {
		put(n, texts[i], boxes[i])
	}
}

// settle returns the best free place for the fullest text that fits.
func settle(n note, busy *occupancy, page pageMap, taken []vg.Rectangle) (block, vg.Rectangle, bool) {
	margin := n.font.Size * noteMargin
	for _, places := range []func(block, pageMap) []place{n.places, n.elsewhere} {
		if places == nil {
			continue
		}
		for _, txt := range n.texts {
			text := newBlock(txt, n.font)
			size := text.size()
			best, lowest := vg.Rectangle{}, math.Inf(1)
			for _, p := range places(text, page) {
				box := centred(p.centre, size)
				if p.cost >= lowest || !within(grown(box, margin/2), page.Rectangle) || meets(grown(box, margin), taken) || busy.count(grown(box, margin)) > 0 {
					continue
				}
				if cost := p.cost + crowdCost*busy.crowd(grown(box, n.font.Size*noteView)); cost < lowest {
					best, lowest = box, cost
				}
			}
			if !math.IsInf(lowest, 1) {
				return text, best, true
			}
		}
	}
	return block{}, vg.Rectangle{}, false
}

// leastInTheWay returns where the shortest text covers least.
func leastInTheWay(n note, busy *occupancy, page pageMap, taken []vg.Rectangle) (block, vg.Rectangle) {
	text := newBlock(n.texts[len(n.texts)-1], n.font)
	size := text.size()
	places := n.places(text, page)
	if n.elsewhere != nil {
		places = append(places, n.elsewhere(text, page)...)
	}
	if len(places) == 0 {
		places = anywhere(page.Rectangle, size)
	}
	best, lowest := vg.Rectangle{}, math.Inf(1)
	for _, p := range places {
		box := pushedInto(centred(p.centre, size), page.Rectangle)
		cost := p.cost + crowdCost*busy.crowd(box)
		if meets(box, taken) {
			cost += 2 * crowdCost
		}
		if cost < lowest {
			best, lowest = box, cost
		}
	}
	return text, best
}

// legend lists the curves that found no room beside themselves, in the emptiest
// part of the frame.
func (f *figure) legend(c draw.Canvas, entries []note, busy *occupancy, page pageMap, taken []vg.Rectangle) {
	if len(entries) == 0 {
		return
	}
	size := f.style.LabelSize
	sample, row := 2.2*size, 1.35*size
	var best vg.Rectangle
	var texts []string
	for _, short := range []bool{false, true} {
		texts = texts[:0]
		box := vg.Point{Y: row * vg.Length(len(entries))}
		for _, e := range entries {
			text := e.texts[0]
			if short {
				text = e.texts[len(e.texts)-1]
			}
			texts = append(texts, text)
			box.X = max(box.X, sample+0.5*size+newBlock(text, e.font).size().X)
		}
		lowest := math.Inf(1)
		for _, p := range anywhere(page.Rectangle, box) {
			r := pushedInto(centred(p.centre, box), page.Rectangle)
			cost := p.cost + crowdCost*busy.crowd(r)
			if meets(r, taken) {
				cost += 2 * crowdCost
			}
			if cost < lowest {
				best, lowest = r, cost
			}
		}
		if lowest == 0 {
			break
		}
	}
	c.SetColor(faded(f.style.Background, 0.85))
	c.Fill(best.Path())
	for i, e := range entries {
		y := best.Max.Y - row*(vg.Length(i)+0.5)
		strokeLine(c, []vg.Point{{X: best.Min.X, Y: y}, {X: best.Min.X + sample, Y: y}}, e.curve.width, e.curve.color, e.curve.dash)
		text := newBlock(texts[i], e.font)
		c.SetColor(e.color)
		text.draw(c, vg.Point{X: best.Min.X + sample + 0.5*size, Y: y - text.size().Y/2}, 0)
	}
}

// alongCurve is the name of a curve, set beside it on the side away from its
// companion if it can be.
func alongCurve(k curve, line []vg.Point, style Style) note {
	legend := &k
	if k.alone {
		legend = nil // the title names it
	}
	near := beside(line, 0.7, nearby)
	return note{
		texts: k.names,
		font:  sans(style.LabelSize),
		color: k.color,
		places: func(text block, page pageMap) []place {
			places := near(text, page)
			for i := range places {
				if places[i].above == k.lower {
					places[i].cost += wrongSide
				}
			}
			return places
		},
		curve: legend,
	}
}

// wrongSide is what it costs to stand between two curves.
const wrongSide = 0.4

// Distances, in parts of the gap that words keep from their line, at which they
// may stand. Far from it only words do that could belong to nothing else.
var (
	nearby  = []vg.Length{0, 0.5, 1.2}
	farther = []vg.Length{0, 0.5, 1.2, 2.5, 4}
)

// farCost is what each step away costs.
const farCost = 0.15

// beside returns places on both sides of a line at some distances, the better the
// nearer to a part of its way inside the frame.
func beside(line []vg.Point, favourite float64, distances []vg.Length) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		const steps = 40
		type spot struct{ at, along vg.Point }
		var spots []spot
		var total vg.Length
		pieces := page.seen(line)
		for _, piece := range pieces {
			for i := 1; i < len(piece); i++ {
				total += distance(piece[i-1], piece[i])
			}
		}
		if total == 0 {
			return nil
		}
		step := total / steps
		next := step / 2
		for _, piece := range pieces {
			for i := 1; i < len(piece); i++ {
				p, q := piece[i-1], piece[i]
				length := distance(p, q)
				for next < length {
					at := p.Add(q.Sub(p).Scale(next / length))
					spots = append(spots, spot{at, q.Sub(p).Scale(1 / length)})
					next += step
				}
				next -= length
			}
		}
		places := make([]place, 0, 2*len(distances)*len(spots))
		for i, s := range spots {
			t := (float64(i) + 0.5) / float64(len(spots))
			for _, side := range []vg.Length{1, -1} {
				normal := vg.Point{X: -s.along.Y * side, Y: s.along.X * side}
				for i, off := range distances {
					from := s.at.Add(normal.Scale(off * noteGap * text.font.Size))
					places = append(places, place{
						centre: leaning(from, normal, text),
						cost:   math.Abs(t-favourite) + farCost*float64(i),
						above:  normal.Y > 0,
					})
				}
			}
		}
		return places
	}
}

// about returns places round a dot, best to the lower right and nearest.
func about(x, y float64, radius vg.Length) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		at := page.at(x, y)
		var places []place
		for ring := range 6 {
			for _, d := range []struct{ angle, cost float64 }{
				{-30, 0}, {-55, 0.05}, {30, 0.1}, {55, 0.1}, {0, 0.15}, {-90, 0.15},
				{90, 0.15}, {-125, 0.15}, {125, 0.15}, {-150, 0.2}, {150, 0.2}, {180, 0.25},
			} {
				sin, cos := math.Sincos(d.angle * math.Pi / 180)
				out := vg.Point{X: vg.Length(cos), Y: vg.Length(sin)}
				start := at.Add(out.Scale(radius + vg.Length(ring)*0.7*text.font.Size))
				places = append(places, place{centre: leaning(start, out, text), cost: d.cost + 0.25*float64(ring)})
			}
		}
		return places
	}
}

// aboveDot returns the places above a dot.
func aboveDot(x, y float64, radius vg.Length) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		at := page.at(x, y)
		var places []place
		for ring := range 3 {
			for _, d := range []struct{ angle, cost float64 }{{90, 0}, {120, 0.1}, {145, 0.3}} {
				if ring > 0 && d.angle > 120 {
					continue // it would seem to belong to the dot before
				}
				sin, cos := math.Sincos(d.angle * math.Pi / 180)
				out := vg.Point{X: vg.Length(cos), Y: vg.Length(sin)}
				start := at.Add(out.Scale(radius + vg.Length(ring)*0.25*text.font.Size))
				places = append(places, place{centre: leaning(start, out, text), cost: d.cost + farCost*float64(ring)})
			}
		}
		return places
	}
}

// inside returns places in a part of the frame, best at the top.
func inside(a area) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		r := page.stretch(a)
		var places []place
		size := text.size()
		for _, p := range anywhere(r, size) {
			if !within(centred(p.centre, size), r) {
				continue
			}
			fallen := float64((r.Max.Y - p.centre.Y) / r.Size().Y)
			aside := math.Abs(float64((p.centre.X - (r.Min.X+r.Max.X)/2) / r.Size().X))
			places = append(places, place{centre: p.centre, cost: 0.5*fallen + aside})
		}
		return places
	}
}

// anywhere returns places spread evenly over a rectangle.
func anywhere(r vg.Rectangle, size vg.Point) []place {
	const n = 9
	room := r.Size().Sub(size)
	var places []place
	for i := range n {
		for j := range n {
			places = append(places, place{centre: vg.Point{
				X: r.Min.X + size.X/2 + room.X*vg.Length(i)/(n-1),
				Y: r.Min.Y + size.Y/2 + room.Y*vg.Length(j)/(n-1),
			}})
		}
	}
	return places
}

// leaning returns the centre of text that leans, at a gap, on the line through p
// at right angles to out.
func leaning(p, out vg.Point, text block) vg.Point {
	size := text.size()
	reach := max(out.X, -out.X)*size.X/2 + max(out.Y, -out.Y)*size.Y/2 + text.font.Size*noteGap
	return p.Add(out.Scale(reach))
}

func distance(p, q vg.Point) vg.Length {
	return vg.Length(math.Hypot(float64(q.X-p.X), float64(q.Y-p.Y)))
}

func centred(at, size vg.Point) vg.Rectangle {
	half := size.Scale(0.5)
	return vg.Rectangle{Min: at.Sub(half), Max: at.Add(half)}
}

func grown(r vg.Rectangle, by vg.Length) vg.Rectangle {
	d := vg.Point{X: by, Y: by}
	return vg.Rectangle{Min: r.Min.Sub(d), Max: r.Max.Add(d)}
}

func within(r, frame vg.Rectangle) bool {
	return r.Min.X >= frame.Min.X && r.Min.Y >= frame.Min.Y && r.Max.X <= frame.Max.X && r.Max.Y <= frame.Max.Y
}

// pushedInto returns the rectangle shifted into the frame.
func pushedInto(r, frame vg.Rectangle) vg.Rectangle {
	shift := vg.Point{
		X: max(0, frame.Min.X-r.Min.X) - max(0, r.Max.X-frame.Max.X),
		Y: max(0, frame.Min.Y-r.Min.Y) - max(0, r.Max.Y-frame.Max.Y),
	}
	return r.Add(shift)
}

func meets(r vg.Rectangle, others []vg.Rectangle) bool {
	for _, o := range others {
		if r.Min.X < o.Max.X && o.Min.X < r.Max.X && r.Min.Y < o.Max.Y && o.Min.Y < r.Max.Y {
			return true
		}
	}
	return false
}
