package printer

// This file says how likely each outcome of a rung is by its clearance.

import (
	"math"
	"slices"

	"tryring/internal/unit"
)

// Where the outcomes of a rung divide, as clearance at the pitch line on the diameter: the same figures by which fit judges.
const (
	// StartsAbove is the clearance above which a rung can be turned on at all, FreeAbove that above which it runs free.
	StartsAbove = -0.013 * unit.Millimetre
	FreeAbove   = 0.03 * unit.Millimetre
	// RattlesAbovePitches is the clearance above which it rattles, as a multiple of the pitch, and RattlesAbove the least
	// that does.
	RattlesAbovePitches = 0.36
	RattlesAbove        = 0.1 * unit.Millimetre
)

// Scatter is the standard deviation of one print's diameter from the next, on one machine with one material (common practice, no
// published source).
const Scatter = 0.02 * unit.Millimetre

// How rungs are told. Common practice, no published source.
const (
	// dropsAbovePitches is the clearance above which a thread drops over its mate, in pitches: that of crests that only just meet is
	// 1.08 at 60 degrees.
	dropsAbovePitches = 1.0
	// givesMM is how far plastic gives at the entry to a hand that forces it.
	givesMM = 0.08
	// lapse is the share of rungs that are mixed up or written to the wrong rung, one in 50.
	lapse = 0.02
)

// onRung is the chance of f by the clearance of a rung, on its mate's own pitch, so that the clearance alone decides. Rungs are felt
// beside each other, which makes for sharp words. One that stops is one too tight to start that was forced; goes includes rattles,
// and that what drops.
func (f Felt) onRung(w way, pitchMM float64) []within {
	starts, free := StartsAbove.MM(), FreeAbove.MM()
	rattle, drop := max(RattlesAbove.MM(), RattlesAbovePitches*pitchMM), max(2*RattlesAbove.MM(), dropsAbovePitches*pitchMM)
	edges := []float64{-mostOff, starts, starts + w.entry - givesMM, starts + w.entry, free, free + w.entry, free + w.rub, rattle, drop, mostOff}
	slices.Sort(edges)
	var out []within
	for i, from := range edges[:len(edges)-1] {
		middle := (from + edges[i+1]) / 2
		p := 0.0
		switch {
		case f.kind == rattles && middle > rattle, f.kind == drops && middle > drop:
			p = 1
		case f.kind != rattles && f.kind != drops:
			p = f.at(w, middle)
		}
		p = (1-lapse)*p + lapse/3
		if last := len(out) - 1; last >= 0 && math.Abs(out[last].chance-p) < lapse/100 {
			out[last].to = edges[i+1] // the same chance goes on
		} else {
			out = append(out, within{from, edges[i+1], p})
		}
	}
	return out
}

// at is the chance of f, none of rattles and drops, at one clearance c.
func (f Felt) at(w way, c float64) float64 {
	starts, free := StartsAbove.MM(), FreeAbove.MM()
	entry := c - w.entry
	var not, tight, close float64 // of does not start, a tight first turn, and snug; goes is the rest
	forced := 0.0                 // chance that the entry is forced and told apart
	if w.knows {
		forced = 0.05
		if entry > starts-givesMM {
			forced = 0.7
		}
	}
	switch runs := c > free+w.rub; {
	case c <= starts:
		not = 1
	case entry <= starts && runs:
		not, tight = 1-forced, forced
	case entry <= starts:
		not, close = 1-forced, forced
	case !runs:
		close = 1
	case entry <= free && w.knows:
		tight, close = 0.8, 0.2
	case entry <= free:
		close = 1
	}
	switch {
	case f.kind == stops && f.turns > 2*TurnsOff && c > starts:
		return 0 // the entry lies behind it
	case f.kind <= stops:
		return not
	case f.kind == entryTight:
		return tight
	case f.kind == snug:
		return close
	}
	return 1 - not - tight - close
}
