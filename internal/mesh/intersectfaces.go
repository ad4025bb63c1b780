package mesh

// Two faces on the grid: whether they have more in common than the corners and edges that both have, exactly.

import "math"

// gridTriangle is a face in grid steps.
type gridTriangle struct {
	p [3]gridVec
	// plane is n = (p1-p0) x (p2-p0) and n . p0 in floating point; within slack of it, they do not tell the side.
	plane [4]float64
	slack float64
}

// sideFilter bounds the rounding of side against |n| (the sum of its components' sizes) times the largest coordinate: n . p and
// n . p0 round at most 4 times each (2^-53), and their difference once; 32 leaves room.
const sideFilter = 32 * 0x1p-53

func newGridTriangle(places []gridVec, v *[3]uint32) gridTriangle {
	t := gridTriangle{p: [3]gridVec{places[v[0]], places[v[1]], places[v[2]]}}
	for k, n := range t.normal() {
		n := float64(n)
		t.plane[k] = n
		t.plane[3] += n * float64(t.p[0][k])
		t.slack += math.Abs(n) * (sideFilter * maxGrid)
	}
	return t
}

// normal is (p1-p0) x (p2-p0), exact.
func (t *gridTriangle) normal() wideVec { return t.p[1].sub(t.p[0]).cross(t.p[2].sub(t.p[0])) }

// side is the sign of a place against a triangle's plane: 1 in front, 0 in it, -1 behind. Floating point decides when it can.
func (t *gridTriangle) side(p gridVec) int {
	x := t.plane[0]*float64(p[0]) + t.plane[1]*float64(p[1]) + t.plane[2]*float64(p[2]) - t.plane[3]
	switch {
	case x > t.slack:
		return 1
	case x < -t.slack:
		return -1
	}
	return t.normal().dotSignExactly(p.sub(t.p[0]))
}

// foldsOnto says whether u, which shares the corners i and j and has k for its third, covers part of t.
func (t *gridTriangle) foldsOnto(u *gridTriangle, i, j, k int) bool {
	if t.side(u.p[k]) != 0 {
		return false
	}
	axis := t.normal().widest()
	here := turn(t.p[i], t.p[j], t.p[3-i-j], axis)
	there := turn(t.p[i], t.p[j], u.p[k], axis)
	return here == there
}

// meetsAtCorner says whether triangles that share the corners i and j meet elsewhere.
func (t *gridTriangle) meetsAtCorner(u *gridTriangle, i, j int) bool {
	a, b := t.p[(i+1)%3], t.p[(i+2)%3]
	c, d := u.p[(j+1)%3], u.p[(j+2)%3]
	sideC, sideD := t.side(c), t.side(d)
	if sideC*sideD > 0 {
		return false // but for the corner, u is on one side of t
	}
	sideA, sideB := u.side(a), u.side(b)
	if sideA*sideB > 0 {
		return false
	}
	if sideC == 0 && sideD == 0 {
		return t.crossedInPlane(c, d) || u.crossedInPlane(a, b)
	}
	// From the corner u has c (m . d) - d (m . c) = m x (c x d) = m x n in t's plane, m and n being the normals, where d is in front of c; and t
	// has n x m in u's plane where b is in front of a.
	return (sideD > sideC) == (sideA > sideB)
}

// meetsApart says whether triangles without a common corner meet: Guigue and Devillers, Journal of Graphics Tools 8 (2003), section 3,
// from memory. Each has one corner by itself on one side of the other's plane; seen along the line of both planes, the edges from there end what it
// has on the line, and turns between them tell whose end comes first.
func (t *gridTriangle) meetsApart(u *gridTriangle) bool {
	var here, there [3]int
	if !t.sides(u, &here) || !u.sides(t, &there) {
		return false
	}
	if here == [3]int{} {
		for i := range 3 {
			j := (i + 1) % 3
			if t.crossedInPlane(u.p[i], u.p[j]) || u.crossedInPlane(t.p[i], t.p[j]) {
				return true
			}
		}
		return false
	}
	p, before := t.alone(&there)
	q, front := u.alone(&here)
	if !before {
		q[1], q[2] = q[2], q[1]
	}
	if !front {
		p[1], p[2] = p[2], p[1]
	}
	edge := p[0].sub(p[1])
	if q[0].sub(p[1]).cross(edge).dotSign(q[1].sub(p[1])) > 0 {
		return false
	}
	edge = p[2].sub(p[0])
	return q[0].sub(p[0]).cross(edge).dotSign(q[2].sub(p[0])) <= 0
}

// alone returns the corners of t in their order, first one that no other is beside or behind, as seen from those; and whether it is in front.
func (t *gridTriangle) alone(sides *[3]int) (p [3]gridVec, front bool) {
	k := 0
	for (sides[k]-sides[(k+1)%3])*(sides[k]-sides[(k+2)%3]) <= 0 {
		k++
	}
	return [3]gridVec{t.p[k], t.p[(k+1)%3], t.p[(k+2)%3]}, sides[k] > sides[(k+1)%3]
}

// sides tells on which side of t's plane u's corners are, and whether u reaches the plane.
func (t *gridTriangle) sides(u *gridTriangle, out *[3]int) bool {
	for i := range 3 {
		out[i] = t.side(u.p[i])
	}
	return !(out[0] == out[1] && out[1] == out[2] && out[0] != 0)
}

// crossedInPlane says whether the closed segment from a to b, in the triangle's plane, meets the closed triangle: they are apart where the
// line of an edge of the triangle has the segment beyond it, or the line of the segment has the triangle on one side.
func (t *gridTriangle) crossedInPlane(a, b gridVec) bool {
	axis := t.normal().widest()
	sides := 0
	for i, p := range t.p {
		q := t.p[(i+1)%3]
		outside := -turn(p, q, t.p[(i+2)%3], axis)
		if turn(p, q, a, axis) == outside && turn(p, q, b, axis) == outside {
			return false
		}
		sides += turn(a, b, p, axis)
	}
	return sides != 3 && sides != -3
}
