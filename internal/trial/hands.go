package trial

// This file says how people tell what happens when a ring meets a thread: how likely each result is for each thing that
// may truly happen.

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/fit"
)

// What hands say of what happens: for each kind of meeting, the chances of the results in the order of feltKind. Common
// practice, no published source: most results are named right, plastic gives a little, and no result is out of the question.
var (
	handsNoStart  = [5]float64{0.93, 0.05, 0.007, 0.007, 0.006}
	handsOverlap  = [5]float64{0.45, 0.50, 0.03, 0.01, 0.01}
	handsStops    = [5]float64{0.05, 0.88, 0.05, 0.01, 0.01}
	handsSnug     = [5]float64{0.02, 0.08, 0.60, 0.28, 0.02}
	handsGoes     = [5]float64{0.01, 0.02, 0.12, 0.80, 0.05}
	handsLoose    = [5]float64{0.01, 0.01, 0.02, 0.26, 0.70}
	handsTaper    = [5]float64{0.02, 0.75, 0.20, 0.02, 0.01}
	handsFullDeep = [5]float64{0.01, 0.09, 0.60, 0.28, 0.02}
)

// How far the turns that a person counts lie from those at which the flanks lock: a turn, and a quarter of the turns, since
// plastic gives before it holds (common practice, no published source).
const (
	turnsOff   = 1.0
	turnsShare = 0.25
)

// meeting is what happens in truth: which hands it is told by, and after how many turns it locks (NaN when anywhere).
type meeting struct {
	hands *[5]float64
	stop  float64
}

// meetingOf turns a verdict into a meeting of a ring of the given turns.
func meetingOf(r fit.Result, taper bool, ringTurns float64) meeting {
	anywhere := math.NaN()
	if taper && r.Verdict != fit.WillNotStart && r.Verdict != fit.Loose && r.Turns != nil {
		if *r.Turns >= ringTurns-turnsOff/2 {
			return meeting{&handsFullDeep, anywhere}
		}
		return meeting{&handsTaper, *r.Turns}
	}
	switch r.Verdict {
	case fit.WillNotStart:
		return meeting{&handsNoStart, anywhere}
	case fit.Binds:
		if r.Turns != nil && *r.Turns >= 1 {
			return meeting{&handsStops, *r.Turns}
		}
		return meeting{&handsOverlap, 0.5}
	case fit.Snug:
		return meeting{&handsSnug, anywhere}
	case fit.Goes:
		return meeting{&handsGoes, anywhere}
	}
	return meeting{&handsLoose, anywhere}
}

// unknownMeeting is what a thread of no table may do with a ring, and how often.
type unknownMeeting struct {
	meeting
	share float64
}

// How often a thread of no table does what with a ring (common practice, no published source).
const (
	unknownNoStart = 0.35
	unknownStops   = 0.30
	unknownSnug    = 0.05
	unknownGoes    = 0.15
	unknownLoose   = 0.15
)

// unknownMeetings are all that a thread of no table may do with a ring of that many turns; it may stop after any of them.
func unknownMeetings(turns float64) []unknownMeeting {
	anywhere := math.NaN()
	out := []unknownMeeting{
		{meeting{&handsNoStart, anywhere}, unknownNoStart},
		{meeting{&handsSnug, anywhere}, unknownSnug},
		{meeting{&handsGoes, anywhere}, unknownGoes},
		{meeting{&handsLoose, anywhere}, unknownLoose},
	}
	n := int(math.Max(1, math.Round(turns)))
	for k := range n {
		out = append(out, unknownMeeting{meeting{&handsStops, float64(k) + 0.5}, unknownStops / float64(n)})
	}
	return out
}

// chance is the chance of the result f in meeting m on a ring of ringTurns turns. Turns are told to about one turn.
func (f felt) chance(m meeting, ringTurns float64) float64 {
	p := m.hands[f.kind]
	if f.kind != feltStops {
		return p
	}
	if math.IsNaN(m.stop) {
		return p / max(1, ringTurns)
	}
	law := distuv.Normal{Mu: m.stop, Sigma: math.Hypot(turnsOff, turnsShare*m.stop)}
	whole := law.CDF(max(ringTurns, m.stop)+0.5) - law.CDF(0)
	from := f.turns - 0.5
	if f.turns <= 1 {
		from = 0 // whoever stops within the first turn says one
	}
	within := (law.CDF(f.turns+0.5) - law.CDF(from)) / whole
	// One in a hundred counts is of another thing altogether.
	return p * (0.99*within + 0.01/max(1, ringTurns))
}
