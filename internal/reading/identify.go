package reading

// This file weighs the threads that readings could stand for.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// NoneOfThese stands for every thread that is in no table.
const NoneOfThese = "none of these"

// Candidate is a thread that the readings could stand for.
type Candidate struct {
	Designation string `json:"designation"`
	Standard    string `json:"standard"`
	// Weight is the chance that it is this thread, given the readings and what was believed before.
	Weight float64 `json:"weight"`
	// Why gives the reason in words.
	Why string `json:"why"`
	// Thread is the thread, nil for NoneOfThese.
	Thread *thread.Thread `json:"-"`

	// candidate is the thread and slip the slip, of those that the readings fit best; most is what the two weigh.
	candidate candidate
	slip      slip
	most      float64
}

// Answer is what readings say.
type Answer struct {
	Set   Set
	Found Found
	Among Among
	// Candidates are the threads, best first, and NoneOfThese last. Their weights sum to 1.
	Candidates []Candidate
	// Questions ask about slips that would explain the readings, the likeliest first.
	Questions []Question
}

// leastWeight is the weight below which a thread is left out; all left out together weigh less than 1 %.
const leastWeight = 1e-4

// Identify weighs every thread of the tables, special combinations by formula, and none of these, by the chance of the
// readings given the thread times what is believed of it beforehand (Bayes' rule). Each thread is weighed together with each slip
// that would have made the readings what they are.
//
// Twice as wide an uncertainty may well move weight from one thread to another, but on the average over what could have
// been read it never tells more: see TestWiderNeverSharpens.
func Identify(tables *thread.Tables, s Set, among Among) Answer {
	return Believe(tables, among).Identify(s)
}

// Identify is Identify for one set of several of which the same is believed beforehand.
func (believed Beliefs) Identify(s Set) Answer {
	slips := s.slips()
	a := Answer{Set: s, Found: slips[0].found, Among: believed.among}
	wires := s.wireGroups()
	at := map[string]int{}
	best := make([]weighed, len(slips))    // the likeliest thread given each slip
	chances := make([]float64, len(slips)) // of each slip
	var total float64
	for k, sl := range slips {
		for _, c := range believed.gather(sl.set, sl.found) {
			chance := c.chance(sl.set, sl.found, wires)
			w := sl.share * sl.stretch * c.prior * chance
			if !(w > 0) {
				continue
			}
			total += w
			chances[k] += w
			if w > best[k].weight {
				best[k] = weighed{c, w}
			}
			i, known := at[c.thread.Designation]
			if !known {
				i = len(a.Candidates)
				at[c.thread.Designation] = i
				a.Candidates = append(a.Candidates, Candidate{Designation: c.thread.Designation, Standard: c.thread.Standard, Thread: &c.thread})
			}
			one := &a.Candidates[i]
			one.Weight += w
			if w > one.most {
				one.most, one.candidate, one.slip = w, c, sl
			}
		}
	}
	none := Candidate{Designation: NoneOfThese, Weight: believed.noneWeight(s, a.Found, wires)}
	if total > 0 {
		none.Weight = total * believed.odds(none.Weight/total)
	}
	total += none.Weight
	for k := range slips {
		chances[k] += none.Weight * slips[k].share
	}
	if !(total > 0) { // what was read is so far off that every chance is below the least float64
		none.Weight, total = 1, 1
	}
	kept, sum := a.Candidates[:0], none.Weight/total
	for _, c := range a.Candidates {
		if c.Weight /= total; c.Weight >= leastWeight {
			kept = append(kept, c)
			sum += c.Weight
		}
	}
	a.Candidates = kept
	for i := range a.Candidates {
		a.Candidates[i].Weight /= sum
	}
	none.Weight /= total * sum
	slices.SortStableFunc(a.Candidates, func(x, y Candidate) int {
		return cmp.Or(cmp.Compare(y.Weight, x.Weight), strings.Compare(x.Designation, y.Designation))
	})
	for i := range a.Candidates {
		a.Candidates[i].Why = a.Candidates[i].reason(a)
	}
	none.Why = a.noneReason(none.Weight)
	a.Candidates = append(a.Candidates, none)
	a.Found.Contradictions = append(a.Found.Contradictions, a.against()...)
	for k := range slips {
		chances[k] /= total
		if w := best[k].weight / total; k > 0 && w >= worthAsking && slips[k].explains(best[k].thread, a.Candidates) {
			a.Questions = append(a.Questions, slips[k].question(best[k].candidate, w))
		}
	}
	slices.SortStableFunc(a.Questions, func(x, y Question) int { return cmp.Compare(y.Weight, x.Weight) })
	a.Questions = a.Questions[:min(mostAsked, len(a.Questions))]
	a.Found.Diameter = widened(slips, chances, func(f Found) *Estimate { return f.Diameter })
	a.Found.Major = widened(slips, chances, func(f Found) *Estimate { return f.Major })
	a.Found.Pitch = widened(slips, chances, func(f Found) *Estimate { return f.Pitch })
	return a
}

