package driver

// solvePorts solves the m×m system whose right side is the last column, by
// elimination with row exchange; the solution replaces that column. It reports
// whether the system had one.
func solvePorts(a *[maxPorts][maxPorts + 1]float64, m int) bool {
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

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
