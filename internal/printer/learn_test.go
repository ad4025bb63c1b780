package printer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// oneRung is a trial of one rung inside, on a part.
func oneRung(o Felt, modelled float64, part string) Trial {
	return Trial{
		Parts: []Part{{Name: part, Side: Inside, LeastMM: 0, MostMM: 0.15}},
		Rungs: []SeenRung{{Side: Inside, Part: part, ModelledMM: modelled, PitchMM: 1.5, DiameterMM: 20, LayersMM: 0.2, Outcome: o}},
	}
}

// Readings with one instrument give the normal law that they have in closed form: their scatter averages out, the instrument's error and
// the plate's do not.
func TestReadingsAgainstClosedForm(t *testing.T) {
	p := Unnamed()
	p.OutsideU, p.ScaleUPct = 1, 0.001
	var readings []SeenReading
	for _, x := range []float64{0.10, 0.14, 0.12, 0.08} {
		readings = append(readings, SeenReading{Side: Outside, ModelledMM: 30, MeasuredMM: 30 + x, UMM: 0.03})
	}
	l := p.Learn([]Trial{{Readings: readings}})
	usual := Learnt{states: l.states[:1], shares: []float64{1}, parts: l.parts, instruments: l.instruments, unseen: l.unseen}
	require.InDelta(t, 1, usual.states[0].wider, 1e-12)
	b := usual.Plain(Outside, 30)
	assert.InDelta(t, 0.11, b.Mean().MM(), 0.001)
	assert.InDelta(t, math.Sqrt(0.03*0.03+0.02*0.02/4+plateMM*plateMM), b.SD().MM(), 0.0005)
	inside := Trial{Readings: []SeenReading{{Side: Inside, ModelledMM: 30, MeasuredMM: 29.8, UMM: 0.001}}}
	p.InsideU = 1
	assert.InDelta(t, 0.2, p.Learn([]Trial{inside}).Plain(Inside, 30).Mean().MM(), 0.002, "a bore that reads small has lost")
	assert.InDelta(t, p.Learn(nil).Felt(Outside, Use{30, 0.2}).SD().MM(), p.Learn([]Trial{inside}).Felt(Outside, Use{30, 0.2}).SD().MM(), 0.002, "of the other side it tells nothing")
}

// Outcomes of a plate, put as normal laws and weighed again in the light of each other, hold what the plain sum over all values holds, where no entry
// is closed and nothing mixed up: these can leave two places for the truth, which no normal law has.
func TestOutcomesAgainstPlainSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Unnamed().ways()[rapid.IntRange(0, 3).Draw(t, "way")]
		s := newState(w, 1)
		mean, sd := rapid.Float64Range(-0.2, 0.4).Draw(t, "mean"), rapid.Float64Range(0.03, 0.2).Draw(t, "sd")
		s.know(0, mean, sd)
		truth := mean + rapid.Float64Range(-1.5, 1.5).Draw(t, "off")*sd
		const noise = 0.025
		var seen []sight
		for range rapid.IntRange(1, 5).Draw(t, "rungs") {
			modelled := truth + rapid.Float64Range(-0.25, 0.25).Draw(t, "modelled")
			f := expected(modelled - truth)
			x := sight{weights: []float64{1}, sd: noise}
			for _, c := range f.onRung(w, 1.5) {
				x.chances = append(x.chances, within{modelled - c.to, modelled - c.from, c.chance})
			}
			seen = append(seen, x)
		}
		s.see(seen)
		got := distuv.Normal{Mu: s.mean[0], Sigma: math.Sqrt(s.cov[0][0])}
		var all, held float64
		prior := distuv.Normal{Mu: mean, Sigma: sd}
		for v := mean - 6*sd; v < mean+6*sd; v += sd / 200 {
			p := prior.Prob(v)
			for _, x := range seen {
				chance := 0.0
				for _, c := range x.chances {
					law := distuv.Normal{Mu: v, Sigma: noise}
					chance += c.chance * (law.CDF(c.to) - law.CDF(c.from))
				}
				p *= chance
			}
			all += p
			if math.Abs(v-got.Mu) < 1.96*got.Sigma {
				held += p
			}
		}
		assert.Greater(t, held/all, 0.7, "what the 95 %% interval of the law holds of the sum; the rest lies where a rung was mixed up")
	})
}

