package parts

// This file finds the one question whose answer would settle an open part.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/unit"
)

// sameAnswerMM is how near two diameters may lie and be one answer: two parts of one thread differ by as much over the
// crests within their limits.
const sameAnswerMM = 0.3

// ask returns the question that, on average, takes the most doubt off whether r joins both threads. A size that the list
// leaves out is asked for before anything else.
func (s *shortlister) ask(r Ranked) string {
	for side, sp := range r.spec {
		if sp.sizeless() {
			what := "size and threads per inch"
			if sp.perInch != nil {
				what = "size"
			}
			return fmt.Sprintf("ask for the %s of the %s thread", what, sideWord(side))
		}
	}
	best, question := 0.0, ""
	for side, of := range []*Side{r.Inner, r.Outer} {
		other := []*Side{r.Outer, r.Inner}[side].Chance
		bySize := settles(of, func(w weighed) float64 { return math.Round(w.crest(side).MM() / sameAnswerMM) })
		byCount := settles(of, func(w weighed) float64 { return math.Round(100 * w.perInch) })
		whole := of.Chance * (1 - of.Chance)
		sp := *r.spec[side]
		for _, q := range []struct {
			gain float64
			text func() string
		}{
			{byCount, func() string { return s.askCount(side, of) }},
			{bySize, func() string { return s.askSize(side, of) }},
		} {
			if gain := other * q.gain; gain > best+negligibleGain {
				if text := q.text(); text != "" {
					best, question = gain, text
				}
			}
		}
		if sp.size != nil && sp.perInch == nil && best <= negligibleGain && other*whole > best {
			best, question = other*whole, fmt.Sprintf("ask for the threads per inch of the %s thread", sideWord(side))
		}
	}
	if question == "" {
		side, of := inner, r.Inner
		if doubt(r.Outer.Chance) > doubt(r.Inner.Chance) {
			side, of = outer, r.Outer
		}
		question = s.askLimits(side, of)
	}
	return question
}

// askLimits asks what decides when the thread is known and its limits of size leave it open.
func (s *shortlister) askLimits(side int, of *Side) string {
	for _, c := range of.could {
		if mate := s.mates[side][0]; c.Taper > 0 || mate.Taper > 0 {
			turns := max(c.GaugeLength, mate.GaugeLength).MM()/c.Lead().MM() - 2*fit.TaperShort
			what := fmt.Sprintf("a %s goes into the inner thread", mate.Designation)
			if side == outer {
				what = fmt.Sprintf("the outer thread goes into a %s", mate.Designation)
			}
			return fmt.Sprintf("ask how many turns %s by hand: with %.0f or more it goes", what, math.Ceil(turns))
		}
	}
	if text := s.askSize(side, of); text != "" {
		return text
	}
	return fmt.Sprintf("ask for the %s thread by its full name and class; %s alone does not settle it", sideWord(side), of.Thread)
}

// negligibleGain is a gain that is float64 noise.
const negligibleGain = 1e-9

// doubt is the variance of a yes that has the given chance.
func doubt(chance float64) float64 { return chance * (1 - chance) }

// crest is the basic diameter over the crests.
func (w weighed) crest(side int) unit.Length {
	if side == inner {
		return w.Basic.Minor
	}
	return w.Basic.Major
}

// settles returns how much doubt the answer takes off, on average.
func settles(of *Side, answer func(weighed) float64) float64 {
	weight, goes := map[float64]float64{}, map[float64]float64{}
	var answers []float64
	all := 0.0
	for _, c := range of.could {
		a := answer(c)
		if _, seen := weight[a]; !seen {
			answers = append(answers, a)
		}
		weight[a] += c.weight
		goes[a] += c.weight * c.goes
		all += c.weight * c.goes
	}
	left := 0.0
	for _, a := range answers {
		if weight[a] > 0 {
			left += weight[a] * doubt(goes[a]/weight[a])
		}
	}
	return doubt(all) - left
}

// likely keeps the candidates that may be asked about.
func likely(of *Side) (good, bad []weighed) {
	for _, c := range of.could {
		switch {
		case c.weight < leastShown/4:
		case c.fit.Verdict.Usable():
			good = append(good, c)
		default:
			bad = append(bad, c)
		}
	}
	return good, bad
}

// count says the pitch of a thread as people ask for it.
func (w weighed) count() string {
	if w.Metric() {
		return "a pitch of " + unit.Short(w.Pitch.MM()) + " mm"
	}
	return unit.Short(math.Round(100*w.perInch) / 100)
}

// mostCounts bounds how many counts are named.
const mostCounts = 4

// askCount asks for the threads per inch.
func (s *shortlister) askCount(side int, of *Side) string {
	good, bad := likely(of)
	counts := func(of []weighed, but []string) (out []string) {
		for _, c := range of {
			if n := c.count(); !slices.Contains(out, n) && !slices.Contains(but, n) && len(out) < mostCounts {
				out = append(out, n)
			}
		}
		return out
	}
	yes := counts(good, nil)
	no := counts(bad, yes)
	if len(yes) == 0 {
		return ""
	}
	text := fmt.Sprintf("ask for the threads per inch of the %s thread: with %s it goes", sideWord(side), orList(yes))
	if len(no) > 0 {
		text += ", with " + orList(no) + " it does not"
	}
	return text
}

func orList(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
	return strings.Join(names, "")
}

// askSize asks for the diameter over the crests and says from where to where it goes.
func (s *shortlister) askSize(side int, of *Side) string {
	good, bad := likely(of)
	if len(good) == 0 {
		return ""
	}
	lead := good[0]
	external, internal := s.mates[inner][0].Thread, lead.Thread
	what := "bore of the inner thread, crest to crest,"
	if side == outer {
		external, internal = lead.Thread, s.mates[outer][0].Thread
		what = "outside diameter of the outer thread"
	}
	u, ok, err := fit.UsableRange(external, internal)
	if err != nil {
		return ""
	}
	if !ok {
		return fmt.Sprintf("ask for the %s to three decimals: a thread of %s goes", what, lead.Designation)
	}
	between := u.Internal
	if side == outer {
		between = u.External
	}
	var below, above bool
	for _, c := range bad {
		below = below || c.crest(side) < between[0]
		above = above || c.crest(side) > between[1]
	}
	least, most := written(between[0], lead, math.Ceil, -boundNoise), written(between[1], lead, math.Floor, boundNoise)
	switch {
	case below == above:
		return fmt.Sprintf("ask for the %s to three decimals: from %s to %s it goes", what, least, most)
	case above:
		return fmt.Sprintf("ask for the %s to three decimals: at %s or less it goes", what, most)
	default:
		return fmt.Sprintf("ask for the %s to three decimals: at %s or more it goes", what, least)
	}
}

// boundNoise is float64 noise of a bound that is round already.
const boundNoise = 1e-9

// written is a bound to a hundredth of an inch or a tenth of a millimetre, as the thread is spoken of.
func written(l unit.Length, of weighed, round func(float64) float64, noise float64) string {
	if of.Metric() {
		return fmt.Sprintf("%.1f mm", round(l.MM()*10+noise)/10)
	}
	return fmt.Sprintf("%.2f in", round(l.Inches()*100+noise)/100)
}
