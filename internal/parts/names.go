package parts

// This file lists the numbers by which the trade calls each thread, and how common the thread is.

import (
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// known is a thread that a part may have.
type known struct {
	thread.Thread
	// prior is how common it is among parts; only ratios matter. Common practice, no published source.
	prior   float64
	perInch float64
	// trade is the size in its name, major, minor and the throats are diameters, all in mm; ranges are the limits of size
	// of the crest.
	trade, major, minor float64
	throats             []float64
	crest               [2]float64
}

// The priors. A thread that drains and fixtures are known to use is met far more often than one that merely stands in a table.
const (
	usedPrior     = 6
	pipePrior     = 1.5
	tablePrior    = 1
	eighthPrior   = 0.3
	sixteenPrior  = 0.1
	printedPrior  = 0.03
	decimalPrior  = 0.3 // a size printed with three decimals or more that is no standard one
	foreignFactor = 0.1 // a metric thread in a list in inches
)

// guesser knows the threads that one side of a part can have.
type guesser struct {
	tables *thread.Tables
	side   int
	// crests is set when a column holds diameters over the crests, which are told by the limits of size.
	crests bool
	// uses are what the trade uses each thread for, by designation.
	uses map[string][]thread.Use
	// library are the threads of the tables that can stand on this side, listed are their designations.
	library []known
	listed  map[string]bool
}

func newGuesser(tables *thread.Tables, side int, crests bool) guesser {
	g := guesser{tables: tables, side: side, crests: crests, uses: map[string][]thread.Use{}, listed: map[string]bool{}}
	for _, use := range thread.Uses() {
		if use.Handling() != thread.Plain {
			continue // no ordinary part is meant
		}
		g.uses[use.Designation] = append(g.uses[use.Designation], use)
	}
	for _, t := range tables.All() {
		if !t.ComesAs(side == outer) {
			continue
		}
		g.library = append(g.library, g.describe(t))
		g.listed[t.Designation] = true
	}
	return g
}

// describe works out the numbers that t goes by.
func (g guesser) describe(t thread.Thread) known {
	k := known{
		Thread: t, prior: tablePrior, perInch: unit.MMPerInch / t.Pitch.MM(),
		trade: t.Basic.Major.MM(), major: t.Basic.Major.MM(), minor: t.Basic.Minor.MM(),
	}
	if size, ok := t.TradeSize(); ok {
		k.trade, k.prior = size.MM(), pipePrior
	}
	for _, use := range g.uses[t.Designation] {
		k.prior = usedPrior
		if use.Throat > 0 {
			k.throats = append(k.throats, use.Throat.MM())
		}
	}
	if t.Own() {
		k.prior = usedPrior
	}
	if !g.crests {
		return k
	}
	if l, err := t.Limits("", g.side == outer); err == nil {
		low, high := l.MinorMin, l.MinorMax
		if g.side == outer {
			low, high = l.MajorMin, l.MajorMax
		}
		if low != nil && high != nil {
			k.crest = [2]float64{low.MM(), high.MM()}
		}
	}
	return k
}

// How likely a number in a column of each kind is each of the numbers that a thread goes by: common practice, no published
// source. Shops mix the names by the bore and by the outside.
type naming struct{ trade, major, minor, throat, crest float64 }

var namings = map[kind]naming{
	sizeNumber:    {trade: 0.75, major: 0.15, throat: 0.10},
	outsideNumber: {trade: 0.10, major: 0.55, throat: 0.02, crest: 0.33},
	boreNumber:    {trade: 0.20, major: 0.10, minor: 0.15, throat: 0.25, crest: 0.30},
}

// near reports whether any number that k goes by, or could measure, lies within low and high.
func (k *known) near(low, high float64) bool {
	in := func(x float64) bool { return x >= low && x <= high }
	if in(k.trade) || in(k.major) || in(k.minor) || k.crest[1] >= low && k.crest[0] <= high {
		return true
	}
	for _, throat := range k.throats {
		if in(throat) {
			return true
		}
	}
	return false
}

// likelihood returns the chance that k is printed as n in a column of the given kind under habit h.
func (k *known) likelihood(n number, c kind, h Habit) float64 {
	w := namings[c]
	sum := 0.0
	for _, point := range []struct{ weight, mm float64 }{{w.trade, k.trade}, {w.major, k.major}, {w.minor, k.minor}} {
		if point.weight > 0 && n.holds(point.mm, h) {
			sum += point.weight
		}
	}
	for _, throat := range k.throats {
		if n.holds(throat, h) {
			sum += w.throat / float64(len(k.throats))
		}
	}
	return sum + w.crest*n.share(k.crest[0], k.crest[1], h)
}
