package photo

// This file holds the width that a pitch is told in: the distance of the crest lines, on tapers that at the larger end.

import (
	"math"
)

// reference is the width that the outside diameter stands for, at the depth and scale of the middle row: on a taper that at
// the thread's larger end.
func (m *measured) reference(middle float64) (width, u float64) {
	from, to := overlap(m.a, m.b)
	seen := to - from
	wide := m.a.line[1] + m.b.line[1]
	// The thread may go on where tilt or perspective hides its ripple.
	for from > 0 && m.onCrestLines(from-1) {
		from--
	}
	for last := float64(len(m.outlines.left.out) - 1); to < last && m.onCrestLines(to+1); {
		to++
	}
	grown, beyond := math.Abs(m.taper)*(to-middle), float64(len(m.outlines.left.out))-to
	if wide < 0 {
		grown, beyond = math.Abs(m.taper)*(middle-from), from
	}
	// Where along the thread's last pitch, or hidden end, a caliper met the largest crest is open; and glare or shadow may
	// have cut a few pitches off.
	hidden := math.Max(0, to-from-seen-2*m.period) + math.Min(beyond, 3*m.period)
	open := math.Abs(m.taper) * (m.period + hidden/2) / math.Sqrt(3)
	return m.atLargerEnd(grown, open)
}

// atLargerEnd is the width at the thread's larger end, which is larger by grown on a taper; open is how much of it is open.
func (m *measured) atLargerEnd(grown, open float64) (width, u float64) {
	switch m.tapers() {
	case "yes":
		return m.width + grown, math.Sqrt(square(m.uWidth) + square(open) + square(m.uTaper/math.Abs(m.taper)*grown))
	case "not told": // somewhere between the middle and the larger end
		return m.width + grown/2, math.Sqrt(square(m.uWidth) + square(grown/2/math.Sqrt(3)))
	}
	return m.width, m.uWidth
}

// onCrestLines tells whether the thread goes on at a row: one outline at least runs between its crest line and root line
// and comes up to the crest line within half a pitch, and the other does so too or is not to be seen. A smooth collar that
// happens to lie between the lines does not come up.
func (m *measured) onCrestLines(row float64) bool {
	on := func(o outline, t train) (yes, no bool) {
		seen, rows, reaches := 0, 0, false
		for i := max(0, int(row-m.period/2)); i <= min(len(o.out)-1, int(row+m.period/2)); i++ {
			rows++
			if math.IsNaN(o.out[i]) {
				continue
			}
			seen++
			reaches = reaches || o.out[i]-t.lineAt(float64(i)) > -0.25*t.depth-0.5
		}
		above := o.out[int(row)] - t.lineAt(row)
		yes = reaches && (math.IsNaN(above) || above < 0.25*t.depth+1 && above > -1.1*t.depth-1)
		return yes, !yes && 4*seen > 3*rows // a gap says nothing
	}
	yesA, noA := on(m.outlines.left, m.a)
	yesB, noB := on(m.outlines.right, m.b)
	return (yesA || yesB) && !noA && !noB
}
