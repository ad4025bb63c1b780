package main

// This file holds what `tryring trial` tells people.

import (
	"fmt"
	"strings"

	"tryring/internal/check"
	"tryring/internal/trial"
	"tryring/internal/unit"
)

// offsetWords are the words for the offset of each side of a printer.
var offsetWords = map[string]string{"inside": "what inside diameters lose", "outside": "what outside diameters gain"}

// partFlags give the pitch diameter of the part of each side.
var partFlags = map[string]string{"inside": "--part-inner", "outside": "--part-outer"}

// believed tells an error: what a mate feels of it, and what of that is plain size.
func believed(o trial.Offset) string {
	return fmt.Sprintf("felt %.2f to %.2f mm, plain size %.2f to %.2f mm (95 %%)", o.FeltRangeMM[0], o.FeltRangeMM[1], o.RangeMM[0], o.RangeMM[1])
}

// sideWords tell one side in sentences.
func sideWords(s trial.SideTrial) []string {
	out := []string{"before: " + believed(s.Before), "now: " + believed(s.After)}
	n := s.Next
	if n == nil {
		return out
	}
	var gaps []string
	for _, c := range n.Clearances {
		gaps = append(gaps, fmt.Sprintf("%.2f", c.MM()))
	}
	what, of := "rungs", "what is felt"
	if n.Both {
		what, of = "pairs", "the range of what both sides come to together"
	}
	out = append(out, fmt.Sprintf("next %s: %s mm; they should narrow %s from %.2f to %.2f mm", what, strings.Join(gaps, ", "), of, n.WidthNow.MM(), n.Width.MM()))
	if n.Both {
		out = append(out, "pairs tell what both sides come to together; a caliper over the crests of the plugs (--plug RUNG=READING) tells them apart")
	}
	if n.Vague > 0 {
		out = append(out, fmt.Sprintf("the part may lie anywhere in %.2f mm of limits; its pitch diameter as read (%s), or a caliper on the print, tells more", n.Vague, partFlags[s.Side]))
	}
	return out
}

// doubtful warns of what cannot all be right.
func (s *screen) doubtful(doubts []string) {
	for _, d := range doubts {
		s.wrap(indent+s.level(check.Warn)+indent, indent+"    "+indent, upper(d)+".")
	}
}

// tellTrial tells what a trial taught. The next step is the ladder that tells more, or the list where something is doubtful.
func tellTrial(s *screen, r trial.Result) string {
	half := func(o trial.Offset) float64 { return (o.RangeMM[1] - o.RangeMM[0]) / 2 }
	inside, outside := r.Sides[0].After, r.Sides[1].After
	s.say("Printer %s: inside diameters lose %.2f ± %.2f mm, outside ones gain %.2f ± %.2f mm, by %s.",
		r.Printer, inside.ValueMM, half(inside), outside.ValueMM, half(outside), unit.Counted(r.Trials, "trial"))
	s.doubtful(r.Doubts)
	s.gap()
	for _, side := range r.Sides {
		if !s.details && side.Next == nil && believed(side.Before) == believed(side.After) {
			continue // nothing was told of it
		}
		lines := sideWords(side)
		if s.details {
			s.add("%s, %s.", upper(offsetWords[side.Side]), lines[0])
		}
		s.add("%s, %s.", upper(offsetWords[side.Side]), lines[1])
		for _, line := range lines[2:] {
			s.add("%s.", line)
		}
	}
	if !s.details && len(r.Untold) > 1 {
		r.Untold = r.Untold[:1]
	}
	for _, text := range r.Untold {
		s.add("%s.", upper(text))
	}
	for i, step := range r.Steps {
		if i == 0 || s.details {
			s.add("%s (about %.0f minutes, %.0f g) would bring what is felt to ± %.2f mm, plain size to ± %.2f mm.", upper(step.What), step.Minutes, step.Grams, step.FeltMM, step.PlainMM)
		}
	}
	s.gap()
	if len(r.Files) > 0 {
		s.add("Kept as trial %d, with a picture in %s.", r.Trial, strings.Join(r.Files, ", "))
	}
	if s.details {
		s.add("The journal is %s.", r.History)
	}
	switch {
	case len(r.Doubts) > 0:
		return command("trial", "--printer", r.Printer, "--list")
	case r.Next != nil:
		return ladderCommand(r.Next)
	}
	return command("printers")
}

