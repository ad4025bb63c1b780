package caliper

// This file finds the crests and roots of the full form.

import (
	"math"
	"slices"
)

// extremes returns the radii, at zMid, of the largest and smallest of the full form: the mean over all sections and
// turns of each one's extreme, those far off the rest left out.
func (t *fitted) extremes(lines []line, from, to float64) (high, low float64, ok bool) {
	up, down := t.flanks[0], t.flanks[1]
	// The middle of the ridge lies half way from an up flank to the next down flank, on the pitch cone.
	w := t.pitchRadius()
	zUp := up.z0 + up.run*(w-t.radius)
	zDown := down.z0 + down.run*(w-t.radius)
	gap := math.Mod(zDown-zUp, t.pitch)
	if gap < 0 {
		gap += t.pitch
	}
	ridge := (zUp + gap/2 - up.z0) / t.pitch
	for _, quarter := range []float64{0.25, 0.12, 0} {
		highs := t.peaks(lines, ridge, quarter, from, to, 1)
		lows := t.peaks(lines, ridge+0.5, quarter, from, to, -1)
		if len(highs) >= len(lines)/4 && len(lows) >= len(lines)/4 {
			return steadyMean(highs, t.depth), steadyMean(lows, t.depth), true
		}
	}
	return 0, 0, false
}

// peaks returns the largest (side 1) or smallest radius of each ridge (groove) whose middle, with a share of a pitch
// each way, lies within the full form. middle is its phase above the up flank.
func (t *fitted) peaks(lines []line, middle, share, from, to, side float64) []float64 {
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
			if z-share*t.pitch >= from && z+share*t.pitch <= to {
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

// steadyMean is the mean of those values that lie near the median.
func steadyMean(xs []float64, depth float64) float64 {
	mid := median(slices.Clone(xs))
	left := make([]float64, len(xs))
	for i, x := range xs {
		left[i] = math.Abs(x - mid)
	}
	const leastGate = 2e-3 // of the depth
	gate := max(4*1.4826*median(slices.Clone(left)), leastGate*depth)
	sum, n := 0.0, 0.0
	for i, x := range xs {
		if left[i] <= gate {
			sum += x
			n++
		}
	}
	return sum / n
}
