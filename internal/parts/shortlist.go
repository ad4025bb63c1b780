package parts

// This file ranks the parts of a list by the chance that they join two threads, of which neither need be surely known.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/thread"
)

// Mate is a thread that a part has to go with could be, and the chance that it is the one.
type Mate struct {
	thread.Thread
	Weight float64
}

// Sure is the mate that is known.
func Sure(t thread.Thread) []Mate { return []Mate{{t, 1}} }

// Ranked is one part with its verdict, as scripts read it too.
type Ranked struct {
	Part
	// Inner and Outer are shared by the parts that print the same.
	Inner *Side `json:"inner"`
	Outer *Side `json:"outer"`
	// Chance is the chance that the part joins both threads.
	Chance float64 `json:"chance"`
	// Verdict is the worse of both sides'.
	Verdict fit.Verdict `json:"verdict"`
	// Ask is the one question that would settle an open part; "" when none is needed.
	Ask string `json:"ask"`
	// Alike are the other parts that the list does not tell from this one.
	Alike []string `json:"same_as"`
}

// The chances between which a part is open.
const (
	OpenFrom = 0.05
	OpenTo   = 0.95
)

// Open reports whether the part may or may not join the threads.
func (r Ranked) Open() bool { return r.Chance > OpenFrom && r.Chance < OpenTo }

// shortlister judges the parts of one list against what both mates could be, the likeliest first.
type shortlister struct {
	list  *List
	mates [2][]Mate
	// asked are the mates as threads that a part may have.
	asked [2][]known
	fits  [2]map[pairing]fit.Result
	sides [2]map[string]*Side
}

// ErrNoMate is returned where nothing is said of one of the two threads.
var ErrNoMate = errors.New("no thread is given that the part has to go with")

// Shortlist ranks the parts of l, best first. innerMates is what the external thread that goes into the part could be,
// outerMates what the internal thread could be that the part goes into. The weights of each sum to 1 at most; what lacks is
// the chance of a thread that no part goes with.
func (l *List) Shortlist(innerMates, outerMates []Mate) ([]Ranked, error) {
	s := &shortlister{list: l, mates: [2][]Mate{slices.Clone(innerMates), slices.Clone(outerMates)}}
	for side, mates := range s.mates {
		if len(mates) == 0 {
			return nil, fmt.Errorf("%s thread: %w", sideWord(side), ErrNoMate)
		}
		slices.SortStableFunc(mates, func(a, b Mate) int { return cmp.Compare(b.Weight, a.Weight) })
		s.fits[side] = map[pairing]fit.Result{}
		s.sides[side] = map[string]*Side{}
		for _, mate := range mates {
			s.asked[side] = append(s.asked[side], l.guessers[side].describe(mate.Thread))
		}
	}
	type print struct{ inner, outer string }
	asks := map[print]string{}
	alike := map[print][]int{}
	out := make([]Ranked, len(l.Parts))
	for k, p := range l.Parts {
		r := Ranked{Part: p, Alike: []string{}}
		for side, to := range []**Side{&r.Inner, &r.Outer} {
			var err error
			if *to, err = s.side(side, *p.spec[side]); err != nil {
				return nil, fmt.Errorf("%s (line %d): %w", p.Name, p.Line, err)
			}
		}
		left := 0.0
		r.Chance, left = s.joins(r)
		r.Verdict = worse(r.Inner.Verdict, r.Outer.Verdict)
		key := print{r.Inner.signature, r.Outer.signature}
		if r.Open() && left > doubt(OpenFrom) || r.missing() && r.Chance > OpenFrom {
			ask, known := asks[key]
			if !known {
				ask = s.ask(r)
				asks[key] = ask
			}
			r.Ask = ask
		}
		alike[key] = append(alike[key], k)
		out[k] = r
	}
	for _, same := range alike { // each group writes to its own parts only
		first := same[:min(len(same), mostAlike+1)] // one more than is named: a part is not named beside itself
		names := make([]string, len(first))
		for n, k := range first {
			names[n] = out[k].Name
		}
		for n, k := range same {
			out[k].Alike = names[:min(len(names), mostAlike)]
			if n < len(first) {
				out[k].Alike = slices.Delete(slices.Clone(names), n, n+1)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Ranked) int {
		return cmp.Or(cmp.Compare(a.standing(), b.standing()), cmp.Compare(b.Chance, a.Chance), cmp.Compare(badness(a.Verdict), badness(b.Verdict)), cmp.Compare(a.Line, b.Line))
	})
	return out, nil
}

// standing sets the parts that may join and print both sizes before those that leave one out, whose chance rests on other
// rows, and both before the parts that do not join.
func (r Ranked) standing() int {
	switch {
	case r.Chance <= OpenFrom:
		return 2
	case r.missing():
		return 1
	}
	return 0
}

// missing says that the list leaves a size out.
func (r Ranked) missing() bool { return r.spec[inner].sizeless() || r.spec[outer].sizeless() }

// joins returns the chance that a part joins both threads, and how much doubt would be left of it if both
// were known: what the list leaves open. Both sides are printed by the habits of one list, so they are judged together.
func (s *shortlister) joins(r Ranked) (chance, left float64) {
	all, open := 0.0, OpenFrom
	if r.missing() { // what is not printed is asked for, unless what is printed speaks against it
		open = realShare
	}
	for i, innerMate := range s.mates[inner] {
		for o, outerMate := range s.mates[outer] {
			weight, known := innerMate.Weight*outerMate.Weight, s.list.ways.joint(r.Inner.goes[i], r.Outer.goes[o], open)
			chance += weight * known
			left += weight * doubt(known)
			all += weight
		}
	}
	if all > 0 {
		left /= all
	}
	return chance, left
}

// mostAlike bounds how many parts that cannot be told apart are named.
const mostAlike = 10

// badness orders verdicts from best to worst for a part.
func badness(v fit.Verdict) int {
	return slices.Index([]fit.Verdict{fit.Goes, fit.Snug, fit.Loose, fit.Binds, fit.WillNotStart}, v)
}

func worse(a, b fit.Verdict) fit.Verdict {
	if badness(a) > badness(b) {
		return a
	}
	return b
}
