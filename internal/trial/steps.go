package trial

// This file weighs what could be tried next by what it would tell for its minutes and grams.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Step is something to try next.
type Step struct {
	What string `json:"what"`
	// Minutes and Grams are what it takes, beside what is printed already; estimates.
	Minutes float64 `json:"minutes"`
	Grams   float64 `json:"grams"`
	// FeltMM and PlainMM are within what, with 95 % chance, what is felt and plain size would then be known: on the side tried last, or on
	// that of a job's threads that is known less well.
	FeltMM  float64 `json:"felt_mm"`
	PlainMM float64 `json:"plain_mm"`

	worth float64
}

// Uses are the threads that a printer is to make, by their sides.
type Uses map[printer.Side]thread.Thread

const (
	// readMinutes is how long a caliper takes, or rungs at their other ends; a gram counts as much as a minute. Common practice, no
	// published source.
	readMinutes   = 3.0
	gramMinutes   = 1.0
	shortRungs    = 3
	leastGain     = 0.15 // bits, below which a step is not worth the way to the printer
	usualRungCost = 30.0 // minutes, and half as many grams, where the ladder does not tell
	// otherSize is the ratio of diameters from which on one is another size.
	otherSize = 1.25
)

// stepping is what steps are weighed by.
type stepping struct {
	p       printer.Profile
	trials  []printer.Trial
	targets []target
	// felt, plain and bits are what widths tells now.
	felt, plain, bits float64
	steps             []Step
}

// target is a thread of which the printer is to be known.
type target struct {
	side printer.Side
	use  printer.Use
}

// Steps lists what would tell more of the threads of use that were tried on their side, or of the side tried last where none is named,
// the most for its cost first: nothing where no rung was tried. The profile without trials is p, l the ladder tried last.
func Steps(p printer.Profile, trials []printer.Trial, l *ladder.Result, uses Uses) []Step {
	var like printer.SeenRung
	for _, s := range []printer.Side{printer.Outside, printer.Inside, printer.Pair} {
		if r, _, tried := printer.LastRung(s, trials); tried {
			like = r
		}
	}
	if like.Side == "" || l == nil {
		return []Step{}
	}
	w := stepping{p: p, trials: trials}
	for _, s := range []printer.Side{printer.Inside, printer.Outside} {
		if t, wanted := uses[s]; wanted && (like.Side == s || like.Side == printer.Pair) {
			w.targets = append(w.targets, target{s, printer.Use{DiameterMM: t.Basic.Pitch.MM(), LayersMM: p.Layers(t, s).Pitch.MM()}})
		}
	}
	use := p.LastUse(like.Side, trials)
	if w.targets == nil {
		w.targets = []target{{like.Side, use}}
	}
	w.felt, w.plain, w.bits = w.widths(printer.Trial{})
	cost := printer.Cost{Minutes: usualRungCost, Grams: map[string]float64{"": usualRungCost / 2}}
	if one := l.Rungs[0].Cost; one.Minutes > 0 {
		cost = one
	}
	grams := 0.0
	for _, g := range cost.Grams {
		grams = max(grams, g)
	}
	for n, what := range map[int]string{shortRungs: "a ladder of three rungs", nextRungCount: "a ladder of five rungs"} {
		w.add(what, float64(n)*cost.Minutes, float64(n)*grams, p.Next(like, trials, n).Expected)
	}
	finer := like
	finer.LayersMM /= 2
	w.add("three rungs in layers half as tall", 2*shortRungs*cost.Minutes, shortRungs*grams, p.Next(finer, trials, shortRungs).Expected)
	read := printer.Outside // of a pair the plug
	if like.Side == printer.Inside {
		read = printer.Inside
	}
	w.add("a caliper over the crests of a print", readMinutes, 0, w.reading(read, use.DiameterMM))
	if !like.FromTop {
		w.add("the same rungs, tried from the ends that were printed on top, and told so", readMinutes, 0, fromTop(trials, like))
	}
	for _, t := range w.targets {
		own, wanted := uses[t.side]
		size := t.use.DiameterMM / use.DiameterMM
		if !wanted || max(size, 1/size) < otherSize {
			continue
		}
		crests := own.Basic.Major
		if t.side == printer.Inside {
			crests = own.Basic.Minor
		}
		w.add(fmt.Sprintf("a caliper over the crests of the job's ring, %s %s, once it is printed", t.side, own.Designation), readMinutes, 0, w.reading(t.side, crests.MM()))
		// The part there is taken to be read as well as rungs can use.
		rungs := p.Next(printer.SeenRung{
			Side: t.side, Part: own.Designation, PitchMM: own.Pitch.MM(), DiameterMM: t.use.DiameterMM, LayersMM: t.use.LayersMM, FromTop: like.FromTop,
		}, trials, shortRungs).Expected
		rungs.Parts = []printer.Part{{Name: own.Designation, Side: t.side, LeastMM: -vagueMM / 2, MostMM: vagueMM / 2}}
		w.add(fmt.Sprintf("a second size: three rungs of %s on its part", own.Designation), shortRungs*size*cost.Minutes, shortRungs*size*grams, rungs)
	}
	slices.SortFunc(w.steps, func(a, b Step) int { return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.What, b.What)) })
	return w.steps
}

// widths are half the widest ranges of what is felt and of plain size on the targets, after more trials, and the sum of their logarithms.
func (w *stepping) widths(more printer.Trial) (felt, plain, bits float64) {
	know := w.p.Learn(append(slices.Clone(w.trials), more))
	for _, t := range w.targets {
		f, q := half(rangeOf(know.Felt(t.side, t.use))), half(rangeOf(know.Plain(t.side, t.use.DiameterMM)))
		felt, plain, bits = max(felt, f), max(plain, q), bits+math.Log2(f)+math.Log2(q)
	}
	return felt, plain, bits
}

// add adds a step that is expected to make the trial t.
func (w *stepping) add(what string, minutes, grams float64, t printer.Trial) {
	felt, plain, bits := w.widths(t)
	s := Step{What: what, Minutes: math.Round(minutes), Grams: math.Round(grams), FeltMM: thousandths(unit.MM(min(felt, w.felt))), PlainMM: thousandths(unit.MM(min(plain, w.plain)))}
	if gain := w.bits - bits; gain > leastGain {
		s.worth = gain / (minutes + gramMinutes*grams)
	}
	w.steps = append(w.steps, s)
}

// reading is a caliper on a print of that diameter, as it is expected to read.
func (w *stepping) reading(s printer.Side, size float64) printer.Trial {
	off := w.p.Learn(w.trials).Plain(s, size).Mean().MM()
	if s == printer.Inside {
		off = -off
	}
	return printer.Trial{Readings: []printer.SeenReading{{Side: s, ModelledMM: size, MeasuredMM: size + off, UMM: unit.RoundMM(fit.Rectangular(caliperHalf))}}}
}

// fromTop are the rungs that were tried with like, doing at their other ends what they did.
func fromTop(trials []printer.Trial, like printer.SeenRung) printer.Trial {
	var out printer.Trial
	for _, t := range trials {
		if slices.Contains(t.Rungs, like) {
			out = printer.Trial{Ladder: t.Ladder, Parts: t.Parts, Rungs: slices.Clone(t.Rungs)}
		}
	}
	for i := range out.Rungs {
		out.Rungs[i].FromTop = true
	}
	return out
}
