package photo

// This file looks at the step between the marked rows of the two edges, which tells a thread from rings.

import "math"

// levelNote is what is told of rows whose crests stand level.
const levelNote = "the crests marked on both edges stand level, as on rings, barbs or a thread of two starts; on a thread of one start those of one edge stand halfway between those of the other"

// step is by how much of a pitch the crests of the one row stand beyond those of the other, 0 to 1, with its standard
// uncertainty, on a part so many pixels wide. skew is by how much the camera's place may turn the axis, in radians.
func (r *markRows) step(width, skew float64) (step, u float64) {
	a, b := &r.row[0], &r.row[1]
	// The axis halves the angle between the two crest lines, whichever row the frame goes by.
	turn := (a.slope + b.slope) / 2
	step = math.Mod((b.start-a.start+turn*width)/r.period, 1)
	if step < 0 {
		step++
	}
	axis := math.Hypot(math.Hypot(a.uSlope, b.uSlope)/2, 0.003+skew)
	return step, math.Hypot(axis*width, math.Hypot(a.uStart, b.uStart)) / r.period
}

// level tells of rows that stand level, or nothing. The part takes wide of the focal length.
func (r *markRows) level(m Marked, width, wide float64) string {
	const near = 0.25
	beside := size{m.Width, m.Height}.beside(r.frame, (r.row[0].line+r.row[1].line)/2)
	if step, u := r.step(width, wide*math.Abs(beside)/2); math.Abs(step-0.5) > math.Max(near, 2*u) {
		return levelNote
	}
	return ""
}
