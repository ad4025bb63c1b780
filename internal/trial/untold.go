package trial

// This file says what trials of a printer cannot tell apart, and the reading that would.

import (
	"fmt"

	"tryring/internal/printer"
)

// untold lists what trials leave open.
func untold(p printer.Profile, l printer.Learnt, trials []printer.Trial) []string {
	out := []string{}
	for _, s := range []printer.Side{printer.Inside, printer.Outside} {
		use := p.LastUse(s, trials)
		plain, felt := l.Plain(s, use.DiameterMM), l.Felt(s, use)
		if _, _, tried := printer.LastRung(s, trials); tried && plain.SD().MM() > sharedBy*felt.SD().MM() {
			out = append(out, fmt.Sprintf("what is felt on the %s is known to ± %.2f mm, but not how much of it is plain size and how much layers; a caliper over the crests of a print, or a ladder at another layer height, would tell",
				s, half(rangeOf(felt))))
		}
	}
	if len(out) > 0 {
		out = append(out, fmt.Sprintf("± %.2f mm of it may be your hand's, which takes for snug what others call free; rungs alone never show that, the same rungs tried by somebody else would", sure*l.HandSD().MM()))
	}
	if pct := sure * l.ScaleSDPct(); len(out) > 0 && pct > looseScalePct {
		out = append(out, fmt.Sprintf("scale is known to ± %.2f %% alone, which is ± %.2f mm for each 10 mm that a thread differs from these; a caliper at another size, or a ladder there on a part, would tell; pairs would not", pct, pct/10))
	}
	if chance, by := l.Entry(); chance > likelyEntry {
		out = append(out, fmt.Sprintf("the first layer closes the entry by about %.2f mm (%.0f %%); turn the rungs over, try their other ends and say so, or cut the edge back", by.MM(), 100*chance))
	}
	n := 0
	for _, t := range trials {
		if t.LayerMM <= 0 && len(t.Rungs) > 0 {
			n++
		}
	}
	if n > 0 {
		was := "were"
		if n == 1 {
			was = "was"
		}
		out = append(out, fmt.Sprintf("%d of the trials %s kept without a layer height, and counted as printed at the profile's on a thread of 60 degrees", n, was))
	}
	return out
}

const (
	// sharedBy is how many times less well plain size is known than what is felt, for the two not to be told apart.
	sharedBy = 1.15
	// looseScalePct is the scale, with 95 % chance, above which it is told that threads of other sizes are known less well.
	looseScalePct = 0.2
	// likelyEntry is the chance of a closed entry above which it is told.
	likelyEntry = 0.3
)

// half is half the width of a range.
func half(r [2]float64) float64 { return (r[1] - r[0]) / 2 }
