package trial

// This file lists the trials that are kept of a printer.

import (
	"fmt"
	"slices"
	"strings"

	"tryring/internal/check"
	"tryring/internal/printer"
)

// List is all that was tried on one printer.
type List struct {
	Printer string   `json:"printer"`
	History string   `json:"history"`
	Trials  []Listed `json:"trials"`
	// Doubts tells what cannot all be right, and which lines of the journal do not count.
	Doubts []string `json:"doubts"`
	// Untold says what the trials leave open, and what was kept without its layer height.
	Untold  []string `json:"untold"`
	Caution []string `json:"caution"`
	// Doubted is the number of the last trial that is doubted, 0 for none.
	Doubted int `json:"-"`
}

// Listed is one trial, and what was believed after it.
type Listed struct {
	ID      int    `json:"id"`
	Dropped bool   `json:"dropped"`
	Date    string `json:"date"`
	Note    string `json:"note"`
	Ladder  string `json:"ladder"`
	What    string `json:"what"`
	Inside  Offset `json:"inside_takes"`
	Outside Offset `json:"outside_adds"`
}

// ListOf tells what was tried on the printer whose profile without trials is p.
func ListOf(p printer.Profile, j *printer.Journal) List {
	counting := printer.Counting(j.Entries)
	out := List{Printer: p.Name, History: j.Path, Trials: []Listed{}, Doubts: doubtsIn(p.Name, j, j.Entries), Untold: untold(p, p.Learn(counting), counting), Caution: []string{check.Caution}}
	for _, d := range printer.Doubts(p.Name, j.Entries) {
		out.Doubted = max(out.Doubted, slices.Max(d.IDs))
	}
	after, held := append([]printer.Learnt{p.Learn(nil)}, p.Replay(counting)...), 0
	for _, e := range j.Entries {
		if !e.Dropped {
			held++
		}
		l, upTo := after[held], counting[:held]
		out.Trials = append(out.Trials, Listed{
			ID: e.ID, Dropped: e.Dropped, Date: e.Date, Note: e.Note, Ladder: e.Ladder, What: Words(e.Trial),
			Inside: offsetOf(l, printer.Inside, p.LastUse(printer.Inside, upTo)), Outside: offsetOf(l, printer.Outside, p.LastUse(printer.Outside, upTo)),
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
