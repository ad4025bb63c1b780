package parts

// This file lists the numbers by which the trade calls each thread, and how common the thread is.

import (
	"math"
	"slices"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// known is a thread that a part may have.
type known struct {
	thread.Thread
	// prior is how common it is among parts; only ratios matter. Common practice, no published source.
	prior   float64
	perInch float64
	// major is the basic size outside, mm; names are the numbers that it goes by; crest are the limits of size of the crest.
	major float64
	names []name
	crest [2]float64
}

// name is a number by which a thread goes, mm, and how likely it is in each manner of naming.
type name struct {
	mm    float64
	share [manners]float64
}

// manners of naming: in a column of sizes by the outside, or by the bore that one looks through; in a column that says that it
// holds outside diameters, or bores.
const (
	byOutside = iota
	byBore
	inOutsides
	inBores
	manners
)

// How likely a thread is printed by each of its numbers, and in a column of diameters by what was measured over its crests: common
// practice, no published source. Pipe threads go by their trade size, which is a bore, and metric ones by the outside; what else goes by
// the bore goes by a throat, mostly in eighths of an inch.
var (
	pipeShares   = map[string][manners]float64{"trade": {0.85, 0.75, 0.10, 0.20}, "major": {0.15, 0, 0.55, 0.10}, "minor": {0, 0.10, 0, 0.15}, "throat": {0, 0.15, 0.02, 0.25}}
	plainShares  = map[string][manners]float64{"major": {1, 0, 0.65, 0.30}, "minor": {0, 0.10, 0, 0.15}, "throat": {0, 0.90, 0.02, 0.25}}
	metricShares = map[string][manners]float64{"major": {1, 0.90, 0.65, 0.30}, "minor": {0, 0.10, 0, 0.15}}
	crestShares  = [manners]float64{inOutsides: 0.33, inBores: 0.30}
)

// Throats that are not known stand this much below the outside, in eighths of an inch: those of drains that are known (thread.Uses)
// stand 2 or 3 eighths below.
const leastWall, mostWall = 1.0 / 8, 4.0 / 8

// usualThroat is how much of the share of throats those that are known for a use take.
const usualThroat = 0.6

// The priors: how many times as common threads are that something is known to use, that somebody put into tables of their own, and
// combinations outside the tables.
const (
	usedPrior     = 6
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
	// library are the threads of the tables that can stand on this side, total their priors, listed their designations.
	library []known
	total   float64
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
		k := g.describe(t)
		g.library = append(g.library, k)
		g.total += k.prior
		g.listed[t.Designation] = true
	}
	return g
}

// describe works out the numbers that t goes by.
func (g guesser) describe(t thread.Thread) known {
	k := known{Thread: t, perInch: unit.MMPerInch / t.Pitch.MM(), major: t.Basic.Major.MM()}
	for _, set := range []string{"any", "drain", "supply", "hose"} {
		k.prior = max(k.prior, t.Common(set))
	}
	shares := plainShares
	if t.Metric() {
		shares = metricShares
	}
	if size, ok := t.TradeSize(); ok {
		shares = pipeShares
		k.names = append(k.names, name{size.MM(), shares["trade"]})
	}
	k.names = append(k.names, name{k.major, shares["major"]}, name{t.Basic.Minor.MM(), shares["minor"]})
	var throats, eighths []float64
	for _, use := range g.uses[t.Designation] {
		if use.Throat > 0 {
			throats = append(throats, use.Throat.MM())
		}
	}
	for n := math.Ceil((k.major/unit.MMPerInch - mostWall) * 8); n > 0 && n/8 <= k.major/unit.MMPerInch-leastWall; n++ {
		eighths = append(eighths, n/8*unit.MMPerInch)
	}
	if len(g.uses[t.Designation]) > 0 || t.Own() {
		k.prior = max(1, k.prior) * usedPrior
	}
	known := usualThroat
	switch {
	case len(throats) == 0:
		known = 0
	case len(eighths) == 0:
		known = 1
	}
	k.throats(throats, shares["throat"], known)
	k.throats(eighths, shares["throat"], 1-known)
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

// throats adds the bores by which k goes, that share the given part of what throats take.
func (k *known) throats(mm []float64, share [manners]float64, part float64) {
	for m := range share {
		share[m] *= part / float64(len(mm))
	}
	for _, x := range mm {
		k.names = append(k.names, name{x, share})
	}
}

// near reports whether any number that k goes by, or could measure, lies within low and high.
func (k *known) near(low, high float64) bool {
	return k.crest[1] >= low && k.crest[0] <= high || slices.ContainsFunc(k.names, func(n name) bool { return n.mm >= low && n.mm <= high })
}

// likelihood is the chance that k is printed as s, for each way of writing.
func (k *known) likelihood(s *spec) (b belief) {
	if s.size == nil {
		if s.perInch == nil || s.perInch.counts(k.perInch) {
			return each(1)
		}
		return b
	}
	outside, bore := byOutside, byBore
	switch s.kind {
	case threadText: // 1 5/8-16 is a name by the outside
		bore = byOutside
	case outsideNumber:
		outside, bore = inOutsides, inOutsides
	case boreNumber:
		outside, bore = inBores, inBores
	}
	foreign := 1.0
	if k.Metric() && s.size.unit == unit.Inch {
		foreign = foreignFactor
	}
	var raw [len(writings)][2]float64
	var others [2]float64
	for w, way := range writings {
		if !s.size.padded(way) || s.perInch != nil && !s.perInch.holds(k.perInch, way.habit) {
			continue
		}
		low, high := s.size.cell(way)
		for _, n := range k.names {
			if n.mm >= low && n.mm < high {
				raw[w][0] += n.share[outside]
				raw[w][1] += n.share[bore]
			}
		}
		if crests := crestShares[outside]; crests > 0 {
			x := crests * s.size.share(k.crest[0], k.crest[1], way)
			raw[w][0] += x
			raw[w][1] += x
		}
		for m := range others {
			others[m] += writingPrior[w] * raw[w][m]
		}
	}
	for w := range writings {
		for n, share := range boreShares {
			here, elsewhere := (1-share)*raw[w][0]+share*raw[w][1], (1-share)*others[0]+share*others[1]
			b[way(w, n)] = foreign * ((1-otherWriting)*here + otherWriting*elsewhere)
		}
	}
	return b
}
