package printer

// This file proposes the rungs to try next: those of which the outcome is expected to tell most.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"tryring/internal/unit"
)

// Proposal is a ladder for one side, or of pairs, with what is expected of it.
type Proposal struct {
	// Clearances are on the diameter, rising, for models that are compensated by Compensation.
	Clearances   []unit.Length `json:"clearances_mm"`
	Compensation unit.Length   `json:"compensation_mm"`
	// GainBits is the information on the offset that their outcomes are expected to bring, in bits.
	GainBits float64 `json:"gain_bits"`
	// Width is the expected width of the 95 % interval afterwards, WidthNow that of today.
	Width    unit.Length `json:"width_95_mm"`
	WidthNow unit.Length `json:"width_95_now_mm"`
}

const (
	// rungStepMM is the step of what is engraved, and the least between two rungs, mm.
	rungStepMM = 0.01
	// negligible is the chance below which a point of the grid is left out of the search for rungs.
	negligible = 1e-5
	// searchStride is how many steps of the grid the search takes at once: 0.0075 mm, a third of what rungs scatter.
	searchStride = 3
)

// tails are the shares of belief left out at either end of the range that the rungs are spread over. A wide spread guards
// against outcomes that were mixed up, a close one tells more where nothing was; the one that is expected to tell more is taken.
var tails = []float64{0.002, 0.01, 0.03, 0.1}

// told are the outcomes that a person tells apart on every rung; rattles is one of goes.
var told = []Felt{DoesNotStart, Snug, Goes}

// Next proposes n rungs for a side, to be tried on the given part, after trials. They stand evenly over the shifts that are
// still believed, so that the next outcome is open wherever the truth lies there: rungs crowded where the shift is likeliest
// would tell more bits in the mean, and leave one printer in twenty unknown.
func (p Profile) Next(s Side, part Part, trials []Trial, n int) Proposal {
	now := p.Learn(s, trials)
	out, ways, from := p.propose(now, s, part, trials, n)
	out.GainBits, out.Width = from.expect(ways, now)
	return out
}

// propose is Next without what is expected.
func (p Profile) propose(now Belief, s Side, part Part, trials []Trial, n int) (Proposal, [][]float64, shiftBelief) {
	low, high := now.Interval()
	out := Proposal{Compensation: roundedMM(now.Mean()), WidthNow: high - low}
	from := p.shiftBelief(s, part, trials)
	var best [][]float64
	least := math.Inf(1)
	for _, tail := range tails {
		clearances := from.spreadOut(n, tail, out.Compensation.MM())
		ways := [][]float64{from.chance}
		for _, c := range clearances {
			ways = from.fall(ways, c+out.Compensation.MM(), s.spread())
		}
		if width := from.width(ways); width < least {
			best, least, out.Clearances = ways, width, nil
			for _, c := range clearances {
				out.Clearances = append(out.Clearances, unit.MM(c))
			}
		}
	}
	return out, best, from
}

// shiftBelief is what is believed of the shift on a part: the shifts that matter in equal steps, their chances, and for each
// the offsets behind it.
type shiftBelief struct {
	at, chance []float64
	owners     []owner
}

// owner is what offsets a shift may come from: their points on the grid, with their chances.
type owner struct {
	first int
	p     []float64
}

