package photo

// This file works diameter and pitch out of the outlines of a part on the sheet, and adds up what is uncertain.

import (
	"math"

	"tryring/internal/pose"
	"tryring/internal/reading"
)

// s00 is the column of the middle of the cut.
func (d drawn) s00() float64 { return -d.s0 * d.k }

// ends are the ends of both crest lines on the picture: upper, upper, lower, lower.
func (o onSheet) ends(l lying) (ends [4][2]float64) {
	for i := range ends {
		ends[i] = o.end(l, i, 0)
	}
	return ends
}

// end is one of them, more pixels of the drawn picture farther out.
func (o onSheet) end(l lying, i int, more float64) [2]float64 {
	a, b, _ := l.crestLine(i / 2)
	s := []float64{l.face.from, l.face.to}[i%2] * l.drawn.k
	side := []float64{-1, 1}[i/2]
	u, v, _ := o.view.Sees(l.drawn.at3(s+l.drawn.s00(), side*(a+b*s+more)+l.drawn.middle()))
	return [2]float64{u, v}
}

// rays are those to places of the picture.
func rays(c pose.Camera, ends [4][2]float64) (rays [4]Vec) {
	for i, e := range ends {
		rays[i] = c.Ray(e[0], e[1])
	}
	return rays
}

// row are two crests of an outline on the picture, and how many pitches lie between. u is how well their distance is known, as a share.
type row struct {
	first, last [2]float64
	pitches, u  float64
}

// row is that of one outline.
func (o onSheet) row(l lying, side int) row {
	if len(l.edges[side]) < 2 {
		return row{u: math.Inf(1)}
	}
	period := l.face.pitch * l.drawn.k
	var ks, at []float64
	for i, f := range l.edges[side] {
		k := 0.0
		if i > 0 {
			k = ks[i-1] + math.Round((f.phase-at[i-1])/period)
		}
		ks, at = append(ks, k), append(at, f.phase)
	}
	n := float64(len(ks))
	last := ks[len(ks)-1]
	var mean, spread float64
	for _, k := range ks {
		mean += k / n
	}
	for _, k := range ks {
		spread += square(k - mean)
	}
	a, b := at[0], (at[len(at)-1]-at[0])/math.Max(last, 1)
	rough := uPhase
	if c, ok := polyfit(ks, at, 1); ok && n > 2 {
		a, b = c[0], c[1]
		sum := 0.0
		for i, k := range ks {
			sum += square(at[i]-a-b*k) / (n - 2)
		}
		rough = math.Max(rough, math.Sqrt(sum))
	}
	// A count that slipped by one is far off what the face says.
	if off := math.Abs(b/period - 1); off > 0.02 {
		rough = math.Max(rough, off*period*last/2)
	}
	out, slope, _ := l.crestLine(side)
	sees := func(x float64) [2]float64 {
		t := []float64{-1, 1}[side] * (out + slope*(x-l.drawn.s00()))
		u, v, _ := o.view.Sees(l.drawn.at3(x, t+l.drawn.middle()))
		return [2]float64{u, v}
	}
	return row{sees(a), sees(a + b*last), last, rough / math.Sqrt(math.Max(spread, 1e-9)) / period}
}

// pitch is that of the rows on both outlines of a cylinder, seen by a camera, each by its weight.
func (c cylinder) pitch(eye pose.Camera, rows [2]row) float64 {
	cut := c.cut(eye.At)
	var sum, weight float64
	for _, r := range rows {
		if math.IsInf(r.u, 0) {
			continue
		}
		s0, _ := cut.meets(eye.At, eye.Ray(r.first[0], r.first[1]))
		s1, _ := cut.meets(eye.At, eye.Ray(r.last[0], r.last[1]))
		w := 1 / (r.u * r.u)
		sum, weight = sum+w*(s1-s0)/r.pitches, weight+w
	}
	return sum / weight
}

// sized is diameter and pitch as the print has them, with what each source of doubt moves both by.
type sized struct {
	diameter, pitch reading.Estimate
	// common is the correlation of both.
	common      float64
	tilt, uTilt float64
}

// weigh works diameter and pitch out, and how far each thing that is not known moves them. Scale is the print's, uScale its standard
// uncertainty as a share.
func (o onSheet) weigh(l lying, scale, uScale float64) (r sized, ok bool) {
	ends, rows := o.ends(l), [2]row{o.row(l, 0), o.row(l, 1)}
	if l.lit[1] < leastLit { // crests seem to lie where the light ends
		rows[1].u = math.Inf(1)
	}
	type outcome struct{ d, p, free float64 }
	ok = true
	solve := func(eye pose.Camera, ends [4][2]float64, raised float64) outcome {
		c, _, solved := lies(eye.At, rays(eye, ends), l.cylinder, raised, usualTilt)
		// Without any belief in how level it lies.
		_, free, freely := lies(eye.At, rays(eye, ends), l.cylinder, raised, 10)
		ok = ok && solved && freely
		return outcome{2 * c.radius, c.pitch(eye, rows), free}
	}
	plain := solve(o.view.Camera, ends, 0)
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
	var moved []outcome
	for _, eye := range o.view.Others() {
		moved = append(moved, solve(eye, ends, 0))
	}
	add("where the camera stood and its lens, from the marks", "the picture", moved...)
	// Each end by itself, from how evenly the crests end; each outline by what blur and light do to it.
	moved = nil
	for i := range ends {
		_, _, u := l.crestLine(i / 2)
		q := ends
		q[i] = o.end(l, i, u)
		moved = append(moved, solve(o.view.Camera, q, 0))
	}
	add("how evenly the crests end", "the picture", moved...)
	moved = nil
	for side := range 2 {
		q := ends
		u := 0.2*l.blur + uForm*l.face.pitch*l.drawn.k
		if l.lit[side] < leastLit {
			u += uInShade * l.face.pitch * l.drawn.k
		}
		q[2*side], q[2*side+1] = o.end(l, 2*side, u), o.end(l, 2*side+1, u)
		moved = append(moved, solve(o.view.Camera, q, 0))
	}
	add("where the crests end, blur and light around the edge taken into account", "the picture", moved...)
	add("what lies between sheet and crests", "0.05 mm, common practice, no published source", solve(o.view.Camera, ends, uRaised))
	add("how evenly the crests stand", "the picture", stretched(0, 1/math.Sqrt(1/square(rows[0].u)+1/square(rows[1].u))))
	shine := uShine
	if l.face.pure < 0.7 || math.Abs(math.Abs(l.face.turns)-1) > 0.5 {
		shine = uGlare
	}
	add("how light plays on the crests", "pictures that were rendered", stretched(0, shine))
	add(scaleOfPrint, "the line on the sheet", stretched(uScale, uScale))
	add("how evenly the printer stretches a page", "0.1 %, common practice, no published source", stretched(uPrint, 0), stretched(0, uPrint))
	r.diameter = reading.Combine(plain.d, dParts...).Scaled(scale)
	r.pitch = reading.Combine(plain.p, pParts...).Scaled(scale)
	r.common = dp / math.Sqrt(dd*pp)
	r.uTilt = math.Sqrt(tt)
	return r, ok
}
