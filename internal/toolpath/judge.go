package toolpath

// This file judges what a printer makes of a path against a mate of basic size.

import (
	"fmt"
	"math"

	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Printed is a thread as a printer makes it of the path.
type Printed struct {
	Wall
	// Printed is what is felt with what the printer adds or takes as well, PrintedU its standard uncertainty on the pitch diameter.
	Printed  thread.Diameters `json:"printed"`
	PrintedU unit.Length      `json:"printed_u_mm"`
	// Left is the clearance of what is printed.
	Left unit.Length `json:"clearance_printed_mm"`
	// Verdict is that of what is printed, Chance the chance that it goes, by that uncertainty.
	Verdict fit.Verdict `json:"verdict"`
	Chance  float64     `json:"chance"`
	Why     string      `json:"why"`
}

const (
	// pitchTol is how far the pitch of loops may lie from that of the mate, as a part of it, and they still be the same thread, scaled.
	pitchTol = 0.03
	// turnedMM is by how much nearer a thread lies to where it would stand turned over; chamfered layers are counted or not.
	turnedMM = 1
	// otherMM is the length of lines that a thread's space may hold: the end of a seam, a drop.
	otherMM = 5
	// missingPerMM are the steps of a millimetre in which more clearance is proposed.
	missingPerMM = 20
)

// By judges the thread as a printer makes it, which is the path with round beads but for what these do to the flanks: the printer's layers
// take their place.
func (w Wall) By(p printer.Profile) Printed {
	side := printer.Inside
	if w.of.External {
		side = printer.Outside
	}
	p.Layer = w.layer
	made := p.Makes(w.of.Thread, side)
	p.Process, p.Bead = printer.Filament, nil
	path, own := p.Layers(w.of.Thread, side), made.On(thread.Diameters{})
	toward := unit.Length(w.of.toward())
	own.Major, own.Pitch, own.Minor = own.Major-toward*path.Major, own.Pitch-toward*path.Pitch, own.Minor-toward*path.Minor
	out := Printed{Wall: w, PrintedU: made.Pitch.U, Verdict: fit.Binds}
	out.Printed, out.Left = w.On(own)
	out.judge()
	return out
}

// judge tells the verdict.
func (d *Printed) judge() {
	if d.Other() {
		d.Why = fmt.Sprintf("its loops climb %s a pitch and the mate %s", d.Pitch, d.of.Pitch)
		return
	}
	own, mate := d.of.Thread, d.of.Thread
	own.Hand = d.Hand
	e, i, opt := own, mate, fit.Options{External: fit.Side{Given: &d.Printed, U: d.PrintedU}, Internal: fit.Side{Given: &mate.Basic}}
	if !d.of.External {
		e, i, opt.External, opt.Internal = i, e, opt.Internal, opt.External
	}
	r, err := fit.Judge(e, i, opt)
	switch {
	case err != nil: // no such section can be
		d.Why = "the beads of neighbouring ridges close the groove"
	case r.Verdict.Usable() && d.Left < -fit.Touch && mate.Taper <= 0:
		d.Why, d.Chance = fmt.Sprintf("its beads overlap the mate by %s", -d.Left), r.Chance
	default:
		d.Verdict, d.Why, d.Chance = r.Verdict, r.Why, r.Chance
	}
}

// Goes says that the mate goes on, freely or too freely.
func (d Printed) Goes() bool { return d.Verdict.Usable() || d.Verdict == fit.Loose }

// Missing is what the clearance lacks so that it goes, mm, in steps of a twentieth: 0 for nothing, infinite for another thread.
func (d Printed) Missing() (mm float64) {
	if d.Other() {
		return math.Inf(1)
	}
	return max(0, math.Ceil((fit.SnugBelow-d.Left).MM()*missingPerMM)/missingPerMM)
}

// On says what a mate feels where a printer makes each diameter that a mate feels of its layers, the path's own doing, larger by own, and
// what it is left. It is the tightest of the three diameters that moves.
func (w Wall) On(own thread.Diameters) (printed thread.Diameters, left unit.Length) {
	printed = thread.Diameters{Major: w.Felt.Major + own.Major, Pitch: w.Felt.Pitch + own.Pitch, Minor: w.Felt.Minor + own.Minor}
	basic, toward := w.of.Basic, unit.Length(w.of.toward())
	room := func(d thread.Diameters) unit.Length {
		return min(toward*(basic.Major-d.Major), toward*(basic.Pitch-d.Pitch), toward*(basic.Minor-d.Minor))
	}
	return printed, w.Clearance + room(printed) - room(w.Felt)
}

// Other says that the loops are no such thread: they climb by another pitch.
func (w Wall) Other() bool { return math.Abs(w.Pitch.MM()/w.of.Pitch.MM()-1) > pitchTol }

// Crowded says that something else is laid where the mate would be.
func (w Wall) Crowded() bool { return w.OtherMM > otherMM }

// Turned says that the thread stands where it does in a ring of the given height that stands on its head, full being the range of its
// full form; not known of one in the middle of the height.
func (w Wall) Turned(full [2]float64, height float64) bool {
	middle := (full[0] + full[1]) / 2
	return w.Down || math.Abs(w.MiddleMM-middle) > math.Abs(w.MiddleMM-(height-middle))+turnedMM
}