// A rung that goes never makes a printer that takes more likelier, one that does not start never less; the same part tried thrice tells
// less than three parts; and a hand that is the same in all trials does not average out.
func TestDirections(t *testing.T) {
	p := Unnamed()
	felt := func(trials ...Trial) Belief { return p.Learn(trials).Felt(Inside, Use{20, 0.2}) }
	assert.Less(t, felt(oneRung(Goes, 0.1, "a")).Mean(), felt().Mean())
	assert.Greater(t, felt(oneRung(DoesNotStart, 0.3, "a")).Mean(), felt().Mean())
	same := felt(oneRung(Snug, 0.2, "a"), oneRung(Snug, 0.2, "a"), oneRung(Snug, 0.2, "a"))
	others := felt(oneRung(Snug, 0.2, "a"), oneRung(Snug, 0.2, "b"), oneRung(Snug, 0.2, "c"))
	assert.Less(t, others.SD(), same.SD())
	var many []Trial
	for range 30 {
		x := oneRung(Snug, 0.2, "a")
		x.Parts[0].MostMM = 0
		many = append(many, x)
	}
	assert.Greater(t, felt(many...).SD().MM(), 0.9*handMM)
}

// Rungs tell what is felt, not how much of it is plain size; a caliper over the crests tells them apart, and so does another layer
// height; pairs tell the sum of both sides.
func TestWhatTellsApart(t *testing.T) {
	p := Unnamed()
	rungs := func(side Side, layers float64) Trial {
		part := Part{Name: "gauge", Side: side}
		out := Trial{Parts: []Part{part}, LayerMM: 0.2}
		for _, c := range []float64{-0.1, -0.04, 0.01, 0.06, 0.12} {
			both := 1.0
			if side == Pair {
				both = 2
			}
			out.Rungs = append(out.Rungs, SeenRung{
				Side: side, Part: "gauge", ModelledMM: 0.1*both + 0.85*layers + c, PitchMM: 1.5, DiameterMM: 20, LayersMM: layers, Outcome: expected(c),
			})
		}
		return out
	}
	plainSD := func(trials ...Trial) float64 { return p.Learn(trials).Plain(Inside, 20).SD().MM() }
	one := plainSD(rungs(Inside, 0.2))
	assert.Greater(t, one, 1.2*p.Learn([]Trial{rungs(Inside, 0.2)}).Felt(Inside, Use{20, 0.2}).SD().MM())
	caliper := Trial{Readings: []SeenReading{{Side: Inside, ModelledMM: 20, MeasuredMM: 19.9, UMM: 0.02}}}
	assert.Less(t, plainSD(rungs(Inside, 0.2), caliper), 0.75*one)
	share := func(trials ...Trial) float64 { return p.After(trials).LayerShareU }
	assert.Less(t, share(rungs(Inside, 0.2), rungs(Inside, 0.6)), 0.9*share(rungs(Inside, 0.2)))

	pairs := p.Learn([]Trial{rungs(Pair, 0.4)})
	assert.Less(t, pairs.Felt(Pair, Use{20, 0.4}).SD(), pairs.Felt(Inside, Use{20, 0.2}).SD(), "pairs alone tell the sum")
	read := p.Learn([]Trial{rungs(Pair, 0.4), {Readings: []SeenReading{{Side: Outside, ModelledMM: 20, MeasuredMM: 20.1, UMM: 0.02}}}})
	assert.Less(t, read.Felt(Inside, Use{20, 0.2}).SD().MM(), 0.95*pairs.Felt(Inside, Use{20, 0.2}).SD().MM(), "a caliper on the plug tells of the ring")
}

