package trial

// This file weighs what could be tried next by what it would tell for its minutes and grams.

import (
	"cmp"
	"math"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// Step is something to try next.
type Step struct {
	What string `json:"what"`
	// Minutes and Grams are what it takes, beside what is printed already; estimates.
	Minutes float64 `json:"minutes"`
	Grams   float64 `json:"grams"`
	// FeltMM and PlainMM are within what, with 95 % chance, what is felt and plain size would then be known, on the side tried last.
	FeltMM  float64 `json:"felt_mm"`
	PlainMM float64 `json:"plain_mm"`

	worth float64
}

const (
	// readMinutes is how long a caliper takes; a gram counts as much as a minute. Common practice, no published source.
	readMinutes   = 3.0
	gramMinutes   = 1.0
	shortRungs    = 3
	leastGain     = 0.15 // bits, below which a step is not worth the way to the printer
	usualRungCost = 30.0 // minutes, and half as many grams, where the ladder does not tell
)

// steps lists what would tell more of the side tried last, the most for its cost first: nothing where no rung was tried.
func steps(p printer.Profile, trials []printer.Trial, l *ladder.Result) []Step {
	out := []Step{}
	var like printer.SeenRung
	known := false
	for _, s := range []printer.Side{printer.Outside, printer.Inside, printer.Pair} {
		if r, _, tried := printer.LastRung(s, trials); tried {
			like, known = r, true
		}
	}
	if !known || l == nil {
		return out
	}
	cost := printer.Cost{Minutes: usualRungCost, Grams: map[string]float64{"": usualRungCost / 2}}
	if one := l.Rungs[0].Cost; one.Minutes > 0 {
		cost = one
	}
	grams := 0.0
	for _, g := range cost.Grams {
		grams = max(grams, g)
	}
	use := p.LastUse(like.Side, trials)
	widths := func(more ...printer.Trial) (felt, plain float64) {
		know := p.Learn(append(slices.Clone(trials), more...))
		return half(rangeOf(know.Felt(like.Side, use))), half(rangeOf(know.Plain(like.Side, use.DiameterMM)))
	}
	felt, plain := widths()
	add := func(what string, minutes, grams float64, t printer.Trial) {
		f, q := widths(t)
		f, q = min(f, felt), min(q, plain)
		s := Step{What: what, Minutes: math.Round(minutes), Grams: math.Round(grams), FeltMM: thousandths(unit.MM(f)), PlainMM: thousandths(unit.MM(q))}
		if gain := math.Log2(felt/f) + math.Log2(plain/q); gain > leastGain {
			s.worth = gain / (minutes + gramMinutes*grams)
		}
		out = append(out, s)
	}
	for n, what := range map[int]string{shortRungs: "a ladder of three rungs", nextRungCount: "a ladder of five rungs"} {
		add(what, float64(n)*cost.Minutes, float64(n)*grams, p.Next(like, trials, n).Expected)
	}
	finer := like
	finer.LayersMM /= 2
	add("three rungs in layers half as tall", 2*shortRungs*cost.Minutes, shortRungs*grams, p.Next(finer, trials, shortRungs).Expected)
	read := printer.Outside // of a pair the plug
	if like.Side == printer.Inside {
		read = printer.Inside
	}
	size := use.DiameterMM
	off := p.Learn(trials).Plain(read, size).Mean().MM()
	if read == printer.Inside {
		off = -off
	}
	add("a caliper over the crests of a print", readMinutes, 0, printer.Trial{Readings: []printer.SeenReading{{
		Side: read, ModelledMM: size, MeasuredMM: size + off, UMM: unit.RoundMM(fit.Rectangular(caliperHalf)),
	}}})
	slices.SortFunc(out, func(a, b Step) int { return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.What, b.What)) })
	return out
}
