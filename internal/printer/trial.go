package printer

// This file says what a trial of a printer is: what rungs did on their mating parts, and what a caliper read of prints.

import (
	"errors"
	"fmt"
	"slices"
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

// Part is a mating part that rungs were tried on. Plug and ring of a Pair have none but each other: such a part only names
// them, and leaves no room.
type Part struct {
	Name string `json:"name"`
	Side Side   `json:"side"`
	// LeastMM and MostMM are the room that the part surely leaves, or takes when below zero, beside a part of basic size:
	// basic pitch diameter less that of an external part, or that of an internal part less the basic one.
	LeastMM float64 `json:"least_mm"`
	MostMM  float64 `json:"most_mm"`
	// UMM is the standard uncertainty of both.
	UMM float64 `json:"u_mm"`
}

// SeenRung is what one rung did.
type SeenRung struct {
	Side Side   `json:"side"`
	Part string `json:"part"`
	Rung string `json:"rung"`
	// ModelledMM is the clearance against the basic size that the file has, before the printer adds and takes.
	ModelledMM float64 `json:"modelled_mm"`
	PitchMM    float64 `json:"pitch_mm"`
	// DiameterMM is the basic pitch diameter, LayersMM how much tighter the layers make the pitch line by their shape alone
	// (Profile.Layers; of a pair on both sides); 0 where they were not kept.
	DiameterMM float64 `json:"diameter_mm,omitempty"`
	LayersMM   float64 `json:"layers_mm,omitempty"`
	// FromTop says that the part went in from the end that was printed on top, where no first layer closes the entry.
	FromTop bool `json:"from_top,omitempty"`
	Outcome Felt `json:"outcome"`
}

// SeenReading is one diameter of a printed part, as modelled and as read.
type SeenReading struct {
	Side       Side    `json:"side"`
	ModelledMM float64 `json:"modelled_mm"`
	MeasuredMM float64 `json:"measured_mm"`
	// UMM is the standard uncertainty of the instrument.
	UMM float64 `json:"u_mm"`
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
	Date string `json:"date,omitempty"`
	Note string `json:"note,omitempty"`
	// Ladder is the file of the ladder, BuiltFor the printer that its rungs were made for, "" where it is not known.
	Ladder   string `json:"ladder,omitempty"`
	BuiltFor string `json:"built_for,omitempty"`
	// LayerMM is the layer height of the print; 0 where it was not kept, and then it is the profile's.
	LayerMM  float64       `json:"layer_mm,omitempty"`
	Parts    []Part        `json:"parts,omitempty"`
	Rungs    []SeenRung    `json:"rungs,omitempty"`
	Readings []SeenReading `json:"readings,omitempty"`
}

// touches reports whether t tells of a side.
func (t Trial) touches(s Side) bool {
	return slices.ContainsFunc(t.Rungs, func(r SeenRung) bool { return r.Side == s || r.Side == Pair }) ||
		slices.ContainsFunc(t.Readings, func(r SeenReading) bool { return r.Side == s })
}

// The ranges of what a trial may say, mm: wide ones, that catch a wrong unit.
const (
	mostClearanceMM = 4.0
	mostRoomMM      = 0.8
	mostDiameterMM  = 300.0
	mostPitchMM     = 30.0
	mostOffMM       = 1.0
)

// Validate reports all that is wrong with t at once.
func (t Trial) Validate() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	within := func(what string, x, low, high float64) {
		if !(x >= low && x <= high) { // NaN is outside every range
			fault("%s is %v mm; it lies between %v and %v", what, x, low, high)
		}
	}
	side := func(s Side, sides ...Side) {
		if !slices.Contains(sides, s) {
			fault("side is %q; it is one of %q", s, sides)
		}
	}
	if len(t.Rungs)+len(t.Readings) == 0 {
		fault("nothing was tried: it has neither rungs nor readings")
	}
	within("the layer height", t.LayerMM, 0, mostPitchMM)
	parts := map[string]bool{}
	for _, p := range t.Parts {
		side(p.Side, Inside, Outside, Pair)
		within("the part's room", p.LeastMM, -mostRoomMM, mostRoomMM)
		within("the part's room", p.MostMM, p.LeastMM, mostRoomMM)
		within("the part's uncertainty", p.UMM, 0, mostRoomMM/4)
		parts[string(p.Side)+p.Name] = true
	}
	for _, r := range t.Rungs {
		side(r.Side, Inside, Outside, Pair)
		within("rung "+r.Rung+": the modelled clearance", r.ModelledMM, -mostClearanceMM, mostClearanceMM)
		within("rung "+r.Rung+": the pitch", r.PitchMM, 0, mostPitchMM)
		within("rung "+r.Rung+": the diameter", r.DiameterMM, 0, mostDiameterMM)
		within("rung "+r.Rung+": what layers do", r.LayersMM, 0, mostClearanceMM)
		if !r.Outcome.said() {
			fault("rung %s: its outcome is missing; %s", r.Rung, feltWanted)
		}
		if !parts[string(r.Side)+r.Part] {
			fault("rung %s: its part %q is not described", r.Rung, r.Part)
		}
	}
	for _, r := range t.Readings {
		side(r.Side, Inside, Outside)
		within("the modelled diameter", r.ModelledMM, 0.5, mostDiameterMM)
		within("the measured diameter", r.MeasuredMM, r.ModelledMM-mostOffMM, r.ModelledMM+mostOffMM)
		within("the instrument's uncertainty", r.UMM, 0, 1)
	}
	return errors.Join(faults...)
}
