package fit

// This file holds the verdicts and, in one place, the figures that divide them.

import "tryring/internal/unit"

// Verdict says how two threads go together.
type Verdict string

// The verdicts, from none to too much room.
const (
	// WillNotStart: unlike hand or starts, or so far over size that not a quarter turn meets.
	WillNotStart Verdict = "will not start"
	// Binds: the threads overlap before they are turned in; a taper thread wedges too soon.
	Binds Verdict = "binds"
	// Snug: they turn in all the way, with less room than a standard leaves for free running.
	Snug Verdict = "snug"
	// Goes: they turn in freely by hand.
	Goes Verdict = "goes"
	// Loose: they hold by less than half of the thread, or rattle more than any standard pair.
	Loose Verdict = "loose"
)

// Verdicts lists them in the order of rising clearance.
var Verdicts = []Verdict{WillNotStart, Binds, Snug, Goes, Loose}

// Usable reports whether two threads with this verdict can surely be turned together by hand and hold: snug and goes. A loose
// pair can be pushed or turned together, and may or may not hold: see joint.holds.
func (v Verdict) Usable() bool { return v == Snug || v == Goes }

// The figures that divide the verdicts.
const (
	// Touch is the overlap on the diameter that still counts as touching: the published limits are rounded to 0.001 in
	// at the coarsest (half of that is 0.013 mm), and a hand presses as much into plastic or brass. More than this binds.
	Touch unit.Length = 0.013
	// SnugBelow is the pitch-diameter clearance, less what a pitch difference uses up over the engaged turns, below which
	// a pair is snug: about the allowance that class 2A of ASME B1.1 and position g of ISO 965-1 keep for free running
	// at the sizes of fixtures (0.028 to 0.048 mm).
	SnugBelow unit.Length = 0.03
	// LooseAbovePitches is the pitch-diameter clearance, as a multiple of the pitch, above which a pair is loose: from 1 mm
	// pitch on, the worst pair of 2A in 2B or 6g in 6H that its standard passes leaves less.
	LooseAbovePitches = 0.36
	// LooseAbove is the least clearance that makes a pair loose for its sake: below, no hand feels a rattle, and the
	// tolerances of the finest pitches, which shrink less than the pitches, leave about as much.
	LooseAbove unit.Length = 0.1
	// LooseBelowPercent is the flank engagement, as a percentage of full depth, below which a pair is loose. Half depth
	// is where common practice (no published source) sees a tapped hole as spoiled.
	LooseBelowPercent = 50
	// NoHoldBelowPercent is the flank engagement at which a loose pair surely holds no more; so it is at a clearance as large as the
	// thread is deep, at which equal forms pass each other. From what standard pairs have, which holds, to there the chance of
	// holding falls evenly: nobody says from which share on a thread holds (common practice, no published source).
	NoHoldBelowPercent = 25
	// StartTurns is the part of a turn in which the countersunk mouth and the chamfered end have to meet for a thread to
	// start; both chamfers are taken at 45 degrees over the full depth. A quarter turn is what a wrist gives at once.
	StartTurns = 0.25
	// TaperShort is how many turns a taper joint may fall short of its standard hand-tight engagement and still go: the
	// tolerance of one turn that ASME B1.20.1 and ISO 7-1 (about) allow on the gauge plane of one part. Up to twice that
	// is snug, beyond it binds.
	TaperShort = 1.0
	// ThinShare is the share of a thread's length of engagement that a thin part has, as thin nuts are half as high as others (ISO 4035
	// beside ISO 4032, from memory). Where no length is given, any from there to the whole may be what is turned together.
	ThinShare = 0.5
	// DefaultEngagedPitches is the length of engagement where no other is known.
	DefaultEngagedPitches = 7
)
