package printer

// This file holds the one model of what a hand feels when a printed thread meets its mate, be it a rung of a ladder or a ring
// on a real thread: the words for it, which of them contradict each other, and how likely each is where it is known what
// truly happens.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
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
	entryTight
	snug
	goes
	rattles
	drops
)

// What may be felt, from no room to too much; StopsAfter stands between the first two.
var (
	DoesNotStart = Felt{kind: noStart}
	// EntryTight is a first turn that must be forced, and a thread behind it that runs free: what a spread first layer does.
	EntryTight = Felt{kind: entryTight}
	Snug       = Felt{kind: snug}
	Goes       = Felt{kind: goes}
	// Rattles is goes, with more play than any standard pair has.
	Rattles = Felt{kind: rattles}
	// DropsIn is a thread that slides over its mate without being turned.
	DropsIn = Felt{kind: drops}
)

// StopsAfter is a thread that starts, and holds fast after so many turns.
func StopsAfter(turns float64) Felt { return Felt{stops, turns} }

// mostTurns is more than any ring has.
const mostTurns = 60

// feltWords are the words for each kind, the one that is written first.
var feltWords = map[feltKind][]string{
	noStart:    {"does not start"},
	entryTight: {"first turn tight, then free", "first turn tight", "tight at first, then free"},
	snug:       {"snug"},
	goes:       {"goes", "goes all the way"},
	rattles:    {"rattles", "starts and rattles", "goes and rattles"},
	drops:      {"drops in", "drops over", "slides over without turning"},
}

// feltWanted says what would be right where an outcome was read.
const feltWanted = `it is "does not start", "stops after 4 turns", "first turn tight, then free", "snug", "goes", "rattles" or "drops in"`

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
func (f Felt) Through() bool { return f.kind >= entryTight }

// Tighter reports whether f leaves less room than g. Goes, rattles and drops are alike: a person may call a ring that rattles one
// that goes. A tight first turn tells of the entry alone.
func (f Felt) Tighter(g Felt) bool {
	if f.kind == entryTight || g.kind == entryTight {
		return false
	}
	return min(f.kind, goes) < min(g.kind, goes)
}

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
	switch {
	case f.kind <= stops && g.kind <= stops:
		return math.Abs(f.turns-g.turns) > 2*math.Sqrt2*turnsSD(max(f.turns, g.turns))
	case f.kind == entryTight || g.kind == entryTight: // a tight entry may stop a thread, or be forced and forgotten
		return f.kind == drops || g.kind == drops || f.turns > 2*TurnsOff || g.turns > 2*TurnsOff
	}
	return f.place()-g.place() > 1 || g.place()-f.place() > 1
}

// place is where f stands among the outcomes from no room to too much, a tight first turn left out.
func (f Felt) place() int {
	if f.kind > entryTight {
		return int(f.kind) - 1
	}
	return int(f.kind)
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

// Meeting is what truly happens between a ring and a real thread, as far as it decides what is felt: how it is told, and
// after how many turns the flanks lock (NaN when anywhere).
type Meeting struct {
	told *words
	stop float64
}

// words are the chances of does not start, stops, first turn tight, snug, goes, rattles and drops in.
type words [7]float64

// How each meeting is told. Common practice, no published source: most are named right, plastic gives a little, and no
// outcome is out of the question.
var (
	ofNoStart = words{0.93, 0.04, 0.01, 0.007, 0.005, 0.005, 0.003}
	ofOverlap = words{0.44, 0.48, 0.03, 0.03, 0.01, 0.005, 0.005}
	ofLocks   = words{0.05, 0.87, 0.01, 0.05, 0.01, 0.005, 0.005}
	ofSnug    = words{0.02, 0.07, 0.08, 0.54, 0.26, 0.02, 0.01}
	ofFree    = words{0.01, 0.02, 0.07, 0.10, 0.74, 0.05, 0.01}
	ofLoose   = words{0.01, 0.01, 0.01, 0.02, 0.25, 0.66, 0.04}
	ofDrops   = words{0.01, 0.01, 0.01, 0.01, 0.05, 0.25, 0.66}
	ofWedges  = words{0.02, 0.74, 0.01, 0.20, 0.02, 0.005, 0.005}
	ofSeats   = words{0.01, 0.09, 0.02, 0.59, 0.27, 0.01, 0.01}
)

// The meetings that have no turns of their own: the ring cannot start; it overlaps its mate within the first turn; it runs
// with little to spare, free, or loose; it drops over without meeting a flank; a taper seats at the ring's last turn.
var (
	CannotStart = Meeting{&ofNoStart, math.NaN()}
	Overlaps    = Meeting{&ofOverlap, 0.5}
	RunsSnug    = Meeting{&ofSnug, math.NaN()}
	RunsFree    = Meeting{&ofFree, math.NaN()}
	RunsLoose   = Meeting{&ofLoose, math.NaN()}
	Drops       = Meeting{&ofDrops, math.NaN()}
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
	unknownLoose   = 0.12
	unknownDrops   = 0.03
)

// Unknown are all meetings of a ring of that many turns with a thread of no table; it may stop after any of them.
func Unknown(turns float64) []Share {
	out := []Share{{CannotStart, unknownNoStart}, {RunsSnug, unknownSnug}, {RunsFree, unknownGoes}, {RunsLoose, unknownLoose}, {Drops, unknownDrops}}
	n := int(math.Max(1, math.Round(turns)))
	for k := range n {
		out = append(out, Share{Locks(float64(k) + 0.5), unknownStops / float64(n)})
	}
	return out
}
