package fit

// This file places a thread at one point of its limits of size.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Point is a place within the limits of size: 0 the middle, +1 maximum material, -1 minimum material.
type Point float64

// The named points.
const (
	MidLimits   Point = 0
	MaxMaterial Point = 1
	MinMaterial Point = -1
)

// Side says what is known of one of the two threads beyond its name.
type Side struct {
	// At is where in its limits the thread is judged.
	At Point
	// Given are diameters that were measured; they take the place of the limits. A field of 0 follows from the others by
	// the form of the thread. On a taper thread they are those of the gauge plane.
	Given *thread.Diameters
	// Crest is the diameter over the crests as it was read, with its standard uncertainty: it says where the crests are, and leaves
	// the flanks within their limits.
	Crest  *unit.Length
	CrestU unit.Length
	// U is the standard uncertainty of the diameters, UPitch that of the pitch; 0 for none.
	U, UPitch unit.Length
}

// sized is a thread with the range of its diameters.
type sized struct {
	thread.Thread
	external bool
	limits   thread.Limits
	// ranged is false when all diameters are single values.
	ranged bool
	// assumed is set where no limits are known and some were taken.
	assumed bool
	// gauge is how far the gauge plane of a taper thread may lie to either side of its place, along the axis.
	gauge unit.Length
	// useful is the useful length of a taper thread, 0 when unknown or straight.
	useful unit.Length
	given  *thread.Diameters
	// crest is the crest that was read, nil for none.
	crest  *unit.Length
	crestU unit.Length
	// u is the standard uncertainty of the diameters, uPitch that of the pitch.
	u, uPitch unit.Length
}

// newSized looks up what is known of t.
func newSized(t thread.Thread, external bool, s Side) (sized, error) {
	z := sized{Thread: t, external: external, u: s.U, uPitch: s.UPitch}
	if t.Taper > 0 {
		if l, err := t.TaperLengths(); err == nil {
			z.useful = l.Useful
			if z.gauge = l.InternalTol; external {
				z.gauge = l.ExternalTol
			}
			z.ranged = s.Given == nil && z.gauge > 0
		}
	}
	if s.Given != nil {
		given, err := complete(t, *s.Given)
		if err != nil {
			return sized{}, err
		}
		z.given = &given
		return z, nil
	}
	limits, err := t.Limits("", external)
	switch {
	case errors.Is(err, thread.ErrNoLimits):
	case err != nil:
		return sized{}, err
	}
	known := t.Taper > 0
	if !known {
		z.limits, known = limits.Halfway(t.Basic)
		z.ranged = known
	}
	if !known && t.Standard != "" && s.Crest == nil {
		z.assume()
	}
	if s.Crest == nil {
		return z, nil
	}
	if !z.ranged { // nothing else says where the flanks are: all diameters move with the crest
		all, crest := s, thread.Diameters{Minor: *s.Crest}
		if external {
			crest = thread.Diameters{Major: *s.Crest}
		}
		all.Crest, all.Given, all.U = nil, &crest, unit.Length(math.Hypot(s.U.MM(), s.CrestU.MM()))
		return newSized(t, external, all)
	}
	if external && t.Taper > 0 { // read in the gauge plane, and judged at the small end
		s.Crest = new(*s.Crest - unit.Length(t.Taper)*t.GaugeLength)
	}
	return z, z.read(s)
}

// assume takes limits of the pitch diameter for a thread whose table gives none: below basic size outside and above it inside, as of
// threads that are made to go together, by T_d2 of grade 6 of ISO 965-1, 90 P^0.4 d^0.1 micrometres with P and d in mm, and by a
// quarter of that to the wrong side, since nobody says so (common practice, no published source). A thread that was written free has
// the size that was written.
func (s *sized) assume() {
	tol := unit.MM(0.09 * math.Pow(s.Pitch.MM(), 0.4) * math.Pow(s.Basic.Major.MM(), 0.1))
	least, most := s.Basic.Pitch-tol/4, s.Basic.Pitch+tol
	if s.external {
		least, most = s.Basic.Pitch-tol, s.Basic.Pitch+tol/4
	}
	s.limits.PitchMin, s.limits.PitchMax, s.ranged, s.assumed = &least, &most, true, true
}

// complete fills the diameters that were not given, keeping the heights of the basic form.
func complete(t thread.Thread, d thread.Diameters) (thread.Diameters, error) {
	var by unit.Length
	switch {
	case d.Pitch > 0:
		by = d.Pitch - t.Basic.Pitch
	case d.Major > 0:
		by = d.Major - t.Basic.Major
	case d.Minor > 0:
		by = d.Minor - t.Basic.Minor
	}
	full := t.Basic.Plus(by)
	if d.Major > 0 {
		full.Major = d.Major
	}
	if d.Minor > 0 {
		full.Minor = d.Minor
	}
	if !(full.Major > full.Pitch && full.Pitch > full.Minor && full.Minor > 0) {
		return d, fmt.Errorf("%s with the given diameters would have major %s, pitch %s and minor %s; they must fall in this order",
			t.Designation, full.Major.TextMM(), full.Pitch.TextMM(), full.Minor.TextMM())
	}
	return full, nil
}

// at returns the diameters at a point of the limits: those at the small end of an external taper thread, and those at the
// face of an internal one. What a standard leaves open follows the pitch diameter: a crest
// by the basic form, a root as the tool cuts it.
func (s sized) at(p Point) thread.Diameters {
	if s.Taper > 0 {
		d := s.Basic
		if s.given != nil {
			d, p = *s.given, 0
		}
		// More material: the external gauge plane lies nearer the small end, the internal one outside the face.
		shift := unit.Length(s.Taper) * unit.Length(p) * s.gauge
		if s.external {
			return d.Plus(shift - unit.Length(s.Taper)*s.GaugeLength)
		}
		return d.Plus(-shift)
	}
	if s.given != nil {
		return *s.given
	}
	l, b := s.limits, s.Basic
	root := 2 * unit.Length(s.Form.OpenRootPerPitch) * s.Pitch
	if !s.external {
		p = -p
	}
	d := thread.Diameters{Pitch: between(l.PitchMin, l.PitchMax, b.Pitch, p)}
	if s.external {
		d.Major = between(l.MajorMin, l.MajorMax, d.Pitch+b.Major-b.Pitch, p)
		d.Minor = d.Pitch - max(b.Pitch-b.Minor, root)
		if l.MinorMax != nil && l.PitchMax != nil { // the root moves with the flanks
			d.Minor = *l.MinorMax - (*l.PitchMax - d.Pitch)
		}
		return d
	}
	d.Minor = between(l.MinorMin, l.MinorMax, d.Pitch+b.Minor-b.Pitch, p)
	d.Major = d.Pitch + max(b.Major-b.Pitch, root)
	if l.MajorMin != nil && l.PitchMin != nil {
		d.Major = *l.MajorMin + (d.Pitch - *l.PitchMin)
	}
	return d
}

// between returns the place p (-1 to 1) between two limits, the one limit there is, or what follows from the form.
func between(lowest, highest *unit.Length, open unit.Length, p Point) unit.Length {
	switch {
	case lowest != nil && highest != nil:
		return (*lowest+*highest)/2 + unit.Length(p)*(*highest-*lowest)/2
	case lowest != nil:
		return *lowest
	case highest != nil:
		return *highest
	}
	return open
}
