package printer

// This file learns the offsets of a printer from all that was tried on it.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// Learn returns what is believed of a side's offset, or for a Pair of the sum of both: what the profile says of it, and all
// that trials showed since. What is uncertain of a part, and of an instrument, is the same in all trials with it, and so does
// not average out. What was said of a part last holds for all.
//
// Let i be what inside diameters lose and o what outside ones gain. All but pairs tells of one of them alone, p(i) and q(o);
// pairs tell L(i+o). Then i is believed as p(i) times the sum over o of q(o) L(i+o), and the sum s as L(s) times the sum over
// i of p(i) q(s-i).
func (p Profile) Learn(s Side, trials []Trial) Belief {
	if s == Pair {
		sum := sumOf(p.alone(Inside, trials), p.alone(Outside, trials))
		return sum.times(pairsSeen(trials, sum))
	}
	b := p.alone(s, trials)
	if len(partsOf(Pair, trials)) == 0 {
		return b
	}
	other := p.alone(s.other(), trials)
	likely := pairsSeen(trials, sums())
	through := make([]float64, len(b.p))
	for i := range through {
		through[i] = floats.Dot(other.p, likely[i:i+len(other.p)])
	}
	return b.times(through)
}

// After returns p with the figures that trials have taught. A side that no trial touched stays as it is. The uncertainty
// holds the scatter from print to print as well, since the next print is one more.
func (p Profile) After(trials []Trial) Profile {
	sources := map[string]string{}
	for key, s := range p.Sources {
		sources[key] = s
	}
	for _, s := range []Side{Inside, Outside} {
		n := 0
		for _, t := range trials {
			if t.touches(s) {
				n++
			}
		}
		if n == 0 {
			continue
		}
		b := p.Learn(s, trials)
		value, u := roundedMM(b.Mean()), max(roundedMM(Combine(b.SD(), Scatter)), leastU)
		from := fmt.Sprintf("learned from %d trial", n)
		if n > 1 {
			from += "s"
		}
		if s == Inside {
			p.InsideTakes, p.InsideU = value, u
			sources["inside_takes_mm"], sources["inside_u_mm"] = from, from
		} else {
			p.OutsideAdds, p.OutsideU = value, u
			sources["outside_adds_mm"], sources["outside_u_mm"] = from, from
		}
	}
	p.Sources = sources
	return p
}

// leastU is the least uncertainty that a profile may state.
const leastU = 0.001 * unit.Millimetre

// roundedMM rounds to a thousandth of a millimetre, which is more than a printer knows of itself.
func roundedMM(l unit.Length) unit.Length { return unit.MM(math.Round(l.MM()*1000)/1000 + 0) }

// other is the other of the two sides of a printer.
func (s Side) other() Side {
	if s == Inside {
		return Outside
	}
	return Inside
}

// sums is the grid of sums of two offsets, without chances: its point i+k is the sum of those at i and k.
func sums() Belief { return Belief{2 * gridLow, make([]float64, 2*gridPoints-1)} }

// sumOf is what is believed of the sum of two offsets that nothing seen has tied together.
func sumOf(a, b Belief) Belief {
	out := sums()
	for i, x := range a.p {
		floats.AddScaled(out.p[i:i+len(b.p)], x, b.p)
	}
	out.normalize()
	return out
}

// alone is what is believed of one side without any pair.
func (p Profile) alone(s Side, trials []Trial) Belief {
	b := p.before(s)
	if likely, some := readingsSeen(s, trials); some {
		b = b.times(likely)
	}
	for _, part := range partsOf(s, trials) {
		b = b.times(part.likely(trials, b))
	}
	return b
}

// before is what the profile itself says.
func (p Profile) before(s Side) Belief {
	if s == Inside {
		return prior(p.InsideTakes, p.InsideU)
	}
	return prior(p.OutsideAdds, p.OutsideU)
}

// pairsSeen is the chance of all that pairs did, at each sum of b.
func pairsSeen(trials []Trial, b Belief) []float64 {
	likely := ones(len(b.p))
	for _, part := range partsOf(Pair, trials) {
		for i, x := range part.likely(trials, b) {
			likely[i] *= x
		}
	}
	return likely
}

