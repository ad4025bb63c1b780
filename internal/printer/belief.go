package printer

// This file holds what is believed of one length of a printer, a mixture of normal laws, one for each way in which things may be; and
// of which lengths that can be asked.

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// Belief is the chance of each value of a length.
type Belief []believed

// believed is one law of a mixture, in mm, and its share.
type believed struct{ share, mean, sd float64 }

// Mean is the expected value.
func (b Belief) Mean() unit.Length {
	m := 0.0
	for _, x := range b {
		m += x.share * x.mean
	}
	return unit.MM(m)
}

// SD is the standard deviation.
func (b Belief) SD() unit.Length {
	m, v := b.Mean().MM(), 0.0
	for _, x := range b {
		v += x.share * (x.sd*x.sd + (x.mean-m)*(x.mean-m))
	}
	return unit.MM(math.Sqrt(v))
}

// below is the chance of less than mm.
func (b Belief) below(mm float64) float64 {
	p := 0.0
	for _, x := range b {
		p += x.share * distuv.Normal{Mu: x.mean, Sigma: x.sd}.CDF(mm)
	}
	return p
}

// mostOff is more than any printer is off by, mm.
const mostOff = 4.0

// Quantile is the value below which the share q of the chances lies.
func (b Belief) Quantile(q float64) unit.Length {
	low, high := -mostOff, mostOff
	for range 40 {
		if middle := (low + high) / 2; b.below(middle) < q {
			low = middle
		} else {
			high = middle
		}
	}
	return unit.MM((low + high) / 2)
}

// Interval is the range that holds the value with 95 % chance, 2.5 % lying to either side.
func (b Belief) Interval() (low, high unit.Length) { return b.Quantile(0.025), b.Quantile(0.975) }

// Density is the chance per mm at a value.
func (b Belief) Density(at unit.Length) float64 {
	p := 0.0
	for _, x := range b {
		p += x.share * distuv.Normal{Mu: x.mean, Sigma: x.sd}.Prob(at.MM())
	}
	return p
}

// held is by how much one normal law of the same mean and variance, and the scatter of one print more, is to be moved, and by how much
// variance to be widened, to hold with 95 % chance all that b does: nothing where b is about normal itself.
func (b Belief) held() (by, wider float64) {
	low, high := b.Interval()
	half := sure95 * Combine(b.SD(), Scatter).MM()
	if most := (high - low).MM() / 2; most > half {
		wider = (most*most - half*half) / (sure95 * sure95)
		half = most
	}
	mean := b.Mean().MM()
	return max(0, high.MM()-mean-half) + min(0, low.MM()-mean+half), wider
}

// sure95 is how many standard deviations about its mean hold 95 % of a normal law.
const sure95 = 1.96

// belief is what is believed of the sum with these weights.
func (l Learnt) belief(weights []float64) Belief {
	var out Belief
	for i, s := range l.states {
		mean, variance, _ := s.of(weights)
		out = append(out, believed{l.shares[i], mean, math.Sqrt(variance)})
	}
	return out
}

// Plain is what is believed of plain size: what a bore of that diameter loses, an outside gains, or both do, as a caliper over crests
// reads it.
func (l Learnt) Plain(s Side, diameterMM float64) Belief { return l.belief(l.plain(s, diameterMM)) }

// Felt is what is believed of the error that a mate feels on a thread.
func (l Learnt) Felt(s Side, u Use) Belief { return l.belief(l.felt(s, u)) }

// HandSD is how well the hand is known: the standard deviation of how much more clearance it wants than usual.
func (l Learnt) HandSD() unit.Length { return l.sd(ofHand) }

// ScaleSDPct is how well the scale is known, percent.
func (l Learnt) ScaleSDPct() float64 { return l.sd(ofScale).MM() }

func (l Learnt) sd(unseen int) unit.Length {
	weights := make([]float64, l.unseen)
	weights[unseen] = 1
	return l.belief(weights).SD()
}

// Entry is the chance that the first layer closes the entry, and by how much it then does, in the mean.
func (l Learnt) Entry() (chance float64, by unit.Length) {
	for i, s := range l.states {
		if s.entry > 0 {
			chance += l.shares[i]
			by += unit.MM(l.shares[i] * s.entry)
		}
	}
	return chance, by / unit.Length(max(chance, math.SmallestNonzeroFloat64))
}
