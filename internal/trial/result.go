package trial

// This file holds what is told of a trial: the printer's figures before and after, what is doubtful, and the ladder to print
// next.

import (
	"fmt"
	"math"

	"tryring/internal/check"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// Result is a trial as it is told to scripts. Lengths in mm.
type Result struct {
	Printer string `json:"printer"`
	// History is the file that keeps the trials, Trials how many of them count now. Trial is the number of the one that was kept
	// or taken back, by which it can be dropped.
	History string      `json:"history"`
	Trials  int         `json:"trials"`
	Trial   int         `json:"trial"`
	Sides   []SideTrial `json:"sides"`
	// Doubts tells what cannot all be right in the journal, and which lines of it do not count. Untold says what the trials cannot tell
	// apart, with the reading that would, and what was kept without its layer height.
	Doubts []string `json:"doubts"`
	Untold []string `json:"untold"`
	// Steps are what would tell more, the one first that tells most for its minutes and grams.
	Steps []Step `json:"steps"`
	// Next is the ladder to print next, nil for none; Command makes it, as words of whoever shows it.
	Next    *NextLadder `json:"next"`
	Command string      `json:"command"`
	Files   []string    `json:"files"`
	Caution []string    `json:"caution"`
}

// SideTrial is one side of the printer.
type SideTrial struct {
	// Side is "inside" (what bores lose) or "outside" (what outside diameters gain).
	Side   string `json:"side"`
	Before Offset `json:"before"`
	After  Offset `json:"after"`
	// Next is the ladder to print next for this side; null where rungs were not tried.
	Next *NextRungs `json:"next"`
}

// Offset is what is believed of one side's error, on the diameter.
type Offset struct {
	// ValueMM is the mean of plain size at the diameter that was tried last, as a caliper over crests reads it; SDMM its standard
	// deviation, RangeMM holds it with 95 % chance.
	ValueMM float64    `json:"value_mm"`
	SDMM    float64    `json:"sd_mm"`
	RangeMM [2]float64 `json:"range_95_mm"`
	// UMM is the uncertainty for the next print: the deviation and the scatter from print to print.
	UMM float64 `json:"u_mm"`
	// FeltMM is the mean of what a mate feels, layers included, on a thread like that tried last, FeltRangeMM holds it with 95 % chance.
	FeltMM      float64    `json:"felt_mm"`
	FeltRangeMM [2]float64 `json:"felt_95_mm"`

	// Plain and Felt are the whole of it.
	Plain, Felt printer.Belief `json:"-"`
}

// NextRungs are rungs proposed for a side.
type NextRungs struct {
	printer.Proposal
	// Both is set where the widths are those of what both sides come to together, as pairs tell it.
	Both bool `json:"both"`
	// Vague is how far the part may be off by its limits of size, where that bounds what rungs tell; 0 where it does not.
	Vague float64 `json:"part_within_mm"`
}

// NextLadder is a ladder to print: of rings with two threads, or of pairs of one.
type NextLadder struct {
	Pairs   bool     `json:"pairs"`
	Inner   string   `json:"inner"`
	Outer   string   `json:"outer"`
	Rungs   []string `json:"rungs"`
	Printer string   `json:"printer"`
	Name    string   `json:"name"`
	// HeightMM is that of short rings, which are enough to feel whether a thread starts and runs; 0 for the usual one.
	HeightMM float64 `json:"height_mm"`
}

// vagueMM is the range of a part's size above which the part, not the rungs, bounds what is learned.
const vagueMM = 0.05

// nextRungCount is how many rungs are proposed: a plate of the smallest bed.
const nextRungCount = 5

func offsetOf(l printer.Learnt, side printer.Side, use printer.Use) Offset {
	plain, felt := l.Plain(side, use.DiameterMM), l.Felt(side, use)
	return Offset{
		ValueMM: thousandths(plain.Mean()), SDMM: thousandths(plain.SD()), RangeMM: rangeOf(plain),
		UMM: thousandths(printer.Combine(plain.SD(), printer.Scatter)), FeltMM: thousandths(felt.Mean()), FeltRangeMM: rangeOf(felt), Plain: plain, Felt: felt,
	}
}

func rangeOf(b printer.Belief) [2]float64 {
	low, high := b.Interval()
	return [2]float64{thousandths(low), thousandths(high)}
}

func thousandths(l unit.Length) float64 { return math.Round(l.MM()*1000)/1000 + 0 }

// NewResult works out what the journal j of a printer tells with the entries after in place of those before. The profile
// without trials is p; the sides touched by the last trial are proposed for again, on a ladder like l, nil for none.
func NewResult(p printer.Profile, j *printer.Journal, before, after []printer.Entry, l *ladder.Result) Result {
	old, now := printer.Counting(before), printer.Counting(after)
	r := Result{Printer: p.Name, History: j.Path, Trials: len(now), Sides: []SideTrial{}, Doubts: doubtsIn(p.Name, j, after), Files: []string{}, Caution: []string{check.Caution}}
	var next []*NextRungs
	was, is := p.Learn(old), p.Learn(now)
	for _, side := range []printer.Side{printer.Inside, printer.Outside} {
		use := p.LastUse(side, now)
		s := SideTrial{Side: string(side), Before: offsetOf(was, side, use), After: offsetOf(is, side, use), Next: nextRungs(p, side, now)}
		if s.Next != nil {
			next = append(next, s.Next)
		}
		r.Sides = append(r.Sides, s)
	}
	r.Untold = untold(p, is, now)
	r.Steps = Steps(p, now, l, nil)
	if l == nil {
		return r
	}
	r.Next = &NextLadder{Inner: l.Inner, Outer: l.Outer, Printer: p.Name, Name: fmt.Sprintf("%s-ladder-%d", p.Name, len(now)+1)}
	if l.Pairs { // which both sides share; they stand with the first
		r.Sides[0].Next = nextRungs(p, printer.Pair, now)
		r.Next.Pairs, r.Next.Name = true, fmt.Sprintf("%s-pairs-%d", p.Name, len(now)+1)
		next = []*NextRungs{r.Sides[0].Next}
	}
	if len(next) == 0 {
		r.Next = nil
		return r
	}
	if !l.Pairs && l.Rungs[0].Layout == string(ring.Nested) {
		r.Next.HeightMM = l.ShortMM
	}
	inner, outer := next[0].Clearances, next[len(next)-1].Clearances
	for i := range min(len(inner), len(outer)) {
		r.Next.Rungs = append(r.Next.Rungs, ladder.Rung{Inner: ladder.Hundredths(inner[i]), Outer: ladder.Hundredths(outer[i])}.String())
	}
	return r
}

// doubtsIn are those in entries of the printer called name, and the lines of its journal that do not count.
func doubtsIn(name string, j *printer.Journal, entries []printer.Entry) []string {
	out := []string{}
	for _, d := range printer.Doubts(name, entries) {
		out = append(out, d.Text)
	}
	for _, bad := range j.Bad {
		out = append(out, bad.Error())
	}
	return out
}

// nextRungs proposes rungs for a side on the part that was tried on last; nil where none was.
func nextRungs(p printer.Profile, side printer.Side, trials []printer.Trial) *NextRungs {
	like, part, known := printer.LastRung(side, trials)
	if !known {
		return nil
	}
	out := NextRungs{Proposal: p.Next(like, trials, nextRungCount), Both: side == printer.Pair}
	out.GainBits = math.Round(out.GainBits*100) / 100
	out.Width, out.WidthNow = unit.MM(thousandths(out.Width)), unit.MM(thousandths(out.WidthNow))
	if wide := part.MostMM - part.LeastMM; wide > vagueMM {
		out.Vague = math.Round(wide*100) / 100
	}
	return &out
}
