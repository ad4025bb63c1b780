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

// missedMM is by how much makers miss limits of size (common practice, no published source).
const missedMM = 0.15

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

// could are diameters that a thread may have; share is how likely they are beside others.
type could struct {
	thread.Diameters
	share float64
}

// couldBe lists the diameters that the thread may have at p, given the crest that was read. A crest outside its limits is worn or
// flattened, and the flanks stay; or the thread is off its size, and they move along; or, farther off than makers are, it was misread,
// and says nothing: each as likely as the others (common practice, no published source).
func (s sized) couldBe(p Point) []could {
	if s.crest == nil {
		return []could{{s.at(p), 1}}
	}
	var out []could
	for _, off := range spread(s.crestU.MM(), crestNodes) {
		crest := *s.crest + unit.MM(off)
		beyond, d := s.beyond(crest), s.at(p)
		if math.Abs(beyond.MM()) < sameRadiusMM {
			out = append(out, could{s.withCrest(d, crest), 1})
			continue
		}
		ways := []thread.Diameters{s.withCrest(d, crest), s.withCrest(d.Plus(beyond), crest)}
		if math.Abs(beyond.MM()) > missedMM {
			ways = append(ways, d)
		}
		for _, one := range ways {
			out = append(out, could{one, 1 / float64(len(ways))})
		}
	}
	return out
}

// doubts says what was assumed of a thread, and how far a crest that was read lies beyond its limits, if it surely does.
func (s sized) doubts(side string) string {
	if s.assumed {
		return fmt.Sprintf("; no limits of %s %s are known, a pitch diameter of %s to %s is assumed", s.Designation, side, s.limits.PitchMin.TextMM(), s.limits.PitchMax.TextMM())
	}
	if s.crest == nil || math.Abs(s.beyond(*s.crest).MM()) <= missedMM+2*s.crestU.MM() {
		return ""
	}
	return fmt.Sprintf("; the crest of %s that was read lies %s beyond its limits: it is worn, off its size or misread", s.Designation, mm(math.Abs(s.beyond(*s.crest).MM())))
}
