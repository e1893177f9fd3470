// Package affine holds the map from drawing to page that the canvases of
// plotting keep while a drawing shifts, turns and scales its coordinates.
package affine

import "math"

// Map takes (x, y) to (XX·x + XY·y + X0, YX·x + YY·y + Y0).
type Map struct {
	XX, XY, X0 float64
	YX, YY, Y0 float64
}

// Identity is the map that changes nothing.
var Identity = Map{XX: 1, YY: 1}

// Apply returns where the map takes (x, y).
func (m Map) Apply(x, y float64) (float64, float64) {
	return m.XX*x + m.XY*y + m.X0, m.YX*x + m.YY*y + m.Y0
}

// Translate returns the map that shifts by (dx, dy) and then does as m.
func (m Map) Translate(dx, dy float64) Map {
	m.X0, m.Y0 = m.Apply(dx, dy)
	return m
}

// Rotate returns the map that turns by angle, in radians counter-clockwise
// about the origin, and then does as m.
func (m Map) Rotate(angle float64) Map {
	sin, cos := math.Sincos(angle)
	return Map{
		XX: m.XX*cos + m.XY*sin, XY: m.XY*cos - m.XX*sin, X0: m.X0,
		YX: m.YX*cos + m.YY*sin, YY: m.YY*cos - m.YX*sin, Y0: m.Y0,
	}
}

// Scale returns the map that scales by x and y about the origin and then does
// as m.
func (m Map) Scale(x, y float64) Map {
	m.XX, m.YX = m.XX*x, m.YX*x
	m.XY, m.YY = m.XY*y, m.YY*y
	return m
}

// Magnification is by how much the map enlarges lengths: the root of how much
// it enlarges areas.
func (m Map) Magnification() float64 {
	return math.Sqrt(math.Abs(m.XX*m.YY - m.XY*m.YX))
}
