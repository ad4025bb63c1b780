package world

// This file counts what was said against what was found, and says which bounds hold.

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// share is how many of a number of cases did something. Of several towns squares are the sums over them of what did squared, of that
// times all, and of all squared.
type share struct {
	did, of, towns int
	squares        [3]float64
}

func (s *share) count(did bool) {
	s.of++
	if did {
		s.did++
	}
}

func (s share) rate() float64 { return float64(s.did) / float64(max(1, s.of)) }

// join adds the cases of a town.
func (s *share) join(town share) {
	did, of := float64(town.did), float64(town.of)
	s.did, s.of, s.towns = s.did+town.did, s.of+town.of, s.towns+1
	s.squares[0] += did * did
	s.squares[1] += did * of
	s.squares[2] += of * of
}

// alike is by how much what one town has in common (its hands, its workshops, several joints of one part) widens the variance of the
// rate: that of a ratio over towns, by that of as many strangers (the design effect of surveys), 1 at least.
func (s share) alike() float64 {
	n, p, k := float64(s.of), s.rate(), float64(s.towns)
	if k < 2 || p == 0 || p == 1 {
		return 1
	}
	towns := (s.squares[0] - 2*p*s.squares[1] + p*p*s.squares[2]) * k / (k - 1)
	return max(1, towns/(n*p*(1-p)))
}

// z is how many standard deviations a bound of 95 % lies off, to one side.
const z = 1.645

// bounds are the one-sided 95 % bounds of the rate behind s (Wilson's interval of 1927), of as many cases as those of alike towns
// are worth.
func (s share) bounds() (low, high float64) {
	if s.of == 0 {
		return 0, 1
	}
	n, p := float64(s.of)/s.alike(), s.rate()
	middle := (p + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	return middle - half, middle + half
}

func (s share) String() string {
	if s.of == 0 {
		return "-"
	}
	return fmt.Sprintf("%.3g%% of %d", 100*s.rate(), s.of)
}

// tally is what happened in one world.
type tally struct {
	program knows
	// sure counts first candidates said at 0.9 or more that were right; orders those after which a wrong part would be
	// ordered.
	sure, orders share
	// diameters and pitches count 95 % intervals that held.
	diameters, pitches share
	// strange counts threads of no table that were called some thread at 0.8 or more.
	strange share
	// strangeIn are those of strange by the series that the program has never heard of.
	strangeIn map[string]share
	// first counts first candidates that were right, whatever was said.
	first share
	// good counts, of the joints that are good, those struck out, under 0.05; bad, of all joints, those that are not and were
	// passed, at 0.8 or more.
	good, bad share
	// unread counts inputs that were refused.
	unread share
	// thread and joint hold the chances said, by tenths, and how many came true.
	thread, joint [10]claim
}

// join adds what happened in one town.
func (t *tally) join(town *tally) {
	for k, s := range t.shares() {
		s.join(*town.shares()[k])
	}
	for series, s := range town.strangeIn {
		of := t.strangeIn[series]
		of.join(s)
		t.strangeIn[series] = of
	}
	for k := range t.thread {
		t.thread[k].join(town.thread[k])
		t.joint[k].join(town.joint[k])
	}
}

func (t *tally) shares() []*share {
	return []*share{&t.sure, &t.orders, &t.diameters, &t.pitches, &t.strange, &t.first, &t.good, &t.bad, &t.unread}
}

// claim are the chances said in one tenth and how many came true.
type claim struct {
	said  float64
	found share
}

func (c *claim) add(said float64, came bool) {
	c.said += said
	c.found.count(came)
}

func (c *claim) join(town claim) {
	c.said += town.said
	c.found.join(town.found)
}

func tenth(p float64) int { return min(9, max(0, int(p*10))) }

// bound is a rate that must not be passed.
type bound struct {
	name  string
	of    func(*tally) share
	least bool
	limit float64
}

// The names of the bounds.
const (
	sureRight     = "right of those said at 0.9"
	diametersHold = "diameter intervals that hold"
	pitchesHold   = "pitch intervals that hold"
	strangeNamed  = "threads of no table named at 0.8"
	goodStruck    = "good joints struck out"
	badPassed     = "bad joints passed at 0.8"
	wrongOrders   = "wrong orders"
	listsUnread   = "inputs refused"
)

// goals are the bounds that every world should keep; the lower end of the 95 % interval of a rate is counted for what must be
// at least so much, the upper end for what must be at most.
var goals = []bound{
	{sureRight, func(t *tally) share { return t.sure }, true, 0.88},
	{diametersHold, func(t *tally) share { return t.diameters }, true, 0.90},
	{pitchesHold, func(t *tally) share { return t.pitches }, true, 0.90},
	{strangeNamed, func(t *tally) share { return t.strange }, false, 0.03},
	{goodStruck, func(t *tally) share { return t.good }, false, 0.01},
	{badPassed, func(t *tally) share { return t.bad }, false, 0.01},
	{wrongOrders, func(t *tally) share { return t.orders }, false, 1.0 / 9},
	{listsUnread, func(t *tally) share { return t.unread }, false, 0.01},
}

// householdOrders is the stricter bound of wrong orders over the mixtures of all people, the household mix.
const householdOrders = 1.0 / 25

// limitIn is the limit of b in a world.
func (b bound) limitIn(world string) float64 {
	if b.name == wrongOrders && world == mixtures {
		return householdOrders
	}
	return b.limit
}

// enough is how many cases a rate needs to be judged.
const enough = 60

// verdict says whether s keeps b, and whether it surely does not: even the other end of its interval lies beyond the limit.
func (b bound) verdict(s share, limit float64) (kept, broken bool) {
	low, high := s.bounds()
	if b.least {
		return low >= limit, high < limit
	}
	return high <= limit, low > limit
}

// table prints what was said against what was found in all worlds.
func table(names []string, tallies map[string]*tally) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-22s %16s %14s %16s %16s %16s %15s %15s %12s %15s\n", "world", "right at 0.9", "first right", "wrong orders", "diameter holds", "pitch holds", "strange at 0.8", "good struck", "unread", "bad passed")
	names = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return tallies[name] == nil }) // only some were asked for
	for _, name := range names {
		t := tallies[name]
		fmt.Fprintf(&b, "%-22s %16s %14s %16s %16s %16s %15s %15s %12s %15s\n", name, t.sure, t.first, t.orders, t.diameters, t.pitches, t.strange, t.good, t.unread, t.bad)
	}
	b.WriteString("\nsaid against found, by tenths: threads, then joints\n")
	for _, name := range names {
		for _, claims := range [][10]claim{tallies[name].thread, tallies[name].joint} {
			line := ""
			for _, c := range claims {
				if c.found.of > 0 {
					line += fmt.Sprintf(" %.2f:%.2f(%d)", c.said/float64(c.found.of), c.found.rate(), c.found.of)
				}
			}
			if line != "" {
				fmt.Fprintf(&b, "%-22s%s\n", name, line)
			}
		}
	}
	return b.String()
}
