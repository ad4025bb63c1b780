package printer

// This file learns what a printer does from all that was tried on it.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Learnt is what is believed of a printer after trials: a state for each way in which print and hand may behave.
type Learnt struct {
	p      Profile
	states []*state
	shares []float64
	// wider is by how much more than they should the readings of each side disagree.
	wider map[Side]float64
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
	l := p.untaught(trials)
	for _, plate := range byPlate(trials) {
		l.take(plate)
	}
	return l
}

// Replay returns what was believed of p after each of trials, in the light of what all of them say of parts, and of how readings agree.
func (p Profile) Replay(trials []Trial) []Learnt {
	var out []Learnt
	var before Learnt // what was believed before the last plate
	var plates [][]Trial
	now := p.untaught(trials)
	for i, t := range trials {
		was := len(plates)
		switch plates = byPlate(trials[:i+1]); {
		case len(plates) > was:
			before = now
		case plates[was-1][0].Ladder != t.Ladder: // of a plate further back
			before = p.untaught(trials)
			for _, plate := range plates[:was-1] {
				before.take(plate)
			}
		}
		now = before.copied()
		now.take(plates[len(plates)-1])
		out = append(out, now)
	}
	return out
}

// untaught is what is believed of p before trials, with places for all that is uncertain of them.
func (p Profile) untaught(trials []Trial) Learnt {
	l := Learnt{p: p, parts: map[partKey]int{}, instruments: map[float64]int{}, unseen: ofOthers}
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
	l.wider = map[Side]float64{Inside: disagreement(readingsOf(Inside, trials)), Outside: disagreement(readingsOf(Outside, trials))}
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
		s.nextPlate()
		l.states = append(l.states, s)
	}
	l.weigh()
	return l
}

// take takes in all that one plate showed.
func (l *Learnt) take(plate []Trial) {
	for _, s := range l.states {
		var seen []sight
		for _, t := range plate {
			seen = append(seen, l.seen(s.way, t)...)
		}
		s.see(seen)
		s.nextPlate()
	}
	l.weigh()
}

// weigh works out how likely each way is by now.
func (l *Learnt) weigh() {
	l.shares = nil
	for _, s := range l.states {
		l.shares = append(l.shares, math.Log(s.before)+s.foretold)
	}
	most := floats.LogSumExp(l.shares)
	for i, x := range l.shares {
		l.shares[i] = math.Exp(x - most)
	}
}

// copied is l with states of its own.
func (l Learnt) copied() Learnt {
	l.states = slices.Clone(l.states)
	for i, s := range l.states {
		own := *s
		own.mean, own.cov = slices.Clone(s.mean), nil
		for _, row := range s.cov {
			own.cov = append(own.cov, slices.Clone(row))
		}
		l.states[i] = &own
	}
	return l
}

// oldDiameterMM stands for the diameter of rungs that were kept without one, and of no trial at all.
const oldDiameterMM = 30.0

// byPlate are the trials by the ladder that they are of; each without one stands alone.
func byPlate(trials []Trial) [][]Trial {
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
func (l Learnt) seen(w way, t Trial) []sight {
	var out []sight
	scatter := w.wider * Scatter.MM()
	for _, r := range t.Readings {
		weights := l.plain(r.Side, r.ModelledMM)
		l.plate(weights, r.Side)
		weights[l.instruments[r.UMM]] = l.wider[r.Side]
		out = append(out, sight{weights: weights, sd: l.wider[r.Side] * scatter, at: r.off()})
	}
	for _, r := range t.Rungs {
		weights := l.shift(r)
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
func (l Learnt) shift(r SeenRung) []float64 {
	weights := l.felt(r.Side, r.use(l.p))
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
	rise, b := math.Tan(math.Pi/6), p.bead()
	depth := b.touching(rise)
	by := 2 * (b.reach(depth) - depth*rise) / rise
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
