package photo

// This file finds the stretch of the part on which both outlines ripple evenly, and the rough period there.

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/dsp/window"
	"gonum.org/v1/gonum/floats"
)

const (
	// leastPeriod is the shortest period in pixels that can be told: below it a crest has no shape left.
	leastPeriod = 5.0
	// leastPitches is the fewest periods in a stretch.
	leastPitches = 4
	// repeats is the share of the highest autocorrelation that a shorter period must reach to be the period.
	repeats = 0.85
	// leastRipple is the least depth of a ripple, as a share of its period, and leastPixels in pixels: below are the seams of
	// JPEG's blocks, and noise.
	leastRipple, leastPixels = 0.08, 0.7
	// maxLost is the share of a stretch on which an outline may be out of sight.
	maxLost = 0.2
)

// stretch is a run of rows with a ripple.
type stretch struct {
	// from and to are rows, to excluded.
	from, to int
	// period is in rows (pixels of s).
	period float64
	// alike is the autocorrelation at the period, of the outline where it is less: 1 for a perfect repeat.
	alike float64
	// pure is the share of the ripple's power that lies at the period and its multiples, of the outline where it is less.
	pure float64
}

// score ranks stretches: even ones first, and of those the longer.
func (r stretch) score() float64 {
	return r.alike * math.Pow(float64(r.to-r.from)/r.period, 0.25)
}

// findStretch looks through windows of several lengths.
func findStretch(o outlines) (best stretch, ok bool) {
	n := len(o.right.out)
	for _, share := range []float64{1, 0.75, 0.55, 0.4, 0.28, 0.2, 0.14} {
		length := int(share * float64(n))
		if length < leastPitches*leastPeriod {
			break
		}
		for from := 0; from+length <= n; from += max(1, length/4) {
			if s, found := ripple(o, from, from+length); found && (!ok || s.score() > best.score()) {
				best, ok = s, true
			}
		}
	}
	return best, ok
}

// ripple returns the period on which both outlines repeat between two rows.
func ripple(o outlines, from, to int) (s stretch, ok bool) {
	a, ok := levelled(o.left.out[from:to])
	if !ok {
		return s, false
	}
	b, ok := levelled(o.right.out[from:to])
	if !ok {
		return s, false
	}
	ca, cb := autocorrelation(a), autocorrelation(b)
	both := make([]float64, len(ca))
	for i := range both {
		both[i] = (ca[i] + cb[i]) / 2
	}
	limit := min((to-from)*10/35, len(both)-2)
	dipped := false
	var peaks []int
	highest := 0.0
	for lag := 2; lag <= limit; lag++ {
		dipped = dipped || both[lag] < 0.3
		if dipped && lag >= int(leastPeriod)-1 && both[lag] > both[lag-1] && both[lag] >= both[lag+1] {
			peaks = append(peaks, lag)
			highest = math.Max(highest, both[lag])
		}
	}
	for _, lag := range peaks {
		if both[lag] < repeats*highest {
			continue
		}
		fine := float64(lag) + vertex(both[lag-1], both[lag], both[lag+1])
		pa, fa := purity(a, fine)
		pb, fb := purity(b, fine)
		if fa <= 0 || fb <= 0 || fine < leastPeriod {
			return s, false
		}
		if depth := 2 * math.Sqrt2 * math.Min(floats.Norm(a, 2), floats.Norm(b, 2)) / math.Sqrt(float64(to-from)); depth < leastRipple*fine || depth < leastPixels {
			return s, false
		}
		return stretch{from: from, to: to, period: (fa + fb) / 2, alike: math.Min(ca[lag], cb[lag]), pure: math.Min(pa, pb)}, true
	}
	return s, false
}

// vertex returns where the parabola through three values a step apart has its vertex, from the middle one.
func vertex(a, b, c float64) float64 {
	if d := a - 2*b + c; d < 0 {
		return math.Min(math.Max((a-c)/(2*d), -0.5), 0.5)
	}
	return 0
}

// levelled fills short gaps and takes off the trend, a cubic.
func levelled(v []float64) ([]float64, bool) {
	filled, lost := bridged(v)
	if lost > maxLost {
		return nil, false
	}
	x, out := make([]float64, len(v)), make([]float64, len(v))
	for i := range x {
		x[i] = scaled(i, len(x))
	}
	c, ok := polyfit(x, filled, 3)
	if !ok {
		return nil, false
	}
	for i := range out {
		out[i] = filled[i] - polyval(c, x[i])
	}
	return out, true
}

// bridged joins the ends of gaps by straight lines, and returns the share of gaps.
func bridged(v []float64) (filled []float64, lost float64) {
	filled = make([]float64, len(v))
	last := -1
	for i, x := range v {
		if math.IsNaN(x) {
			lost++
			continue
		}
		for k := last + 1; k < i; k++ {
			if last < 0 {
				filled[k] = x
			} else {
				filled[k] = filled[last] + (x-filled[last])*float64(k-last)/float64(i-last)
			}
		}
		filled[i], last = x, i
	}
	for k := last + 1; k < len(v); k++ {
		if last >= 0 {
			filled[k] = filled[last]
		}
	}
	return filled, lost / math.Max(1, float64(len(v)))
}

// autocorrelation returns that of v for all lags, 1 at lag 0, each over the values that overlap (by the Wiener-Khinchin
// theorem: the transform of the power spectrum, padded so that the ends do not meet).
func autocorrelation(v []float64) []float64 {
	n, values := len(v), padded(v)
	fft := fourier.NewFFT(len(values))
	spectrum := fft.Coefficients(nil, values)
	for i, c := range spectrum {
		spectrum[i] = complex(real(c)*real(c)+imag(c)*imag(c), 0)
	}
	sums := fft.Sequence(nil, spectrum)
	out := make([]float64, n/2)
	whole := sums[0] / float64(n)
	if whole <= 0 {
		return out
	}
	for lag := range out {
		out[lag] = sums[lag] / float64(n-lag) / whole
	}
	return out
}

// padded is v with zeros behind it, to a power of two that is twice as long at least.
func padded(v []float64) []float64 {
	out := make([]float64, 1<<bits.Len(uint(2*len(v)-1)))
	copy(out, v)
	return out
}

// purity looks for the spectrum's line near a period (within a fifth), and returns its exact period and the share of all
// power in that line and its first two multiples. A period of 0 tells that there is no line.
func purity(v []float64, period float64) (share, exact float64) {
	n, values := len(v), padded(v)
	window.Hann(values[:n])
	c := fourier.NewFFT(len(values)).Coefficients(nil, values)
	power := make([]float64, len(c))
	total := 0.0
	for i, x := range c {
		power[i] = real(x)*real(x) + imag(x)*imag(x)
		total += power[i]
	}
	middle := float64(len(values)) / period
	at := 0
	for i := int(middle / 1.2); i <= int(middle*1.2) && i < len(power)-1; i++ {
		if i > 0 && power[i] > power[i-1] && power[i] >= power[i+1] && (at == 0 || power[i] > power[at]) {
			at = i
		}
	}
	if at == 0 || total <= 0 {
		return 0, 0
	}
	line := float64(at) + vertex(power[at-1], power[at], power[at+1])
	var sum float64
	for m := 1.0; m <= 3; m++ {
		for i := int(m*line) - 2*len(values)/n; i <= int(m*line)+2*len(values)/n; i++ { // Hann's window widens a line by two bins of 1/n
			if i >= 0 && i < len(power) {
				sum += power[i]
			}
		}
	}
	return math.Min(1, sum/total), float64(len(values)) / line
}
