package caliper

// This file finds the crests and roots of the full form.

import (
	"math"
	"slices"
)

// peak is the radius, at zMid, of crests or roots, its standard uncertainty by how they differ, and how much was taken off for noise.
type peak struct{ r, u, noise float64 }

// extremes returns the largest and smallest of the full form: the mean over all sections and turns of each one's extreme, those
// far off the rest left out.
func (t *fitted) extremes(lines []line) (high, low peak, ok bool) {
	// On the pitch cone, the middle of the ridge lies a quarter of a pitch above the up flank.
	ridge := t.flanks[0].run*(t.pitchRadius()-t.radius)/t.pitch + 0.25
	for _, share := range []float64{0.25, 0.12, 0} { // less on less than a turn
		highs := t.peaks(lines, ridge, share, 1)
		lows := t.peaks(lines, ridge+0.5, share, -1)
		if len(highs) >= len(lines)/4 && len(lows) >= len(lines)/4 {
			return t.peak(highs, t.crest, 1), t.peak(lows, t.root, -1), true
		}
	}
	return high, low, false
}

// peaks returns the largest (side 1) or smallest radius of each ridge (groove) whose middle, with a share of a pitch
// each way, lies within the full form. middle is its phase above the up flank.
func (t *fitted) peaks(lines []line, middle, share, side float64) []float64 {
	var out []float64
	for i := range lines {
		l := &lines[i]
		turn := math.NaN()
		best := 0.0
		flush := func() {
			if math.IsNaN(turn) {
				return
			}
			z := t.flanks[0].z0 + t.pitch*(turn+middle+float64(t.turn)*l.theta/(2*math.Pi))
			if z-share*t.pitch >= t.full[0] && z+share*t.pitch <= t.full[1] {
				out = append(out, side*best)
			}
		}
		for _, s := range l.spots {
			n := math.Round(t.phase(0, l.theta, s.z) - middle)
			r := side * t.onAxis(l, s.z, s.r)
			switch {
			case math.IsNaN(turn) || n > turn:
				flush()
				turn, best = n, r
			case n == turn: // whole numbers
				best = max(best, r)
			}
		}
		flush()
	}
	return out
}

// peak is the mean of those values that lie near the median. The extreme of a rough line lies beyond the surface, by more the rougher
// it is (side 1: farther out); as much is taken off, but no more than to the extreme of the usual form.
func (t *fitted) peak(xs []float64, usual, side float64) peak {
	mid := median(slices.Clone(xs))
	left := make([]float64, len(xs))
	for i, x := range xs {
		left[i] = math.Abs(x - mid)
	}
	const (
		leastGate = 2e-3 // of the depth
		beyond    = 1    // usual distances of the flanks, on the radius, by which its extreme may lie beyond the surface
		alike     = 4    // neighbouring sections that may show the same
	)
	gate := max(4*1.4826*median(slices.Clone(left)), leastGate*t.depth)
	sum, squares, n := 0.0, 0.0, 0.0
	for i, x := range xs {
		if left[i] <= gate {
			sum += x
			squares += (x - mid) * (x - mid)
			n++
		}
	}
	p := peak{r: sum / n, noise: min(beyond*t.rough, max(0, side*(sum/n-usual)))}
	p.r -= side * p.noise
	// Facets larger than a crest cut it off, here more and there less: what it had lies anywhere within that.
	slices.Sort(xs)
	last := float64(len(xs) - 1)
	p.u = hypot(math.Sqrt(squares*alike)/n, 0.7*(xs[int(0.95*last)]-xs[int(0.05*last)]))
	return p
}
