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

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
