package photo

// This file finds every crest on one outline, and the period from all of them.

import (
	"math"
	"slices"
)

// train is the row of crests on one outline.
type train struct {
	side side
	// period is in pixels of s, uPeriod its standard uncertainty from how evenly the crests stand.
	period, uPeriod float64
	// curve is where the crests stand: the row of crest k is the polynomial curve of (k - middle)/half. Crests are numbered
	// along s, from any.
	curve        []float64
	middle, half float64
	// crests are the full crests, along s.
	crests []crest
	// depth is the median height of a crest over the roots beside it, pixels.
	depth float64
	// uneven is the standard deviation of the crests' places from an even row, as a share of the period.
	uneven float64
	// drift is by how much the period grows over the row, as a share of it.
	drift float64
	// line is the crest line: out = line[0] + line[1] * row.
	line [2]float64
	// rough is the standard deviation of the crests' heights about that line, pixels.
	rough float64
	// low are the places at either end where a crest should stand and a lower one does.
	lowBefore, lowAfter int
}

// crest is one crest.
type crest struct {
	row, out float64
}

const (
	// fadeShare is the share of the usual ripple at which it counts as gone.
	fadeShare = 0.5
	// maxSlip is by how many periods the ripple may step between two places half a period apart.
	maxSlip = 0.22
	// endSlip and endLow are by how many periods a crest at an end may stand out of the row, and lower or higher than the
	// others, to be counted in.
	endSlip, endLow = 0.03, 0.08
	// fullShare is the share of the usual depth that a full crest has on one of its sides at least: toward the ends of a
	// long part the camera looks into the roots at a slant and sees less of them.
	fullShare = 0.3
	// flatShare is half the width of a basic crest's flat, as a share of the pitch (ISO 68-1 figure 1: P/8 in all).
	flatShare = 1.0 / 16
)

// follow finds the crests of an outline that ripples in s.
func (s stretch) follow(o outline) (t train, ok bool) {
	t.side, t.period = o.side, s.period
	v := o.out
	var rows, phases []float64
	for range 3 {
		rows, phases = s.phases(v, t.period)
		if len(rows) < 2*leastPitches-2 {
			return t, false
		}
		// phase = a + 2 pi row / period, the excess over the assumed period being fitted.
		_, slope, _, fitted := robustLine(rows, phases)
		if !fitted || slope <= 0 {
			return t, false
		}
		t.period = 2 * math.Pi / slope
	}
	return t, t.place(v, rows, phases)
}

// phases follows the ripple from the middle of the stretch both ways, half a period a step, until it fades or slips.
func (s stretch) phases(v []float64, period float64) (rows, phases []float64) {
	middle := float64(s.from+s.to) / 2
	var amplitudes []float64
	for row := float64(s.from) + period; row < float64(s.to)-period; row += period / 2 {
		if w, ok := waveAt(v, row, period); ok {
			amplitudes = append(amplitudes, w.amplitude)
		}
	}
	least := fadeShare * median(amplitudes)
	w, ok := waveAt(v, middle, period)
	if !ok || w.amplitude < least {
		return nil, nil
	}
	walk := func(direction float64) (r, p []float64) {
		last, missed := w.phase, 0.0
		for k := 1.0; ; k++ {
			row := middle + direction*k*period/2
			now, ok := waveAt(v, row, period)
			if row < 0 || row >= float64(len(v)) {
				return r, p
			}
			expected := last + direction*math.Pi*(1+missed)
			slip := 0.0
			if ok {
				slip = math.Remainder(now.phase-expected, 2*math.Pi)
			}
			if !ok || now.amplitude < least || math.Abs(slip) > maxSlip*2*math.Pi {
				if missed++; missed > 2 {
					return r, p
				}
				continue
			}
			missed = 0
			last = expected + slip
			r, p = append(r, row), append(p, last)
		}
	}
	br, bp := walk(-1)
	fr, fp := walk(1)
	slices.Reverse(br)
	slices.Reverse(bp)
	return append(append(br, middle), fr...), append(append(bp, w.phase), fp...)
}

// place puts a crest wherever the phase is a whole turn, from the phases around it.
func (t *train) place(v, rows, phases []float64) bool {
	a, _, _, ok := robustLine(rows, phases)
	if !ok {
		return false
	}
	turn := func(row float64) float64 { return a/(2*math.Pi) + row/t.period }
	low, high := int(math.Ceil(turn(rows[0])-0.3)), int(math.Floor(turn(rows[len(rows)-1])+0.3))
	var index, at []float64
	for k := low; k <= high; k++ {
		row := (float64(k) - a/(2*math.Pi)) * t.period
		w, ok := waveAt(v, row, t.period)
		if !ok {
			continue
		}
		off := math.Remainder(w.phase, 2*math.Pi) / (2 * math.Pi)
		if math.Abs(off) > maxSlip {
			continue
		}
		index, at = append(index, float64(k)), append(at, row-off*t.period)
	}
	index, at = t.trimmed(v, index, at)
	n := float64(len(index))
	if len(index) < leastPitches {
		return false
	}
	t.middle, t.half = (index[0]+index[len(index)-1])/2, math.Max(1, (index[len(index)-1]-index[0])/2)
	x := make([]float64, len(index))
	for i := range x {
		x[i] = (index[i] - t.middle) / t.half
	}
	line, ok1 := polyfit(x, at, 1)
	curve, ok2 := polyfit(x, at, 2)
	if !ok1 || !ok2 {
		return false
	}
	t.period = line[1] / t.half
	// The period at x is (c1 + 2 c2 x) over half the crests: from one end to the other it grows by 4 c2 of those.
	t.drift = 4 * curve[2] / curve[1]
	var sum float64
	for i := range x {
		d := at[i] - polyval(curve, x[i])
		sum += d * d
	}
	sd := math.Sqrt(sum / math.Max(1, n-3))
	t.uneven = sd / t.period
	// Variance of a slope over evenly spaced places, 12 sd^2/(n (n^2-1)); doubled because neighbours share half their rows.
	t.uPeriod = sd * math.Sqrt(2*12/(n*(n*n-1)))
	t.curve = curve
	return t.heights(v, int(index[0]), int(index[len(index)-1]))
}

