package reading

// This file holds which unit the figures of a file are meant in, where the file does not say: the one in which they name a thread.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// How near to a thread of the tables measured figures name it, for its unit alone: common practice, no published source. The sizes of
// one unit lie far off those of another.
const (
	namedPitch  = 0.01 // share of the pitch
	namedSize   = 0.04 // share of the diameter
	namedSizeMM = 0.6  // beside that: clearance and compensation, as printed parts are modelled with
	// finestMM is a pitch below which nobody cuts or models a thread in mm: the finest of ISO 261 is 0.2 mm.
	finestMM = 0.15
)

// Measured are the figures of a thread, mm.
type Measured struct{ MajorMM, PitchMM float64 }

// UnitQuestion asks whether a file is in another unit than the one taken.
type UnitQuestion struct {
	// Text says what the figures would be in that unit.
	Text string `json:"text"`
	// Unit is "mm" or "in".
	Unit string `json:"unit"`
	// Designation is a thread that they name then; empty when they only make more sense.
	Designation string `json:"designation"`
}

// AskUnit says what the threads of a file would be, were it in inches where mm are taken, or the other way about; nil where the unit
// taken names a thread, or the other one does not.
func AskUnit(tables *thread.Tables, threads []Measured, inches bool) *UnitQuestion {
	q, scale, words := UnitQuestion{Unit: "in"}, unit.MMPerInch, "in inches"
	if inches {
		q.Unit, scale, words = "mm", 1/unit.MMPerInch, "in mm"
	}
	for _, m := range threads {
		if named(tables, m) != nil {
			return nil
		}
	}
	for _, m := range threads {
		meant := Measured{m.MajorMM * scale, m.PitchMM * scale}
		if t := named(tables, meant); t != nil {
			q.Designation = t.WithClass("")
			q.Text = fmt.Sprintf("%s this is %s", words, q.Designation)
			return &q
		}
		if !inches && m.PitchMM < finestMM && meant.PitchMM >= finestMM {
			q.Text = fmt.Sprintf("%s this is %.3f in, %.1f to the inch", words, m.MajorMM, 1/m.PitchMM)
		}
	}
	if q.Text == "" {
		return nil
	}
	return &q
}

// named is the thread of the tables that figures are nearest to, nil where none is near.
func named(tables *thread.Tables, m Measured) (nearest *thread.Thread) {
	least := math.Inf(1)
	for _, t := range tables.All() {
		pitch := math.Abs(m.PitchMM/t.Pitch.MM() - 1)
		size := math.Abs(m.MajorMM - t.Basic.Major.MM())
		if pitch > namedPitch || size > namedSizeMM+namedSize*t.Basic.Major.MM() {
			continue
		}
		if off := pitch/namedPitch + size/(namedSizeMM+namedSize*t.Basic.Major.MM()); off < least {
			nearest, least = &t, off
		}
	}
	return nearest
}
