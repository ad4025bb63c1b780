package printer

import (
	"fmt"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// simulated is a printer, a part and a hand whose truth is known.
type simulated struct {
	*rand.Rand
	offset, room, hand float64
}

// try says what a rung of the modelled clearance does.
func (s simulated) try(modelled float64) Outcome {
	if s.Float64() < lapse {
		return told[s.IntN(len(told))]
	}
	g := modelled - s.offset + s.room + s.hand + Scatter.MM()*s.NormFloat64() + feelMM*s.NormFloat64()
	switch {
	case g < StartsAbove.MM():
		return DoesNotStart
	case g < FreeAbove.MM():
		return Snug
	}
	return Goes
}

// ladder tries rungs at the clearances, modelled for a compensation.
func (s simulated) ladder(part Part, compensation float64, clearances []unit.Length) Trial {
	t := Trial{Parts: []Part{part}}
	for _, c := range clearances {
		modelled := c.MM() + compensation
		t.Rungs = append(t.Rungs, SeenRung{Side: part.Side, Part: part.Name, Rung: fmt.Sprintf("%.2f", c.MM()), ModelledMM: modelled, PitchMM: 1.5, Outcome: s.try(modelled)})
	}
	return t
}

// learned is what two ladders on one part told over many simulated printers.
type learned struct {
	covered, narrow int
	widths          []float64
}

// simulate draws true offsets between -0.2 and +0.5 mm, tries a first ladder of five rungs, and a second one as proposed.
func simulate(printers int, part Part, seed uint64) learned {
	rng := rand.New(rand.NewPCG(seed, 1))
	p := Unnamed()
	p.InsideTakes, p.InsideU = 0.15, 0.1 // those of filament-0.4
	first := []unit.Length{-0.3, -0.15, 0, 0.15, 0.3}
	var out learned
	for range printers {
		s := simulated{Rand: rng, offset: -0.2 + 0.7*rng.Float64(), hand: handMM * rng.NormFloat64()}
		s.room = part.LeastMM + (part.MostMM-part.LeastMM)*rng.Float64() + part.UMM*rng.NormFloat64()
		trials := []Trial{s.ladder(part, p.InsideTakes.MM(), first)}
		next, _, _ := p.propose(p.Learn(Inside, trials), Inside, part, trials, 5)
		trials = append(trials, s.ladder(part, next.Compensation.MM(), next.Clearances))
		low, high := p.Learn(Inside, trials).Interval()
		if low.MM() <= s.offset && s.offset <= high.MM() {
			out.covered++
		}
		if high-low < 0.10 {
			out.narrow++
		}
		out.widths = append(out.widths, (high - low).MM())
	}
	sort.Float64s(out.widths)
	return out
}

// Two ladders of five rungs, tried on a part that is known to 0.01 mm, bring the interval under 0.10 mm, and it holds
// the truth as often as it says.
func TestTwoLaddersFindTheOffset(t *testing.T) {
	const printers = 500
	got := simulate(printers, Part{Name: "gauge", Side: Inside, UMM: 0.01}, 11)
	median, widest := got.widths[printers/2], got.widths[printers-1]
	t.Logf("held %.1f %%, under 0.10 mm %.1f %%, median width %.3f mm, 99th %.3f, widest %.3f mm",
		100*float64(got.covered)/printers, 100*float64(got.narrow)/printers, median, got.widths[printers*99/100], widest)
	assert.GreaterOrEqual(t, got.covered, printers*93/100)
	assert.LessOrEqual(t, got.covered, printers*97/100)
	assert.Less(t, median, 0.08)
	assert.GreaterOrEqual(t, got.narrow, printers*85/100)
}

// On a part that is known only within its limits of size the interval stays wider than those, and still holds the truth.
func TestPartWithinLimitsBoundsWhatIsLearned(t *testing.T) {
	const printers = 100
	got := simulate(printers, Part{Name: "stock", Side: Inside, LeastMM: 0.03, MostMM: 0.17}, 12) // 2A of 1 5/8-16 UN, rounded
	t.Logf("held %.1f %%, under 0.10 mm %.1f %%, median width %.3f mm", 100*float64(got.covered)/printers, 100*float64(got.narrow)/printers, got.widths[printers/2])
	assert.GreaterOrEqual(t, got.covered, printers*90/100) // 95 less twice the scatter of 100 draws
	assert.Greater(t, got.widths[printers/2], 0.10)
}

func TestOutcomeChances(t *testing.T) {
	for mm := -0.5; mm < 1; mm += 0.003 {
		sum := 0.0
		for _, o := range told {
			c := o.chance(mm, 1.5)
			assert.Positive(t, c)
			sum += c
		}
		require.InDelta(t, 1, sum, 1e-12, "the outcomes that a person tells apart exhaust what can happen")
	}
	assert.Greater(t, Goes.chance(0.2, 1.5), 0.99)
	assert.Greater(t, Snug.chance(0.01, 1.5), 0.4)
	assert.Greater(t, DoesNotStart.chance(-0.1, 1.5), 0.99)
	assert.Greater(t, Rattles.chance(0.65, 1.5), 0.9)
	assert.Less(t, Rattles.chance(0.2, 1.5), 0.01)
}
