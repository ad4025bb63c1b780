package caliper

// This file gathers the places on flanks to which a thread is fitted.

import "math"

// flankSpot is a place on a flank with the length on the radius that it stands for.
type flankSpot struct {
	l            *line
	z, r, weight float64
	left         float64 // how far above the fit it stands
}

// flankSpots returns two points (those of Gauss) of each piece of flank within the band about the pitch cone.
func (t *fitted) flankSpots(lines []line, within [2]float64) []flankSpot {
	most := 0
	for i := range lines {
		most += 2 * len(lines[i].pieces)
	}
	out := make([]flankSpot, 0, most) // what is not written of it takes no memory
	t.eachSpot(lines, within, func(s *flankSpot) { out = append(out, *s) })
	return out
}

// eachSpot hands them on one by one.
func (t *fitted) eachSpot(lines []line, within [2]float64, visit func(*flankSpot)) {
	var s flankSpot
	limit := t.band * t.depth
	for i := range lines {
		l := &lines[i]
		for _, p := range l.pieces {
			if p.z1 <= p.z0 || p.z0 > within[1] || p.z1 < within[0] {
				continue
			}
			w0 := t.onAxis(l, p.z0, p.m0) - t.radius
			w1 := t.onAxis(l, p.z1, p.m1) - t.radius
			// The share of the piece within the band.
			from, to := (-limit-w0)/(w1-w0), (limit-w0)/(w1-w0)
			from, to = min(from, to), max(from, to)
			from = max(from, 0, (within[0]-p.z0)/(p.z1-p.z0))
			to = min(to, 1, (within[1]-p.z0)/(p.z1-p.z0))
			if !(to > from) {
				continue
			}
			const gauss = 0.21132486540518712 // (1 - 1/sqrt 3) / 2
			for _, g := range [2]float64{gauss, 1 - gauss} {
				u := from + g*(to-from)
				s = flankSpot{l: l, z: p.z0 + u*(p.z1-p.z0), r: p.m0 + u*(p.m1-p.m0), weight: (to - from) * math.Abs(w1-w0)}
				visit(&s)
			}
		}
	}
}
