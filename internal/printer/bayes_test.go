package printer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
	"pgregory.net/rapid"

	"tryring/internal/unit"
)

func TestPrior(t *testing.T) {
	b := prior(0.15, 0.1)
	low, high := b.Interval()
	assert.InDelta(t, 0.15, b.Mean().MM(), 0.002, "cut off at the ends of the grid")
	// The 97.5 % quantile of Student's law with 3 degrees of freedom is 3.182 (JCGM 100:2008, table G.2).
	assert.InDelta(t, 0.15-0.318, low.MM(), 0.02)
	assert.InDelta(t, 0.15+0.318, high.MM(), 0.02)
}

// Readings with an instrument of no error, on a profile that knows nothing, give the normal law of their mean.
func TestReadingsAgainstClosedForm(t *testing.T) {
	p := Unnamed()
	p.OutsideU = 1
	var trials []Trial
	for _, x := range []float64{0.10, 0.14, 0.12, 0.08} {
		trials = append(trials, Trial{Readings: []SeenReading{{Side: Outside, ModelledMM: 30, MeasuredMM: 30 + x, UMM: 0.03}}})
	}
	b := p.Learn(Outside, trials)
	assert.InDelta(t, 0.11, b.Mean().MM(), 0.001)
	// The scatter averages out over four prints, the one instrument does not.
	assert.InDelta(t, math.Hypot(0.03, 0.02/2), b.SD().MM(), 0.0005)
	assert.Equal(t, p.before(Inside), p.Learn(Inside, trials), "the other side is not touched")
	inside := Trial{Readings: []SeenReading{{Side: Inside, ModelledMM: 30, MeasuredMM: 29.8, UMM: 0.001}}}
	p.InsideU = 1
	assert.InDelta(t, 0.2, p.Learn(Inside, []Trial{inside}).Mean().MM(), 0.001, "a bore that reads small has lost")
}

// The quick way over shifts gives what the sum over all offsets and rooms gives.
func TestLearnAgainstPlainSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		part := Part{Name: "a", Side: Inside, LeastMM: mm(-0.1, 0.1, "least"), UMM: mm(0, 0.03, "u")}
		part.MostMM = part.LeastMM + mm(0, 0.1, "width")
		trial := Trial{Parts: []Part{part}}
		for range rapid.IntRange(1, 4).Draw(t, "rungs") {
			trial.Rungs = append(trial.Rungs, SeenRung{
				Side: Inside, Part: "a", ModelledMM: mm(-0.3, 0.6, "modelled"), PitchMM: 1.5,
				Outcome: rapid.SampledFrom(heard).Draw(t, "outcome"),
			})
		}
		p := Unnamed()
		got := p.Learn(Inside, []Trial{trial})
		want := make([]float64, gridPoints)
		r := part.room()
		for i, before := range p.before(Inside).p {
			for k, w := range r.p {
				room := float64(r.first+k) * gridStep
				likely := 1.0
				for _, x := range trial.Rungs {
					likely *= x.Outcome.onRung(x.ModelledMM-got.offset(i)+room, x.PitchMM, Inside.spread())
				}
				want[i] += before * w * likely
			}
		}
		floats.Scale(1/floats.Sum(want), want)
		if !floats.EqualApprox(got.p, want, 1e-9) {
			t.Fatalf("beliefs differ by up to %g", floats.Distance(got.p, want, math.Inf(1)))
		}
	})
}

// A rung that goes never makes a printer that takes more from bores likelier than it was, and one that does not start never
// less likely; and the same part tried twice tells less than two parts.
func TestDirections(t *testing.T) {
	p := Unnamed()
	one := func(o Felt, part string) Trial {
		return Trial{
			Parts: []Part{{Name: part, Side: Inside, LeastMM: 0, MostMM: 0.15}},
			Rungs: []SeenRung{{Side: Inside, Part: part, ModelledMM: 0.1, PitchMM: 1.5, Outcome: o}},
		}
	}
	goes, stops := p.Learn(Inside, []Trial{one(Goes, "a")}), p.Learn(Inside, []Trial{one(DoesNotStart, "a")})
	assert.Less(t, goes.Mean(), p.before(Inside).Mean())
	assert.Greater(t, stops.Mean(), p.before(Inside).Mean())
	same := p.Learn(Inside, []Trial{one(Snug, "a"), one(Snug, "a"), one(Snug, "a")})
	others := p.Learn(Inside, []Trial{one(Snug, "a"), one(Snug, "b"), one(Snug, "c")})
	assert.Less(t, others.SD(), same.SD())
}

