package printer

// This file proposes the rungs to try next.

import (
	"math"

	"tryring/internal/unit"
)

// Proposal is a ladder for one side, or of pairs, with what is expected of it.
type Proposal struct {
	// Clearances are on the diameter, rising, for models that are compensated by Compensation.
	Clearances   []unit.Length `json:"clearances_mm"`
	Compensation unit.Length   `json:"compensation_mm"`
	// GainBits is the information on what a mate feels that their outcomes are expected to bring, in bits.
	GainBits float64 `json:"gain_bits"`
	// Width is the expected width of the 95 % interval of that afterwards, WidthNow that of today.
	Width    unit.Length `json:"width_95_mm"`
	WidthNow unit.Length `json:"width_95_now_mm"`
	// Expected is the trial that it makes if the rungs do what is likeliest.
	Expected Trial `json:"-"`
}

const (
	// rungStepMM is the step of what is engraved, mm.
	rungStepMM = 0.01
	// openShare is the share of the chances that the rungs are spread over.
	openShare = 0.9
)

// Next proposes up to n rungs like the one given, to be tried on its part, after trials. They stand evenly over where the outcome is
// still open, but never closer than two prints of this printer differ: what is between them is not the printer's to show. Models are
// compensated for what is felt, in the mean.
func (p Profile) Next(like SeenRung, trials []Trial, n int) Proposal {
	l := p.Learn(trials)
	use := like.use(p)
	felt := l.Felt(like.Side, use)
	low, high := felt.Interval()
	out := Proposal{Compensation: roundedMM(felt.Mean()), WidthNow: high - low}
	// What the next rungs lose, of which the part and the hand are a share; they change from starting to free within a band.
	lost := l.belief(l.shift(like))
	for i, s := range l.states { // where the entry is closed, that is what a rung shows
		lost[i].mean += s.with(like).entry
	}
	middle := (StartsAbove+FreeAbove).MM()/2 + lost.Quantile(0.5).MM()
	span := (lost.Quantile((1+openShare)/2) - lost.Quantile((1-openShare)/2)).MM()
	apart := max(l.Repeats().MM(), span/float64(n))
	apart = math.Ceil(apart/rungStepMM-0.5) * rungStepMM
	for k := range n {
		modelled := middle + (float64(k)-float64(n-1)/2)*apart
		c := math.Round((modelled-out.Compensation.MM())/rungStepMM) * rungStepMM
		out.Clearances = append(out.Clearances, unit.MM(c+0))
		rung := like
		rung.ModelledMM = c + out.Compensation.MM()
		rung.Outcome = expected(rung.ModelledMM - lost.Quantile(0.5).MM())
		out.Expected.Rungs = append(out.Expected.Rungs, rung)
	}
	after := p.Learn(append(append([]Trial{}, trials...), out.Expected)).Felt(like.Side, use)
	low, high = after.Interval()
	out.Width = min(high-low, out.WidthNow)
	out.GainBits = max(0, math.Log2(felt.SD().MM()/after.SD().MM()))
	return out
}

// expected is what a rung of a clearance does.
func expected(mm float64) Felt {
	switch {
	case mm <= StartsAbove.MM():
		return DoesNotStart
	case mm <= FreeAbove.MM():
		return Snug
	}
	return Goes
}

// Repeats is how far two prints of one plate differ: the standard deviation of the difference of two.
func (l Learnt) Repeats() unit.Length {
	u := 0.0
	for i, s := range l.states {
		u += l.shares[i] * s.wider * Scatter.MM() * math.Sqrt2
	}
	return unit.MM(u)
}
