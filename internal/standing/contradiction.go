package standing

// This file finds what in a job cannot all be right, and what would mend it.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/trial"
)

// Contradiction is what cannot all be right. Mend is the step that would put it right, nil where other steps do.
type Contradiction struct {
	Text string
	Mend *Step
}

func (s *Standing) against(mend *Step, format string, args ...any) {
	s.Contradictions = append(s.Contradictions, Contradiction{fmt.Sprintf(format, args...), mend})
}

// words name the sides in a sentence.
var words = map[string]string{job.Stays: "the fitting that stays", job.Goes: "the part that goes in"}

// unreadable tells of readings of a side that are not of one thread. The last of them is taken back first.
func (s *Standing) unreadable(side Side, err error) {
	last := Step{Action: TakeBack, Side: side.Name}
	var texts []string
	for _, f := range fault.Each(err) {
		number, key, _ := strings.Cut(f.Field, ".")
		if id, err := strconv.Atoi(number); err == nil {
			last.Entry = max(last.Entry, id)
			f.Field = key + " (entry " + number + ")"
		}
		texts = append(texts, f.Error())
	}
	mend := &last
	if last.Entry == 0 {
		mend = readFirst(side)
	} else {
		last.Text = fmt.Sprintf("take entry %d back, or the one that it speaks against", last.Entry)
	}
	s.against(mend, "readings of %s: %s", words[side.Name], strings.Join(texts, "; "))
}

// spoiledList tells of a list that cannot be read any more.
func (s *Standing) spoiledList(err error) {
	s.against(&Step{Action: Shortlist, Text: "say where the parts list is now, or name its columns"}, "the parts list %s: %s", s.List, err)
}

// fell is the share of its weight below which a decision has become doubtful since; unexplained the chance below which a
// thread that was named without a chance is one that the readings speak against.
const (
	fell        = 0.8
	unexplained = 0.1
)

// contradict looks for all that shows once both sides are known.
func (s *Standing) contradict() {
	for _, side := range s.Sides {
		if side.Answer != nil {
			s.wrongSide(side)
			for _, c := range side.Answer.Found.Contradictions {
				s.against(&Step{Action: Read, Side: side.Name, Text: "take " + c.Again + " again, on " + words[side.Name], Fields: fieldsAgain(c, side)},
					"%s: %s", words[side.Name], c.Text)
			}
			s.decidedOtherwise(side)
		}
		s.triedOtherwise(side)
		if side.Thread != nil && s.ring.name != "" && s.ring.on(side.Name) != side.Thread.Designation {
			s.against(s.print("print the ring anew"), "the ring %s was made for %s on %s, and that was decided to be %s",
				s.ring.name, s.ring.on(side.Name), words[side.Name], side.Thread.Designation)
		}
	}
}

// wrongSide tells of a diameter that a thread of that side does not have: what stays has a thread inside, what goes in outside.
func (s *Standing) wrongSide(side Side) {
	wrong, right := "bore", "outside"
	if side.Name == job.Stays {
		wrong, right = right, wrong
	}
	for _, r := range side.Records {
		if r.What == wrong {
			s.against(&Step{Action: TakeBack, Side: side.Name, Entry: r.ID, Text: fmt.Sprintf("take entry %d back, and give it as %s if it was that", r.ID, right)},
				"entry %d is the %s of %s, whose thread has none: read the %s", r.ID, wrong, words[side.Name], right)
		}
	}
}

// decidedOtherwise tells of a decision that all that is known now speaks against.
func (s *Standing) decidedOtherwise(side Side) {
	if side.Thread == nil {
		return
	}
	then, now := side.Decision.Weight, side.weight(side.Thread.Designation)
	least := fell * then
	if !(then > 0) {
		least = unexplained
	}
	if now >= least {
		return
	}
	text := fmt.Sprintf("%s was decided to be %s", words[side.Name], side.Thread.Designation)
	if then > 0 {
		text += fmt.Sprintf(", at %s then", percent(then))
	}
	text += fmt.Sprintf("; by all that is known now it is that at %s", percent(now))
	first := side.Answer.Candidates[0]
	if first.Designation != side.Thread.Designation {
		text += fmt.Sprintf(", and %s at %s", first.Designation, percent(first.Weight))
	}
	var mend *Step
	if first.Thread != nil && first.Weight >= settled {
		mend = decide(side, first)
	}
	s.against(mend, "%s", text)
}

// triedOtherwise tells of rings that contradict each other on one thread: they are tried once more, and then one is taken back.
// What was doubted when it was kept stays told.
func (s *Standing) triedOtherwise(side Side) {
	doubts, err := trial.Doubts(side.Tries, s.around.Tables)
	if err != nil {
		s.against(nil, "rings on %s: %s", words[side.Name], err)
	}
	for _, d := range doubts {
		var mend *Step
		switch last := slices.Max(d.IDs); {
		case len(d.IDs) > 1 && len(side.Tries) > 2:
			mend = &Step{Action: TakeBack, Side: side.Name, Entry: last, Text: fmt.Sprintf("take back whichever of the tries %d and %d was wrong", d.IDs[0], d.IDs[1])}
		case len(d.IDs) > 1:
			mend = s.try(side, "try it once more")
		}
		s.against(mend, "on %s, %s", words[side.Name], d.Text)
	}
}

// fits says whether a result is that of a ring that goes on.
func fits(result string) bool {
	felt, err := printer.ParseFelt(result)
	return err == nil && felt.Through()
}

// fieldsAgain are the fields that take the reading that is taken again.
func fieldsAgain(c reading.Contradiction, side Side) []reading.Field {
	key := map[string]string{"the count": "count", "the angle": "angle", "whether it tapers": "tapers"}[c.Again]
	for _, r := range side.Records {
		if key == "" && strings.HasPrefix(c.Again, r.Text) {
			key = r.What
		}
	}
	switch key {
	case "":
		return diameterOf(side.Name)
	case "count":
		return counted()
	}
	return []reading.Field{{Key: key}}
}

// diameterOf is the diameter that is read over the crests of a side, counted the crests to the inch.
func diameterOf(side string) []reading.Field {
	if side == job.Stays {
		return []reading.Field{{Key: "bore"}}
	}
	return []reading.Field{{Key: "outside"}}
}

func counted() []reading.Field { return []reading.Field{{Key: "count"}, {Key: "over", Text: "1in"}} }
