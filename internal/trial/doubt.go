package trial

// This file finds rungs that did what cannot be: a ring with more room that was tighter than one with less.

import (
	"fmt"

	"tryring/internal/printer"
)

// doubtAboveMM is how much more clearance a rung must have for a tighter outcome to be doubted, mm: twice the deviation of
// the difference of two rungs, each of which scatters by 0.025 mm in print and hand (common practice, no published source).
const doubtAboveMM = 0.07

// doubt says which two rungs on one part contradict each other most in all trials of a side, "" for none.
func doubt(side printer.Side, trials []printer.Trial) string {
	room := map[printer.Outcome]int{printer.DoesNotStart: 0, printer.Snug: 1, printer.Goes: 2, printer.Rattles: 2}
	var rungs []printer.SeenRung
	for _, t := range trials {
		for _, r := range t.Rungs {
			if r.Side == side {
				rungs = append(rungs, r)
			}
		}
	}
	var tight, wide printer.SeenRung
	most := doubtAboveMM
	for _, a := range rungs {
		for _, b := range rungs {
			if more := b.ModelledMM - a.ModelledMM; a.Part == b.Part && more > most && room[b.Outcome] < room[a.Outcome] {
				tight, wide, most = a, b, more
			}
		}
	}
	if tight.Rung == "" {
		return ""
	}
	return fmt.Sprintf("these contradict each other: rung %s %s, and rung %s, with %.2f mm more room, %s; were they mixed up, or is there a blob in the thread? Try both again, or take the trial back with --undo",
		tight.Rung, said(tight.Outcome), wide.Rung, most, said(wide.Outcome))
}

// said is an outcome in a sentence.
func said(o printer.Outcome) string {
	if o == printer.Snug {
		return "is snug"
	}
	return string(o)
}
