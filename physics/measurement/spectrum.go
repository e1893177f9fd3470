package measurement

import (
	"math"
	"math/bits"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// periodogram returns |X_k|² of samples padded with zeros to twice a power of
// two at least as long, for k from 0 to half that size, and the size.
func periodogram(samples []float64) (power []float64, size int) {
	size = paddedSize(len(samples))
	padded := make([]float64, size)
	copy(padded, samples)
	fft := fourier.NewFFT(size)
	out := fft.Coefficients(nil, padded)
	power = make([]float64, len(out))
	for k, x := range out {
		a := cmplx.Abs(x)
		power[k] = a * a
	}
	return power, size
}

// paddedSize is the size of the transform that periodogram makes of n samples.
func paddedSize(n int) int { return 2 << bits.Len(uint(max(n-1, 1))) }

// meanOverMedian is the mean of an exponential distribution, as the powers of
// white noise have, over its median.
const meanOverMedian = 1 / math.Ln2

// prominence returns every power over the level around it: the mean that the
// median of its band of bins stands for.
func prominence(power []float64) []float64 {
	const band = 256 // bins, two per independent one
	out := make([]float64, len(power))
	sorted := make([]float64, 0, 2*band)
	for from := 0; from < len(power); from += band {
		to := from + band
		if len(power)-to < band {
			to = len(power)
		}
		sorted = append(sorted[:0], power[from:to]...)
		slices.Sort(sorted)
		level := sorted[len(sorted)/2] * meanOverMedian
		for k := from; k < to; k++ {
			if power[k] > 0 {
				out[k] = power[k] / max(level, math.SmallestNonzeroFloat64)
			}
		}
		if to == len(power) {
			break
		}
	}
	return out
}

// peak returns the place of the highest value from bin lowest on, refined by
// the parabola through its neighbours, and its height.
func peak(values []float64, lowest, highest int) (bin, height float64) {
	highest = min(highest, len(values)-2)
	best := -1
	for k := max(lowest, 1); k <= highest; k++ {
		if values[k] >= values[k-1] && values[k] > values[k+1] && (best < 0 || values[k] > values[best]) {
			best = k
		}
	}
	if best < 0 {
		return 0, 0
	}
	l, c, r := values[best-1], values[best], values[best+1]
	bin = float64(best)
	if d := l - 2*c + r; d < 0 {
		bin += (l - r) / (2 * d)
	}
	return bin, c
}

// strongestOscillation returns the frequency in Hz of the oscillation that
// stands out most of a trace, wherever in it it rings and however finely it is
// sampled, and how far it stands out over the noise around it, in power.
//
// It looks at windows of several lengths, as a decay stands out most of a window
// about as long, on the trace and on copies of it that are smoothed and thinned
// out by two again and again.
func strongestOscillation(samples []float32, interval float64) (frequency, height float64) {
	const (
		longest    = 8192 // samples of a window
		shorter    = 4    // a window's length over the next one's
		fewest     = 32   // samples of a window worth looking at
		lowestBin  = 6    // of a window padded to twice its length: three cycles
		thinnedMax = 0.5  // of the highest frequency, what thinning leaves without its mirror image
	)
	begin := loudestBlock(samples)
	level := samples
	buffer := make([]float64, longest)
	for step := interval; ; step *= 2 {
		begin = max(0, min(begin, len(level)-fewest))
		for _, from := range []int{begin, 0} {
			for window := longest; window >= fewest; window /= shorter {
				if len(level)-from <= window/shorter && window > fewest*shorter {
					continue // the next shorter one holds all of it
				}
				part := level[from:min(from+window, len(level))]
				if len(part) < fewest {
					break
				}
				x := buffer[:len(part)]
				for i, v := range part {
					x[i] = float64(v)
				}
				detrend(x)
				power, size := periodogram(x)
				highest := len(power) - 1
				if step > interval {
					highest = int(thinnedMax * float64(highest))
				}
				if bin, h := peak(prominence(power), lowestBin*size/(2*len(part)), highest); h > height {
					frequency, height = bin/(float64(size)*step), h
				}
			}
			if begin == 0 {
				break
			}
		}
		if len(level) <= longest {
			return frequency, height
		}
		level = thinned(level)
		begin /= 2
	}
}

// loudestBlock returns where the block of largest variance begins.
func loudestBlock(samples []float32) int {
	const blocks = 4096
	size := max(64, len(samples)/blocks)
	var mean float64
	for _, v := range samples {
		mean += float64(v)
	}
	mean /= float64(len(samples))
	best, most := 0, -1.0
	for from := 0; from+size <= len(samples); from += size {
		sum := 0.0
		for _, v := range samples[from : from+size] {
			d := float64(v) - mean
			sum += d * d
		}
		if sum > most {
			best, most = from, sum
		}
	}
	return best
}

// thinned returns every second sample, smoothed by ¼, ½, ¼ before.
func thinned(samples []float32) []float32 {
	out := make([]float32, 0, len(samples)/2)
	for k := 1; k+1 < len(samples); k += 2 {
		out = append(out, (samples[k-1]+2*samples[k]+samples[k+1])/4)
	}
	return out
}

// detrend takes the straight line of least squares off x.
func detrend(x []float64) {
	n := float64(len(x))
	mean, slope, spread := 0.0, 0.0, 0.0
	for _, v := range x {
		mean += v / n
	}
	for i, v := range x {
		u := float64(i) - (n-1)/2
		slope += u * (v - mean)
		spread += u * u
	}
	slope /= spread
	for i := range x {
		x[i] -= mean + slope*(float64(i)-(n-1)/2)
	}
}

// envelope returns amplitude and phase of the part of a trace near a frequency
// in Hz, one per block of samples: the complex number A e^(jφ) of A cos(ωt + φ),
// with the time counted from the first sample.
func envelope(samples []float32, interval, frequency float64, block int) []complex128 {
	turn := cmplx.Exp(complex(0, -2*math.Pi*frequency*interval))
	out := make([]complex128, 0, len(samples)/block)
	for from := 0; from+block <= len(samples); from += block {
		mean := 0.0
		for _, v := range samples[from : from+block] {
			mean += float64(v)
		}
		mean /= float64(block)
		var sum complex128
		phasor := cmplx.Exp(complex(0, -2*math.Pi*math.Mod(frequency*interval*float64(from), 1)))
		for _, v := range samples[from : from+block] {
			sum += complex(float64(v)-mean, 0) * phasor
			phasor *= turn
		}
		out = append(out, sum*complex(2/float64(block), 0))
	}
	return out
}
