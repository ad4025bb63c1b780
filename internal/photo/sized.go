package photo

// This file works diameter and pitch out of the outlines of a part on the sheet, and adds up what is uncertain.

import (
	"math"

	"tryring/internal/pose"
	"tryring/internal/reading"
)

// s00 is the column of the middle of the cut.
func (d drawn) s00() float64 { return -d.s0 * d.k }

// touches are the rays by the ends of both crest lines: upper, upper, lower, lower. Each end may be moved outward, in pixels of the drawn
// picture.
func (l lying) touches(eye pose.Camera, moved [4]float64) (all []touch) {
	for i, more := range moved {
		a, b, u := l.crestLine(i / 2)
		s := []float64{l.face.from, l.face.to}[i%2] * l.drawn.k
		side := []float64{-1, 1}[i/2]
		x, y, _ := l.view.Sees(l.drawn.at3(s+l.drawn.s00(), side*(a+b*s+more)+l.drawn.middle()))
		all = append(all, touch{eye.At, eye.Ray(x, y), i > 1, math.Hypot(u, l.doubt(i/2)) / l.drawn.k})
	}
	return all
}

// aims tells where the axis leads for the crests on the face to climb by one pitch a turn, if they do so nearly: an axis that is turned on
// the sheet lets them climb by more or less.
func (l lying) aims() []aim {
	climb := math.Copysign(1, l.face.turns)
	if l.face.pure < pureFace || math.Abs(l.face.turns-climb) > 0.7 {
		return nil
	}
	along, across := l.cylinder.along, l.cylinder.cut(l.view.At).across
	turn := l.face.pitch / (2 * math.Pi * l.cylinder.radius) * math.Sin(faceAngle) / faceAngle // by which it climbs one pitch more
	turn /= pose.Dot(Vec{-along[1], along[0], 0}, across)
	return []aim{{math.Atan2(along[1], along[0]) + (climb-l.face.turns)*turn, math.Abs(uClimb * turn)}}
}

// doubt is how far the crests of an outline may end from where they seem to, by blur, form and light, in pixels.
func (l lying) doubt(side int) float64 {
	worth, n := 0.0, 0.0
	for _, f := range l.edges[side] {
		worth, n = worth+f.worth, n+1
	}
	form := uForm + uFaint*n/math.Max(worth, 1)
	if side == 1 {
		form += uLower
	}
	return 0.2*usualBlur + form*l.face.pitch*l.drawn.k
}

// row are two crests in the middle of a face on the picture, how many pitches lie between and how far over the cut of the outlines they stand,
// toward the camera, in mm.
type row struct {
	first, last   [2]float64
	pitches, lift float64
}

// row is that of the crests that were seen.
func (l lying) row() (r row) {
	inner := l.cylinder
	inner.radius -= math.Min(flankShare*l.face.pitch, inner.radius/3)
	cut := inner.cut(l.view.At)
	r.pitches = (l.face.to - l.face.from) / l.face.pitch
	r.lift = inner.radius - pose.Dot(cut.middle.Plus(-1, inner.at), cut.out())
	place := func(s float64) [2]float64 {
		x, y, _ := l.view.Sees(cut.place(s, 0).Plus(r.lift, cut.out()))
		return [2]float64{x, y}
	}
	r.first, r.last = place(l.face.from), place(l.face.to)
	return r
}

// pitch is that of a row of crests seen on a cylinder by a camera.
func (c cylinder) pitch(eye pose.Camera, r row) float64 {
	cut := c.cut(eye.At)
	cut.middle = cut.middle.Plus(r.lift, cut.out())
	s0, _ := cut.meets(eye.At, eye.Ray(r.first[0], r.first[1]))
	s1, _ := cut.meets(eye.At, eye.Ray(r.last[0], r.last[1]))
	return math.Abs(s1-s0) / r.pitches
}

// sized is diameter and pitch as the print has them, with what each source of doubt moves both by.
type sized struct {
	diameter, pitch reading.Estimate
	// common is the correlation of both.
	common      float64
	tilt, uTilt float64
}

// weigh works diameter and pitch out of all pictures, and how far each thing that is not known moves them. Scale is the print's, uScale its
// standard uncertainty as a share.
func weigh(all []lying, scale, uScale float64) (r sized, ok bool) {
	n := float64(len(all))
	cameras, moved := make([]pose.Camera, len(all)), make([][4]float64, len(all))
	for i, l := range all {
		cameras[i] = l.view.Camera
	}
	type outcome struct{ d, p, free float64 }
	ok = true
	solve := func(raised float64) outcome {
		var touches []touch
		var aims []aim
		for i, l := range all {
			touches = append(touches, l.touches(cameras[i], moved[i])...)
			aims = append(aims, l.aims()...)
		}
		c, _, solved := lies(touches, aims, all[0].cylinder, raised, usualTilt)
		// Without any belief in how level it lies.
		_, free, freely := lies(touches, aims, all[0].cylinder, raised, 10)
		ok = ok && solved && freely
		pitch := 0.0
		for i, l := range all {
			pitch += c.pitch(cameras[i], l.row()) / n
		}
		return outcome{2 * c.radius, pitch, free}
	}
	plain := solve(0)
	r.tilt = plain.free
	var dParts, pParts []reading.Part
	var dd, pp, dp, tt float64
	add := func(what, source string, moved ...outcome) {
		var d, p float64
		for _, m := range moved {
			d, p = d+square(m.d-plain.d), p+square(m.p-plain.p)
			dp += (m.d - plain.d) * (m.p - plain.p)
			tt += square(m.free - r.tilt)
		}
		dd, pp = dd+d, pp+p
		dParts = append(dParts, reading.Part{What: what, Source: source, U: math.Sqrt(d), DOF: math.Inf(1)})
		pParts = append(pParts, reading.Part{What: what, Source: source, U: math.Sqrt(p), DOF: math.Inf(1)})
	}
	stretched := func(d, p float64) outcome { return outcome{plain.d * (1 + d), plain.p * (1 + p), r.tilt} }
	var cams, evens, forms []outcome
	for i, l := range all {
		for _, cameras[i] = range l.view.Others() {
			cams = append(cams, solve(0))
		}
		cameras[i] = l.view.Camera
		for side := range 2 {
			_, _, u := l.crestLine(side)
			for end := range 2 { // each by itself
				moved[i][2*side+end] = math.Hypot(u, l.doubt(side)/2)
				evens = append(evens, solve(0))
				moved[i][2*side+end] = 0
			}
			u = l.doubt(side)
			moved[i][2*side], moved[i][2*side+1] = u, u
			forms = append(forms, solve(0))
			moved[i] = [4]float64{}
		}
	}
	add("where the camera stood and its lens, from the marks", "the picture", cams...)
	add("how evenly the crests end", "the picture", evens...)
	add("where the crests end, blur and light around the edge taken into account", "the picture", forms...)
	add("what lies between sheet and crests", "0.05 mm, common practice, no published source", solve(uRaised))
	add("how light plays on the crests", "pictures that were rendered", stretched(0, uShine))
	add(scaleOfPrint, "the line on the sheet", stretched(uScale, uScale))
	add("how evenly the printer stretches a page", "0.1 %, common practice, no published source", stretched(uPrint, 0), stretched(0, uPrint))
	r.diameter = reading.Combine(plain.d, dParts...).Scaled(scale)
	r.pitch = reading.Combine(plain.p, pParts...).Scaled(scale)
	r.common = dp / math.Sqrt(dd*pp)
	r.uTilt = math.Sqrt(tt)
	return r, ok
}
