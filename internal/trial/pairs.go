package trial

// This file reads what happened to the pairs of a ladder.

import (
	"fmt"
	"strings"

	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// addPair adds what a pair did: rung is its gap, said its outcome.
func addPair(t *printer.Trial, ladder ladder.Result, tables *thread.Tables, rung, said string) error {
	if strings.Contains(rung, ":") {
		return fmt.Errorf("%q: a pair has no sides; name its gap alone, such as 0.20=goes", rung)
	}
	outcome, err := printer.ParseOutcome(strings.Trim(said, `"'`))
	if err != nil {
		return fmt.Errorf("%q: %w", rung, err)
	}
	x, err := ladder.Find(rung)
	if err != nil {
		return err
	}
	for _, r := range t.Rungs {
		if r.Rung == x.Rung {
			return fmt.Errorf("rung %s was named twice", x.Rung)
		}
	}
	of, err := tables.Parse(ladder.Inner)
	if err != nil {
		return fmt.Errorf("thread: %w", err)
	}
	part := of.Designation + " pairs"
	if len(t.Rungs) == 0 { // plug and ring are both prints: beside their own errors nothing is uncertain of them
		t.Parts = append(t.Parts, printer.Part{Name: part, Side: printer.Pair})
	}
	t.Rungs = append(t.Rungs, printer.SeenRung{
		Side: printer.Pair, Part: part, Rung: x.Rung, ModelledMM: unit.Round(x.Inner.ModelledClearanceMM + x.Outer.ModelledClearanceMM),
		PitchMM: unit.RoundMM(of.Pitch), Outcome: outcome,
	})
	return nil
}
