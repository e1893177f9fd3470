package driver

import "math/cmplx"

// magnitude returns |Σ c exp(s t)|.
func magnitude(s, c []complex128, t float64) float64 {
	var sum complex128
	for i := range s {
		sum += c[i] * cmplx.Exp(s[i]*complex(t, 0))
	}
	return cmplx.Abs(sum)
}

// solve4 solves four complex equations whose right side is the last column; ok
// is false if they do not determine the unknowns.
func solve4(a [4][5]complex128) (x [4]complex128, ok bool) {
	for k := range 4 {
		pivot := k
		for i := k + 1; i < 4; i++ {
			if cmplx.Abs(a[i][k]) > cmplx.Abs(a[pivot][k]) {
				pivot = i
			}
		}
		a[k], a[pivot] = a[pivot], a[k]
		const singular = 1e-12 // of unit vectors
		if cmplx.Abs(a[k][k]) < singular {
			return x, false
		}
		for i := k + 1; i < 4; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 5; j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	for k := 3; k >= 0; k-- {
		sum := a[k][4]
		for j := k + 1; j < 4; j++ {
			sum -= a[k][j] * x[j]
		}
		x[k] = sum / a[k][k]
	}
	return x, true
}