// ladderCommand makes a ladder, "" for none.
func ladderCommand(n *trial.NextLadder) string {
	if n == nil {
		return ""
	}
	words := []string{"ladder", "--inner", n.Inner, "--outer", n.Outer}
	if n.Pairs {
		words = []string{"ladder", "--pairs", n.Inner}
	}
	words = append(words, "--rungs="+strings.Join(n.Rungs, ","))
	if n.HeightMM > 0 {
		words = append(words, "--height", unit.Short(n.HeightMM)+"mm")
	}
	return command(append(words, "--printer", n.Printer, "--name", n.Name)...)
}

// tellTrials lists what is kept.
func tellTrials(s *screen, l trial.List) string {
	held := 0
	for _, t := range l.Trials {
		if !t.Dropped {
			held++
		}
	}
	s.say("Printer %s: %s, kept in %s.", l.Printer, number(held, "trial counts", "trials count"), l.History)
	s.doubtful(l.Doubts)
	for _, t := range l.Trials {
		s.gap()
		lead := fmt.Sprintf("%d. ", t.ID)
		if t.Dropped {
			s.wrap(lead, strings.Repeat(" ", len(lead)), "taken back: "+t.What)
			continue
		}
		s.wrap(lead, strings.Repeat(" ", len(lead)), t.What)
		s.add("then: inside diameters lose %+.3f mm (%+.3f to %+.3f), outside ones gain %+.3f mm (%+.3f to %+.3f)",
			t.Inside.ValueMM, t.Inside.RangeMM[0], t.Inside.RangeMM[1], t.Outside.ValueMM, t.Outside.RangeMM[0], t.Outside.RangeMM[1])
	}
	s.gap()
	for _, text := range l.Untold {
		s.add("%s.", upper(text))
	}
	switch {
	case held == 0:
		return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", l.Printer)
	case l.Doubted > 0:
		return command("trial", "--printer", l.Printer, "--drop", fmt.Sprint(l.Doubted))
	}
	return command("printers")
}

// How many threads, and how many things that a result may come from, are told to a person; with details it is
// shownThreadsAll, and all.
const shownThreads, shownThreadsAll, shownMeanings = 3, 12, 2

// tellTry tells what a ring on the real thread taught.
func tellTry(s *screen, r trial.TryResult) string {
	best, none := r.Candidates[0], r.Candidates[len(r.Candidates)-1]
	answer := fmt.Sprintf("The thread is %s with a chance of %.0f %%; before this try it was %.0f %%.", best.Designation, 100*best.Weight, 100*best.Before)
	if none.Weight > best.Weight {
		answer = fmt.Sprintf("With a chance of %.0f %% it is none of the threads that are known, or not all is as it was told.", 100*none.Weight)
	}
	s.say("Ring with %s, %s side: %s. %s", r.Ring, r.Side, r.Result, answer)
	s.doubtful(r.Doubts)
	s.gap()
	shown := shownThreads
	if s.details {
		shown = shownThreadsAll
	} else {
		r.Meaning = r.Meaning[:min(shownMeanings, len(r.Meaning))]
	}
	for _, m := range r.Meaning {
		s.add("%s", m)
	}
	s.gap()
	var rows [][]string
	for i, c := range r.Candidates {
		if i < shown || i == len(r.Candidates)-1 {
			rows = append(rows, []string{c.Designation, fmt.Sprintf("%.1f %%", 100*c.Before), fmt.Sprintf("%.1f %%", 100*c.Weight)})
		}
	}
	s.table([]string{"by all readings and tries", "before", "now"}, rows...)
	s.gap()
	s.add("Kept in %s as number %d, try %d of that side. Next, %s.", r.Job, r.Try, r.Tries, r.Next)
	return r.Command
}
