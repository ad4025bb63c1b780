package printer

// This file learns what a printer does from all that was tried on it.

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/floats"

	"tryring/internal/unit"
)

// Learnt is what is believed of a printer after trials: a state for each way in which print and hand may behave.
type Learnt struct {
	states []*state
	shares []float64
	// parts and instruments are the places of the parts' rooms and of the instruments' errors.
	parts       map[partKey]int
	instruments map[float64]int
	// unseen is how many there are.
	unseen int
}

type partKey struct {
	side Side
	name string
}

// Use is a thread of a print, as far as a printer's errors hang on it.
type Use struct {
	DiameterMM float64
	// LayersMM is how much tighter on the diameter the layers make its pitch line, as Profile.Layers has it; of a pair, both sides'.
	LayersMM float64
}

// Learn returns what is believed of p: what the profile says, and all that trials showed since. Each plate is taken in by itself, and
// what its prints shared is forgotten behind it; what is uncertain of a part, an instrument and the hand stays, and does not average
// out. What was said of a part last holds for all.
func (p Profile) Learn(trials []Trial) Learnt {
	l := Learnt{parts: map[partKey]int{}, instruments: map[float64]int{}, unseen: ofOthers}
	for _, t := range trials {
		for _, x := range t.Parts {
			if _, known := l.parts[x.key()]; !known && x.Side != Pair {
				l.parts[x.key()] = l.unseen
				l.unseen++
			}
		}
		for _, r := range t.Readings {
			if _, known := l.instruments[r.UMM]; !known {
				l.instruments[r.UMM] = l.unseen
				l.unseen++
			}
		}
	}
	wider := map[Side]float64{Inside: disagreement(readingsOf(Inside, trials)), Outside: disagreement(readingsOf(Outside, trials))}
	for _, w := range p.ways() {
		s := newState(w, l.unseen)
		s.know(ofInside, p.InsideTakes.MM(), priorWider*p.InsideU.MM())
		s.know(ofOutside, p.OutsideAdds.MM(), priorWider*p.OutsideU.MM())
		s.know(ofShare, p.LayerShare, p.LayerShareU)
		s.know(ofScale, p.ScalePct, scaleWider*p.ScaleUPct)
		s.know(ofProud, 0, proudMM)
		s.know(ofHand, 0, handMM)
		for _, t := range trials {
			for _, x := range t.Parts {
				if x.Side != Pair { // equally likely between the limits, blurred
					s.know(l.parts[x.key()], (x.LeastMM+x.MostMM)/2, math.Hypot(x.UMM, (x.MostMM-x.LeastMM)/math.Sqrt(12)))
				}
			}
		}
		for u, at := range l.instruments {
			s.know(at, 0, u)
		}
		for _, plate := range plates(trials) {
			s.know(ofPlateIn, 0, w.wider*plateMM)
			s.know(ofPlateOut, 0, w.wider*plateMM)
			var seen []sight
			for _, t := range plate {
				seen = append(seen, l.seen(p, w, t, wider)...)
			}
			s.see(seen)
		}
		s.know(ofPlateIn, 0, w.wider*plateMM) // of the next plate
		s.know(ofPlateOut, 0, w.wider*plateMM)
		l.states = append(l.states, s)
		l.shares = append(l.shares, math.Log(w.before)+s.foretold)
	}
	most := floats.LogSumExp(l.shares)
	for i, x := range l.shares {
		l.shares[i] = math.Exp(x - most)
	}
	return l
}

// oldDiameterMM stands for the diameter of rungs that were kept without one, and of no trial at all.
const oldDiameterMM = 30.0

// plates are the trials by the ladder that they are of; each without one stands alone.
func plates(trials []Trial) [][]Trial {
	var out [][]Trial
	at := map[string]int{}
	for _, t := range trials {
		i, known := at[t.Ladder]
		if !known || t.Ladder == "" {
			i, out = len(out), append(out, nil)
			at[t.Ladder] = i
		}
		out[i] = append(out[i], t)
	}
	return out
}

func (x Part) key() partKey { return partKey{x.Side, x.Name} }

// readingsOf are the caliper readings of a side.
func readingsOf(s Side, trials []Trial) []SeenReading {
	var out []SeenReading
	for _, t := range trials {
		for _, r := range t.Readings {
			if r.Side == s {
				out = append(out, r)
			}
		}
	}
	return out
}

