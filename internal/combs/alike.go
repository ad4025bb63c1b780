package combs

// This file finds the threads that one could be taken for.

import (
	"cmp"
	"math"
	"slices"

	"tryring/internal/thread"
)

// How near a thread must lie to be taken for another by a quick reading: its crest diameter within a share or a length, its pitch
// within a share. Common practice, no published source.
const (
	sizeShare, sizeMM = 0.03, 0.6
	pitchShare        = 0.2
)

// alikeShown is how many threads a part's own is shown beside.
const alikeShown = 2

// Of lays out the page for threads that a part could have, outside or inside or either; for one alone, beside those that it could be
// taken for.
func Of(tables *thread.Tables, external, internal bool, threads ...thread.Thread) (Page, error) {
	var all []Candidate
	for _, t := range threads {
		all = append(all, Candidate{t, external, internal})
	}
	if len(threads) == 1 {
		for _, side := range []struct{ external, asked bool }{{true, external}, {false, internal}} {
			if !side.asked {
				continue
			}
			for _, like := range Alike(tables, threads[0], side.external, alikeShown) {
				all = append(all, Candidate{like, side.external, !side.external})
			}
		}
	}
	return New(all)
}

// Alike are threads of the tables with nearly the crest diameter and the pitch of t, outside or inside, whose crests a comb tells from
// those of t: the most common first, of each pitch one.
func Alike(tables *thread.Tables, t thread.Thread, external bool, most int) []thread.Thread {
	crest := func(t thread.Thread) float64 {
		if external {
			return t.Basic.Major.MM()
		}
		return t.Basic.Minor.MM()
	}
	var near []thread.Thread
	for _, one := range tables.All() {
		off, ratio := math.Abs(crest(one)-crest(t)), one.Pitch.MM()/t.Pitch.MM()
		if off > max(sizeMM, sizeShare*crest(t)) || ratio < 1-pitchShare || ratio > 1+pitchShare || math.Abs(ratio-1) < 1e-4 {
			continue
		}
		if one.ComesAs(external) && one.Starts == t.Starts && one.Makeable() == nil {
			near = append(near, one)
		}
	}
	slices.SortStableFunc(near, func(a, b thread.Thread) int {
		return cmp.Or(cmp.Compare(b.Common("any"), a.Common("any")), cmp.Compare(math.Abs(crest(a)-crest(t)), math.Abs(crest(b)-crest(t))))
	})
	var out []thread.Thread
	for _, one := range near {
		if len(out) < most && !slices.ContainsFunc(out, func(o thread.Thread) bool { return math.Abs((o.Pitch - one.Pitch).MM()) < samePitchMM }) {
			out = append(out, one)
		}
	}
	return out
}
