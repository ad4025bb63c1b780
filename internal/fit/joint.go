package fit

// This file judges one external thread of exact size in one internal thread of exact size.

import (
	"math"
)

// joint is a pair of exact threads, millimetres.
type joint struct {
	// taperE and taperI are changes of diameter per length.
	taperE, taperI float64
	pitchE, pitchI float64
	starts         int
	// unlike is set where a flank of the one has another angle than that of the other.
	unlike bool
	// depth is the full depth of the shallower basic form, on the radius.
	depth float64
	// engaged is the length of engagement of straight threads, useful that of a taper one.
	engaged float64
	// open is set where nobody said how long straight threads engage.
	open bool
	// handTight are the turns to hand-tight by the standard of the taper thread; 0 for straight pairs.
	handTight float64
}

// cause is what stops or limits a pair.
type cause int

const (
	byNothing cause = iota
	byFlanks
	byPitch
	byCrest
	byRoot
	byAngle
)

// outcome is what the geometry of one joint gives, millimetres.
type outcome struct {
	verdict Verdict
	room    room
	// pitchClearance is on the diameter, at the face.
	pitchClearance float64
	// engagement is in percent of full depth.
	engagement float64
	// cause is what meets first.
	cause cause
	// turns before no axial position is left, +Inf when that never comes; on tapers the turns to hand-tight.
	turns float64
	// left is what remains of the axial play at the end of the engaged turns.
	left float64
	// spare is by how much the internal thread could be smaller, on the diameter, with a position still free; below zero
	// the overlap. Only straight threads have it.
	spare float64
}

// drift is by how much a turn moves the ridge in the groove because the leads differ.
func (j joint) drift() float64 { return float64(j.starts) * math.Abs(j.pitchE-j.pitchI) }

// lead is the advance of a turn.
func (j joint) lead() float64 { return float64(j.starts) * j.pitchI }

// tapered reports whether one of the two is a taper thread.
func (j joint) tapered() bool { return j.taperE > 0 || j.taperI > 0 }

// pair are two forms to be judged, their clearance on the pitch diameter, and how much larger than the forms say the
// internal radii are.
type pair struct {
	e, i             form
	clearance, wider float64
}

// verdict judges p by the figures of figures.go.
func (j joint) verdict(p pair) (Verdict, cause) {
	v, c := Verdict(""), byNothing
	if j.tapered() {
		v, c = j.taperVerdict(p)
	} else {
		v, c = j.straightVerdict(p)
	}
	if v == Binds && (p.i.major+p.wider-p.e.minor)/j.pitchI < StartTurns {
		v = WillNotStart
	}
	return v, c
}

// engagement returns the flank engagement in percent of full depth.
func (j joint) engagement(p pair) float64 {
	overlap := math.Min(p.e.major, p.i.major+p.wider) - math.Max(p.e.minor, p.i.minor+p.wider)
	return 100 * math.Max(0, math.Min(1, overlap/j.depth))
}

func (j joint) straightVerdict(p pair) (Verdict, cause) {
	free, c := j.runs(p, -Touch.MM())
	if !free {
		return Binds, c
	}
	if p.clearance+2*p.wider > j.looseAbove() || j.engagement(p) < LooseBelowPercent {
		return Loose, byNothing
	}
	if free, c = j.runs(p, SnugBelow.MM()); !free {
		return Snug, c
	}
	return Goes, byNothing
}

// looseAbove is the clearance from which on a pair is loose.
func (j joint) looseAbove() float64 { return max(LooseAbove.MM(), LooseAbovePitches*j.pitchI) }

// holds is the chance that p, with the verdict v, can be turned together by hand and holds.
func (j joint) holds(p pair, v Verdict) float64 {
	switch {
	case v.Usable():
		return 1
	case v != Loose || j.tapered():
		return 0
	}
	flanks := (j.engagement(p) - NoHoldBelowPercent) / (LooseBelowPercent - NoHoldBelowPercent)
	depth := 2 * j.depth
	room := (depth - p.clearance - 2*p.wider) / max(depth-j.looseAbove(), sameRadiusMM)
	return max(0, min(1, flanks, room))
}

