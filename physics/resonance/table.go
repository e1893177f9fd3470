package resonance

// table holds a kernel that depends on the difference or on the sum of two turn
// numbers alone, with running sums by which its sum over an element, straight or
// against a ramp, costs the same for one turn as for a hundred.
type table struct {
	value  []float64 // by difference or sum, shifted to start from 0
	sum    []float64 // sum[x] = Σ_(y<x) value[y]
	moment []float64 // moment[x] = Σ_(y<x) y value[y]
}

// directLength is the longest element summed term by term: on a short one the
// difference of running sums would lose digits and save nothing.
const directLength = 4

// reset makes room for n values, to be filled in before [table.prepare].
func (t *table) reset(n int) {
	t.value = resize(t.value, n)
	t.sum = resize(t.sum, n+1)
	t.moment = resize(t.moment, n+1)
}

// prepare forms the running sums.
func (t *table) prepare() {
	s, m := 0.0, 0.0
	for x, v := range t.value {
		t.sum[x], t.moment[x] = s, m
		s += v
		m += float64(x) * v
	}
	t.sum[len(t.value)], t.moment[len(t.value)] = s, m
}

// element returns the sums over the values from x to x+length-1 with the weights
// of the lower and of the upper knot, 1 - t/length and t/length.
func (t *table) element(x, length int) (lower, upper float64) {
	if length == 1 {
		return t.value[x], 0
	}
	if length <= directLength {
		step := 1 / float64(length)
		for i, v := range t.value[x : x+length] {
			w := float64(i) * step
			lower += (1 - w) * v
			upper += w * v
		}
		return lower, upper
	}
	all := t.sum[x+length] - t.sum[x]
	upper = (t.moment[x+length] - t.moment[x] - float64(x)*all) / float64(length)
	return all - upper, upper
}

// resize returns s with n elements, keeping its memory if that suffices. The
// contents are not kept.
func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, n+n/4)
	}
	return s[:n]
}
