package printer

// This file holds the one model of what a hand feels when a printed thread meets its mate, be it a rung of a ladder or a ring
// on a real thread: the words for it, which of them contradict each other, and how likely each is where it is known what
// truly happens.

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// Felt is what a person says happened. The zero value says nothing.
type Felt struct {
	kind feltKind
	// turns are those after which a thread stopped.
	turns float64
}

// feltKind is a kind of outcome, from no room to too much.
type feltKind int

const (
	noStart feltKind = iota + 1
	stops
	snug
	goes
	rattles
)

// What may be felt, from no room to too much; StopsAfter stands between the first two.
var (
	DoesNotStart = Felt{kind: noStart}
	Snug         = Felt{kind: snug}
	Goes         = Felt{kind: goes}
	// Rattles is goes, with more play than any standard pair has.
	Rattles = Felt{kind: rattles}
)

// StopsAfter is a thread that starts, and holds fast after so many turns.
func StopsAfter(turns float64) Felt { return Felt{stops, turns} }

// mostTurns is more than any ring has.
const mostTurns = 60

// feltWords are the words for each kind, the one that is written first.
var feltWords = map[feltKind][]string{
	noStart: {"does not start"},
	snug:    {"snug"},
	goes:    {"goes", "goes all the way"},
	rattles: {"rattles", "starts and rattles", "goes and rattles"},
}

// feltWanted says what would be right where an outcome was read.
const feltWanted = `it is "does not start", "stops after 4 turns", "snug", "goes" or "rattles"`

var stopsAfter = regexp.MustCompile(`^stops? (?:after|at) (.+?) turns?$`)

// ParseFelt reads an outcome as people write it.
func ParseFelt(text string) (Felt, error) {
	plain := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	for kind, words := range feltWords {
		for _, word := range words {
			if plain == word {
				return Felt{kind: kind}, nil
			}
		}
	}
	m := stopsAfter.FindStringSubmatch(plain)
	if m == nil {
		return Felt{}, fmt.Errorf("%q is no outcome; %s", text, feltWanted)
	}
	n, err := unit.ParseNumber(m[1])
	if n = math.Round(1000*n) / 1000; err != nil || !(n > 0 && n <= mostTurns) {
		return Felt{}, fmt.Errorf("%q: a thread stops after more than 0 and at most %d turns", text, mostTurns)
	}
	return StopsAfter(n), nil
}

// String writes f as ParseFelt reads it.
func (f Felt) String() string {
	switch {
	case f.kind != stops:
		return append(feltWords[f.kind], "")[0]
	case unit.Short(f.turns) == "1":
		return "stops after 1 turn"
	}
	return fmt.Sprintf("stops after %s turns", unit.Short(f.turns))
}

// MarshalText writes f into files.
func (f Felt) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads f from files.
func (f *Felt) UnmarshalText(text []byte) (err error) {
	*f, err = ParseFelt(string(text))
	return err
}

// said reports whether f says anything.
func (f Felt) said() bool { return f.kind != 0 }

// Stopped returns the turns after which the thread held fast, and whether it did.
func (f Felt) Stopped() (turns float64, did bool) { return f.turns, f.kind == stops }

// Through reports whether the thread went on all the way.
func (f Felt) Through() bool { return f.kind >= snug }

// Tighter reports whether f leaves less room than g. Goes and rattles are alike: a person may call a ring that rattles one
// that goes.
func (f Felt) Tighter(g Felt) bool { return min(f.kind, goes) < min(g.kind, goes) }

// How far the turns that a person counts lie from those at which the flanks lock: a turn, and a quarter of the turns, since
// plastic gives before it holds (common practice, no published source).
const (
	TurnsOff   = 1.0
	turnsShare = 0.25
)

// turnsSD is the standard deviation of the turns counted where the flanks lock after n.
func turnsSD(n float64) float64 { return math.Hypot(TurnsOff, turnsShare*n) }

// Contradicts reports whether f and g cannot both be right of one thread on one mate. Neighbours are a matter of the hand; so
// are turns within two standard deviations of their difference, one that does not start having none.
func (f Felt) Contradicts(g Felt) bool {
	if f.kind <= stops && g.kind <= stops {
		return math.Abs(f.turns-g.turns) > 2*math.Sqrt2*turnsSD(max(f.turns, g.turns))
	}
	return f.kind-g.kind > 1 || g.kind-f.kind > 1
}

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

