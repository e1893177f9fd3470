package electrostatics

import "math"

// What the charges on the surface of a tube, and on the sheet round it, do to each other.

// off says that a point is no node of a panel.
const off = -1

// nearest returns where on the panel, from 0 to 1, it is nearest to a point and how far
// that is, in m.
func (p *tubePanel) nearest(r, z float64) (place, distance float64) {
	along := ((r-p.r)*p.dr + (z-p.z)*p.dz) / (p.length * p.length)
	place = math.Min(math.Max(along, 0), 1)
	return place, math.Hypot(r-p.r-place*p.dr, z-p.z-place*p.dz)
}

// quadrature returns the points by which a panel is integrated as it is seen from
// (r, z), which may be one of its nodes. They hold until the next call. From afar they
// are nil: the nodes themselves do.
func (b *Bound) quadrature(p *tubePanel, r, z float64, node int) []tubePoint {
	cut, across := p.nearest(r, z)
	if across > tubeNear*p.length {
		return nil
	}
	b.points = b.points[:0]
	if node != off {
		cut, across = tubePlaces[node], 0
	}
	for _, side := range [2]float64{-cut, 1 - cut} {
		if side == 0 {
			continue
		}
		reach := math.Abs(side) * p.length
		stretch := 0.0
		if across > 0 {
			stretch = math.Asinh(reach / across)
		}
		for g, x := range nearPlaces {
			var s, weight float64
			if across > 0 {
				e := math.Exp(x * stretch)
				s, weight = across*(e-1/e)/2, across*(e+1/e)/2*stretch*nearWeights[g]
			} else {
				s, weight = reach*x*x*x, reach*3*x*x*nearWeights[g]
			}
			u := cut + math.Copysign(s, side)/p.length
			point := tubePoint{r: p.r + u*p.dr, z: p.z + u*p.dz, shape: tubeShape(u)}
			for k := range point.shape {
				point.shape[k] *= weight / (p.length * tubeWeights[k])
			}
			b.points = append(b.points, point)
		}
	}
	return b.points
}

// assemble sets up what the charges on the surface do to each other. Two panels far
// from each other are taken both ways at once.
func (b *Bound) assemble() {
	n := len(b.R)
	b.flux = room(b.flux, n*n)
	clear(b.flux)
	for p := range b.panels {
		for q := range p {
			b.pair(p, q)
		}
		b.see(p, p, 0, false)
		for _, m := range b.mirrors {
			for q := range b.panels {
				b.see(p, q, m.height, true)
			}
		}
	}
	for i := range n {
		row := b.flux[i*n : (i+1)*n]
		if b.planes != nil {
			nr, nz := b.Normal(i)
			for j := range row {
				_, dr, dz := b.far(b.R[j], b.Z[j], b.R[i], b.Z[i])
				row[j] -= nr*dr + nz*dz
			}
		}
		for j := range row {
			row[j] *= b.Drawn[i]
		}
	}
	if b.Closed {
		b.conserve()
	}
}

// pair adds what two panels do to each other, off the planes.
func (b *Bound) pair(p, q int) {
	pp, qq := &b.panels[p], &b.panels[q]
	reach := tubeNear * math.Max(pp.length, qq.length)
	r, z := pp.r+pp.dr/2, pp.z+pp.dz/2
	if _, distance := qq.nearest(r, z); distance-pp.length/2 < reach {
		b.see(p, q, 0, false)
		b.see(q, p, 0, false)
		return
	}
	n := len(b.R)
	for i := p * tubeOrder; i < (p+1)*tubeOrder; i++ {
		for j := q * tubeOrder; j < (q+1)*tubeOrder; j++ {
			_, da, dr, dz := ringPair(b.R[j], b.R[i], b.Z[i]-b.Z[j])
			b.flux[i*n+j] -= pp.normalR*dr + pp.normalZ*dz
			b.flux[j*n+i] -= qq.normalR*da - qq.normalZ*dz
		}
	}
}

// see adds the fields of panel q at the nodes of panel p, or of its image of opposite
// charge in a plane at the given height.
func (b *Bound) see(p, q int, height float64, mirrored bool) {
	n := len(b.R)
	nr, nz, sign := b.panels[p].normalR, b.panels[p].normalZ, 1.0
	if mirrored {
		// The image of the panel seen from the point is the panel seen from the
		// image of the point.
		nz, sign = -nz, -1
	}
	source := &b.panels[q]
	for i := p * tubeOrder; i < (p+1)*tubeOrder; i++ {
		r, z := b.R[i], b.Z[i]
		part := b.flux[i*n+q*tubeOrder : i*n+(q+1)*tubeOrder]
		node := off
		if mirrored {
			z = 2*height - z
			if _, distance := source.nearest(r, z); distance > tubeAfar*source.length {
				_, dr, dz := RingFieldUnchecked(source.r+source.dr/2, r, z-source.z-source.dz/2)
				for k := range part {
					part[k] -= sign * (nr*dr + nz*dz)
				}
				continue
			}
		} else if p == q {
			node = i - p*tubeOrder
		}
		points := b.quadrature(source, r, z, node)
		if points == nil {
			for k := range part {
				j := q*tubeOrder + k
				_, dr, dz := RingFieldUnchecked(b.R[j], r, z-b.Z[j])
				part[k] -= sign * (nr*dr + nz*dz)
			}
			continue
		}
		for _, point := range points {
			_, dr, dz := RingFieldUnchecked(point.r, r, z-point.z)
			field := sign * (nr*dr + nz*dz)
			for k, f := range point.shape {
				part[k] -= f * field
			}
		}
	}
}

