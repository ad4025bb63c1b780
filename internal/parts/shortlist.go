package parts

// This file ranks the parts of a list by the chance that they join two threads, of which neither need be surely known.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

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

// Side is how one thread of a part goes with its mate.
type Side struct {
	// Result is with the likeliest mate, that of the likeliest thread with the likeliest verdict; its Chance is that of the
	// part's thread, over all that it and its mate could be.
	fit.Result
	// Mate is the designation of that mate, Thread that of the thread, Weight the chance that it is the one.
	Mate   string
	Thread string
	Weight float64
	// Taken says what the list's numbers were taken for, or what a missing thread could be, in words.
	Taken string
	// goes is the chance that it goes with each mate under each habit.
	goes  [][habits]float64
	could []weighed
	// signature is equal for sides that the list does not tell apart.
	signature string
}

// weighed is a candidate with its weight over all habits, its fit with the likeliest mate, and the chance that it goes with
// whatever the mate is.
type weighed struct {
	thread.Thread
	weight, goes float64
	fit          fit.Result
}

// Ranked is one part with its verdict.
type Ranked struct {
	Part
	Inner, Outer Side
	// Chance is the chance that the part joins both threads.
	Chance float64
	// Verdict is the worse of both sides'.
	Verdict fit.Verdict
	// Ask is the one question that would settle an open part; "" when none is needed.
	Ask string
	// Alike are the other parts that the list does not tell from this one.
	Alike []string
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
	fits  [2]map[pairing]fit.Result
	sides [2]map[string]Side
}

