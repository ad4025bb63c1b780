package trial

// This file lists the trials that are kept of a printer.

import (
	"fmt"
	"io"
	"strings"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// List is all that was tried on one printer.
type List struct {
	Printer string   `json:"printer"`
	History string   `json:"history"`
	Trials  []Listed `json:"trials"`
	Caution []string `json:"caution"`
}

// Listed is one trial, and what was believed after it.
type Listed struct {
	Date    string       `json:"date"`
	Note    string       `json:"note"`
	Ladder  string       `json:"ladder"`
	What    string       `json:"what"`
	Inside  OffsetResult `json:"inside_takes"`
	Outside OffsetResult `json:"outside_adds"`
}

// ListOf tells what was tried on the printer whose profile without trials is p.
func ListOf(p printer.Profile, history string, trials []printer.Trial) List {
	out := List{Printer: p.Name, History: history, Trials: []Listed{}, Caution: []string{check.Caution}}
	for i, t := range trials {
		upTo := trials[:i+1]
		out.Trials = append(out.Trials, Listed{
			Date: t.Date, Note: t.Note, Ladder: t.Ladder, What: Words(t),
			Inside: offsetResult(p.Learn(printer.Inside, upTo)), Outside: offsetResult(p.Learn(printer.Outside, upTo)),
		})
	}
	return out
}

// Words tells a trial in one line.
func Words(t printer.Trial) string {
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
func (l List) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Printer %s: %s kept in %s\n", l.Printer, unit.Counted(len(l.Trials), "trial"), l.History)
	for i, t := range l.Trials {
		fmt.Fprintf(&b, "\n%d. %s\n   then: inside diameters lose %+.3f mm (%+.3f to %+.3f), outside ones gain %+.3f mm (%+.3f to %+.3f)\n", i+1, t.What,
			t.Inside.ValueMM, t.Inside.RangeMM[0], t.Inside.RangeMM[1], t.Outside.ValueMM, t.Outside.RangeMM[0], t.Outside.RangeMM[1])
	}
	fmt.Fprintf(&b, "\n%s\n", check.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}
