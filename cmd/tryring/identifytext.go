package main

// This file tells people what `tryring identify` found.

import (
	"fmt"
	"strings"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

const (
	// shownWeight is the least weight of a thread that is listed to people; scripts get all.
	shownWeight = 0.005
	// shownLeading are how many are listed, and shownMost how many with details.
	shownLeading, shownMost = 3, 8
	// leastShare is the least weight that does not show as 0.0 %.
	leastShare = 0.0005
	// likely is the weight from which on a thread is what it is, and not what it is most likely.
	likely = 0.9
	// mayBe is the weight from which on a thread is named before it is said that none of these is likelier.
	mayBe = 0.2
	// settledBits is what may be open between two threads that count as told apart: a chance of 1 in 200 (0.05 bit).
	settledBits = 0.05
)

// notes are what is to be said about how the readings were taken.
func (r identifyReport) notes() []string {
	notes := append([]string{}, r.Found.Notes...)
	switch {
	case r.Tries == 1:
		notes = append(notes, "1 try of a ring, kept in the job, is weighed in")
	case r.Tries > 1:
		notes = append(notes, fmt.Sprintf("%d tries of rings, kept in the job, are weighed in", r.Tries))
	}
	return notes
}

// tell tells a person what it is, and the reading that would tell most; then all that it could be, and what was read.
func (r identifyReport) tell(s *screen) string {
	best, first := r.likeliest(), r.Candidates[0]
	is, what := "It is", best.Designation
	if best.Weight < likely || len(r.Found.Contradictions) > 0 {
		is = "It is most likely"
	}
	if best.Thread == nil {
		what = "a thread of no table"
	}
	if best.Thread == nil && first.Thread != nil && first.Weight >= mayBe {
		s.say("It may be %s, at a chance of %s; likelier, at %s, is %s.", first.Designation, share(first.Weight), share(best.Weight), what)
	} else {
		s.say("%s %s, at a chance of %s.", is, what, share(best.Weight))
	}
	if leading := r.Candidates[0].Thread; leading == nil || leading.HandsOff() == nil {
		r.tellFurther(s)
	} else { // also where it is likelier none of these
		s.say("%s.", leading.HandsOff())
	}
	r.tellQuestions(s)
	s.gap()
	r.tellCandidates(s)
	s.gap()
	r.tellRead(s)
	if r.asked.tellApart {
		s.gap()
		r.tellRings(s)
	}
	return r.nextCommand()
}

// likeliest is the likeliest thread, or none of these where that is likelier.
func (r identifyReport) likeliest() reading.Candidate {
	first, none := r.Candidates[0], r.Candidates[len(r.Candidates)-1]
	if none.Weight > first.Weight {
		return none
	}
	return first
}

// open is what to read next; nil where the leading two are told apart, or where it is hardly one of them.
func (r identifyReport) open() *reading.Next {
	if best := r.likeliest(); r.Next == nil || r.Next.OpenBits < settledBits || best.Thread == nil && best.Weight >= likely {
		return nil
	}
	return r.Next
}

// tellFurther says what would tell the leading two apart.
func (r identifyReport) tellFurther(s *screen) {
	n := r.open()
	switch {
	case n == nil:
	case n.Best != nil:
		s.say("To tell %s from %s, %s (then %s).", n.Between[0], n.Between[1], n.Best.What, thenGive(*n.Best))
	default:
		s.say("No further reading is expected to tell %s from %s; compare how they fit, or print a ring.", n.Between[0], n.Between[1])
	}
}

// tellQuestions asks the best question about what may have been done otherwise than said, with details all of them.
func (r identifyReport) tellQuestions(s *screen) {
	for i, q := range r.Questions {
		if i == 0 || s.details {
			s.say("%s (%s)", q.Text, share(q.Weight))
		}
	}
}

// tellCandidates lists the leading threads, and why a likely one is that; with details more, each with its reason.
func (r identifyReport) tellCandidates(s *screen) {
	most := shownLeading
	if s.details {
		most = shownMost
	}
	var rows [][]string
	shown, rest, last := 0, 0.0, len(r.Candidates)-1
	for i, c := range r.Candidates {
		if i != last && (shown >= most || c.Weight < shownWeight) {
			rest += c.Weight
			continue
		}
		if i == last && rest >= leastShare {
			rows = append(rows, []string{wideShare(rest), number(last-shown, "other", "others together"), ""})
		}
		if i == last && c.Weight < leastShare && !s.details {
			continue
		}
		rows = append(rows, []string{wideShare(c.Weight), c.Designation, c.Standard})
		if s.details {
			rows = append(rows, []string{c.Why})
		}
		shown++
	}
	s.table(nil, rows...)
	if s.details {
		s.add("Believed beforehand, among %s: %s.", r.Among.Words(), r.Among.Prior())
	} else if best := r.likeliest(); best.Weight >= likely {
		s.add("%s.", upper(best.Why))
	}
}

// tellRead tells what was read: values with their intervals, and how they were taken.
func (r identifyReport) tellRead(s *screen) {
	var rows [][]string
	row := func(name string, e *reading.Estimate) {
		if e == nil {
			return
		}
		low, high := e.Interval()
		rows = append(rows, []string{name, unit.MM(e.Value).String(), fmt.Sprintf("%.3f to %.3f mm", low, high)})
		if s.details {
			rows = append(rows, []string{fmt.Sprintf("standard uncertainty %s, 95 %% from %.4f to %.4f in", unit.MM(e.U), low/unit.MMPerInch, high/unit.MMPerInch)})
			for _, p := range e.Parts {
				rows = append(rows, []string{fmt.Sprintf("%s: %s, %s", p.What, unit.MM(p.U), p.Source)})
			}
		}
	}
	f, side := r.Found, "outside diameter"
	if !r.Set.External() {
		side = "bore, crest to crest"
	}
	row(side, f.Diameter)
	if !r.Set.External() && s.details {
		row("major diameter from it", f.Major)
	}
	row("pitch", f.Pitch)
	if f.Ratio != nil {
		low, high := f.Ratio.Interval()
		rows = append(rows, []string{"pitch over outside diameter", fmt.Sprintf("%.4f", f.Ratio.Value), fmt.Sprintf("%.4f to %.4f", low, high)})
	}
	row("pitch diameter over wires", f.PitchDiameter)
	row("throat", f.Throat)
	row("depth of the socket", f.Depth)
	row("threaded length", f.Length)
	s.table([]string{"read", "value", "95 %"}, rows...)
	for _, note := range r.notes() {
		s.add("%s.", upper(note))
	}
	for _, c := range f.Contradictions {
		s.add("Contradiction: %s. Take %s again.", c.Text, c.Again)
	}
	if r.Names != nil {
		s.add("Two names: %s (common practice).", r.Names.Text)
	}
}

// tellRings says which of the leading threads a printed ring can tell apart.
func (r identifyReport) tellRings(s *screen) {
	if len(r.apart) == 0 {
		s.say("There is only one thread to speak of.")
	}
	for _, a := range r.apart {
		word := "cannot"
		if a.Can {
			word = "can"
		}
		s.say("A printed ring %s tell %s from %s: %s.", word, a.Between[0], a.Between[1], a.Why)
	}
}

// nextCommand is where the job leads; without a job, the same readings with the one that would tell most.
func (r identifyReport) nextCommand() string {
	if r.asked.path != "" {
		return command("job", r.asked.path)
	}
	words := append([]string{"identify"}, r.asked.readings.words()...)
	switch n, best := r.open(), r.likeliest(); {
	case n == nil && best.Thread == nil:
		words = append(words, "--details")
	case n == nil || n.Best == nil && r.asked.tellApart:
		return command("threads", r.Candidates[0].Designation)
	case n.Best == nil:
		words = append(words, "--tell-apart")
	default:
		for _, f := range n.Best.Fields {
			words = append(words, flagName(f.Key), orShown(f))
		}
	}
	return command(words...)
}

// thenGive names the flags that take what a further reading shows.
func thenGive(f reading.Further) string {
	var flags []string
	for _, field := range f.Fields {
		flags = append(flags, flagName(field.Key))
	}
	if f.Otherwise != "" {
		return strings.Join(append(flags, flagName(f.Otherwise)), " or ")
	}
	return strings.Join(flags, " and ")
}

// wideShare prints a chance as wide as "100.0 %", share without blanks.
func wideShare(p float64) string { return fmt.Sprintf("%5.1f %%", 100*p) }

func share(p float64) string { return strings.TrimSpace(wideShare(p)) }