func (p Profile) shiftBelief(s Side, part Part, trials []Trial) shiftBelief {
	// What is known of the offset from all but this part, and from the part's own rungs of the shift.
	var others []Trial
	for _, t := range trials {
		t.Rungs = slices.DeleteFunc(slices.Clone(t.Rungs), func(r SeenRung) bool { return r.Side == s && r.Part == part.Name })
		others = append(others, t)
	}
	other := p.Learn(s, others)
	r := part.room()
	var points []int // of the grid of offsets less rooms, from the first shift that any offset can have
	var at []float64
	lowest := -(r.first + len(r.p) - 1)
	for i := lowest; i < len(other.p)-r.first; i += searchStride {
		points, at = append(points, i), append(at, other.offset(i))
	}
	weights := part.seen(trials, at)
	owners := make([]owner, len(points))
	for k, i := range points {
		owners[k] = owner{first: i + r.first, p: make([]float64, len(r.p))}
		for j, w := range r.p {
			if o := i + r.first + j; o >= 0 && o < len(other.p) {
				owners[k].p[j] = w * other.p[o]
			}
		}
		sum := floats.Sum(owners[k].p)
		weights[k] *= sum
		if sum > 0 {
			floats.Scale(1/sum, owners[k].p)
		}
	}
	floats.Scale(1/floats.Sum(weights), weights)
	first, last := 0, len(weights)-1
	for ; weights[first] < negligible; first++ {
	}
	for ; weights[last] < negligible; last-- {
	}
	b := shiftBelief{at[first : last+1], weights[first : last+1], owners[first : last+1]}
	floats.Scale(1/floats.Sum(b.chance), b.chance)
	return b
}

// spreadOut spreads n clearances evenly over the shifts, less the share tail at either end, for models of that compensation.
// A rung is open to doubt where the shift brings it between starting and going free.
func (b shiftBelief) spreadOut(n int, tail, compensation float64) []float64 {
	step := b.at[min(1, len(b.at)-1)] - b.at[0]
	low := b.at[0] + quantile(b.chance, tail)*step
	high := b.at[0] + quantile(b.chance, 1-tail)*step
	middle := (low+high)/2 + (StartsAbove+FreeAbove).MM()/2 - compensation
	apart := max(rungStepMM, (high-low)/float64(n))
	out := make([]float64, n)
	for k := range out {
		out[k] = math.Round((middle+(float64(k)-float64(n-1)/2)*apart)/rungStepMM) * rungStepMM
		if k > 0 && out[k]-out[k-1] < rungStepMM/2 { // rounding must not make two of them one
			out[k] = out[k-1] + rungStepMM
		}
	}
	return out
}

// fall splits each way in which outcomes can fall by those of one more rung: the chance of each at each shift.
func (b shiftBelief) fall(ways [][]float64, modelled, spread float64) [][]float64 {
	out := make([][]float64, 0, len(ways)*len(told))
	for _, o := range told {
		chances := make([]float64, len(b.at))
		for i, shift := range b.at {
			chances[i] = o.onRung(modelled-shift, 0, spread)
		}
		for _, way := range ways {
			next := make([]float64, len(way))
			floats.MulTo(next, way, chances)
			out = append(out, next)
		}
	}
	return out
}

// width is the expected width of the 95 % interval of the shift, in steps, over all ways in which the outcomes can fall.
func (b shiftBelief) width(ways [][]float64) float64 {
	out := 0.0
	p := make([]float64, len(b.at))
	for _, way := range ways {
		total := floats.Sum(way)
		if total < negligible*negligible {
			continue
		}
		floats.ScaleTo(p, 1/total, way)
		out += total * (quantile(p, 0.975) - quantile(p, 0.025))
	}
	return out
}

// expect works out, over all ways in which the outcomes can fall, what they tell of the offset: the gain in bits, and the
// expected width of the 95 % interval.
func (b shiftBelief) expect(ways [][]float64, now Belief) (gain float64, width unit.Length) {
	gain = bits(now.p)
	p := make([]float64, len(now.p))
	for _, way := range ways {
		clear(p)
		total := floats.Sum(way)
		if total < negligible*negligible {
			continue
		}
		for i, w := range way {
			for k, share := range b.owners[i].p {
				if share > 0 {
					p[b.owners[i].first+k] += w / total * share
				}
			}
		}
		gain -= total * bits(p)
		width += unit.MM(total * (quantile(p, 0.975) - quantile(p, 0.025)) * gridStep)
	}
	return max(0, gain), width
}
