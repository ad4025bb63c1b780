package fit

// This file judges a pair with a taper thread: how far it turns in by hand.

import "math"

// taperVerdict judges a pair with a taper thread by how far it turns in before it is hand-tight.
func (j joint) taperVerdict(p pair) (Verdict, cause) {
	if free, _ := j.enters(p, j.engaged); free {
		return Loose, byNothing
	}
	if j.unlike {
		return Binds, byAngle
	}
	for _, step := range []struct {
		short float64
		v     Verdict
	}{{TaperShort, Goes}, {2 * TaperShort, Snug}} {
		depth := (j.handTight - step.short - shortRounding) * j.lead()
		if free, _ := j.enters(p, math.Max(0, depth)); free {
			return step.v, byFlanks
		}
	}
	return Binds, byFlanks
}

// shortRounding, in turns, keeps a thread at the very end of its tolerance on the side of that tolerance.
const shortRounding = 0.01

// handTightTurns returns the turns to hand-tight and what meets then.
func (j joint) handTightTurns(p pair, c cause) (float64, cause) {
	shallow, deep := 0.0, j.engaged
	for range halvings {
		middle := (shallow + deep) / 2
		if free, _ := j.enters(p, middle); free {
			shallow = middle
		} else {
			deep = middle
		}
	}
	if c == byFlanks {
		_, c = j.enters(p, deep)
	}
	return shallow / j.lead(), c
}

// depthSteps are the depths at which a taper pair is compared. Between them the room is nearly linear in depth.
const depthSteps = 8

// span returns the axial positions of the external thread that are free at all depths when its end has gone in to depth, and
// the least gaps on the radius at the major and the minor diameters.
func (j joint) span(p pair, depth float64) (lowest, highest, crest, root float64) {
	lowest, highest = math.Inf(-1), math.Inf(1)
	for step := range depthSteps + 1 {
		z := depth * float64(step) / depthSteps
		narrower := (j.taperI*z + j.taperE*(depth-z)) / 2
		r := roomIn(p.e, p.i, p.wider-narrower)
		crest, root = math.Min(crest, r.crest), math.Min(root, r.root)
		shift := z * (1 - j.pitchE/j.pitchI)
		lowest = math.Max(lowest, shift-r.lower)
		highest = math.Min(highest, shift+r.upper)
	}
	return lowest, highest, crest, root
}

// enters reports whether some axial position is free at all depths when the end of the external thread has gone in to
// depth, and what meets if none is.
func (j joint) enters(p pair, depth float64) (bool, cause) {
	lowest, highest, crest, root := j.span(p, depth)
	switch {
	case lowest > highest+sameRadiusMM:
		return false, byFlanks
	case crest < -sameRadiusMM:
		return false, byCrest
	case root < -sameRadiusMM:
		return false, byRoot
	}
	return true, byNothing
}
