package parts

// This file ranks the parts of a list by the chance that they join two threads.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/thread"
)

// Side is how one thread of a part goes with its mate.
type Side struct {
	// Result is that of the likeliest thread with the likeliest verdict; its Chance is that of the part's thread, over all
	// that it could be.
	fit.Result
	// Thread is the designation of that thread, Weight the chance that it is the one.
	Thread string
	Weight float64
	// Taken says what the list's numbers were taken for, or what a missing thread could be, in words.
	Taken string
	// given is the chance that it goes under each habit.
	given [habits]float64
	could []weighed
	// signature is equal for sides that the list does not tell apart.
	signature string
}

// weighed is a candidate with its weight over all habits and its fit.
type weighed struct {
	thread.Thread
	weight float64
	fit    fit.Result
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

// shortlister judges the parts of one list against two mates.
type shortlister struct {
	list  *List
	mates [2]thread.Thread
	fits  [2]map[string]fit.Result
	sides [2]map[string]Side
}

// Shortlist ranks the parts of l, best first. innerMate is the external thread that goes into the part, outerMate the
// internal thread that the part goes into.
func (l *List) Shortlist(innerMate, outerMate thread.Thread) ([]Ranked, error) {
	s := &shortlister{list: l, mates: [2]thread.Thread{innerMate, outerMate}}
	for side := range 2 {
		s.fits[side] = map[string]fit.Result{}
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
		for h := range habits {
			r.Chance += l.Habit[h] * r.Inner.given[h] * r.Outer.given[h]
		}
		r.Verdict = worse(r.Inner.Verdict, r.Outer.Verdict)
		key := r.Inner.signature + "\n" + r.Outer.signature
		if r.Open() {
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
	var out Side
	var of [habits]float64
	verdicts := map[fit.Verdict]float64{}
	for k := range could {
		c := &could[k]
		r, err := s.fit(side, c.Thread)
		if err != nil {
			return Side{}, err
		}
		c.fit = r
		for v, share := range r.Chances {
			verdicts[fit.Verdicts[v]] += c.weight * share
		}
		for h := range habits {
			w := g.candidates[at[c.Designation]].weight[h]
			of[h] += w
			out.given[h] += w * r.Chance
		}
		c.weight /= sum
	}
	alike := 0.0 // the chance that the very thread of the mate goes, where nothing is known
	if sp.empty() {
		r, err := s.fit(side, s.mates[side])
		if err != nil {
			return Side{}, err
		}
		alike = r.Chance
	}
	chance := 0.0
	for h := range habits {
		if of[h] > 0 {
			out.given[h] /= of[h]
		}
		if sp.empty() {
			out.given[h] = (1-unknownShare)*out.given[h] + unknownShare*alike
		}
		chance += s.list.Habit[h] * out.given[h]
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

// fit judges a candidate against its mate.
func (s *shortlister) fit(side int, t thread.Thread) (fit.Result, error) {
	if r, ok := s.fits[side][t.Designation]; ok {
		return r, nil
	}
	external, internal := s.mates[inner], t
	if side == outer {
		external, internal = t, s.mates[outer]
	}
	r, err := fit.Judge(external, internal, fit.Options{Tables: s.list.tables})
	s.fits[side][t.Designation] = r
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
