package standing

// This file holds the one next step of a job: the ladder of what can be done, the cheapest first.

import (
	"fmt"
	"slices"

	"tryring/internal/job"
	"tryring/internal/parts"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// Action is what a step does.
type Action string

// The actions.
const (
	// TakeBack drops the entry with the number Entry.
	TakeBack Action = "take back"
	// Read fills Fields of the side.
	Read Action = "read"
	// MakeLeaf and MakeSheet make a leaf, or a page to lay on, that tells the threads of the side apart; Fields and Otherwise take what is
	// seen on it.
	MakeLeaf  Action = "make a leaf"
	MakeSheet Action = "make a sheet"
	// TryGauge tries Gauge, a gauge of a drawer.
	TryGauge Action = "try a gauge"
	// Decide takes the candidate with the number Take.
	Decide Action = "decide"
	// Together turns both threads together as they are.
	Together Action = "try together"
	// Shortlist ranks the parts of List. In every step a list of "" is one that is still to be found.
	Shortlist Action = "shortlist"
	// Ask asks the shop.
	Ask Action = "ask"
	// Print makes a ring, with Inner and Outer where it is not the one that was decided on.
	Print Action = "print"
	// Try tries the printed ring on a side.
	Try Action = "try"
	// Measure reads the printed ring with a caliper.
	Measure Action = "measure"
	// OrderPart orders Part.
	OrderPart Action = "order"
)

// Step is the next thing to do. The words for a command or a button are made at the edge from what it holds.
type Step struct {
	Action Action
	// Side is job.Stays or job.Goes, "" where it is of neither.
	Side string
	// Text is the instruction.
	Text string
	// Fields are what a reading fills, and what is known of it; Otherwise is the key for a reading that shows no.
	Fields    []reading.Field
	Otherwise string
	// Take and Entry are numbers of a candidate and of an entry; Sure is set where that candidate is not the likely one.
	Take, Entry int
	Sure        bool
	// Gauge is the folder of a gauge's drawer, and its name there.
	Gauge string
	// Inner and Outer are the threads of a ring, Clearance is its clearance.
	Inner, Outer string
	Clearance    unit.Length
	List, Part   string
	// Printer is the name of the printer that made the ring that is measured.
	Printer string
}

// rung is one rung of the ladder; step is nil where there is nothing to do on it.
type rung struct {
	name string
	step func(s *Standing) *Step
}

// ladder is what can be done in the order in which it costs: contradictions first, since all else stands on what is right.
var ladder = []rung{
	{"mend what contradicts", (*Standing).mend},
	{"read what nothing is known of", (*Standing).begin},
	{"settle which thread a side is", (*Standing).settle},
	{"decide", (*Standing).decide},
	{"turn the two together", (*Standing).together},
	{"look for a part", (*Standing).look},
	{"ask the shop", (*Standing).ask},
	{"print the ring", (*Standing).printRing},
	{"try the ring", (*Standing).tryRing},
	{"look at a print that does not fit", (*Standing).measure},
	{"order", (*Standing).orderPart},
}

// next is the first step of the ladder.
func (s *Standing) next() Step {
	for _, r := range ladder {
		if step := r.step(s); step != nil {
			return *step
		}
	}
	return Step{}
}

func (s *Standing) mend() *Step {
	for _, c := range s.Contradictions {
		if c.Mend != nil {
			return c.Mend
		}
	}
	return nil
}

func (s *Standing) begin() *Step {
	for _, side := range s.Sides {
		if side.Answer == nil && side.Thread == nil {
			return readFirst(side)
		}
	}
	return nil
}

// readFirst asks for the first readings of a side.
func readFirst(side Side) *Step {
	what := map[string]string{job.Stays: "bore, crest to crest", job.Goes: "outside diameter"}[side.Name]
	return &Step{
		Action: Read, Side: side.Name, Fields: append(diameterOf(side.Name), counted()...),
		Text: fmt.Sprintf("read %s: the %s, and count the crests over 1 in (25.4 mm)", words[side.Name], what),
	}
}

// tells are the ways to find out which thread a side is, the cheapest first: both sides are looked at for one before the next.
var tells = []func(s *Standing, side Side) *Step{
	(*Standing).readAnew, (*Standing).gauge, (*Standing).readFurther, (*Standing).ringThatTells,
}

// settle takes what is open about a side further, unless a part joins whatever it is.
func (s *Standing) settle() *Step {
	if len(s.Parts) > 0 && s.Parts[0].Chance >= settled {
		return nil
	}
	for _, tell := range tells {
		for _, side := range s.Sides {
			if first, _, known := side.top(); side.Answer == nil || known && first.Weight >= settled {
				continue
			}
			if step := tell(s, side); step != nil {
				return step
			}
		}
	}
	return nil
}

// readAnew starts over where a thread of no table is likelier than any other.
func (s *Standing) readAnew(side Side) *Step {
	all := side.Answer.Candidates
	none := all[len(all)-1].Weight
	if first, _, known := side.top(); known && none <= first.Weight {
		return nil
	}
	step := readFirst(side)
	step.Text = fmt.Sprintf("read %s again: a thread of no table is likelier (%s) than any other", words[side.Name], percent(none))
	return step
}

// readFurther is the reading that is expected to tell most.
func (s *Standing) readFurther(side Side) *Step {
	n := side.Answer.Next()
	if n == nil || n.Best == nil {
		return nil
	}
	if step := s.byLeaf(side, n); step != nil {
		return step
	}
	return &Step{
		Action: Read, Side: side.Name, Fields: n.Best.Fields, Otherwise: n.Best.Otherwise,
		Text: fmt.Sprintf("%s on %s, to tell %s from %s", n.Best.What, words[side.Name], n.Between[0], n.Between[1]),
	}
}

// ringThatTells is the ring that tells two threads of a side apart: to print, and then to try once.
func (s *Standing) ringThatTells(side Side) *Step {
	p := s.around.Printer
	for _, x := range side.Answer.TellApart(p) {
		tells := fmt.Sprintf("it tells %s from %s", x.Between[0], x.Between[1])
		switch {
		case !x.Can, slices.ContainsFunc(side.Tries, func(t job.Try) bool { return t.Thread == x.Print }):
			continue
		case s.ring.name != "" && s.ring.on(side.Name) == x.Print:
			return s.try(side, "try the printed ring, since "+tells+",")
		}
		step := s.print(fmt.Sprintf("print one ring with %s for %s and a clearance of %.2f mm: %s", x.Print, words[side.Name], x.ClearanceMM, tells))
		step.Side, step.Clearance = side.Name, unit.MM(x.ClearanceMM)
		for _, of := range s.Sides {
			to := map[string]*string{job.Stays: &step.Outer, job.Goes: &step.Inner}[of.Name]
			if first, _, known := of.top(); of.Name == side.Name {
				*to = x.Print
			} else if known && of.Thread == nil {
				*to = first.Designation
			}
		}
		return step
	}
	return nil
}

func (s *Standing) decide() *Step {
	for _, side := range s.Sides {
		if first, _, known := side.top(); known && side.Thread == nil {
			return decide(side, first)
		}
	}
	return nil
}

// decide takes the likeliest thread of a side.
func decide(side Side, first reading.Candidate) *Step {
	return &Step{
		Action: Decide, Side: side.Name, Take: 1, Sure: first.Weight < likely,
		Text: fmt.Sprintf("take %s for %s (%s)", first.Designation, words[side.Name], percent(first.Weight)),
	}
}

func (s *Standing) goAsTheyAre() bool { return s.Fit != nil && s.Fit.Chance >= likely }

// together needs no ring where the two go as they are.
func (s *Standing) together() *Step {
	if !s.goAsTheyAre() {
		return nil
	}
	return &Step{
		Action: Together,
		Text: fmt.Sprintf("no ring is needed: by their threads the two go together as they are (%s). Turn one into the other by hand; what does not go is dirty, damaged or another thread",
			percent(s.Fit.Chance)),
	}
}

func (s *Standing) look() *Step {
	if len(s.Parts) > 0 {
		return nil
	}
	return &Step{Action: Shortlist, Text: "type a shop's adapters into a list (part, inner thread, outer thread), and rank it"}
}

// ask asks for what would settle the best part, or for a part that the list does not have.
func (s *Standing) ask() *Step {
	switch best := s.Parts[0]; {
	case best.Chance <= parts.OpenFrom:
		return &Step{Action: Ask, Text: fmt.Sprintf("no part of %s joins both (%s at best, %s): ask for an adapter with %s and %s",
			s.List, percent(best.Chance), best.Name, named("inside", s.Sides[1]), named("outside", s.Sides[0]))}
	case best.Chance < settled && best.Ask != "":
		return &Step{Action: Ask, Part: best.Name, List: s.List, Text: fmt.Sprintf("%s about %s, and put the answer into %s", best.Ask, best.Name, s.List)}
	}
	return nil
}

func (s *Standing) printRing() *Step {
	if s.ring.name != "" || s.tried(0) || s.tried(1) {
		return nil
	}
	return s.print("print the ring to try both threads by hand, before any money is spent")
}

// print makes the ring of both sides.
func (s *Standing) print(text string) *Step { return &Step{Action: Print, Text: text} }

// tried says whether a ring with the thread of a side was tried on it.
func (s *Standing) tried(side int) bool {
	of := s.Sides[side]
	return of.Thread != nil && slices.ContainsFunc(of.Tries, func(t job.Try) bool { return t.Thread == of.Thread.Designation })
}

func (s *Standing) tryRing() *Step {
	for i, side := range s.Sides {
		if !s.tried(i) {
			return s.try(side, "try the printed ring")
		}
	}
	return nil
}

func (s *Standing) try(side Side, text string) *Step {
	return &Step{Action: Try, Side: side.Name, Text: text + " on " + words[side.Name] + ", and say whether it goes, is snug, rattles, stops or does not start"}
}

// measure looks at a ring that does not fit the thread that it was made for and that is still the likeliest.
func (s *Standing) measure() *Step {
	for _, side := range s.Sides {
		if last := side.Tries[len(side.Tries)-1]; !fits(last.Result) {
			return &Step{Action: Measure, Side: side.Name, Printer: last.Printer, Text: fmt.Sprintf(
				"measure the printed ring beside the table of its report: %s is still %s by all that is known, so the print is likelier off than the thread",
				words[side.Name], side.Thread.Designation)}
		}
	}
	return nil
}
