package ring

// This file holds what is asked of a ring, and the words for its choices.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Grip is the shape of the flange that fingers or a wrench hold.
type Grip string

// The grips.
const (
	NoGrip  Grip = "none"
	Scallop Grip = "scallop"
	Flats   Grip = "flats"
)

// Layout says how the two threads stand to each other.
type Layout string

// The layouts. Auto is nested where the wall allows it, else stacked.
const (
	Auto    Layout = "auto"
	Nested  Layout = "nested"
	Stacked Layout = "stacked"
)

// ErrNoWall is returned for a nested ring whose threads leave no wall between them.
var ErrNoWall = errors.New("no wall left between the two threads")

// Spec is what is asked of a ring. DefaultSpec fills all but the threads.
type Spec struct {
	// Inner is the internal thread inside the ring, Outer the external thread outside it.
	Inner, Outer thread.Thread
	// Height is the whole height of the part; 0 lets the plan choose it from the engagement the threads need.
	Height unit.Length
	// InnerClearance and OuterClearance are added to the inner thread's diameters and taken from the outer thread's, as a mate feels
	// them.
	InnerClearance, OuterClearance unit.Length
	// RoundRoot gives a 60 degree external thread the rounded root of ASME B1.1 (UNR) and ISO 68-1 in place of the flat one.
	RoundRoot bool
	Printer   printer.Profile
	Grip      Grip
	Layout    Layout
	// Label is engraved beside TEST FIT ONLY; empty for the two threads and the clearance.
	Label string
}

// DefaultClearance is the felt gap on the diameter that a test ring gets when none is asked for: what threads need to run free
// (fit.SnugBelow), and above it what the printed pitch diameter is uncertain by, twice its standard uncertainty (95 %), so that a
// ring on a mate of basic size binds for the printer's sake in one of forty. It is that of the side which is less certain, but never
// more than a fifth of the finer pitch, so that the flanks still meet. Drawn gaps of 0.2 to 0.4 mm, which are common practice (no
// published source), hold the layers as well: 0.17 mm of them at 60 degrees and 0.2 mm layers.
func DefaultClearance(inner, outer thread.Thread, p printer.Profile) unit.Length {
	u := max(p.Makes(inner, printer.Inside).Pitch.U, p.Makes(outer, printer.Outside).Pitch.U)
	finer := math.Min(inner.Pitch.MM(), outer.Pitch.MM())
	return unit.MM(math.Round(math.Min((fit.SnugBelow+coverage*u).MM(), finer/5)*100) / 100)
}

// DefaultSpec returns the spec of a ring between two threads with every choice at its default.
func DefaultSpec(inner, outer thread.Thread) Spec {
	return Spec{Inner: inner, Outer: outer, Grip: Scallop, Layout: Auto}.On(printer.Unnamed())
}

// On returns s for a printer, with the clearance that it needs.
func (s Spec) On(p printer.Profile) Spec {
	c := DefaultClearance(s.Inner, s.Outer, p)
	s.Printer, s.InnerClearance, s.OuterClearance = p, c, c
	return s
}

const (
	// maxClearanceMM is a gap beyond which no common thread holds; more is a slip of the unit.
	maxClearanceMM = 3
	// maxHeightMM is the exact range of the vertex grid.
	maxHeightMM = 250
	// maxLabel is the longest label that fits around any ring.
	maxLabel = 60
)

// Validate returns all that is wrong with a spec at once, each fault with the field's name, what was read and what would be right.
func (s Spec) Validate() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	for _, c := range []struct {
		field string
		value unit.Length
	}{{"inner clearance", s.InnerClearance}, {"outer clearance", s.OuterClearance}} {
		if v := c.value.MM(); math.IsNaN(v) || v < -maxClearanceMM || v > maxClearanceMM {
			fault("%s %v: it must lie between -%d and %d mm on the diameter", c.field, c.value, maxClearanceMM, maxClearanceMM)
		}
	}
	if h := s.Height.MM(); math.IsNaN(h) || h < 0 || h > maxHeightMM {
		fault("height %v: it must lie between 0 and %d mm", s.Height, maxHeightMM)
	}
	switch s.Grip {
	case NoGrip, Scallop, Flats:
	default:
		fault("grip %q: it must be none, scallop or flats", s.Grip)
	}
	switch s.Layout {
	case Auto, Nested, Stacked:
	default:
		fault("layout %q: it must be auto, nested or stacked", s.Layout)
	}
	if len(s.Label) > maxLabel {
		fault("label of %d characters: at most %d fit around a ring", len(s.Label), maxLabel)
	}
	if strings.ContainsAny(s.Label, "\r\n\t") {
		fault("label %q: it must be one line", s.Label)
	}
	return errors.Join(faults...)
}