// The rungs proposed are expected to tell more than the same number spread evenly, and what is expected comes out in
// the mean: the information is that by which the entropy falls over all outcomes.
func TestNext(t *testing.T) {
	p := Unnamed()
	part := Part{Name: "a", Side: Inside, LeastMM: 0.05, MostMM: 0.05, UMM: 0.01}
	first := Trial{Parts: []Part{part}}
	for _, c := range []float64{-0.2, 0, 0.2} {
		o := DoesNotStart
		if c > 0 {
			o = Goes
		}
		first.Rungs = append(first.Rungs, SeenRung{Side: Inside, Part: "a", ModelledMM: c, PitchMM: 1.5, Outcome: o})
	}
	trials := []Trial{first}
	got := p.Next(Inside, part, trials, 3)
	require.Len(t, got.Clearances, 3)
	assert.IsIncreasing(t, []float64{got.Clearances[0].MM(), got.Clearances[1].MM(), got.Clearances[2].MM()})
	assert.Less(t, got.Width, got.WidthNow)
	assert.Positive(t, got.GainBits)

	now := p.Learn(Inside, trials)
	from := p.shiftBelief(Inside, part, trials)
	elsewhere := [][]float64{from.chance}
	for _, c := range []float64{0.2, 0.4, 0.6} {
		elsewhere = from.fall(elsewhere, c, Inside.spread())
	}
	gain, width := from.expect(elsewhere, now)
	assert.Greater(t, got.GainBits, gain)
	assert.Less(t, got.Width, width)

	// Against the plain way: learn from each way in which the outcomes can fall.
	want, all := bits(now.p), 0.0
	for way := range 27 {
		next := Trial{Parts: []Part{part}}
		for k, c := range got.Clearances {
			o := told[way/int(math.Pow(3, float64(k)))%3]
			next.Rungs = append(next.Rungs, SeenRung{Side: Inside, Part: "a", ModelledMM: (c + got.Compensation).MM(), PitchMM: 0, Outcome: o})
		}
		// The chance of that way: the sum of belief in each shift times the chance of the outcomes there.
		likely := part.seen([]Trial{next}, from.at)
		total := floats.Dot(likely, from.chance)
		want -= total * bits(p.Learn(Inside, []Trial{first, next}).p)
		all += total
	}
	assert.InDelta(t, 1, all, 1e-9)
	assert.InDelta(t, want, got.GainBits, 0.01)
}

func TestQuantile(t *testing.T) {
	b := Belief{gridLow, make([]float64, gridPoints)}
	b.p[400], b.p[401] = 0.5, 0.5 // even from half a step below 0 to one and a half above
	assert.InDelta(t, gridStep/2, b.Quantile(0.5).MM(), 1e-12)
	assert.InDelta(t, -gridStep/2, b.Quantile(0).MM(), 1e-12)
	assert.InDelta(t, 1.5*gridStep, b.Quantile(1).MM(), 1e-12)
	assert.Equal(t, 0.123*unit.Millimetre, roundedMM(0.12345))
}

// The quick way over the sum gives what the plain sum over both offsets gives, for either side and for their sum; a caliper on
// one side tells of the other through the pairs.
func TestPairsAgainstPlainSum(t *testing.T) {
	p := Unnamed()
	p.InsideTakes, p.OutsideAdds = 0.15, 0.05
	pairs := Part{Name: "pairs", Side: Pair}
	trial := Trial{
		Parts:    []Part{pairs},
		Rungs:    []SeenRung{{Side: Pair, Part: "pairs", ModelledMM: 0.2, PitchMM: 2, Outcome: DoesNotStart}, {Side: Pair, Part: "pairs", ModelledMM: 0.3, PitchMM: 2, Outcome: Snug}},
		Readings: []SeenReading{{Side: Outside, ModelledMM: 20, MeasuredMM: 20.12, UMM: 0.02}},
	}
	i, o := p.alone(Inside, []Trial{trial}), p.alone(Outside, []Trial{trial})
	hand := pairs.room()
	wantI, wantO, wantSum := make([]float64, gridPoints), make([]float64, gridPoints), make([]float64, 2*gridPoints-1)
	for a, pa := range i.p {
		for b, pb := range o.p {
			if pa*pb < 1e-12 {
				continue
			}
			likely := 0.0
			for k, w := range hand.p {
				gap := -i.offset(a) - o.offset(b) + float64(hand.first+k)*gridStep
				one := w
				for _, x := range trial.Rungs {
					one *= x.Outcome.onRung(x.ModelledMM+gap, x.PitchMM, Pair.spread())
				}
				likely += one
			}
			joint := pa * pb * likely
			wantI[a], wantO[b], wantSum[a+b] = wantI[a]+joint, wantO[b]+joint, wantSum[a+b]+joint
		}
	}
	for _, c := range []struct {
		side Side
		want []float64
	}{{Inside, wantI}, {Outside, wantO}, {Pair, wantSum}} {
		floats.Scale(1/floats.Sum(c.want), c.want)
		got := p.Learn(c.side, []Trial{trial})
		assert.Less(t, floats.Distance(got.p, c.want, math.Inf(1)), 1e-8, "%s", c.side)
	}
	blind := trial
	blind.Readings = nil
	assert.Less(t, p.Learn(Inside, []Trial{trial}).SD(), 0.7*p.Learn(Inside, []Trial{blind}).SD(), "a reading of the plug tells of the ring")
	assert.Less(t, p.Learn(Pair, []Trial{blind}).SD(), 0.5*p.Learn(Inside, []Trial{blind}).SD(), "pairs alone tell the sum, and little of either side")
}