// seen is all that t showed, where w is the way.
func (l Learnt) seen(p Profile, w way, t Trial, wider map[Side]float64) []sight {
	var out []sight
	scatter := w.wider * Scatter.MM()
	for _, r := range t.Readings {
		weights := l.plain(r.Side, r.ModelledMM)
		l.plate(weights, r.Side)
		weights[l.instruments[r.UMM]] = wider[r.Side]
		out = append(out, sight{weights: weights, sd: wider[r.Side] * scatter, at: r.off()})
	}
	for _, r := range t.Rungs {
		weights := l.shift(p, r)
		sd := scatter
		if r.Side == Pair {
			sd *= math.Sqrt2
		}
		x := sight{weights: weights, sd: math.Hypot(sd, feelMM)}
		for _, c := range r.Outcome.onRung(w.with(r), r.PitchMM) { // the sum is what is lost of the modelled clearance
			x.chances = append(x.chances, within{r.ModelledMM - c.to, r.ModelledMM - c.from, c.chance})
		}
		out = append(out, x)
	}
	return out
}

// shift are the weights of what a rung loses of its modelled clearance: the error that its mate feels, and the hand, less the room.
func (l Learnt) shift(p Profile, r SeenRung) []float64 {
	weights := l.felt(r.Side, r.use(p))
	l.plate(weights, r.Side)
	weights[ofHand] = 1
	if at, known := l.parts[partKey{r.Side, r.Part}]; known {
		weights[at] = -1
	}
	return weights
}

// use is the thread of a rung. One that was kept before layers and diameters were has the layer of its profile, and no diameter that
// is out of the ordinary.
func (r SeenRung) use(p Profile) Use {
	u := Use{r.DiameterMM, r.LayersMM}
	if u.DiameterMM <= 0 {
		u.DiameterMM = oldDiameterMM
	}
	if u.LayersMM <= 0 {
		u.LayersMM = p.usualLayers(r.Side)
	}
	return u
}

// usualLayers is Use.LayersMM of a thread of 60 degrees in layers of the profile.
func (p Profile) usualLayers(s Side) float64 {
	by := p.Layer.MM()
	if p.Process == "resin" {
		by *= math.Sqrt(3)
	}
	if s == Pair {
		by *= 2
	}
	return by
}

// plain are the weights of a side's plain size at a diameter; of a pair, of what both sides come to together, in which scale is lost.
func (l Learnt) plain(s Side, diameterMM float64) []float64 {
	weights := make([]float64, l.unseen)
	grown := diameterMM / 100
	if s != Outside {
		weights[ofInside] = 1
		weights[ofScale] -= grown
	}
	if s != Inside {
		weights[ofOutside] = 1
		weights[ofScale] += grown
	}
	return weights
}

// felt are the weights of what a mate feels.
func (l Learnt) felt(s Side, u Use) []float64 {
	weights := l.plain(s, u.DiameterMM)
	sides := 1.0
	if s == Pair {
		sides = 2
	}
	weights[ofShare], weights[ofProud] = u.LayersMM, sides
	return weights
}

// plate adds what the plate does to the weights of a side.
func (l Learnt) plate(weights []float64, s Side) {
	if s != Outside {
		weights[ofPlateIn] = 1
	}
	if s != Inside {
		weights[ofPlateOut] = 1
	}
}

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

