package reading

// This file holds slips: what people do otherwise than they say. Each is a hypothesis that is weighed beside the threads, and the
// likeliest are asked about.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// The shares of people who make each slip; common practice, no published source.
const (
	// swapShare name the bore for the outside, or the outside for the bore.
	swapShare = 0.01
	// wayShare count spaces for crests, or crests for spaces, and offShare are one off the other way.
	wayShare = 0.05
	offShare = 0.03
	// inchShare leave the unit out and mean inches, of those who write a number so small that it could be.
	inchShare = 0.10
	// perInchShare leave the unit out and mean threads to the inch, of those who write a pitch so large that it could be.
	perInchShare = 0.10
	// digitShare exchange two digits that stand side by side.
	digitShare = 0.005
	// unsteadyShare hold a tool so that it reads unsteadyTimes as far off over a diameter as its figures say, and unsteadyAlong as far
	// along the axis, where two crests are to be seen.
	unsteadyShare = 0.2
	unsteadyTimes = 3
	unsteadyAlong = 2
	// wornUnsaid read a worn or flattened crest and do not say so, coatedUnsaid one with dirt or paint on it.
	wornUnsaid   = 0.03
	coatedUnsaid = 0.02
)

// mostBareInches is the largest number without a unit that could be meant in inches: no bath has a wider pipe.
const mostBareInches = 6

// leastBarePerInch is the smallest number without a unit that could be meant as threads to the inch: 1 3/4-5 and 2-4.5 UNC (ASME
// B1.1-2019) are cut in plumbing and machines, coarser ones hardly.
const leastBarePerInch = 4

// slip is a set of readings as it would have been typed but for one slip; the first of all is as it was typed.
type slip struct {
	set   Set
	found Found
	share float64
	// stretch is by how much a change of what was typed changes what is read: densities are of what was typed.
	stretch float64
	// as says what was done, to follow "if"; again is what should be read again, "" where what was typed stands.
	as, again string
}

// slips lists s as it was typed, and as it would have been but for each slip that could be.
func (s Set) slips() []slip {
	out := []slip{{set: s, found: s.Find(), share: 1, stretch: 1}}
	add := func(set Set, share, stretch float64, again, as string, args ...any) {
		out[0].share -= share
		out = append(out, slip{set, set.Find(), share, stretch, fmt.Sprintf(as, args...), again})
	}
	if s.byHand() {
		add(s.unsteady(), unsteadyShare, 1, "", "the tool was not held true")
	}
	if len(s.diameters()) > 0 && !s.Worn {
		worn, coated := s, s
		worn.Worn, coated.coated = true, true
		add(worn, wornUnsaid, 1, "", "the thread is worn, or its crests are flattened")
		add(coated, coatedUnsaid, 1, "", "dirt or paint is on the crests")
	}
	if other, text, stretch := s.perInch(); text != "" {
		add(other, perInchShare, stretch, text, "%s is meant as threads to the inch", text)
	}
	if !s.byHand() {
		return out
	}
	if ds := s.diameters(); len(ds) > 0 && len(s.Wires) == 0 && len(s.Ratios) == 0 {
		swapped := s
		swapped.Outside, swapped.Bore = s.Bore, s.Outside
		was, is := "outside diameter", "bore"
		if !s.External() {
			was, is = is, was
		}
		add(swapped, swapShare, 1, ds[0].Text, "%s is the %s, not the %s", ds[0].Text, is, was)
	}
	if len(s.Counts) > 0 && len(s.Pitches) == 0 {
		for _, more := range []float64{1, -1} {
			if other, ok := s.counted(more); ok {
				share := offShare
				if s.Counts[0].takenOtherwise(more) {
					share = wayShare
				}
				add(other, share, other.Counts[0].pitch().Value/s.Counts[0].pitch().Value, "the count", "%s", s.Counts[0].miscounted(more))
			}
		}
	}
	if other, ok := s.inInches(); ok {
		add(other, inchShare, unit.MMPerInch, s.diameters()[0].Text, "%s is meant in inches", s.diameters()[0].Text)
	}
	others := s.exchanged()
	for _, other := range others {
		was, is := s.diameters()[0].Text, other.diameters()[0].Text
		add(other, digitShare/float64(len(others)), 1, was, "%s was meant, not %s", is, was)
	}
	return out
}

// byHand says whether anything was counted, or a diameter read, by somebody's hand.
func (s Set) byHand() bool {
	return len(s.Counts) > 0 || slices.ContainsFunc(s.diameters(), func(r Reading) bool { return !r.Instrument.Steady })
}

// unsteady is s as read by an unsteady hand.
func (s Set) unsteady() Set {
	loose := func(rs []Reading) []Reading {
		rs = slices.Clone(rs)
		for i := range rs {
			rs[i] = rs[i].unsteady()
		}
		return rs
	}
	s.Outside, s.Bore, s.Throat = loose(s.Outside), loose(s.Bore), loose(s.Throat)
	s.Counts = slices.Clone(s.Counts)
	for i := range s.Counts {
		s.Counts[i].Over = s.Counts[i].Over.unsteady()
	}
	return s
}

// counted is s with every count that much higher; ok is false where that would be no thread, or where counts over unlike lengths
// agree one way only.
func (s Set) counted(more float64) (other Set, ok bool) {
	other = s
	other.Counts = slices.Clone(s.Counts)
	var names []string
	var values []Estimate
	for i := range other.Counts {
		c := &other.Counts[i]
		c.N += more
		if !(c.pitches() > 0) || c.plausible() != nil {
			return s, false
		}
		names, values = append(names, c.name()), append(values, c.pitch())
	}
	_, bad := independent("pitch", names, values)
	return other, len(bad) == 0
}

