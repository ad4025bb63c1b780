package reading

// This file holds the chance that a thread is in no table. What such threads are like is learned from those of the tables, by leaving
// each family out in its turn: see TestNoneIsLearned, and TestDoubtIsLearned in internal/world.

import "math"

// Of the threads of a family, as the other families look at them:
const (
	// alikeShare have size and pitch of a thread of another, as BSW has those of UNC;
	alikeShare = 0.25
	// kinShare have the pitch of one and another diameter, by kinSpread of it (a standard deviation);
	kinShare  = 0.6
	kinSpread = 0.2
	// ownShare have any diameter and pitch, with equal chances for equal ratios.
	ownShare          = 1 - alikeShare - kinShare
	leastStrangeMM    = 4.0
	mostStrangeMM     = 100.0
	leastStrangePitch = 0.4
	mostStrangePitch  = 6.0
)

// makersOwn is the share of threads of no table that are of no family either, but some maker's own, of any diameter and pitch; common
// practice, no published source.
const makersOwn = 0.25

// looksOf is how much a thread of a series of n counts for what a thread of no table may look like. Families look like families: a
// series of hundreds is not what hundreds look like, nor quite what one does.
func looksOf(n float64) float64 { return 1 / math.Sqrt(n) }

// The shares of all diameters, and of all pitches, per that of themselves.
var (
	anyDiameter = 1 / math.Log(mostStrangeMM/leastStrangeMM)
	anyPitch    = 1 / math.Log(mostStrangePitch/leastStrangePitch)
)

// Odds of none of these that are small are smaller still among what people have, and those about a tenth are larger: to odds of 0.03,
// 0.07, 0.15 and 0.3 there came 0.01, 0.09, 0.24 and 1 threads of families left out for one of a household. So they count as the square
// of doubtful times them, the least by which few enough strangers get a name; but no odds are raised beyond mostDoubt, at which a name
// is said at three in four.
const (
	doubtful  = 5.2
	mostDoubt = 1.0 / 3
)

// odds are what the odds of none of these count as against all threads of the tables.
func (b Beliefs) odds(none float64) float64 {
	return math.Max(none, math.Min(mostDoubt, math.Pow(b.Doubtful*none, 2)))
}

// formOdds is the chance of an angle, or of a taper or none, that was seen on a thread of which nothing is known.
const formOdds = 0.5

// noneWeight is what a thread of no table weighs: the chance of what was read on it, times what is believed of it beforehand.
func (b Beliefs) noneWeight(s Set, f Found, wires []overWires) float64 {
	elsewhere, own := 1.0, ownPitchChance(s, f) // lengths that do not depend on the size
	if f.Throat != nil {
		elsewhere *= anyDiameter / f.Throat.Value
	}
	for _, g := range wires {
		elsewhere *= anyDiameter / g.m.Value
	}
	diameter, beside := f.Diameter, 1.0
	switch {
	case f.Ratio == nil:
	case f.pitchRead:
		diameter, beside = f.across(f.Pitch.Value)
	default:
		beside = anyPitch / f.Ratio.Value
	}
	own *= beside
	if diameter != nil {
		own *= anyDiameter / diameter.Value
	}
	var alike, kin float64
	near := within(s, f)
	for i, one := range b.side[s.External()] {
		if near(one.thread) {
			// A thread of rare use is not to be drowned by what may look like it.
			share := math.Min(noneShare*(1-makersOwn)*alikeShare*one.lookedAt, 2*one.prior)
			alike += share * b.candidate(s.External(), i).sizeChance(s, f, wires)
		}
		d, beside := f.across(one.thread.Pitch.MM())
		like := beside * pitchesChance(s, f, one.thread.Pitch.MM())
		if d != nil {
			basic := one.nominal(s.External())
			u := math.Hypot(kinSpread*basic, d.U)
			like *= density((d.Value-basic)/u, math.Inf(1)) / u
		}
		kin += one.lookedAt * like
	}
	chance := alike + noneShare*elsewhere*((1-makersOwn)*(kinShare*kin+ownShare*own)+makersOwn*own)
	if s.AngleDeg > 0 {
		chance *= formOdds
	}
	if s.Tapers != nil {
		chance *= formOdds
	}
	return chance
}

// ownPitchChance is that of what was read of the pitch, on a thread of any.
func ownPitchChance(s Set, f Found) float64 {
	chance := 1.0
	if f.pitchRead && f.Pitch != nil {
		chance *= anyPitch / f.Pitch.Value
		for _, l := range s.Leaves {
			chance *= l.chance(f.Pitch.Value)
		}
		return chance
	}
	for _, l := range s.Leaves {
		// The share of all pitches on which a leaf seats.
		seats := leafMistake + (1-2*leafMistake)*math.Sqrt(2*math.Pi)*UniformU(leafShare)*anyPitch
		if l.Matches {
			chance *= seats
		} else {
			chance *= 1 - seats
		}
	}
	return chance
}
