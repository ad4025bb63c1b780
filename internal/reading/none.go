package reading

// This file holds the chance that a thread is in no table. What such threads are like is learned from those of the tables, by leaving
// each family out in its turn: see TestNoneIsLearned, and TestDoubtIsLearned in internal/world.

import "math"

// Of threads of no table, as families look at one that is left out, a quarter some maker's own:
const (
	// alikeShare have size and pitch of a thread of another, as BSW has those of UNC;
	alikeShare = 0.1875
	// kinShare have the pitch of one and another diameter, by kinSpread of it (a standard deviation); all others have any.
	kinShare  = 0.45
	kinSpread = 0.2
)

// looksOf is how much a thread of a series of n counts for what a thread of no table may look like. Families look like families: a
// series of hundreds is not what hundreds look like, nor quite what one does.
func looksOf(n float64) float64 { return 1 / math.Sqrt(n) }

// The shares of all diameters, 4 to 100 mm, and of all pitches, 0.4 to 6 mm, per that of themselves: equal ratios have equal chances.
var (
	anyDiameter = 1 / math.Log(100/4.0)
	anyPitch    = 1 / math.Log(6/0.4)
)

// doubtful is what odds of none of these are multiplied by before they are squared: the least by which few enough strangers get a name.
const doubtful = 5.2

// odds are what the odds of none of these count as against all threads of the tables. To odds of 0.03, 0.07, 0.15 and 0.3 there came 0.01,
// 0.09, 0.24 and 1 threads of families left out for one of a household: the odds of strangers grow as a square. So they are raised to one
// where that is more, up to a third, by which a name is said at three in four.
func (b Beliefs) odds(none float64) float64 {
	return math.Max(none, math.Min(1.0/3, math.Pow(b.Doubtful*none, 2)))
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
			share := math.Min(noneShare*alikeShare*one.lookedAt, 2*one.prior)
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
	chance := alike + noneShare*elsewhere*(kinShare*kin+(1-alikeShare-kinShare)*own)
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
	// The share of all pitches on which a leaf seats.
	seats := leafMistake + (1-2*leafMistake)*math.Sqrt(2*math.Pi)*UniformU(leafShare)*anyPitch
	chance, read := 1.0, f.pitchRead && f.Pitch != nil
	if read {
		chance = anyPitch / f.Pitch.Value
	}
	for _, l := range s.Leaves {
		switch {
		case read:
			chance *= l.chance(f.Pitch.Value)
		case l.Matches:
			chance *= seats
		default:
			chance *= 1 - seats
		}
	}
	return chance
}
