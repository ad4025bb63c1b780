package bench

// This file answers what the readings of one part could stand for.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	problem "tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// mostCandidates is how many threads are shown; the rest are summed up.
const mostCandidates = 5

// identified is the answer for one part.
type identified struct {
	Faults []fault `json:"faults"`
	// Readings are those of the document.
	Readings []readingView `json:"readings"`
	// Read says what was read, in words; "" when nothing was.
	Read           string          `json:"read"`
	Candidates     []candidateView `json:"candidates"`
	Notes          []string        `json:"notes"`
	Contradictions []string        `json:"contradictions"`
	// Questions ask what may have been done otherwise than said.
	Questions []string `json:"questions"`
	// Next is the reading that would tell most.
	Next string `json:"next"`
}

type candidateView struct {
	reading.Candidate
	// Pick is false for what stands for no single thread.
	Pick bool `json:"pick"`
}

// identify answers GET /api/identify?part=stays|goes.
func (s *site) identify(r Request) Answer {
	for _, side := range sides {
		if side.name == r.Query.Get("part") {
			f, faults := readForm(r.Query)
			return answer(s.identifyPart(f, faults, side))
		}
	}
	return says(badRequest, fmt.Sprintf("part %q; it is stays or goes", r.Query.Get("part")))
}

// identifyPart weighs what the document and the fields say of one part.
func (s *site) identifyPart(f form, faults []fault, side part) identified {
	out := identified{Faults: []fault{}, Readings: []readingView{}, Candidates: []candidateView{}, Notes: []string{}, Contradictions: []string{}, Questions: []string{}}
	sh, more := f.sheet()
	out.Faults = append(out.Faults, side.own(append(faults, more...))...)
	if sh.Document == nil {
		return out
	}
	out.Readings = sh.kept(side)
	if len(out.Faults) > 0 {
		return out
	}
	found, err := identity.Of(sh.Document, side.name, s.tables)
	if err != nil {
		for _, one := range problem.Each(err) {
			if !errors.Is(one, reading.ErrNothing) {
				out.Faults = append(out.Faults, laid(one, sh.laidOn(side))...)
			}
		}
		return out
	}
	out.Read = readWords(found.Answer)
	switch {
	case found.Tries == 1:
		out.Read += "; 1 ring tried"
	case found.Tries > 1:
		out.Read += fmt.Sprintf("; %d rings tried", found.Tries)
	}
	out.Notes = append(out.Notes, found.Found.Notes...)
	for _, c := range found.Found.Contradictions {
		out.Contradictions = append(out.Contradictions, fmt.Sprintf("%s. Take %s again.", c.Text, c.Again))
	}
	for _, q := range found.Questions {
		out.Questions = append(out.Questions, q.Text)
	}
	last := len(found.Candidates) - 1
	rest := 0.0
	for i, c := range found.Candidates {
		if i != last && i >= mostCandidates {
			rest += c.Weight
			continue
		}
		if i == last && rest > 0 {
			out.Candidates = append(out.Candidates, candidateView{reading.Candidate{Designation: fmt.Sprintf("%d others together", last-mostCandidates), Weight: rest}, false})
		}
		out.Candidates = append(out.Candidates, candidateView{c, c.Thread != nil})
	}
	if next := found.Next; next != nil && next.Best != nil {
		out.Next = fmt.Sprintf("To tell %s from %s: %s.", next.Between[0], next.Between[1], next.Best.What)
	}
	return out
}

// own keeps the faults that concern the part.
func (p part) own(faults []fault) []fault {
	return slices.DeleteFunc(slices.Clone(faults), func(f fault) bool { return strings.Contains(f.Field, ".") && !strings.HasPrefix(f.Field, p.prefix) })
}

// readWords says what was read with its uncertainty.
func readWords(a reading.Answer) string {
	var out []string
	if d := a.Found.Diameter; d != nil {
		what := "bore"
		if a.Set.External() {
			what = "outside"
		}
		low, high := d.Interval()
		half := (high - low) / 2
		out = append(out, fmt.Sprintf("%s %.2f ± %.2f mm (%.4f ± %.4f in)", what, d.Value, half, unit.MM(d.Value).Inches(), unit.MM(half).Inches()))
	}
	if p := a.Found.Pitch; p != nil {
		low, high := p.Interval()
		half := (high - low) / 2
		out = append(out, fmt.Sprintf("pitch %.3f ± %.3f mm (%.2f ± %.2f to the inch)", p.Value, half, unit.MMPerInch/p.Value, unit.MMPerInch/p.Value*half/p.Value))
	}
	return strings.Join(out, ", ")
}

// mostSuggested is how many threads are offered while a name is typed.
const mostSuggested = 12

// threads answers GET /api/threads?text=…: names to offer while one is typed.
func (s *site) threads(r Request) Answer {
	text := r.Query.Get("text")
	names := []string{}
	if text = strings.TrimSpace(text); text != "" && len(text) <= maxField {
		for _, t := range s.tables.Search(text) {
			if names = append(names, t.Designation); len(names) == mostSuggested {
				break
			}
		}
	}
	return answer(names)
}
