package fit

// This file holds a thread in hand of which the crest was read: its crest is what was read, its flanks are still what the standard
// allows.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// crestNodes are the nodes of a crest that was read.
const crestNodes = 7

// The least and most height of a crest over the pitch line, as shares of that of the basic form and of the sharp corner: a reading
// beyond them is of no thread.
const (
	leastHeight = 0.05
	mostHeight  = 0.98
)

// crestOf is the diameter over the crests of d.
func (s sized) crestOf(d thread.Diameters) unit.Length {
	if s.external {
		return d.Major
	}
	return d.Minor
}

// withCrest is d with a crest that was read, as far as the form can have it.
func (s sized) withCrest(d thread.Diameters, crest unit.Length) thread.Diameters {
	lower, upper := s.Form.Flanks()
	sharp := s.Pitch / unit.Length(math.Tan(lower)+math.Tan(upper))
	if s.external {
		d.Major = min(max(crest, d.Pitch+leastHeight*(s.Basic.Major-s.Basic.Pitch)), d.Pitch+mostHeight*sharp)
	} else {
		d.Minor = max(min(crest, d.Pitch-leastHeight*(s.Basic.Pitch-s.Basic.Minor)), d.Pitch-mostHeight*sharp)
	}
	return d
}

// beyond is how far a crest lies outside the limits of its size, 0 within.
func (s sized) beyond(crest unit.Length) unit.Length {
	least, most := s.crestOf(s.at(MinMaterial)), s.crestOf(s.at(MaxMaterial))
	least, most = min(least, most), max(least, most)
	return crest - min(max(crest, least), most)
}

// read takes in the crest that was read; one that lies a pitch from where the thread has crests is of another thread.
func (s *sized) read(side Side) error {
	crest := *side.Crest
	s.crest, s.crestU = &crest, side.CrestU
	if d := s.withCrest(s.at(MidLimits), crest); s.crestOf(d)-crest > s.Pitch || crest-s.crestOf(d) > s.Pitch {
		return fmt.Errorf("%s has no crest at %s: its pitch diameter is about %s", s.Designation, crest.TextMM(), d.Pitch.TextMM())
	}
	return nil
}

// inHand is the thread at p with the crest that was read.
func (s sized) inHand(p Point) thread.Diameters {
	if s.crest == nil {
		return s.at(p)
	}
	return s.withCrest(s.at(p), *s.crest)
}

// couldBe lists the diameters that the thread may have at p, given the crest that was read. A crest outside its limits is worn or
// flattened, and the flanks stay, or the thread is off its size, and they move along: each as likely as the other (common
// practice, no published source).
func (s sized) couldBe(p Point) []thread.Diameters {
	if s.crest == nil {
		return []thread.Diameters{s.at(p)}
	}
	var out []thread.Diameters
	for _, off := range spread(s.crestU.MM(), crestNodes) {
		crest := *s.crest + unit.MM(off)
		for _, by := range []unit.Length{0, s.beyond(crest)} {
			out = append(out, s.withCrest(s.at(p).Plus(by), crest))
		}
	}
	return out
}
