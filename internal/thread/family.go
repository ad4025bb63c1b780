package thread

// This file says what a family of threads (one standard, one table) offers to the rest of the package.

import "tryring/internal/unit"

// Name is a designation taken apart, before it is looked up. Zero fields were not written.
type Name struct {
	// Text is what was written.
	Text string
	// Series is the series word in its normal spelling ("UN", "UNC", "M", "G", "R", "Rc", "NPT", "NPSM", "NH", …).
	Series string
	// Size is the size as a normal-form text: "1 3/4", "1.75", "45"; SizeUnit is unit.Inch or unit.Millimetre when
	// the unit was written, else 0.
	Size     string
	SizeUnit unit.Length
	// PerInch is the number of threads in an inch, when written so; Pitch the pitch, when written as a length.
	PerInch float64
	Pitch   unit.Length
	// Class is the tolerance class ("2A", "6g", "A").
	Class string
	// AngleDeg is the thread angle when written ("55deg"), FlanksDeg its two parts where they differ ("3/30deg"),
	// load flank first.
	AngleDeg  float64
	FlanksDeg [2]float64
	// Profile is the word for what crests and roots are like ("trapezoidal", "round"), Depth their distance on the radius.
	Profile string
	Depth   unit.Length
	Starts  int
	Hand    Hand
}

// family is one standard's threads: its table, how its names are understood, and its limits of size. Those of Unified and
// metric threads follow from formulas; all others are Listed.
type family interface {
	tableHead() *TableHead
	// Find returns the thread that n stands for. ok is false when n is not of this family; err is set when it is
	// but cannot be (no such size, pitch or class), naming what was read and what would be right.
	Find(n Name) (t Thread, ok bool, err error)
	// Threads lists the tabulated threads in the order of the table.
	Threads() []Thread
	// Limits returns the limits of size of t, external or internal, at class; the usual class when class is "".
	Limits(t Thread, class string, external bool) (Limits, error)
	// Source says where the figures of t are from and what they were checked against.
	Source(t Thread) string
	// classOf is the class whose limits t has when asked for one, "" where there are none.
	classOf(t Thread, asked string, external bool) string
	// sideOf says which side's threads a class is for; ok is false where that does not follow.
	sideOf(class string) (external, ok bool)
	// engagement is the length of engagement that t needs, and the rule it comes from in words.
	engagement(t Thread) (unit.Length, string)
}

// TaperLengths are the lengths of a taper thread along its axis. Its size is told by where the gauge plane lies, not
// by limits of diameters.
type TaperLengths struct {
	// Gauge runs from the small end of the external thread to its gauge plane.
	Gauge unit.Length
	// ExternalTol and InternalTol are how far the gauge plane may lie to either side of its place.
	ExternalTol, InternalTol unit.Length
	// Useful is the least length of useful (effective) external thread at the basic gauge length.
	Useful unit.Length
}
