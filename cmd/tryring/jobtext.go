package main

// This file tells people where a job stands.

import (
	"fmt"
	"slices"
	"strings"

	"tryring/internal/parts"
	"tryring/internal/reading"
	"tryring/internal/standing"
	"tryring/internal/unit"
)

// How much a screen shows without --details.
const (
	shownCandidates = 3
	shownTries      = 2
	shownRanked     = 4
)

// showJob tells the answer, what contradicts, both sides, the list, the order and the next step.
func showJob(to *screen, s standing.Standing) {
	for _, sentence := range s.Answer() {
		to.say("%s", sentence)
	}
	to.gap()
	for _, c := range s.Contradictions {
		to.say("Contradiction: %s.", c.Text)
	}
	for _, side := range s.Sides {
		showSide(to, side)
	}
	if len(s.Parts) > 0 {
		showParts(to, s.List, s.Parts)
	}
	to.gap()
	if o := s.Order; o != nil && (s.Next.Action == standing.OrderPart || s.Next.Action == standing.Ask || ofTheRing(s.Next.Action) || to.details) {
		if ofTheRing(s.Next.Action) {
			to.say("%s, once the ring has gone on both by hand:", upper(o.Sentence()))
		} else {
			to.say("%s:", upper(o.Sentence()))
		}
		for _, name := range o.Names {
			to.add("%s", name)
		}
		for _, doubt := range o.Doubts {
			to.add("this rests on a doubtful thread: %s", doubt)
		}
		to.add("first %s", o.Ask)
	}
	if s.Next.Action != standing.OrderPart {
		to.say("%s.", upper(s.Next.Text))
	}
}

// ofTheRing says whether a step is one with the printed ring, which comes last before an order.
func ofTheRing(a standing.Action) bool {
	return a == standing.Print || a == standing.Try || a == standing.Measure
}

// showSide tells what a side is, what was read and tried, and what was decided where that is not plain from it.
func showSide(to *screen, side standing.Side) {
	switch a := side.Answer; {
	case a != nil:
		var could []string
		for i, c := range a.Candidates {
			if to.details || c.Weight >= shownWeight && (i < shownCandidates || c.Thread == nil) {
				could = append(could, fmt.Sprintf("%s %.1f %%", c.Designation, 100*c.Weight))
			}
		}
		to.say("What %s: %s", side.Name, strings.Join(could, ", "))
	case side.Thread != nil:
		to.say("What %s: %s, as it was said", side.Name, side.Thread.Designation)
	default:
		to.say("What %s: nothing that tells its thread", side.Name)
	}
	if len(side.Records) > 0 {
		to.add("read: %s", numbered(side.Records, to.details))
	}
	if to.details && side.Answer != nil && side.Answer.Found.Diameter != nil {
		e := side.Answer.Found.Diameter
		to.add("diameter %s, standard uncertainty %s", unit.MM(e.Value), unit.MM(e.U))
	}
	if decided, plain := side.Decided(); decided != "" && (to.details || !plain) {
		to.add("decided: %s", decided)
	}
	var tries []string
	for i, t := range side.Tries {
		if to.details || i >= len(side.Tries)-shownTries {
			tries = append(tries, fmt.Sprintf("%d the ring with %s %s", t.ID, t.Thread, t.Result))
		}
	}
	if len(tries) > 0 {
		to.add("tried: %s", strings.Join(tries, ", "))
	}
}

// numbered lists readings, each behind its number, by which it can be taken back.
func numbered(records []reading.Record, details bool) string {
	var out []string
	for _, r := range records {
		text := fmt.Sprintf("%d %s", r.ID, r)
		if r.Instrument != "" {
			text += " by " + r.Instrument
		}
		if details && r.When != "" {
			text += " on " + r.When
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// showParts tells what the list has, those that it does not tell apart in one.
func showParts(to *screen, list string, ranked []parts.Ranked) {
	var said, out []string
	for i, p := range ranked {
		switch {
		case slices.Contains(said, p.Name):
			continue
		case !to.details && (i >= shownRanked || i > 0 && p.Chance <= parts.OpenFrom):
		default:
			name := strings.Join(append([]string{p.Name}, p.Alike...), " or ")
			said = append(said, p.Alike...)
			out = append(out, fmt.Sprintf("%s %.0f %%", name, 100*p.Chance))
		}
	}
	to.say("Parts of %s that join both: %s", list, strings.Join(out, ", "))
}
