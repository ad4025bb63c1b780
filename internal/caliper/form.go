package caliper

// This file tells what was measured of a thread.

import "math"

// measure measures the thread of s, its diameters at the height refZ (NaN: in the middle of the full form), or says why there is none.
func (s *site) measure(refZ float64) (*Thread, fitted, string) {
	t, lines, why := fitThread(s)
	if why != "" {
		return nil, fitted{}, why
	}
	from, to := t.full[0], t.full[1]
	high, low, ok := t.extremes(lines)
	if !ok {
		return nil, fitted{}, whyRagged
	}
	if math.IsNaN(refZ) {
		refZ = (from + to) / 2
	}
	shift := t.cone * (refZ - t.zMid)
	half, why := t.middle(lines)
	flanks := &t
	if why != "" {
		flanks = &half
	}
	// Outside, the down flank faces up; inside, where material lies beyond the line, the up flank does.
	upper, lower := flanks.degrees(1), flanks.degrees(0)
	if !s.outer {
		upper, lower = lower, upper
	}
	th := &Thread{
		Turns:    (to - from) / (t.pitch * math.Abs(float64(t.turn))),
		MajorMM:  2 * (high.r + shift),
		PitchDMM: 2 * (t.pitchRadius() + shift),
		MinorMM:  2 * (low.r + shift),
		PitchMM:  t.pitch, LeadMM: t.pitch * math.Abs(float64(t.turn)),
		Starts: max(t.turn, -t.turn), Hand: "right",
		Taper: math.Abs(2 * t.cone), WidensUp: t.cone > 0,
		FlankDeg: [2]float64{lower, upper}, AngleDeg: upper + lower, FlankWhy: why,
		ZMM: [2]float64{from, to}, RefZMM: refZ,
	}
	if t.turn < 0 {
		th.Hand = "left"
	}
	t.sure(th, lines, &half, high, low)
	if !s.outer {
		th.UFlankDeg[0], th.UFlankDeg[1] = th.UFlankDeg[1], th.UFlankDeg[0]
	}
	th.leaveOut(t.depth, t.rough, sagitta(lines, t.full))
	return th, t, ""
}

const (
	// whyArcs is said of the angle of round forms.
	whyArcs = "the flanks are arcs: their angles are those near the pitch line"
	// straightRough is the roughness, in depths, below which flanks are straight; curvedDeg the difference of angle between the middle of
	// a flank and the whole band from which it is an arc.
	straightRough, curvedDeg = 1e-3, 1.0
)

// degrees is the angle of the flank k to the perpendicular of the axis.
func (t *fitted) degrees(k int) float64 {
	return math.Atan(1/math.Abs(1/t.flanks[k].run+t.cone)) * 180 / math.Pi
}

// middle returns the fit to LeastBand of the depth, t itself where nothing is left that it could tell, and why its flanks have the right
// angles where those of t have not: they are arcs.
func (t *fitted) middle(lines []line) (half fitted, why string) {
	half = *t
	half.band = LeastBand
	if t.rough < straightRough*t.depth || half.refine(lines, t.full) != "" {
		return *t, ""
	}
	if math.Abs(half.degrees(0)-t.degrees(0))+math.Abs(half.degrees(1)-t.degrees(1)) > curvedDeg {
		why = whyArcs
	}
	return half, why
}