// What makes outcomes uncertain even when the offset is known. Common practice, no published source.
const (
	// Scatter is the standard deviation of one print's diameter from the next, on one machine with one material.
	Scatter = 0.02 * unit.Millimetre
	// feelMM is how far a hand that calls a rung snug or free errs from one rung to the next, mm.
	feelMM = 0.015
	// handMM is how far one hand errs on all rungs alike, mm.
	handMM = 0.01
	// lapse is the share of rungs that are mixed up or written to the wrong rung, one in 200.
	lapse = 0.005
)

// onRung is the chance of f on a rung of a clearance of mm in the mean, and of its mate's own pitch, so that the clearance
// alone decides. Rungs are felt beside each other, which makes for sharp words. One that stops is one too tight to start
// that was forced; goes includes rattles.
func (f Felt) onRung(mm, pitchMM, spread float64) float64 {
	above := func(limit float64) float64 { return distuv.UnitNormal.CDF((mm - limit) / spread) }
	var p float64
	switch f.kind {
	case noStart, stops:
		p = 1 - above(StartsAbove.MM())
	case snug:
		p = above(StartsAbove.MM()) - above(FreeAbove.MM())
	case goes:
		p = above(FreeAbove.MM())
	case rattles:
		p = above(max(RattlesAbove.MM(), RattlesAbovePitches*pitchMM))
	}
	return (1-lapse)*p + lapse/3
}

// Meeting is what truly happens between a ring and a real thread, as far as it decides what is felt: how it is told, and
// after how many turns the flanks lock (NaN when anywhere).
type Meeting struct {
	told *words
	stop float64
}

// words are the chances of does not start, stops, snug, goes and rattles.
type words [5]float64

// How each meeting is told. Common practice, no published source: most are named right, plastic gives a little, and no
// outcome is out of the question.
var (
	ofNoStart = words{0.93, 0.05, 0.007, 0.007, 0.006}
	ofOverlap = words{0.45, 0.50, 0.03, 0.01, 0.01}
	ofLocks   = words{0.05, 0.88, 0.05, 0.01, 0.01}
	ofSnug    = words{0.02, 0.08, 0.60, 0.28, 0.02}
	ofFree    = words{0.01, 0.02, 0.12, 0.80, 0.05}
	ofLoose   = words{0.01, 0.01, 0.02, 0.26, 0.70}
	ofWedges  = words{0.02, 0.75, 0.20, 0.02, 0.01}
	ofSeats   = words{0.01, 0.09, 0.60, 0.28, 0.02}
)

// The meetings that have no turns of their own: the ring cannot start; it overlaps its mate within the first turn; it runs
// with little to spare, free, or loose; a taper seats at the ring's last turn.
var (
	CannotStart = Meeting{&ofNoStart, math.NaN()}
	Overlaps    = Meeting{&ofOverlap, 0.5}
	RunsSnug    = Meeting{&ofSnug, math.NaN()}
	RunsFree    = Meeting{&ofFree, math.NaN()}
	RunsLoose   = Meeting{&ofLoose, math.NaN()}
	Seats       = Meeting{&ofSeats, math.NaN()}
)

// Locks is a meeting of which the flanks lock after so many turns, Wedges one of a taper that does.
func Locks(turns float64) Meeting { return Meeting{&ofLocks, turns} }

// Wedges is Locks for a taper.
func Wedges(turns float64) Meeting { return Meeting{&ofWedges, turns} }

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

// How often a thread of no table does what with a ring (common practice, no published source).
const (
	unknownNoStart = 0.35
	unknownStops   = 0.30
	unknownSnug    = 0.05
	unknownGoes    = 0.15
	unknownLoose   = 0.15
)

// Unknown are all meetings of a ring of that many turns with a thread of no table; it may stop after any of them.
func Unknown(turns float64) []Share {
	out := []Share{{CannotStart, unknownNoStart}, {RunsSnug, unknownSnug}, {RunsFree, unknownGoes}, {RunsLoose, unknownLoose}}
	n := int(math.Max(1, math.Round(turns)))
	for k := range n {
		out = append(out, Share{Locks(float64(k) + 0.5), unknownStops / float64(n)})
	}
	return out
}