// After returns p with the figures that trials have taught, tied together as far as they are, for the diameter that was tried last. The
// uncertainty holds the scatter from print to print as well, since the next print is one more; where belief is no normal law, that of the
// profile is moved as little as holds what is felt, with 95 % chance, on the thread tried last. What stands proud of flanks beside the
// layers counts as their share, in the profile's layers.
func (p Profile) After(trials []Trial) Profile {
	if len(trials) == 0 {
		return p
	}
	sources := map[string]string{}
	for key, s := range p.Sources {
		sources[key] = s
	}
	l := p.Learn(trials)
	p.TriedAt = unit.MM(p.lastDiameter(trials))
	share, scale := make([]float64, l.unseen), make([]float64, l.unseen)
	share[ofShare], share[ofProud], scale[ofScale] = 1, 1/p.usualLayers(Inside), 1
	mean, tied := l.together(l.plain(Outside, p.TriedAt.MM()), l.plain(Inside, p.TriedAt.MM()), share, scale)
	for i, s := range []Side{Outside, Inside} {
		from := told(trials, s)
		u := map[Side]unit.Length{Outside: p.OutsideU, Inside: p.InsideU}[s].MM()
		if from == "" { // only the scale may be known better; its own figure is as good as the profile says
			from = p.Source
			tied[i][i] -= (priorWider*priorWider - 1) * u * u
		} else {
			tied[i][i] += Scatter.MM() * Scatter.MM()
			by, wider := l.Felt(s, p.LastUse(s, trials)).held()
			mean[i] += by
			tied[i][i] += wider
		}
		key := map[Side]string{Outside: "outside_adds_mm", Inside: "inside_takes_mm"}[s]
		sources[key], sources[strings.Replace(strings.Replace(key, "adds", "u", 1), "takes", "u", 1)] = from, from
	}
	u := func(i int) float64 { return math.Round(1000*math.Sqrt(tied[i][i])) / 1000 }
	p.OutsideAdds, p.InsideTakes = roundedMM(unit.MM(mean[0])), roundedMM(unit.MM(mean[1]))
	p.OutsideU, p.InsideU = max(unit.MM(u(0)), leastU), max(unit.MM(u(1)), leastU)
	p.LayerShare, p.LayerShareU, p.ScalePct, p.ScaleUPct = math.Round(1000*mean[2])/1000, u(2), math.Round(1000*mean[3])/1000+0, u(3)
	p.Tied, p.Sources = &tied, sources
	return p
}

// together are the means and covariances of four sums of the unseen with these weights.
func (l Learnt) together(weights ...[]float64) (mean [4]float64, tied [4][4]float64) {
	means := make([][4]float64, len(l.states))
	for i, s := range l.states {
		for a, w := range weights {
			m, _, with := s.of(w)
			means[i][a] = m
			mean[a] += l.shares[i] * m
			for b, v := range weights {
				tied[a][b] += l.shares[i] * floats.Dot(with, v)
			}
		}
	}
	for i, x := range l.shares {
		for a := range mean {
			for b := range mean {
				tied[a][b] += x * (means[i][a] - mean[a]) * (means[i][b] - mean[b])
			}
		}
	}
	return mean, tied
}

// told says how many trials tell of a side, "" for none.
func told(trials []Trial, s Side) string {
	n := 0
	for _, t := range trials {
		if t.touches(s) {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return "learned from " + unit.Counted(n, "trial")
}

// leastU is the least uncertainty that a profile may state.
const leastU = 0.001 * unit.Millimetre

// roundedMM rounds to a thousandth of a millimetre, which is more than a printer knows of itself.
func roundedMM(l unit.Length) unit.Length { return unit.MM(math.Round(l.MM()*1000)/1000 + 0) }

// LastRung is the rung of a side that was tried last, with the part that it was tried on.
func LastRung(s Side, trials []Trial) (r SeenRung, on Part, known bool) {
	for _, t := range trials {
		for _, x := range t.Rungs {
			if x.Side == s {
				r, known = x, true
			}
		}
	}
	for _, t := range trials {
		for _, x := range t.Parts {
			if x.key() == (partKey{r.Side, r.Part}) {
				on = x
			}
		}
	}
	return r, on, known
}

// LastUse is the thread of a side that was tried last: that of a rung, or else one of 60 degrees in the profile's layers, of the diameter
// that was read last.
func (p Profile) LastUse(s Side, trials []Trial) Use {
	out := Use{oldDiameterMM, p.usualLayers(s)}
	for _, r := range readingsOf(s, trials) {
		out.DiameterMM = r.ModelledMM
	}
	for _, t := range trials {
		for _, r := range t.Rungs {
			if r.Side == s {
				out = r.use(p)
			} else if r.Side == Pair { // half of what both feel
				out = r.use(p)
				out.LayersMM /= 2
			}
		}
	}
	return out
}

// lastDiameter is the diameter that was tried last, the mean of both sides.
func (p Profile) lastDiameter(trials []Trial) float64 {
	sum, n := 0.0, 0.0
	for _, s := range []Side{Inside, Outside} {
		if told(trials, s) != "" {
			sum, n = sum+p.LastUse(s, trials).DiameterMM, n+1
		}
	}
	return math.Round(sum/max(1, n)*1000) / 1000
}

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
