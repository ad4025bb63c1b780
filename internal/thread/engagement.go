package thread

// This file says how long a thread has to be engaged to be told by feel: the default height of a ring.

import (
	"fmt"
	"math"

	"tryring/internal/unit"
)

// A ring that is tried by hand shows a wrong pitch by the turns after which it binds: in 6 pitches an error of 1 in 12.5
// (11.5 threads per inch against 12.5) has run up to half a pitch. Beyond 9 pitches, the length on which ASME B1.1 rests
// its tolerances, more turns cost print time and tell no more. Common practice, no published source.
const (
	leastPitches = 6
	mostPitches  = 9
)

// Engagement returns the length of engagement that t needs, and the rule it comes from in words. A straight thread gets
// what its standard calls normal, but no less than 6 and no more than 9 pitches; a taper thread its useful length.
func (t Thread) Engagement() (length unit.Length, rule string) {
	if l, err := t.TaperLengths(); err == nil {
		return max(l.Useful, leastPitches*t.Pitch), fmt.Sprintf("useful thread of %s", t.Standard)
	}
	if t.series == nil {
		return t.bounded(diameterEngagement(t))
	}
	return t.bounded(t.series.family.engagement(t))
}

// diameterEngagement holds where no table gives a length.
func diameterEngagement(t Thread) (unit.Length, string) {
	return t.Basic.Major, "one diameter, as ASME B1.1 takes for coarse threads, since no table gives a length"
}

// TaperLengths returns the lengths of a taper thread along its axis, and an error where t has none.
func (t Thread) TaperLengths() (TaperLengths, error) {
	if t.series == nil || t.Taper <= 0 {
		return TaperLengths{}, fmt.Errorf("%s is not a taper thread of a standard here", t.Designation)
	}
	f, _ := t.series.family.(*Listed) // formulas have no taper threads
	return f.taper(t), nil
}

// bounded keeps length within 6 to 9 pitches and says so.
func (t Thread) bounded(length unit.Length, rule string) (unit.Length, string) {
	switch least, most := leastPitches*t.Pitch, mostPitches*t.Pitch; {
	case length < least && !nearly(length.MM(), least.MM()):
		return least, rule + fmt.Sprintf(", raised to the %d pitches that show a wrong pitch by feel", leastPitches)
	case length > most && !nearly(length.MM(), most.MM()):
		return most, rule + fmt.Sprintf(", cut to %d pitches, beyond which more turns tell no more", mostPitches)
	}
	return length, rule
}

// engagement is the middle of the normal group N of ISO 965-1: 2.24 P d^0.2 to 6.7 P d^0.2, d being the lower end of
// the range of diameters, all in mm (clause on length of thread engagement; formula from memory).
func (Metric) engagement(t Thread) (unit.Length, string) {
	d := t.Basic.Major.MM()
	if i, err := diameterRange(d); err == nil {
		d = diameterRanges[i-1]
	}
	return unit.MM((2.24 + 6.7) / 2 * t.Pitch.MM() * math.Pow(d, 0.2)), "middle of the normal group of lengths of engagement of ISO 965-1"
}
