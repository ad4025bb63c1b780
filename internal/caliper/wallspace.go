package caliper

// This file looks in space, around the places where sections show a thin wall, for the nearest points of the two surfaces.

import "math"

// shells tells, height by height, how far the inner surface reaches outwards and the outer one inwards; between them
// lie only walls that are no surface of the ring, such as those of engraved letters.
type shells struct {
	lo, step float64
	inMost   [shellRows]float64
	outLeast [shellRows]float64
}

const shellRows = 256

func shellsOf(secs []section) *shells {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range secs {
		for _, side := range [][]piece{s.in, s.out} {
			for _, p := range side {
				lo, hi = min(lo, p.z0), max(hi, p.z1)
			}
		}
	}
	sh := &shells{lo: lo, step: max((hi-lo)/shellRows, math.SmallestNonzeroFloat32)}
	for i := range shellRows {
		sh.inMost[i], sh.outLeast[i] = math.Inf(-1), math.Inf(1)
	}
	for _, s := range secs {
		for _, p := range s.in {
			for i := sh.row(p.z0); i <= sh.row(p.z1); i++ {
				sh.inMost[i] = max(sh.inMost[i], p.r0, p.r1)
			}
		}
		for _, p := range s.out {
			for i := sh.row(p.z0); i <= sh.row(p.z1); i++ {
				sh.outLeast[i] = min(sh.outLeast[i], p.r0, p.r1)
			}
		}
	}
	return sh
}

func (sh *shells) row(z float64) int {
	return int(min(max((z-sh.lo)/sh.step, 0), shellRows-1))
}

// has tells whether a face of the given heights and radii may be of the inner and of the outer surface.
func (sh *shells) has(zLo, zHi, rLo, rHi, slack float64) (in, out bool) {
	for i := sh.row(zLo); i <= sh.row(zHi); i++ {
		in = in || rLo <= sh.inMost[i]+slack
		out = out || rHi >= sh.outLeast[i]-slack
	}
	return in, out
}

// around returns the faces of the two surfaces around a nearest pair of the section s.
func (sh *shells) around(p nearPair, pts []place3, faces [][3]uint32, s *section) (in, out [][3]vec) {
	const (
		widths = 1.6  // how far around the pair faces are looked at, in walls
		most   = 4000 // faces kept a side: a bound for hostile meshes
		slack  = 0.02 // of the wall: what the sections may have missed
	)
	r, d := (p.inR+p.outR)/2, widths*p.dist
	o := vec{r * s.cos, r * s.sin, (p.inZ + p.outZ) / 2}
	for _, f := range faces {
		a, b, c := &pts[f[0]], &pts[f[1]], &pts[f[2]]
		zLo, zHi := min(a.z, b.z, c.z), max(a.z, b.z, c.z)
		if zLo > o[2]+d || zHi < o[2]-d ||
			min(a.x, b.x, c.x) > o[0]+d || max(a.x, b.x, c.x) < o[0]-d ||
			min(a.y, b.y, c.y) > o[1]+d || max(a.y, b.y, c.y) < o[1]-d {
			continue
		}
		t := [3]vec{{a.x, a.y, a.z}, {b.x, b.y, b.z}, {c.x, c.y, c.z}}
		n := t[1].minus(t[0]).cross(t[2].minus(t[0]))
		x, y := a.x+b.x+c.x, a.y+b.y+c.y // the way out from the axis, where the face is
		facing := n[0]*x + n[1]*y
		least := leastFacing * math.Hypot(x, y) * n.length()
		isIn, isOut := sh.has(zLo, zHi, min(a.r, b.r, c.r), max(a.r, b.r, c.r), slack*p.dist)
		if isOut && facing > least && len(out) < most {
			out = append(out, t)
		}
		if isIn && facing < -least && len(in) < most {
			in = append(in, t)
		}
	}
	return in, out
}

// toAndFro goes from a pair to the nearest point of the one surface and back to that of the other until it gains no more, and
// returns the distance.
func (p nearPair) toAndFro(in, out [][3]vec, s *section) float64 {
	const leastGain = 1e-5 // mm a step: more steps would not reach a micrometre
	at, dist := vec{p.inR * s.cos, p.inR * s.sin, p.inZ}, p.dist
	for range wallSteps {
		over, d1 := nearestOf(out, at, 1.001*dist)
		back, d2 := nearestOf(in, over, 1.001*d1)
		if math.IsInf(d1, 0) || math.IsInf(d2, 0) {
			break
		}
		gain := dist - d2
		dist, at = min(dist, d2), back
		if gain < leastGain {
			break
		}
	}
	return dist
}

// nearestOf returns the point of the faces that is nearest to p, looking no farther than within.
func nearestOf(faces [][3]vec, p vec, within float64) (vec, float64) {
	best := within * within
	found := p
	ok := false
	for i := range faces {
		t := &faces[i]
		// A box about the face tells most of them off.
		var box float64
		for k := range 3 {
			d := max(0, min(t[0][k], t[1][k], t[2][k])-p[k], p[k]-max(t[0][k], t[1][k], t[2][k]))
			box += d * d
		}
		if box >= best {
			continue
		}
		q := nearestOnFace(t, p)
		d := q.minus(p)
		if s := d.dot(d); s < best {
			best, found, ok = s, q, true
		}
	}
	if !ok {
		return p, math.Inf(1)
	}
	return found, math.Sqrt(best)
}

// nearestOnFace returns the point of a face that is nearest to p: straight below p, or on one of the edges beyond which p lies.
func nearestOnFace(t *[3]vec, p vec) vec {
	n := t[1].minus(t[0]).cross(t[2].minus(t[0]))
	var best vec
	least := math.Inf(1)
	for k := range 3 {
		a, ab := t[k], t[(k+1)%3].minus(t[k])
		ap := p.minus(a)
		if n.cross(ab).dot(ap) > 0 {
			continue
		}
		q := a
		if l := ab.dot(ab); l > 0 {
			q = a.plus(ab.times(min(max(ab.dot(ap)/l, 0), 1)))
		}
		if d := p.minus(q); d.dot(d) < least {
			best, least = q, d.dot(d)
		}
	}
	if math.IsInf(least, 1) {
		return p.minus(n.times(n.dot(p.minus(t[0])) / n.dot(n)))
	}
	return best
}
