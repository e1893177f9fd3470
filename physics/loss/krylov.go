package loss

import (
	"math"
	"math/cmplx"
)

// mostSteps bounds the steps of krylov.solve. 450 turns of wire 4 skin depths thick take
// 6 to 12, touching wires 200 thick 46.
const mostSteps = 80

// krylov solves complex linear systems by the generalised minimal residual method
// without restart, preconditioned from the left. gonum has no complex solver.
//
// Source: Saad and Schultz, SIAM Journal on Scientific and Statistical Computing 7 (1986)
// 856.
type krylov struct {
	basis      [][]complex128
	hessenberg []complex128 // (mostSteps+1)×mostSteps
	right      []complex128
	cos        []float64
	sin        []complex128
}

// solve sets x to the solution of apply(x) = b and returns the residual over the
// right side, both preconditioned. It stops at the tolerance or after mostSteps.
func (k *krylov) solve(x, b []complex128, apply func(y, x []complex128), precondition func(v []complex128), tolerance float64) float64 {
	clear(x)
	k.right = resize(k.right, mostSteps+1)
	k.hessenberg = resize(k.hessenberg, (mostSteps+1)*mostSteps)
	k.cos, k.sin = resize(k.cos, mostSteps), resize(k.sin, mostSteps)
	v := k.vector(0, len(x))
	copy(v, b)
	precondition(v)
	start := norm(v)
	if start == 0 {
		return 0
	}
	scale(v, 1/start)
	clear(k.right)
	k.right[0] = complex(start, 0)
	steps, residual := 0, 1.0
	for steps < mostSteps && residual > tolerance {
		w := k.vector(steps+1, len(x))
		apply(w, k.basis[steps])
		precondition(w)
		for i := range steps + 1 {
			h := inner(k.basis[i], w)
			k.hessenberg[i*mostSteps+steps] = h
			for j, value := range k.basis[i] {
				w[j] -= h * value
			}
		}
		size := norm(w)
		for i := range steps {
			a, c := k.hessenberg[i*mostSteps+steps], k.hessenberg[(i+1)*mostSteps+steps]
			k.hessenberg[i*mostSteps+steps] = complex(k.cos[i], 0)*a + k.sin[i]*c
			k.hessenberg[(i+1)*mostSteps+steps] = -cmplx.Conj(k.sin[i])*a + complex(k.cos[i], 0)*c
		}
		a := k.hessenberg[steps*mostSteps+steps]
		whole := math.Hypot(cmplx.Abs(a), size)
		if whole == 0 {
			break
		}
		if abs := cmplx.Abs(a); abs > 0 {
			k.cos[steps] = abs / whole
			k.sin[steps] = a / complex(abs, 0) * complex(size/whole, 0)
			k.hessenberg[steps*mostSteps+steps] = a / complex(abs, 0) * complex(whole, 0)
		} else {
			k.cos[steps], k.sin[steps] = 0, 1
			k.hessenberg[steps*mostSteps+steps] = complex(size, 0)
		}
		k.right[steps+1] = -cmplx.Conj(k.sin[steps]) * k.right[steps]
		k.right[steps] *= complex(k.cos[steps], 0)
		steps++
		residual = cmplx.Abs(k.right[steps]) / start
		if size == 0 {
			break
		}
		scale(w, 1/size)
	}
	for i := steps - 1; i >= 0; i-- {
		y := k.right[i]
		for j := i + 1; j < steps; j++ {
			y -= k.hessenberg[i*mostSteps+j] * k.right[j]
		}
		y /= k.hessenberg[i*mostSteps+i]
		k.right[i] = y
		for j, value := range k.basis[i] {
			x[j] += y * value
		}
	}
	return residual
}

// vector returns the i-th vector of the basis, with room for n values.
func (k *krylov) vector(i, n int) []complex128 {
	for len(k.basis) <= i {
		k.basis = append(k.basis, nil)
	}
	k.basis[i] = resize(k.basis[i], n)
	return k.basis[i]
}

func norm(v []complex128) float64 {
	sum := 0.0
	for _, z := range v {
		sum += real(z)*real(z) + imag(z)*imag(z)
	}
	return math.Sqrt(sum)
}

func inner(a, b []complex128) complex128 {
	re, im := 0.0, 0.0
	for i, z := range a {
		re += real(z)*real(b[i]) + imag(z)*imag(b[i])
		im += real(z)*imag(b[i]) - imag(z)*real(b[i])
	}
	return complex(re, im)
}

func scale(v []complex128, by float64) {
	for i, z := range v {
		v[i] = complex(by*real(z), by*imag(z))
	}
}

// factorize replaces the n×n matrix a by its triangular factors with row pivoting.
// It reports whether the matrix is regular.
func factorize(a []complex128, pivot []int, n int) bool {
	for k := range n {
		best := k
		for i := k + 1; i < n; i++ {
			if cmplx.Abs(a[i*n+k]) > cmplx.Abs(a[best*n+k]) {
				best = i
			}
		}
		pivot[k] = best
		if best != k {
			for j := range n {
				a[k*n+j], a[best*n+j] = a[best*n+j], a[k*n+j]
			}
		}
		head := a[k*n+k]
		if head == 0 || cmplx.IsNaN(head) {
			return false
		}
		for i := k + 1; i < n; i++ {
			factor := a[i*n+k] / head
			a[i*n+k] = factor
			for j := k + 1; j < n; j++ {
				a[i*n+j] -= factor * a[k*n+j]
			}
		}
	}
	return true
}

// solveFactored solves for the right side x in place, with the factors of factorize.
func solveFactored(a []complex128, pivot []int, n int, x []complex128) {
	for k := range n {
		x[k], x[pivot[k]] = x[pivot[k]], x[k]
	}
	for i := range n {
		for j := range i {
			x[i] -= a[i*n+j] * x[j]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			x[i] -= a[i*n+j] * x[j]
		}
		x[i] /= a[i*n+i]
	}
}
