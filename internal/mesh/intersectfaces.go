package mesh

// Two faces on the grid: whether they have more in common than the corners and edges that both have, exactly.

// gridTriangle is a face in grid steps, and its plane.
type gridTriangle struct {
	p [3]*gridVec
	plane
}

func newGridTriangle(places []gridVec, v *[3]uint32) (t gridTriangle) {
	t.p = [3]*gridVec{&places[v[0]], &places[v[1]], &places[v[2]]}
	t.lay(t.p[0], t.p[1], t.p[2])
	return t
}

// foldsOnto says whether u, which shares the corners i and j and has k for its third, covers part of t.
func (t *gridTriangle) foldsOnto(u *gridTriangle, i, j, k int) bool {
	if t.side(u.p[k]) != 0 {
		return false
	}
	axis := facing(t.p[0], t.p[1], t.p[2])
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
	var across plane
	if across.lay(p[1], q[0], p[0]); across.side(q[1]) > 0 {
		return false
	}
	across.lay(p[0], q[0], p[2])
	return across.side(q[2]) <= 0
}

// alone returns the corners of t in their order, first one that no other is beside or behind, as seen from those; and whether it is in front.
func (t *gridTriangle) alone(sides *[3]int) (p [3]*gridVec, front bool) {
	k := 0
	for (sides[k]-sides[(k+1)%3])*(sides[k]-sides[(k+2)%3]) <= 0 {
		k++
	}
	return [3]*gridVec{t.p[k], t.p[(k+1)%3], t.p[(k+2)%3]}, sides[k] > sides[(k+1)%3]
}

// sides tells on which side of t's plane u's corners are, and whether u reaches it.
func (t *gridTriangle) sides(u *gridTriangle, out *[3]int) bool {
	for i := range 3 {
		out[i] = t.side(u.p[i])
	}
	return !(out[0] == out[1] && out[1] == out[2] && out[0] != 0)
}

// crossedInPlane says whether the closed segment from a to b, in the triangle's plane, meets the closed triangle: they are apart where the
// line of an edge of the triangle has the segment beyond it, or the line of the segment has the triangle on one side.
func (t *gridTriangle) crossedInPlane(a, b *gridVec) bool {
	axis := facing(t.p[0], t.p[1], t.p[2])
	sides := 0
	for i := range t.p {
		p, q := t.p[i], t.p[(i+1)%3]
		outside := -turn(p, q, t.p[(i+2)%3], axis)
		if turn(p, q, a, axis) == outside && turn(p, q, b, axis) == outside {
			return false
		}
		sides += turn(a, b, p, axis)
	}
	return sides != 3 && sides != -3
}
