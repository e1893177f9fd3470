package sheet

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
)

// vertex is a point in space in m.
type vertex struct{ X, Y, Z float64 }

// triangle has its corners anticlockwise as seen from outside.
type triangle [3]vertex

// Solid is a body as a closed surface of triangles, for a 3D printer.
type Solid struct {
	Name      string
	triangles []triangle
}

// terrace is a body that stands on the plane z = 0: cells of the plane, each
// filled up to a height of its own. Cells share corners, so that what they build
// is closed.
type terrace struct {
	corners []vertex // Z is 0
	cells   []cell
}

// cell is a convex polygon of corners, anticlockwise, and its height in m; its
// middle is filled from below.
type cell struct {
	corners []int
	height  float64
}

// corner adds one and returns its number.
func (t *terrace) corner(x, y float64) int {
	t.corners = append(t.corners, vertex{X: x, Y: y})
	return len(t.corners) - 1
}

// add adds a cell.
func (t *terrace) add(height float64, corners ...int) {
	t.cells = append(t.cells, cell{corners, height})
}

// solid returns the surface: the floor and the roof of every cell, and a wall
// where a cell is higher than its neighbour. Walls are cut at every height that
// occurs, so that edges meet edges only.
func (t *terrace) solid(name string) Solid {
	s := Solid{Name: name}
	levels := []float64{0}
	neighbour := map[[2]int]float64{} // height of the cell on the left of an edge
	for _, c := range t.cells {
		levels = append(levels, c.height)
		for i, a := range c.corners {
			neighbour[[2]int{a, c.corners[(i+1)%len(c.corners)]}] = c.height
		}
	}
	slices.Sort(levels)
	levels = slices.Compact(levels)
	for _, c := range t.cells {
		at := func(i int, z float64) vertex {
			v := t.corners[c.corners[i%len(c.corners)]]
			v.Z = z
			return v
		}
		for i := 1; i+1 < len(c.corners); i++ {
			s.triangles = append(s.triangles,
				triangle{at(0, c.height), at(i, c.height), at(i+1, c.height)},
				triangle{at(0, 0), at(i+1, 0), at(i, 0)})
		}
		for i, a := range c.corners {
			beyond := neighbour[[2]int{c.corners[(i+1)%len(c.corners)], a}]
			for n, low := range levels[:len(levels)-1] {
				high := levels[n+1]
				if high > c.height || low < beyond {
					continue
				}
				s.triangles = append(s.triangles,
					triangle{at(i, low), at(i+1, low), at(i+1, high)},
					triangle{at(i, low), at(i+1, high), at(i, high)})
			}
		}
	}
	return s
}

// moved returns the solid shifted in the plane by m.
func (s Solid) moved(x, y float64) Solid {
	out := Solid{Name: s.Name, triangles: make([]triangle, len(s.triangles))}
	for i, t := range s.triangles {
		for j, v := range t {
			out.triangles[i][j] = vertex{v.X + x, v.Y + y, v.Z}
		}
	}
	return out
}

// Volume returns the volume in m³ by the tetrahedra from the origin to every
// triangle; it is negative where the surface is inside out.
func (s Solid) Volume() float64 {
	sum := 0.0
	for _, t := range s.triangles {
		a, b, c := t[0], t[1], t[2]
		sum += a.X*(b.Y*c.Z-b.Z*c.Y) - a.Y*(b.X*c.Z-b.Z*c.X) + a.Z*(b.X*c.Y-b.Y*c.X)
	}
	return sum / 6
}

// Bounds returns the least and largest coordinates in m.
func (s Solid) Bounds() (low, high [3]float64) {
	for i := range low {
		low[i], high[i] = math.Inf(1), math.Inf(-1)
	}
	for _, t := range s.triangles {
		for _, v := range t {
			for i, x := range [3]float64{v.X, v.Y, v.Z} {
				low[i], high[i] = math.Min(low[i], x), math.Max(high[i], x)
			}
		}
	}
	return low, high
}

// normal returns the unit normal of a triangle, zero for one without area.
func (t triangle) normal() [3]float64 {
	u := [3]float64{t[1].X - t[0].X, t[1].Y - t[0].Y, t[1].Z - t[0].Z}
	v := [3]float64{t[2].X - t[0].X, t[2].Y - t[0].Y, t[2].Z - t[0].Z}
	n := [3]float64{u[1]*v[2] - u[2]*v[1], u[2]*v[0] - u[0]*v[2], u[0]*v[1] - u[1]*v[0]}
	length := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	if length == 0 {
		return [3]float64{}
	}
	return [3]float64{n[0] / length, n[1] / length, n[2] / length}
}

// millimetres is what a printer takes for a unit of the file.
const millimetres = 1e3

// WriteSTL writes solids as one binary STL file in millimetres, normals outward.
// The format, 50 bytes to the triangle, is public and has no owner.
func WriteSTL(to io.Writer, solids ...Solid) error {
	count := 0
	for _, s := range solids {
		count += len(s.triangles)
	}
	if count == 0 || count > math.MaxUint32 {
		return fmt.Errorf("sheet: a solid of %d triangles", count)
	}
	w := bufio.NewWriter(to)
	// A reader takes a file that begins with "solid" for the text form.
	var head [80]byte
	copy(head[:], "Coilwright, millimetres")
	put := func(data any) {
		// A write error stays with the writer until Flush tells it.
		_ = binary.Write(w, binary.LittleEndian, data)
	}
	put(head)
	put(uint32(count))
	for _, s := range solids {
		for _, t := range s.triangles {
			n := t.normal()
			record := [12]float32{float32(n[0]), float32(n[1]), float32(n[2])}
			for i, v := range t {
				for j, x := range [3]float64{v.X, v.Y, v.Z} {
					record[3+3*i+j] = float32(x * millimetres)
				}
			}
			put(record)
			put(uint16(0))
		}
	}
	return w.Flush()
}
