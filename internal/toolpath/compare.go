package toolpath

// This file compares a print with the ring that was drawn: scaled, or its outlines grown or shrunk in the slicer.

import (
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Change is what a slicer did to a ring.
type Change struct {
	// Across and Along are the scales across the axis and along it.
	Across, Along float64
	// GrownMM is how far the outlines were moved into the air, on each side; below zero into the material.
	GrownMM float64
}

const (
	// ScaleTol is how far a scale may lie from 1: a tenth of a millimetre at 50 mm.
	ScaleTol = 0.002
	// GrownTolMM is how far outlines may be moved: some slicers take a bead for a rectangle of its width, which makes it wider by
	// 0.21 h, 0.02 mm to either side at layers of 0.2 mm.
	GrownTolMM = 0.04
)

// Compare fits scale s and growth g to the crests and roots of all threads: a diameter D becomes s D + 2 g where material lies inside
// of it, s D - 2 g where it lies outside, by least squares. With the threads of one side alone scale and growth are the same to the
// eye, and all is taken for growth.
func Compare(walls []Wall) (c Change) {
	var dd, dn, nn, yd, yn float64
	sides := map[bool]bool{}
	for _, w := range walls {
		sign := -1.0
		if w.of.External {
			sign = 1
		}
		sides[w.of.External] = true
		c.Along += w.Pitch.MM() / w.of.Pitch.MM() / float64(len(walls))
		for _, d := range [][2]float64{{w.of.Modelled.Major.MM(), w.OutlineMajor.MM()}, {w.of.Modelled.Minor.MM(), w.OutlineMinor.MM()}} {
			dd, dn, nn = dd+d[0]*d[0], dn+d[0]*2*sign, nn+4
			yd, yn = yd+(d[1]-d[0])*d[0], yn+(d[1]-d[0])*2*sign
		}
	}
	c.Across = 1
	if len(sides) < 2 {
		c.GrownMM = yn / nn
		return c
	}
	det := dd*nn - dn*dn
	c.Across += (yd*nn - yn*dn) / det
	c.GrownMM = (yn*dd - yd*dn) / det
	return c
}

// On says what a mate feels where a printer makes each diameter that a mate feels of its layers, the path's own doing, larger by own, and
// what it is left. It is the tightest of the three diameters that moves.
func (w Wall) On(own thread.Diameters) (printed thread.Diameters, left unit.Length) {
	printed = thread.Diameters{Major: w.Felt.Major + own.Major, Pitch: w.Felt.Pitch + own.Pitch, Minor: w.Felt.Minor + own.Minor}
	t := w.of
	room := func(d thread.Diameters) unit.Length {
		if t.External {
			return min(t.Basic.Major-d.Major, t.Basic.Pitch-d.Pitch, t.Basic.Minor-d.Minor)
		}
		return min(d.Major-t.Basic.Major, d.Pitch-t.Basic.Pitch, d.Minor-t.Basic.Minor)
	}
	return printed, w.Clearance + room(printed) - room(w.Felt)
}

// pitchTol is how far the pitch of loops may lie from that of the mate, as a part of it, and they still be the same thread, scaled.
const pitchTol = 0.03

// Other says that the loops are no such thread: they climb by another pitch.
func (w Wall) Other() bool { return math.Abs(w.Pitch.MM()/w.of.Pitch.MM()-1) > pitchTol }

// Turned says that the thread stands where it does in a ring of the given height that stands on its head, full being the range of its
// full form; not known of one in the middle of the height.
func (w Wall) Turned(full [2]float64, height float64) bool {
	middle := (full[0] + full[1]) / 2
	return w.Down || math.Abs(w.MiddleMM-middle) > math.Abs(w.MiddleMM-(height-middle))+turnedMM
}

// turnedMM is by how much nearer a thread lies to where it would stand turned over; chamfered layers are counted or not.
const turnedMM = 1
