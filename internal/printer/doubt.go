package printer

// This file finds what cannot all be right in a journal: rungs and readings that contradict each other, what was kept twice,
// and what was tried on another printer's ladder.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Doubt is something that cannot all be right.
type Doubt struct {
	Text string
	// IDs are the numbers of the entries that it concerns.
	IDs []int
}

// kept is the word for an entry of a journal.
const kept = "trial"

// Concerns reports whether the entry of that number is in doubt.
func (d Doubt) Concerns(id int) bool { return slices.Contains(d.IDs, id) }

// Doubts lists what cannot all be right in entries of the printer called name; those taken back are left out.
func Doubts(name string, entries []Entry) []Doubt {
	var out []Doubt
	var held []Entry
	saidBy := map[string]int{}
	for _, e := range entries {
		if e.Dropped {
			continue
		}
		if e.BuiltFor != "" && e.BuiltFor != unnamed && e.BuiltFor != name {
			out = append(out, Doubt{fmt.Sprintf("%s was tried on a ladder that was built for printer %s, not for %s", Entrant(kept, e.ID), e.BuiltFor, name), []int{e.ID}})
		}
		said := fmt.Sprintf("%+v", e.Trial)
		if first, twice := saidBy[said]; twice {
			out = append(out, Doubt{fmt.Sprintf("%s says word for word what %s says, and counts once more", Entrant(kept, e.ID), Entrant(kept, first)), []int{first, e.ID}})
		} else {
			saidBy[said] = e.ID
		}
		held = append(held, e)
	}
	var met []Met
	for _, e := range held {
		for _, r := range e.Rungs {
			met = append(met, Met{e.ID, fmt.Sprint(r.Side, r.Part), fmt.Sprint(e.Ladder, r.Side, r.Rung), fmt.Sprintf("rung %s (%s)", r.Rung, r.Side), r.ModelledMM, r.Outcome})
		}
	}
	out = append(out, Clashes(kept, met)...)
	for _, s := range []Side{Inside, Outside} {
		if d, doubted := readingDoubt(s, held); doubted {
			out = append(out, d)
		}
	}
	return out
}

// doubtAboveMM is how much more clearance a rung must have for a tighter outcome to be doubted, mm: twice the deviation of
// the difference of two rungs, each of which scatters by 0.025 mm in print and hand (common practice, no published source).
const doubtAboveMM = 0.07

// Met is one printed thread that met its mate.
type Met struct {
	// ID is the number of the entry that tells of it.
	ID int
	// Mate is what it met; only what met the same mate can contradict. Thing is the print itself, What it is called.
	Mate, Thing, What string
	// RoomMM is its clearance, as far as that differs from one print to the next.
	RoomMM float64
	Felt   Felt
}

// Clashes names, for each of what met its mate that contradicts one before it, the two that lie furthest apart: one print that
// did two things, or one with more room that was tighter. Entry is the word for an entry.
func Clashes(entry string, all []Met) []Doubt {
	var out []Doubt
	for i, now := range all {
		var tight, wide Met
		most := math.Inf(-1)
		for _, old := range all[:i] {
			a, b := old, now
			if b.RoomMM < a.RoomMM {
				a, b = b, a
			}
			more := b.RoomMM - a.RoomMM
			twice := a.Thing == b.Thing && a.Felt.Contradicts(b.Felt)
			if a.Mate == b.Mate && (twice || more > doubtAboveMM && b.Felt.Tighter(a.Felt)) && more > most {
				tight, wide, most = a, b, more
			}
		}
		switch ids := []int{tight.ID, wide.ID}; {
		case math.IsInf(most, -1):
		case tight.Thing == wide.Thing:
			out = append(out, Doubt{fmt.Sprintf("%s %s (%s) and %s (%s); that cannot both be right", tight.What, tight.Felt.verb(), Entrant(entry, tight.ID), wide.Felt.verb(), Entrant(entry, wide.ID)), ids})
		default:
			out = append(out, Doubt{fmt.Sprintf("%s %s (%s), and %s, with %.2f mm more room, %s (%s); were they mixed up, or is there a blob in the thread?",
				tight.What, tight.Felt.verb(), Entrant(entry, tight.ID), wide.What, most, wide.Felt.verb(), Entrant(entry, wide.ID)), ids})
		}
	}
	return out
}

// Entrant names the entry of a number: "trial 3", or "this trial" for one that has none yet.
func Entrant(entry string, id int) string {
	if id == 0 {
		return "this " + entry
	}
	return fmt.Sprintf("%s %d", entry, id)
}

// verb is f behind the name of a thread.
func (f Felt) verb() string {
	if f.kind == snug {
		return "is snug"
	}
	return f.String()
}

// agreeing is the chance that readings which err as said disagree no more than is let pass.
const agreeing = 0.99

// readingSD is the standard deviation of what one reading shows, mm: the scatter of the print, and the instrument.
func (r SeenReading) readingSD() float64 { return math.Hypot(Scatter.MM(), r.UMM) }

// disagreement is the factor by which readings lie further apart than print and instrument explain, 1 when they explain it: the
// root of the sum of squares over its expectation (the ratio of R. T. Birge, Physical Review 40, 1932, page 207; from memory).
func disagreement(readings []SeenReading) float64 {
	var weights, sum, squares float64
	for _, r := range readings {
		w := math.Pow(r.readingSD(), -2)
		weights, sum, squares = weights+w, sum+w*r.off(), squares+w*r.off()*r.off()
	}
	free := float64(len(readings) - 1)
	apart := squares - sum*sum/weights
	if free < 1 || apart <= (distuv.ChiSquared{K: free}).Quantile(agreeing) {
		return 1
	}
	return math.Sqrt(apart / free)
}

// readingDoubt names the two readings of a side that lie furthest apart, if all together disagree. It also concerns the last
// entry where they agreed before it.
func readingDoubt(s Side, entries []Entry) (Doubt, bool) {
	var all []SeenReading
	var low, high SeenReading
	ids := make([]int, 2)
	last, before := 0, 1.0
	for _, e := range entries {
		factor := disagreement(all)
		for _, r := range e.Readings {
			if r.Side != s {
				continue
			}
			if len(all) == 0 || r.off() < low.off() {
				low, ids[0] = r, e.ID
			}
			if len(all) == 0 || r.off() > high.off() {
				high, ids[1] = r, e.ID
			}
			all = append(all, r)
			last, before = e.ID, factor
		}
	}
	factor := disagreement(all)
	if factor <= 1 {
		return Doubt{}, false
	}
	if before <= 1 && !slices.Contains(ids, last) {
		ids = append(ids, last)
	}
	explained := distuv.UnitNormal.Quantile((1+agreeing)/2) * math.Hypot(low.readingSD(), high.readingSD())
	return Doubt{fmt.Sprintf("caliper readings of %s diameters disagree: %+.3f mm (%s) and %+.3f mm (%s) lie %.2f mm apart, where print and instrument explain %.2f mm; so all of them count as %.1f times as uncertain",
		s, low.off(), Entrant(kept, ids[0]), high.off(), Entrant(kept, ids[1]), high.off()-low.off(), explained, factor), ids}, true
}
