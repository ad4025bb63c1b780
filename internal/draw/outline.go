package draw

// This file cuts a ring along its axis: the exact outline of each half, with thread profiles, chamfers and engraving.

import (
	"math"
	"slices"

	"tryring/internal/ring"
)

// profileChordMM is how closely chords follow the arcs of a round thread form, on the part; a fiftieth of a line's width at 10:1.
const profileChordMM = 0.001

// point is a point of the half plane (R >= 0, millimetres of the part).
type point struct{ R, Z float64 }

// half returns the closed outline of the material in the half plane at the angle theta, counter-clockwise seen with r to the right.
func half(s ring.Shape, theta float64) []point {
	inner, outer := meridian(s.Inner, theta), meridian(s.Outer, theta)
	out := []point{{inner[0].R, s.Inner.From}}
	if f := s.Flange; f != nil {
		rim := reach(f.Outline, theta)
		bed := engraved(f.Bed, 0, f.Bed.DepthMM, theta, rim, inner[0].R)
		slices.Reverse(bed)
		out = append(append(out, bed...), point{rim, 0}, point{rim, f.ThicknessMM})
		out = append(out, engraved(f.Top, f.ThicknessMM, f.ThicknessMM-f.Top.DepthMM, theta, rim, outer[0].R)...)
	}
	out = append(out, outer...)
	slices.Reverse(inner)
	return append(out, inner[:len(inner)-1]...)
}

// meridian walks up a wall at one angle and returns its corners, exact but for the chords of arcs.
func meridian(s ring.Surface, theta float64) []point {
	zs := []float64{s.From, s.To}
	add := func(z float64) {
		if z > s.From && z < s.To {
			zs = append(zs, z)
		}
	}
	origin := s.ShiftMM + s.LeadMM*theta/(2*math.Pi)
	pitch := s.Profile.PitchMM
	first, last := math.Floor((s.From-origin)/pitch)-1, math.Ceil((s.To-origin)/pitch)+1
	for turn := first; turn <= last; turn++ {
		for _, k := range s.Profile.Knots(profileChordMM) {
			add(k.Z + origin + float64(turn*pitch))
		}
	}
	lines := []func(float64) float64{func(z float64) float64 { return s.Thread(theta, z) }}
	for _, l := range []ring.Line{s.Lo, s.Hi} {
		if l == nil {
			continue
		}
		lines = append(lines, l.At)
		for _, k := range l {
			add(k.Z)
		}
	}
	slices.Sort(zs)
	corners := len(zs)
	for i := 1; i < corners; i++ {
		for a := range lines {
			for b := range a {
				if z, ok := crossing(lines[a], lines[b], zs[i-1], zs[i]); ok {
					zs = append(zs, z)
				}
			}
		}
	}
	slices.Sort(zs)
	out := make([]point, 0, len(zs))
	for i, z := range zs {
		if i > 0 && z-zs[i-1] < sameMM {
			continue
		}
		out = append(out, point{s.Radius(theta, z), z})
	}
	return out
}

// sameMM is the distance below which two heights are the same corner: far below what any sheet shows.
const sameMM = 1e-6

// crossing returns where two lines that are straight between z0 and z1 cross.
func crossing(f, g func(float64) float64, z0, z1 float64) (float64, bool) {
	d0, d1 := f(z0)-g(z0), f(z1)-g(z1)
	if (d0 < 0) == (d1 < 0) {
		return 0, false
	}
	return z0 + (z1-z0)*d0/(d0-d1), true
}

// helices returns the heights at which lines along a thread, a pitch apart, one of them through the height first at theta 0, begin
// there and end a share of a turn on, as far as the thread itself, and no bound, makes the wall at both ends.
func helices(s ring.Surface, first, turn float64) (ends [][2]float64) {
	free := func(theta, z float64) bool {
		return z > s.From && z < s.To && math.Abs(s.Radius(theta, z)-s.Thread(theta, z)) < sameMM
	}
	pitch := s.Profile.PitchMM
	for n := math.Floor((s.From - first) / pitch); n <= math.Ceil((s.To-first)/pitch); n++ {
		if z, to := first+n*pitch, first+n*pitch+s.LeadMM*turn; free(0, z) && free(2*math.Pi*turn, to) {
			ends = append(ends, [2]float64{z, to})
		}
	}
	return ends
}

// reach returns the distance from the axis to a contour around it, in the direction theta.
func reach(c ring.Contour, theta float64) float64 {
	hits := along(c, theta)
	if len(hits) == 0 {
		return 0
	}
	return slices.Max(hits)
}

// along returns the distances at which a ray from the axis crosses a contour.
func along(c ring.Contour, theta float64) []float64 {
	sin, cos := math.Sincos(theta)
	var hits []float64
	for i, p := range c {
		q := c[(i+1)%len(c)]
		// u runs along the ray, v to its left.
		pv, qv := float64(p.Y*cos)-float64(p.X*sin), float64(q.Y*cos)-float64(q.X*sin)
		if (pv < 0) == (qv < 0) {
			continue
		}
		pu, qu := float64(p.X*cos)+float64(p.Y*sin), float64(q.X*cos)+float64(q.Y*sin)
		if u := pu + (qu-pu)*pv/(pv-qv); u > 0 {
			hits = append(hits, u)
		}
	}
	return hits
}

// engraved returns the corners of the letters between a face and their floor that the cut goes through, from the rim inwards to the wall.
func engraved(e ring.Engraving, face, floor, theta, rim, wall float64) []point {
	var hits []float64
	for _, g := range e.Glyphs {
		for _, c := range g {
			hits = append(hits, along(c, theta)...)
		}
	}
	slices.Sort(hits)
	slices.Reverse(hits)
	var out []point
	for i := 0; i+1 < len(hits); i += 2 {
		if hits[i] > rim || hits[i+1] < wall {
			continue
		}
		out = append(out, point{hits[i], face}, point{hits[i], floor}, point{hits[i+1], floor}, point{hits[i+1], face})
	}
	return out
}

// acrossFlange returns how far the flange reaches to the right and to the left of the axis, seen along the cut.
func acrossFlange(f *ring.Flange) (right, left float64) {
	for _, p := range f.Outline {
		right, left = math.Max(right, p.X), math.Max(left, -p.X)
	}
	return right, left
}

// foot is the radius at which the part stands on the bed on the left.
func (s *section) foot() float64 {
	if f := s.plan.Shape.Flange; f != nil {
		_, left := acrossFlange(f)
		return left
	}
	return s.plan.Shape.Outer.Radius(math.Pi, 0)
}