// thin says of a pair that binds by its pitch in a joint of unknown length in which share of the lengths that it may have it does not.
func (j joint) thin(p pair, v Verdict, c cause) float64 {
	if v != Binds || c != byPitch || !j.open {
		return 0
	}
	within := roomIn(p.e, p.i, p.wider+Touch.MM()/2).play() / j.drift() * j.lead() / j.engaged
	return max(0, min(1, (within-ThinShare)/(1-ThinShare)))
}

// runs reports whether straight threads still have a free axial position over all engaged turns with the internal diameters
// smaller by less, and what meets if not.
func (j joint) runs(p pair, less float64) (bool, cause) {
	r := roomIn(p.e, p.i, p.wider-less/2)
	switch {
	case r.play() < -sameRadiusMM:
		return false, byFlanks
	case r.play()-j.engaged/j.lead()*j.drift() < -sameRadiusMM:
		return false, byPitch
	case r.crest < -sameRadiusMM:
		return false, byCrest
	case r.root < -sameRadiusMM:
		return false, byRoot
	}
	return true, byNothing
}

// outcome judges p and works out the figures that explain it.
func (j joint) outcome(p pair) outcome {
	o := outcome{
		room: roomIn(p.e, p.i, p.wider), pitchClearance: p.clearance + 2*p.wider,
		engagement: j.engagement(p), turns: math.Inf(1), left: math.Inf(1),
	}
	o.verdict, o.cause = j.verdict(p)
	switch {
	case o.verdict == WillNotStart:
		o.turns = 0
	case j.tapered():
		o.turns, o.cause = j.handTightTurns(p, o.cause)
		return o
	}
	o.spare = j.spare(p)
	play := math.Max(0, o.room.play())
	o.left = play - j.engaged/j.lead()*j.drift()
	switch {
	case o.verdict == Binds && o.cause != byPitch:
		o.turns = 0
	case o.verdict != WillNotStart && j.drift() > negligibleDriftMM:
		o.turns = play / j.drift()
	}
	return o
}

// negligibleDriftMM is a drift a turn below which two leads are the same: float64 noise of 25.4/n against decimals of
// millimetres written to six places.
const negligibleDriftMM = 1e-6

// halvings bring an interval of a whole part below a nanometre.
const halvings = 40

// spare is the largest less for which runs holds.
func (j joint) spare(p pair) float64 {
	// Wider by the whole of both diameters nothing meets; smaller by as much nothing is free.
	highest := 2 * (p.e.major + p.i.major)
	lowest := -highest
	for range halvings {
		middle := (lowest + highest) / 2
		if free, _ := j.runs(p, middle); free {
			lowest = middle
		} else {
			highest = middle
		}
	}
	return lowest
}

// sameAngleRad is how far flank angles may differ and be the same: a fifth of a degree, inside what a gauge shows.
const sameAngleRad = 0.2 * math.Pi / 180

// newJoint puts together what both threads say; engaged overrides the length of engagement when above 0.
func newJoint(e, i sized, engaged float64) joint {
	lowerE, upperE := e.Form.Flanks()
	lowerI, upperI := i.Form.Flanks()
	j := joint{
		taperE: e.Taper, taperI: i.Taper, pitchE: e.Pitch.MM(), pitchI: i.Pitch.MM(), starts: i.Starts,
		unlike: math.Max(math.Abs(lowerE-lowerI), math.Abs(upperE-upperI)) > sameAngleRad,
		depth:  math.Min(float64(e.Basic.Major-e.Basic.Minor), float64(i.Basic.Major-i.Basic.Minor)) / 2,
	}
	a, _ := e.Thread.Engagement()
	b, _ := i.Thread.Engagement()
	switch {
	case e.useful > 0:
		j.engaged = e.useful.MM()
	case i.useful > 0:
		j.engaged = i.useful.MM()
	default:
		j.engaged = math.Min(a.MM(), b.MM())
	}
	if !(j.engaged > 0) {
		j.engaged = DefaultEngagedPitches * j.pitchI
	}
	j.open = !j.tapered()
	if engaged > 0 {
		j.engaged, j.open = engaged, false
	}
	if taper := max(e.GaugeLength, i.GaugeLength); taper > 0 && e.Taper+i.Taper > 0 {
		j.handTight = taper.MM() / j.lead()
	}
	return j
}
