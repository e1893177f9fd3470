package driver

// solvePorts solves the m×m system whose right side is the last column, by
// elimination with row exchange; the solution replaces that column. It reports
// whether the system had one.
func solvePorts(a *[maxPorts][maxPorts + 1]float64, m int) bool {
	switch m {
	case 2:
		det := a[0][0]*a[1][1] - a[0][1]*a[1][0]
		if det == 0 {
			return false
		}
		b0, b1 := a[0][maxPorts]/det, a[1][maxPorts]/det
		a[0][maxPorts], a[1][maxPorts] = b0*a[1][1]-b1*a[0][1], b1*a[0][0]-b0*a[1][0]
		return true
	case 3:
		return solveThree(a)
	case 4:
		return solveFour(a)
	}
	for k := range m {
		pivot, best := k, abs(a[k][k])
		for i := k + 1; i < m; i++ {
			if v := abs(a[i][k]); v > best {
				pivot, best = i, v
			}
		}
		if !(best > 0) {
			return false
		}
		if pivot != k {
			a[k], a[pivot] = a[pivot], a[k]
		}
		inverse := 1 / a[k][k]
		for i := k + 1; i < m; i++ {
			f := a[i][k] * inverse
			if f == 0 {
				continue
			}
			for j := k + 1; j < m; j++ {
				a[i][j] -= f * a[k][j]
			}
			a[i][maxPorts] -= f * a[k][maxPorts]
		}
	}
	for k := m - 1; k >= 0; k-- {
		s := a[k][maxPorts]
		for j := k + 1; j < m; j++ {
			s -= a[k][j] * a[j][maxPorts]
		}
		a[k][maxPorts] = s / a[k][k]
	}
	return true
}

// solveThree solves three equations by Cramer's rule. Close to singular it loses
// digits, but the iteration that it serves corrects them.
func solveThree(a *[maxPorts][maxPorts + 1]float64) bool {
	p, q, r := &a[0], &a[1], &a[2]
	m0 := q[1]*r[2] - q[2]*r[1]
	m1 := q[2]*r[0] - q[0]*r[2]
	m2 := q[0]*r[1] - q[1]*r[0]
	det := p[0]*m0 + p[1]*m1 + p[2]*m2
	if det == 0 {
		return false
	}
	d := 1 / det
	b0, b1, b2 := p[maxPorts]*d, q[maxPorts]*d, r[maxPorts]*d
	p[maxPorts] = b0*m0 + b1*(p[2]*r[1]-p[1]*r[2]) + b2*(p[1]*q[2]-p[2]*q[1])
	q[maxPorts] = b0*m1 + b1*(p[0]*r[2]-p[2]*r[0]) + b2*(p[2]*q[0]-p[0]*q[2])
	r[maxPorts] = b0*m2 + b1*(p[1]*r[0]-p[0]*r[1]) + b2*(p[0]*q[1]-p[1]*q[0])
	return true
}

// solveFour solves four equations in two pairs: the pair of the transistor's
// ports is taken out of the other two equations, which are then solved alone.
func solveFour(a *[maxPorts][maxPorts + 1]float64) bool {
	p, q, r, s := &a[0], &a[1], &a[2], &a[3]
	det := p[0]*q[1] - p[1]*q[0]
	if det == 0 {
		return false
	}
	d := 1 / det
	i00, i01, i10, i11 := q[1]*d, -p[1]*d, -q[0]*d, p[0]*d
	// rows p and q times the inverse of their left block
	p2, p3, pb := i00*p[2]+i01*q[2], i00*p[3]+i01*q[3], i00*p[maxPorts]+i01*q[maxPorts]
	q2, q3, qb := i10*p[2]+i11*q[2], i10*p[3]+i11*q[3], i10*p[maxPorts]+i11*q[maxPorts]
	r2, r3, rb := r[2]-r[0]*p2-r[1]*q2, r[3]-r[0]*p3-r[1]*q3, r[maxPorts]-r[0]*pb-r[1]*qb
	s2, s3, sb := s[2]-s[0]*p2-s[1]*q2, s[3]-s[0]*p3-s[1]*q3, s[maxPorts]-s[0]*pb-s[1]*qb
	det = r2*s3 - r3*s2
	if det == 0 {
		return false
	}
	d = 1 / det
	x2, x3 := (rb*s3-r3*sb)*d, (r2*sb-rb*s2)*d
	r[maxPorts], s[maxPorts] = x2, x3
	p[maxPorts], q[maxPorts] = pb-p2*x2-p3*x3, qb-q2*x2-q3*x3
	return true
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
