package caliper

// This file tells of threads that go round by less than a turn: no flank of theirs comes again, so that nothing is measured of them.

import (
	"fmt"
	"math"

	"tryring/internal/mesh"
)

// leastRidge is the least depth of a ridge that is told, as a share of the radius: the finest threads of instruments have as much.
const leastRidge = 0.01

// partials says, of each side of a body about f, where a ridge or groove that is alone on each section climbs with the angle as a thread's does, and
// ends before it is round.
func partials(b *mesh.Mesh, f frame) (told []string) {
	secs := cut(place(b, f), b.Faces, f.reach)
	for _, outer := range []bool{false, true} {
		lines := linesOf(secs, outer, 0)
		var span, radius float64
		for _, l := range lines {
			for _, s := range l.spots {
				span, radius = max(span, math.Abs(s.r-l.spots[0].r)), max(radius, s.r)
			}
		}
		for least := 0.9 * span; least > leastRidge*radius; least *= shrink {
			one, is := climber(lines, least, radius, true)
			if !is {
				one, is = climber(lines, least, radius, false)
			}
			if !is {
				continue
			}
			side := map[bool]string{true: "outer", false: "inner"}[outer]
			told = append(told, fmt.Sprintf("%s thread of about %.1f turns at z %.1f to %.1f mm: not measured, because no flank of less than a turn comes again",
				side, one.turns, one.lo, one.hi))
			break
		}
	}
	return told
}

// ridge, or a groove, is two swings one above the other, alone on a section.
type ridge struct{ theta, z, width, size float64 }

// climb is a run of ridges on neighbouring sections.
type climb struct {
	span
	turns float64
}

// climber looks for it among ridges larger than least, or, where the lower swing goes down, among grooves.
func climber(lines []line, least, radius float64, up bool) (c climb, is bool) {
	at := make([]ridge, len(lines))
	for i := range lines {
		ws := lines[i].swings(least, nil)
		n := 0
		for k := 1; k < len(ws); k++ {
			a, b := ws[k-1], ws[k]
			if a.up == up && max(a.size, b.size) < sizeRatio*min(a.size, b.size) {
				n++
				at[i] = ridge{lines[i].theta, (a.zMid + b.zMid) / 2, b.zMid - a.zMid, (a.size + b.size) / 2}
			}
		}
		if n != 1 {
			at[i] = ridge{}
		}
	}
	// The sections once more, a turn on, for runs across the seam.
	for _, r := range at {
		r.theta += 2 * math.Pi
		at = append(at, r)
	}
	var run []ridge
	for k, r := range at {
		if n := len(run); n > 0 && (r.size == 0 || math.Abs(r.z-run[n-1].z) > r.width/2) {
			if begun := k - n; begun > 0 && n < len(lines) { // else it is cut off, or goes all round
				if c, is = climbs(run, len(lines), radius); is {
					return c, true
				}
			}
			run = run[:0]
		}
		if r.size > 0 {
			run = append(run, r)
		}
	}
	return c, false
}

// climbs tells whether a run is of a thread: its heights grow evenly with the angle, by no less and no more in a turn than ridges so wide and high do.
func climbs(run []ridge, sections int, radius float64) (climb, bool) {
	const (
		shortest    = 0.4     // turns
		even        = 0.015   // of the lead: how far heights usually stand off one climb
		least, most = 1.4, 12 // widths to a lead
		shallow     = 0.5     // of what threads of one start are
		alike       = 0.8     // of the run, but for where a ridge runs out
	)
	sums := system{n: 2}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range run {
		sums.add([]float64{1, r.theta}, r.z, 1)
		lo, hi = min(lo, r.z-r.width/2), max(hi, r.z+r.width/2)
	}
	c := climb{span{lo, hi}, float64(len(run)) / float64(sections)}
	x, ok := sums.solve()
	var off, width, size []float64
	for _, r := range run {
		off, width, size = append(off, math.Abs(r.z-x[0]-x[1]*r.theta)), append(width, r.width), append(size, r.size)
	}
	lead, w, depth := 2*math.Pi*math.Abs(x[1]), median(width), median(size)
	same := 0
	for _, r := range run {
		if math.Abs(r.width-w) < w/4 && math.Abs(r.size-depth) < depth/4 {
			same++
		}
	}
	return c, ok && c.turns >= shortest && float64(same) > alike*float64(len(run)) && median(off) < even*lead && lead > least*w && lead < min(most*w, radius) &&
		depth > shallow*leastDepthPerPitch*lead && depth < mostDepthPerPitch*lead
}
