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
	// It starts from the place nearest to the middle that ripples as usual.
	var amplitudes, places []float64
	for row := float64(s.from) + period; row < float64(s.to)-period; row += period / 2 {
		if w, ok := waveAt(v, row, period); ok {
			amplitudes, places = append(amplitudes, w.amplitude), append(places, row)
		}
	}
	least := fadeShare * median(amplitudes)
	centre, middle := float64(s.from+s.to)/2, math.Inf(1)
	for i, row := range places {
		if amplitudes[i] >= least && math.Abs(row-centre) < math.Abs(middle-centre) {
			middle = row
		}
	}
	if math.IsInf(middle, 1) {
		return nil, nil
	}
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
