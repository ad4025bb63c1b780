package photo

// This file turns pixels into a ratio of pitch to diameter and, with a scale, into a pitch, and adds up what is uncertain.

import (
	"math"

	"tryring/internal/reading"
)

// scale works out ratio and pitch from the width that the outside diameter refers to.
func (m *measured) scale(reference, uReference float64) {
	known := math.Inf(1)
	part := func(what, source string, share float64) reading.Part {
		return reading.Part{What: what, Source: source, U: share, DOF: known}
	}
	even := part("how evenly the crests stand", "the picture", m.uPeriod/m.period)
	edges := part("where the crests end, blur and light around the edge taken into account", "the picture", uReference/reference)
	near := part("how near the camera stood: from "+m.view.known, "parallax of a cylinder, P/D = (p/w) cos a / cos g", m.view.uNear)
	lean := part("how level the part lay", "3.5 degrees by eye, common practice, no published source", m.view.uShort)
	lens := part("straightness of the lens", "0.3 %, common practice, no published source", uLens)

	raw := m.period / reference
	ratio := raw * m.view.near * m.view.short
	m.ratio = reading.Combine(1, even, edges, near, lean, lens).Scaled(ratio)

	var parts []reading.Part
	var value float64
	switch o := m.options; {
	case o.Outside != nil:
		diameter := part("the outside diameter", "as read", o.Outside.U/o.Outside.Value)
		parts, value = []reading.Part{even, edges, near, lean, lens, diameter}, ratio*o.Outside.Value
	case o.Marks != nil:
		// The marks say what a pixel is at their own depth, the outlines touch nearer than the axis by R sin a, which is rho sin^2 a.
		apart := math.Hypot(o.Marks.A[0]-o.Marks.B[0], o.Marks.A[1]-o.Marks.B[1]) / float64(m.shrink)
		behind, axis := o.Marks.Behind.MM(), o.Distance.MM()
		uAxis := uDistanceMM
		if axis == 0 {
			marks := m.view.focal * o.Marks.Apart.MM() / apart
			axis, uAxis = math.Max(marks-behind, math.Abs(behind)), m.view.uFocal*marks
		}
		marks := part("where the marks were put", "2 pixels each", math.Sqrt2*uMark/float64(m.shrink)/apart)
		plane := part("how deep the marks lie", "0.7 mm and 5 %, and how near the camera stood", math.Hypot(math.Hypot(uBehindMM, uBehindShare*behind), behind*uAxis/(axis+behind))/(axis+behind))
		aperture := math.Atan(m.view.wide / 2)
		near := part("how near the camera stood: from "+m.view.known, "parallax of a cylinder", 2*math.Sin(aperture)*math.Cos(aperture)*aperture*m.view.uFocal)
		parts = []reading.Part{even, lean, lens, marks, plane, near}
		value = m.period * m.view.short * square(math.Cos(aperture)) * o.Marks.Apart.MM() / apart * axis / (axis + behind)
	default:
		return
	}
	if c := m.options.Cast; c != nil {
		parts, value = append(parts, part("how much the cast shrank", "as given", c.UShrunk)), value*(1+c.Shrunk)
	}
	pitch := reading.Combine(1, parts...).Scaled(value)
	m.pitch = &pitch
}

// uBehindMM and, as a share, uBehindShare are how well a person knows how far marks lie behind the axis (judgement, no published source).
const uBehindMM, uBehindShare = 0.7, 0.05

// uLens is the standard uncertainty of lengths across a picture for the lens's distortion, as a share.
const uLens = 0.003
