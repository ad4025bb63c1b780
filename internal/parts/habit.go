package parts

// This file holds the habits of a list: how it brings a size to digits, and by which size its threads go.

import "math"

// Habit is how a list brings a number to the digits it prints.
type Habit int

// The habits.
const (
	Rounds Habit = iota
	CutsOff
	Exact
	habits
)

// String names the habit as people would.
func (h Habit) String() string { return [...]string{"rounds", "cuts off", "exact"}[h] }

// writing is how a list writes sizes: its habit, and how many zeros it puts behind the digits that it keeps, so that all
// numbers are equally long.
type writing struct {
	habit Habit
	zeros int
}

// writings are the ways of writing, writingPrior is how common they are before any number is seen: common practice, no published
// source.
var (
	writings     = [...]writing{{Rounds, 0}, {CutsOff, 0}, {Exact, 0}, {Rounds, 1}, {CutsOff, 1}, {Rounds, 2}, {CutsOff, 2}}
	writingPrior = [len(writings)]float64{0.35, 0.20, 0.25, 0.06, 0.04, 0.06, 0.04}
)

// otherWriting is the share of numbers that are not written as the rest of their list: it was put together from several.
const otherWriting = 0.03

// boreShares are the shares of sizes in a column that go by the bore, where no word says so: hardly any, half of them, nearly
// all. namingPrior is how common each is for the inner column with each for the outer one. Common practice, no published source.
var (
	boreShares  = [...]float64{0.04, 0.5, 0.96}
	namingPrior = [len(boreShares)][len(boreShares)]float64{{0.48, 0.03, 0.04}, {0.03, 0.16, 0.03}, {0.04, 0.03, 0.16}}
)

// belief is a figure for each way in which one column may be written: by writing, and within it by the share that goes by the bore.
type belief [len(writings) * len(boreShares)]float64

// way is the place of a writing and a share by the bore in a belief.
func way(w, n int) int { return w*len(boreShares) + n }

// each is the belief that is x throughout.
func each(x float64) (b belief) {
	for k := range b {
		b[k] = x
	}
	return b
}

// with weighs b by the chances p.
func (p belief) with(b belief) (sum float64) {
	for k, x := range p {
		sum += x * b[k]
	}
	return sum
}

// count adds the logarithms of how likely each way makes one more number.
func (b *belief) count(evidence belief) {
	for k, x := range evidence {
		b[k] += math.Log(math.Max(x, leastEvidence))
	}
}

// leastEvidence keeps one odd number, which no habit explains, from ruling a habit out.
const leastEvidence = 1e-9

// ways are the chances of all ways in which a list may be written: one writing, and a share by the bore for each column.
type ways [len(writings)][len(boreShares)][len(boreShares)]float64

// learn returns the chances of all ways from the logarithms of how likely each makes the numbers of each column.
func learn(logs [2]belief) (p ways) {
	highest := math.Inf(-1)
	p.all(func(x *float64, w, i, o int) {
		*x = math.Log(writingPrior[w]*namingPrior[i][o]) + logs[inner][way(w, i)] + logs[outer][way(w, o)]
		highest = math.Max(highest, *x)
	})
	sum := 0.0
	p.all(func(x *float64, _, _, _ int) {
		*x = math.Exp(*x - highest)
		sum += *x
	})
	p.all(func(x *float64, _, _, _ int) { *x /= sum })
	return p
}

// all goes through all ways in order.
func (p *ways) all(do func(chance *float64, w, i, o int)) {
	for w := range p {
		for i := range p[w] {
			for o := range p[w][i] {
				do(&p[w][i][o], w, i, o)
			}
		}
	}
}

// of are the chances of the ways of one column.
func (p ways) of(side int) (b belief) {
	p.all(func(x *float64, w, i, o int) { b[way(w, [2]int{i, o}[side])] += *x })
	return b
}

// joint weighs the chance that both threads of a part go, from how likely each goes in each way. A part that may join in a way of some
// share, at more than the given chance, is never struck out: the shop can be asked.
func (p ways) joint(in, out belief, open float64) (sum float64) {
	least := 0.0
	p.all(func(x *float64, w, i, o int) {
		both := in[way(w, i)] * out[way(w, o)]
		sum += *x * both
		if both > open && *x >= realShare {
			least = leastOpen
		}
	})
	return math.Max(sum, least)
}

// realShare is the chance from which a way of writing is asked about, leastOpen the chance that is said of what may join by it.
const realShare, leastOpen = 0.01, 1.02 * OpenFrom
