package reading

// This file holds the chance of readings given a thread: its limits of size blurred by the uncertainty of the reading.

import (
	"math"
	"slices"

	"tryring/internal/thread"
)

// How true threads are to their standard; common practice, no published source.
const (
	// outOfLimits is the share of threads that lie outside their limits of size, by up to looseMM on either side: what makers get
	// wrong is a matter of their tools, not of how wide a standard is.
	outOfLimits = 0.1
	looseMM     = 0.15
	// wornShare is the share of worn threads that the wear takes past the limit, by up to allowance and tolerance again and
	// at least looseMM, toward less metal only.
	wornShare = 0.5
	// PitchShare is the standard uncertainty of a made pitch, as a share of the pitch.
	PitchShare = 0.002
	// angleMistake is the chance that 55 and 60 degrees are taken for each other.
	angleMistake = 0.05
	// taperMistake is the chance that a taper of 1 in 16 is missed, or seen where there is none.
	taperMistake = 0.05
	// steadyMistake is that of either where no hand held the tool.
	steadyMistake = 0.002
	// throatSpreadMM is the standard deviation of throats about the usual one; usualThroat the share of parts that have
	// about the usual one.
	throatSpreadMM = 1.0
	usualThroat    = 0.7
)

// piece is a range in which a true size lies with equal density, or a point, the share of belief that it does, and the standard
// deviation by which it spreads about that.
type piece struct{ low, high, share, spread float64 }

// sizes is where the diameter of c may truly lie.
func (c candidate) sizes(s Set) []piece {
	tolerance := c.high - c.low
	pieces := limited(c.low, c.high, looseMM)
	if !s.Worn && !s.coated {
		return pieces
	}
	for i := range pieces {
		pieces[i].share *= 1 - wornShare
	}
	if s.External() == s.Worn { // it reads smaller
		wear := math.Max(looseMM, tolerance+math.Max(0, c.basic-c.high))
		return append(pieces, piece{c.low - wear, c.high, wornShare, 0})
	}
	wear := math.Max(looseMM, tolerance+math.Max(0, c.low-c.basic))
	return append(pieces, piece{c.low, c.high + wear, wornShare, 0})
}

// limited is where a size lies whose limits makers miss by so much.
func limited(low, high, missed float64) []piece {
	return []piece{{low, high, 1 - outOfLimits, 0}, {low - missed, high + missed, outOfLimits, 0}}
}

// blurred is the density of reading e when the true size lies in one of pieces.
func blurred(e Estimate, pieces []piece) float64 {
	var sum float64
	for _, p := range pieces {
		sum += p.share * blurredPiece(e, p)
	}
	return sum
}

func blurredPiece(e Estimate, p piece) float64 {
	width, u := p.high-p.low, math.Hypot(e.U, p.spread)
	if width < u*sharpWidth {
		return density((e.Value-(p.low+p.high)/2)/u, e.DOF) / u
	}
	return between((e.Value-p.high)/u, (e.Value-p.low)/u, e.DOF) / width
}

// sharpWidth is the width of a range, in standard uncertainties, below which it counts as a point: the density then
// differs by less than 1 part in 10^5.
const sharpWidth = 0.01

// madePitch is where the pitch of a thread of the given one lies.
func madePitch(mm float64) []piece { return []piece{{mm, mm, 1, PitchShare * mm}} }

// angleChance is the chance of an angle read by leaf, on a thread of the given angle.
func angleChance(read float64, t thread.Thread) float64 {
	if math.Abs(t.Form.AngleDeg()-read) < 1 {
		return 1 - angleMistake
	}
	return angleMistake
}

// taperChance is the chance of what was seen of a taper, on t.
func taperChance(seen bool, t thread.Thread) float64 {
	if seen == (t.Taper > 0) {
		return 1 - taperMistake
	}
	return taperMistake
}

// formChance is the chance of an angle or a taper that was seen, which is as likely for a hand.
func (s Set) formChance(hand float64) float64 {
	switch {
	case s.byHand():
		return hand
	case hand < 0.5:
		return steadyMistake
	}
	return 1 - steadyMistake
}

// throats is where the throat of c lies: about its usual one, where there is one, or anywhere below its minor diameter.
func (c candidate) throats() []piece {
	minor := c.thread.Basic.Minor.MM()
	pieces := []piece{{0.3 * minor, minor, 1, 0}}
	usual := slices.DeleteFunc(slices.Clone(c.uses), func(u thread.Use) bool { return !(u.Throat > 0) })
	for _, use := range usual {
		pieces[0].share = 1 - usualThroat
		pieces = append(pieces, piece{use.Throat.MM(), use.Throat.MM(), usualThroat / float64(len(usual)), throatSpreadMM})
	}
	return pieces
}

// overWires is where a length over such wires on c lies; nil where no limits of its pitch diameter are known.
func (c candidate) overWires(wire float64) []piece {
	if c.pitchHigh <= 0 {
		return nil
	}
	over := func(pitchDia float64) float64 {
		return OverWires(pitchDia, c.thread.Pitch.MM(), wire, c.thread.Form.FlankRad)
	}
	return limited(over(c.pitchLow), over(c.pitchHigh), math.Max(looseMM, c.pitchHigh-c.pitchLow))
}

// chance is the chance, or the density, of all that was read, given c.
func (c candidate) chance(s Set, f Found, wires []overWires) float64 {
	chance := c.sizeChance(s, f, wires)
	if s.AngleDeg > 0 {
		chance *= s.formChance(angleChance(s.AngleDeg, c.thread))
	}
	if s.Tapers != nil {
		chance *= s.formChance(taperChance(*s.Tapers, c.thread))
	}
	return chance
}

// sizeChance is that of all but the form of the thread.
func (c candidate) sizeChance(s Set, f Found, wires []overWires) float64 {
	pitch := c.thread.Pitch.MM()
	diameter, beside := f.across(pitch)
	chance := beside * pitchesChance(s, f, pitch)
	if diameter != nil {
		chance *= blurred(*diameter, c.sizes(s))
	}
	if f.Throat != nil {
		chance *= blurred(*f.Throat, c.throats())
	}
	for _, g := range wires {
		if where := c.overWires(g.wire); where != nil {
			chance *= blurred(g.m, where)
		}
	}
	return chance
}

// pitchesChance is that of all that was read of the pitch, on a thread of the given one.
func pitchesChance(s Set, f Found, pitch float64) float64 {
	chance := 1.0
	if f.pitchRead && f.Pitch != nil {
		chance *= blurred(*f.Pitch, madePitch(pitch))
	}
	for _, l := range s.Leaves {
		chance *= l.chance(pitch)
	}
	return chance
}