// Scale shows at a second size: to a caliper, and to rungs on a part. To pairs it does not, since bore and plug grow alike.
func TestWhatTellsScale(t *testing.T) {
	p := Unnamed()
	at := func(side Side, diameter, layers float64, trials ...Trial) Trial {
		out := p.Next(SeenRung{Side: side, Part: "gauge", PitchMM: 1.5, DiameterMM: diameter, LayersMM: layers}, trials, 5).Expected
		if side != Pair {
			out.Parts = []Part{{Name: "gauge", Side: side, UMM: 0.004}}
		}
		return out
	}
	scale := func(trials ...Trial) float64 { return p.Learn(trials).ScaleSDPct() }
	one, pairs := at(Inside, 19, 0.2), at(Pair, 19, 0.4)
	assert.InDelta(t, scale(), scale(pairs), 1e-6)
	assert.InDelta(t, scale(), scale(pairs, at(Pair, 47, 0.4, pairs)), 1e-6)
	assert.Greater(t, scale(one, at(Pair, 47, 0.4, one)), 0.9*scale(one), "a little, by what the bore is known to lose")
	assert.Less(t, scale(one, at(Inside, 47, 0.2, one)), 0.7*scale(one))
	read := Trial{Readings: []SeenReading{{Side: Inside, ModelledMM: 48, MeasuredMM: 48 - p.Learn([]Trial{one}).Plain(Inside, 48).Mean().MM(), UMM: 0.012}}}
	assert.Less(t, scale(one, read), 0.8*scale(one))
}

// A tight first turn tells of the entry and not of the thread; where nobody says it, an entry stays possible.
func TestClosedEntry(t *testing.T) {
	p := Unnamed()
	said := func(at float64) Trial {
		out := Trial{Parts: []Part{{Name: "gauge", Side: Inside}}}
		for _, c := range []float64{-0.2, -0.1, 0.05, 0.12, 0.3} {
			o := expected(c)
			if c > 0 && c < at {
				o = EntryTight
			}
			out.Rungs = append(out.Rungs, SeenRung{Side: Inside, Part: "gauge", ModelledMM: 0.3 + c, PitchMM: 1.5, DiameterMM: 20, LayersMM: 0.2, Outcome: o})
		}
		return out
	}
	closed, by := p.Learn([]Trial{said(0.2)}).Entry()
	assert.Greater(t, closed, 0.9)
	assert.InDelta(t, 0.2, by.MM(), 0.1)
	open, _ := p.Learn([]Trial{said(0)}).Entry()
	assert.Less(t, open, 0.2)
	a, b := p.Learn([]Trial{said(0.2)}).Felt(Inside, Use{20, 0.2}), p.Learn([]Trial{said(0)}).Felt(Inside, Use{20, 0.2})
	assert.InDelta(t, b.Mean().MM(), a.Mean().MM(), 0.05, "the thread is the same")
}

// Replayed, each trial leaves what it left when it was the last, also of a ladder that is told in parts, between others.
func TestReplay(t *testing.T) {
	p := Unnamed()
	var trials []Trial
	for i, ladder := range []string{"a", "a", "", "b", "a", ""} {
		x := oneRung([]Felt{DoesNotStart, Goes, Snug}[i%3], 0.1*float64(i), "gauge")
		x.Ladder = ladder
		trials = append(trials, x)
	}
	all := p.Replay(trials)
	require.Len(t, all, len(trials))
	for i := range trials {
		want, got := p.Learn(trials[:i+1]), all[i]
		use := Use{20, 0.2}
		assert.InDelta(t, want.Felt(Inside, use).Mean().MM(), got.Felt(Inside, use).Mean().MM(), 1e-9, i)
		assert.InDelta(t, want.Plain(Inside, 20).SD().MM(), got.Plain(Inside, 20).SD().MM(), 1e-9, i)
	}
	assert.Empty(t, p.Replay(nil))
}

