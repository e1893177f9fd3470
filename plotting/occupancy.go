package plotting

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// occupancy knows which small squares of a frame have something drawn on them,
// so that words find room. Fill it by line and disc first; the first question
// sums it up.
type occupancy struct {
	frame  vg.Rectangle
	cell   vg.Length
	nx, ny int
	// The number of marked squares below and to the left of every corner,
	// (nx+1)×(ny+1), by rows; before it is summed, a mark above and to the right
	// of the corner it belongs to.
	sums   []int32
	summed bool
}

// newOccupancy returns an empty one for words of a size of type.
func newOccupancy(frame vg.Rectangle, typeSize vg.Length) *occupancy {
	size := frame.Size()
	o := &occupancy{frame: frame, cell: typeSize / 4}
	o.nx = max(1, int(math.Ceil(float64(size.X/o.cell))))
	o.ny = max(1, int(math.Ceil(float64(size.Y/o.cell))))
	o.sums = make([]int32, (o.nx+1)*(o.ny+1))
	return o
}

// mark marks the square that holds p, if one does.
func (o *occupancy) mark(p vg.Point) {
	i := int(math.Floor(float64((p.X - o.frame.Min.X) / o.cell)))
	j := int(math.Floor(float64((p.Y - o.frame.Min.Y) / o.cell)))
	if i >= 0 && i < o.nx && j >= 0 && j < o.ny {
		o.sums[(j+1)*(o.nx+1)+i+1] = 1
	}
}

// line marks what a line of some width covers.
func (o *occupancy) line(points []vg.Point, width vg.Length) {
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		along := q.Sub(p)
		length := math.Hypot(float64(along.X), float64(along.Y))
		// Steps of less than half a square jump over nothing but a corner.
		n := math.Ceil(length / float64(o.cell) * 2.5)
		for k := 0.0; k <= n; k++ {
			at := p.Add(along.Scale(vg.Length(k / math.Max(n, 1))))
			o.mark(at)
			if width > o.cell/2 && length > 0 {
				aside := vg.Point{X: -along.Y, Y: along.X}.Scale(width / 2 / vg.Length(length))
				o.mark(at.Add(aside))
				o.mark(at.Sub(aside))
			}
		}
	}
}

// disc marks what a disc covers.
func (o *occupancy) disc(centre vg.Point, radius vg.Length) {
	for y := -radius; y <= radius; y += o.cell / 2 {
		for x := -radius; x <= radius; x += o.cell / 2 {
			o.mark(centre.Add(vg.Point{X: x, Y: y}))
		}
	}
}

// count returns how many marked squares a rectangle touches.
func (o *occupancy) count(r vg.Rectangle) int {
	if !o.summed {
		o.sum()
	}
	clamp := func(v float64, n int) int { return int(math.Max(0, math.Min(float64(n), v))) }
	i0 := clamp(math.Floor(float64((r.Min.X-o.frame.Min.X)/o.cell)), o.nx)
	i1 := clamp(math.Ceil(float64((r.Max.X-o.frame.Min.X)/o.cell)), o.nx)
	j0 := clamp(math.Floor(float64((r.Min.Y-o.frame.Min.Y)/o.cell)), o.ny)
	j1 := clamp(math.Ceil(float64((r.Max.Y-o.frame.Min.Y)/o.cell)), o.ny)
	w := o.nx + 1
	return int(o.sums[j1*w+i1] - o.sums[j1*w+i0] - o.sums[j0*w+i1] + o.sums[j0*w+i0])
}

func (o *occupancy) sum() {
	w := o.nx + 1
	for j := 1; j <= o.ny; j++ {
		var row int32
		for i := 1; i <= o.nx; i++ {
			row += o.sums[j*w+i]
			o.sums[j*w+i] = row + o.sums[(j-1)*w+i]
		}
	}
	o.summed = true
}

// crowd returns the share of a rectangle that is marked, 0 to 1.
func (o *occupancy) crowd(r vg.Rectangle) float64 {
	size := r.Size()
	squares := float64(size.X/o.cell) * float64(size.Y/o.cell)
	return float64(o.count(r)) / math.Max(1, squares)
}
