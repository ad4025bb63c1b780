package printer

// This file proposes the rungs to try next: those of which the outcome is expected to tell most.

import (
	"math"

	"tryring/internal/unit"
)

// Proposal is a ladder for one side, with what is expected of it.
type Proposal struct {
	// Clearances are on the diameter, rising, for models that are compensated by Compensation.
	Clearances   []unit.Length
	Compensation unit.Length
	// GainBits is the information on the offset that their outcomes are expected to bring, in bits.
	GainBits float64
	// Width is the expected width of the 95 % interval afterwards, WidthNow that of today.
	Width, WidthNow unit.Length
}

// Candidates are clearances in steps of what is engraved, mm.
const candidateStep = 0.01

// negligible is the chance below which a point of the grid is left out of the search for rungs.
const negligible = 1e-5

// searchStride is how many steps of the grid the search takes at once: 0.005 mm, a fifth of what rungs scatter.
const searchStride = 2

// told are the outcomes that a person tells apart on every rung; rattles is one of goes.
var told = []Outcome{DoesNotStart, Snug, Goes}

// Next proposes n rungs for a side, to be tried on the given part, after trials. They are chosen one after the other, each
// so that the outcomes of all together tell most of the shift that rungs can show (mutual information, in bits); what that
// tells of the printer itself, beside the part, is then worked out for GainBits and Width.
func (p Profile) Next(s Side, part Part, trials []Trial, n int) Proposal {
	now := p.Learn(s, trials)
	out, search, owners := p.propose(now, s, part, trials, n)
	out.GainBits, out.Width = search.expect(owners, now)
	return out
}

// propose is Next without what is expected.
func (p Profile) propose(now Belief, s Side, part Part, trials []Trial, n int) (Proposal, *search, []owner) {
	low, high := now.Interval()
	out := Proposal{Compensation: roundedMM(now.Mean()), WidthNow: high - low}
	at, chance, owners := p.shiftBelief(s, part, trials)
	search := newSearch(at, chance)
	for range n {
		best, gain := math.NaN(), -1.0
		for c := search.lowest(out.Compensation.MM()); c <= search.highest(out.Compensation.MM()); c++ {
			clearance := float64(c) * candidateStep
			modelled := clearance + out.Compensation.MM()
			if search.has(modelled) {
				continue
			}
			if g := search.gain(modelled); g > gain+1e-9 {
				best, gain = clearance, g
			}
		}
		if math.IsNaN(best) {
			break
		}
		search.add(best + out.Compensation.MM())
		out.Clearances = insert(out.Clearances, unit.MM(best))
	}
	return out, search, owners
}

// insert keeps the clearances rising.
func insert(cs []unit.Length, c unit.Length) []unit.Length {
	i := 0
	for i < len(cs) && cs[i] < c {
		i++
	}
	return append(cs[:i], append([]unit.Length{c}, cs[i:]...)...)
}

// owner is what offsets a shift may come from: their points on the grid, with their chances.
type owner struct {
	first int
	p     []float64
}

// shiftBelief is what is believed of the shift on part: the shifts that matter, their chances, and for each the offsets
// behind it.
func (p Profile) shiftBelief(s Side, part Part, trials []Trial) (at, chance []float64, owners []owner) {
	// What is known of the offset from all but this part, and from the part's own rungs of the shift.
	other := p.before(s)
	if likely, any := readingsSeen(s, trials); any {
		other = other.times(likely)
	}
	for _, q := range partsOf(s, trials) {
		if q.Name != part.Name {
			other = other.times(q.room().blur(q.seen(trials, shifts)))
		}
	}
	r := part.room()
	seen := part.seen(trials, shifts)
	total := 0.0
	weights := make([]float64, len(shifts))
	for i := range shifts {
		for k, w := range r.p {
			if o := i - shiftMargin + r.first + k; o >= 0 && o < gridPoints {
				weights[i] += w * other.p[o]
			}
		}
		weights[i] *= seen[i]
		total += weights[i]
	}
	kept := 0.0
	for i := 0; i < len(weights); i += searchStride {
		w := weights[i]
		if w < negligible*total {
			continue
		}
		own := owner{first: i - shiftMargin + r.first, p: make([]float64, len(r.p))}
		sum := 0.0
		for k, x := range r.p {
			if o := own.first + k; o >= 0 && o < gridPoints {
				own.p[k] = x * other.p[o]
				sum += own.p[k]
			}
		}
		for k := range own.p {
			own.p[k] /= sum
		}
		at, chance, owners = append(at, shifts[i]), append(chance, w), append(owners, own)
		kept += w
	}
	for i := range chance {
		chance[i] /= kept
	}
	return at, chance, owners
}

