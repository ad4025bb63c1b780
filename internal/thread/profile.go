package thread

// This file holds the axial section of a thread: one pitch of flanks, crest and root, flat or round, straight or tapered.

import (
	"fmt"
	"math"
)

// Knot is a corner of an axial section.
type Knot struct {
	// Z is the axial position, R the radius (of a tapered section: the radius less the taper's share), millimetres.
	Z, R float64
}

// Section is what a Profile is made from. Lengths in millimetres.
type Section struct {
	PitchMM float64
	// FlankRad and UpperRad are the flanks of the ridge that face -z and +z, as in Form; UpperRad is 0 where both are alike.
	FlankRad, UpperRad         float64
	MajorMM, PitchDMM, MinorMM float64
	// Slope is the change of radius per length along +z: 0 straight, -1/32 for a 1:16 taper narrowing upward.
	Slope float64
	// RoundMajor and RoundMinor replace the flat at that diameter by the arc that touches both flanks and the diameter.
	RoundMajor, RoundMinor bool
}

// Profile is the axial section of a thread over one pitch: the radius as a single-valued, periodic function of z.
// The ridge (the material of an external thread) is centred near z = 0. On a tapered thread the profile is what is
// left when the taper's share Slope*z is taken off, so that it stays periodic: r(z) = Rho(z) + Slope*z.
type Profile struct {
	Section
	// segments run from one root to the next in the tapered frame: groove, flank, ridge (an arc in two halves), flank, groove.
	segments []segment
}

// segment is a straight line from a to b in the (z, r) frame, or an arc about (cz, cr) when radius is not 0.
type segment struct {
	a, b   Knot
	cz, cr float64
	// radius is positive for an arc that bulges to larger r, negative for one that bulges to smaller r.
	radius float64
}

// NewProfile checks s and returns its profile.
//
// The ridge is half a pitch wide on the pitch diameter (the definition of the pitch diameter, ASME B1.7-2006), and
// the flanks keep their angles to the perpendicular of the axis, tapered or not (ASME B1.20.1-2013 clause 3, ISO
// 7-1:1994 clause 4). Arcs that would leave no flank between them are flats. An arc touches both flanks
// (arcPerPitch); for the Whitworth form, whose arcs end H/6 short of the sharp corner, its radius is the 0.137329 P
// of ISO 228-1.
func NewProfile(s Section) (Profile, error) {
	if s.UpperRad == 0 {
		s.UpperRad = s.FlankRad
	}
	p := s.PitchMM
	for _, x := range []float64{p, s.FlankRad, s.UpperRad, s.MajorMM, s.PitchDMM, s.MinorMM, s.Slope} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return Profile{}, fmt.Errorf("thread section: %v is not a number", x)
		}
	}
	if p <= 0 {
		return Profile{}, fmt.Errorf("thread section: pitch %.4g mm must be above 0", p)
	}
	for _, a := range []float64{s.FlankRad, s.UpperRad} {
		if a < leastFlankDeg*degree || a > mostFlankDeg*degree*(1+angleTolDeg) {
			return Profile{}, fmt.Errorf("thread section: flank angle %.4g degrees must be between %d and %d", a/degree, leastFlankDeg, mostFlankDeg)
		}
	}
	switch {
	case s.MinorMM <= 0 || s.PitchDMM <= s.MinorMM || s.MajorMM <= s.PitchDMM:
		return Profile{}, fmt.Errorf("thread section: diameters %.4g / %.4g / %.4g mm must fall from major over pitch to minor", s.MajorMM, s.PitchDMM, s.MinorMM)
	case math.Abs(s.Slope) >= 0.2:
		return Profile{}, fmt.Errorf("thread section: taper %.4g on the radius must be below 0.2", s.Slope)
	}
	pr := Profile{Section: s}
	ridge, err := pr.top(s.MajorMM, s.RoundMajor, +1)
	if err != nil {
		return Profile{}, err
	}
	groove, err := pr.top(s.MinorMM, s.RoundMinor, -1)
	if err != nil {
		return Profile{}, err
	}
	left, right := groove.shifted(-p/2, s.Slope), groove.shifted(p/2, s.Slope)
	if round := s.RoundMajor || s.RoundMinor; round && max(left.b.Z-ridge.a.Z, ridge.b.Z-right.a.Z) > 1e-9*p {
		s.RoundMajor, s.RoundMinor = false, false
		return NewProfile(s)
	}
	pr.segments = []segment{left.half(+1), {a: left.b, b: ridge.a}}
	if ridge.radius != 0 {
		pr.segments = append(pr.segments, ridge.half(-1), ridge.half(+1))
	} else {
		pr.segments = append(pr.segments, ridge)
	}
	pr.segments = append(pr.segments, segment{a: ridge.b, b: right.a}, right.half(-1))
	return pr, nil
}

