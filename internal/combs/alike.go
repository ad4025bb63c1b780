package combs

// This file finds the threads that one could be taken for.

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tryring/internal/reading"
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
// taken for, and with a word on those that no comb tells from it.
func Of(tables *thread.Tables, external, internal bool, threads ...thread.Thread) (Page, error) {
	var all []Candidate
	for _, t := range threads {
		all = append(all, Candidate{t, external, internal})
	}
	var twins []string
	for _, side := range []struct{ external, asked bool }{{true, external}, {false, internal}} {
		if !side.asked || len(threads) > 1 {
			continue
		}
		like, same := Alike(tables, threads[0], side.external)
		for _, one := range like[:min(alikeShown, len(like))] {
			all = append(all, Candidate{one, side.external, !side.external})
		}
		for _, one := range same[:min(alikeShown, len(same))] {
			twins = with(twins, one.Designation)
		}
	}
	p, err := New(all)
	if len(twins) > 0 {
		p.say("Not told from %s here, of the same pitch and nearly the size: %s.", threads[0].Designation, strings.Join(twins, ", "))
	}
	return p, err
}

// Alike are threads of the tables with nearly the crest diameter and the pitch of t, outside or inside, the most common first: those
// of another pitch, one of each, whose crests a comb tells from those of t, and those of the same.
func Alike(tables *thread.Tables, t thread.Thread, external bool) (like, same []thread.Thread) {
	crest := func(t thread.Thread) float64 {
		if external {
			return t.Basic.Major.MM()
		}
		return t.Basic.Minor.MM()
	}
	var near []thread.Thread
	for _, one := range tables.All() {
		off, ratio := math.Abs(crest(one)-crest(t)), one.Pitch.MM()/t.Pitch.MM()
		if off > max(sizeMM, sizeShare*crest(t)) || ratio < 1-pitchShare || ratio > 1+pitchShare {
			continue
		}
		if one.ComesAs(external) && one.Starts == t.Starts && one.Makeable() == nil {
			near = append(near, one)
		}
	}
	slices.SortStableFunc(near, func(a, b thread.Thread) int {
		return cmp.Or(cmp.Compare(b.Common("any"), a.Common("any")), cmp.Compare(math.Abs(crest(a)-crest(t)), math.Abs(crest(b)-crest(t))))
	})
	for _, one := range near {
		ofPitch := func(o thread.Thread) bool { return math.Abs((o.Pitch - one.Pitch).MM()) <= reading.SamePitchMM }
		switch {
		case !ofPitch(t) && !slices.ContainsFunc(like, ofPitch):
			like = append(like, one)
		case ofPitch(t) && (one.Basic != t.Basic || one.Form != t.Form || one.Taper != t.Taper):
			same = append(same, one)
		}
	}
	return like, same
}
