package printer

// This file holds the physics of a printer as a learner knows it: a few lengths that nobody can see, each believed to lie where a
// normal law has it, and the ways in which print and hand may behave, each believed as far as it foretold what was seen.
//
// All that is seen is a sum of the unseen. A rung of modelled clearance m, on a part of room r, has the clearance
//
//	c = m + r - (plain size + scale + share x layers + proud + plate) - hand
//
// and does what the hand says of c. Each outcome bounds c on one side or on two, which is no normal law; that of the same mean and
// deviation is put in its place, and each outcome is weighed again in the light of all others on its plate until nothing moves
// (expectation propagation; T. P. Minka, 2001; from memory). A caliper over crests reads plain size and plate alone.

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// The unseen, by their places in a state; each part's room and each instrument's error come behind them.
const (
	ofInside   = iota // what bores lose beside scale, mm
	ofOutside         // what outsides gain, mm
	ofShare           // share of the layers' reach that a mate feels
	ofScale           // growth of all diameters, percent
	ofProud           // what stands proud of the flanks whatever the layer, mm
	ofHand            // how much more clearance this hand wants than usual for the same word, mm
	ofPlateIn         // what the plate at hand adds to the errors of bores, mm
	ofPlateOut        // and of outsides, mm
	ofOthers
)

// How well the unseen are known beforehand, as standard deviations. Common practice, no published source, but where a profile says more.
const (
	proudMM = 0.04
	handMM  = 0.034
	// plateMM is what the prints of one plate share.
	plateMM = 0.02
	// feelMM is how far a hand errs from one rung to the next.
	feelMM = 0.015
	// priorWider makes the 95 % interval of a normal law as wide as that of Student's law with three degrees of freedom, 3.18 in the place
	// of 1.96 (JCGM 100:2008, table G.2): a profile's figures come from other machines, and its uncertainty is known to about 40 % (G.4.2).
	priorWider = 3.18 / 1.96
	// scaleWider does the same for the scale, which a profile knows to about a fifth: slicers and machines are set to it on purpose.
	scaleWider = 1.25
)

// way is one way in which print and hand may behave.
type way struct {
	// entry is how much narrower the first layer leaves the entry than the thread, rub how much more clearance rough flanks run free
	// with, mm.
	entry, rub float64
	// knows says that the hand tells a tight first turn from a thread that does not start.
	knows bool
	// wider is by how much prints and plates scatter more than usual.
	wider float64
	// before is its chance beforehand.
	before float64
}

// with is w where r was tried: no first layer lies at the end on top.
func (w way) with(r SeenRung) way {
	if r.FromTop {
		w.entry = 0
	}
	return w
}

// closed is how often the first layer closes what share of twice its spread, and whether the hand then tells a tight first turn from a
// thread that does not start: three in four do. Mostly the lead-in of the thread takes it all. Common practice, no published source.
var closed = []struct {
	share  float64
	knows  bool
	before float64
}{{0, true, 0.86}, {0.3, true, 0.046}, {0.3, false, 0.014}, {0.6, true, 0.0385}, {0.6, false, 0.0115}, {1, true, 0.023}, {1, false, 0.007}}

// ways lists all ways that may be the case. How often flanks rub, and prints scatter more, is common practice, no published source.
func (p Profile) ways() []way {
	var out []way
	for _, c := range closed {
		for _, rub := range [][2]float64{{0, 0.8}, {0.06, 0.2}} {
			for _, wider := range [][2]float64{{1, 0.88}, {2.5, 0.12}} {
				out = append(out, way{2 * p.FirstLayerSpread.MM() * c.share, rub[0], c.knows, wider[0], c.before * rub[1] * wider[1]})
			}
		}
	}
	return out
}

// state is what is believed of the unseen where one way is the case: their means, and how they vary together.
type state struct {
	way
	mean []float64
	cov  [][]float64
	// foretold is the logarithm of the chance of all that was seen.
	foretold float64
}