// top returns the segment across the ridge (side +1) or the groove (side -1) at the given diameter; the pitch cone cuts the
// flanks of either a quarter pitch to both sides of z = 0.
func (p Profile) top(diameter float64, round bool, side float64) (segment, error) {
	l, r := p.FlankRad, p.UpperRad // the flanks to the left and the right of the ridge
	if side < 0 {
		l, r = r, l
	}
	cotL, cotR := 1/math.Tan(l), 1/math.Tan(r)
	quarter, pitchR := p.PitchMM/4, p.PitchDMM/2
	// The flanks pass through (-quarter, pitchR - t quarter) and (quarter, pitchR + t quarter) and meet at the sharp corner.
	cornerZ := quarter * (2*p.Slope*side + cotR - cotL) / (cotL + cotR)
	cornerR := pitchR - p.Slope*quarter + side*cotL*(cornerZ+quarter)
	short := side * (cornerR - diameter/2 - p.Slope*cornerZ)
	if short <= 1e-9*p.PitchMM {
		return segment{}, fmt.Errorf("thread section: at %.4g mm the flanks of a %.4g mm pitch have already met (they meet at %.4g mm)", diameter, p.PitchMM, 2*cornerR)
	}
	if round {
		radius := arcPerPitch(short, l, r)
		between, lean := math.Sin((l+r)/2), (r-l)/2
		centreZ, centreR := cornerZ+radius*math.Sin(lean)/between, cornerR-side*radius*math.Cos(lean)/between
		return segment{
			a: Knot{centreZ - radius*math.Cos(l), centreR + side*radius*math.Sin(l)}, b: Knot{centreZ + radius*math.Cos(r), centreR + side*radius*math.Sin(r)},
			cz: centreZ, cr: centreR, radius: side * radius,
		}, nil
	}
	// Flat: parallel to the taper, cut where the line through (0, diameter/2) along the slope meets the flanks.
	flat := func(z float64) Knot { return Knot{z, diameter/2 + p.Slope*z} }
	return segment{a: flat(cornerZ - short/(cotL-side*p.Slope)), b: flat(cornerZ + short/(cotR+side*p.Slope))}, nil
}

// shifted returns the segment moved by dz along a cone of the given slope.
func (s segment) shifted(dz, slope float64) segment {
	dr := slope * dz
	s.a = Knot{s.a.Z + dz, s.a.R + dr}
	s.b = Knot{s.b.Z + dz, s.b.R + dr}
	s.cz, s.cr = s.cz+dz, s.cr+dr
	return s
}

// half returns the part of the segment after its middle, on an arc its apex (side +1), or before it (side -1).
func (s segment) half(side float64) segment {
	z := (s.a.Z + s.b.Z) / 2
	if s.radius != 0 {
		z = s.cz
	}
	mid := Knot{z, s.at(z)}
	if side > 0 {
		s.a = mid
	} else {
		s.b = mid
	}
	return s
}

// at returns the radius at z.
func (s segment) at(z float64) float64 {
	if s.radius != 0 {
		return s.cr + math.Copysign(math.Sqrt(math.Max(0, s.radius*s.radius-(z-s.cz)*(z-s.cz))), s.radius)
	}
	if s.b.Z <= s.a.Z {
		return s.a.R
	}
	f := (z - s.a.Z) / (s.b.Z - s.a.Z)
	return s.a.R + f*(s.b.R-s.a.R)
}

// Rho returns the periodic part of the radius at z, exact on arcs: r(z) = Rho(z) + Slope*z.
func (p Profile) Rho(z float64) float64 {
	z -= p.PitchMM * math.Round((z-p.segments[0].a.Z-p.PitchMM/2)/p.PitchMM)
	for _, s := range p.segments {
		if z <= s.b.Z {
			return s.at(z) - p.Slope*z
		}
	}
	last := p.segments[len(p.segments)-1]
	return last.b.R - p.Slope*last.b.Z
}

// Knots returns the corners of one pitch of the periodic part, in rising z over less than one pitch: the next period
// starts with the first knot again. Arcs are replaced by chords that stay within chordMM, with every corner on the
// arc and one at its apex.
func (p Profile) Knots(chordMM float64) []Knot {
	var ks []Knot
	add := func(k Knot) { ks = append(ks, Knot{k.Z, k.R - p.Slope*k.Z}) }
	segs := p.segments
	for i, s := range segs {
		if s.radius == 0 {
			if i != 0 {
				add(s.a)
			}
			continue
		}
		n := s.chords(chordMM)
		for j := range n {
			if j == 0 {
				add(s.a) // exact, and an apex where the arc begins with one
				continue
			}
			add(s.onArc(float64(j) / float64(n)))
		}
	}
	return ks
}

// chords is the number of equal chords that hold the arc within chordMM.
func (s segment) chords(chordMM float64) int {
	r := math.Abs(s.radius)
	step := 2 * math.Acos(1-math.Min(chordMM/r, 1))
	from, to := s.angles()
	return max(int(math.Ceil((to-from)/step-1e-9)), 1)
}

// angles are the arc's ends as angles from its apex, rising with z.
func (s segment) angles() (from, to float64) {
	r := math.Abs(s.radius)
	return math.Asin(clamp1((s.a.Z - s.cz) / r)), math.Asin(clamp1((s.b.Z - s.cz) / r))
}

// onArc returns the point at the fraction f of the arc's angle.
func (s segment) onArc(f float64) Knot {
	from, to := s.angles()
	a := from + f*(to-from)
	return Knot{s.cz + math.Abs(s.radius)*math.Sin(a), s.cr + s.radius*math.Cos(a)}
}

func clamp1(x float64) float64 { return math.Max(-1, math.Min(1, x)) }