// level is the outline's mean distance within half of a row.
func level(v []float64, row, half float64) (float64, bool) {
	var sum, n float64
	for i := int(math.Ceil(row - half - 0.25)); i <= int(math.Floor(row+half+0.25)); i++ {
		if i >= 0 && i < len(v) && !math.IsNaN(v[i]) {
			sum, n = sum+v[i], n+1
		}
	}
	return sum / n, n > 0
}

// rowOf is the row of crest k.
func (t *train) rowOf(k float64) float64 { return polyval(t.curve, (k-t.middle)/t.half) }

// periodAt is the period at a row, from the curve, with its standard uncertainty.
func (t *train) periodAt(row float64) (period, u float64) {
	x := (row - t.rowOf(t.middle)) / (t.half * t.period)
	n := 2*t.half + 1
	// The quadratic coefficient over evenly spaced places has variance 45 sd^2/(4 n), doubled as that of the slope is.
	uCurve := t.uneven * t.period * math.Sqrt(2*45/(4*n))
	return (t.curve[1] + 2*t.curve[2]*x) / t.half, math.Hypot(t.uPeriod, 2*x*uCurve/t.half)
}

// near is the row of the crest nearest to a row.
func (t *train) near(row float64) float64 {
	k := math.Round(t.middle + (row-t.rowOf(t.middle))/t.period)
	best := t.rowOf(k)
	for _, other := range []float64{t.rowOf(k - 1), t.rowOf(k + 1)} {
		if math.Abs(other-row) < math.Abs(best-row) {
			best = other
		}
	}
	return best
}

// flat is half the width, in pixels, over which a crest's height is read.
func (t *train) flat() float64 { return math.Max(0.5, flatShare*t.period) }

// trimmed leaves out crests at both ends that do not stand in the row or in height with the others: a chamfer, a run-out
// or a collar next to the thread. Those in between stay, whatever they say.
func (t *train) trimmed(v, index, at []float64) (k, rows []float64) {
	outs := make([]float64, len(at))
	for i, row := range at {
		outs[i], _ = level(v, row, t.flat())
	}
	for len(index) > leastPitches {
		a, b, spread, ok1 := robustLine(index, at)
		c, d, rough, ok2 := robustLine(at, outs)
		if !ok1 || !ok2 {
			break
		}
		strays := func(i int) bool {
			return math.Abs(at[i]-a-b*index[i]) > math.Max(3*spread, endSlip*t.period) ||
				!(math.Abs(outs[i]-c-d*at[i]) <= math.Max(4*rough, endLow*t.period))
		}
		switch last := len(index) - 1; {
		case strays(last):
			index, at, outs = index[:last], at[:last], outs[:last]
		case strays(0):
			index, at, outs = index[1:], at[1:], outs[1:]
		default:
			return index, at
		}
	}
	return index, at
}

// heights judges the crests by how high they stand, and looks beyond either end for more.
func (t *train) heights(v []float64, low, high int) bool {
	half := t.flat()
	rowOf := func(k int) float64 { return t.rowOf(float64(k)) }
	var rows, outs, depths []float64
	depthsOf := func(k int) (before, after float64) { // not a number where the outline is not seen
		c, _ := level(v, rowOf(k), half)
		b, _ := level(v, rowOf(k)-t.period/2, half)
		a, _ := level(v, rowOf(k)+t.period/2, half)
		return c - b, c - a
	}
	for k := low; k <= high; k++ {
		if c, ok := level(v, rowOf(k), half); ok {
			rows, outs = append(rows, rowOf(k)), append(outs, c)
		}
		before, after := depthsOf(k)
		for _, d := range []float64{before, after} {
			if !math.IsNaN(d) {
				depths = append(depths, d)
			}
		}
	}
	if len(rows) < leastPitches || len(depths) == 0 {
		return false
	}
	t.depth = median(depths)
	a, b, rough, ok := robustLine(rows, outs)
	if !ok {
		return false
	}
	t.line, t.rough = [2]float64{a, b}, rough
	allowed := math.Max(0.2*t.depth, 4*rough)
	least := math.Max(fullShare*t.depth, 3*rough)
	full := func(k int) bool {
		c, ok := level(v, rowOf(k), half)
		before, after := depthsOf(k)
		return ok && math.Abs(c-a-b*rowOf(k)) <= allowed &&
			(before >= least || after >= least)
	}
	for low <= high && !full(low) {
		low++
		t.lowBefore++
	}
	for high >= low && !full(high) {
		high--
		t.lowAfter++
	}
	for full(low - 1) {
		low--
		t.lowBefore = 0
	}
	for full(high + 1) {
		high++
		t.lowAfter = 0
	}
	for k := low; k <= high; k++ {
		c, ok := level(v, rowOf(k), half)
		if !ok {
			c = a + b*rowOf(k)
		}
		t.crests = append(t.crests, crest{rowOf(k), c})
	}
	return len(t.crests) >= leastPitches
}