// newState knows nothing of anything; know sets one of the unseen.
func newState(w way, n int) *state {
	s := &state{way: w, mean: make([]float64, n), cov: make([][]float64, n)}
	for i := range s.cov {
		s.cov[i] = make([]float64, n)
	}
	return s
}

// know puts one of the unseen back to a mean and a deviation of its own, tied to nothing else.
func (s *state) know(i int, mean, sd float64) {
	s.mean[i] = mean
	for k := range s.cov {
		s.cov[i][k], s.cov[k][i] = 0, 0
	}
	s.cov[i][i] = sd * sd
}

// nextPlate forgets what the prints of a plate shared.
func (s *state) nextPlate() {
	s.know(ofPlateIn, 0, s.wider*plateMM)
	s.know(ofPlateOut, 0, s.wider*plateMM)
}

// of is what is believed of the sum of the unseen with these weights: its mean and variance, and how it varies with each.
func (s *state) of(weights []float64) (mean, variance float64, with []float64) {
	with = make([]float64, len(s.mean))
	for i, row := range s.cov {
		with[i] = floats.Dot(row, weights)
	}
	return floats.Dot(s.mean, weights), floats.Dot(with, weights), with
}

// sight is one thing that was seen: the weights of the sum that it tells of.
type sight struct {
	weights []float64
	// sd is by how much it scatters by itself, mm.
	sd float64
	// chances are those of what was seen, by the value of the sum; for a reading, nil, and at is what was read.
	chances []within
	at      float64
	// precision and precise are what it tells as a normal law.
	precision, precise float64
}

// within is a chance that holds from one value to another.
type within struct{ from, to, chance float64 }

const (
	// rounds is how often all outcomes of a plate are weighed again at most, settled the change of a mean below which they are not, mm.
	rounds  = 12
	settled = 1e-5
)

// see takes in all that was seen of one plate.
func (s *state) see(all []sight) {
	for round := range rounds {
		most := 0.0
		for i := range all {
			x := &all[i]
			mean, variance, with := s.of(x.weights)
			// What all others say of it.
			left := 1/variance - x.precision
			others := 1 / left
			middle := others * (mean/variance - x.precise)
			chance, slope, bend := x.weigh(middle, math.Sqrt(others+x.sd*x.sd))
			if round == 0 {
				s.foretold += math.Log(chance)
			}
			precision := max(0, bend/(1-others*bend)) // what surprises tells little, but never that less is known
			precise := precision*(middle+others*slope) + slope
			more, shift := precision-x.precision, precise-x.precise
			most = max(most, math.Abs(shift-more*mean)*variance, math.Abs(more*variance)*math.Sqrt(variance))
			by := 1 + more*variance
			floats.AddScaled(s.mean, (shift-more*mean)/by, with)
			for i, row := range s.cov {
				floats.AddScaled(row, -more*with[i]/by, with)
			}
			x.precision, x.precise = precision, precise
		}
		if most < settled {
			return
		}
	}
}

// weigh is the chance of what was seen where the sum lies about middle with that deviation, and how its logarithm changes with middle:
// its slope, and the bend of it, both as of the curve's top.
func (x *sight) weigh(middle, sd float64) (chance, slope, bend float64) {
	unit := distuv.UnitNormal
	if x.chances == nil {
		off := (x.at - middle) / sd
		return unit.Prob(off)/sd + math.SmallestNonzeroFloat32, off / sd, 1 / (sd * sd)
	}
	var first, second float64
	for _, w := range x.chances {
		a, b := (w.from-middle)/sd, (w.to-middle)/sd
		chance += w.chance * (unit.CDF(b) - unit.CDF(a))
		at := func(z float64) (p, zp float64) {
			if math.IsInf(z, 0) {
				return 0, 0
			}
			p = unit.Prob(z)
			return p, z * p
		}
		pa, za := at(a)
		pb, zb := at(b)
		first += w.chance * (pa - pb) / sd
		second += w.chance * (za - zb) / (sd * sd)
	}
	slope = first / chance
	return chance, slope, slope*slope - second/chance
}