// pairing are a mate, by its place, and the designation of a part's thread.
type pairing struct {
	mate   int
	thread string
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
		s.sides[side] = map[string]Side{}
	}
	asks := map[string]string{}
	alike := map[string][]int{}
	out := make([]Ranked, len(l.Parts))
	for k, p := range l.Parts {
		r := Ranked{Part: p}
		for side, to := range []*Side{&r.Inner, &r.Outer} {
			var err error
			if *to, err = s.side(side, p.spec[side]); err != nil {
				return nil, fmt.Errorf("%s (line %d): %w", p.Name, p.Line, err)
			}
		}
		left := 0.0
		r.Chance, left = s.joins(r.Inner, r.Outer)
		r.Verdict = worse(r.Inner.Verdict, r.Outer.Verdict)
		key := r.Inner.signature + "\n" + r.Outer.signature
		if r.Open() && left > doubt(OpenFrom) {
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
		for _, k := range same {
			for _, other := range same {
				if other != k && len(out[k].Alike) < mostAlike {
					out[k].Alike = append(out[k].Alike, out[other].Name)
				}
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
	case r.spec[inner].sizeless() || r.spec[outer].sizeless():
		return 1
	}
	return 0
}

// joins returns the chance that a part with these sides joins both threads, and how much doubt would be left of it if both
// were known: what the list leaves open. Both sides are printed by the habit of one list, so they are judged habit by habit.
func (s *shortlister) joins(in, out Side) (chance, left float64) {
	all := 0.0
	for i, innerMate := range s.mates[inner] {
		for o, outerMate := range s.mates[outer] {
			weight, known := innerMate.Weight*outerMate.Weight, 0.0
			for h := range habits {
				known += s.list.Habit[h] * in.goes[i][h] * out.goes[o][h]
			}
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

// keptWeight is how much of the weight of a spec is judged; the rest is spread over many unlikely threads.
const keptWeight = 0.998

// unknownShare is the chance that a thread of which the list says nothing is the one that is looked for, whatever the rest
// of the list has; common practice, no published source.
const unknownShare = 0.1

// side judges what one side of a part could be.
func (s *shortlister) side(side int, sp spec) (Side, error) {
	if known, ok := s.sides[side][sp.text]; ok {
		return known, nil
	}
	g := s.list.guesses[side][sp.text]
	could := make([]weighed, len(g.candidates))
	at := map[string]int{}
	for k, c := range g.candidates {
		could[k] = weighed{Thread: c.Thread, weight: c.mean(s.list.Habit)}
		at[c.Designation] = k
	}
	slices.SortStableFunc(could, func(a, b weighed) int {
		return cmp.Or(cmp.Compare(b.weight, a.weight), strings.Compare(a.Designation, b.Designation))
	})
	sum := 0.0
	for k, c := range could {
		if sum += c.weight; sum >= keptWeight {
			could = could[:k+1]
			break
		}
	}
	mates := s.mates[side]
	out := Side{Mate: mates[0].Designation, goes: make([][habits]float64, len(mates))}
	var of [habits]float64
	verdicts := map[fit.Verdict]float64{}
	for k := range could {
		c := &could[k]
		given := g.candidates[at[c.Designation]].weight
		for m, mate := range mates {
			r, err := s.fit(side, m, c.Thread)
			if err != nil {
				return Side{}, err
			}
			if m == 0 {
				c.fit = r
				for v, share := range r.Chances {
					verdicts[fit.Verdicts[v]] += c.weight * share
				}
			}
			c.goes += mate.Weight * r.Chance
			for h := range habits {
				out.goes[m][h] += given[h] * r.Chance
			}
		}
		for h := range habits {
			of[h] += given[h]
		}
		c.weight /= sum
	}
	chance := 0.0
	for m, mate := range mates {
		alike := 0.0 // the chance that the very thread of the mate goes, where nothing is known
		if sp.empty() {
			r, err := s.fit(side, m, mate.Thread)
			if err != nil {
				return Side{}, err
			}
			alike = r.Chance
		}
		for h := range habits {
			goes := &out.goes[m][h]
			if of[h] > 0 {
				*goes /= of[h]
			}
			if sp.empty() {
				*goes = (1-unknownShare)**goes + unknownShare*alike
			}
			chance += mate.Weight * s.list.Habit[h] * *goes
		}
	}
	leading := fit.Verdicts[0]
	for _, v := range fit.Verdicts {
		if verdicts[v] > verdicts[leading] {
			leading = v
		}
	}
	shown := could[0]
	for _, c := range could {
		if c.fit.Verdict == leading {
			shown = c
			break
		}
	}
	out.Result, out.Thread, out.Weight, out.could = shown.fit, shown.Designation, shown.weight, could
	out.Verdict, out.Chance = leading, chance
	out.Taken = taken(sp, could)
	if sp.sizeless() {
		out.signature = "not printed;"
	}
	for _, c := range could {
		out.signature += fmt.Sprintf("%s %.3f;", c.Designation, c.weight)
	}
	s.sides[side][sp.text] = out
	return out, nil
}

// fit judges a candidate against one of its mates.
func (s *shortlister) fit(side, mate int, t thread.Thread) (fit.Result, error) {
	key := pairing{mate, t.Designation}
	if r, ok := s.fits[side][key]; ok {
		return r, nil
	}
	external, internal := s.mates[side][mate].Thread, t
	if side == outer {
		external, internal = internal, external
	}
	r, err := fit.Judge(external, internal, fit.Options{})
	s.fits[side][key] = r
	return r, err
}

// leastShown is the weight from which a candidate is named.
const leastShown = 0.02

// taken says what a spec was taken for.
func taken(sp spec, could []weighed) string {
	var names []string
	for _, c := range could {
		if c.weight < leastShown || len(names) == 4 {
			break
		}
		names = append(names, fmt.Sprintf("%s (%.0f %%)", c.Designation, 100*c.weight))
	}
	switch {
	case sp.named != nil:
		return sp.named.Designation
	case len(names) == 0:
		return "many threads, none likely"
	case sp.size == nil:
		return "not given; by the rest of the list " + strings.Join(names, ", ")
	}
	return strings.Join(names, ", ")
}
