package ring

// This file holds one wall of a ring: a thread bounded by chamfers, cones and plain cylinders.

import (
	"math"

	"tryring/internal/thread"
)

// Line is a piecewise linear radius over rising z; before its first and after its last knot it stays level.
type Line []thread.Knot

// At returns the radius of the line at z.
func (l Line) At(z float64) float64 {
	if z <= l[0].Z {
		return l[0].R
	}
	for i := 1; i < len(l); i++ {
		if z <= l[i].Z {
			f := (z - l[i-1].Z) / (l[i].Z - l[i-1].Z)
			return l[i-1].R + f*(l[i].R-l[i-1].R)
		}
	}
	return l[len(l)-1].R
}

// Surface is one wall of the ring: r(theta, z) = min(max(thread(theta, z), Lo(z)), Hi(z)) for From <= z <= To.
type Surface struct {
	Profile thread.Profile
	// LeadMM is the advance per turn, negative for a left-hand thread.
	LeadMM float64
	Starts int
	// ShiftMM is the z of a ridge's middle at theta = 0.
	ShiftMM float64
	// RefMM is the z at which the diameters of a tapered profile stand.
	RefMM float64
	// Lo and Hi bound the radius; nil for no bound. Lo <= Hi everywhere.
	Lo, Hi   Line
	From, To float64
}

// Thread returns the radius of the unbounded thread.
func (s Surface) Thread(theta, z float64) float64 {
	return s.Profile.Rho(z-s.ShiftMM-s.LeadMM*theta/(2*math.Pi)) + s.Profile.Slope*(z-s.RefMM)
}

// Radius returns the radius of the wall at (theta, z).
func (s Surface) Radius(theta, z float64) float64 { return s.bounded(s.Thread(theta, z), z) }

// bounded is the radius r of the thread as far as the bounds let it be at z.
func (s Surface) bounded(r, z float64) float64 {
	if s.Lo != nil {
		r = math.Max(r, s.Lo.At(z))
	}
	if s.Hi != nil {
		r = math.Min(r, s.Hi.At(z))
	}
	return r
}

// MajorRadius and MinorRadius return the radii of the cones through the ridges and the grooves at z.
func (s Surface) MajorRadius(z float64) float64 {
	return s.Profile.MajorMM/2 + s.Profile.Slope*(z-s.RefMM)
}

// MinorRadius returns the radius of the cone through the grooves at z.
func (s Surface) MinorRadius(z float64) float64 {
	return s.Profile.MinorMM/2 + s.Profile.Slope*(z-s.RefMM)
}

// Ends returns the largest and the smallest radius of the wall at height z over all angles.
func (s Surface) Ends(z float64) (largest, smallest float64) {
	return s.bounded(s.MajorRadius(z), z), s.bounded(s.MinorRadius(z), z)
}
