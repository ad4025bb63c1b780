package standing

// This file says where a job stands in a few words.

import (
	"fmt"
	"strings"
)

// Answer is where the job stands, in a sentence of what matters most and one on both threads.
func (s Standing) Answer() []string {
	var sides []string
	for _, side := range s.Sides {
		sides = append(sides, upper(side.answer())+".")
	}
	threads := strings.Join(sides, " ")
	lead := ""
	switch best := s.Order; {
	case len(s.Contradictions) == 1:
		lead = "One thing contradicts."
	case len(s.Contradictions) > 1:
		lead = fmt.Sprintf("%d things contradict.", len(s.Contradictions))
	case s.Next.Action == Together:
		lead = fmt.Sprintf("No ring is needed: the two go together as they are (%s).", percent(s.Fit.Chance))
	case s.Next.Action == OrderPart:
		lead = fmt.Sprintf("Order %s: it joins both threads (%s).", best.Part, percent(best.Chance))
	case best != nil:
		lead = fmt.Sprintf("%s joins both threads (%s); a step is left before it is ordered.", upper(best.Part), percent(best.Chance))
	case len(s.Parts) > 0:
		lead = fmt.Sprintf("No part of %s is likely to join both threads.", s.List)
	default:
		return []string{threads}
	}
	return []string{lead, threads}
}

// answer is what a side is, and how sure.
func (side Side) answer() string {
	first, _, known := side.top()
	switch doubt := side.Doubt(); {
	case !known:
		return words[side.Name] + " is not known yet"
	case doubt != "":
		return doubt
	case side.Answer == nil:
		return fmt.Sprintf("%s is said to be %s", words[side.Name], first.Designation)
	}
	return fmt.Sprintf("%s is %s (%s)", words[side.Name], first.Designation, percent(first.Weight))
}

// Decided says what was decided, at which chance and against what; "" where nothing was. Plain says that it is what all
// readings and tries say, as surely then as now.
func (side Side) Decided() (text string, plain bool) {
	if side.Thread == nil {
		return "", true
	}
	text = side.Thread.Designation
	d := side.Decision
	if d.Weight > 0 {
		text += ", at " + percent(d.Weight) + " then"
		if d.Second != "" {
			text += " against " + d.Second
		}
	}
	first, _, _ := side.top()
	return text, first.Designation == side.Thread.Designation && !(d.Weight > 0 && d.Weight < settled)
}

// upper begins text with a capital letter.
func upper(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// percent is a chance as people read it: never 0, and 100 % only of what was said.
func percent(p float64) string {
	switch {
	case p > 0.99 && p < 1:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
