package build

// This file lists the trials that are kept of a printer.

import (
	"fmt"
	"io"
	"strings"

	"tryring/internal/check"
	"tryring/internal/printer"
)

// TrialList is all that was tried on one printer.
type TrialList struct {
	Printer string        `json:"printer"`
	History string        `json:"history"`
	Trials  []ListedTrial `json:"trials"`
	Caution []string      `json:"caution"`
}

// ListedTrial is one trial, and what was believed after it.
type ListedTrial struct {
	Date    string       `json:"date"`
	Note    string       `json:"note"`
	Ladder  string       `json:"ladder"`
	What    string       `json:"what"`
	Inside  OffsetResult `json:"inside_takes"`
	Outside OffsetResult `json:"outside_adds"`
}

// ListTrials tells what was tried on the printer whose profile without trials is p.
func ListTrials(p printer.Profile, history string, trials []printer.Trial) TrialList {
	out := TrialList{Printer: p.Name, History: history, Trials: []ListedTrial{}, Caution: []string{check.Caution}}
	for i, t := range trials {
		upTo := trials[:i+1]
		out.Trials = append(out.Trials, ListedTrial{
			Date: t.Date, Note: t.Note, Ladder: t.Ladder, What: TrialWords(t),
			Inside: offsetResult(p.Learn(printer.Inside, upTo)), Outside: offsetResult(p.Learn(printer.Outside, upTo)),
		})
	}
	return out
}

// TrialWords tells a trial in one line.
func TrialWords(t printer.Trial) string {
	var parts []string
	for _, x := range []string{t.Date, t.Note} {
		if x != "" {
			parts = append(parts, x)
		}
	}
	for _, r := range t.Rungs {
		parts = append(parts, fmt.Sprintf("%s %s on %s %s", r.Side, r.Rung, r.Part, r.Outcome))
	}
	for _, r := range t.Readings {
		parts = append(parts, fmt.Sprintf("%s %.3f mm read %.3f mm", r.Side, r.ModelledMM, r.MeasuredMM))
	}
	return strings.Join(parts, "; ")
}

// WriteText tells l to a person.
func (l TrialList) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Printer %s: %s kept in %s\n", l.Printer, counted(len(l.Trials), "trial"), l.History)
	for i, t := range l.Trials {
		fmt.Fprintf(&b, "\n%d. %s\n   then: inside diameters lose %+.3f mm (%+.3f to %+.3f), outside ones gain %+.3f mm (%+.3f to %+.3f)\n", i+1, t.What,
			t.Inside.ValueMM, t.Inside.RangeMM[0], t.Inside.RangeMM[1], t.Outside.ValueMM, t.Outside.RangeMM[0], t.Outside.RangeMM[1])
	}
	fmt.Fprintf(&b, "\n%s\n", check.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}
