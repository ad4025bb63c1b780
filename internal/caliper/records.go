package caliper

// This file turns a measured thread into readings, by which it is weighed what thread it is, and which a job keeps.

import (
	"fmt"
	"math"

	"tryring/internal/reading"
	"tryring/internal/thread"
)

// What a form must be known to before it is a reading.
const (
	// mostAngleU is the uncertainty of the angle between the flanks, in degrees, up to which 55 and 60 are two things.
	mostAngleU = 2.5
	// tapers is the growth of diameter over length beyond which a thread tapers; the least of the tables is 1 in 24.
	tapers = 1.0 / 32
)

// Records returns what was measured of f as readings with their uncertainties, those of one look: the diameter over the crests, the pitch,
// and of the form what is sure. scale is by how much, as a share, all lengths may be off together: a scanner's.
func (f Found) Records(scale float64) []reading.Record {
	var out []reading.Record
	add := func(what, text string) {
		out = append(out, reading.Record{What: what, Text: text, Instrument: "scan", Look: 1})
	}
	// What stands after ± is the half width of a range in which all values are alike, whose standard uncertainty is 1/sqrt 3 of it (GUM 4.3.7).
	length := func(mm, u float64) string {
		return fmt.Sprintf("%.3fmm+-%.3f", mm, max(0.001, math.Hypot(math.Sqrt(3)/expanded*u, scale*mm)))
	}
	if f.Side == "outer" {
		add("outside", length(f.MajorMM, f.UMajorMM))
	} else {
		add("bore", length(f.MinorMM, f.UMinorMM))
	}
	add("pitch", length(f.PitchMM, f.ULeadMM/float64(f.Starts)))
	// Of an angle that is none of the usual ones, wear is to be thought of first.
	if u := math.Hypot(f.UFlankDeg[0], f.UFlankDeg[1]); u < mostAngleU {
		usual := 60.0
		if f.AngleDeg < (55+60)/2.0 {
			usual = 55
		}
		switch {
		case math.Abs(f.AngleDeg-usual) < 2*u+1:
			add("angle", fmt.Sprintf("%g", usual))
		case u < 1 && f.AngleDeg > thread.MinAngleDeg && f.AngleDeg < thread.MaxAngleDeg:
			add("angle", fmt.Sprintf("%.1f", f.AngleDeg))
		}
	}
	if math.Abs(f.Taper-tapers) > f.UTaper {
		add("tapers", map[bool]string{true: "yes", false: "no"}[f.Taper > tapers])
	}
	return out
}

// Candidate is a thread that one in a file could be.
type Candidate struct {
	reading.Candidate
	// ClearanceMM is how much smaller than its basic size an outer thread is, or larger an inner one, on the pitch diameter: modelled, worn
	// or as its limits have it. Nil of a taper thread, whose gauge plane no surface tells, and of none of these.
	ClearanceMM *float64 `json:"clearance_mm,omitempty"`
}

const (
	// leastChance is that of a candidate that is told.
	leastChance = 0.01
	// modelled is how far a diameter in a file may be off as it would be cut, in mm, beside what wear may be: some are modelled at the basic
	// size, some with clearance (common practice, no published source).
	modelled = 0.2
)

// Identify weighs the threads that f could be, best first and none of these last, as what was read of a thread is weighed. What clearance
// files are modelled with, and wear, may take it out of its limits. What is larger or smaller than any thread that is read has none.
func (f Found) Identify(believed reading.Beliefs) []Candidate {
	f.UMajorMM, f.UMinorMM = math.Hypot(f.UMajorMM, modelled), math.Hypot(f.UMinorMM, modelled)
	set, err := reading.Read(f.Records(0)...)
	out := []Candidate{}
	if err != nil {
		return out
	}
	set.Worn = true
	for _, c := range believed.Identify(set).Candidates {
		one := Candidate{Candidate: c}
		if c.Thread != nil && c.Weight < leastChance {
			continue
		}
		if c.Thread != nil && !(c.Thread.Taper > 0) {
			off := told(c.Thread.Basic.Pitch.MM()-f.PitchDMM, toldPlaces)
			if f.Side != "outer" {
				off = -off
			}
			one.ClearanceMM = &off
		}
		out = append(out, one)
	}
	return out
}
