package photo

// This file judges crests by how high they stand.

import "math"

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