// far returns potential and gradient of the images beyond the two mirrors.
func (b *Bound) far(a, zs, r, z float64) (phi, dr, dz float64) {
	phi = b.planes.ImagePotential(a, zs, r, z)
	dr, dz = b.planes.ImageGradient(a, zs, r, z)
	for _, m := range b.mirrors {
		v, vr, vz := RingFieldUnchecked(a, r, z+zs-2*m.height)
		phi, dr, dz = phi+v, dr+vr, dz+vz
	}
	return phi, dr, dz
}

// meetSheet sets up what sheet and surface do to each other.
func (b *Bound) meetSheet() {
	n, size := len(b.R), b.OnSheet
	for _, v := range []*[]float64{&b.Potential, &b.Flux, &b.Axial, &b.Radial} {
		*v = room(*v, n*size)
		clear(*v)
	}
	for i := range n {
		r, z := b.R[i], b.Z[i]
		nr, nz := b.Normal(i)
		for p := range b.sheet {
			at := i*size + p*tubeOrder
			add := func(image, sign float64) {
				// From the sheet to the node, or to its image.
				points := b.quadrature(&b.sheet[p], r, image, off)
				for q := range points {
					point := &points[q]
					phi, da, dr, dz := ringPair(point.r, r, image-point.z)
					for k, f := range point.shape {
						f *= sign
						b.Potential[at+k] += f * phi
						b.Flux[at+k] -= f * (nr*dr + sign*nz*dz)
						b.Radial[at+k] -= f * da
						b.Axial[at+k] += f * dz
					}
				}
				if points != nil {
					return
				}
				for k, u := range tubePlaces {
					phi, da, dr, dz := ringPair(b.sheet[p].r, r, image-b.sheet[p].z-u*b.sheet[p].dz)
					b.Potential[at+k] += sign * phi
					b.Flux[at+k] -= sign * (nr*dr + sign*nz*dz)
					b.Radial[at+k] -= sign * da
					b.Axial[at+k] += sign * dz
				}
			}
			add(z, 1)
			for _, m := range b.mirrors {
				add(2*m.height-z, m.sign)
			}
			if b.planes != nil {
				for k, u := range tubePlaces {
					a, zs := b.sheet[p].r, b.sheet[p].z+u*b.sheet[p].dz
					phi, dr, dz := b.far(a, zs, r, z)
					b.Potential[at+k] += phi
					b.Flux[at+k] -= nr*dr + nz*dz
					_, dr, dz = b.far(r, z, a, zs)
					b.Radial[at+k] -= dr
					b.Axial[at+k] -= dz
				}
			}
		}
		for k := range size {
			b.Flux[i*size+k] *= b.Drawn[i]
		}
	}
}

// lay sets up what charge laid upon the surface, of the radius outer, does, less what
// its image of the given radius would.
func (b *Bound) lay(outer, image float64) {
	n, size := len(b.R), b.OnSheet
	for _, v := range []*[]float64{&b.Laid, &b.LaidAxial, &b.LaidRadial} {
		*v = room(*v, size*size)
		clear(*v)
	}
	for i := range size {
		own := &b.sheet[i/tubeOrder]
		r, z := own.r, own.z+tubePlaces[i%tubeOrder]*own.dz
		for p := range b.sheet {
			at := i*size + p*tubeOrder
			panel := b.sheet[p]
			// up is -1 where the point is an image of the sheet's.
			add := func(radius, z, sign, up float64) {
				panel.r = radius
				points := b.quadrature(&panel, r, z, off)
				for _, point := range points {
					phi, dr, dz := RingFieldUnchecked(point.r, r, z-point.z)
					for k, f := range point.shape {
						f *= sign
						b.Laid[at+k] += f * phi
						b.LaidAxial[at+k] -= up * f * dz
						b.LaidRadial[at+k] -= f * dr
					}
				}
				if points != nil {
					return
				}
				for k, u := range tubePlaces {
					phi, dr, dz := RingFieldUnchecked(radius, r, z-panel.z-u*panel.dz)
					b.Laid[at+k] += sign * phi
					b.LaidAxial[at+k] -= up * sign * dz
					b.LaidRadial[at+k] -= sign * dr
				}
			}
			add(outer, z, 1, 1)
			add(image, z, -1, 1)
			for _, m := range b.mirrors {
				add(outer, 2*m.height-z, m.sign, -1)
			}
			if b.planes != nil {
				for k, u := range tubePlaces {
					phi, dr, dz := b.far(outer, panel.z+u*panel.dz, r, z)
					b.Laid[at+k] += phi
					b.LaidAxial[at+k] -= dz
					b.LaidRadial[at+k] -= dr
				}
			}
		}
	}
	first := b.first * tubeOrder
	b.LaidFlux = room(b.LaidFlux, n*size)
	for i := range n {
		copy(b.LaidFlux[i*size:(i+1)*size], b.flux[i*n+first:])
	}
}

// conserve sets the diagonal of flux so that half of the lines of force of every
// charge on the surface go through it, by Gauss's law.
func (b *Bound) conserve() {
	n := len(b.R)
	sum := room(b.matrix, n)
	b.matrix = sum
	clear(sum)
	for i := range n {
		for j, v := range b.flux[i*n : (i+1)*n] {
			sum[j] += v
		}
	}
	for j := range n {
		b.flux[j*n+j] += 0.5 - sum[j]
	}
}
