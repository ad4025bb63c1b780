package fit

// This file finds between which crest diameters a thread still goes with its mate.

import (
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Usable is the range of what a caliper reads over the crests, within which two threads turn together and hold.
type Usable struct {
	// External is the outside diameter of the external thread with the internal one as it is, Internal the bore of the
	// internal thread with the external one as it is; least and most.
	External, Internal [2]unit.Length
}

// UsableRange returns the ranges for two threads that are usable in the middle of their limits, all diameters of the thread
// moving with its crest; ok is false when they are not usable there, or have tapers, whose diameters change along them.
func UsableRange(external, internal thread.Thread) (u Usable, ok bool, err error) {
	if unlike(external, internal) != "" || external.Taper > 0 || internal.Taper > 0 {
		return u, false, nil
	}
	m, err := newMatch(external, internal, Options{})
	if err != nil {
		return u, false, err
	}
	j, p := m.joint, m.pair
	usable := func(wider float64) bool {
		p.wider = wider
		v, _ := j.verdict(p)
		return v.Usable()
	}
	if !usable(0) {
		return u, false, nil
	}
	// Within a pitch either way no pair stays usable: it has long overlapped or lost its flanks.
	edge := func(outside float64) float64 {
		inside := 0.0
		for range halvings {
			if middle := (inside + outside) / 2; usable(middle) {
				inside = middle
			} else {
				outside = middle
			}
		}
		return inside
	}
	tight, slack := unit.MM(2*edge(-j.pitchI)), unit.MM(2*edge(j.pitchI))
	major, bore := unit.MM(2*p.e.major), unit.MM(2*p.i.minor)
	u.External = [2]unit.Length{major - slack, major - tight}
	u.Internal = [2]unit.Length{bore + tight, bore + slack}
	return u, true, nil
}
