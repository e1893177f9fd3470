package electrostatics

import (
	"math"
	"slices"
)

// Polarised is the bound charge of a [Tube] at one state of the coil, by the panels
// of a [Bound]. It never changes.
type Polarised struct {
	panels []tubePanel
	charge []float64 // C, by node
}

// Polarised returns the charge in C on every node as one that outlives b.
func (b *Bound) Polarised(charge []float64) Polarised {
	if len(charge) != b.Nodes() {
		panic("electrostatics: one charge per node is needed")
	}
	return Polarised{slices.Clone(b.panels), slices.Clone(charge)}
}

// leastOfPanel is how many rings stand for a panel at least.
const leastOfPanel = 2

// Rings calls add with the radius and height in m and the charge in C of coaxial rings
// that stand for the charge, and whether they lie on a face. They lie at most spacing apart, in m, and have the charge
// of their stretch of the panel by a rule of two nodes, which the polynomials obey to
// rounding. At a distance of one spacing from the surface rings differ from a sheet
// by exp(-2π), 0.2 % of their own field.
func (p *Polarised) Rings(spacing float64, add func(radius, height, charge float64, face bool)) {
	const node = 0.28867513459481287 // 1/√12: Gauss's, off the middle over the length
	for at := range p.panels {
		panel := &p.panels[at]
		charge := p.charge[at*tubeOrder : (at+1)*tubeOrder]
		density := func(u float64) float64 {
			sum := 0.0
			for k, f := range tubeShape(u) {
				sum += f * charge[k] / tubeWeights[k]
			}
			return sum
		}
		rings := max(leastOfPanel, int(math.Ceil(panel.length/spacing)))
		width := 1 / float64(rings)
		for i := range rings {
			u := (float64(i) + 0.5) * width
			add(panel.r+u*panel.dr, panel.z+u*panel.dz, (density(u-node*width)+density(u+node*width))/2*width, panel.dr != 0)
		}
	}
}

// Total returns the net charge in C: nothing for a body that stands free.
func (p *Polarised) Total() float64 {
	sum := 0.0
	for _, q := range p.charge {
		sum += q
	}
	return sum
}
