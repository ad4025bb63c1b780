package parts

// This file judges one side of a part: what its thread could be, and how that goes with what its mate could be.

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Side is how one thread of a part goes with its mate.
type Side struct {
	// Result is with the likeliest mate, that of the likeliest thread with the likeliest verdict; its Chance is that of the
	// part's thread, over all that it and its mate could be.
	fit.Result
	// Thread is the designation of the part's thread, Weight the chance that it is the one.
	Thread string
	Weight float64
	// Taken says what the list's numbers were taken for, or what a missing thread could be, in words.
	Taken string
	// goes is the chance that it goes with each mate in each way of writing.
	goes  []belief
	could []weighed
	// signature is equal for sides that the list does not tell apart.
	signature string
	// told is the side as scripts read it.
	told []byte
}

// MarshalJSON tells of a side what decides; all figures of two threads are told by Judge. What many parts print is put into words once.
func (s *Side) MarshalJSON() ([]byte, error) { return s.told, nil }

func (s *Side) put() (err error) {
	s.told, err = json.Marshal(struct {
		Thread    string       `json:"thread"`
		Weight    float64      `json:"weight"`
		Taken     string       `json:"taken_for"`
		Verdict   fit.Verdict  `json:"verdict"`
		Turns     *float64     `json:"turns"`
		Clearance unit.Length  `json:"pitch_clearance_mm"`
		Play      *unit.Length `json:"axial_play_mm"`
		Chance    float64      `json:"chance"`
		Why       string       `json:"why"`
	}{s.Thread, unit.Round(s.Weight), s.Taken, s.Verdict, s.Turns, s.PitchClearance, s.AxialPlay, unit.Round(s.Chance), s.Why})
	return err
}

// weighed is a candidate with its weight over all habits, its fit with the likeliest mate, and the chance that it goes with
// whatever the mate is.
type weighed struct {
	*known
	weight, goes float64
	fit          fit.Result
}

// pairing are a mate, by its place, and the designation of a part's thread.
type pairing struct {
	mate   int
	thread string
}

// askedShare is the chance that a part's thread is the very one that is looked for, before anything is read: people look through lists
// of shops that deal in what they need. It is less for one among all threads that there are, unknownShare for one that is not printed
// among what the rest of the list has. Common practice, no published source.
const askedShare, unknownShare = 0.02, 0.15

// mostAsked is how sure it may become that a printed thread is the one that is looked for because it is looked for: what the list
// leaves open is asked.
const mostAsked = 0.85

// share is the chance that a thread printed as s, which the threads of the tables are as likely as others to be printed as, is k, that is
// asked for.
func (k *known) share(s *spec, others belief) (share belief) {
	if s.named != nil {
		return share
	}
	q := askedShare
	if s.sizeless() {
		q = unknownShare
	}
	for w, own := range k.likelihood(s) {
		if own > 0 {
			share[w] = q * own / (q*own + (1-q)*others[w])
		}
	}
	return share
}

// among are the candidates of g with k among them, as one that is asked for. They are no more than make up keptWeight as the list
// is written without a question.
func (k *known) among(g guess, share, ways belief) []candidate {
	out := slices.Clone(g.candidates)
	slices.SortStableFunc(out, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(ways.with(b.weight), ways.with(a.weight)), strings.Compare(a.Designation, b.Designation))
	})
	var kept belief
	for n := range out {
		for w, x := range out[n].weight {
			kept[w] += x
		}
		if ways.with(kept) >= keptWeight {
			out = out[:n+1]
			break
		}
	}
	self := slices.IndexFunc(out, func(c candidate) bool { return c.Designation == k.Designation })
	if self < 0 {
		self, out = len(out), append(out, candidate{known: k})
	}
	for w, x := range share {
		own, rest := out[self].weight[w], 0.0
		if own < kept[w] {
			rest = 1 / (kept[w] - own)
		}
		own /= math.Max(kept[w], own+leastEvidence)
		x = math.Min(x+(1-x)*own, math.Max(own, mostAsked))
		for n := range out {
			out[n].weight[w] *= (1 - x) * rest
		}
		out[self].weight[w] = x
	}
	return out
}

// side judges what one side of a part could be.
func (s *shortlister) side(side int, sp spec) (*Side, error) {
	if known, ok := s.sides[side][sp.text]; ok {
		return known, nil
	}
	g, mates := s.list.guesses[side][sp.text], s.mates[side]
	out := &Side{goes: make([]belief, len(mates))}
	var could []weighed
	ways := s.list.ways.of(side)
	for m, mate := range mates {
		asked := &s.asked[side][m]
		for _, c := range asked.among(g, asked.share(&sp, g.evidence), ways) {
			r, err := s.fit(side, m, c.Thread)
			if err != nil {
				return nil, err
			}
			weight := 0.0
			for w, x := range c.weight {
				out.goes[m][w] += x * r.Chance
				weight += x * ways[w]
			}
			out.Chance += mate.Weight * weight * r.Chance
			if m > 0 {
				continue
			}
			could = append(could, weighed{known: c.known, weight: weight, fit: r})
		}
	}
	if err := s.tell(side, sp, out, could); err != nil {
		return nil, err
	}
	s.sides[side][sp.text] = out
	return out, out.put()
}

// tell says what a side was taken for, and how that goes with the likeliest mate.
func (s *shortlister) tell(side int, sp spec, out *Side, could []weighed) error {
	slices.SortStableFunc(could, func(a, b weighed) int {
		return cmp.Or(cmp.Compare(b.weight, a.weight), strings.Compare(a.Designation, b.Designation))
	})
	sum := 0.0
	for _, c := range could {
		sum += c.weight
	}
	verdicts := make([]float64, len(fit.Verdicts))
	for k := range could {
		c := &could[k]
		c.weight /= sum
		for m, mate := range s.mates[side] {
			r, err := s.fit(side, m, c.Thread)
			if err != nil {
				return err
			}
			c.goes += mate.Weight * r.Chance
		}
		for v, chance := range c.fit.Chances {
			verdicts[v] += c.weight * chance
		}
	}
	leading := 0
	for v, chance := range verdicts {
		if chance > verdicts[leading] {
			leading = v
		}
	}
	shown := could[0]
	for _, c := range could {
		if c.fit.Verdict == fit.Verdicts[leading] {
			shown = c
			break
		}
	}
	chance := out.Chance
	out.Result, out.Thread, out.Weight, out.could = shown.fit, shown.Designation, shown.weight, could
	out.Verdict, out.Chance = fit.Verdicts[leading], chance
	out.Taken = taken(sp, could)
	if sp.sizeless() {
		out.signature = "not printed;"
	}
	for _, c := range could {
		out.signature += fmt.Sprintf("%s %.3f;", c.Designation, c.weight)
	}
	return nil
}

// keptWeight is how much of the weight of a spec is judged; the rest is spread over many unlikely threads.
const keptWeight = 0.998

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