// search holds the rungs chosen so far: for each way in which their outcomes can fall, the chance at each shift.
type search struct {
	at     []float64
	chance []float64
	ways   [][]float64
	chosen []float64
	// known are the rungs weighed so far, by modelled clearance.
	known map[float64]weighed
	// noise is the entropy of the outcomes that would be left if the shift were known, bits.
	noise float64
}

func newSearch(at, chance []float64) *search {
	return &search{at: at, chance: chance, ways: [][]float64{chance}, known: map[float64]weighed{}}
}

func (s *search) lowest(compensation float64) int {
	return int(math.Floor((s.at[0] - rungSpread - compensation) / candidateStep))
}

func (s *search) highest(compensation float64) int {
	return int(math.Ceil((s.at[len(s.at)-1] + FreeAbove.MM() + rungSpread - compensation) / candidateStep))
}

// has reports whether a rung of that modelled clearance was chosen.
func (s *search) has(modelled float64) bool {
	for _, c := range s.chosen {
		if math.Abs(c-modelled) < candidateStep/2 {
			return true
		}
	}
	return false
}

// weighed is one rung: the chance of each outcome at each shift, and the entropy of its outcome that is left when the shift
// is known, in the mean.
type weighed struct {
	chances [][]float64
	noise   float64
}

// weigh works out a rung once.
func (s *search) weigh(modelled float64) weighed {
	if w, done := s.known[modelled]; done {
		return w
	}
	w := weighed{chances: make([][]float64, len(told))}
	for k, o := range told {
		w.chances[k] = make([]float64, len(s.at))
		for i, shift := range s.at {
			c := o.chance(modelled-shift, 0)
			w.chances[k][i] = c
			w.noise -= s.chance[i] * c * math.Log2(c) // lapse keeps c above 0
		}
	}
	s.known[modelled] = w
	return w
}

// gain is the information on the shift with one more rung: the entropy of how all outcomes fall less their noise.
func (s *search) gain(modelled float64) float64 {
	rung := s.weigh(modelled)
	h := 0.0
	for _, way := range s.ways {
		for _, c := range rung.chances {
			x := 0.0
			for i, w := range way {
				x += w * c[i]
			}
			if x > 0 {
				h -= x * math.Log2(x)
			}
		}
	}
	return h - s.noise - rung.noise
}

// add takes a rung in.
func (s *search) add(modelled float64) {
	rung := s.weigh(modelled)
	s.noise += rung.noise
	var ways [][]float64
	for _, way := range s.ways {
		for _, c := range rung.chances {
			next := make([]float64, len(way))
			for i, w := range way {
				next[i] = w * c[i]
			}
			ways = append(ways, next)
		}
	}
	s.ways, s.chosen = ways, append(s.chosen, modelled)
}

// expect works out, over all ways in which the outcomes can fall, what they tell of the offset: the gain in bits, and the
// expected width of the 95 % interval.
func (s *search) expect(owners []owner, now Belief) (gain float64, width unit.Length) {
	gain = bits(now.p)
	p := make([]float64, gridPoints)
	for _, way := range s.ways {
		clear(p)
		total := 0.0
		for i, w := range way {
			total += w
			for k, share := range owners[i].p {
				if o := owners[i].first + k; share > 0 {
					p[o] += w * share
				}
			}
		}
		if total < negligible*negligible {
			continue
		}
		for i := range p {
			p[i] /= total
		}
		gain -= total * bits(p)
		width += unit.MM(total * (quantile(p, 0.975) - quantile(p, 0.025)))
	}
	return max(0, gain), width
}
