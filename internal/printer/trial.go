package printer

// This file says what trials show: how likely each outcome of a rung, and each caliper reading, is on a printer of given
// offsets.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// Side is which of a print's diameters is meant.
type Side string

// The sides: Inside is the thread inside a ring (Profile.InsideTakes), Outside that outside it (Profile.OutsideAdds). A Pair
// is a plug and a ring of one print, which show the sum of the two and no more.
const (
	Inside  Side = "inside"
	Outside Side = "outside"
	Pair    Side = "pair"
)

// Outcome is what happened when a rung met its mating part.
type Outcome string

// The outcomes, from no room to too much.
const (
	DoesNotStart Outcome = "does not start"
	Snug         Outcome = "snug"
	Goes         Outcome = "goes"
	// Rattles is goes, with more play than any standard pair has.
	Rattles Outcome = "rattles"
)

// Outcomes lists them.
var Outcomes = []Outcome{DoesNotStart, Snug, Goes, Rattles}

// ParseOutcome reads an outcome as people write it.
func ParseOutcome(text string) (Outcome, error) {
	plain := Outcome(strings.Join(strings.Fields(strings.ToLower(text)), " "))
	if slices.Contains(Outcomes, plain) {
		return plain, nil
	}
	return "", fmt.Errorf(`%q is no outcome; it is one of "does not start", "snug", "goes", "rattles"`, text)
}

// Where the outcomes divide, as clearance at the pitch line on the diameter: the same figures by which fit judges.
const (
	// StartsAbove is the clearance above which a rung can be turned on at all, FreeAbove that above which it runs free.
	StartsAbove = -0.013 * unit.Millimetre
	FreeAbove   = 0.03 * unit.Millimetre
	// RattlesAbovePitches is the clearance above which it rattles, as a multiple of the pitch, and RattlesAbove the least
	// that does.
	RattlesAbovePitches = 0.36
	RattlesAbove        = 0.1 * unit.Millimetre
)

// What makes outcomes uncertain even when the offset is known. Common practice, no published source.
const (
	// Scatter is the standard deviation of one print's diameter from the next, on one machine with one material.
	Scatter = 0.02 * unit.Millimetre
	// feelMM is how far a hand that calls a rung snug or free errs from one rung to the next, mm.
	feelMM = 0.015
	// handMM is how far one hand errs on all rungs alike, mm.
	handMM = 0.01
	// lapse is the share of outcomes that are mixed up or written to the wrong rung, one in 200.
	lapse = 0.005
)

// Part is a mating part that rungs were tried on. Plug and ring of a Pair have none but each other: such a part only names
// them, and leaves no room.
type Part struct {
	Name string `toml:"name"`
	Side Side   `toml:"side"`
	// LeastMM and MostMM are the room that the part surely leaves, or takes when below zero, beside a part of basic size:
	// basic pitch diameter less that of an external part, or that of an internal part less the basic one.
	LeastMM float64 `toml:"least_mm"`
	MostMM  float64 `toml:"most_mm"`
	// UMM is the standard uncertainty of both.
	UMM float64 `toml:"u_mm"`
}

// SeenRung is what one rung did.
type SeenRung struct {
	Side Side   `toml:"side"`
	Part string `toml:"part"`
	Rung string `toml:"rung"`
	// ModelledMM is the clearance against the basic size that the file has, before the printer adds and takes.
	ModelledMM float64 `toml:"modelled_mm"`
	PitchMM    float64 `toml:"pitch_mm"`
	Outcome    Outcome `toml:"outcome"`
}

// SeenReading is one diameter of a printed part, as modelled and as read.
type SeenReading struct {
	Side       Side    `toml:"side"`
	ModelledMM float64 `toml:"modelled_mm"`
	MeasuredMM float64 `toml:"measured_mm"`
	// UMM is the standard uncertainty of the instrument.
	UMM float64 `toml:"u_mm"`
}

// off is the offset that r shows: what an outside diameter has grown by, or an inside one has lost.
func (r SeenReading) off() float64 {
	if r.Side == Inside {
		return r.ModelledMM - r.MeasuredMM
	}
	return r.MeasuredMM - r.ModelledMM
}

// Trial is what happened at one time.
type Trial struct {
	// Date and Note are in the person's own words; no clock is asked.
	Date     string        `toml:"date,omitempty"`
	Note     string        `toml:"note,omitempty"`
	Ladder   string        `toml:"ladder,omitempty"`
	Parts    []Part        `toml:"parts,omitempty"`
	Rungs    []SeenRung    `toml:"rungs,omitempty"`
	Readings []SeenReading `toml:"readings,omitempty"`
}

// touches reports whether t tells of a side.
func (t Trial) touches(s Side) bool {
	return slices.ContainsFunc(t.Rungs, func(r SeenRung) bool { return r.Side == s || r.Side == Pair }) ||
		slices.ContainsFunc(t.Readings, func(r SeenReading) bool { return r.Side == s })
}

// spread is the standard deviation of what one rung of a side shows, mm: that of one print, or of the two of a pair, and of
// the hand.
func (s Side) spread() float64 {
	if s == Pair {
		return math.Hypot(math.Sqrt2*Scatter.MM(), feelMM)
	}
	return math.Hypot(Scatter.MM(), feelMM)
}

// chance is the chance of outcome o at a clearance of mm in the mean. Goes includes rattles: a person may call a ring that
// rattles one that goes.
func (o Outcome) chance(mm, pitchMM, spread float64) float64 {
	above := func(limit float64) float64 { return distuv.UnitNormal.CDF((mm - limit) / spread) }
	var p float64
	switch o {
	case DoesNotStart:
		p = 1 - above(StartsAbove.MM())
	case Snug:
		p = above(StartsAbove.MM()) - above(FreeAbove.MM())
	case Goes:
		p = above(FreeAbove.MM())
	case Rattles:
		p = above(max(RattlesAbove.MM(), RattlesAbovePitches*pitchMM))
	}
	return (1-lapse)*p + lapse/3
}