// readingsSeen is the chance of all caliper readings at each offset. The mean of n readings with one instrument, known by
// its uncertainty, errs by the scatter over the root of n, and by the instrument; by more where the readings disagree.
func readingsSeen(s Side, trials []Trial) (likely []float64, some bool) {
	var all []SeenReading
	var us []float64
	by := map[float64][]float64{}
	for _, t := range trials {
		for _, r := range t.Readings {
			if r.Side != s {
				continue
			}
			if by[r.UMM] == nil {
				us = append(us, r.UMM)
			}
			by[r.UMM] = append(by[r.UMM], r.off())
			all = append(all, r)
		}
	}
	wider := disagreement(all)
	likely = ones(gridPoints)
	for _, u := range us {
		sum := 0.0
		for _, x := range by[u] {
			sum += x
		}
		n := float64(len(by[u]))
		law := distuv.Normal{Mu: sum / n, Sigma: wider * math.Hypot(u, Scatter.MM()/math.Sqrt(n))}
		for i := range likely {
			likely[i] *= law.Prob(gridLow+float64(i)*gridStep) + math.SmallestNonzeroFloat32
		}
	}
	return likely, len(us) > 0
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

// partsOf lists the parts that rungs of a side were tried on, each as it was described last.
func partsOf(s Side, trials []Trial) []Part {
	var out []Part
	for _, t := range trials {
		for _, p := range t.Parts {
			if p.Side != s {
				continue
			}
			if i := slices.IndexFunc(out, func(q Part) bool { return q.Name == p.Name }); i >= 0 {
				out[i] = p
			} else {
				out = append(out, p)
			}
		}
	}
	return out
}

// LastPart is the part that rungs of a side were tried on last.
func LastPart(s Side, trials []Trial) (part Part, known bool) {
	for _, t := range trials {
		for _, p := range t.Parts {
			if p.Side == s {
				part, known = p, true
			}
		}
	}
	return part, known
}

// The offset of the printer and the room of the part show only as their difference, called the shift here: a rung of
// modelled clearance c has c less shift in print.

// seen is the chance, at each shift of at (mm), of all that rungs on part p did.
func (p Part) seen(trials []Trial, at []float64) []float64 {
	out := ones(len(at))
	for _, t := range trials {
		for _, r := range t.Rungs {
			if r.Side != p.Side || r.Part != p.Name {
				continue
			}
			for i, shift := range at {
				out[i] *= r.Outcome.onRung(r.ModelledMM-shift, r.PitchMM, p.Side.spread())
			}
		}
	}
	return out
}

// likely is the chance of all that rungs on part p did at each offset of b: that at its shifts, which are the offset less each
// room that the part may leave.
func (p Part) likely(trials []Trial, b Belief) []float64 {
	r := p.room()
	last := r.first + len(r.p) - 1
	at := make([]float64, len(b.p)+len(r.p)-1) // from the first offset less the most room
	for i := range at {
		at[i] = b.offset(i - last)
	}
	byShift := p.seen(trials, at)
	out := make([]float64, len(b.p))
	for i := range out {
		for k, w := range r.p {
			out[i] += w * byShift[i+last-(r.first+k)]
		}
	}
	return out
}

// room is the chance of each room that a part may leave, on the steps of the grid.
type room struct {
	// first is the first room, in steps.
	first int
	p     []float64
}

// roomSpread is how many standard deviations of the room are looked at, mostRoom how far it reaches at most, in steps.
const (
	roomSpread = 4
	mostRoom   = 400
)

// room spreads the part's room over the grid, the hand's own error with it.
func (p Part) room() room {
	u := math.Hypot(p.UMM, handMM)
	first := int(math.Floor((p.LeastMM - roomSpread*u) / gridStep))
	last := int(math.Ceil((p.MostMM + roomSpread*u) / gridStep))
	r := room{first: max(first, -mostRoom)}
	total := 0.0
	for k := r.first; k <= min(last, mostRoom); k++ {
		x := float64(k) * gridStep
		var w float64
		if p.MostMM-p.LeastMM < gridStep {
			w = distuv.Normal{Mu: (p.LeastMM + p.MostMM) / 2, Sigma: u}.Prob(x)
		} else { // equally likely between the limits, blurred
			law := distuv.Normal{Sigma: u}
			w = law.CDF(x-p.LeastMM) - law.CDF(x-p.MostMM)
		}
		r.p = append(r.p, w)
		total += w
	}
	for k := range r.p {
		r.p[k] /= total
	}
	return r
}
