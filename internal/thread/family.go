package thread

// This file says what a family of threads (one standard, one table) offers to the rest of the package.

import "tryring/internal/unit"

// Name is a designation taken apart, before it is looked up. Zero fields were not written.
type Name struct {
	// Text is what was written.
	Text string
	// Series is the series word in its normal spelling ("UN", "UNC", "M", "G", "R", "Rc", "NPT", "NPSM", "NH", …).
	Series string
	// Size is the size as a normal-form text: "1 3/4", "1.75", "45"; SizeUnit is unit.Inch or unit.Millimetre when the unit was written, else 0.
	Size     string
	SizeUnit unit.Length
	// PerInch is the number of threads in an inch, when written so; Pitch the pitch, when written as a length.
	PerInch float64
	Pitch   unit.Length
	// Class is the tolerance class ("2A", "6g", "A").
	Class string
	// AngleDeg is the thread angle when written ("55deg").
	AngleDeg float64
	Starts   int
	Hand     Hand
}

// Family is one standard's threads: its table, how its names are understood, and its limits of size.
type Family interface {
	// Standard names standard and edition, or says "common practice, no published source".
	Standard() string
	// Series lists the series words of the family in their normal spelling.
	Series() []string
	// Find returns the thread that n stands for. ok is false when n is not of this family; err is set when it is
	// but cannot be (no such size, pitch or class), naming what was read and what would be right.
	Find(n Name) (t Thread, ok bool, err error)
	// Threads lists the tabulated threads in the order of the table.
	Threads() []Thread
	// Limits returns the limits of size of t, external or internal, at class; the usual class when class is "".
	Limits(t Thread, class string, external bool) (Limits, error)
}
