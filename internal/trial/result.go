package trial

// This file holds what is told of a trial: the printer's figures before and after, and the ladder to print next.

import (
	"fmt"
	"io"
	"math"
	"strings"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Result is a trial as it is told to scripts. Lengths in mm.
type Result struct {
	Printer string `json:"printer"`
	// History is the file that keeps the trials, Trials how many it holds now.
	History string      `json:"history"`
	Trials  int         `json:"trials"`
	Sides   []SideTrial `json:"sides"`
	// Command prints the proposed rungs, "" for none.
	Command string   `json:"command"`
	Files   []string `json:"files"`
	Caution []string `json:"caution"`
}

// SideTrial is one side of the printer.
type SideTrial struct {
	// Side is "inside" (what bores lose) or "outside" (what outside diameters gain).
	Side   string       `json:"side"`
	Before OffsetResult `json:"before"`
	After  OffsetResult `json:"after"`
	// Next is the ladder to print next for this side; null where rungs were not tried.
	Next *NextRungs `json:"next"`
	// Doubt names rungs of which the outcomes contradict each other, "" for none.
	Doubt string `json:"doubt"`

	before, after printer.Belief
}

// OffsetResult is what is believed of an offset, on the diameter.
type OffsetResult struct {
	// ValueMM is its mean, SDMM its standard deviation, RangeMM holds it with 95 % chance.
	ValueMM float64    `json:"value_mm"`
	SDMM    float64    `json:"sd_mm"`
	RangeMM [2]float64 `json:"range_95_mm"`
	// UMM is the uncertainty for the next print: the deviation and the scatter from print to print.
	UMM float64 `json:"u_mm"`
}

// NextRungs is a ladder proposed.
type NextRungs struct {
	ClearancesMM []float64 `json:"clearances_mm"`
	// GainBits is what its outcomes are expected to tell, WidthMM the width of the 95 % interval expected afterwards.
	GainBits float64 `json:"gain_bits"`
	WidthMM  float64 `json:"width_95_mm"`
	// Hint says what would tell more than rungs on this part, "" for nothing.
	Hint string `json:"hint"`

	// sumMM is the width of today's 95 % interval of what both sides come to together, for pairs; 0 for rungs of one side.
	sumMM float64
}

// wideRoomMM is the range of a part's size above which the part, not the rungs, bounds what is learned.
const wideRoomMM = 0.05

// NextRungCount is how many rungs are proposed: a plate of the smallest bed.
const NextRungCount = 5

func offsetResult(b printer.Belief) OffsetResult {
	low, high := b.Interval()
	return OffsetResult{
		ValueMM: thousandths(b.Mean()), SDMM: thousandths(b.SD()), RangeMM: [2]float64{thousandths(low), thousandths(high)},
		UMM: thousandths(printer.Combine(b.SD(), printer.Scatter)),
	}
}

func thousandths(l unit.Length) float64 { return math.Round(l.MM()*1000)/1000 + 0 }

// NewResult works out what trials told beyond those before them, for a printer whose profile without trials is p. The
// side touched by the last trial is proposed for again.
func NewResult(p printer.Profile, history string, before, after []printer.Trial, ladder *ladder.Result) Result {
	r := Result{Printer: p.Name, History: history, Trials: len(after), Sides: []SideTrial{}, Files: []string{}, Caution: []string{check.Caution}}
	var next [2]*printer.Proposal
	for k, side := range []printer.Side{printer.Inside, printer.Outside} {
		s := SideTrial{Side: string(side), before: p.Learn(side, before), after: p.Learn(side, after)}
		s.Before, s.After, s.Doubt = offsetResult(s.before), offsetResult(s.after), doubt(side, after)
		if part, ok := lastPart(side, after); ok && len(after) > 0 {
			n := p.Next(side, part, after, NextRungCount)
			next[k] = &n
			s.Next = &NextRungs{ClearancesMM: []float64{}, GainBits: math.Round(n.GainBits*100) / 100, WidthMM: thousandths(n.Width)}
			if wide := part.MostMM - part.LeastMM; wide > wideRoomMM {
				flag := "--part-inner"
				if side == printer.Outside {
					flag = "--part-outer"
				}
				s.Next.Hint = fmt.Sprintf("the part is known only within %.2f mm of limits, which bounds what its rungs can tell; its pitch diameter as read (%s), or a caliper reading of the print, tells more", wide, flag)
			}
			for _, c := range n.Clearances {
				s.Next.ClearancesMM = append(s.Next.ClearancesMM, unit.RoundMM(c))
			}
		}
		r.Sides = append(r.Sides, s)
	}
	if ladder != nil && ladder.Pairs {
		r.tellPairs(p, after, *ladder)
		return r
	}
	if ladder != nil {
		r.Command = nextCommand(*ladder, p.Name, len(after)+1, next)
	}
	return r
}

// tellPairs proposes the next pairs, which both sides share; they stand with the first.
func (r *Result) tellPairs(p printer.Profile, trials []printer.Trial, l ladder.Result) {
	part, ok := lastPart(printer.Pair, trials)
	if !ok {
		return
	}
	n := p.Next(printer.Pair, part, trials, NextRungCount)
	s := &r.Sides[0]
	s.Next = &NextRungs{
		ClearancesMM: []float64{}, GainBits: math.Round(n.GainBits*100) / 100, WidthMM: thousandths(n.Width),
		sumMM: thousandths(n.WidthNow),
		Hint:  "pairs tell what both sides come to together; a caliper over the crests of the plugs (--plug RUNG=READING) tells them apart",
	}
	var rungs []string
	for _, c := range n.Clearances {
		s.Next.ClearancesMM = append(s.Next.ClearancesMM, unit.RoundMM(ladder.Hundredths(c)))
		rungs = append(rungs, ladder.Rung{Inner: ladder.Hundredths(c), Outer: ladder.Hundredths(c)}.String())
	}
	s.Doubt = doubt(printer.Pair, trials)
	r.Command = fmt.Sprintf("tryring ladder --pairs %q --rungs=%s --printer %s --name %s-pairs-%d", l.Inner, strings.Join(rungs, ","), p.Name, p.Name, len(trials)+1)
}

// lastPart is the part that rungs of a side were tried on last.
func lastPart(side printer.Side, trials []printer.Trial) (part printer.Part, ok bool) {
	for _, t := range trials {
		for _, p := range t.Parts {
			if p.Side == side {
				part, ok = p, true
			}
		}
	}
	return part, ok
}

// nextCommand is the command line that makes the proposed rungs, as the ladder number n on that printer.
func nextCommand(l ladder.Result, printerName string, n int, next [2]*printer.Proposal) string {
	inner, outer := next[0], next[1]
	if inner == nil {
		inner = outer
	}
	if outer == nil {
		outer = inner
	}
	if inner == nil {
		return ""
	}
	var rungs []string
	for i := range min(len(inner.Clearances), len(outer.Clearances)) {
		rungs = append(rungs, ladder.Rung{Inner: inner.Clearances[i], Outer: outer.Clearances[i]}.String())
	}
	return fmt.Sprintf("tryring ladder --inner %q --outer %q --rungs=%s --printer %s --name %s-ladder-%d", l.Inner, l.Outer, strings.Join(rungs, ","), printerName, printerName, n)
}

// Page writes the picture of before and after to path, without its name yet, so that it appears only when the trial is kept.
func (r Result) Page(path string, force bool) (*whole.Pending, error) {
	d := draw.TrialData{Printer: r.Printer, Trials: r.Trials, Command: r.Command}
	for _, s := range r.Sides {
		d.Sides = append(d.Sides, draw.TrialSide{Title: sideTitle(s.Side), Before: s.before, After: s.after, Words: s.words()})
	}
	return whole.Prepare(path, force, func(w io.Writer) error { return draw.Trial(w, d) })
}

func sideTitle(side string) string {
	if side == string(printer.Inside) {
		return "What inside diameters lose"
	}
	return "What outside diameters gain"
}

// words tells one side in sentences.
func (s SideTrial) words() []string {
	tell := func(o OffsetResult) string {
		return fmt.Sprintf("%+.3f mm, between %+.3f and %+.3f mm with 95 %% chance", o.ValueMM, o.RangeMM[0], o.RangeMM[1])
	}
	out := []string{"before: " + tell(s.Before), "now:    " + tell(s.After)}
	if s.Doubt != "" {
		out = append(out, s.Doubt)
	}
	if n := s.Next; n != nil {
		var cs []string
		for _, c := range n.ClearancesMM {
			cs = append(cs, fmt.Sprintf("%.2f", c))
		}
		if n.sumMM > 0 {
			return append(out, fmt.Sprintf("next pairs: %s mm; they are expected to narrow the range of what both sides come to together from %.3f to %.3f mm",
				strings.Join(cs, ", "), n.sumMM, n.WidthMM), n.Hint)
		}
		out = append(out, fmt.Sprintf("next rungs: %s mm; they are expected to narrow that range from %.3f to %.3f mm",
			strings.Join(cs, ", "), s.After.RangeMM[1]-s.After.RangeMM[0], n.WidthMM))
		if n.Hint != "" {
			out = append(out, n.Hint)
		}
	}
	return out
}

// WriteText tells r to a person, with a bar of each belief.
func (r Result) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Printer %s, %s kept in %s.\n", r.Printer, unit.Counted(r.Trials, "trial"), r.History)
	for _, s := range r.Sides {
		fmt.Fprintf(&b, "\n%s, on the diameter\n", sideTitle(s.Side))
		for _, line := range s.words() {
			fmt.Fprintf(&b, "  %s\n", line)
		}
		low, high := barRange(s.before, s.after)
		fmt.Fprintf(&b, "  before %+.2f |%s| %+.2f mm\n  now    %+.2f |%s| %+.2f mm\n", low, bar(s.before, low, high), high, low, bar(s.after, low, high), high)
	}
	if r.Command != "" {
		fmt.Fprintf(&b, "\nTo print the next rungs:\n  %s\n", r.Command)
	}
	for _, f := range r.Files {
		fmt.Fprintf(&b, "\nPicture: %s\n", f)
	}
	fmt.Fprintf(&b, "\n%s\n", check.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

// barRange is what both beliefs all but surely lie in, to a tenth of a millimetre.
func barRange(beliefs ...printer.Belief) (low, high float64) {
	low, high = 0, 0
	for _, b := range beliefs {
		low, high = min(low, b.Quantile(0.01).MM()), max(high, b.Quantile(0.99).MM())
	}
	return math.Floor(low*10) / 10, math.Ceil(high*10) / 10
}

const barWide = 50

// bar draws the chances in barWide equal steps, each as a block as high as it is likely beside the likeliest.
func bar(b printer.Belief, low, high float64) string {
	at, density := b.Points()
	sums, counts := make([]float64, barWide), make([]float64, barWide)
	for i, x := range at {
		if k := int(math.Floor((x - low) / (high - low) * barWide)); k >= 0 && k < barWide {
			sums[k] += density[i]
			counts[k]++
		}
	}
	for k := range sums {
		sums[k] /= max(1, counts[k]) // some steps hold a point of the belief more than others
	}
	most := 0.0
	for _, s := range sums {
		most = max(most, s)
	}
	blocks := []rune(" ▁▂▃▄▅▆▇█")
	var out strings.Builder
	for _, s := range sums {
		out.WriteRune(blocks[int(math.Round(s/most*float64(len(blocks)-1)))])
	}
	return out.String()
}
