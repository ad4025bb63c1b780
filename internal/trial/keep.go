package trial

// This file keeps a trial in the printer's journal, unless it is doubted.

import (
	"context"
	"errors"
	"slices"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/ladder"
	"tryring/internal/printer"
)

// ErrDoubted is the cause of a fault about what cannot all be right, and of which nobody said that it is to be kept anyway.
var ErrDoubted = errors.New("doubtful")

// doubtFault says why something was not kept.
func doubtFault(doubts []string) error {
	return fault.Fault{Want: strings.Join(doubts, ". "), Cause: ErrDoubted}
}

// Keep keeps t in the journal of the printer whose profile without trials is p, and tells what that taught. A trial that is
// doubted is kept only anyway, and stays doubted; without that word it is a fault with the cause ErrDoubted. Prepare sees what
// will be told before anything is kept; its error leaves all as it was.
func Keep(ctx context.Context, p printer.Profile, j *printer.Journal, t printer.Trial, l *ladder.Result, anyway bool, prepare func(Result) error) (r Result, err error) {
	_, err = j.Append(ctx, t, func(e printer.Entry) error {
		after := append(slices.Clone(j.Entries), e)
		if doubted := doubtsOf(p.Name, j, t); len(doubted) > 0 && !anyway {
			return doubtFault(doubted)
		}
		r = NewResult(p, j, j.Entries, after, l)
		r.Trial = e.ID
		return prepare(r)
	})
	return r, err
}

// Weigh tells what t would teach if it were kept, and why it would not be kept without a word.
func Weigh(p printer.Profile, j *printer.Journal, t printer.Trial, l *ladder.Result) (r Result, doubted []string) {
	after := append(slices.Clone(j.Entries), printer.Entry{Trial: t})
	return NewResult(p, j, j.Entries, after, l), doubtsOf(p.Name, j, t)
}

// doubtsOf are the doubts that t would be in if it were kept.
func doubtsOf(name string, j *printer.Journal, t printer.Trial) []string {
	var out []string
	for _, d := range printer.Doubts(name, append(slices.Clone(j.Entries), printer.Entry{Trial: t})) {
		if d.Concerns(0) {
			out = append(out, d.Text)
		}
	}
	return out
}

// Drop takes the trial with the given number back at a date.
func Drop(ctx context.Context, p printer.Profile, j *printer.Journal, id int, date string) (Result, printer.Entry, error) {
	before := j.Entries
	e, err := j.Drop(ctx, id, date)
	if err != nil {
		return Result{}, e, err
	}
	r := NewResult(p, j, before, j.Entries, nil)
	r.Trial = id
	return r, e, nil
}
