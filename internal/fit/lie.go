package fit

// This file lays an external thread into an internal one, for whoever draws the pair.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
)

// Lie is how two threads of exact size lie in each other in one axial section, in the frame of the package: the middles of
// the internal thread's grooves stand half a pitch, one and a half, … behind the face, those of the external thread's ridges
// as many of its own pitches, moved by ShiftMM. Over z = 0 to the depth that Judge finds free, nothing overlaps.
type Lie struct {
	// External and Internal are the sections at the point that was judged. Their diameters are those at DepthMM for the
	// external and at z = 0 for the internal thread; straight threads have them everywhere.
	External, Internal thread.Profile
	// ShiftMM is how far the external thread is moved inward: against the flank from which it can be turned in farthest (the
	// inward one where the pitches are alike), or half way between both flanks when they overlap; on tapers where both are
	// hand-tight.
	ShiftMM float64
	// DepthMM is how far the end of the external thread has gone in: on straight threads the engaged length, on tapers the
	// depth at which they are hand-tight.
	DepthMM float64
	// FreeMM is the whole axial play at the face; +Inf when the threads do not reach each other, below zero when they overlap.
	FreeMM float64
	// RidgesFree is the number of pitches from the face over which a pitch difference leaves some play; +Inf if none takes it.
	RidgesFree float64
	// Alike is false when hand or starts differ: the sections say nothing of turning then.
	Alike bool
	// Starts are those of the internal thread; a turn passes as many ridges.
	Starts int
}

// LieOf lays external into internal at the point of their limits that opt names. Its errors are those of Judge.
func LieOf(external, internal thread.Thread, opt Options) (Lie, error) {
	m, err := newMatch(external, internal, opt)
	if err != nil {
		return Lie{}, err
	}
	l := Lie{DepthMM: m.joint.engaged, FreeMM: math.Inf(1), RidgesFree: math.Inf(1), Alike: unlike(external, internal) == "", Starts: internal.Starts}
	if l.External, err = section(external, m.e.inHand(opt.External.At)); err != nil {
		return Lie{}, fmt.Errorf("external thread: %w", err)
	}
	if l.Internal, err = section(internal, m.i.inHand(opt.Internal.At)); err != nil {
		return Lie{}, fmt.Errorf("internal thread: %w", err)
	}
	j := m.joint
	if j.tapered() {
		turns, _ := j.handTightTurns(m.pair, byNothing)
		l.DepthMM = turns * j.lead()
		lowest, highest, _, _ := j.span(m.pair, l.DepthMM)
		if !math.IsInf(lowest, 0) && !math.IsInf(highest, 0) {
			l.ShiftMM, l.FreeMM = (lowest+highest)/2, 0
		}
		return l, nil
	}
	r := roomIn(m.pair.e, m.pair.i, 0)
	if math.IsInf(r.play(), 0) {
		return l, nil
	}
	l.FreeMM = r.play()
	drift := j.pitchI - j.pitchE
	switch {
	case r.play() < -sameRadiusMM:
		l.ShiftMM, l.RidgesFree = (r.upper-r.lower)/2, 0
	case drift >= 0:
		l.ShiftMM = r.upper
	default: // the ridges run ahead of the grooves: against the outward flank at first
		l.ShiftMM = -r.lower
	}
	if r.play() >= -sameRadiusMM && math.Abs(drift) > negligibleDriftMM {
		l.RidgesFree = math.Max(0, r.play()) / math.Abs(drift)
	}
	return l, nil
}
