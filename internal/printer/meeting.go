package printer

// This file says how likely each outcome of a ring on a real thread is, by what truly happens between them.

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Meeting is what truly happens between a ring and a real thread, as far as it decides what is felt: how it is told, and
// after how many turns the flanks lock (NaN when anywhere).
type Meeting struct {
	told words
	stop float64
}

// words are the chances of does not start, stops, first turn tight, snug, goes, rattles and drops in. Common practice, no published
// source: most are named right, plastic gives a little, and no outcome is out of the question.
type words [7]float64

// The meetings that have no turns of their own: the ring cannot start; it overlaps its mate within the first turn; it runs
// with little to spare, free, or loose; it drops over without meeting a flank; a taper seats at the ring's last turn.
var (
	CannotStart = Meeting{words{0.93, 0.04, 0.01, 0.007, 0.005, 0.005, 0.003}, math.NaN()}
	Overlaps    = Meeting{words{0.44, 0.48, 0.03, 0.03, 0.01, 0.005, 0.005}, 0.5}
	RunsSnug    = Meeting{words{0.02, 0.07, 0.08, 0.54, 0.26, 0.02, 0.01}, math.NaN()}
	RunsFree    = Meeting{words{0.01, 0.02, 0.07, 0.10, 0.74, 0.05, 0.01}, math.NaN()}
	RunsLoose   = Meeting{words{0.01, 0.01, 0.01, 0.02, 0.25, 0.66, 0.04}, math.NaN()}
	Drops       = Meeting{words{0.01, 0.01, 0.01, 0.01, 0.05, 0.25, 0.66}, math.NaN()}
	Seats       = Meeting{words{0.01, 0.09, 0.02, 0.59, 0.27, 0.01, 0.01}, math.NaN()}
)

// Locks is a meeting of which the flanks lock after so many turns, Wedges one of a taper that does.
func Locks(turns float64) Meeting {
	return Meeting{words{0.05, 0.87, 0.01, 0.05, 0.01, 0.005, 0.005}, turns}
}

// Wedges is Locks for a taper.
func Wedges(turns float64) Meeting {
	return Meeting{words{0.02, 0.74, 0.01, 0.20, 0.02, 0.005, 0.005}, turns}
}

// In is the chance of f in the meeting m of a ring of ringTurns turns. Turns are counted to about one turn.
func (f Felt) In(m Meeting, ringTurns float64) float64 {
	p := m.told[f.kind-noStart]
	if f.kind != stops {
		return p
	}
	if math.IsNaN(m.stop) {
		return p / max(1, ringTurns)
	}
	law := distuv.Normal{Mu: m.stop, Sigma: turnsSD(m.stop)}
	whole := law.CDF(max(ringTurns, m.stop)+0.5) - law.CDF(0)
	from := f.turns - 0.5
	if f.turns <= 1 {
		from = 0 // whoever stops within the first turn says one
	}
	within := (law.CDF(f.turns+0.5) - law.CDF(from)) / whole
	// One in a hundred counts is of another thing altogether.
	return p * (0.99*within + 0.01/max(1, ringTurns))
}

// Share is a meeting, and how often it is the one.
type Share struct {
	Meeting
	Of float64
}

// Unknown are all meetings of a ring of that many turns with a thread of no table, and how often it does what (common practice, no
// published source); it may stop after any of them.
func Unknown(turns float64) []Share {
	const stops = 0.30
	out := []Share{{CannotStart, 0.35}, {RunsSnug, 0.05}, {RunsFree, 0.15}, {RunsLoose, 0.12}, {Drops, 0.03}}
	n := int(math.Max(1, math.Round(turns)))
	for k := range n {
		out = append(out, Share{Locks(float64(k) + 0.5), stops / float64(n)})
	}
	return out
}