// takenOtherwise says whether so many more are what c would be had it been counted the other way.
func (c Count) takenOtherwise(more float64) bool { return (c.Way == Crests) == (more > 0) }

// miscounted says how c came to be that much too low.
func (c Count) miscounted(more float64) string {
	switch {
	case c.takenOtherwise(more):
		return fmt.Sprintf("%s were counted, not %s", c.other().Way, c.Way)
	case more > 0:
		return "one space too few was counted"
	}
	return "one crest too many was counted"
}

// inInches is s with its bare numbers read in inches.
func (s Set) inInches() (other Set, ok bool) {
	other = s
	meant := func(rs []Reading) []Reading {
		rs = slices.Clone(rs)
		for i := range rs {
			if x, err := unit.ParseNumber(rs[i].Text); err == nil && x <= mostBareInches && !strings.Contains(rs[i].Text, "/") {
				rs[i].Value = unit.Inches(x)
				ok = true
			}
		}
		return rs
	}
	other.Outside, other.Bore = meant(s.Outside), meant(s.Bore)
	diameter := ok
	other.Throat = meant(s.Throat)
	other.Counts = slices.Clone(s.Counts)
	for i := range other.Counts {
		c := &other.Counts[i]
		if c.Over = meant([]Reading{c.Over})[0]; c.plausible() != nil {
			return s, false
		}
	}
	return other, diameter
}

// perInch is s with its bare pitches read as threads to the inch; text is the first, "" where there is none, and stretch by how much
// the pitch changes with it, or 1 where only leaves seat or do not.
func (s Set) perInch() (other Set, text string, stretch float64) {
	other, stretch = s, 1
	bare := func(pitch string) bool {
		x, err := unit.ParseNumber(pitch)
		if err != nil || x < leastBarePerInch || strings.Contains(pitch, "/") {
			return false
		}
		text = cmp.Or(text, pitch)
		return true
	}
	other.Leaves, other.Pitches = slices.Clone(s.Leaves), slices.Clone(s.Pitches)
	for i, l := range s.Leaves {
		if bare(l.Text) {
			other.Leaves[i].Pitch = unit.MM(unit.MMPerInch / l.Pitch.MM())
		}
	}
	for i, p := range s.Pitches {
		if !bare(p.Text) {
			continue
		}
		meant, err := ParsePerInch(p.Text)
		if err != nil {
			return s, "", 1
		}
		other.Pitches[i].Value, stretch = meant.Value, meant.Value.Value/p.Value.Value
	}
	return other, text, stretch
}

// exchanged lists s with each two neighbouring digits of its diameter exchanged. A slip of the fingers is not repeated, and would
// show among several readings.
func (s Set) exchanged() (out []Set) {
	if len(s.diameters()) != 1 || s.diameters()[0].Half > 0 {
		return nil
	}
	r := s.diameters()[0]
	digit := func(c rune) bool { return c >= '0' && c <= '9' }
	text := []rune(r.Text)
	for k := 1; k < len(text); k++ {
		if strings.Contains(r.Text, "/") || !digit(text[k]) || !digit(text[k-1]) || text[k] == text[k-1] {
			continue
		}
		other := slices.Clone(text)
		other[k], other[k-1] = text[k-1], text[k]
		meant, err := ParseReading(string(other), r.Instrument)
		if err != nil || meant.plausible() != nil {
			continue
		}
		set := s
		if s.External() {
			set.Outside = []Reading{meant}
		} else {
			set.Bore = []Reading{meant}
		}
		out = append(out, set)
	}
	return out
}

// Question asks about a slip that would explain the readings.
type Question struct {
	// Text is the whole question, If what a person may have done otherwise than said.
	Text string `json:"text"`
	If   string `json:"if"`
	// Designation is the thread that it would then be, Weight the chance that it is so: that slip and that thread.
	Designation string  `json:"designation"`
	Weight      float64 `json:"weight"`
}

const (
	// worthAsking is the chance from which a slip is asked about, mostAsked how many are.
	worthAsking = 0.02
	mostAsked   = 3
)

// explains says whether sl is worth asking about for t: something was typed wrong, or t needs an explanation.
func (sl slip) explains(t thread.Thread, among []Candidate) bool {
	return sl.again != "" || slices.ContainsFunc(among, func(c Candidate) bool { return c.Designation == t.Designation && c.slip.as != "" })
}

// question asks about sl, with c the likeliest thread given it.
func (sl slip) question(c candidate, weight float64) Question {
	name := c.thread.Designation
	if c.use != nil {
		name += ", " + c.use.What
	}
	return Question{Text: fmt.Sprintf("If %s, it is %s. Is it so?", sl.as, name), If: sl.as, Designation: c.thread.Designation, Weight: unit.Round(weight)}
}

// widened is what of finds given any of the slips, each by its chance.
func widened(slips []slip, chances []float64, of func(Found) *Estimate) *Estimate {
	var could []Estimate
	var by []float64
	for k, sl := range slips {
		if e := of(sl.found); e != nil {
			could, by = append(could, *e), append(by, chances[k])
		}
	}
	if of(slips[0].found) == nil {
		return nil
	}
	e := oneOf(could, by)
	return &e
}