// At the end on top no first layer lies: there a rung that does not start is tight, and says so of the thread.
func TestFromTop(t *testing.T) {
	p := Unnamed()
	tried := func(top bool) Learnt {
		x := oneRung(DoesNotStart, 0.4, "a")
		x.Rungs[0].FromTop = top
		return p.Learn([]Trial{x})
	}
	bed, top := tried(false), tried(true)
	assert.Greater(t, top.Felt(Inside, Use{20, 0.2}).Mean(), bed.Felt(Inside, Use{20, 0.2}).Mean())
	now, _ := bed.Entry()
	before, _ := p.Learn(nil).Entry()
	assert.Greater(t, now, 1.5*before)
	now, _ = top.Entry()
	assert.InDelta(t, before, now, 1e-6, "of the other end it tells nothing")

	// Where the entry is surely closed, rungs that are to be tried from the top need less.
	closed := oneRung(EntryTight, 0.45, "a")
	more := oneRung(EntryTight, 0.5, "a")
	next := func(top bool) unit.Length {
		like := closed.Rungs[0]
		like.FromTop = top
		return p.Next(like, []Trial{closed, more, oneRung(Goes, 0.7, "a")}, 3).Clearances[1]
	}
	assert.Less(t, next(true).MM(), next(false).MM()-0.05)
}

// Where a closed entry may be what makes rungs tight, belief leans to one side, and the profile's one law still holds all of it.
func TestAfterHoldsWhatWasLearned(t *testing.T) {
	p := Unnamed()
	trials := []Trial{oneRung(DoesNotStart, 0.55, "a"), oneRung(Goes, 0.75, "a"), oneRung(DoesNotStart, 0.5, "a")}
	for i := range trials {
		trials[i].Ladder, trials[i].Parts[0].MostMM = "l", 0
	}
	use := p.LastUse(Inside, trials)
	felt := p.Learn(trials).Felt(Inside, use)
	by, _ := felt.held()
	require.Less(t, by, -0.005)
	after := p.After(trials)
	// A thread as the rung's: at its diameter, in its layers, of which all stand for what is proud of the flanks, too.
	law := after.InsideTakes.MM() + after.LayerShare*use.LayersMM
	u := after.doubtAlong([4]float64{0, 1, use.LayersMM, 0}).MM()
	low, high := felt.Interval()
	assert.LessOrEqual(t, law-1.96*u, low.MM()+0.002)
	assert.GreaterOrEqual(t, law+1.96*u, high.MM()-0.002)
}

// What a profile says after trials is what was learned, tied together: on the thread that was tried as sure as the trials, further from
// it less.
func TestAfter(t *testing.T) {
	p := Unnamed()
	first := oneRung(Snug, 0.2, "a")
	first.Parts[0].MostMM = 0
	first.Rungs = append(first.Rungs, SeenRung{Side: Inside, Part: "a", ModelledMM: 0.15, PitchMM: 1.5, DiameterMM: 20, LayersMM: 0.2, Outcome: DoesNotStart})
	trials := []Trial{first}
	after, l := p.After(trials), p.Learn(trials)
	assert.InDelta(t, 20, after.TriedAt.MM(), 1e-9)
	makes := func(name string) Made {
		own, err := thread.NewTables().Parse(name)
		require.NoError(t, err)
		return after.Makes(own, Inside)
	}
	near, far := makes("M21x1.5"), makes("M60x1.5")
	want := l.Felt(Inside, Use{20.026, 0.2})
	assert.InDelta(t, -want.Mean().MM(), near.Pitch.By.MM(), 0.002)
	assert.InDelta(t, math.Hypot(want.SD().MM(), Scatter.MM()), near.Pitch.U.MM(), 0.002)
	assert.Greater(t, far.Pitch.U.MM(), math.Hypot(near.Pitch.U.MM(), 0.05))
	assert.Less(t, near.Pitch.U, Combine(near.Plain.U, near.Layer.U), "what is felt is known better than its parts")
	assert.Equal(t, "learned from 1 trial", after.Sources["inside_takes_mm"])
	assert.Equal(t, p, p.After(nil))
	old := trials[0]
	old.Rungs = append([]SeenRung{}, old.Rungs...)
	for i := range old.Rungs {
		old.Rungs[i].LayersMM, old.Rungs[i].DiameterMM = 0, 0
	}
	assert.InDelta(t, near.Pitch.By.MM(), func() float64 {
		q := p.After([]Trial{old})
		own, _ := thread.NewTables().Parse("M31x1.5")
		return q.Makes(own, Inside).Pitch.By.MM()
	}(), 0.01, "one that was kept before layers were counts as printed at the profile's, on a usual diameter")
}

