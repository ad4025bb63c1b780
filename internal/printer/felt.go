package printer

// This file holds the words for what a hand feels when a printed thread meets its mate, be it a rung of a ladder or a ring on a real
// thread, and which of them contradict each other.

import (
	"fmt"
	"math"
	"regexp"
	"strings"

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
