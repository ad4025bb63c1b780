package ring

// This file holds the plan of a ring: every diameter and height, decided and explained, ready to be built.

import (
	"fmt"
	"math"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Side is one of the two threads of a ring.
type Side struct {
	Thread thread.Thread
	// Clearance is on the diameter, as a mate of basic size feels it.
	Clearance unit.Length
	// Nominal and Wanted, and those of Compensated, are the diameters in the gauge plane of a taper thread, anywhere on a straight one.
	Nominal, Wanted thread.Diameters
	Compensated
	// Engagement is the length of full thread that the mating part needs, Rule where that figure comes from.
	Engagement unit.Length
	Rule       string
	// FullMM is the range of z with the full form; RefMM the height of the gauge plane.
	FullMM [2]float64
	RefMM  float64
}

// FullTurns is how many pitches of full form the side has.
func (s Side) FullTurns() float64 { return (s.FullMM[1] - s.FullMM[0]) / s.Thread.Pitch.MM() }

// Plan is a ring decided on.
type Plan struct {
	Inner, Outer Side
	// Layout is Nested or Stacked; LayoutWhy says why.
	Layout    Layout
	LayoutWhy string
	Height    unit.Length
	// HeightWhy says how the height came about.
	HeightWhy string
	// Wall is the least thickness of material as designed.
	Wall    unit.Length
	Grip    Grip
	Printer printer.Profile
	// Label is the text engraved into the flange beside TEST FIT ONLY, empty without a flange.
	Label string
	Shape Shape
}

// Designations returns both threads in few words, inner first.
func (p Plan) Designations() string {
	return "IN " + p.Inner.Thread.Designation + " OUT " + p.Outer.Thread.Designation
}

// Solid returns the sdfx solid that defines the part.
func (p Plan) Solid() (*Solid, error) { return NewSolid(p.Shape) }

const (
	// flangeMM is the thickness of the grip: three millimetres hold a finger and an engraving.
	flangeMM = 3.0
	// minTurns is the least full thread worth printing: below it a pitch error cannot be felt.
	minTurns = 1.0
	// smallestBoreMM is the least radius left open along the axis.
	smallestBoreMM = 0.5
	// largestRadiusMM keeps all coordinates inside the exact range of the vertex grid.
	largestRadiusMM = 125.0
	// crestLeft is the share of the thread's depth that a lead-in chamfer leaves at the end face.
	crestLeft = 0.1
)

// New decides on a ring. It returns ErrNoWall (wrapped) for a nested ring that cannot be; its faults are laid to the choice
// that they come from (inner, outer, height, layout, label), and name what was asked and what would be right.
func New(s Spec) (Plan, error) {
	if err := s.Validate(); err != nil {
		return Plan{}, err
	}
	p := Plan{Grip: s.Grip, Printer: s.Printer}
	p.Inner = newSide(s.Inner, s.InnerClearance, printer.Inside, s.Printer)
	p.Outer = newSide(s.Outer, s.OuterClearance, printer.Outside, s.Printer)
	for _, side := range []Side{p.Inner, p.Outer} {
		if err := side.tooCoarse(side.Thread, s.Printer); err != nil {
			return Plan{}, err
		}
	}
	inner, err := p.Inner.surface(false)
	if err != nil {
		return Plan{}, fault.In("inner", fmt.Errorf("%s: %w", s.Inner.Designation, err))
	}
	outer, err := p.Outer.surface(s.RoundRoot)
	if err != nil {
		return Plan{}, fault.In("outer", fmt.Errorf("%s: %w", s.Outer.Designation, err))
	}
	if inner.Profile.MinorMM/2 < smallestBoreMM {
		return Plan{}, fault.At("inner", s.Inner.Designation, "its bore of %.2f mm is too narrow to print (at least %.0f mm)", inner.Profile.MinorMM, 2*smallestBoreMM)
	}
	b := builder{plan: &p, inner: inner, outer: outer, asked: s.Height.MM()}
	if s.Grip != NoGrip {
		b.floor = flangeMM
	}
	if err := b.layOut(s.Layout); err != nil {
		return Plan{}, err
	}
	if err := b.addFlange(s.Label, "IN "+s.Inner.Designation, "OUT "+s.Outer.Designation); err != nil {
		return Plan{}, err
	}
	if r := b.reach(); r > largestRadiusMM {
		return Plan{}, fmt.Errorf("the ring would be %.0f mm across; at most %.0f mm can be made", 2*r, 2*largestRadiusMM)
	}
	return p, nil
}

// newSide works out one side's diameters; its gap makes the inner thread larger and the outer one smaller.
func newSide(t thread.Thread, clearance unit.Length, side printer.Side, p printer.Profile) Side {
	s := Side{Thread: t, Clearance: clearance, Nominal: t.Basic, Wanted: t.Basic.Plus(clearance)}
	if side == printer.Outside {
		s.Wanted = t.Basic.Plus(-clearance)
	}
	s.Compensated = compensate(t, side, p, s.Wanted)
	s.Engagement, s.Rule = t.Engagement()
	return s
}

// surface returns the side's thread without bounds. Both threads of a ring narrow upward when tapered: the inner one
// takes its part from below, the outer one goes in from above.
func (s Side) surface(roundRoot bool) (Surface, error) {
	t := s.Thread
	section := t.Section(s.Modelled)
	if roundRoot && !section.RoundMinor && math.Abs(t.Form.AngleDeg()-60) < 0.01 {
		// The root arc of H/6 radius reaches H/3 above the sharp corner less H/6: minor = pitch - 2/3 H (ASME B1.1 UNR, ISO 68-1).
		section.MinorMM = section.PitchDMM - math.Sqrt(3)/2*section.PitchMM*2/3
		section.RoundMinor = true
	}
	profile, err := thread.NewProfile(section)
	if err != nil {
		return Surface{}, err
	}
	return Surface{Profile: profile, LeadMM: t.Lead().MM() * float64(t.Hand), Starts: t.Starts}, nil
}