// Proposed rungs stand no closer than prints repeat, around where the outcome changes, and bring what they are said to.
func TestNext(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Unnamed()
		like := SeenRung{Side: Inside, Part: "a", PitchMM: 1.5, DiameterMM: 20, LayersMM: 0.2}
		var trials []Trial
		for _, c := range rapid.SliceOfN(rapid.Float64Range(-0.3, 0.6), 0, 6).Draw(t, "tried") {
			x := oneRung(rapid.SampledFrom([]Felt{DoesNotStart, EntryTight, Snug, Goes}).Draw(t, "outcome"), c, "a")
			x.Parts[0].MostMM = 0
			trials = append(trials, x)
		}
		got := p.Next(like, trials, 5)
		require.Len(t, got.Clearances, 5)
		repeats := p.Learn(trials).Repeats().MM()
		assert.GreaterOrEqual(t, repeats, math.Sqrt2*Scatter.MM())
		for k := range 4 {
			assert.Greater(t, (got.Clearances[k+1] - got.Clearances[k]).MM(), repeats-0.006, "to a hundredth")
		}
		assert.LessOrEqual(t, got.Width, got.WidthNow)
		assert.GreaterOrEqual(t, got.GainBits, 0.0)
	})
}

func TestBelief(t *testing.T) {
	b := Belief{{0.5, 0, 0.1}, {0.5, 1, 0.1}}
	assert.InDelta(t, 0.5, b.Mean().MM(), 1e-12)
	assert.InDelta(t, math.Hypot(0.5, 0.1), b.SD().MM(), 1e-12)
	low, high := b.Interval()
	// 5 % of either half lie below and above: 1.645 standard deviations.
	assert.InDelta(t, -0.1645, low.MM(), 0.0001)
	assert.InDelta(t, 1.1645, high.MM(), 0.0001)
	assert.InDelta(t, 0.5/(0.1*math.Sqrt(2*math.Pi)), b.Density(0), 1e-6)
	assert.Equal(t, 0.123*unit.Millimetre, roundedMM(0.12345))
}

// One normal law in the place of several holds what they hold with 95 % chance, and is that of one normal law where they are one.
func TestOneLawHolds(t *testing.T) {
	by, wider := Belief{{1, 0.3, 0.04}}.held()
	assert.Zero(t, by)
	assert.Zero(t, wider)
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0.01, 0.5).Draw(t, "share")
		b := Belief{{1 - share, 0.3, 0.04}, {share, 0.3 - rapid.Float64Range(0, 0.3).Draw(t, "off"), 0.04}}
		by, wider := b.held()
		half := 1.96 * math.Sqrt(math.Pow(Combine(b.SD(), Scatter).MM(), 2)+wider)
		low, high := b.Interval()
		assert.LessOrEqual(t, b.Mean().MM()+by-half, low.MM()+1e-6)
		assert.GreaterOrEqual(t, b.Mean().MM()+by+half, high.MM()-1e-6)
	})
}
