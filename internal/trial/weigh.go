package trial

// This file weighs what a thread could be by what rings did on it (Bayes' rule).

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// notAsTold is how often a job is not as it was told: parts mixed up, a thread that is dirty or bent, another thread than the
// one that was read. The same ring then does one thing now and another next time (common practice, no published source).
const notAsTold = 0.02

// reweigh updates the candidates of a by tries of one side, best first and "none of these" last. Where one ring was tried
// several times, "none of these" also stands for a job that is not as it was told.
func reweigh(a reading.Answer, tries []job.Try, tables *thread.Tables) (reading.Answer, error) {
	if len(tries) == 0 {
		return a, nil
	}
	all, err := meetAll(tries, tables)
	if err != nil {
		return a, err
	}
	var first, again []tried // of each ring
	for _, ring := range byRing(all) {
		first, again = append(first, ring[0]), append(again, ring[1:]...)
	}
	out := a
	out.Candidates = slices.Clone(a.Candidates)
	total, once := 0.0, 0.0 // once is the chance of the first try of each ring, whatever the thread
	for i := range out.Candidates {
		c := &out.Candidates[i]
		p, err := chanceOf(c.Thread, all)
		one := p
		if err == nil && len(again) > 0 {
			one, err = chanceOf(c.Thread, first)
		}
		if err != nil {
			return a, fmt.Errorf("%s: %w", c.Designation, err)
		}
		once += c.Weight * one
		c.Weight *= p
		total += c.Weight
	}
	last := len(out.Candidates) - 1
	if len(again) > 0 {
		p := notAsTold * once
		for _, t := range again {
			p *= anyhow(t)
		}
		out.Candidates[last].Weight += p
		total += p
	}
	for i := range out.Candidates {
		out.Candidates[i].Weight /= total // every result has some chance on every thread
	}
	slices.SortStableFunc(out.Candidates[:last], func(x, y reading.Candidate) int {
		return cmp.Or(cmp.Compare(y.Weight, x.Weight), strings.Compare(x.Designation, y.Designation))
	})
	return out, nil
}

// byRing puts the tries of each ring together.
func byRing(all []tried) [][]tried {
	var out [][]tried
	for _, t := range all {
		i := slices.IndexFunc(out, func(ring []tried) bool { return ring[0].ring() == t.ring() })
		if i < 0 {
			i, out = len(out), append(out, nil)
		}
		out[i] = append(out[i], t)
	}
	return out
}

// anyhow is the chance of a result that has nothing to do with what the ring did before.
func anyhow(t tried) (p float64) {
	for _, u := range printer.Unknown(t.turns) {
		p += u.Of * t.felt.In(u.Meeting, t.turns)
	}
	return p
}

// chanceOfNone is the chance of all tries on a thread of no table. What such a thread truly does with a ring is unknown, but
// it does the same each time: the same ring tried again tells only how hands err, and other rings tell by themselves.
func chanceOfNone(all []tried) float64 {
	p := 1.0
	for _, ring := range byRing(all) {
		sum := 0.0
		for _, u := range printer.Unknown(ring[0].turns) {
			same := u.Of
			for _, t := range ring {
				same *= t.felt.In(u.Meeting, t.turns)
			}
			sum += same
		}
		p *= sum
	}
	return p
}

// The nodes of the quadrature: sizes in equal layers of the limits, prints in layers of equal chance.
const (
	sizeNodes  = 7
	printNodes = 9
)

// chanceOf is the chance of all tries if the real thread is t, nil for one of no table: over its limits of size, and over what
// is uncertain of the printer. Both are the same in all tries, so that the same ring tried twice does not count double as far as
// they go.
func chanceOf(t *thread.Thread, all []tried) (float64, error) {
	if t == nil {
		return chanceOfNone(all), nil
	}
	_, err := t.Limits("", all[0].Side == innerSide)
	ranged := err == nil || t.Taper > 0
	total := 0.0
	sizes, prints := fit.Layers(sizeNodes), fit.Layers(printNodes)
	for _, size := range sizes {
		for _, print := range prints {
			z := math.Sqrt2 * math.Erfinv(print)
			p := 1.0
			for _, try := range all {
				m, err := try.meeting(*t, size, z, ranged)
				if err != nil {
					return 0, err
				}
				p *= try.felt.In(m, try.turns)
			}
			total += p
		}
	}
	return total / float64(len(sizes)*len(prints)), nil
}

// meeting is what the ring of t does on a thread at one place of its limits, with a print z standard uncertainties off.
func (t tried) meeting(real thread.Thread, size, z float64, ranged bool) (printer.Meeting, error) {
	made := t.printed().Plus(unit.MM(z * t.UMM))
	ringSide, realSide := fit.Side{Given: &made}, fit.Side{At: fit.Point(size)}
	if !ranged { // no standard limits it: between basic size and a share of a pitch towards less material
		less := unit.MM((1 - size) / 2 * openRoomPitches * real.Pitch.MM())
		if t.Side == innerSide {
			less = -less
		}
		given := real.Basic.Plus(less)
		realSide = fit.Side{Given: &given}
	}
	opt := fit.Options{External: realSide, Internal: ringSide, Engaged: unit.MM(t.EngagedMM)}
	external, internal := real, t.own
	if t.Side == outerSide {
		opt.External, opt.Internal = ringSide, realSide
		external, internal = t.own, real
	}
	r, err := fit.Judge(external, internal, opt)
	if err != nil {
		return printer.Meeting{}, err
	}
	return meetingOf(r, t.own.Taper+real.Taper > 0, t.turns), nil
}

// meetingOf turns a verdict into a meeting of a ring of the given turns.
func meetingOf(r fit.Result, taper bool, ringTurns float64) printer.Meeting {
	if taper && r.Verdict != fit.WillNotStart && r.Verdict != fit.Loose && r.Turns != nil {
		if *r.Turns >= ringTurns-printer.TurnsOff/2 {
			return printer.Seats
		}
		return printer.Wedges(*r.Turns)
	}
	switch r.Verdict {
	case fit.WillNotStart:
		return printer.CannotStart
	case fit.Binds:
		if r.Turns != nil && *r.Turns >= 1 {
			return printer.Locks(*r.Turns)
		}
		return printer.Overlaps
	case fit.Snug:
		return printer.RunsSnug
	case fit.Goes:
		return printer.RunsFree
	}
	if r.AxialPlay == nil { // the crests pass each other
		return printer.Drops
	}
	return printer.RunsLoose
}