// weighed is a thread with what it weighs before the weights are made to sum to 1.
type weighed struct {
	candidate
	weight float64
}

// reason says in words why c weighs what it does.
func (c Candidate) reason(a Answer) string {
	var parts []string
	f, t := c.slip.found, c.Thread
	if c.slip.as != "" {
		parts = append(parts, "if "+c.slip.as)
	}
	if f.Diameter != nil {
		parts = append(parts, c.candidate.sizeReason(*f.Diameter, c.slip.set))
	}
	if f.Pitch != nil {
		parts = append(parts, pitchReason(*f.Pitch, t.Pitch.MM()))
	}
	for _, l := range a.Set.Leaves {
		seen := "seats"
		if !l.Matches {
			seen = "does not seat"
		}
		word := "fits that"
		if l.chance(t.Pitch.MM()) < 0.5 {
			word = "speaks against it"
		}
		parts = append(parts, fmt.Sprintf("leaf %s %s, which %s", l.Text, seen, word))
	}
	if a.Set.AngleDeg > 0 {
		word := "as read"
		if math.Abs(t.Form.AngleDeg()-a.Set.AngleDeg) > 1 {
			word = "not the " + unit.Short(a.Set.AngleDeg) + " read"
		}
		parts = append(parts, fmt.Sprintf("%s degrees between the flanks, %s", unit.Short(math.Round(t.Form.AngleDeg())), word))
	}
	if a.Set.Tapers != nil {
		word := "straight"
		if t.Taper > 0 {
			word = "a taper"
		}
		if *a.Set.Tapers != (t.Taper > 0) {
			word += ", not as seen"
		}
		parts = append(parts, word)
	}
	if f.PitchDiameter != nil && c.candidate.pitchHigh > 0 {
		parts = append(parts, fmt.Sprintf("pitch diameter over wires %s, limits %.3f to %.3f mm", mmText(f.PitchDiameter.Value), c.candidate.pitchLow, c.candidate.pitchHigh))
	}
	if use := c.candidate.use; use != nil {
		parts = append(parts, "used for "+use.What+" ("+commonPractice+")")
	}
	if err := t.HandsOff(); err != nil {
		parts = append(parts, err.Error())
	}
	if strings.HasSuffix(t.Standard, "by formula") && c.candidate.use == nil {
		parts = append(parts, "a special combination, less common than those of the tables")
	}
	return strings.Join(parts, "; ")
}

// sizeReason compares the diameter read with the limits of c.
func (c candidate) sizeReason(e Estimate, s Set) string {
	name := "bore"
	if s.External() {
		name = "outside diameter"
	}
	limits := fmt.Sprintf("%s, %.3f to %.3f mm (%.4f to %.4f in)", c.limitsWords, c.low, c.high, c.low/unit.MMPerInch, c.high/unit.MMPerInch)
	off, side := 0.0, ""
	switch {
	case e.Value > c.high:
		off, side = e.Value-c.high, "above"
	case e.Value < c.low:
		off, side = c.low-e.Value, "below"
	default:
		return fmt.Sprintf("the %s read lies within %s", name, limits)
	}
	worn := ""
	if s.Worn && (side == "below") == s.External() {
		worn = ", which wear may explain"
	}
	return fmt.Sprintf("the %s read is %.3f mm %s %s: %.1f standard uncertainties%s", name, off, side, limits, off/e.U, worn)
}

// pitchReason compares the pitch read with that of the thread.
func pitchReason(e Estimate, pitch float64) string {
	z := math.Abs(e.Value-pitch) / math.Hypot(e.U, PitchShare*pitch)
	return fmt.Sprintf("its pitch, %s, is %.1f standard uncertainties from the one read", pitchWords(pitch), z)
}

func (a Answer) noneReason(weight float64) string {
	if len(a.Candidates) == 0 {
		return "no thread of the tables comes near what was read"
	}
	if best := a.Candidates[0]; weight > best.Weight {
		why := "no thread of the tables fits better than one of any other size would; the nearest is " + best.Designation
		if best.slip.as != "" {
			why += ", if " + best.slip.as
		}
		return why
	}
	return "the chance left that it is a thread of no table"
}
