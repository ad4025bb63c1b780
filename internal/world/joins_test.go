package world

// This file says whether two real parts turn together by hand, from the sizes that they really have.

import "math"

// wrist is what a hand forgives. All figures are unknown.
type wrist struct {
	// press is the overlap on the diameter that goes all the same, mm; turns how many pitches are turned together; hold the
	// share of the depth of the shallower thread that must overlap so that it holds.
	press, turns, hold float64
}

// The diameter equivalents of faults, from the arithmetic of the virtual effective diameter (handbooks of gauging, from memory):
// a pitch error d over the length engaged takes d x cot(half angle), 1.732 d at 60 degrees and 1.921 d at 55; flanks that are
// off by a and b degrees take about 0.0098 (a + b) pitches.
const perDegree = 0.0098

// rootRelief is how many pitches a tap or die cuts beyond its basic root, on the diameter; common practice, no published source.
const rootRelief = 0.07

// joins says whether external e turns into internal i and holds. Both are straight.
func (w wrist) joins(e, i part) bool {
	half := math.Max(e.angle, i.angle) / 2 * math.Pi / 180
	drift := math.Abs(e.pitchMM-i.pitchMM) * w.turns
	equivalent := drift/math.Tan(half) + perDegree*math.Abs(e.angle-i.angle)*i.pitchMM
	flanks := i.flank - e.flank - equivalent
	root := i.row.major + (i.flank - i.row.pitchDia) + rootRelief*i.pitchMM - e.crest
	core := i.crest - (e.row.minor + (e.flank - e.row.pitchDia) - rootRelief*e.pitchMM)
	if math.Min(flanks, math.Min(root, core)) < -w.press {
		return false
	}
	depth := math.Min(e.row.major-e.row.minor, i.row.major-i.row.minor)
	return e.crest-i.crest >= w.hold*depth
}
